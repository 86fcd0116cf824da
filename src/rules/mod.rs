//! The rules: each answers for every subject with exactly one of five verdicts.
//!
//! Owns one file a rule, the verdict, and the registry. Rules are pure: no clock, no files, no
//! environment, no printing. To add a rule, write its file in the folder of its group (declare it with
//! `rule!`, its manual page as the doc comment), name it in the group's `mod.rs` and in [`RULES`], and
//! write its cases under `tests/rules/`. A rule is written for known facts; what unknown ones do to it
//! follows from the possible worlds of [`world`].

pub mod accessibility;
pub mod boxes;
pub mod grounding;
pub mod health_care;
pub mod location;
pub mod marking;
pub mod mounting;
mod outcome;
pub mod pattern;
pub mod protection;
pub mod questions;
pub mod rating;
mod recall;
pub mod rule;
pub mod subject;
pub mod verdict;
pub mod voltage;
pub mod world;

pub use rule::{
    Check, CorrectingTrade, DefectType, Grade, Judgement, Rule, SubjectKind, Swing,
    usual_resolution,
};
pub use subject::Subject;
pub use verdict::{
    Bound, FactRef, Inference, Inferences, Measured, Missing, MissingFact, Verdict, VerdictKind,
    Violation,
};
pub use world::{Answer, Explorer, World};

/// Every rule, by name.
pub static RULES: &[&Rule] = &[
    &voltage::adjacent_voltage::ADJACENT_VOLTAGE,
    &protection::afci::AFCI,
    &location::bath_shower_zone::BATH_SHOWER_ZONE,
    &health_care::bed_receptacle_count::BED_RECEPTACLE_COUNT,
    &boxes::box_cover::BOX_COVER,
    &mounting::box_fastened::BOX_FASTENED,
    &boxes::box_fill::BOX_FILL,
    &mounting::box_or_assembly::BOX_OR_ASSEMBLY,
    &boxes::box_set_back::BOX_SET_BACK,
    &rating::circuit_load::CIRCUIT_LOAD,
    &rating::configuration_voltage::CONFIGURATION_VOLTAGE,
    &marking::controlled_mark::CONTROLLED_MARK,
    &mounting::countertop_listing::COUNTERTOP_LISTING,
    &mounting::cover_mounted_screws::COVER_MOUNTED_SCREWS,
    &location::damp_cover::DAMP_COVER,
    &grounding::device_bonding::DEVICE_BONDING,
    &mounting::device_screws::DEVICE_SCREWS,
    &mounting::exposed_terminals::EXPOSED_TERMINALS,
    &mounting::face_position::FACE_POSITION,
    &mounting::face_up_below_sink::FACE_UP_BELOW_SINK,
    &mounting::face_up_seating::FACE_UP_SEATING,
    &mounting::face_up_surface::FACE_UP_SURFACE,
    &boxes::faceplate_seat::FACEPLATE_SEAT,
    &boxes::floor_box_listing::FLOOR_BOX_LISTING,
    &mounting::flush_yoke::FLUSH_YOKE,
    &protection::gfci_dwelling::GFCI_DWELLING,
    &protection::gfci_other::GFCI_OTHER,
    &grounding::grounding_type::GROUNDING_TYPE,
    &health_care::hospital_grade::HOSPITAL_GRADE,
    &marking::isolated_ground_mark::ISOLATED_GROUND_MARK,
    &boxes::pendant_box::PENDANT_BOX,
    &accessibility::reach_range::REACH_RANGE,
    &rating::receptacle_circuit_rating::RECEPTACLE_CIRCUIT_RATING,
    &grounding::replacement_grounding::REPLACEMENT_GROUNDING,
    &marking::replacement_labels::REPLACEMENT_LABELS,
    &mounting::set_back_yoke::SET_BACK_YOKE,
    &voltage::switch_adjacent_voltage::SWITCH_ADJACENT_VOLTAGE,
    &location::tamper_resistant::TAMPER_RESISTANT,
    &boxes::wall_gap::WALL_GAP,
    &location::weather_resistant::WEATHER_RESISTANT,
    &location::wet_cover::WET_COVER,
    &mounting::work_surface_listing::WORK_SURFACE_LISTING,
];

/// The rule of this name.
pub fn rule_named(name: &str) -> Option<&'static Rule> {
    RULES.iter().copied().find(|rule| rule.name == name)
}
