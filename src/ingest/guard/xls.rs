//! The extent of the sheets of an `.xls`, found by one pass over its records.
//!
//! Source of the records: [MS-XLS], the published specification of the format. The reader makes a
//! rectangle around all filled cells of a sheet, and room for as many as the sheet declares.

use std::path::Path;

use super::{MOST_CELLS, too_many_cells};
use crate::ingest::IngestError;
use crate::ingest::compound::{Compound, u16_at, u32_at};

const END: u16 = 0x000A;
const START: u16 = 0x0809;
const SHEET: u16 = 0x0085;
const DIMENSIONS: u16 = 0x0200;
const NUMBERS: u16 = 0x00BD;
/// Formula, text, number, truth value and the like: row and column come first.
const CELLS: [u16; 7] = [0x0006, 0x0203, 0x0204, 0x0205, 0x00D6, 0x00FD, 0x027E];

/// A sheet of this format has 65,536 rows of 256 columns, and cannot declare more.
const MOST_DECLARED: u64 = 65_536 * 256;

/// Checks the sheets of a workbook that is held in memory.
pub(in crate::ingest) fn xls(path: &Path, bytes: &[u8]) -> Result<(), IngestError> {
    let Some(compound) = Compound::open(bytes) else { return Ok(()) };
    let stream = compound.stream("Workbook").or_else(|| compound.stream("Book"));
    let Some(stream) = stream else { return Ok(()) };
    let mut cells = 0_u64;
    let mut passed = 0;
    for start in sheets(&stream) {
        let sheet = stream.get(start..).unwrap_or_default();
        let (extent, length) = extent(path, sheet)?;
        cells += extent;
        if cells > MOST_CELLS {
            return Err(too_many_cells(path, cells));
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

/// The cells of the rectangle around the filled cells of a sheet, and the bytes of its records.
fn extent(path: &Path, sheet: &[u8]) -> Result<(u64, usize), IngestError> {
    let mut bounds: Option<[u64; 4]> = None;
    let mut passed = 0;
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
                    return Err(too_many_cells(path, declared));
                }
            }
            NUMBERS => {
                let last = content.len().checked_sub(2).and_then(|at| u16_at(content, at));
                widen(&mut bounds, content, last);
            }
            _ if CELLS.contains(&kind) => widen(&mut bounds, content, None),
            _ => {}
        }
    }
    let cells =
        bounds.map_or(0, |[top, bottom, left, right]| (bottom - top + 1) * (right - left + 1));
    Ok((cells, passed))
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
        let (cells, passed) = extent(Path::new("a.xls"), &sheet.concat()).unwrap();
        assert_eq!(cells, 3 * 4);
        assert_eq!(passed, sheet[..5].concat().len());
    }

    #[test]
    fn a_declared_extent_beyond_the_format_is_refused() {
        let mut dimensions = [0; 14];
        dimensions[4..8].copy_from_slice(&u32::MAX.to_le_bytes());
        dimensions[10..12].copy_from_slice(&200_u16.to_le_bytes());
        let sheet = [record(START, &[]), record(DIMENSIONS, &dimensions)].concat();
        let error = extent(Path::new("a.xls"), &sheet).unwrap_err();
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
