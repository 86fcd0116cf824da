//! Covers in damp locations.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::outlet::words::{Exposure, WeatherCover};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle in a damp location has a cover that is weatherproof when nothing is plugged in.
    ///
    /// ## What it checks
    /// The weather cover in damp locations.
    ///
    /// ## Why it matters
    /// Under an open porch the air alone wets the contacts.
    ///
    /// ## What to do
    /// Fit a weatherproof cover.
    ///
    /// ## When it does not apply
    /// In dry and in wet locations (see wet-cover).
    ///
    /// ## When it cannot tell
    /// When the exposure or the cover is unknown.
    ///
    /// ## Sources
    /// A trade magazine's questions on damp and wet locations (2015); a thread of a code forum; a course.
    DAMP_COVER = "damp-cover", Outlet, DampAndWet, Latent,
    cite: Citation::all("406.9(A)", Confidence::Two),
    asks: [Exposure, WeatherCover],
    heeds: [Device],
    check: Outlet(check),
}

const UNCOVERED: Violation = Violation::new(
    "the receptacle in a damp location has no weatherproof cover",
    "fit a cover that is weatherproof when nothing is plugged in",
);

fn check(world: &mut World<'_>) -> Answer {
    let damp = |exposure| exposure == Exposure::Damp;
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !damp(world.ask_by(facts::EXPOSURE, damp)) {
        return Answer::NotApplicable("not a damp location");
    }
    match world.ask(facts::WEATHER_COVER) {
        WeatherCover::Closed | WeatherCover::InUse => Answer::Complies,
        WeatherCover::None => Answer::Violates(UNCOVERED),
    }
}
