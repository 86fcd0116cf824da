//! Labels on replaced receptacles without a ground.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::outlet::words::{Edition, Label};
use crate::rules::pattern::{self, Pattern};
use crate::rules::questions::{is_receptacle, is_replacement, since};
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A replaced grounding receptacle without a ground is labelled: that there is no equipment ground, and
    /// that it is GFCI protected.
    ///
    /// ## What it checks
    /// Both labels, and where they stand. A receptacle that is itself a GFCI needs no second label.
    ///
    /// ## Why it matters
    /// The label is all that tells the next person that the third hole goes nowhere.
    ///
    /// ## What to do
    /// Put the labels on the receptacle or, from 2017, on its faceplate.
    ///
    /// ## When it does not apply
    /// To all but replacements, where there is an equipment ground, and to nongrounding receptacles.
    ///
    /// ## When it cannot tell
    /// When the ground, the configuration or a label is unknown. That the plate counts from 2017 is confirmed
    /// by one summary.
    ///
    /// ## Sources
    /// A course; a trade magazine; a thread of a code forum; the California Electrical Code 2022.
    REPLACEMENT_LABELS = "replacement-labels", Outlet, Marking, Workmanship,
    cite: Citation::all("406.4(D)(2)", Confidence::Two),
    asks: [Work, GroundPresent, Configuration, NoGroundLabel, GfciLabel],
    heeds: [Device, DeviceAmps, DeviceVolts, GfciInDevice, Edition],
    check: Outlet(check),
}

const REMEDY: &str = "put the required label on the receptacle or on its faceplate";
const NO_GROUND_UNSAID: Violation =
    Violation::new("the label that there is no equipment ground is missing", REMEDY);
const GFCI_UNSAID: Violation =
    Violation::new("the label that the outlet is GFCI protected is missing", REMEDY);
const ON_PLATE: Violation = Violation::new(
    "the label is on the faceplate, which the 2014 edition does not accept",
    "mark the receptacle itself",
);

fn check(world: &mut World<'_>) -> Answer {
    let grounding = |pattern: Pattern| pattern.family.grounding();
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !is_replacement(world) {
        return Answer::NotApplicable("not a replacement");
    }
    if world.ask(facts::GROUND_PRESENT) {
        return Answer::NotApplicable("there is an equipment ground");
    }
    if !pattern::ask(world, grounding).is_some_and(grounding) {
        return Answer::NotApplicable("not of the grounding type");
    }
    let label = world.ask(facts::NO_GROUND_LABEL);
    if let Some(violation) = fault(world, label, NO_GROUND_UNSAID) {
        return Answer::Violates(violation);
    }
    if world.heed(facts::GFCI_IN_DEVICE, false) {
        return Answer::Complies;
    }
    let label = world.ask(facts::GFCI_LABEL);
    fault(world, label, GFCI_UNSAID).map_or(Answer::Complies, Answer::Violates)
}

fn fault(world: &mut World<'_>, label: Label, missing: Violation) -> Option<Violation> {
    match label {
        Label::Receptacle => None,
        Label::None => Some(missing),
        Label::Plate if since(world, Edition::E2017) => None,
        Label::Plate => Some(ON_PLATE),
    }
}
