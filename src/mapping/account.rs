//! The account of what was read: inputs, sheets, columns, rows skipped and why, and every cell that
//! could not be read. Nothing that a schedule holds is dropped without a line here.

use std::collections::{BTreeMap, BTreeSet};

use crate::ingest::Found;
use crate::outlet::{Field, FieldSet, Length, Origin};

/// For reports, which know the account alone.
pub use crate::ingest::column_letters;

/// What became of all inputs of a run.
#[derive(Clone, Debug, Default)]
pub struct Account {
    /// The inputs in the order of the run; [`Origin::source`] is a place in this list.
    pub inputs: Vec<InputAccount>,
    /// Files that were not read on purpose: lock files, the program's own reports, unknown endings.
    pub skipped_files: Vec<SkippedFile>,
    /// Inputs that could not be read, or not to their end; each makes the run exit with 2.
    pub problems: Vec<String>,
    /// Things to know that are no faults: a mapping that was drafted, a mapping line that matched nothing.
    pub remarks: Vec<String>,
}

/// A file that was not read on purpose.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SkippedFile {
    /// Its path as the user gave it or as the walk found it.
    pub path: String,
    /// Why.
    pub reason: String,
}

/// What became of one input.
#[derive(Clone, Debug)]
pub struct InputAccount {
    /// Its path as the user gave it or as the walk found it.
    pub path: String,
    /// The SHA-256 of its bytes, in hexadecimal.
    pub sha256: String,
    /// Its sheets, in their order; [`Origin::sheet`] is a place in this list.
    pub sheets: Vec<SheetAccount>,
}

/// The sheet of a form of the program's own that is read before it is filled in.
pub const READ_FIRST: &str = "Read first";
/// The sheet of a survey of a sample that holds its design.
pub const DESIGN: &str = "Sample design";
/// The sheet of lists of words that are too long for a cell's own.
pub const LISTS: &str = "Lists";

/// What became of one sheet, or of a text file.
#[derive(Clone, Debug, Default)]
pub struct SheetAccount {
    /// Its name; none for a text file.
    pub name: Option<String>,
    /// Whether the sheet is hidden in its workbook. It is read all the same.
    pub hidden: bool,
    /// How the sheet was read, or why it was not.
    pub reading: SheetReading,
    /// Row of the header, from 1; none where no table was found.
    pub header_row: Option<u32>,
    /// Rows that became outlets.
    pub rows_read: u32,
    /// Rows that did not, counted by reason: `empty`, `total row`, `no device`, ...
    pub rows_skipped: BTreeMap<String, u32>,
    /// The columns of the table, in their order.
    pub columns: Vec<ColumnAccount>,
    /// The facts that the mapping gives to every row.
    pub constants: Vec<ConstantAccount>,
    /// Cells that could not be read, and other faults of the schedule, by row and column.
    pub faults: Vec<Fault>,
    /// Facts that stand on other rows or sheets, by their field and the row that they were joined to.
    pub elsewhere: BTreeMap<Field, BTreeMap<u32, CellPlace>>,
    /// Where the rows are observations of outlets that a schedule lists: for each row the facts that it
    /// only repeats from there.
    pub observations: Option<BTreeMap<u32, FieldSet>>,
    /// Where the rows of a table of an earlier audit stood.
    pub earlier: EarlierPlaces,
}

/// Where the rows of a table of an earlier audit stood in the schedules of that audit.
#[derive(Clone, Debug, Default)]
pub struct EarlierPlaces {
    /// Files and sheets, each once.
    sheets: Vec<[String; 2]>,
    /// For a row of the table the place of its sheet, and its row there.
    rows: BTreeMap<u32, (usize, u32)>,
}

impl EarlierPlaces {
    /// Notes where a row stood.
    pub(super) fn note(&mut self, row: u32, sheet: [String; 2], earlier: u32) {
        let place = self.sheets.iter().rposition(|known| *known == sheet);
        let place = place.unwrap_or_else(|| {
            self.sheets.push(sheet);
            self.sheets.len() - 1
        });
        self.rows.insert(row, (place, earlier));
    }

