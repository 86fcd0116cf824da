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
}

/// A table of texts below a header.
pub(super) struct SideTable {
    /// Its file, as the user gave it.
    pub(super) path: String,
    headers: Vec<(u32, String)>,
    rows: Vec<Row>,
}

/// A row of a table.
#[derive(Clone, Copy)]
pub(super) struct SideRow<'a> {
    table: &'a SideTable,
    row: &'a Row,
}

impl SideTable {
    /// Reads a table that has these columns.
    pub(super) fn open(path: &Path, needed: &[&str]) -> Result<Self, SideTableError> {
        let unreadable =
            |error: &dyn std::fmt::Display| SideTableError::Unreadable(error.to_string());
        let found = ingest::find(&[path.to_owned()]);
        if let Some(problem) = found.problems.first() {
            return Err(unreadable(problem));
        }
        let Some(input) = found.inputs.first() else {
            let nothing = format!("{}: this file cannot be read as a table", path.display());
            return Err(SideTableError::Unreadable(nothing));
        };
        let mut table = Self { path: input.display.clone(), headers: Vec::new(), rows: Vec::new() };
        ingest::read(input, &mut |_, rows| {
            let mut row = Row::default();
            let mut here = false;
            while rows.next(&mut row)? {
                if here {
                    if !row.is_empty() {
                        table.rows.push(row.clone());
                    }
                } else if table.headers.is_empty() && has_all(&row, needed) {
                    table.headers =
                        row.cells().map(|(place, cell)| (place, text_of(cell))).collect();
                    here = true;
                }
            }
            Ok(())
        })
        .map_err(|error| unreadable(&error))?;
        if table.headers.is_empty() {
            let columns = needed.join(" and ");
            return Err(SideTableError::NoHeader { path: table.path, columns });
        }
        Ok(table)
    }

    /// Its rows.
    pub(super) fn rows(&self) -> impl Iterator<Item = SideRow<'_>> {
        self.rows.iter().map(|row| SideRow { table: self, row })
    }

    /// The headers that are none of these.
    pub(super) fn other_headers(&self, known: &[&str]) -> Vec<String> {
        let others = self.headers.iter().filter(|(_, header)| {
            !header.is_empty() && !known.iter().any(|name| read::same(header, name))
        });
        others.map(|(_, header)| header.clone()).collect()
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
        let place = self.table.headers.iter().find(named).map(|(place, _)| *place);
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
