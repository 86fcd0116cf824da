//! A table of outlets that go by another name: the columns building, before and after.

use std::path::Path;

use super::side_table::{SideTable, SideTableError};

/// One outlet that goes by another name: its building, its old name, its new one.
pub type RenameLine = [String; 3];

/// Reads a table of renamed outlets. The column of buildings may be missing where there is one only.
pub fn open(path: &Path) -> Result<Vec<RenameLine>, SideTableError> {
    let table = SideTable::open(path, &["before", "after"])?;
    Ok(table.rows().map(|row| ["building", "before", "after"].map(|name| row.text(name))).collect())
}
