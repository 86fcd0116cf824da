//! Boxes that hang from a cord or a cable.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::outlet::words::MountingLocation;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A box that hangs from a cord protects its conductors from strain.
    ///
    /// ## What it checks
    /// Whether a pendant box has a strain relief, and a threaded hub.
    ///
    /// ## Why it matters
    /// The weight of the box and each pull at a plug would hang on the terminals.
    ///
    /// ## What to do
    /// Hang the box by a strain relief made for the cord, in a box with a threaded hub.
    ///
    /// ## When it does not apply
    /// To everything that does not hang.
    ///
    /// ## When it cannot tell
    /// When the strain relief or the hub is unknown. A box with knockouts in place of a hub is for the
    /// authority: some places forbid it.
    ///
    /// ## Sources
    /// A thread of an electricians' forum; a state's administrative code; the California Electrical Code 2022.
    PENDANT_BOX = "pendant-box", Outlet, Box, Latent,
    cite: Citation::all("314.23(H)(1)", Confidence::Two),
    asks: [MountingLocation, StrainRelief, Hub],
    heeds: [],
    check: Outlet(check),
}

const NO_STRAIN_RELIEF: Violation = Violation::new(
    "the conductors of the pendant box are not protected from strain",
    "hang the box from a cord with strain relief, or by a threaded hub made for the cord",
);

fn check(world: &mut World<'_>) -> Answer {
    let hangs = |location| location == MountingLocation::Pendant;
    if !hangs(world.ask_by(facts::MOUNTING_LOCATION, hangs)) {
        return Answer::NotApplicable("not a pendant");
    }
    if !world.ask(facts::STRAIN_RELIEF) {
        return Answer::Violates(NO_STRAIN_RELIEF);
    }
    if world.ask(facts::HUB) {
        Answer::Complies
    } else {
        Answer::Authority("may a pendant box without a threaded hub be used here?")
    }
}
