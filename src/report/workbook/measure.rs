//! Widths and heights, since a sheet that is streamed cannot be fitted afterwards; and what a cell holds
//! at most.

use crate::report::wording::grouped;

use super::plan::{Block, Cell, Plan, Table};

/// Rows of a table that are measured; later ones wrap within the width that these gave.
const MEASURED_ROWS: usize = 2000;
/// Characters that a cell holds at most.
pub(super) const CELL_LIMIT: usize = 32_767;
/// Letters in the width of a digit, which is the unit of widths; fewer than there mostly are.
const LETTERS_IN_A_WIDTH: f64 = 1.12;
/// Room at both sides of a text, in characters.
const PADDING: f64 = 1.8;
/// Room for the button of a filter.
const FILTER_BUTTON: usize = 2;
/// As high as two lines of text.
const ROOM_FOR_A_PEN: &str = "\n\n";
/// A comfortable line of running text, in characters.
const LINE: f64 = 125.0;
/// Height of a line of text, in points.
pub(super) const LINE_HEIGHT: f64 = 15.0;
/// Greatest height of a row, in points.
const MOST_HEIGHT: f64 = 409.0;

/// The widths of a sheet's columns, in characters.
#[expect(clippy::cast_precision_loss, reason = "widths are small")]
pub(super) fn widths(plan: &Plan<'_>) -> Vec<f64> {
    let mut widths: Vec<usize> = Vec::new();
    for block in &plan.blocks {
        let wanted = match block {
            Block::Table(table) => table_widths(table, plan.register),
            Block::Pairs(pairs) => {
                vec![pairs.iter().map(|(name, _)| length(name)).max().unwrap_or_default()]
            }
            _ => Vec::new(),
        };
        widths.resize(widths.len().max(wanted.len()), 0);
        for (width, wanted) in widths.iter_mut().zip(wanted) {
            *width = (*width).max(wanted);
        }
    }
    widths.into_iter().map(|width| width as f64 + PADDING).collect()
}

fn table_widths(table: &Table<'_>, filtered: bool) -> Vec<usize> {
    let button = if filtered { FILTER_BUTTON } else { 0 };
    let mut widths: Vec<usize> =
        table.columns.iter().map(|column| longest_word(column.header) + button).collect();
    for row in 0..table.rows.min(MEASURED_ROWS) {
        for (width, cell) in widths.iter_mut().zip((table.row)(row)) {
            *width = (*width).max(cell_length(&cell));
        }
    }
    let bounded = widths.into_iter().zip(&table.columns);
    bounded.map(|(width, column)| width.clamp(column.least.into(), column.most.into())).collect()
}

fn cell_length(cell: &Cell) -> usize {
    match cell {
        Cell::Blank | Cell::Note(_) | Cell::ToFillIn | Cell::Open | Cell::Carried(_) => 0,
        Cell::Text(text)
        | Cell::Strong(text)
        | Cell::Link(text)
        | Cell::Known(text)
        | Cell::ToCheck(text) => text.lines().map(length).max().unwrap_or_default(),
        Cell::Faint(text) | Cell::NoShare(text) => length(text),
        Cell::Count(count) | Cell::CountAt(count, _) => grouped(*count).len(),
        Cell::Decimal(_) => 7,
        Cell::Share(_) => 6,
        Cell::Date(_) | Cell::DateToFillIn => 10,
        Cell::Grade(grade) => grade.word().len() + 1,
    }
}

fn length(text: &str) -> usize {
    text.chars().count()
}

fn longest_word(text: &str) -> usize {
    text.split_whitespace().map(length).max().unwrap_or_default()
}

/// How many columns running text spans, and how wide they are together.
pub(super) fn text_span(widths: &[f64]) -> (u16, f64) {
    let mut total = 0.0;
    let mut span = 0;
    for width in widths {
        if total + width > LINE && total >= LINE / 2.0 {
            break;
        }
        total += width;
        span += 1;
    }
    (span.max(1), total.max(20.0))
}

/// Lines that a text takes in a column: words go on the next line, a word that is too long is broken.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "widths are small and positive"
)]
pub(super) fn lines(text: &str, width: f64) -> u32 {
    let room = ((width * LETTERS_IN_A_WIDTH) as usize).max(1);
    text.lines().map(|line| wrapped(line, room)).sum::<u32>().max(1)
}

fn wrapped(line: &str, room: usize) -> u32 {
    let (mut lines, mut used) = (1, 0);
    for word in line.split_whitespace().map(length) {
        let gap = usize::from(used > 0);
        if used + gap + word <= room {
            used += gap + word;
            continue;
        }
        lines += u32::from(used > 0);
        used = word;
        while used > room {
            lines += 1;
            used -= room;
        }
    }
    lines
}

/// The height of a row of cells, in points; none where the usual one does.
pub(super) fn height<'a>(texts: impl Iterator<Item = (&'a str, f64)>) -> Option<f64> {
    let most = texts.map(|(text, width)| lines(text, width)).max().unwrap_or(1);
    (most > 1).then(|| (f64::from(most) * LINE_HEIGHT).min(MOST_HEIGHT))
}

impl Cell {
    /// The text of a cell that wraps.
    pub(super) fn wrapping(&self) -> &str {
        match self {
            Self::Text(text)
            | Self::Strong(text)
            | Self::Link(text)
            | Self::Known(text)
            | Self::ToCheck(text) => text,
            Self::ToFillIn => ROOM_FOR_A_PEN,
            _ => "",
        }
    }
}

/// The text, cut where a cell would not hold it; the cut says so.
pub(super) fn fitting(text: String) -> String {
    const CUT: &str = "… (cut: a cell holds no more)";
    if text.len() <= CELL_LIMIT || text.encode_utf16().count() <= CELL_LIMIT {
        return text;
    }
    let room = CELL_LIMIT - CUT.encode_utf16().count();
    let mut used = 0;
    let fits = |one: &char| {
        used += one.len_utf16();
        used <= room
    };
    let mut kept: String = text.chars().take_while(fits).collect();
    kept.push_str(CUT);
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_wraps_at_words_and_breaks_only_what_is_too_long() {
        assert_eq!(lines("", 10.0), 1);
        assert_eq!(lines("bring the edge out", 10.0), 2);
        assert_eq!(lines("bring the edge out", 8.0), 3);
        assert_eq!(lines("abcdefghijklmnopqrstuvwxyz", 10.0), 3);
        assert_eq!(lines("one\ntwo", 10.0), 2);
    }

    #[test]
    fn a_text_is_cut_at_what_a_cell_holds_and_says_so() {
        let long = "é".repeat(CELL_LIMIT + 1);
        let cut = fitting(long);
        assert_eq!(cut.chars().count(), CELL_LIMIT);
        assert!(cut.ends_with("(cut: a cell holds no more)"));
        let whole = "é".repeat(CELL_LIMIT);
        assert_eq!(fitting(whole.clone()), whole);
    }
}
