//! Receptacles that face up in seating and furniture.

use crate::code::{Citation, Confidence};
use crate::outlet::words::{Facing, Listing, MountingLocation};
use crate::outlet::{Set, facts};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle in seating does not face up, unless it is part of a unit that is listed for such a use.
    ///
    /// ## What it checks
    /// Where the face looks and, when it looks up, whether the unit is listed as furniture power, furnishing,
    /// for countertops, or as a floor box.
    ///
    /// ## Why it matters
    /// People sit on it, spill on it, and drop keys into it.
    ///
    /// ## What to do
    /// Turn the receptacle to the side, or use a unit that is listed for furniture, countertops or floors.
    ///
    /// ## When it does not apply
    /// To receptacles that are not in seating or furniture.
    ///
    /// ## When it cannot tell
    /// When the direction, the place or the listing is unknown. Other furniture is for the authority ("similar
    /// surfaces"), and so is a tilted face.
    ///
    /// ## Sources
    /// A course, a device maker's code page and a thread of a code forum for 2014; the California Electrical Code
    /// 2022. That the four listed uses stand in every edition is from memory.
    FACE_UP_SEATING = "face-up-seating", Outlet, Orientation, Latent,
    cite: Citation::of(["406.5(F)", "406.5(H)", "406.5(H)", "406.5(H)"], [Confidence::Two; 4]),
    asks: [MountingLocation, Facing, ListedFor],
    heeds: [Device],
    corrects: Furnishings,
    check: Outlet(check),
}

const FACES_UP: Violation = Violation::new(
    "the receptacle in the seating faces up and is not part of a unit listed for that use",
    "turn it to the side, or use a unit listed for furniture, countertops or floors",
);

/// What the rule tells apart among the places of an outlet.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Place {
    Seating,
    Furniture,
    Elsewhere,
}

const fn place_of(location: MountingLocation) -> Place {
    match location {
        MountingLocation::Seating => Place::Seating,
        MountingLocation::Furniture => Place::Furniture,
        _ => Place::Elsewhere,
    }
}

fn excepted(listing: Set<Listing>) -> bool {
    [Listing::FurniturePower, Listing::Furnishing, Listing::Countertop, Listing::FloorBox]
        .into_iter()
        .any(|use_| listing.contains(use_))
}

fn check(world: &mut World<'_>) -> Answer {
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    let place = place_of(world.ask_by(facts::MOUNTING_LOCATION, place_of));
    if place == Place::Elsewhere {
        return Answer::NotApplicable("not in seating or furniture");
    }
    match world.ask(facts::FACING) {
        Facing::Side | Facing::Down => Answer::Complies,
        Facing::Tilted => Answer::Authority("does a tilted face count as facing up?"),
        Facing::Up if excepted(world.ask_by(facts::LISTED_FOR, excepted)) => Answer::Complies,
        Facing::Up if place == Place::Seating => Answer::Violates(FACES_UP),
        Facing::Up => Answer::Authority("is this furniture a surface similar to seating?"),
    }
}
