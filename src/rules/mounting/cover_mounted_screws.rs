//! The screws of a receptacle that is mounted on a cover.

use crate::code::{Citation, Confidence};
use crate::outlet::words::{MountedOn, YokeSeat};
use crate::outlet::{Field, facts};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::{Bound, Measured, Violation};
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle that is mounted on a cover is held to it by more than one screw.
    ///
    /// ## What it checks
    /// The number of screws between a receptacle and its cover; a single one is enough only where the cover or
    /// the assembly is listed and identified for it.
    ///
    /// ## Why it matters
    /// One screw is a hinge: the receptacle turns behind its cover until conductors touch metal.
    ///
    /// ## What to do
    /// Hold the receptacle to its cover by two screws, or use a cover that is listed for a single screw.
    ///
    /// ## When it does not apply
    /// To receptacles that are not mounted on a cover.
    ///
    /// ## When it cannot tell
    /// When the screws are not counted, or when there is one and nothing says what the cover is listed for.
    ///
    /// ## Sources
    /// Two threads of a home inspectors' forum on receptacles in covers; the California Electrical Code 2022.
    COVER_MOUNTED_SCREWS = "cover-mounted-screws", Outlet, Mounting, Latent,
    cite: Citation::all("406.5(C)", Confidence::Two),
    asks: [MountedOn, CoverScrews, SingleScrewCover],
    heeds: [Device, YokeSeat],
    check: Outlet(check),
}

const REMEDY: &str =
    "hold the receptacle to its cover with two screws, or use a cover listed for a single screw";
const LOOSE: Violation = Violation::new("the yoke is loose on its cover", REMEDY);
const TOO_FEW: Violation =
    Violation::new("too few screws hold the receptacle to its cover", REMEDY)
        .measured(Measured::own(Field::CoverScrews))
        .limit(Bound::CountAtLeast(2));

fn check(world: &mut World<'_>) -> Answer {
    let on_cover = |mounted| mounted == MountedOn::Cover;
    let loose = |seat| seat == YokeSeat::Loose;
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !on_cover(world.ask_by(facts::MOUNTED_ON, on_cover)) {
        return Answer::NotApplicable("not mounted on a cover");
    }
    if loose(world.heed_by(facts::YOKE_SEAT, YokeSeat::Cover, loose)) {
        return Answer::Violates(LOOSE);
    }
    match world.ask_among(0, facts::COVER_SCREWS, || vec![0, 1, 2]) {
        1 if world.ask(facts::SINGLE_SCREW_COVER) => Answer::Complies,
        0 | 1 => Answer::Violates(TOO_FEW),
        _ => Answer::Complies,
    }
}
