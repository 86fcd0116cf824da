//! The readers of cells: from what one cell holds to the value of one field.
//!
//! Owns every way of writing a value that the program accepts, one file a kind. Nothing is guessed: a
//! text with two meanings, a number without its unit and a measurement that cannot be are unreadable,
//! each with a [`Why`] for a person. Arithmetic on texts is exact; no binary fraction is involved. To
//! accept another way of writing, add it to the file of its kind with a line in that file's test
//! table; another word for a word of the model goes to [`super::vocabulary`].
//!
//! Plain values (canonical words, yes and no, decimal numbers, clean identifiers) are read without
//! taking memory.

mod date;
mod electrical;
mod gauge;
mod length;
mod number;
mod plausible;
mod text;
mod unit;
mod volume;
mod why;
mod word;
mod word_map;

use crate::outlet::{Date, Field, Kind, Texts, Value};

pub use date::DateOrder;
pub use number::DecimalMark;
pub use text::{fold, same, trim};
pub(super) use text::{is_blank_word, is_no_place};
pub use unit::{Unit, unit_in_header};
pub use why::Why;
pub use word_map::{WordError, WordMap};

/// What a cell holds.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Content<'a> {
    /// A text, empty for an empty cell.
    Text(&'a str),
    /// A number, as the file stores it.
    Number(f64),
    /// A truth value.
    Boolean(bool),
    /// A day.
    Date(Date),
    /// The error of a formula.
    Error,
}

/// How a column is to be read: what its header or the mapping says beside the cells.
#[derive(Clone, Copy, Debug)]
pub struct Column<'a> {
    /// The field that the column gives.
    pub field: Field,
    /// The unit of a number without one.
    pub unit: Option<Unit>,
    /// The mark between whole and decimal digits, where the mapping names it.
    pub decimal: Option<DecimalMark>,
    /// Whether the day or the month stands first in a date of digits, where the mapping says so.
    pub dates: Option<DateOrder>,
    /// The mapping's own words, which come before all else; they may stand for a value of any kind.
    pub words: Option<&'a WordMap>,
}

impl Column<'_> {
    /// A column of which nothing but its field is known.
    pub const fn of(field: Field) -> Self {
        Self { field, unit: None, decimal: None, dates: None, words: None }
    }
}

/// What came of a cell.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Reading {
    /// A value, as the integer of [`crate::outlet::Value::raw`].
    Known(i64),
    /// A value from which `none` was dropped, since other words stand beside it: a fault to report.
    NoneDropped(i64),
    /// Nothing, or a word for not knowing.
    Blank,
    /// Something that is no value of the field.
    Unreadable(Why),
    /// In a column of devices, something else than a device; the reason.
    NotADevice(&'static str),
}

impl From<Result<i64, Why>> for Reading {
    fn from(read: Result<i64, Why>) -> Self {
        read.map_or_else(Self::Unreadable, Self::Known)
    }
}

/// Reads a cell; texts are kept in `texts`, and the reading is their handle.
pub fn read(cell: Content<'_>, column: &Column<'_>, texts: &mut Texts) -> Reading {
    match cell {
        Content::Error => Reading::Blank,
        Content::Text(text) => of_text(text, column, texts),
        Content::Number(number) => match text::Printed::of(number) {
            Some(printed) => of_number(printed.as_str(), column, texts),
            None if column.field.kind() == Kind::Text && number.is_finite() => {
                Reading::Known(texts.intern(&number.to_string()).raw())
            }
            None => Reading::Unreadable(Why::OutOfRange),
        },
        Content::Boolean(truth) => of_text(if truth { "TRUE" } else { "FALSE" }, column, texts),
        Content::Date(date) => match column.field.kind() {
            Kind::Date => Reading::Known(date.raw()),
            Kind::Text => Reading::Unreadable(Why::DateForIdentifier),
            _ => Reading::Unreadable(Why::DateForValue),
        },
    }
}

/// A number cell by its shortest decimal text. The mapping's decimal mark is about texts, not about it.
fn of_number(printed: &str, column: &Column<'_>, texts: &mut Texts) -> Reading {
    of_text(printed, &Column { decimal: Some(DecimalMark::Point), ..*column }, texts)
}

fn of_text(text: &str, column: &Column<'_>, texts: &mut Texts) -> Reading {
    let text = trim(text::unguarded(trim(text)));
    if text.is_empty() {
        return Reading::Blank;
    }
    if let Some(meaning) = column.words.and_then(|words| words.meaning(text)) {
        let plain = Column { words: None, decimal: None, ..*column };
        return of_text(meaning, &plain, texts);
    }
    if text::is_blank_word(text) {
        return Reading::Blank;
    }
    match column.field.kind() {
        Kind::Text if text::is_no_place(column.field, text) => Reading::Blank,
        Kind::Text if text::is_too_long(text) => Reading::Unreadable(Why::TooLong),
        Kind::Text => Reading::Known(text::intern(text, texts).raw()),
        Kind::Words(_) => word::list(text, column),
        Kind::Word(_) if column.field == Field::Device => word::device(text),
        Kind::Word(_) | Kind::YesNo => word::one(text, column.field).into(),
        Kind::Configuration => word::configuration(text).into(),
        Kind::Awg => gauge::read(text).into(),
        Kind::Date => date::read(text, column.dates).into(),
        Kind::Count => number::count(text, column).into(),
        Kind::Length => length::read(text, column).into(),
        Kind::Volume => volume::read(text, column).into(),
        Kind::Voltage => electrical::volts(text, column).into(),
        Kind::Current => electrical::amperes(text, column).into(),
    }
}

#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_of_any;
#[cfg(test)]
mod tests_of_measure;
#[cfg(test)]
mod tests_of_words;
