//! Reports: one file a format, and the workbook one file a sheet.
//!
//! Owns what leaves the program: the workbook, the CSV files, their cautions, and the one way in which a
//! file is written (beside its target, renamed at the end). It reads a finished audit and decides
//! nothing. To add a format, write its file with a `write(&Report, impl Write)`; to add a sheet to the
//! workbook, write its plan and name it in [`workbook`].

pub mod cautions;
mod cells;
pub mod context;
pub mod corrections;
pub mod findings_csv;
pub mod guard;
pub mod names;
pub mod target;
pub mod verdicts_csv;
pub mod wording;
pub mod workbook;

pub use context::{Context, Report};
pub use target::{Target, TargetError};
