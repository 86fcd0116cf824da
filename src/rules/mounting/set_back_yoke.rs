//! The yoke where the box stands behind the finish.

use crate::code::{Citation, Confidence};
use crate::outlet::words::YokeSeat;
use crate::outlet::{Field, Length, facts};
use crate::rules::questions::{is_receptacle, on_box, surface_mounted};
use crate::rules::rule::rule;
use crate::rules::verdict::{FactRef, Inference, Measured, Violation};
use crate::rules::world::{Answer, World};

rule! {
    /// Where the box stands behind the finish, the yoke is held rigidly at the finished surface.
    ///
    /// ## What it checks
    /// A receptacle on a box whose front edge is set back: what its yoke is held against.
    ///
    /// ## Why it matters
    /// A yoke that is drawn back to a sunken box, or that floats, moves at each use; plates crack, terminals
    /// loosen, and a plug may not seat.
    ///
    /// ## What to do
    /// Bring the yoke to the finished surface with a box extender, or with spacers under both ends of the yoke.
    ///
    /// ## When it does not apply
    /// To boxes that are flush, project, or stand on the finish (see flush-yoke), and to receptacles that are
    /// mounted on a cover or an assembly.
    ///
    /// ## When it cannot tell
    /// When the set-back or the seat of the yoke is unknown. A loose yoke is taken as a violation wherever the
    /// box stands. A yoke recorded against a cover contradicts a receptacle recorded on the box.
    ///
    /// ## Sources
    /// A code reference site's pages on article 406; a course on the like rule for switches; the California
    /// Electrical Code 2022.
    SET_BACK_YOKE = "set-back-yoke", Outlet, Mounting, Latent,
    cite: Citation::all("406.5(A)", Confidence::Two),
    asks: [MountedOn, BoxSetBack, YokeSeat],
    heeds: [Device, BoxMount],
    limits: [Length(0)],
    check: Outlet(check),
}

const REMEDY: &str = "bring the yoke to the finished surface: a box extender, or spacers under both ends of the yoke";
const SUNK: Violation =
    Violation::new("the box is set back and the yoke is drawn back against it", REMEDY)
        .measured(Measured::own(Field::BoxSetBack));
const LOOSE: Violation =
    Violation::new("the yoke is not held rigidly at the finished surface", REMEDY);

fn check(world: &mut World<'_>) -> Answer {
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if surface_mounted(world) {
        return Answer::NotApplicable("the box stands on the finish; see flush-yoke");
    }
    if !on_box(world) {
        return Answer::NotApplicable("not mounted on a box");
    }
    if is_loose_without_set_back(world) {
        world.infer(Inference::LooseYoke);
        return Answer::Violates(LOOSE);
    }
    if world.ask_length(facts::BOX_SET_BACK, &[Length(0)]) <= Length(0) {
        return Answer::NotApplicable("the box is flush or projects; see flush-yoke");
    }
    match world.ask(facts::YOKE_SEAT) {
        YokeSeat::Surface => Answer::Complies,
        YokeSeat::Box => Answer::Violates(SUNK),
        YokeSeat::Loose => Answer::Violates(LOOSE),
        YokeSeat::Cover => {
            world.contradiction(&[FactRef::own(Field::MountedOn), FactRef::own(Field::YokeSeat)])
        }
    }
}

/// A yoke that is recorded as loose is loose wherever the box stands.
pub(super) fn is_loose_without_set_back(world: &mut World<'_>) -> bool {
    world.recorded(facts::YOKE_SEAT) == Some(YokeSeat::Loose)
        && !world.fact(facts::BOX_SET_BACK).is_known()
}
