//! Rows of a table that stand for no device: totals and notes below it.
//!
//! Owns the words by which they are known. A word that a device could be named by does not belong
//! here: a mapping file can name the rows of its source.

use super::read::{Unit, fold, same, trim};
use crate::ingest::{Cell, Row};

/// What a row is that stands for no device.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Footer {
    /// A count or a sum of the rows above.
    Total,
    /// The end of the table: notes, signatures.
    Note,
    /// A remark amid the table: a whole sentence in the only cell of its row.
    Sentence,
}

const TOTALS: &[&str] =
    &["total", "totals", "grand total", "sum", "subtotal", "sub total", "count"];
const NOTES: &[&str] = &["prepared by", "end of schedule", "notes:"];

/// A heading of notes without its colon; a device has more cells than its name.
const NOTES_ALONE: &str = "notes";

/// The name of a device, alone in its row, has fewer words than this.
const WORDS_OF_A_SENTENCE: usize = 6;

/// What a row is, if it stands for no device. Most rows are told by their second cell and one letter.
pub(super) fn footer(row: &Row) -> Option<Footer> {
    let mut cells = row.cells().skip_while(|(_, cell)| is_blank(*cell));
    let (_, Cell::Text(text)) = cells.next()? else { return None };
    let text = trim(text);
    known(text, cells).or_else(|| {
        let mut said = row.cells().filter(|(_, cell)| !is_blank(*cell));
        let alone = said.nth(1).is_none();
        let long = || text.split_whitespace().nth(WORDS_OF_A_SENTENCE - 1).is_some();
        (alone && long()).then_some(Footer::Sentence)
    })
}

/// What the words of the first cell make of a row.
fn known<'a>(text: &str, mut cells: impl Iterator<Item = (u32, Cell<'a>)>) -> Option<Footer> {
    if !text.starts_with(['T', 't', 'G', 'g', 'S', 's', 'C', 'c', 'P', 'p', 'E', 'e', 'N', 'n']) {
        return None;
    }
    let begins = |words: &[&str]| words.iter().any(|word| begins_with(text, word));
    if begins(TOTALS) {
        let only_numbers = cells.all(|(_, cell)| is_blank(cell) || is_number(cell));
        return only_numbers.then_some(Footer::Total);
    }
    // The name of whoever signed may stand in a cell of its own.
    let mut alone = || same(text, NOTES_ALONE) && cells.all(|(_, cell)| is_blank(cell));
    (begins(NOTES) || alone()).then_some(Footer::Note)
}

fn is_blank(cell: Cell<'_>) -> bool {
    match cell {
        Cell::Empty | Cell::Error(_) => true,
        Cell::Text(text) => trim(text).is_empty(),
        _ => false,
    }
}

fn is_number(cell: Cell<'_>) -> bool {
    match cell {
        Cell::Number(_) => true,
        Cell::Text(text) => {
            let text = trim(text);
            let end = text.find(|c: char| !(c.is_ascii_digit() || " .,'+-".contains(c)));
            let (figures, unit) = text.split_at(end.unwrap_or(text.len()));
            figures.contains(|c: char| c.is_ascii_digit())
                && (unit.is_empty() || Unit::of(unit).is_some())
        }
        _ => false,
    }
}

/// Whether a text begins with a word as a whole.
fn begins_with(text: &str, word: &str) -> bool {
    let mut rest = fold(text);
    word.chars().all(|expected| rest.next() == Some(expected))
        && rest.next().is_none_or(|next| !next.is_alphanumeric())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn totals_and_notes_are_told_from_devices() {
        let is = |texts: &[&str]| footer(&Row::of(9, texts));
        assert_eq!(is(&["", "Total", "", "52"]), Some(Footer::Total));
        assert_eq!(is(&["GRAND TOTAL:", "1,204"]), Some(Footer::Total));
        assert_eq!(is(&["Sub-total Level 3", "", "12 V"]), Some(Footer::Total));
        assert_eq!(is(&["Count"]), Some(Footer::Total));
        assert_eq!(is(&["Prepared by", "A. Mason"]), Some(Footer::Note));
        assert_eq!(is(&["End of schedule"]), Some(Footer::Note));
        assert_eq!(is(&["Notes: see drawing"]), Some(Footer::Note));
        assert_eq!(is(&["NOTES"]), Some(Footer::Note));
        assert_eq!(is(&["Notes", "receptacle"]), None);
        assert_eq!(is(&["T-104", "Total", "20"]), None);
        assert_eq!(is(&["Total", "receptacle", "20"]), None);
        assert_eq!(is(&["Totals-1", "receptacle"]), None);
        assert_eq!(is(&["Summary room", "4"]), None);
        assert_eq!(is(&["Counter", "4"]), None);
        let remark = "* All receptacles below are on emergency power";
        assert_eq!(is(&["", remark]), Some(Footer::Sentence));
        assert_eq!(is(&[remark, "receptacle"]), None);
        assert_eq!(is(&["Receptacle behind the printer"]), None);
    }
}