    /// File, sheet and row where a row stood; none for a row of no earlier audit.
    pub fn of(&self, row: u32) -> Option<(&str, &str, u32)> {
        let (place, earlier) = self.rows.get(&row)?;
        let [source, sheet] = self.sheets.get(*place)?;
        Some((source, sheet, *earlier))
    }
}

/// A cell of an input.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct CellPlace {
    /// Its row, which names the input and the sheet as well.
    pub origin: Origin,
    /// Its column, from 0.
    pub column: u32,
}

impl CellPlace {
    /// The cell in the notation of spreadsheets, without its sheet: `F12`.
    pub fn text(self) -> String {
        format!("{}{}", column_letters(self.column), self.origin.row)
    }
}

/// How a sheet was read.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub enum SheetReading {
    /// Nothing on it.
    #[default]
    Empty,
    /// With this mapping, for this reason: `mappings/acme.toml` because 5 of 6 header words match.
    Mapped {
        /// Name of the mapping file, or `canonical headers`, or `drafted`.
        mapping: String,
        /// Why that one.
        why: String,
    },
    /// A page of a form of the program's own, without devices.
    FormPage,
    /// Not as a schedule of devices, for this reason, with the headers seen.
    NotASchedule {
        /// What was seen.
        why: String,
    },
}

/// What became of one column.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ColumnAccount {
    /// Place of the column in the sheet, from 0.
    pub column: u32,
    /// Its header as written.
    pub header: String,
    /// The field that it gives; none when it is not mapped.
    pub field: Option<Field>,
    /// How it is read: `lengths in mm`, `words, with words of the mapping`; when it is not mapped, why
    /// that is, empty when there is no more to say.
    pub how: String,
    /// A few of its cells and how they were read.
    pub samples: Vec<Sample>,
}

/// A cell, and what was read from it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Sample {
    /// The cell as it is written.
    pub text: String,
    /// The value for a person: `6.35 mm`, `receptacle`, `not read`.
    pub read: String,
}

/// A fact that the mapping gives to every row of a sheet.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ConstantAccount {
    /// The field.
    pub field: Field,
    /// Its value, as the mapping or the name says it.
    pub value: String,
    /// Where it comes from: `constant of the mapping`, `from the name of the sheet`.
    pub how: String,
}

/// A fault of the schedule: no violation of the code, but a cell or a row that needs mending.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Fault {
    /// Row of the sheet, from 1.
    pub row: u32,
    /// Place of the column, from 0; none when the fault is of the whole row.
    pub column: Option<u32>,
    /// The field that the cell would have given.
    pub field: Option<Field>,
    /// The text of the cell.
    pub text: String,
    /// What is wrong with it.
    pub why: String,
}

impl Account {
    /// The account of all inputs that were found, with what was skipped.
    pub(super) fn of(found: &Found, read: Self) -> Self {
        let skipped = found.skipped.iter();
        let skipped_files = skipped
            .map(|skip| SkippedFile { path: skip.path.clone(), reason: skip.reason.to_string() })
            .collect();
        let problems = found.problems.iter().map(ToString::to_string);
        Self { skipped_files, problems: problems.chain(read.problems).collect(), ..read }
    }

    /// The sheet that a row stands on.
    pub fn sheet(&self, origin: Origin) -> Option<&SheetAccount> {
        self.inputs.get(origin.source as usize)?.sheets.get(origin.sheet as usize)
    }

    /// The same, to be changed.
    pub(super) fn sheet_mut(&mut self, origin: Origin) -> Option<&mut SheetAccount> {
        self.inputs.get_mut(origin.source as usize)?.sheets.get_mut(origin.sheet as usize)
    }

    /// The path of the input that a row stands in.
    pub fn path(&self, origin: Origin) -> &str {
        self.inputs.get(origin.source as usize).map_or("", |input| &input.path)
    }

    /// The name of the sheet that a row stands on; empty for a text file.
    pub fn sheet_name(&self, origin: Origin) -> &str {
        self.sheet(origin).and_then(|sheet| sheet.name.as_deref()).unwrap_or_default()
    }

    /// Where the schedule of an earlier audit had a row; none for a row of a schedule itself.
    pub fn earlier(&self, origin: Origin) -> Option<(&str, &str, u32)> {
        self.sheet(origin)?.earlier.of(origin.row)
    }

