//! A cover on every box.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::rules::questions::without_box;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// Every box is closed by a faceplate or a cover.
    ///
    /// ## What it checks
    /// Whether a faceplate or cover is in place.
    ///
    /// ## Why it matters
    /// An open box offers live terminals to every hand, and lets a fault out into the room.
    ///
    /// ## What to do
    /// Fit a faceplate or cover that closes the box. Broken ones are replaced.
    ///
    /// ## When it does not apply
    /// Where there is no box.
    ///
    /// ## When it cannot tell
    /// When nobody recorded the plate.
    ///
    /// ## Sources
    /// Two quizzes of a code reference site; the California Electrical Code 2022.
    BOX_COVER = "box-cover", Outlet, Faceplate, Danger,
    cite: Citation::all("314.25", Confidence::Two),
    asks: [Faceplate],
    heeds: [Box],
    check: Outlet(check),
}

const OPEN: Violation =
    Violation::new("the box has no faceplate or cover", "fit a faceplate or cover that closes it");

fn check(world: &mut World<'_>) -> Answer {
    if without_box(world) {
        return Answer::NotApplicable("there is no box");
    }
    if world.ask(facts::FACEPLATE) { Answer::Complies } else { Answer::Violates(OPEN) }
}
