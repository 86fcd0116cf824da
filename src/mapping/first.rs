//! The first rows of a sheet, kept to be looked at before it is known how it is read.

use crate::ingest::{IngestError, Row, Rows};

/// Rows are kept to be looked at until they hold so many bytes.
const MOST_BYTES_KEPT: usize = 32 * 1024 * 1024;

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
