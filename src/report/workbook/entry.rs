//! What may be typed into a cell: drop-down lists, whole numbers, days.
//!
//! A guide, no gate: what does not fit is asked about once and may stay, since a list cannot foresee what
//! somebody finds behind a cover.

use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, DataValidationRule, ExcelDateTime, Formula, XlsxError,
};

use crate::mapping::account::{LISTS, column_letters};

use super::plan::Entry;

/// Characters that a list within a cell holds, its commas too.
pub(super) const LIST_LIMIT: usize = 255;

/// Whether words fit into a list within a cell.
pub(super) fn fits(words: &[&str]) -> bool {
    words.iter().map(|word| word.chars().count() + 1).sum::<usize>() <= LIST_LIMIT + 1
}

/// The guide of a column.
pub(super) fn guide(entry: Entry) -> Result<DataValidation, XlsxError> {
    let any = DataValidation::new().set_error_style(DataValidationErrorStyle::Warning);
    let said = match entry {
        Entry::Word(_) | Entry::Listed(..) => "Not one of the words of the list.",
        Entry::Count => "A whole number from 0.",
        Entry::Day => "A day, such as 2026-03-31.",
    };
    let any = any.set_error_title("Check this entry")?.set_error_message(said)?;
    Ok(match entry {
        Entry::Word(words) => any.allow_list_strings(words)?,
        Entry::Listed(column, count) => {
            let letters = column_letters(column.into());
            let range = format!("={LISTS}!${letters}$2:${letters}${}", count + 1);
            any.allow_list_formula(Formula::new(range))
        }
        Entry::Count => any.allow_whole_number(DataValidationRule::GreaterThanOrEqualTo(0)),
        Entry::Day => {
            let first = ExcelDateTime::from_ymd(1990, 1, 1)?;
            any.allow_date(DataValidationRule::GreaterThanOrEqualTo(first))
        }
    })
}
