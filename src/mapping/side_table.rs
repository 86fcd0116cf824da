//! Small tables that stand beside the schedules: editions of buildings, rulings, renamed outlets.
//!
//! Owns finding the header and the columns. The first row that has all the columns that are needed is the
//! header, on whichever sheet it stands; what its cells mean is the business of whoever reads the table.

use std::path::Path;

use super::read::{self, trim};
use crate::ingest::{self, Cell, Row};
use crate::outlet::Date;

/// Why a table beside the schedules cannot be read.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
pub enum SideTableError {
    /// The file could not be read.
    #[error("{0}")]
    Unreadable(String),
    /// No row has all the columns that are needed.
    #[error(
        "{path}: no row has the columns {columns}, which it needs; they are the first row of the table"
    )]
    NoHeader {
        /// The file.
        path: String,
        /// The columns, joined.
        columns: String,
    },
    /// A cell holds no text.
    #[error("{path}, line {line}: the column `{column}` holds {what}; type it as text")]
    NoText {
        /// The file.
        path: String,
        /// The line or row, from 1.
        line: u32,
        /// The header.
        column: String,
        /// What it holds, with its article.
        what: &'static str,
    },
}

/// Tables of texts, each below its header: one for each sheet that has the header.
pub(super) struct SideTable {
    /// Its file, as the user gave it.
    pub(super) path: String,
    sheets: Vec<Part>,
}

/// The table of one sheet.
struct Part {
    headers: Vec<(u32, String)>,
    rows: Vec<Row>,
}

/// A row of a table.
#[derive(Clone, Copy)]
pub(super) struct SideRow<'a> {
    headers: &'a [(u32, String)],
    row: &'a Row,
}

impl SideTable {
    /// Reads a table that has these columns.
    pub(super) fn open(path: &Path, needed: &[&str]) -> Result<Self, SideTableError> {
        let unreadable =
            |error: &dyn std::fmt::Display| SideTableError::Unreadable(error.to_string());
        if path.is_dir() {
            let folder =
                format!("{}: this is a folder; name the file of the table", path.display());
            return Err(SideTableError::Unreadable(folder));
        }
        let found = ingest::find(&[path.to_owned()]);
        if let Some(problem) = found.problems.first() {
            return Err(unreadable(problem));
        }
        let Some(input) = found.inputs.first() else {
            let nothing = format!("{}: this file cannot be read as a table", path.display());
            return Err(SideTableError::Unreadable(nothing));
        };
        let mut table = Self { path: input.display.clone(), sheets: Vec::new() };
        ingest::read(input, &mut |_, rows| {
            let mut row = Row::default();
            let mut part: Option<Part> = None;
            while rows.next(&mut row)? {
                match &mut part {
                    Some(part) if !row.is_empty() => part.rows.push(row.clone()),
                    None if has_all(&row, needed) => part = Some(Part::below(&row)),
                    _ => {}
                }
            }
            table.sheets.extend(part);
            Ok(())
        })
        .map_err(|error| unreadable(&error))?;
        if table.sheets.is_empty() {
            let columns = needed.join(" and ");
            return Err(SideTableError::NoHeader { path: table.path, columns });
        }
        table.check_texts()?;
        Ok(table)
    }

    /// Every cell below a header holds something that can be read as a text.
    fn check_texts(&self) -> Result<(), SideTableError> {
        for part in &self.sheets {
            for row in &part.rows {
                let odd = part.headers.iter().find_map(|(place, header)| {
                    let what = match row.cell(*place) {
                        Cell::Error(_) => "the error of a formula",
                        Cell::Boolean(_) => "a truth value",
                        _ => return None,
                    };
                    Some((header.clone(), what))
                });
                if let Some((column, what)) = odd {
                    let (path, line) = (self.path.clone(), row.number);
                    return Err(SideTableError::NoText { path, line, column, what });
                }
            }
        }
        Ok(())
    }

    /// Its rows.
    pub(super) fn rows(&self) -> impl Iterator<Item = SideRow<'_>> {
        self.sheets
            .iter()
            .flat_map(|part| part.rows.iter().map(|row| SideRow { headers: &part.headers, row }))
    }

    /// The headers that are none of these.
    pub(super) fn other_headers(&self, known: &[&str]) -> Vec<String> {
        let headers = self.sheets.iter().flat_map(|part| &part.headers);
        let others = headers.filter(|(_, header)| {
            !header.is_empty() && !known.iter().any(|name| read::same(header, name))
        });
        others.map(|(_, header)| header.clone()).collect()
    }
}

impl Part {
    fn below(header: &Row) -> Self {
        let headers = header.cells().map(|(place, cell)| (place, text_of(cell))).collect();
        Self { headers, rows: Vec::new() }
    }
}

impl SideRow<'_> {
    /// Its line in a text file, its row on a sheet, from 1.
    pub(super) const fn number(&self) -> u32 {
        self.row.number
    }

    /// The text in a column, trimmed; empty where there is none.
    pub(super) fn text(&self, column: &str) -> String {
        let named = |(_, header): &&(u32, String)| read::same(header, column);
        let place = self.headers.iter().find(named).map(|(place, _)| *place);
        place.map_or_else(String::new, |place| text_of(self.row.cell(place)))
    }
}

fn has_all(row: &Row, needed: &[&str]) -> bool {
    let has = |name: &&str| row.cells().any(|(_, cell)| read::same(&text_of(cell), name));
    needed.iter().all(has)
}

fn text_of(cell: Cell<'_>) -> String {
    match cell {
        Cell::Text(text) => trim(text).to_owned(),
        Cell::Number(number) => number.to_string(),
        Cell::Date(moment) => moment.date().to_string(),
        _ => String::new(),
    }
}

/// A day as people write it; none for an empty text, the text itself where it is no day.
pub(super) fn day(text: &str) -> Result<Option<Date>, String> {
    use crate::outlet::{Field, Texts, Value as _};
    let column = read::Column::of(Field::ObservedOn);
    match read::read(read::Content::Text(text), &column, &mut Texts::default()) {
        read::Reading::Known(raw) => Ok(Some(Date::from_raw(raw))),
        read::Reading::Blank => Ok(None),
        _ => Err(text.to_owned()),
    }
}
