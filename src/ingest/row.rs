//! A row of cells, whose buffers are used again from row to row.
//!
//! A row of a text file keeps the record as the CSV reader left it; a row of a workbook keeps its
//! cells sparse, so that a cell in the last column of a sheet costs no more than one in the first.

use std::ops::Range;

use jiff::civil::DateTime;

/// The value of one cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cell<'a> {
    /// Nothing, or a text without a character.
    Empty,
    /// A text as it stands in the file, not trimmed. Durations are texts too: `26:30:00`.
    Text(&'a str),
    /// A number, without its format.
    Number(f64),
    /// A truth value.
    Boolean(bool),
    /// A date, at midnight when the cell holds no time.
    Date(DateTime),
    /// A failed formula, as a spreadsheet shows it: `#N/A`.
    Error(&'a str),
}

#[derive(Debug, Clone, PartialEq)]
enum Value {
    Text(Range<usize>),
    Number(f64),
    Boolean(bool),
    Date(DateTime),
    Error(&'static str),
}

/// One row: its number and its cells.
#[derive(Debug, Clone, Default)]
pub struct Row {
    /// The row of the sheet, from 1; in a text file the physical line on which the record starts.
    pub number: u32,
    /// How many bytes of the row were not valid in the encoding of a text file and were read as
    /// Windows-1252 instead.
    pub mended: u32,
    record: csv::StringRecord,
    text: String,
    cells: Vec<(u32, Value)>,
}

impl Row {
    /// A row of texts, in the columns from 0 on; an empty text is an empty cell.
    ///
    /// ```
    /// use yokecheck::ingest::{Cell, Row};
    /// let row = Row::of(7, &["E1-104", "", "20 A"]);
    /// assert_eq!(row.number, 7);
    /// assert_eq!(row.cell(2), Cell::Text("20 A"));
    /// assert_eq!(row.cell(1), Cell::Empty);
    /// ```
    pub fn of(number: u32, texts: &[&str]) -> Self {
        Self::with(number, (0..).zip(texts).map(|(column, text)| (column, Cell::Text(text))))
    }

    /// A row of any cells, each with its column from 0.
    ///
    /// ```
    /// use yokecheck::ingest::{Cell, Row};
    /// let row = Row::with(2, [(0, Cell::Text("E1-104")), (9, Cell::Number(18.5))]);
    /// assert_eq!((row.cell(9), row.width()), (Cell::Number(18.5), 10));
    /// ```
    pub fn with<'a>(number: u32, cells: impl IntoIterator<Item = (u32, Cell<'a>)>) -> Self {
        let mut row = Self::default();
        row.restart(number);
        for (column, cell) in cells {
            row.set(column, cell);
        }
        row
    }

    /// The value in a column, counted from 0; empty beyond the last one.
    pub fn cell(&self, column: u32) -> Cell<'_> {
        let index = column as usize;
        if let Some(text) = self.record.get(index) {
            return self.field(index, text);
        }
        // Most rows have a cell in every column, so the place is tried before it is searched.
        let found = match self.cells.get(index) {
            Some((at, value)) if *at == column => Some(value),
            _ => self
                .cells
                .binary_search_by_key(&column, |(at, _)| *at)
                .ok()
                .and_then(|place| self.cells.get(place))
                .map(|(_, value)| value),
        };
        found.map_or(Cell::Empty, |value| self.view(value))
    }

    /// The cells that hold something, by ascending column.
    pub fn cells(&self) -> impl Iterator<Item = (u32, Cell<'_>)> {
        let fields = (0..).zip(self.record.iter().enumerate());
        fields
            .map(|(column, (index, text))| (column, self.field(index, text)))
            .filter(|(_, cell)| *cell != Cell::Empty)
            .chain(self.cells.iter().map(|(column, value)| (*column, self.view(value))))
    }

    /// Whether no cell holds anything.
    pub fn is_empty(&self) -> bool {
        self.cells().next().is_none()
    }

    /// One more than the last column that is there; in a text file this counts empty fields.
    pub fn width(&self) -> u32 {
        let fields = u32::try_from(self.record.len()).unwrap_or(u32::MAX);
        self.cells.last().map_or(fields, |(column, _)| column.saturating_add(1).max(fields))
    }

    /// The bytes that it holds in memory, about.
    pub fn bytes(&self) -> usize {
        let fields = self.record.as_slice().len() + self.record.len() * size_of::<usize>();
        fields + self.text.len() + self.cells.len() * size_of::<(u32, Value)>()
    }

    /// Empties the row and gives it its number, keeping the buffers.
    pub(super) fn restart(&mut self, number: u32) {
        self.number = number;
        self.mended = 0;
        self.record.clear();
        self.text.clear();
        self.cells.clear();
    }

    /// The record that the CSV reader fills; the row must hold no other cells.
    pub(super) fn record(&mut self) -> &mut csv::StringRecord {
        &mut self.record
    }

    /// How many bytes of text the cells hold.
    pub(super) fn text_bytes(&self) -> usize {
        self.text.len()
    }

    /// Puts a value in a column; the last one put there stays.
    pub(super) fn set(&mut self, column: u32, cell: Cell<'_>) {
        let value = match cell {
            Cell::Empty | Cell::Text("") => return,
            Cell::Text(text) => {
                let start = self.text.len();
                self.text.push_str(text);
                Value::Text(start..self.text.len())
            }
            Cell::Number(number) => Value::Number(number),
            Cell::Boolean(truth) => Value::Boolean(truth),
            Cell::Date(date) => Value::Date(date),
            Cell::Error(text) => Value::Error(known_error(text)),
        };
        if self.cells.last().is_none_or(|(last, _)| *last < column) {
            self.cells.push((column, value));
            return;
        }
        match self.cells.binary_search_by_key(&column, |(at, _)| *at) {
            Ok(place) => self.cells[place].1 = value,
            Err(place) => self.cells.insert(place, (column, value)),
        }
    }

    /// A field of a text record. The reader ends records at line feeds, so the carriage return of
    /// a line end is still on the last field.
    fn field<'a>(&self, index: usize, text: &'a str) -> Cell<'a> {
        let text = if index + 1 == self.record.len() {
            text.strip_suffix('\r').unwrap_or(text)
        } else {
            text
        };
        if text.is_empty() { Cell::Empty } else { Cell::Text(text) }
    }

    fn view(&self, value: &Value) -> Cell<'_> {
        match value {
            Value::Text(range) => self.text.get(range.clone()).map_or(Cell::Empty, Cell::Text),
            Value::Number(number) => Cell::Number(*number),
            Value::Boolean(truth) => Cell::Boolean(*truth),
            Value::Date(date) => Cell::Date(*date),
            Value::Error(text) => Cell::Error(text),
        }
    }
}

