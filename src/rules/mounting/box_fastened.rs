//! The box is fastened in place.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::outlet::words::MountingLocation;
use crate::rules::questions::{is_receptacle, without_box};
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// The box or assembly of a receptacle is fastened in place.
    ///
    /// ## What it checks
    /// Whether the box is recorded as fastened.
    ///
    /// ## Why it matters
    /// A box that moves works the terminals loose each time a plug is pulled, and a loose terminal heats.
    ///
    /// ## What to do
    /// Fasten the box to the structure, or with supports made for old work to the finish.
    ///
    /// ## When it does not apply
    /// To pendant boxes (see pendant-box), and where there is no box.
    ///
    /// ## When it cannot tell
    /// When nothing is recorded about the fastening.
    ///
    /// ## Sources
    /// A trade magazine's code quiz on receptacle mounting; a device maker's code page for the 2020 edition;
    /// the California Electrical Code 2022.
    BOX_FASTENED = "box-fastened", Outlet, Box, Latent,
    cite: Citation::all("406.5", Confidence::Two),
    asks: [BoxFastened, MountingLocation],
    heeds: [Device, Box],
    check: Outlet(check),
}

const LOOSE_BOX: Violation = Violation::new(
    "the box is not fastened in place",
    "fasten the box to the structure or the finish with supports made for it",
);

fn check(world: &mut World<'_>) -> Answer {
    let pendant = |location| location == MountingLocation::Pendant;
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if without_box(world) {
        return Answer::NotApplicable("there is no box");
    }
    if pendant(world.ask_by(facts::MOUNTING_LOCATION, pendant)) {
        return Answer::NotApplicable("a pendant box hangs; see pendant-box");
    }
    if world.ask(facts::BOX_FASTENED) { Answer::Complies } else { Answer::Violates(LOOSE_BOX) }
}
