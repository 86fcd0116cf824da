//! Receptacles that face up below a sink.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::outlet::words::{Facing, MountingLocation};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle in the space below a sink does not face up.
    ///
    /// ## What it checks
    /// Where the face of a receptacle in a sink base looks.
    ///
    /// ## Why it matters
    /// Traps and valves leak from above, straight into contacts that face up.
    ///
    /// ## What to do
    /// Turn the receptacle to the side or down.
    ///
    /// ## When it does not apply
    /// Before the 2020 edition, and to receptacles that are not below a sink.
    ///
    /// ## When it cannot tell
    /// When the direction or the place is unknown. A tilted face is for the authority.
    ///
    /// ## Sources
    /// A device maker's code page for 2020; an inspectors' magazine on the changes of 2020; a thread of a home
    /// inspectors' forum; the California Electrical Code 2022.
    FACE_UP_BELOW_SINK = "face-up-below-sink", Outlet, Orientation, Latent,
    cite: Citation::of(["", "", "406.5(G)(2)", "406.5(G)(2)"], [Confidence::Two; 4]),
    asks: [MountingLocation, Facing],
    heeds: [Device, Edition],
    check: Outlet(check),
}

const FACES_UP: Violation = Violation::new(
    "the receptacle below the sink faces up",
    "turn it to the side or down; no listing permits it to face up",
);

fn check(world: &mut World<'_>) -> Answer {
    let below_sink = |location| location == MountingLocation::SinkBase;
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !below_sink(world.ask_by(facts::MOUNTING_LOCATION, below_sink)) {
        return Answer::NotApplicable("not below a sink");
    }
    match world.ask(facts::FACING) {
        Facing::Side | Facing::Down => Answer::Complies,
        Facing::Tilted => Answer::Authority("does a tilted face count as facing up?"),
        Facing::Up => Answer::Violates(FACES_UP),
    }
}