    /// The row whose cell gives a fact of a row: itself, unless the fact was joined to it.
    pub fn row_of(&self, origin: Origin, field: Field) -> Origin {
        let rows = self.sheet(origin).and_then(|sheet| sheet.elsewhere.get(&field));
        rows.and_then(|rows| rows.get(&origin.row)).map_or(origin, |place| place.origin)
    }

    /// The cell that gives a fact of a row; none where no cell gives it (a constant of the mapping).
    pub fn place_of(&self, origin: Origin, field: Field) -> Option<CellPlace> {
        let sheet = self.sheet(origin)?;
        let joined = sheet.elsewhere.get(&field).and_then(|rows| rows.get(&origin.row));
        joined.copied().or_else(|| Some(CellPlace { origin, column: sheet.column_of(field)? }))
    }

    /// The same for a person who knows the file: `Level 3!F12`, in a text file `F12`, `Attribute!G45` for
    /// one that was joined.
    pub fn cell(&self, origin: Origin, field: Field) -> Option<String> {
        let place = self.place_of(origin, field)?;
        Some(match self.sheet_name(place.origin) {
            "" => place.text(),
            name => format!("{name}!{}", place.text()),
        })
    }

    /// Notes that a fact of a row stands in another row's cell.
    pub fn moved(&mut self, to: Origin, field: Field, from: Origin) {
        let Some(place) = self.place_of(from, field) else { return };
        if let Some(sheet) = self.sheet_mut(to) {
            sheet.elsewhere.entry(field).or_default().insert(to.row, place);
        }
    }

    /// Enters a fault of the cell that gives a fact of a row.
    pub fn fault(&mut self, origin: Origin, field: Field, text: String, why: String) {
        if let Some(sheet) = self.sheet_mut(origin) {
            let (row, column) = (origin.row, sheet.column_of(field));
            sheet.faults.push(Fault { row, column, field: Some(field), text, why });
        }
    }

    /// The sheets whose rows are observations, each as input and sheet.
    pub fn observed_sheets(&self) -> BTreeSet<(u32, u32)> {
        let inputs = (0..).zip(&self.inputs);
        let sheets = inputs.flat_map(|(source, input)| {
            (0..).zip(&input.sheets).map(move |(place, sheet)| ((source, place), sheet))
        });
        sheets.filter(|(_, sheet)| sheet.observations.is_some()).map(|(place, _)| place).collect()
    }

    /// Rows that became outlets, in all.
    pub fn rows_read(&self) -> u64 {
        self.sheets().map(|sheet| u64::from(sheet.rows_read)).sum()
    }

    /// All sheets of all inputs.
    pub fn sheets(&self) -> impl Iterator<Item = &SheetAccount> {
        self.inputs.iter().flat_map(|input| &input.sheets)
    }

    /// Whether any sheet has a column that gives this field, or joins it.
    pub fn has_column(&self, field: Field) -> bool {
        self.sheets().any(|sheet| {
            sheet.columns.iter().any(|column| column.field == Some(field))
                || sheet.elsewhere.contains_key(&field)
        })
    }
}

impl SheetAccount {
    /// The column that gives a field, from 0; none where no column does.
    pub fn column_of(&self, field: Field) -> Option<u32> {
        self.columns.iter().find(|column| column.field == Some(field)).map(|column| column.column)
    }
}

/// How finely the columns of each sheet were measured, where a mapping says.
#[derive(Clone, Debug, Default)]
pub struct Resolutions {
    known: BTreeMap<(u32, u32, Field), Length>,
}

impl Resolutions {
    /// Notes the resolution of a column.
    pub fn set(&mut self, origin: Origin, field: Field, resolution: Length) {
        self.known.insert((origin.source, origin.sheet, field), resolution);
    }

    /// Whether no mapping gives any.
    pub fn is_empty(&self) -> bool {
        self.known.is_empty()
    }

    /// Adds those of other sheets.
    pub(super) fn extend(&mut self, other: Self) {
        self.known.extend(other.known);
    }

    /// The resolution with which a fact of a row was measured, when its mapping gives one.
    pub fn get(&self, origin: Origin, field: Field) -> Option<Length> {
        self.known.get(&(origin.source, origin.sheet, field)).copied()
    }
}
