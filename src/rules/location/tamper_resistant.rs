//! Tamper-resistant receptacles where children are.

use crate::code::EDITIONS;
use crate::code::{Citation, Confidence, Limit};
use crate::outlet::words::{Edition, Occupancy, RoomUse};
use crate::outlet::{Length, facts};
use crate::rules::pattern::{self, Pattern};
use crate::rules::questions::Reach;
use crate::rules::questions::{is_receptacle, since};
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// Where the edition names the place, a nonlocking 15 or 20 A receptacle within reach of children is listed
    /// as tamper-resistant.
    ///
    /// ## What it checks
    /// The listing, by occupancy and room as each edition names them: dwellings and guest rooms first, then
    /// schools, dormitories, waiting rooms, and more places with each edition.
    ///
    /// ## Why it matters
    /// Children push keys and hairpins into receptacles; most of those burnt are under six.
    ///
    /// ## What to do
    /// Replace it by a receptacle that is listed as tamper-resistant.
    ///
    /// ## When it does not apply
    /// Above 1.7 m (5 1/2 ft), in luminaires and appliances, for an appliance in its own space, to other
    /// configurations, and in places that the edition does not name. Pediatric rooms of hospitals (517.18(C))
    /// are not covered.
    ///
    /// ## When it cannot tell
    /// When the occupancy, the room, the configuration or the listing is unknown and could matter. Places that
    /// resemble those named are for the authority.
    ///
    /// ## Sources
    /// A course; a testing company's page; a thread of a code forum; the California Electrical Code 2022; for
    /// 2023 a trade magazine. Injuries: a safety foundation's figures from federal data, 1991 to 2001.
    TAMPER_RESISTANT = "tamper-resistant", Outlet, TamperResistance, Latent,
    cite: Citation::of(["406.12", "406.12", "406.12", "406.12"], [Confidence::Two, Confidence::Two, Confidence::Two, Confidence::One]),
    asks: [Occupancy, Configuration, TamperResistant, RoomUse],
    heeds: [Device, Height, PartOfEquipment, DedicatedAppliance, DeviceAmps, DeviceVolts, Edition],
    limits: [Limit::OUT_OF_REACH_OF_CHILDREN.length],
    amendable: [Limit::OUT_OF_REACH_OF_CHILDREN],
    check: Outlet(check),
}

const NOT_RESISTANT: Violation = Violation::new(
    "the receptacle is not listed as tamper-resistant",
    "replace it by one that is listed as tamper-resistant",
);

fn check(world: &mut World<'_>) -> Answer {
    let limit = world.limit(Limit::OUT_OF_REACH_OF_CHILDREN).length;
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if world.heed_length(facts::HEIGHT, Length(0), &[limit]) > limit {
        return Answer::NotApplicable("above the reach of children");
    }
    if world.heed(facts::PART_OF_EQUIPMENT, false) {
        return Answer::NotApplicable("part of a luminaire or an appliance");
    }
    if world.heed(facts::DEDICATED_APPLIANCE, false) {
        return Answer::NotApplicable("for an appliance in its own space");
    }
    let reach = reach(world);
    if reach == Reach::No {
        return Answer::NotApplicable("the edition does not name this place");
    }
    if !rated(world) {
        return Answer::NotApplicable("not a nonlocking 15 or 20 A receptacle of the volts named");
    }
    match (world.ask(facts::TAMPER_RESISTANT), reach) {
        (true, _) => Answer::Complies,
        (false, Reach::Similar) => Answer::Authority("is this place similar to those named?"),
        (false, _) => Answer::Violates(NOT_RESISTANT),
    }
}

/// Nonlocking 15 and 20 A receptacles: of 125 V in 2014, of 250 V too from 2017.
fn rated(world: &mut World<'_>) -> bool {
    let class = |pattern: Pattern| (pattern.is_general_125(), pattern.is_general_250());
    match pattern::ask(world, class).map(class) {
        Some((true, _)) => true,
        Some((_, true)) => since(world, Edition::E2017),
        _ => false,
    }
}

/// Which places an edition names.
fn reach(world: &mut World<'_>) -> Reach {
    let edition = world.edition();
    let occupancy = world.ask_by(facts::OCCUPANCY, |occupancy| {
        EDITIONS.map(|edition| by_occupancy(occupancy, edition))
    });
    by_occupancy(occupancy, edition).unwrap_or_else(|| {
        let room = world.ask_by(facts::ROOM_USE, |room| {
            EDITIONS.map(|edition| BY_ROOM.map(|occupancy| by_room(occupancy, room, edition)))
        });
        by_room(occupancy, room, edition)
    })
}

/// Occupancies in which the room decides.
const BY_ROOM: [Occupancy; 3] = [Occupancy::Dwelling, Occupancy::Assembly, Occupancy::Outpatient];

/// What an edition says of an occupancy; none where the room decides.
fn by_occupancy(occupancy: Occupancy, edition: Edition) -> Option<Reach> {
    use Occupancy as O;
    let from = |first| Reach::when(edition >= first);
    Some(match occupancy {
        O::Dwelling if edition < Edition::E2020 => return None,
        O::Assembly | O::Outpatient if edition >= Edition::E2017 => return None,
        O::Dwelling | O::GuestRoom | O::ChildCare => Reach::Yes,
        O::Dormitory | O::Preschool | O::ElementarySchool | O::TransportWaiting => {
            from(Edition::E2017)
        }
        O::DwellingCommon | O::GuestCommon | O::School | O::ResidentialCare => from(Edition::E2020),
        O::FosterCare | O::NursingHome | O::PsychiatricHospital | O::AgriculturalPublic => {
            from(Edition::E2023)
        }
        O::Assembly
        | O::Outpatient
        | O::Hospital
        | O::LimitedCare
        | O::Business
        | O::Mercantile
        | O::Industrial
        | O::Other => Reach::No,
    })
}

/// What an edition says of a room in an occupancy of [`BY_ROOM`].
fn by_room(occupancy: Occupancy, room: RoomUse, edition: Edition) -> Reach {
    use RoomUse as R;
    match occupancy {
        Occupancy::Dwelling => match room {
            R::Boathouse => Reach::No,
            R::CrawlSpace | R::Closet | R::Mechanical | R::Storage => Reach::Similar,
            _ => Reach::Yes,
        },
        Occupancy::Assembly => match room {
            R::Gymnasium | R::Auditorium => Reach::Yes,
            R::Recreation => Reach::Similar,
            _ => Reach::No,
        },
        Occupancy::Outpatient => {
            let latest = edition >= Edition::E2023;
            match room {
                R::Corridor | R::WaitingRoom => Reach::Yes,
                R::Office => {
                    if latest {
                        Reach::Similar
                    } else {
                        Reach::Yes
                    }
                }
                R::Lobby => {
                    if latest {
                        Reach::Yes
                    } else {
                        Reach::Similar
                    }
                }
                R::PatientSleeping => Reach::when(latest),
                _ => Reach::No,
            }
        }
        _ => Reach::No,
    }
}
