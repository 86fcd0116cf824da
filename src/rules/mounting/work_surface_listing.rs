//! What a receptacle in a work surface is listed for.

use crate::code::{Citation, Confidence};
use crate::outlet::words::{Listing, MountingLocation};
use crate::outlet::{Set, facts};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle in a work surface is part of an assembly that is listed for work surfaces or countertops.
    ///
    /// ## What it checks
    /// Whether the listing covers work surfaces or countertops.
    ///
    /// ## Why it matters
    /// A desk or a bench is not wetted as a countertop is, but things fall on it: the assembly must take it.
    ///
    /// ## What to do
    /// Use an assembly that is listed for work surfaces or for countertops, or let the authority decide.
    ///
    /// ## When it does not apply
    /// In the 2014 edition, which has no such section, and to receptacles that are not in a work surface.
    ///
    /// ## When it cannot tell
    /// When nothing is recorded about the listing. The section permits listed assemblies and does not say what
    /// becomes of others: those are for the authority. Facing up is another rule (see face-up-surface).
    ///
    /// ## Sources
    /// The California Electrical Code 2022; a code reference page for 2023; a course on the two listings; the
    /// section of 2017 is from memory.
    WORK_SURFACE_LISTING = "work-surface-listing", Outlet, UseListing, Workmanship,
    cite: Citation::of(["", "406.5(F)", "406.5(F)", "406.5(F)"], [Confidence::One, Confidence::Memory, Confidence::One, Confidence::One]),
    asks: [MountingLocation, ListedFor],
    heeds: [Device, Edition],
    corrects: Furnishings,
    check: Outlet(check),
}

fn check(world: &mut World<'_>) -> Answer {
    let in_work_surface = |location| location == MountingLocation::WorkSurface;
    let listed = |listing: Set<Listing>| {
        listing.contains(Listing::WorkSurface) || listing.contains(Listing::Countertop)
    };
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !in_work_surface(world.ask_by(facts::MOUNTING_LOCATION, in_work_surface)) {
        return Answer::NotApplicable("not in a work surface");
    }
    if listed(world.ask_by(facts::LISTED_FOR, listed)) {
        Answer::Complies
    } else {
        Answer::Authority("may this assembly stay in a work surface without being listed for one?")
    }
}
