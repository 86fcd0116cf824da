//! Receptacles in floors.

use crate::code::{Citation, Confidence};
use crate::outlet::words::{BoxKind, Listing, MountingLocation, Occupancy};
use crate::outlet::{Set, facts};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle in a floor sits in a box that is listed for floors.
    ///
    /// ## What it checks
    /// The kind of box, and what the device is listed for.
    ///
    /// ## Why it matters
    /// Floors are mopped, walked on and rolled over; an ordinary box keeps neither water nor feet out.
    ///
    /// ## What to do
    /// Replace the box by one that is listed for floors.
    ///
    /// ## When it does not apply
    /// To receptacles that are not in a floor.
    ///
    /// ## When it cannot tell
    /// When the box and the listing are unknown. In a shop it may be the raised floor of a show window: that is
    /// for the authority.
    ///
    /// ## Sources
    /// A trade magazine on floor receptacles (2016); a thread of a code forum; the California Electrical Code
    /// 2022.
    FLOOR_BOX_LISTING = "floor-box-listing", Outlet, Box, Latent,
    cite: Citation::all("314.27(B)", Confidence::Two),
    asks: [MountingLocation, ListedFor, Box],
    heeds: [Device, Occupancy],
    check: Outlet(check),
}

const NOT_A_FLOOR_BOX: Violation = Violation::new(
    "the receptacle in the floor has no box that is listed for floors",
    "replace the box with one that is listed for floors",
);

fn check(world: &mut World<'_>) -> Answer {
    let in_floor = |location| location == MountingLocation::Floor;
    let listed = |listing: Set<Listing>| listing.contains(Listing::FloorBox);
    let floor_box = |kind| kind == BoxKind::FloorBox;
    let mercantile = |occupancy| occupancy == Occupancy::Mercantile;
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !in_floor(world.ask_by(facts::MOUNTING_LOCATION, in_floor)) {
        return Answer::NotApplicable("not in a floor");
    }
    if floor_box(world.ask_by(facts::BOX, floor_box))
        || listed(world.ask_by(facts::LISTED_FOR, listed))
    {
        return Answer::Complies;
    }
    if mercantile(world.heed_by(facts::OCCUPANCY, Occupancy::Other, mercantile)) {
        Answer::Authority("is this the raised floor of a show window, free of moisture and wear?")
    } else {
        Answer::Violates(NOT_A_FLOOR_BOX)
    }
}
