//! Whether a person in a wheelchair reaches the outlet.

use crate::code::{Citation, Confidence};
use crate::outlet::words::{MountingLocation, Occupancy};
use crate::outlet::{Field, Length, facts};
use crate::rules::rule::rule;
use crate::rules::verdict::{Bound, Measured, Violation};
use crate::rules::world::{Answer, World};

rule! {
    /// An outlet on a wall or a column lies within the forward reach from a wheelchair. No part of NFPA 70;
    /// runs only when named.
    ///
    /// ## What it checks
    /// The height above the floor, between 380 and 1220 mm, and the depth of what a person has to reach over.
    /// The forward reach only.
    ///
    /// ## Why it matters
    /// Who cannot reach an outlet cannot use the room.
    ///
    /// ## What to do
    /// Move the outlet into the range, or record why it is exempt: dedicated, for service only, redundant, or
    /// in an employee work area.
    ///
    /// ## When it does not apply
    /// To dwellings, and to outlets that are not on a wall or a column.
    ///
    /// ## When it cannot tell
    /// When the height is unknown, or lies outside and nothing says whether the outlet is exempt.
    ///
    /// ## Sources
    /// 2010 ADA Standards 308.2 as published by an accessibility information service. The lenient figure of
    /// each printed pair decides.
    REACH_RANGE = "reach-range", Outlet, Accessibility, Workmanship,
    cite: Citation::Other { standard: "2010 ADA Standards 308", confidence: Confidence::One },
    asks: [Height, ReachExempt],
    heeds: [Occupancy, MountingLocation, ObstructionDepth],
    limits: [LOW, HIGH_OVER_OBSTRUCTION, HIGH, DEEP, TOO_DEEP],
    on_request: true,
    check: Outlet(check),
}

const OUT_OF_REACH: Violation = Violation::new(
    "the outlet is out of reach from a wheelchair",
    "move the outlet into the reach range, or record why it is exempt",
)
.measured(Measured::own(Field::Height))
.limit(Bound::Words("380 to 1220 mm (15 to 48 in) above the floor, less over an obstruction"));

const LOW: Length = Length::micrometres(380_000);
const HIGH: Length = Length::micrometres(1_220_000);
const HIGH_OVER_OBSTRUCTION: Length = Length::micrometres(1_120_000);
const DEEP: Length = Length::micrometres(510_000);
const TOO_DEEP: Length = Length::micrometres(635_000);

fn check(world: &mut World<'_>) -> Answer {
    let dwelling = |occupancy| occupancy == Occupancy::Dwelling;
    let upright = |location| matches!(location, MountingLocation::Wall | MountingLocation::Column);
    if dwelling(world.heed_by(facts::OCCUPANCY, Occupancy::Other, dwelling)) {
        return Answer::NotApplicable("a dwelling");
    }
    if !upright(world.heed_by(facts::MOUNTING_LOCATION, MountingLocation::Wall, upright)) {
        return Answer::NotApplicable("not on a wall or a column");
    }
    let obstruction = world.heed_length(facts::OBSTRUCTION_DEPTH, Length(0), &[DEEP, TOO_DEEP]);
    if in_reach(world, obstruction) {
        return Answer::Complies;
    }
    if world.ask(facts::REACH_EXEMPT) {
        Answer::NotApplicable("exempt from the reach range")
    } else {
        Answer::Violates(OUT_OF_REACH)
    }
}

fn in_reach(world: &mut World<'_>, obstruction: Length) -> bool {
    if obstruction > TOO_DEEP {
        return false;
    }
    let height = world.ask_length(facts::HEIGHT, &[LOW, HIGH_OVER_OBSTRUCTION, HIGH]);
    let high = if obstruction > DEEP { HIGH_OVER_OBSTRUCTION } else { HIGH };
    (LOW..=high).contains(&height)
}
