//! Arc-fault protection.

use crate::code::{Citation, Confidence};
use crate::outlet::system::nominal;
use crate::outlet::words::{Device, Edition, Occupancy, RoomUse, Work};
use crate::outlet::{Milli, facts};
use crate::rules::questions::Reach;
use crate::rules::questions::{device, since};
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// Where the edition names the room, an outlet on a 120 V circuit of 15 or 20 A is protected against arc
    /// faults.
    ///
    /// ## What it checks
    /// Receptacles, switches and other devices in the named rooms of dwellings and dormitories; from 2017 in
    /// guest rooms, from 2020 in patient sleeping rooms of nursing homes and limited-care facilities; from 2023
    /// on 10 A circuits too.
    ///
    /// ## Why it matters
    /// A damaged cord or a loose terminal arcs without tripping an ordinary breaker, beside a bed or a curtain.
    ///
    /// ## What to do
    /// Protect the branch circuit by an arc-fault breaker, or as the edition allows at its first outlet.
    ///
    /// ## When it does not apply
    /// To existing work, listed exceptions, other circuits, and rooms that the edition does not name. Sleeping
    /// quarters of fire, police and ambulance stations (2023) are not covered.
    ///
    /// ## When it cannot tell
    /// When the occupancy, the room, the circuit or the protection is unknown and could matter. Rooms like
    /// those named are for the authority. Kitchens and laundries of dormitories are not among the named rooms;
    /// some authorities take them in.
    ///
    /// ## Sources
    /// Device makers' code pages for 2014, 2020 and 2023; courses for 2014, 2017 and 2023; a university's page
    /// and the California Electrical Code 2022 for 2020; a trade magazine on limited-care facilities.
    AFCI = "afci", Outlet, ArcProtection, Latent,
    cite: Citation::all("210.12", Confidence::Two),
    asks: [Occupancy, RoomUse, Volts, CircuitAmps, Afci],
    heeds: [Device, Work, AfciException, Edition],
    check: Outlet(check),
}

const UNPROTECTED: Violation = Violation::new(
    "the outlet has no arc-fault protection",
    "protect the branch circuit with an arc-fault circuit breaker or, where the edition allows it, with a device at its first outlet",
);

fn check(world: &mut World<'_>) -> Answer {
    let existing = |work| work == Work::Existing;
    if existing(world.heed_by(facts::WORK, Work::New, existing)) {
        return Answer::NotApplicable("existing work, judged by its own edition");
    }
    if world.heed(facts::AFCI_EXCEPTION, false) {
        return Answer::NotApplicable("a listed exception applies");
    }
    let reach = reach(world);
    if reach == Reach::No {
        return Answer::NotApplicable("the edition does not name this place");
    }
    if !rated(world) {
        return Answer::NotApplicable("not a circuit of the volts and amperes named");
    }
    match (world.ask(facts::AFCI), reach) {
        (true, _) => Answer::Complies,
        (false, Reach::Similar) => Answer::Authority("is this room similar to those named?"),
        (false, _) => Answer::Violates(UNPROTECTED),
    }
}

/// 120 V circuits of 15 and 20 A, from 2023 of 10 A too.
fn rated(world: &mut World<'_>) -> bool {
    let volts = world.ask_among(0, facts::VOLTS, || [120, 1].map(Milli::whole).to_vec());
    if nominal(volts) != Some(120) {
        return false;
    }
    let amps =
        world.ask_among(0, facts::CIRCUIT_AMPS, || [10, 15, 20, 30].map(Milli::whole).to_vec());
    let general = amps == Milli::whole(15) || amps == Milli::whole(20);
    general || amps == Milli::whole(10) && since(world, Edition::E2023)
}

/// Occupancies that the rule tells apart.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Dwelling,
    Dormitory,
    GuestRoom,
    Nursing,
    Other,
}

const fn kind_of(occupancy: Occupancy) -> Kind {
    match occupancy {
        Occupancy::Dwelling => Kind::Dwelling,
        Occupancy::Dormitory => Kind::Dormitory,
        Occupancy::GuestRoom => Kind::GuestRoom,
        Occupancy::NursingHome | Occupancy::LimitedCare => Kind::Nursing,
        _ => Kind::Other,
    }
}

/// Which places an edition names.
fn reach(world: &mut World<'_>) -> Reach {
    let kind = kind_of(world.ask_by(facts::OCCUPANCY, kind_of));
    match kind {
        Kind::Other => Reach::No,
        Kind::GuestRoom => Reach::when(since(world, Edition::E2017)),
        Kind::Nursing if !since(world, Edition::E2020) => Reach::No,
        Kind::Dormitory if !since(world, Edition::E2017) && !has_receptacle_or_other(world) => {
            Reach::No
        }
        _ => {
            let edition = world.edition();
            let room = world.ask_by(facts::ROOM_USE, |room| {
                [Edition::E2014, Edition::E2017]
                    .map(|edition| ROOM_DECIDES.map(|kind| by_room(kind, room, edition)))
            });
            by_room(kind, room, edition)
        }
    }
}

/// Switches and dimmers of dormitories are not reached in 2014.
fn has_receptacle_or_other(world: &mut World<'_>) -> bool {
    !matches!(device(world, 0), Device::Switch | Device::Dimmer)
}

/// Occupancies in which the room decides.
const ROOM_DECIDES: [Kind; 3] = [Kind::Dwelling, Kind::Dormitory, Kind::Nursing];

const fn by_room(kind: Kind, room: RoomUse, edition: Edition) -> Reach {
    use RoomUse as R;
    match kind {
        Kind::Dwelling => match room {
            R::Kitchen
            | R::Living
            | R::Dining
            | R::Bedroom
            | R::Sunroom
            | R::Recreation
            | R::Closet
            | R::Hallway
            | R::Laundry => Reach::Yes,
            R::Office | R::BasementFinished | R::Other => Reach::Similar,
            _ => Reach::No,
        },
        Kind::Dormitory => match room {
            R::Bedroom | R::Living | R::Hallway | R::Closet => Reach::Yes,
            R::Bathroom => Reach::when(!matches!(edition, Edition::E2014)),
            R::Dining | R::Sunroom | R::Recreation | R::Office | R::Other => Reach::Similar,
            _ => Reach::No,
        },
        Kind::Nursing => Reach::when(matches!(room, R::PatientSleeping)),
        Kind::GuestRoom | Kind::Other => Reach::No,
    }
}
