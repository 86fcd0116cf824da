//! The yoke where the box is flush with the finish, projects, or stands on it.

use crate::code::{Citation, Confidence};
use crate::outlet::words::YokeSeat;
use crate::outlet::{Field, Length, facts};
use crate::rules::questions::{is_receptacle, on_box, surface_mounted};
use crate::rules::rule::rule;
use crate::rules::verdict::{FactRef, Inference, Violation};
use crate::rules::world::{Answer, World};

use super::set_back_yoke::is_loose_without_set_back;

rule! {
    /// Where the box is flush or projects, the yoke is held rigidly against the box or its raised cover.
    ///
    /// ## What it checks
    /// A receptacle on a box whose front edge is flush with the finish, stands in front of it, or whose box is
    /// mounted on the finish: what its yoke is held against.
    ///
    /// ## Why it matters
    /// A yoke that is held by its plate alone moves at each use, until terminals loosen and heat.
    ///
    /// ## What to do
    /// Tighten the yoke against the box or its raised cover; replace stripped screws or a bent yoke.
    ///
    /// ## When it does not apply
    /// To boxes that stand behind the finish (see set-back-yoke), and to receptacles that are mounted on a cover
    /// or an assembly.
    ///
    /// ## When it cannot tell
    /// When the set-back or the seat of the yoke is unknown. A yoke recorded against the finish contradicts a
    /// box that stands in front of it.
    ///
    /// ## Sources
    /// A code reference site's pages on article 406; a course on the like rule for switches; the California
    /// Electrical Code 2022.
    FLUSH_YOKE = "flush-yoke", Outlet, Mounting, Latent,
    cite: Citation::all("406.5(B)", Confidence::Two),
    asks: [MountedOn, BoxSetBack, YokeSeat],
    heeds: [Device, BoxMount],
    limits: [Length(0)],
    check: Outlet(check),
}

const LOOSE: Violation = Violation::new(
    "the yoke is not held rigidly against the box or its cover",
    "tighten the yoke against the box or the raised cover; replace stripped screws or a bent yoke",
);

fn check(world: &mut World<'_>) -> Answer {
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !on_box(world) {
        return Answer::NotApplicable("not mounted on a box");
    }
    if surface_mounted(world) {
        return seat(world, Field::BoxMount, false);
    }
    if is_loose_without_set_back(world) {
        world.infer(Inference::LooseYoke);
        return Answer::NotApplicable("a loose yoke of unknown set-back; see set-back-yoke");
    }
    let set_back = world.ask_length(facts::BOX_SET_BACK, &[Length(0)]);
    if set_back > Length(0) {
        return Answer::NotApplicable("the box stands behind the finish; see set-back-yoke");
    }
    seat(world, Field::BoxSetBack, set_back == Length(0))
}

/// The yoke against the box, its cover, or (where box and finish lie in one plane) the finish.
fn seat(world: &mut World<'_>, place: Field, one_plane: bool) -> Answer {
    match world.ask(facts::YOKE_SEAT) {
        YokeSeat::Box | YokeSeat::Cover => Answer::Complies,
        YokeSeat::Loose => Answer::Violates(LOOSE),
        YokeSeat::Surface if one_plane => Answer::Complies,
        YokeSeat::Surface => {
            world.contradiction(&[FactRef::own(place), FactRef::own(Field::YokeSeat)])
        }
    }
}
