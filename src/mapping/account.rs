//! The account of what was read: inputs, sheets, columns, rows skipped and why, and every cell that
//! could not be read. Nothing that a schedule holds is dropped without a line here.

use std::collections::BTreeMap;

use crate::outlet::{Field, Length, Origin};

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
}

/// A cell of another sheet of the same input.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct CellPlace {
    /// Place of the sheet among those of the input.
    pub sheet: u32,
    /// Its row, from 1.
    pub row: u32,
    /// Its column, from 0.
    pub column: u32,
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

    /// The cell that gives a fact of a row: `Level 3!F12`, in a text file `F12`, `Attribute!G45` for
    /// one that was joined; none where no cell gives it (a constant of the mapping).
    pub fn cell(&self, origin: Origin, field: Field) -> Option<String> {
        let sheet = self.sheet(origin)?;
        if let Some(place) = sheet.elsewhere.get(&field).and_then(|rows| rows.get(&origin.row)) {
            let there = Origin { sheet: place.sheet, row: place.row, ..origin };
            let cell = format!("{}{}", column_letters(place.column), place.row);
            return Some(format!("{}!{cell}", self.sheet_name(there)));
        }
        let cell = format!("{}{}", column_letters(sheet.column_of(field)?), origin.row);
        Some(match &sheet.name {
            Some(name) => format!("{name}!{cell}"),
            None => cell,
        })
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

/// The letters of a column, from 0: `A`, `Z`, `AA`.
pub fn column_letters(column: u32) -> String {
    let mut letters = Vec::new();
    let mut rest = column + 1;
    while rest > 0 {
        rest -= 1;
        letters.push(b'A' + u8::try_from(rest % 26).unwrap_or_default());
        rest /= 26;
    }
    letters.reverse();
    String::from_utf8(letters).unwrap_or_default()
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

    /// Adds those of other sheets.
    pub(super) fn extend(&mut self, other: Self) {
        self.known.extend(other.known);
    }

    /// The resolution with which a fact of a row was measured, when its mapping gives one.
    pub fn get(&self, origin: Origin, field: Field) -> Option<Length> {
        self.known.get(&(origin.source, origin.sheet, field)).copied()
    }
}
