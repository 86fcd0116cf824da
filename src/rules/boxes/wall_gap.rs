//! The gap between a box and the finish round it.

use crate::code::{Citation, Confidence, Limit};
use crate::outlet::{Field, facts};
use crate::rules::questions::{Finish, finish, pendant, surface_mounted, without_box};
use crate::rules::rule::rule;
use crate::rules::verdict::{Bound, Measured, Violation};
use crate::rules::world::{Answer, World};

rule! {
    /// A finish that does not burn leaves no more than 3 mm (1/8 in) open round a flush box.
    ///
    /// ## What it checks
    /// The widest gap between the box and the finish.
    ///
    /// ## Why it matters
    /// A gap lets the heat of a fault, and flames, into the cavity of the wall.
    ///
    /// ## What to do
    /// Patch the finish up to the edge of the box. Usually the trade that made the finish does it.
    ///
    /// ## When it does not apply
    /// To boxes on the surface of a finish, to pendant boxes, where there is no box, and to finishes that burn:
    /// the section does not speak of them.
    ///
    /// ## When it cannot tell
    /// When the gap was not measured, or is too wide in a finish of unknown kind. Finishes that the code does
    /// not settle are for the authority.
    ///
    /// ## Sources
    /// A code consultancy's page; a thread of an electricians' forum; the California Electrical Code 2022. Both
    /// printed figures count: the lenient one, 3.175 mm, decides.
    WALL_GAP = "wall-gap", Outlet, Box, Workmanship,
    cite: Citation::all("314.21", Confidence::Two),
    asks: [WallGap, Surface],
    heeds: [Box, BoxMount, MountingLocation, SurfaceCombustible],
    limits: [Limit::WALL_GAP.length],
    amendable: [Limit::WALL_GAP],
    corrects: Finishes,
    check: Outlet(check),
}

const TOO_WIDE: Violation = Violation::new(
    "the finish leaves too wide a gap round the box",
    "patch the finish up to the edge of the box",
)
.measured(Measured::own(Field::WallGap));

fn check(world: &mut World<'_>) -> Answer {
    let limit = world.limit(Limit::WALL_GAP);
    if surface_mounted(world) {
        return Answer::NotApplicable("the box stands on the finish");
    }
    if without_box(world) {
        return Answer::NotApplicable("there is no box");
    }
    if pendant(world) {
        return Answer::NotApplicable("a pendant box stands in no finish");
    }
    if world.ask_length(facts::WALL_GAP, &[limit.length]) <= limit.length {
        return Answer::Complies;
    }
    match finish(world) {
        Finish::Noncombustible => Answer::Violates(TOO_WIDE.limit(Bound::AtMost(limit))),
        Finish::Combustible => {
            Answer::NotApplicable("the section speaks of finishes that do not burn")
        }
        Finish::Unsettled => Answer::Authority("does this finish count as noncombustible?"),
    }
}
