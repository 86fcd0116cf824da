//! The audit: every rule over every subject, in parallel, with the same result for any number of
//! threads.
//!
//! Owns the subjects (outlets, enclosures, circuits, bed locations), the facts that rows share, the
//! findings, gaps and tallies, and their order. It decides nothing itself: the rules do. It touches no
//! file.

pub mod difference;
pub mod finding;
mod judge;
mod likeness;
mod opinion;
pub mod options;
mod parts;
pub mod place;
pub mod run;
pub mod selection;
mod settle;
pub mod share;
pub mod subjects;
pub mod tally;
pub mod wording;

pub use finding::{Crash, Finding, Gap, MeasureAgain, VerdictRow, Waiting};
pub use options::{Options, Resolution};
pub use place::Place;
pub use run::{Audit, run};
pub use selection::{Selection, UnknownRule};
pub use share::{Disagreement, Shared};
pub use subjects::{Subjects, subject_name};
pub use tally::Tally;

// What findings and verdicts are made of, for the rooms that read audits and nothing else.
pub use crate::outlet::Field;
pub use crate::rules::{Rule, SubjectKind, VerdictKind};
