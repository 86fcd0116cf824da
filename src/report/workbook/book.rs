//! A workbook while its sheets are laid out, several at a time.
//!
//! Owns the calls into the writer of workbooks, which panics where a sheet cannot be kept, and what all
//! sheets share: styles, limits, what is printed on each page. The same sheets give the same bytes,
//! whichever thread laid them out: the formats get their numbers beforehand.

use std::any::Any;
use std::cell::Cell;
use std::io::{Seek, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Mutex, PoisonError};

use rayon::prelude::*;
use rust_xlsxwriter::{DocProperties, Workbook, Worksheet, XlsxError};

use super::layout;
use super::plan::Plan;
use super::styles::Styles;
use super::{Limits, WorkbookError};

/// How hard the sheets are compressed, of 1 to 9: less than usual, since one thread compresses all of them
/// while the others wait, and the rest takes little more room.
const COMPRESSION: u8 = 3;

/// A workbook and what its sheets have in common.
pub(super) struct Book {
    workbook: Mutex<Workbook>,
    pub(super) styles: Styles,
    pub(super) limits: Limits,
    /// What is printed at the head of each page.
    pub(super) page_header: String,
}

/// Whether all cells of a sheet can be changed, or only those that are to be filled in.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Guard {
    Open,
    Guarded,
}

thread_local! {
    static WRITING: Cell<bool> = const { Cell::new(false) };
}

/// Whether this thread is inside the writer of workbooks, whose panics are caught and become errors: a
/// panic hook can stay silent then.
pub fn writing_workbook() -> bool {
    WRITING.get()
}

/// Calls the writer of workbooks.
fn written<T>(write: impl FnOnce() -> Result<T, XlsxError>) -> Result<T, WorkbookError> {
    WRITING.set(true);
    let outcome = catch_unwind(AssertUnwindSafe(write));
    WRITING.set(false);
    let told = |panic: Box<dyn Any + Send>| match panic.downcast::<String>() {
        Ok(text) => *text,
        Err(_) => "its writer gave up".to_owned(),
    };
    Ok(outcome.map_err(|panic| WorkbookError::Sheet(told(panic)))??)
}

impl Book {
    /// A workbook without a sheet.
    pub(super) fn new(properties: &DocProperties, limits: Limits, page_header: String) -> Self {
        let mut workbook = Workbook::new();
        workbook.set_properties(properties).set_zip_compression_level(COMPRESSION);
        let styles = Styles::new();
        styles.all().for_each(|format| workbook.register_format(format));
        Self { workbook: Mutex::new(workbook), styles, limits, page_header }
    }

    /// A sheet whose rows are kept in a file as they are written.
    pub(super) fn streamed_sheet(&self) -> Result<Worksheet, XlsxError> {
        let workbook = self.workbook.lock();
        let mut workbook = workbook.unwrap_or_else(PoisonError::into_inner);
        workbook.new_worksheet_with_constant_memory()
    }

    /// Adds the sheets of plans, which all threads lay out.
    pub(super) fn add<'p>(
        &mut self,
        plans: impl IntoParallelIterator<Item = &'p Plan<'p>, Iter: IndexedParallelIterator>,
        guard: Guard,
    ) -> Result<(), WorkbookError> {
        let laid_out = |plan| written(|| layout::laid_out(plan, self, guard));
        // Each by itself: one of them may have most of the rows.
        let sheets: Vec<_> = plans.into_par_iter().with_max_len(1).map(laid_out).collect();
        let workbook = self.workbook.get_mut().unwrap_or_else(PoisonError::into_inner);
        for sheets in sheets {
            sheets?.into_iter().for_each(|sheet| {
                workbook.push_worksheet(sheet);
            });
        }
        Ok(())
    }

    /// Writes the workbook.
    pub(super) fn save(self, out: impl Write + Seek + Send) -> Result<(), WorkbookError> {
        let mut workbook = self.workbook.into_inner().unwrap_or_else(PoisonError::into_inner);
        written(|| workbook.save_to_writer(out))
    }
}
