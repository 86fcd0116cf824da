//! The rules: each answers for every subject with exactly one of five verdicts.
//!
//! Owns one file a rule, the verdict, and the registry. Rules are pure: no clock, no files, no
//! environment, no printing. To add a rule, write its file in the folder of its group (declare it with
//! `rule!`, its manual page as the doc comment), name it in the group's `mod.rs` and in [`RULES`], and
//! write its cases under `tests/rules/`. A rule is written for known facts; what unknown ones do to it
//! follows from the possible worlds of [`world`].

pub mod boxes;
pub mod mounting;
pub mod questions;
pub mod rule;
pub mod verdict;
pub mod voltage;
pub mod world;

pub use rule::{
    Check, CorrectingTrade, DefectType, Grade, Judgement, Rule, SubjectKind, usual_resolution,
};
pub use verdict::{
    Bound, FactRef, Inference, Inferences, Measured, Missing, MissingFact, Verdict, VerdictKind,
    Violation,
};
pub use world::{Answer, Explorer, Subject, World};

/// Every rule, by name.
pub static RULES: &[&Rule] = &[
    &voltage::adjacent_voltage::ADJACENT_VOLTAGE,
    &mounting::box_fastened::BOX_FASTENED,
    &mounting::box_or_assembly::BOX_OR_ASSEMBLY,
    &boxes::box_set_back::BOX_SET_BACK,
    &mounting::countertop_listing::COUNTERTOP_LISTING,
    &mounting::cover_mounted_screws::COVER_MOUNTED_SCREWS,
    &mounting::device_screws::DEVICE_SCREWS,
    &mounting::exposed_terminals::EXPOSED_TERMINALS,
    &mounting::face_position::FACE_POSITION,
    &mounting::face_up_below_sink::FACE_UP_BELOW_SINK,
    &mounting::face_up_seating::FACE_UP_SEATING,
    &mounting::face_up_surface::FACE_UP_SURFACE,
    &mounting::flush_yoke::FLUSH_YOKE,
    &mounting::set_back_yoke::SET_BACK_YOKE,
    &voltage::switch_adjacent_voltage::SWITCH_ADJACENT_VOLTAGE,
    &mounting::work_surface_listing::WORK_SURFACE_LISTING,
];

/// The rule of this name.
pub fn rule_named(name: &str) -> Option<&'static Rule> {
    RULES.iter().copied().find(|rule| rule.name == name)
}
