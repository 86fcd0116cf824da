//! The triangle of isolated-ground receptacles.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// An isolated-ground receptacle shows an orange triangle on its face.
    ///
    /// ## What it checks
    /// The triangle. The colour of the device is no evidence.
    ///
    /// ## Why it matters
    /// Whoever replaces or bonds it must know that its ground is kept apart.
    ///
    /// ## What to do
    /// Replace it by an isolated-ground receptacle that carries the triangle.
    ///
    /// ## When it does not apply
    /// To other receptacles.
    ///
    /// ## When it cannot tell
    /// When the type or the mark is unknown.
    ///
    /// ## Sources
    /// A quiz of a code reference site; the California Electrical Code 2022; a trade and an inspectors'
    /// magazine on 2023.
    ISOLATED_GROUND_MARK = "isolated-ground-mark", Outlet, Marking, Workmanship,
    cite: Citation::of(["406.3(D)", "406.3(D)", "406.3(D)", "406.3(E)"], [Confidence::Two, Confidence::Two, Confidence::Two, Confidence::Two]),
    asks: [IsolatedGround, IsolatedGroundMark],
    heeds: [Device],
    check: Outlet(check),
}

const UNMARKED: Violation = Violation::new(
    "the isolated-ground receptacle has no orange triangle on its face",
    "replace it with an isolated-ground receptacle that carries the triangle",
);

fn check(world: &mut World<'_>) -> Answer {
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !world.ask(facts::ISOLATED_GROUND) {
        return Answer::NotApplicable("not of the isolated-ground type");
    }
    if world.ask(facts::ISOLATED_GROUND_MARK) {
        Answer::Complies
    } else {
        Answer::Violates(UNMARKED)
    }
}
