//! Receptacles that face up in countertops and work surfaces.

use crate::code::{Citation, Confidence};
use crate::outlet::words::{Edition, Facing, Listing, MountingLocation};
use crate::outlet::{Set, facts};
use crate::rules::questions::{is_receptacle, since};
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle in a countertop or a work surface faces up only in an assembly that is listed for it.
    ///
    /// ## What it checks
    /// Where the face looks and, when it looks up, what the assembly is listed for: countertops in 2014, work
    /// surfaces too from 2017.
    ///
    /// ## Why it matters
    /// A spill runs straight into contacts that face up.
    ///
    /// ## What to do
    /// Turn the receptacle to the side, or use an assembly that is listed for the surface.
    ///
    /// ## When it does not apply
    /// To receptacles that are not in a countertop or a work surface.
    ///
    /// ## When it cannot tell
    /// When the direction or the listing is unknown. A tilted face is for the authority, and so is, in 2014, an
    /// assembly that is listed for work surfaces only.
    ///
    /// ## Sources
    /// Device makers' code pages for 2014 and 2020; an inspectors' magazine on the changes of 2020; the
    /// California Electrical Code 2022.
    FACE_UP_SURFACE = "face-up-surface", Outlet, Orientation, Latent,
    cite: Citation::of(["406.5(E)", "406.5(G)", "406.5(G)(1)", "406.5(G)(1)"], [Confidence::Two; 4]),
    asks: [MountingLocation, Facing, ListedFor],
    heeds: [Device, Edition],
    check: Outlet(check),
}

const FACES_UP: Violation = Violation::new(
    "the receptacle faces up and its assembly is not listed for the surface",
    "turn it to the side, or use an assembly that is listed for the surface",
);

fn check(world: &mut World<'_>) -> Answer {
    let in_surface =
        |location| matches!(location, MountingLocation::Countertop | MountingLocation::WorkSurface);
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !in_surface(world.ask_by(facts::MOUNTING_LOCATION, in_surface)) {
        return Answer::NotApplicable("not in a countertop or a work surface");
    }
    match world.ask(facts::FACING) {
        Facing::Side | Facing::Down => Answer::Complies,
        Facing::Tilted => Answer::Authority("does a tilted face count as facing up?"),
        Facing::Up => facing_up(world),
    }
}

fn facing_up(world: &mut World<'_>) -> Answer {
    let listing = world.ask_by(facts::LISTED_FOR, |listing: Set<Listing>| {
        (listing.contains(Listing::Countertop), listing.contains(Listing::WorkSurface))
    });
    if listing.contains(Listing::Countertop) {
        return Answer::Complies;
    }
    if !listing.contains(Listing::WorkSurface) {
        return Answer::Violates(FACES_UP);
    }
    if since(world, Edition::E2017) {
        Answer::Complies
    } else {
        Answer::Authority("does a listing for work surfaces satisfy the 2014 edition?")
    }
}
