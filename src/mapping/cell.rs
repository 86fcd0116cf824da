//! Cells as the mapping takes them: empty or not, repeating the one above, as a person sees them.
//!
//! Owns what is true of a cell in any column. What a column makes of it is the business of
//! [`super::read`].

use super::read::{self, Column, Content, trim};
use super::remembered::{Remembered, Told};
use crate::ingest::Cell;
use crate::outlet::{Date, Texts};

/// What a cell that is not empty comes to.
pub(super) fn tell(
    cell: Cell<'_>,
    column: &Column<'_>,
    remembered: &mut Remembered,
    texts: &mut Texts,
) -> Told {
    match cell {
        Cell::Text(text) => remembered.get(text, |words| {
            let column = Column { words, ..*column };
            if is_ditto(text, &column) {
                Told::Ditto
            } else {
                Told::Read(read::read(Content::Text(text), &column, texts))
            }
        }),
        _ => Told::Read(read::read(content(cell), &remembered.column(column), texts)),
    }
}

/// Whether a cell repeats the one above it by a mark, to which the mapping gives no other meaning.
fn is_ditto(text: &str, column: &Column<'_>) -> bool {
    let text = trim(text);
    let mark = matches!(text, "\"" | "''" | "″" | "”" | "“" | "„" | "〃" | "-\"-")
        || ["do.", "ditto", "dto.", "dto"].iter().any(|word| word.eq_ignore_ascii_case(text));
    mark && column.words.and_then(|words| words.meaning(text)).is_none()
}

/// Whether a cell holds nothing that can be seen.
pub(super) fn is_empty(cell: Cell<'_>) -> bool {
    match cell {
        Cell::Empty => true,
        // Most texts begin with a character that is plainly not blank.
        Cell::Text(text) => {
            !text.starts_with(|first: char| first.is_ascii_graphic()) && trim(text).is_empty()
        }
        _ => false,
    }
}

fn content(cell: Cell<'_>) -> Content<'_> {
    match cell {
        Cell::Empty => Content::Text(""),
        Cell::Text(text) => Content::Text(text),
        Cell::Number(number) => Content::Number(number),
        Cell::Boolean(truth) => Content::Boolean(truth),
        Cell::Date(moment) => Content::Date(Date(days(moment.date()))),
        Cell::Error(_) => Content::Error,
    }
}

/// Days from 1970-01-01.
fn days(date: jiff::civil::Date) -> i32 {
    let epoch = jiff::civil::date(1970, 1, 1);
    (date - epoch).get_days()
}

/// A cell as a person sees it.
pub(super) fn text_of(cell: Cell<'_>) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Text(text) | Cell::Error(text) => text.to_owned(),
        Cell::Number(number) => number.to_string(),
        Cell::Boolean(truth) => if truth { "TRUE" } else { "FALSE" }.to_owned(),
        Cell::Date(moment) => moment.date().to_string(),
    }
}
