//! Ground-fault protection, section 210.8(B).

use crate::code::Limit;
use crate::code::{Citation, Confidence};
use crate::rules::rule::rule;
use crate::rules::world::{Answer, World};

use super::ground_fault::{self, Section};

rule! {
    /// Where the edition names the place, a receptacle outside dwellings is protected by a GFCI.
    ///
    /// ## What it checks
    /// Bathrooms, kitchens, rooftops, outdoors, locker rooms, garages, and 1.8 m (6 ft) round sinks; each
    /// edition adds places. 125 V and 15 or 20 A in 2014; from 2017 up to 150 V to ground, 50 A single-phase
    /// and 100 A three-phase.
    ///
    /// ## Why it matters
    /// A hand on a faulty appliance and a foot on wet ground complete a circuit; a GFCI opens it before the
    /// heart stops.
    ///
    /// ## What to do
    /// Protect it by a GFCI receptacle, by one upstream, or by a GFCI breaker, and test it.
    ///
    /// ## When it does not apply
    /// To dwellings (see gfci-dwelling), to places and circuits that the edition does not name, and to listed
    /// exceptions. Not to a sink near a patient bed of category 1 or 2.
    ///
    /// ## When it cannot tell
    /// When the occupancy, the room, the circuit or the protection is unknown and could matter. Distances to
    /// sinks and tubs and the exposure count only where the schedule has such a column. In 2014 and 2017 a
    /// kitchen has a sink and permanent cooking: a pantry or a break room counts only if the schedule calls it
    /// a kitchen. Nothing tells an outlet that stayed from one that was replaced later. In supervised
    /// industrial places, outdoors and laboratory sinks are for the authority. Locker rooms of 2014 are
    /// confirmed by one summary only.
    ///
    /// ## Sources
    /// A thread of a code forum, a device maker's code page and a contractors' association for 2014; a training
    /// site and a thread for 2017; the California Electrical Code 2022 and a trade magazine for 2020; a course
    /// and a guide for 2023.
    GFCI_OTHER = "gfci-other", Outlet, ShockProtection, Danger,
    cite: Citation::of(["210.8(B)", "210.8(B)", "210.8(B)", "210.8(B)"], [Confidence::Two, Confidence::Two, Confidence::Two, Confidence::Two]),
    asks: [Occupancy, RoomUse, Volts, System, CircuitAmps, Phases, Gfci, ServesCountertop, SinkDistance, TubDistance, Exposure],
    heeds: [Device, Edition, GfciException, Configuration, DeviceAmps, DeviceVolts, MountingLocation, CareCategory, BedLocation],
    limits: [Limit::NEAR_WATER.length],
    amendable: [Limit::NEAR_WATER],
    check: Outlet(check),
}

fn check(world: &mut World<'_>) -> Answer {
    ground_fault::check(world, Section::Other)
}
