//! Receptacles at tubs and showers.

use crate::code::{Citation, Confidence, Limit};
use crate::outlet::words::{Edition, RoomUse};
use crate::outlet::{Field, Length, facts};
use crate::rules::questions::{is_receptacle, since};
use crate::rules::rule::rule;
use crate::rules::verdict::{Bound, Inference, Measured, Violation};
use crate::rules::world::{Answer, World};

rule! {
    /// No receptacle stands in a tub or shower space or, from 2020, in the zone round it.
    ///
    /// ## What it checks
    /// 2014 and 2017: the space within or straight above the tub or shower. From 2020: 900 mm (3 ft) round it,
    /// up to 2.5 m (8 ft) above the rim or threshold.
    ///
    /// ## Why it matters
    /// A wet person in a tub is the best path to ground there is.
    ///
    /// ## What to do
    /// Move the receptacle out of the zone, or blank its box off.
    ///
    /// ## When it does not apply
    /// To rooms that are no bathrooms, unless the row records a tub or shower; to listed exceptions.
    ///
    /// ## When it cannot tell
    /// When the distance, the height or the room is unknown and could matter. Below the rim is for the
    /// authority in 2020; 2023 includes it. A row that says nothing of a tub is judged by its room.
    ///
    /// ## Sources
    /// A course; a device maker's code page for 2020; a thread of a code forum; the California Electrical Code
    /// 2022; an inspectors' magazine on the changes of 2020.
    BATH_SHOWER_ZONE = "bath-shower-zone", Outlet, DampAndWet, Danger,
    cite: Citation::all("406.9(C)", Confidence::Two),
    asks: [RoomUse, InTubSpace, TubDistance, TubRise],
    heeds: [Device, BathZoneException, Edition],
    limits: [Length(0), Limit::TUB_ZONE.length, Limit::TUB_ZONE_RISE.length],
    amendable: [Limit::TUB_ZONE, Limit::TUB_ZONE_RISE],
    check: Outlet(check),
}

const REMEDY: &str =
    "de-energise and verify; move the receptacle out of the zone, or blank the box off";
const IN_TUB: Violation =
    Violation::new("the receptacle is within or straight above a tub or shower", REMEDY);
const IN_ZONE: Violation =
    Violation::new("the receptacle lies in the zone round a tub or shower", REMEDY)
        .measured(Measured::own(Field::TubDistance))
        .limit(Bound::Words("more than 900 mm (3 ft) away, or above 2.5 m (8 ft)"));

fn check(world: &mut World<'_>) -> Answer {
    let bathroom = |room| room == RoomUse::Bathroom;
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !records_a_tub(world) && !bathroom(world.ask_by(facts::ROOM_USE, bathroom)) {
        return Answer::NotApplicable("neither in a bathroom nor recorded near a tub or shower");
    }
    if !since(world, Edition::E2020) {
        return if world.ask(facts::IN_TUB_SPACE) {
            Answer::Violates(IN_TUB)
        } else {
            Answer::Complies
        };
    }
    if world.heed(facts::BATH_ZONE_EXCEPTION, false) {
        return Answer::NotApplicable("a listed exception applies");
    }
    in_zone(world)
}

/// Whether the row says anything of a tub. A row without a word of one is no tub's neighbour.
fn records_a_tub(world: &mut World<'_>) -> bool {
    let records = world.recorded(facts::IN_TUB_SPACE).is_some()
        || world.recorded(facts::TUB_DISTANCE).is_some()
        || world.recorded(facts::TUB_RISE).is_some();
    if !records {
        world.infer(Inference::NoTubRecorded);
    }
    records
}

fn in_zone(world: &mut World<'_>) -> Answer {
    let near = world.limit(Limit::TUB_ZONE).length;
    let high = world.limit(Limit::TUB_ZONE_RISE).length;
    let inside = world.heed(facts::IN_TUB_SPACE, false);
    if !inside && world.ask_length(facts::TUB_DISTANCE, &[near]) > near {
        return Answer::Complies;
    }
    let rise = world.ask_length(facts::TUB_RISE, &[Length(0), high]);
    if rise > high {
        return Answer::Complies;
    }
    if rise < Length(0) && !since(world, Edition::E2023) {
        return Answer::Authority("does the zone of the 2020 edition reach below the rim?");
    }
    Answer::Violates(if inside { IN_TUB } else { IN_ZONE })
}
