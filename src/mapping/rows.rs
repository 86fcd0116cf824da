//! The rows of a sheet in two parts: the first, by which it is recognised, and the rest.
//!
//! Owns nothing of what they mean.

use crate::ingest::{IngestError, Merge, Row, Rows};

/// Rows are kept to be looked at until they hold so many bytes.
const MOST_BYTES_KEPT: usize = 32 * 1024 * 1024;

/// The rows of a sheet that were not looked at yet.
pub(super) struct Read<'r> {
    pub(super) rows: &'r mut dyn Rows,
    pub(super) merges: Vec<Merge>,
}

/// The first rows of a sheet, and what went wrong while they were read. Rows of megabytes are fewer.
pub(super) fn first_rows(rows: &mut dyn Rows, most: u32) -> (Vec<Row>, Option<IngestError>) {
    let (mut first, mut kept) = (Vec::new(), 0);
    loop {
        let mut row = Row::default();
        match rows.next(&mut row) {
            Ok(true) => {
                kept += row.bytes();
                let last = row.number >= most || kept > MOST_BYTES_KEPT;
                first.push(row);
                if last {
                    return (first, None);
                }
            }
            Ok(false) => return (first, None),
            Err(error) => return (first, Some(error)),
        }
    }
}
