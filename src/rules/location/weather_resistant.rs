//! Weather-resistant receptacles in damp and wet locations.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::outlet::words::Exposure;
use crate::rules::pattern::{self, Pattern};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A nonlocking 15 or 20 A receptacle in a damp or wet location is listed as weather-resistant.
    ///
    /// ## What it checks
    /// The listing of 5-15, 5-20, 6-15 and 6-20 receptacles in damp and wet locations.
    ///
    /// ## Why it matters
    /// Ordinary contacts corrode; a corroded contact heats, and a cracked face lets water in.
    ///
    /// ## What to do
    /// Replace it by a receptacle that is listed as weather-resistant.
    ///
    /// ## When it does not apply
    /// In dry locations, and to other configurations.
    ///
    /// ## When it cannot tell
    /// When the exposure, the configuration or the listing is unknown.
    ///
    /// ## Sources
    /// A trade magazine's questions on damp and wet locations (2015); a thread of a code forum; a course.
    WEATHER_RESISTANT = "weather-resistant", Outlet, DampAndWet, Latent,
    cite: Citation::all("406.9(A),(B)(1)", Confidence::Two),
    asks: [Exposure, Configuration, WeatherResistant],
    heeds: [Device, DeviceAmps, DeviceVolts],
    check: Outlet(check),
}

const NOT_RESISTANT: Violation = Violation::new(
    "the receptacle in a damp or wet location is not listed as weather-resistant",
    "replace it with one that is listed as weather-resistant",
);

fn check(world: &mut World<'_>) -> Answer {
    let general = |pattern: Pattern| pattern.is_general_125() || pattern.is_general_250();
    let exposed = |exposure| exposure != Exposure::Dry;
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !exposed(world.ask_by(facts::EXPOSURE, exposed)) {
        return Answer::NotApplicable("a dry location");
    }
    if !pattern::ask(world, general).is_some_and(general) {
        return Answer::NotApplicable("not a nonlocking 15 or 20 A receptacle of 125 or 250 V");
    }
    if world.ask(facts::WEATHER_RESISTANT) {
        Answer::Complies
    } else {
        Answer::Violates(NOT_RESISTANT)
    }
}
