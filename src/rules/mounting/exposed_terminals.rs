//! Live terminals that can be touched.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// The terminals of a receptacle are enclosed: no live part can be touched.
    ///
    /// ## What it checks
    /// Whether live terminals are recorded as open to the touch.
    ///
    /// ## Why it matters
    /// It is a shock waiting for a hand.
    ///
    /// ## What to do
    /// De-energise, verify, and enclose the terminals: a box, a cover, or both. Qualified persons only.
    ///
    /// ## When it does not apply
    /// To devices without a receptacle.
    ///
    /// ## When it cannot tell
    /// When nobody looked.
    ///
    /// ## Sources
    /// A device maker's code page for 2014 (by its position); the California Electrical Code 2022; the letters of
    /// 2017 and 2023 are from memory.
    EXPOSED_TERMINALS = "exposed-terminals", Outlet, Faceplate, Danger,
    cite: Citation::of(["406.5(G)", "406.5(I)", "406.5(I)", "406.5(I)"], [Confidence::One, Confidence::Memory, Confidence::One, Confidence::Memory]),
    asks: [TerminalsExposed],
    heeds: [Device],
    check: Outlet(check),
}

const EXPOSED: Violation = Violation::new(
    "live terminals of the receptacle can be touched",
    "de-energise, verify, and enclose the terminals before anything else is done",
);

fn check(world: &mut World<'_>) -> Answer {
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if world.ask(facts::TERMINALS_EXPOSED) { Answer::Violates(EXPOSED) } else { Answer::Complies }
}
