//! Mapping files: how a source of schedules writes its tables.
//!
//! Owns the shape of a mapping file, its parsing with the place of every line, the files that are built
//! in, and which of their lines were ever of use. `mappings/README.md` is the specification. To add a
//! key, add it to `keys`, to `parse`, to the types here and to that page.

mod keys;
mod parse;
mod schema;
mod shipped;
pub(super) mod walk;

use std::ops::Range;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::describe::Phrases;
use super::error::{MappingError, Problem, Source};
use super::glob::Glob;
use super::header::HeaderKey;
use super::read::{Column, DateOrder, DecimalMark, Unit, WordMap};
use crate::outlet::{Field, Length};

pub use schema::schema;
pub use shipped::shipped;

/// A part of a mapping file that remembers where it stands and whether it was ever of use.
#[derive(Debug)]
pub struct Line<T> {
    /// What it says.
    pub says: T,
    /// The bytes of the file that say it.
    pub span: Range<usize>,
    used: AtomicBool,
}

impl<T> Line<T> {
    pub(super) fn new(says: T, span: Range<usize>) -> Self {
        Self { says, span, used: AtomicBool::new(false) }
    }

    /// Notes that the line was of use.
    pub fn mark_used(&self) {
        // Asked first, so that threads share a line of many rows without writing to it.
        if !self.is_used() {
            self.used.store(true, Ordering::Relaxed);
        }
    }

    /// Whether the line was ever of use.
    pub fn is_used(&self) -> bool {
        self.used.load(Ordering::Relaxed)
    }
}

/// A mapping file.
#[derive(Debug)]
pub struct MappingFile {
    /// Where it came from, and its text.
    pub source: Arc<Source>,
    /// What the mapping is for, in the words of its author.
    pub name: String,
    /// How to know a schedule of this source.
    pub recognise: Recognise,
    /// Where on a sheet the table stands.
    pub table: TableLines,
    /// How cells are written, unless a column says otherwise.
    pub cells: Cells,
    /// The columns, in the order of the file.
    pub columns: Vec<Line<ColumnLine>>,
    /// The words of the schedule, by field.
    pub words: Vec<FieldWords>,
    /// Facts that hold for every row.
    pub constants: Vec<ConstantLine>,
    /// Facts that hold for every row of a building.
    pub buildings: Vec<Line<BuildingLine>>,
    /// Whether any sheet was read with the mapping.
    pub used: Line<()>,
}

/// How to know a schedule.
#[derive(Debug, Default)]
pub struct Recognise {
    /// Header words that its header row has.
    pub(super) headers: Vec<HeaderKey>,
    /// How many of them must be there.
    pub at_least: usize,
    /// Names that its sheets have; a text file is asked by its file name.
    pub sheets: Vec<Glob>,
}

/// Where on a sheet the table stands.
#[derive(Debug, Default)]
pub struct TableLines {
    /// The sheets that hold a table; all when there is none.
    pub sheets: Vec<Glob>,
    /// The row of the header, from 1; found when none.
    pub header_row: Option<u32>,
    /// The table ends at a row whose first cell begins so.
    pub stop_at: Vec<Line<String>>,
    /// Rows whose first cell begins so are passed over.
    pub skip: Vec<Line<String>>,
    /// Whether merged cells are looked up in a workbook of any size.
    pub merged: bool,
    /// Whether rows that name no device are passed over.
    pub devices_only: bool,
}

/// How cells are written.
#[derive(Clone, Copy, Debug, Default)]
pub struct Cells {
    /// The mark between whole and decimal digits.
    pub decimal: Option<DecimalMark>,
    /// Whether the day or the month stands first.
    pub dates: Option<DateOrder>,
}

/// What a column gives.
#[derive(Debug)]
pub struct ColumnLine {
    /// Its header, as the mapping writes it.
    pub header: String,
    /// The same for comparison.
    pub(super) key: HeaderKey,
    /// Whether no sheet need have it.
    pub optional: bool,
    /// The fields that it gives; none for a column that is left aside on purpose.
    pub readings: Vec<ColumnReading>,
    /// For a column of descriptions, the phrases of the mapping.
    pub describe: Option<Phrases>,
}

/// How a column gives a field.
#[derive(Debug)]
pub struct ColumnReading {
    /// The field.
    pub field: Field,
    /// The unit of a figure without one.
    pub unit: Option<Unit>,
    /// How its cells are written.
    pub cells: Cells,
    /// How finely it was measured.
    pub resolution: Option<Length>,
    /// Whether an empty cell means the value above it.
    pub fill_down: bool,
    /// The words of the column itself, then those of the field.
    pub words: Option<WordMap>,
    /// The words of the column itself, with their places.
    pub own_words: Vec<WordLine>,
}

impl ColumnReading {
    /// The column for the readers of cells.
    pub fn column(&self) -> Column<'_> {
        Column {
            field: self.field,
            unit: self.unit,
            decimal: self.cells.decimal,
            dates: self.cells.dates,
            words: self.words.as_ref(),
        }
    }
}

/// A word of the schedule, its meaning and the place of its line.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct WordLine {
    /// What the schedule writes.
    pub word: String,
    /// What it means, in a form that the reader of the field understands.
    pub meaning: String,
    /// The bytes of the file that say so.
    pub span: Range<usize>,
}

/// The words of one field.
#[derive(Debug)]
pub struct FieldWords {
    /// The field.
    pub field: Field,
    /// Its words.
    pub lines: Vec<WordLine>,
    /// The same, to be looked up.
    pub map: WordMap,
}

/// A fact that holds for every row.
#[derive(Debug)]
pub struct ConstantLine {
    /// The field.
    pub field: Field,
    /// Where the value comes from.
    pub from: ConstantSource,
}

/// Where the value of a constant comes from.
#[derive(Debug)]
pub enum ConstantSource {
    /// The mapping itself.
    Text(String),
    /// The name of the sheet; what the first star of the pattern stands for.
    Sheet(Glob),
    /// The name of the file without its ending, likewise.
    File(Glob),
}

/// Facts that hold for every row of a building.
#[derive(Debug)]
pub struct BuildingLine {
    /// The building, as its rows name it.
    pub name: String,
    /// Its facts, each in a form that the reader of the field understands.
    pub facts: Vec<(Field, String)>,
}

impl MappingFile {
    /// Reads a mapping file from its text; all its errors at once.
    pub fn parse(path: &str, text: &str) -> Result<Self, Vec<MappingError>> {
        parse::parse(&Arc::new(Source { path: path.to_owned(), text: text.to_owned() }))
    }

    /// Reads a mapping file from disk.
    pub fn open(path: &std::path::Path) -> Result<Self, Vec<MappingError>> {
        let shown = path.display().to_string();
        super::whole_text(path).map_err(|error| vec![unreadable(&shown, error)]).and_then(|text| {
            let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
            Self::parse(&shown, text)
        })
    }

    /// A column for a field of which the mapping says no more than its words and how cells are written.
    pub fn plain(&self, field: Field) -> Column<'_> {
        let words = self.words.iter().find(|words| words.field == field).map(|words| &words.map);
        let Cells { decimal, dates } = self.cells;
        Column { field, unit: None, decimal, dates, words }
    }
}

fn unreadable(path: &str, error: std::io::Error) -> MappingError {
    MappingError {
        source_file: Arc::new(Source { path: path.to_owned(), text: String::new() }),
        span: None,
        problem: Problem::File(Arc::new(error)),
        help: Some("check the path given with --mapping".to_owned()),
    }
}
