//! Grounding receptacles on 15 and 20 A circuits.

use crate::code::{Citation, Confidence};
use crate::outlet::words::Work;
use crate::outlet::{Milli, facts};
use crate::rules::pattern::{self, Pattern};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle on a circuit of 15 or 20 A is of the grounding type.
    ///
    /// ## What it checks
    /// The configuration, on such circuits, in new work and extensions.
    ///
    /// ## Why it matters
    /// Without a grounding contact the metal of an appliance becomes live at its first fault.
    ///
    /// ## What to do
    /// Replace it by a grounding receptacle, with an equipment grounding conductor.
    ///
    /// ## When it does not apply
    /// To other circuits; to replacements (see replacement-grounding); to existing work that was lawful when it
    /// was built.
    ///
    /// ## When it cannot tell
    /// When the circuit, the configuration or the kind of work is unknown and could matter. Rated amperes and
    /// volts stand in for a configuration.
    ///
    /// ## Sources
    /// The California Electrical Code 2022; a trade magazine on article 406 of 2023; NEMA WD 6 for the
    /// configurations.
    GROUNDING_TYPE = "grounding-type", Outlet, Grounding, Latent,
    cite: Citation::all("406.4(A)", Confidence::Two),
    asks: [CircuitAmps, Configuration, Work],
    heeds: [Device, DeviceAmps, DeviceVolts],
    check: Outlet(check),
}

const NONGROUNDING: Violation = Violation::new(
    "a nongrounding receptacle is on a 15 or 20 A circuit",
    "replace it with a grounding receptacle that is connected to an equipment grounding conductor",
);

fn check(world: &mut World<'_>) -> Answer {
    let general = |amps: Milli| amps == Milli::whole(15) || amps == Milli::whole(20);
    let grounding = |pattern: Pattern| pattern.family.grounding();
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !general(world.ask_among(0, facts::CIRCUIT_AMPS, || [15, 30].map(Milli::whole).to_vec())) {
        return Answer::NotApplicable("not a circuit of 15 or 20 A");
    }
    match pattern::ask(world, grounding).map(grounding) {
        None => Answer::NotApplicable("of no family of configurations"),
        Some(true) => Answer::Complies,
        Some(false) => match world.ask_by(facts::WORK, lawful) {
            Work::New | Work::Extension => Answer::Violates(NONGROUNDING),
            Work::Replacement => Answer::NotApplicable("see replacement-grounding"),
            Work::Existing => Answer::NotApplicable("existing work, lawful when it was built"),
        },
    }
}

/// Whether a nongrounding receptacle may stand in such work.
const fn lawful(work: Work) -> bool {
    matches!(work, Work::Replacement | Work::Existing)
}
