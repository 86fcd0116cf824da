//! The extent of the tables of an `.ods`, found by one pass over its content.
//!
//! Rows and cells may be repeated by a number: a few hundred bytes can stand for billions of cells.
//! The same pass finds the merged cells. The names of elements are those of the reader, which takes
//! the usual prefixes for granted.

use std::fs::File;
use std::io::{BufReader, Seek};
use std::path::Path;

use zip::ZipArchive;

use super::tags::Tags;
use super::{MOST_BETWEEN_TAGS, too_long_between_tags, too_many_bytes, too_many_cells};
use crate::ingest::{IngestError, Merge};

/// The sizes of a sheet in this format, as far as the reader goes.
const MOST_ROWS: u64 = 1_048_576;
const MOST_COLUMNS: u64 = 16_384;

/// The most cells, counting those that are filled and the rectangle around them: the reader holds both at
/// the same time, some 50 bytes each.
const MOST_CELLS: u64 = 6_000_000;

/// The most text of cells, in bytes of content with all their repeats, that is held at once.
const MOST_TEXT: u64 = 128 * 1024 * 1024;

/// Checks the content and returns the merged cells of every named table, in order.
pub(in crate::ingest) fn open_document(
    path: &Path,
    file: &mut File,
) -> Result<Vec<Vec<Merge>>, IngestError> {
    let mut archive =
        ZipArchive::new(BufReader::new(&mut *file)).map_err(|e| IngestError::broken(path, &e))?;
    let mut scan = Scan::default();
    if let Ok(content) = archive.by_name("content.xml") {
        let mut tags = Tags::new(content);
        // Content that cannot be unpacked to its end is left to the reader to report.
        while let Ok(more) = tags.next() {
            if !more {
                break;
            }
            if tags.before > MOST_BETWEEN_TAGS {
                return Err(too_long_between_tags(path, tags.before));
            }
            scan.position = tags.position;
            scan.tag(&tags.tag);
            if scan.cells > MOST_CELLS {
                return Err(too_many_cells(path, scan.cells, MOST_CELLS));
            }
            if scan.weight > MOST_TEXT {
                return Err(too_many_bytes(
                    path,
                    "the text of its repeated cells",
                    scan.weight,
                    MOST_TEXT,
                ));
            }
        }
        if tags.endless {
            return Err(IngestError::broken(path, &"a tag of its content does not end"));
        }
    }
    file.rewind().map_err(|error| IngestError::from_io(path, error))?;
    Ok(scan.tables)
}

#[derive(Default)]
struct Scan {
    tables: Vec<Vec<Merge>>,
    /// Bytes of content passed so far.
    position: u64,
    /// Cells that the reader will hold, in all tables.
    cells: u64,
    /// Bytes of cells, each as often as it is repeated.
    weight: u64,
    table: Option<Table>,
}

#[derive(Default)]
struct Table {
    named: bool,
    merges: Vec<Merge>,
    next_row: u64,
    rows: Option<(u64, u64)>,
    columns: Option<(u64, u64)>,
    row: RowScan,
}

#[derive(Default)]
struct RowScan {
    repeats: u64,
    next_column: u64,
    columns: Option<(u64, u64)>,
    weight: u64,
    /// The position behind the start of an open cell, and its repeats.
    cell: Option<(u64, u64)>,
}

impl Scan {
    fn tag(&mut self, tag: &[u8]) {
        let (body, closed) = match tag.strip_suffix(b"/") {
            Some(body) => (body, true),
            None => (tag, false),
        };
        let name = body.split(u8::is_ascii_whitespace).next().unwrap_or_default();
        match name {
            b"table:table" if self.table.is_none() => {
                let named = attribute(body, b"table:name").is_some();
                self.table = Some(Table { named, ..Table::default() });
                if closed {
                    self.end_table();
                }
            }
            b"/table:table" => self.end_table(),
            b"table:table-row" => {
                if let Some(table) = &mut self.table {
                    let repeats = number(body, b"table:number-rows-repeated").min(MOST_ROWS);
                    table.row = RowScan { repeats, ..RowScan::default() };
                }
                if closed {
                    self.end_row();
                }
            }
            b"/table:table-row" => self.end_row(),
            b"table:table-cell" | b"table:covered-table-cell" => {
                if let Some(table) = &mut self.table {
                    table.cell(body, closed, self.position);
                }
            }
            b"/table:table-cell" | b"/table:covered-table-cell" => {
                let row = self.table.as_mut().map(|table| &mut table.row);
                if let Some((row, (start, repeats))) =
                    row.and_then(|row| row.cell.take().map(|cell| (row, cell)))
                {
                    row.weigh(self.position - start, repeats);
                }
            }
            _ => {}
        }
    }

    fn end_row(&mut self) {
        let Some(table) = &mut self.table else { return };
        let row = std::mem::take(&mut table.row);
        let first = table.next_row;
        table.next_row = (first + row.repeats).min(MOST_ROWS);
        let (Some(columns), true) = (row.columns, table.next_row > first) else { return };
        table.rows = Some((table.rows.map_or(first, |rows| rows.0), table.next_row));
        let (low, high) = table.columns.unwrap_or(columns);
        table.columns = Some((low.min(columns.0), high.max(columns.1)));
        self.weight = self.weight.saturating_add(row.weight.saturating_mul(row.repeats));
        self.cells = self.cells.saturating_add(columns.1);
    }

    fn end_table(&mut self) {
        let Some(table) = self.table.take() else { return };
        if let (Some(rows), Some(columns)) = (table.rows, table.columns) {
            self.cells += (rows.1 - rows.0).saturating_mul(columns.1 - columns.0);
        }
        if table.named {
            self.tables.push(table.merges);
        }
    }
}