/// The errors that a spreadsheet knows, so that a row needs no memory for them.
const ERRORS: [&str; 8] =
    ["#N/A", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!", "#DATA!"];

fn known_error(text: &str) -> &'static str {
    ERRORS.into_iter().find(|known| *known == text).unwrap_or("#ERROR!")
}

/// The letters of a column, counted from 0: `A` to `Z`, `AA` and so on.
///
/// ```
/// use yokecheck::ingest::column_letters;
/// assert_eq!(column_letters(27), "AB");
/// assert_eq!(column_letters(16_383), "XFD");
/// ```
pub fn column_letters(column: u32) -> String {
    let mut rest = u64::from(column) + 1;
    // Room for the number of a row behind them.
    let mut letters = Vec::with_capacity(12);
    while rest > 0 {
        rest -= 1;
        letters.push(b'A' + u8::try_from(rest % 26).unwrap_or(0));
        rest /= 26;
    }
    letters.reverse();
    String::from_utf8(letters).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_come_by_column_and_the_last_put_in_a_column_stays() {
        let mut row = Row::default();
        row.restart(3);
        row.set(16_383, Cell::Number(1.0));
        row.set(2, Cell::Text("b"));
        row.set(2, Cell::Text("c"));
        row.set(5, Cell::Error("#N/A"));
        let cells: Vec<_> = row.cells().collect();
        assert_eq!(
            cells,
            [(2, Cell::Text("c")), (5, Cell::Error("#N/A")), (16_383, Cell::Number(1.0))]
        );
        assert_eq!(row.cell(5), Cell::Error("#N/A"));
        assert_eq!(row.cell(3), Cell::Empty);
        assert_eq!(row.width(), 16_384);
    }

    #[test]
    fn a_restarted_row_holds_nothing() {
        let mut row = Row::of(1, &["a", "", "c"]);
        assert!(!row.is_empty());
        row.restart(2);
        assert!(row.is_empty());
        assert_eq!(row.width(), 0);
    }

    #[test]
    fn letters_of_columns() {
        let letters: Vec<_> = [0, 25, 26, 701, 702].map(column_letters).into();
        assert_eq!(letters, ["A", "Z", "AA", "ZZ", "AAA"]);
    }
}
