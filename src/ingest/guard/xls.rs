//! The extent of the sheets of an `.xls`, found by one pass over its records.
//!
//! Source of the records: [MS-XLS], the published specification of the format. The reader makes a
//! rectangle around all filled cells of a sheet, and room for as many as the sheet declares.

use std::path::Path;

use super::{too_many_bytes, too_many_cells};
use crate::ingest::IngestError;
use crate::ingest::compound::{Compound, u16_at, u32_at};

const END: u16 = 0x000A;
const START: u16 = 0x0809;
const SHEET: u16 = 0x0085;
const DIMENSIONS: u16 = 0x0200;
const NUMBERS: u16 = 0x00BD;
/// Formula, text, number, truth value and the like: row and column come first.
const CELLS: [u16; 7] = [0x0006, 0x0203, 0x0204, 0x0205, 0x00D6, 0x00FD, 0x027E];

const FORMULA: u16 = 0x0006;
const NAME: u16 = 0x0018;

/// The most cells: the reader holds each alone and in the rectangle, with its formula, some 100 bytes.
const MOST_CELLS: u64 = 4_000_000;

/// The most text of formulas, in bytes. A reference of a few bytes is written out as the name that it
/// means.
const MOST_FORMULAS: u64 = 128 * 1024 * 1024;
const SHORTEST_REFERENCE: u64 = 5;
/// The longest reference to a cell: `$IV$65536:$IV$65536`.
const LONGEST_CELL: u64 = 20;

/// The most cells that a sheet may declare: the reader makes room for all of them at once.
const MOST_DECLARED: u64 = MOST_CELLS;

/// Checks the sheets of a workbook that is held in memory.
pub(in crate::ingest) fn xls(path: &Path, bytes: &[u8]) -> Result<(), IngestError> {
    let Some(compound) = Compound::open(bytes) else { return Ok(()) };
    if compound.is_circular() {
        return Err(IngestError::broken(path, &"its parts lead in a circle"));
    }
    let stream = compound.stream("Workbook").or_else(|| compound.stream("Book"));
    let Some(stream) = stream else { return Ok(()) };
    let longest = longest_name(&stream);
    let (mut cells, mut formulas) = (0_u64, 0_u64);
    let mut passed = 0;
    for start in sheets(&stream) {
        let sheet = stream.get(start..).unwrap_or_default();
        let Extent { cells: more, bytes: length, formulas: bytes } = extent(path, sheet)?;
        cells += more;
        formulas += bytes;
        if cells > MOST_CELLS {
            return Err(too_many_cells(path, cells, MOST_CELLS));
        }
        let written = formulas.saturating_mul(longest) / SHORTEST_REFERENCE;
        if written > MOST_FORMULAS {
            return Err(too_many_bytes(path, "the text of its formulas", written, MOST_FORMULAS));
        }
        // Sheets that lie within each other would be read over and over.
        passed += length;
        if passed > 4 * stream.len() {
            return Err(IngestError::broken(path, &"its sheets lie within each other"));
        }
    }
    Ok(())
}

/// The records of a stream: type and content.
fn records(stream: &[u8]) -> impl Iterator<Item = (u16, &[u8])> {
    let mut rest = stream;
    std::iter::from_fn(move || {
        let (kind, length) = (u16_at(rest, 0)?, usize::from(u16_at(rest, 2)?));
        let content = rest.get(4..4 + length)?;
        rest = &rest[4 + length..];
        Some((kind, content))
    })
}

/// Where the sheets start, as the records of the workbook say.
fn sheets(stream: &[u8]) -> Vec<usize> {
    records(stream)
        .take_while(|(kind, _)| *kind != END)
        .filter(|(kind, _)| *kind == SHEET)
        .filter_map(|(_, content)| usize::try_from(u32_at(content, 0)?).ok())
        .collect()
}

/// The length of the longest name that a formula may write out for a few bytes: of a sheet or a range.
fn longest_name(stream: &[u8]) -> u64 {
    let names = records(stream).take_while(|(kind, _)| *kind != END);
    let lengths = names.filter_map(|(kind, content)| match kind {
        SHEET => content.get(6),
        NAME => content.get(3),
        _ => None,
    });
    lengths.map(|length| u64::from(*length)).max().unwrap_or_default().max(LONGEST_CELL)
}

/// What the reader will hold of a sheet.
struct Extent {
    /// The cells of the rectangle around the filled cells.
    cells: u64,
    /// The bytes of its records.
    bytes: usize,
    /// The bytes of its formulas.
    formulas: u64,
}

