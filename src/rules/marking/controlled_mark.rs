//! Marks of automatically controlled receptacles.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::outlet::words::{ControlledMark, Edition, MarkOn};
use crate::rules::pattern::{self, Pattern};
use crate::rules::questions::{is_receptacle, since};
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle that is switched off automatically to save energy is marked as such on its face.
    ///
    /// ## What it checks
    /// The symbol, from 2017 with the word, and where it stands.
    ///
    /// ## Why it matters
    /// Who cannot see that an outlet is switched plugs in what must not lose power.
    ///
    /// ## What to do
    /// Use a receptacle that carries symbol and word on its face.
    ///
    /// ## When it does not apply
    /// To receptacles that are not controlled, and to other configurations than 5-15 and 5-20.
    ///
    /// ## When it cannot tell
    /// When the control, the configuration or the mark is unknown. In 2014 a mark on the plate is for the
    /// authority.
    ///
    /// ## Sources
    /// Courses and a device maker's code page for 2014 and 2017; the California Electrical Code 2022; a trade
    /// magazine on article 406 of 2023.
    CONTROLLED_MARK = "controlled-mark", Outlet, Marking, Workmanship,
    cite: Citation::of(["406.3(E)", "406.3(E)", "406.3(E)", "406.3(F)"], [Confidence::Two, Confidence::Two, Confidence::Two, Confidence::Two]),
    asks: [Controlled, Configuration, ControlledMark, ControlledMarkOn],
    heeds: [Device, DeviceAmps, DeviceVolts, Edition],
    check: Outlet(check),
}

const UNMARKED: Violation = Violation::new(
    "the automatically controlled receptacle is not marked as such",
    "use a receptacle with the controlled symbol and word on its face",
);

fn check(world: &mut World<'_>) -> Answer {
    let general = |pattern: Pattern| pattern.is_general_125();
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !world.ask(facts::CONTROLLED) {
        return Answer::NotApplicable("not automatically controlled");
    }
    if !pattern::ask(world, general).is_some_and(general) {
        return Answer::NotApplicable("not a 15 or 20 A receptacle of 125 V");
    }
    let mark = world.ask(facts::CONTROLLED_MARK);
    if mark == ControlledMark::None {
        return Answer::Violates(UNMARKED);
    }
    if since(world, Edition::E2017) {
        let whole = mark == ControlledMark::SymbolAndWord
            && world.ask(facts::CONTROLLED_MARK_ON) == MarkOn::Face;
        return if whole { Answer::Complies } else { Answer::Violates(UNMARKED) };
    }
    match world.ask(facts::CONTROLLED_MARK_ON) {
        MarkOn::Face => Answer::Complies,
        MarkOn::Plate => Answer::Authority("does the mark on the plate satisfy the 2014 edition?"),
    }
}
