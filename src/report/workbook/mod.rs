//! The workbook: one file a sheet, each a plan of blocks; one file that lays plans out.
//!
//! Owns what a person reads of an audit. A sheet is a function from the report to a `plan::Plan`; to
//! add one, write its file and name it in `SHEETS`. Rows are streamed, and a sheet that is full goes
//! on on the next. The same report gives the same bytes: the only date is the date of the audit.

mod authority;
mod book;
mod by_defect_type;
mod by_floor;
mod by_trade;
mod charts;
pub mod comparison;
pub mod corrections;
mod difference;
mod drawing;
mod entry;
pub mod estimate;
mod facts_to_collect;
mod figures;
mod hazard;
mod heat;
mod lawful_as_built;
mod layout;
mod measure;
mod measure_again;
pub(super) mod plan;
mod rules;
mod rulings;
pub mod sample;
mod sources;
mod styles;
mod summary;
pub mod survey;
pub mod template;
mod to_fill_in;
mod undetermined;
mod violations;

use std::io::{Seek, Write};

use rayon::prelude::*;
use rust_xlsxwriter::{DocProperties, XlsxError};

use super::context::Report;
use book::{Book, Guard};
use plan::Plan;

pub use book::writing_workbook;

/// The workbook could not be written.
#[derive(Debug, thiserror::Error)]
pub enum WorkbookError {
    /// The format does not take it.
    #[error("the workbook could not be written: {0}")]
    Format(#[from] XlsxError),
    /// The design of a sample could not be put into words.
    #[error("the design of the sample could not be written: {0}")]
    Design(#[from] serde_json::Error),
    /// The writer of workbooks gave up within a sheet, which it keeps in the folder of temporary files
    /// until all are written.
    #[error(
        "the workbook could not be written: {0}; look for space in the folder of temporary files"
    )]
    Sheet(String),
}

/// What a sheet holds at most.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Limits {
    /// Rows of a sheet; more go on on the next.
    pub rows: u32,
    /// Links of a sheet; more are plain texts.
    pub links: usize,
}

impl Default for Limits {
    /// The limits of the file format.
    fn default() -> Self {
        Self { rows: 1_048_576, links: 65_530 }
    }
}

/// Name and value of the document property by which the program knows its own reports.
pub const MARK: (&str, &str) = ("yokecheck", "report");

/// Writes the workbook.
pub fn write(
    report: &Report<'_>,
    limits: Limits,
    out: impl Write + Seek + Send,
) -> Result<(), WorkbookError> {
    let context = report.context;
    let page_header = layout::page_header(&context.project, context.date);
    let mut book = Book::new(&properties(report), limits, page_header);
    let corrections = corrections::Sheets::of(report);
    let plans: Vec<Plan<'_>> =
        plans(report).chain(corrections.plans(report, corrections::Use::Kept)).collect();
    book.add(&plans, Guard::Open)?;
    book.save(out)
}

/// What stands on the sheets, in order; other formats show the same.
pub(super) fn plans<'a>(report: &'a Report<'a>) -> impl Iterator<Item = Plan<'a>> {
    let plans: Vec<_> = SHEETS.par_iter().map(|plan| plan(report)).collect();
    plans.into_iter().flatten()
}

/// A sheet; none where it has nothing to say.
type Planner = for<'a> fn(&'a Report<'a>) -> Option<Plan<'a>>;

/// The sheets, in order; the lists of corrections follow.
const SHEETS: [Planner; 16] = [
    |report| Some(summary::plan(report)),
    |report| Some(violations::plan(report)),
    |report| Some(measure_again::plan(report)),
    |report| Some(by_floor::plan(report)),
    |report| Some(by_trade::plan(report)),
    |report| Some(by_defect_type::plan(report)),
    heat::plan,
    |report| Some(hazard::plan(report)),
    charts::plan,
    |report| Some(undetermined::plan(report)),
    |report| Some(facts_to_collect::plan(report)),
    |report| Some(authority::plan(report)),
    rulings::plan,
    lawful_as_built::plan,
    |report| Some(rules::plan(report)),
    |report| Some(sources::plan(report)),
];

/// Colour of the tabs of what is not decided.
const UNDECIDED_TAB: u32 = 0x0060_6770;
/// Colour of the tabs of figures.
const FIGURES_TAB: u32 = 0x002E_7D6B;

fn properties(report: &Report<'_>) -> DocProperties {
    let context = report.context;
    let title: String = summary::title(context).chars().take(255).collect();
    let properties = DocProperties::new()
        .set_title(title)
        .set_author("yokecheck")
        .set_custom_property(MARK.0, MARK.1);
    let created = layout::excel_date(context.date).unwrap_or_default();
    properties.set_creation_datetime(&created)
}
