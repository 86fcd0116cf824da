//! Reports: one file a format, and the workbook one file a sheet.
//!
//! Owns what leaves the program: the workbook, the page, the CSV files, the JSON lines, the Parquet
//! tables, their cautions, and the one way in which a file or a folder is written (beside its target,
//! renamed at the end). It reads a finished audit and decides nothing. To add a format, write its file with a `write(&Report, impl Write)`; to add a sheet to the
//! workbook, write its plan and name it in [`workbook`].

pub mod cautions;
mod cells;
pub mod comparison;
pub mod context;
pub mod corrections;
pub mod finding_line;
pub mod findings_csv;
pub mod findings_jsonl;
pub mod folder;
pub mod guard;
pub mod html;
pub mod names;
pub mod parquet;
pub mod sampling_json;
pub mod sampling_words;
pub mod target;
pub mod unfinished;
pub mod verdicts_csv;
pub mod wording;
pub mod workbook;

pub use context::{Context, Report};
pub use folder::FolderTarget;
pub use target::{Target, TargetError};
