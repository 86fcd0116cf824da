//! Why an audit could not be done: every error of the rooms below, in one type.

use std::path::PathBuf;

use crate::audit::UnknownRule;
use crate::ingest::IngestError;
use crate::mapping::MappingError;
use crate::mapping::editions::EditionsError;
use crate::mapping::rulings::RulingsError;
use crate::mapping::side_table::SideTableError;
use crate::report::TargetError;
use crate::report::findings_jsonl::JsonLinesError;
use crate::report::parquet::ParquetError;
use crate::report::target::WriteError;
use crate::report::workbook::WorkbookError;
use crate::sampling::acceptance::NoPlan;
use crate::sampling::design::BrokenDesign;
use crate::statistics::StatisticsError;

use super::claims::ClaimsError;
use super::complain;
use super::corrections::CorrectionsError;
use super::facts::UnknownFact;

/// Errors of mapping files and amendments that are shown at most, each with its lines.
const MOST_ERRORS: usize = 50;

/// What stopped an audit.
#[derive(Debug, thiserror::Error)]
pub(super) enum Failure {
    #[error("the threads could not be started: {0}; try --threads 1")]
    Threads(#[from] rayon::ThreadPoolBuildError),
    #[error(transparent)]
    Rule(#[from] UnknownRule),
    #[error("{}: this form was filled in, or saved again since it was written, and will not be overwritten; move it, or name another file", .0.display())]
    FilledIn(PathBuf),
    #[error(transparent)]
    Fact(#[from] UnknownFact),
    #[error(transparent)]
    Plan(#[from] NoPlan),
    #[error(
        "{0}: this file holds no design of a sample; give the workbook that `yokecheck sample` wrote, saved as a workbook"
    )]
    NoDesign(String),
    #[error(
        "{path}, sheet Sample design, line {line}: cannot be read ({source}); take the sheet from the file as it was written"
    )]
    Design { path: String, line: usize, source: serde_json::Error },
    #[error(
        "rooms are not drawn by trade, since a room holds outlets of several trades; leave `trade` out of --by, or leave out --rooms"
    )]
    RoomsByTrade,
    #[error("{path}, sheet Sample design: {why}; take the sheet from the file as it was written")]
    BrokenDesign { path: String, why: BrokenDesign },
    #[error("{0}: no device schedule was found in it, so there is no earlier audit")]
    NoEarlier(String),
    #[error(transparent)]
    Input(#[from] IngestError),
    #[error(transparent)]
    Target(#[from] TargetError),
    #[error("{} errors in mapping files or amendments", .0.len())]
    Mappings(Vec<MappingError>),
    #[error(transparent)]
    Editions(#[from] EditionsError),
    #[error(transparent)]
    Table(#[from] SideTableError),
    #[error(transparent)]
    Claims(#[from] ClaimsError),
    #[error(transparent)]
    Rulings(#[from] RulingsError),
    #[error(transparent)]
    Statistics(#[from] StatisticsError),
    #[error(transparent)]
    Workbook(#[from] WriteError<WorkbookError>),
    #[error(transparent)]
    Corrections(#[from] CorrectionsError),
    #[error(transparent)]
    Page(#[from] WriteError<std::io::Error>),
    #[error(transparent)]
    JsonLines(#[from] WriteError<JsonLinesError>),
    #[error(transparent)]
    Parquet(#[from] WriteError<ParquetError>),
    #[error(transparent)]
    Csv(#[from] WriteError<csv::Error>),
}

impl Failure {
    /// Tells what stopped the audit; errors of mapping files and amendments one by one, each with its line.
    pub(super) fn tell(&self) {
        match self {
            Self::Mappings(errors) => {
                for error in errors.iter().take(MOST_ERRORS) {
                    anstream::eprintln!("{}\n", error.render(true));
                }
                if let Some(more @ 1..) = errors.len().checked_sub(MOST_ERRORS) {
                    complain(&format!("{more} more errors follow; correct these first"));
                }
            }
            other => complain(&other.to_string()),
        }
    }
}