impl Table {
    fn cell(&mut self, body: &[u8], closed: bool, position: u64) {
        let repeats = number(body, b"table:number-columns-repeated").min(MOST_COLUMNS);
        let column = self.row.next_column;
        self.row.next_column = (column + repeats).min(MOST_COLUMNS);
        self.merge(body, column);
        let filled = !closed
            || body.windows(7).any(|window| window == b"office:")
            || attribute(body, b"table:formula").is_some();
        if filled && self.row.next_column > column {
            let first = self.row.columns.map_or(column, |columns| columns.0);
            self.row.columns = Some((first, self.row.next_column));
            self.row.weigh(body.len() as u64, repeats);
        }
        self.row.cell = (!closed).then_some((position, repeats));
    }

    fn merge(&mut self, body: &[u8], column: u64) {
        let rows = number(body, b"table:number-rows-spanned");
        let columns = number(body, b"table:number-columns-spanned");
        if rows < 2 && columns < 2 {
            return;
        }
        let narrow = |number: u64| u32::try_from(number).unwrap_or(u32::MAX);
        self.merges.push(Merge {
            first_row: narrow(self.next_row + 1),
            last_row: narrow(self.next_row.saturating_add(rows)),
            first_column: narrow(column),
            last_column: narrow(column.saturating_add(columns) - 1),
        });
    }
}

impl RowScan {
    fn weigh(&mut self, bytes: u64, repeats: u64) {
        self.weight = self.weight.saturating_add(bytes.saturating_mul(repeats));
    }
}

/// A count of at least one; a count that is no number is one, and the reader will object to it.
fn number(tag: &[u8], name: &[u8]) -> u64 {
    let digits = attribute(tag, name).and_then(|value| std::str::from_utf8(value).ok());
    digits.map_or(1, |digits| {
        let digits = digits.trim();
        let overflow = digits.len() > 18 && digits.bytes().all(|byte| byte.is_ascii_digit());
        digits.parse().unwrap_or(if overflow { u64::MAX } else { 1 }).max(1)
    })
}

fn attribute<'a>(tag: &'a [u8], name: &[u8]) -> Option<&'a [u8]> {
    let mut from = 0;
    while let Some(at) = tag[from..].windows(name.len()).position(|window| window == name) {
        let start = from + at;
        let before = start.checked_sub(1).and_then(|index| tag.get(index));
        let rest = tag[start + name.len()..].trim_ascii_start();
        if before.is_some_and(u8::is_ascii_whitespace)
            && let Some(rest) = rest.strip_prefix(b"=")
            && let Some((quote, rest)) = rest.trim_ascii_start().split_first()
        {
            return rest.split(|byte| byte == quote).next();
        }
        from = start + name.len();
    }
    None
}

#[cfg(test)]
mod tests {
    use std::io::Write;

    use super::*;

    fn scan(tables: &str) -> Result<Vec<Vec<Merge>>, IngestError> {
        let mut writer = zip::ZipWriter::new(tempfile::tempfile().unwrap());
        writer.start_file("content.xml", zip::write::SimpleFileOptions::default()).unwrap();
        write!(writer, "<?xml version='1.0'?><x>{tables}</x>").unwrap();
        open_document(Path::new("a.ods"), &mut writer.finish().unwrap())
    }

    #[test]
    fn empty_repeats_cost_nothing() {
        let table = r#"<table:table table:name="A"><table:table-row>
            <table:table-cell office:value-type="string"><text:p>x > y</text:p></table:table-cell>
            <table:table-cell table:number-columns-repeated="16383"/></table:table-row>
            <table:table-row table:number-rows-repeated="1048575"><table:table-cell
            table:number-columns-repeated='16384'/></table:table-row></table:table>"#;
        assert_eq!(scan(table).unwrap(), [vec![]]);
    }

    #[test]
    fn a_far_corner_and_repeated_cells_are_refused() {
        let far = r#"<table:table table:name="A"><table:table-row><table:table-cell
            office:value-type="float" office:value="1"/></table:table-row>
            <table:table-row table:number-rows-repeated="1048000"/>
            <table:table-row><table:table-cell table:number-columns-repeated="16000"/>
            <table:table-cell office:value-type="float" office:value="1"/></table:table-row>
            </table:table>"#;
        let repeated = r#"<table:table table:name="A"><table:table-row
            table:number-rows-repeated="1000000"><table:table-cell
            table:number-columns-repeated="10000" office:value-type="float" office:value="1"/>
            </table:table-row></table:table>"#;
        let long = format!(
            r#"<table:table table:name="A"><table:table-row table:number-rows-repeated="1000000">
            <table:table-cell office:value-type="string"><text:p>{}</text:p></table:table-cell>
            </table:table-row></table:table>"#,
            "x".repeat(2000)
        );
        for table in [far, repeated, &long] {
            let error = scan(table).unwrap_err();
            assert!(matches!(error, IngestError::TooLarge { .. }), "{error}");
        }
    }

    #[test]
    fn merged_cells_are_found_by_table() {
        let tables = r#"<table:table table:name="A"/><table:table table:name="B">
            <!-- <table:table table:name="C"> --><table:table-row table:number-rows-repeated="4">
            <table:table-cell/></table:table-row><table:table-row><table:table-cell
            table:number-columns-repeated="2"/><table:table-cell table:number-rows-spanned="3"
            table:number-columns-spanned="1" office:value-type="string"><text:p>g</text:p>
            </table:table-cell></table:table-row></table:table>"#;
        let merge = Merge { first_row: 5, last_row: 7, first_column: 2, last_column: 2 };
        assert_eq!(scan(tables).unwrap(), [vec![], vec![merge]]);
    }
}
