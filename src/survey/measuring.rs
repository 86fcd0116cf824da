//! How facts are collected: where a length is measured from, which way is negative, what must be opened.
//!
//! Common practice, no published source, where no rule's manual page says more. A field without an entry
//! is told by its meaning alone.

use crate::outlet::{Field, Kind};

/// What must be done to see a fact.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Access {
    /// It is seen from the room.
    Room,
    /// The faceplate or cover comes off: de-energised and verified, by qualified persons.
    Opened,
    /// It stands in the papers, at the panel or on the listing of the device.
    Records,
}

impl Access {
    /// In a few words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Room => "seen from the room",
            Self::Opened => "cover off: de-energised, locked out, verified dead; qualified persons",
            Self::Records => "papers, panel or listing",
        }
    }
}

/// What must be done to see a fact.
pub const fn access(field: Field) -> Access {
    match field.info().group.as_bytes() {
        b"enclosure" => match field {
            Field::Gang | Field::BoxMount => Access::Room,
            _ => Access::Opened,
        },
        b"mounting" => match field {
            Field::Surface | Field::SurfaceCombustible | Field::MountedOn => Access::Room,
            _ => Access::Opened,
        },
        b"supply" => match field {
            Field::GroundPresent | Field::Bonding | Field::Phases => Access::Opened,
            _ => Access::Records,
        },
        b"basis" => Access::Records,
        b"device" => match field {
            Field::ListedFor | Field::GfciException | Field::AfciException => Access::Records,
            _ => Access::Room,
        },
        b"plate" => match field {
            Field::FaceKit | Field::ExtraDuty => Access::Records,
            _ => Access::Room,
        },
        _ => match field {
            Field::CareCategory | Field::Occupancy | Field::BathZoneException => Access::Records,
            _ => Access::Room,
        },
    }
}

/// How a fact is measured or told, beyond its meaning; empty where there is no more to say.
pub const fn how(field: Field) -> &'static str {
    match field {
        Field::BoxSetBack => {
            "From the finished surface to the front edge of the box, ring or extender, at its deepest corner, with a depth gauge. Behind the surface is positive, in front of it negative, flush is 0."
        }
        Field::FaceProjection => {
            "From the front of the faceplate to the face of the receptacle, with a depth gauge or feeler gauge. Standing out is positive, recessed negative, flush is 0. 0.015 in decides at a metal plate: give thousandths."
        }
        Field::WallGap => {
            "The widest opening between the edge of the box and the finish, with a gauge, plate off."
        }
        Field::Height => {
            "From the finished floor to the middle of the upper receptacle, or of the only one."
        }
        Field::SinkDistance => {
            "The shortest path of a cord from the outlet to the top inside edge of the sink bowl (to the outside edge under the 2014 edition), not through a wall, floor, ceiling, door or window."
        }
        Field::TubDistance => {
            "In plan, from the outlet to the nearest outside edge of the tub or shower stall; inside it is 0."
        }
        Field::TubRise => {
            "From the top of the tub rim or the threshold of the shower up to the outlet; below it is negative."
        }
        Field::ObstructionDepth => {
            "From the front of the counter, shelf or furniture that a person reaches over to the wall."
        }
        Field::YokeSeat => {
            "Try to rock the device: its ears must bear on something rigid. Say what they bear on."
        }
        Field::DeviceScrew => {
            "The two screws that hold the yoke. Machine screws of the box belong there; drywall and wood screws do not."
        }
        Field::ThreadsPerInch => {
            "With a thread gauge on one of those screws: 32 to the inch is usual."
        }
        Field::CoverScrews => {
            "How many screws hold the receptacle itself to the cover, not the cover to the box."
        }
        Field::Facing => {
            "Where the face looks, whatever the ground pin does: up, down, to the side, tilted."
        }
        Field::ListedFor => {
            "From the listing mark or the maker's sheet: countertop, work-surface, furniture-power, furnishing, floor-box; several parted by commas; none if it is listed for no special use."
        }
        Field::Phases => {
            "The conductors at the device, from the panel directory or a meter: A, B, C, N, parted by commas. On 120/240 the two legs are A and C."
        }
        Field::Volts => {
            "Nominal volts of the circuit: to neutral for one hot conductor, between hots for two or three. From the panel; a meter only by qualified persons."
        }
        Field::Barrier => {
            "Between this device and the next to its right. Secured: made for it and fixed; loose: neither."
        }
        Field::BoxVolume => {
            "As it is marked inside the box, never the figure of a table. in3 or cm3."
        }
        Field::ExtraVolume => {
            "As it is marked on the ring, extension or raised cover; all of them together."
        }
        Field::BoxSize => "Trade size, as 4 x 1-1/2 square or 3 x 2 x 2-1/2 device.",
        Field::Wires14
        | Field::Wires12
        | Field::Wires10
        | Field::Wires18
        | Field::Wires16
        | Field::Wires8
        | Field::Wires6 => {
            "Each conductor that enters the box and ends, is spliced or passes through counts once; an unbroken loop of twice the free length counts twice; pigtails and grounds do not count. Write 0 where there is none of this size."
        }
        Field::GroundWires => {
            "Every equipment grounding conductor that enters the box, without isolated ones."
        }
        Field::Fittings => "Kinds of stud or hickey inside the box, not pieces.",
        Field::Exposure => {
            "Damp: under a roof but open to the weather's moisture. Wet: rain or water can strike it. Dry: neither."
        }
        Field::TerminalsExposed => {
            "Look, do not touch: a live terminal that a finger or a tool could reach."
        }
        Field::Configuration => {
            "Of NEMA WD 6, from the slots or the marking: 5-15R, 5-20R, L6-30R."
        }
        Field::WeatherCover => {
            "closed: weatherproof with nothing plugged in; in-use: with the plug in as well."
        }
        Field::TamperResistant => "TR on the face of the device.",
        Field::WeatherResistant => "WR on the face of the device.",
        Field::HospitalGrade => "A green dot on the face, or hospital grade in the listing.",
        _ => match field.kind() {
            Kind::YesNo => "yes or no; leave it blank where it cannot be told.",
            _ => "",
        },
    }
}
