//! The editions of buildings as a table of its own: a CSV file with the columns building and edition.

use std::path::Path;

use super::read::{self, Column, Content, Reading};
use crate::ingest::{self, Cell};
use crate::outlet::{Fact, Field, Outlet, Texts, facts};

/// What is wrong with a table of editions.
#[derive(Debug, thiserror::Error)]
pub enum EditionsError {
    /// The file could not be read.
    #[error("{0}")]
    Unreadable(String),
    /// A column is missing.
    #[error("{path}: the first row has no column `{column}`; it needs building and edition")]
    NoColumn {
        /// The file.
        path: String,
        /// The column.
        column: &'static str,
    },
    /// An edition that cannot be read.
    #[error("{path}, line {line}: `{text}` is no edition; write 2014, 2017, 2020, 2023 or other")]
    NoEdition {
        /// The file.
        path: String,
        /// Its line, from 1.
        line: u32,
        /// The cell.
        text: String,
    },
}

/// Editions by the name of the building, as integers of the model.
pub type Editions = Vec<(String, i64)>;

/// Reads a table of editions.
pub fn open(path: &Path) -> Result<Editions, EditionsError> {
    let found = ingest::find(&[path.to_owned()]);
    let unreadable = |error: &dyn std::fmt::Display| EditionsError::Unreadable(error.to_string());
    if let Some(problem) = found.problems.first() {
        return Err(unreadable(problem));
    }
    let Some(input) = found.inputs.first() else {
        return Err(EditionsError::Unreadable(format!("{}: nothing to read", path.display())));
    };
    let mut table = Vec::new();
    ingest::read(input, &mut |_, rows| {
        let mut row = ingest::Row::default();
        while rows.next(&mut row)? {
            if !row.is_empty() {
                table.push(row.clone());
            }
        }
        Ok(())
    })
    .map_err(|error| unreadable(&error))?;
    editions(&input.display, &table)
}

fn editions(path: &str, table: &[ingest::Row]) -> Result<Editions, EditionsError> {
    let column = |name: &'static str| {
        let header = table.first().and_then(|row| {
            row.cells().find(|(_, cell)| match cell {
                Cell::Text(text) => read::same(text, name),
                _ => false,
            })
        });
        let missing = || EditionsError::NoColumn { path: path.to_owned(), column: name };
        header.map(|(place, _)| place).ok_or_else(missing)
    };
    let (building, edition) = (column("building")?, column("edition")?);
    let mut editions = Vec::new();
    for row in table.iter().skip(1) {
        let name = text_of(row.cell(building));
        let text = text_of(row.cell(edition));
        let column = Column::of(Field::Edition);
        match read::read(Content::Text(&text), &column, &mut Texts::default()) {
            Reading::Known(raw) => editions.push((name, raw)),
            Reading::Blank => {}
            Reading::NoneDropped(_) | Reading::NotADevice(_) | Reading::Unreadable(_) => {
                let path = path.to_owned();
                return Err(EditionsError::NoEdition { path, line: row.number, text });
            }
        }
    }
    Ok(editions)
}

fn text_of(cell: Cell<'_>) -> String {
    match cell {
        Cell::Text(text) => read::trim(text).to_owned(),
        Cell::Number(number) => number.to_string(),
        _ => String::new(),
    }
}

/// Gives the rows of each building its edition where they record none. Buildings that no row names are
/// returned.
pub fn apply(editions: &Editions, outlets: &mut [Outlet], texts: &Texts) -> Vec<String> {
    let mut unknown = Vec::new();
    for (building, edition) in editions {
        let Some(name) = texts.find(building) else {
            unknown.push(building.clone());
            continue;
        };
        for outlet in outlets.iter_mut() {
            let here = outlet.get(facts::BUILDING).known() == Some(name);
            if here && matches!(outlet.get(facts::EDITION), Fact::Blank | Fact::Absent) {
                outlet.set_raw(Field::Edition, Fact::Known(*edition));
            }
        }
    }
    unknown
}
