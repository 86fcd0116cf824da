//! Covers in wet locations.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::outlet::words::{Exposure, WeatherCover};
use crate::rules::pattern::{self, Pattern};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle in a wet location has a cover that is weatherproof with the plug in; a hood is extra duty.
    ///
    /// ## What it checks
    /// The cover of 15 and 20 A receptacles of 125 and 250 V; of other ratings, the cover and whether use is
    /// attended.
    ///
    /// ## Why it matters
    /// Rain runs along the cord into an open cover, onto live blades.
    ///
    /// ## What to do
    /// Fit a cover that is weatherproof in use; a hood must be listed and marked extra duty.
    ///
    /// ## When it does not apply
    /// In dry and in damp locations (see damp-cover).
    ///
    /// ## When it cannot tell
    /// When the exposure, the configuration, the cover or its listing is unknown and could matter. Where it is
    /// washed down under high pressure, a closed cover is accepted (one summary). Receptacles of no known
    /// family count among the other ratings.
    ///
    /// ## Sources
    /// A trade magazine (2015 and later); threads of a code forum; a newsletter of a code instructor on
    /// ratings; a course; the California Electrical Code 2022.
    WET_COVER = "wet-cover", Outlet, DampAndWet, Danger,
    cite: Citation::all("406.9(B)(1)", Confidence::Two),
    asks: [Exposure, Configuration, WeatherCover, CoverIsHood, ExtraDuty, AttendedUse],
    heeds: [Device, DeviceAmps, DeviceVolts, Washdown],
    check: Outlet(check),
}

const NOT_IN_USE: Violation = Violation::new(
    "the receptacle in a wet location has no cover that is weatherproof with the plug in",
    "fit a cover that is weatherproof with the plug in; an outlet box hood must be listed and marked extra duty",
);
const NOT_EXTRA_DUTY: Violation = Violation::new(
    "the outlet box hood is not listed as extra duty",
    "replace the hood with one that is listed and marked extra duty",
);
const UNATTENDED: Violation = Violation::new(
    "the cover is weatherproof only when closed, and what is plugged in is not attended",
    "fit a cover that is weatherproof with the plug in",
);

/// Whether the section for 15 and 20 A receptacles of 125 and 250 V governs.
fn small(pattern: Pattern) -> bool {
    const SERIES: [&str; 8] = ["1", "2", "5", "6", "10", "11", "14", "15"];
    SERIES.contains(&pattern.family.series()) && pattern.is_15_or_20()
}

fn check(world: &mut World<'_>) -> Answer {
    let wet = |exposure| exposure == Exposure::Wet;
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !wet(world.ask_by(facts::EXPOSURE, wet)) {
        return Answer::NotApplicable("not a wet location");
    }
    let cover = world.ask(facts::WEATHER_COVER);
    if pattern::ask(world, small).is_some_and(small) {
        small_rating(world, cover)
    } else {
        other_rating(world, cover)
    }
}

fn small_rating(world: &mut World<'_>, cover: WeatherCover) -> Answer {
    match cover {
        WeatherCover::Closed if world.heed(facts::WASHDOWN, false) => Answer::Complies,
        WeatherCover::None | WeatherCover::Closed => Answer::Violates(NOT_IN_USE),
        WeatherCover::InUse => {
            if !world.ask(facts::COVER_IS_HOOD) || world.ask(facts::EXTRA_DUTY) {
                Answer::Complies
            } else {
                Answer::Violates(NOT_EXTRA_DUTY)
            }
        }
    }
}

fn other_rating(world: &mut World<'_>, cover: WeatherCover) -> Answer {
    match cover {
        WeatherCover::None => Answer::Violates(NOT_IN_USE),
        WeatherCover::InUse => Answer::Complies,
        WeatherCover::Closed if world.ask(facts::ATTENDED_USE) => Answer::Complies,
        WeatherCover::Closed => Answer::Violates(UNATTENDED),
    }
}
