//! How far a box may stand behind the finish.

use crate::code::{Citation, Confidence, Limit};
use crate::outlet::words::{Edition, MountingLocation};
use crate::outlet::{Field, Length, facts};
use crate::rules::questions::{Finish, finish, since, surface_mounted, without_box};
use crate::rules::rule::rule;
use crate::rules::verdict::{Bound, Measured, Violation};
use crate::rules::world::{Answer, World};

rule! {
    /// A box stands no more than 6 mm (1/4 in) behind a finish that does not burn, and not behind one that does.
    ///
    /// ## What it checks
    /// The set-back of the front edge of the box, its ring or its extender, and whether the finish burns.
    ///
    /// ## Why it matters
    /// Between a sunken box and a finish that burns, an arc at the terminals reaches fuel.
    ///
    /// ## What to do
    /// Bring the edge of the box out with an extension ring or a box extender.
    ///
    /// ## When it does not apply
    /// To boxes on the surface of a finish, to pendant boxes, where there is no box, and in the 2014 edition
    /// outside walls and ceilings.
    ///
    /// ## When it cannot tell
    /// When the set-back was not measured, or lies between flush and 6 mm and the finish is unknown. Laminate,
    /// vinyl, reinforced plastic, fabric and acoustic tile are for the authority unless the schedule says
    /// whether they burn.
    ///
    /// ## Sources
    /// A course; a trade magazine's photographs of violations; two threads of a code forum; the California
    /// Electrical Code 2022. Both printed figures count: the lenient one, 6.35 mm, decides.
    BOX_SET_BACK = "box-set-back", Outlet, Box, Latent,
    cite: Citation::all("314.20", Confidence::Two),
    asks: [BoxSetBack, Surface],
    heeds: [Box, BoxMount, MountingLocation, SurfaceCombustible, Edition],
    limits: [Length(0), Limit::SET_BACK.length],
    amendable: [Limit::SET_BACK],
    check: Outlet(check),
}

const REMEDY: &str = "bring the edge of the box out with an extension ring or a box extender";
const TOO_DEEP: Violation =
    Violation::new("the box stands too far behind the finished surface", REMEDY)
        .measured(Measured::own(Field::BoxSetBack));
const BEHIND_COMBUSTIBLE: Violation =
    Violation::new("the box stands behind a finish that burns", REMEDY)
        .measured(Measured::own(Field::BoxSetBack))
        .limit(Bound::Words("flush or projecting in a combustible finish"));

/// What the rule tells apart among the places of an outlet.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Place {
    WallOrCeiling,
    Pendant,
    Elsewhere,
}

const fn place_of(location: MountingLocation) -> Place {
    match location {
        MountingLocation::Wall | MountingLocation::Ceiling => Place::WallOrCeiling,
        MountingLocation::Pendant => Place::Pendant,
        _ => Place::Elsewhere,
    }
}

fn check(world: &mut World<'_>) -> Answer {
    if surface_mounted(world) {
        return Answer::NotApplicable("the box stands on the finish");
    }
    if without_box(world) {
        return Answer::NotApplicable("there is no box");
    }
    let place = world.heed_by(facts::MOUNTING_LOCATION, MountingLocation::Wall, place_of);
    match place_of(place) {
        Place::WallOrCeiling => set_back(world),
        Place::Pendant => Answer::NotApplicable("a pendant box stands in no finish"),
        Place::Elsewhere if since(world, Edition::E2017) => set_back(world),
        Place::Elsewhere => {
            Answer::NotApplicable("the 2014 edition speaks of walls and ceilings only")
        }
    }
}

fn set_back(world: &mut World<'_>) -> Answer {
    let limit = world.limit(Limit::SET_BACK);
    let set_back = world.ask_length(facts::BOX_SET_BACK, &[Length(0), limit.length]);
    if set_back <= Length(0) {
        return Answer::Complies;
    }
    if set_back > limit.length {
        return Answer::Violates(TOO_DEEP.limit(Bound::AtMost(limit)));
    }
    match finish(world) {
        Finish::Noncombustible => Answer::Complies,
        Finish::Combustible => Answer::Violates(BEHIND_COMBUSTIBLE),
        Finish::Unsettled => Answer::Authority("does this finish count as combustible?"),
    }
}
