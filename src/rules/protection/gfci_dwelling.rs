//! Ground-fault protection, section 210.8(A).

use crate::code::Limit;
use crate::code::{Citation, Confidence};
use crate::rules::rule::rule;
use crate::rules::world::{Answer, World};

use super::ground_fault::{self, Section};

rule! {
    /// Where the edition names the place, a receptacle of a dwelling is protected by a GFCI.
    ///
    /// ## What it checks
    /// Bathrooms, garages, outdoors, crawl spaces, unfinished basements, kitchens, laundries, boathouses, and
    /// 1.8 m (6 ft) round sinks, tubs and showers; each edition adds places. 125 V and 15 or 20 A until 2017;
    /// 125 to 250 V, single-phase, up to 150 V to ground from 2020.
    ///
    /// ## Why it matters
    /// A hand on a faulty appliance and a foot on wet ground complete a circuit; a GFCI opens it before the
    /// heart stops.
    ///
    /// ## What to do
    /// Protect it by a GFCI receptacle, by one upstream, or by a GFCI breaker, and test it.
    ///
    /// ## When it does not apply
    /// To other occupancies (see gfci-other), to places and circuits that the edition does not name, and to
    /// listed exceptions.
    ///
    /// ## When it cannot tell
    /// When the occupancy, the room, the circuit or the protection is unknown and could matter. Distances to
    /// sinks and tubs and the exposure count only where the schedule has such a column. Aquariums, bait wells,
    /// and appliances near a sink (2023) are not covered.
    ///
    /// ## Sources
    /// A municipal code, a course and a device maker's code page for 2014; a code page and an inspectors'
    /// magazine for 2017; the California Electrical Code 2022, a thread of a code forum and an inspectors'
    /// magazine for 2020; a training company on 2023.
    GFCI_DWELLING = "gfci-dwelling", Outlet, ShockProtection, Danger,
    cite: Citation::all("210.8(A)", Confidence::Two),
    asks: [Occupancy, RoomUse, Volts, System, CircuitAmps, Phases, Gfci, ServesCountertop, SinkDistance, TubDistance, Exposure],
    heeds: [Device, Edition, GfciException, Configuration, DeviceAmps, DeviceVolts, MountingLocation, CareCategory, BedLocation],
    limits: [Limit::NEAR_WATER.length],
    amendable: [Limit::NEAR_WATER],
    check: Outlet(check),
}

fn check(world: &mut World<'_>) -> Answer {
    ground_fault::check(world, Section::Dwelling)
}
