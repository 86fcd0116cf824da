//! Replaced receptacles, with and without a ground.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::rules::pattern::{self, Pattern};
use crate::rules::questions::{is_receptacle, is_replacement};
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A replaced receptacle matches the ground in its box: grounding where there is one; where there is none,
    /// nongrounding or protected by a GFCI.
    ///
    /// ## What it checks
    /// The configuration of a replaced receptacle against the equipment ground in its box, and the GFCI where
    /// there is none.
    ///
    /// ## Why it matters
    /// A grounding receptacle without a ground promises what it cannot do.
    ///
    /// ## What to do
    /// Bring an equipment ground, protect the outlet by a GFCI and label it, or use a nongrounding receptacle.
    ///
    /// ## When it does not apply
    /// To all but replacements.
    ///
    /// ## When it cannot tell
    /// When the ground, the configuration or the protection is unknown. Arc-fault protection, tamper and
    /// weather resistance of replacements are judged like new work; their exceptions are not covered.
    ///
    /// ## Sources
    /// A course; a trade magazine; a thread of a code forum; the California Electrical Code 2022.
    REPLACEMENT_GROUNDING = "replacement-grounding", Outlet, Grounding, Latent,
    cite: Citation::all("406.4(D)(1),(2)", Confidence::Two),
    asks: [Work, GroundPresent, Configuration, Gfci],
    heeds: [Device, DeviceAmps, DeviceVolts],
    check: Outlet(check),
}

const GROUND_UNUSED: Violation = Violation::new(
    "the replacement is a nongrounding receptacle although there is an equipment ground",
    "replace it with a grounding receptacle and connect the equipment ground",
);
const NO_GROUND: Violation = Violation::new(
    "the replacement is a grounding receptacle although there is neither an equipment ground nor a GFCI",
    "protect it with a GFCI, run an equipment grounding conductor to it, or use a nongrounding receptacle",
);

fn check(world: &mut World<'_>) -> Answer {
    let grounding = |pattern: Pattern| pattern.family.grounding();
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !is_replacement(world) {
        return Answer::NotApplicable("not a replacement");
    }
    let Some(pattern) = pattern::ask(world, grounding) else {
        return Answer::NotApplicable("of no family of configurations");
    };
    match (world.ask(facts::GROUND_PRESENT), grounding(pattern)) {
        (true, true) | (false, false) => Answer::Complies,
        (true, false) => Answer::Violates(GROUND_UNUSED),
        (false, true) if world.ask(facts::GFCI) => Answer::Complies,
        (false, true) => Answer::Violates(NO_GROUND),
    }
}