/// The extent of a sheet.
fn extent(path: &Path, sheet: &[u8]) -> Result<Extent, IngestError> {
    let mut bounds: Option<[u64; 4]> = None;
    let (mut passed, mut formulas) = (0, 0);
    let mut depth = 0_u32;
    for (kind, content) in records(sheet) {
        passed += 4 + content.len();
        match kind {
            START => depth += 1,
            END if depth > 1 => depth -= 1,
            END => break,
            // Charts within a sheet have records of the same kinds.
            _ if depth > 1 => {}
            DIMENSIONS => {
                let declared = declared(content);
                if declared > MOST_DECLARED {
                    return Err(too_many_cells(path, declared, MOST_DECLARED));
                }
            }
            NUMBERS => {
                let last = content.len().checked_sub(2).and_then(|at| u16_at(content, at));
                widen(&mut bounds, content, last);
            }
            _ if CELLS.contains(&kind) => {
                widen(&mut bounds, content, None);
                formulas += if kind == FORMULA { content.len() as u64 } else { 0 };
            }
            _ => {}
        }
    }
    let cells =
        bounds.map_or(0, |[top, bottom, left, right]| (bottom - top + 1) * (right - left + 1));
    Ok(Extent { cells, bytes: passed, formulas })
}

fn widen(bounds: &mut Option<[u64; 4]>, content: &[u8], last: Option<u16>) {
    let (Some(row), Some(column)) = (u16_at(content, 0), u16_at(content, 2)) else { return };
    let (row, column) = (u64::from(row), u64::from(column));
    let last = last.map_or(column, |last| column.max(u64::from(last)));
    let [top, bottom, left, right] = bounds.unwrap_or([row, row, column, last]);
    *bounds = Some([top.min(row), bottom.max(row), left.min(column), right.max(last)]);
}

/// How many cells a sheet declares; the reader takes a first column beyond 255 for 0.
fn declared(content: &[u8]) -> u64 {
    let wide = |at| u16_at(content, at).map_or(0, u64::from);
    let (rows, left, right) = if content.len() == 10 {
        (wide(2).saturating_sub(wide(0)), wide(4), wide(6))
    } else {
        let long = |at| u32_at(content, at).map_or(0, u64::from);
        (long(4).saturating_sub(long(0)), wide(8), wide(10))
    };
    let left = if left > 255 || right < left { 0 } else { left };
    rows.saturating_mul(right - left)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ingest::compound::tests::compound_file;

    fn record(kind: u16, content: &[u8]) -> Vec<u8> {
        let length = u16::try_from(content.len()).unwrap();
        [&kind.to_le_bytes(), &length.to_le_bytes(), content].concat()
    }

    fn cell(row: u16, column: u16) -> Vec<u8> {
        let place = [row.to_le_bytes(), column.to_le_bytes()].concat();
        record(0x0203, &[place, vec![0; 10]].concat())
    }

    #[test]
    fn the_extent_is_the_rectangle_around_the_cells() {
        let chart = [record(START, &[]), cell(60_000, 250), record(END, &[])].concat();
        let sheet =
            [record(START, &[]), cell(10, 2), chart, cell(12, 5), record(END, &[]), cell(999, 9)];
        let extent = extent(Path::new("a.xls"), &sheet.concat()).unwrap();
        assert_eq!(extent.cells, 3 * 4);
        assert_eq!(extent.bytes, sheet[..5].concat().len());
    }

    #[test]
    fn a_declared_extent_beyond_the_format_is_refused() {
        let mut dimensions = [0; 14];
        dimensions[4..8].copy_from_slice(&u32::MAX.to_le_bytes());
        dimensions[10..12].copy_from_slice(&200_u16.to_le_bytes());
        let sheet = [record(START, &[]), record(DIMENSIONS, &dimensions)].concat();
        let error = extent(Path::new("a.xls"), &sheet).err().unwrap();
        assert!(matches!(error, IngestError::TooLarge { .. }), "{error}");
    }

    #[test]
    fn a_small_workbook_with_a_far_corner_is_refused() {
        let workbook = |corner: Vec<u8>| {
            let sheet = |at: u32| {
                let globals = [
                    record(START, &[0; 8]),
                    record(SHEET, &[&at.to_le_bytes()[..], &[0, 0, 1, 0, b'A']].concat()),
                    record(END, &[]),
                ];
                globals.concat()
            };
            let start = u32::try_from(sheet(0).len()).unwrap();
            let cells = [record(START, &[0; 8]), cell(0, 0), corner.clone(), record(END, &[])];
            compound_file("Workbook", &[sheet(start), cells.concat()].concat())
        };
        let bytes = workbook(cell(65_535, 255));
        let error = xls(Path::new("a.xls"), &bytes).unwrap_err();
        assert!(matches!(error, IngestError::TooLarge { size: 16_777_216, .. }), "{error}");
        xls(Path::new("a.xls"), &workbook(cell(65_535, 0))).unwrap();
    }
}
