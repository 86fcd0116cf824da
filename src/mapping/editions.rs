//! The editions of buildings as a table of its own: a CSV file with the columns building and edition.

use std::path::Path;

use super::read::{self, Column, Content, Reading};
use super::side_table::{SideTable, SideTableError};
use crate::outlet::{Fact, Field, Outlet, Texts, facts};

/// What is wrong with a table of editions.
#[derive(Debug, thiserror::Error)]
pub enum EditionsError {
    /// It is no such table.
    #[error(transparent)]
    Table(#[from] SideTableError),
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
    let table = SideTable::open(path, &["building", "edition"])?;
    let mut editions = Vec::new();
    for row in table.rows() {
        let text = row.text("edition");
        let column = Column::of(Field::Edition);
        match read::read(Content::Text(&text), &column, &mut Texts::default()) {
            Reading::Known(raw) => editions.push((row.text("building"), raw)),
            Reading::Blank => {}
            Reading::NoneDropped(_) | Reading::NotADevice(_) | Reading::Unreadable(_) => {
                let path = table.path.clone();
                return Err(EditionsError::NoEdition { path, line: row.number(), text });
            }
        }
    }
    Ok(editions)
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
