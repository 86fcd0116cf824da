//! How a faceplate sits.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A faceplate closes the opening completely and seats against the mounting surface.
    ///
    /// ## What it checks
    /// Whether the plate covers the opening, and whether it seats.
    ///
    /// ## Why it matters
    /// What shows beside a plate is a way in for fingers, moisture and dust.
    ///
    /// ## What to do
    /// Fit a plate that closes the opening, a larger one if need be, and seat it against the surface.
    ///
    /// ## When it does not apply
    /// Where no faceplate is in place (see box-cover), and to devices without a receptacle.
    ///
    /// ## When it cannot tell
    /// When neither fault is recorded and one of the two facts is unknown.
    ///
    /// ## Sources
    /// Two quizzes of a code reference site; the California Electrical Code 2022.
    FACEPLATE_SEAT = "faceplate-seat", Outlet, Faceplate, Workmanship,
    cite: Citation::all("406.6", Confidence::Two),
    asks: [FaceplateCovers, FaceplateSeated],
    heeds: [Device, Faceplate],
    check: Outlet(check),
}

const REMEDY: &str = "fit a plate that closes the opening and seats against the surface";
const OPENING: Violation = Violation::new("the faceplate does not close the opening", REMEDY);
const NOT_SEATED: Violation =
    Violation::new("the faceplate does not seat against the mounting surface", REMEDY);

fn check(world: &mut World<'_>) -> Answer {
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !world.heed(facts::FACEPLATE, true) {
        return Answer::NotApplicable("no faceplate is in place; see box-cover");
    }
    if !world.ask(facts::FACEPLATE_COVERS) {
        return Answer::Violates(OPENING);
    }
    if world.ask(facts::FACEPLATE_SEATED) { Answer::Complies } else { Answer::Violates(NOT_SEATED) }
}
