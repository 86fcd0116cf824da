//! What a receptacle in a countertop is listed for.

use crate::code::{Citation, Confidence};
use crate::outlet::words::{Listing, MountingLocation};
use crate::outlet::{Set, facts};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle in a countertop is part of an assembly that is listed for countertops.
    ///
    /// ## What it checks
    /// Whether the listing covers countertops; one for work surfaces does not.
    ///
    /// ## Why it matters
    /// Countertops are wetted. An assembly that is listed for them keeps a spill out of its contacts.
    ///
    /// ## What to do
    /// Replace it by an assembly that is listed for countertops.
    ///
    /// ## When it does not apply
    /// In the 2014 edition, which has no such section, and to receptacles that are not in a countertop.
    ///
    /// ## When it cannot tell
    /// When nothing is recorded about the listing or about where the receptacle is mounted.
    ///
    /// ## Sources
    /// A device maker's code page and a course for 2014; a maker's page on pop-up outlets for 2017 and 2020; the
    /// California Electrical Code 2022; a code reference page for 2023.
    COUNTERTOP_LISTING = "countertop-listing", Outlet, UseListing, Latent,
    cite: Citation::of(["", "406.5(E)", "406.5(E)", "406.5(E)"], [Confidence::Two, Confidence::One, Confidence::Two, Confidence::Two]),
    asks: [MountingLocation, ListedFor],
    heeds: [Device, Edition],
    check: Outlet(check),
}

const UNLISTED: Violation = Violation::new(
    "the assembly in the countertop is not listed for countertops",
    "replace it with a receptacle assembly that is listed for countertops",
);

fn check(world: &mut World<'_>) -> Answer {
    let in_countertop = |location| location == MountingLocation::Countertop;
    let listed = |listing: Set<Listing>| listing.contains(Listing::Countertop);
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !in_countertop(world.ask_by(facts::MOUNTING_LOCATION, in_countertop)) {
        return Answer::NotApplicable("not in a countertop");
    }
    if listed(world.ask_by(facts::LISTED_FOR, listed)) {
        Answer::Complies
    } else {
        Answer::Violates(UNLISTED)
    }
}
