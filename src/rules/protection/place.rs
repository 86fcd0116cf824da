//! The places that each edition names for ground-fault protection.

use crate::code::Limit;
use crate::outlet::words::{CareCategory, Edition, Exposure, MountingLocation, RoomUse};
use crate::outlet::{Fact, facts};
use crate::rules::questions::{Reach, at_patient_bed};
use crate::rules::world::World;

use super::ground_fault::{Kind, Section};

/// What 210.8 tells apart among rooms.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Place {
    Bathroom,
    Garage,
    Outdoors,
    Rooftop,
    CrawlSpace,
    BasementUnfinished,
    BasementFinished,
    Boathouse,
    Laundry,
    Kitchen,
    FoodPreparation,
    Buffet,
    LockerRoom,
    Laboratory,
    Elsewhere,
}

const fn place_of(room: RoomUse) -> Place {
    match room {
        RoomUse::Bathroom => Place::Bathroom,
        RoomUse::Garage | RoomUse::ServiceBay => Place::Garage,
        RoomUse::Outdoors => Place::Outdoors,
        RoomUse::Rooftop => Place::Rooftop,
        RoomUse::CrawlSpace => Place::CrawlSpace,
        RoomUse::BasementUnfinished => Place::BasementUnfinished,
        RoomUse::BasementFinished => Place::BasementFinished,
        RoomUse::Boathouse => Place::Boathouse,
        RoomUse::Laundry => Place::Laundry,
        RoomUse::Kitchen => Place::Kitchen,
        RoomUse::FoodPreparation => Place::FoodPreparation,
        RoomUse::Buffet => Place::Buffet,
        RoomUse::LockerRoom => Place::LockerRoom,
        RoomUse::Laboratory => Place::Laboratory,
        _ => Place::Elsewhere,
    }
}

/// The first edition that names a place, in dwellings and elsewhere; none where no edition does.
const fn named_since(place: Place) -> [Option<Edition>; 2] {
    const E2014: Option<Edition> = Some(Edition::E2014);
    const E2017: Option<Edition> = Some(Edition::E2017);
    const E2020: Option<Edition> = Some(Edition::E2020);
    const E2023: Option<Edition> = Some(Edition::E2023);
    match place {
        Place::Bathroom | Place::Garage | Place::Outdoors | Place::Rooftop => [E2014, E2014],
        Place::CrawlSpace | Place::BasementUnfinished => [E2014, E2017],
        Place::BasementFinished => [E2020, None],
        Place::Boathouse => [E2014, None],
        Place::Laundry => [E2014, E2020],
        Place::Kitchen => [E2023, E2014],
        Place::FoodPreparation => [E2023, E2020],
        Place::Buffet => [None, E2023],
        Place::LockerRoom => [None, E2014],
        Place::Laboratory | Place::Elsewhere => [None, None],
    }
}

/// Whether the edition names the place of an outlet, for any reason.
pub(super) fn reach(world: &mut World<'_>, section: Section, kind: Kind) -> Reach {
    let edition = world.edition();
    let place = place_of(world.ask_by(facts::ROOM_USE, place_of));
    let room = by_room(place, section, edition);
    let supervised = kind == Kind::Industrial;
    if room && !(supervised && place == Place::Outdoors) {
        return Reach::Yes;
    }
    if serves_kitchen_countertop(world, place, section, edition)
        || near_tub(world, section, edition)
        || exposed_indoors(world, place, section, edition)
    {
        return Reach::Yes;
    }
    let sink = near_sink(world);
    if sink && !(supervised && place == Place::Laboratory) {
        return Reach::Yes;
    }
    if sink || room { Reach::Similar } else { Reach::No }
}

fn by_room(place: Place, section: Section, edition: Edition) -> bool {
    let [dwelling, other] = named_since(place);
    let since = if section == Section::Dwelling { dwelling } else { other };
    since.is_some_and(|since| edition >= since)
}

/// A dwelling kitchen before 2023 turns on whether the outlet serves the countertop.
fn serves_kitchen_countertop(
    world: &mut World<'_>,
    place: Place,
    section: Section,
    edition: Edition,
) -> bool {
    if place != Place::Kitchen || section == Section::Other || edition >= Edition::E2023 {
        return false;
    }
    if let Some(serves) = world.recorded(facts::SERVES_COUNTERTOP) {
        return serves;
    }
    let in_countertop = |location| location == MountingLocation::Countertop;
    in_countertop(world.heed_by(facts::MOUNTING_LOCATION, MountingLocation::Wall, in_countertop))
        || world.ask(facts::SERVES_COUNTERTOP)
}

/// A tub within 1.8 m: in dwellings always, elsewhere from 2020. Asked for where there is such a column.
fn near_tub(world: &mut World<'_>, section: Section, edition: Edition) -> bool {
    let named = section == Section::Dwelling || edition >= Edition::E2020;
    let near = world.limit(Limit::NEAR_WATER).length;
    named
        && world.fact(facts::TUB_DISTANCE) != Fact::Absent
        && world.ask_length(facts::TUB_DISTANCE, &[near]) <= near
}

/// Damp and wet places indoors. Asked for where there is such a column.
fn exposed_indoors(
    world: &mut World<'_>,
    place: Place,
    section: Section,
    edition: Edition,
) -> bool {
    let indoors = !matches!(place, Place::Outdoors | Place::Rooftop);
    if !indoors || world.fact(facts::EXPOSURE) == Fact::Absent {
        return false;
    }
    let (damp, wet) =
        (edition >= Edition::E2020, edition >= Edition::E2020 || section == Section::Other);
    match world.ask(facts::EXPOSURE) {
        Exposure::Dry => false,
        Exposure::Damp => damp,
        Exposure::Wet => wet,
    }
}

/// A sink within 1.8 m, but not at the bed of a patient in category 1 or 2. Asked for where there is
/// such a column.
fn near_sink(world: &mut World<'_>) -> bool {
    let close = |care| matches!(care, CareCategory::Category1 | CareCategory::Category2);
    let near = world.limit(Limit::NEAR_WATER).length;
    if world.fact(facts::SINK_DISTANCE) == Fact::Absent {
        return false;
    }
    let at_bed = at_patient_bed(world)
        && close(world.heed_by(facts::CARE_CATEGORY, CareCategory::Category4, close));
    !at_bed && world.ask_length(facts::SINK_DISTANCE, &[near]) <= near
}
