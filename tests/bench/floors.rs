//! The floors that the program is measured against, and the files that both read: see `ratios.py`.
//!
//! A floor does what cannot be left out and nothing else: `csv` reading every record as bytes, calamine
//! handing out every cell as a stream, `rust_xlsxwriter` in constant memory writing the cells of a workbook.
#![expect(clippy::print_stdout, clippy::disallowed_macros, reason = "a command of the benches")]
#![expect(clippy::disallowed_methods, reason = "a command of the benches writes its files")]

mod schedule;

use std::error::Error;
use std::fs::File;
use std::io::BufReader;
use std::path::Path;
use std::time::Instant;

use calamine::{Data, DataRef, Reader as _, Xlsx};
use rust_xlsxwriter::{Workbook, XlsxError};

use schedule::{HEADERS, Plan};

type Outcome<T = ()> = Result<T, Box<dyn Error>>;

const USAGE: &str = "\
floors schedule ROWS VIOLATION_IN BUILDING FILE.csv|FILE.xlsx   makes a schedule of many buildings
floors building ROWS VIOLATION_IN BUILDING FILE.csv             makes a schedule of one building
floors read-csv FILE                                            reads every record
floors read-xlsx FILE                                           reads every cell
floors write-xlsx FROM TO                                       writes the cells of a workbook again
`python3 tests/bench/ratios.py` runs all of it.";

fn main() -> Outcome {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match arguments.as_slice() {
        ["schedule", rows, violation_in, building, path] => {
            let plan = plan(rows, violation_in, building, false)?;
            if Path::new(path).extension().is_some_and(|ending| ending == "xlsx") {
                Ok(make_xlsx(plan, path)?)
            } else {
                make_csv(plan, path)
            }
        }
        ["building", rows, violation_in, building, path] => {
            make_csv(plan(rows, violation_in, building, true)?, path)
        }
        ["read-csv", path] => read_csv(path),
        ["read-xlsx", path] => read_xlsx(path),
        ["write-xlsx", from, to] => write_xlsx(from, to),
        _ => {
            println!("{USAGE}");
            Ok(())
        }
    }
}

fn plan(rows: &str, violation_in: &str, building: &str, one_building: bool) -> Outcome<Plan> {
    let (rows, violation_in) = (rows.parse()?, violation_in.parse()?);
    Ok(Plan { rows, violation_in, building: building.parse()?, one_building })
}

fn make_csv(plan: Plan, path: &str) -> Outcome {
    let mut csv = csv::Writer::from_path(path)?;
    csv.write_record(HEADERS)?;
    for row in schedule::rows(plan) {
        csv.write_record(row)?;
    }
    Ok(csv.flush()?)
}

fn make_xlsx(plan: Plan, path: &str) -> Result<(), XlsxError> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    let rows = schedule::rows(plan);
    for (row, cells) in (0..).zip(std::iter::once(HEADERS.map(str::to_owned)).chain(rows)) {
        for (column, text) in (0..).zip(cells).filter(|(_, text)| !text.is_empty()) {
            sheet.write_string(row, column, text)?;
        }
    }
    book.save(path)
}

fn read_csv(path: &str) -> Outcome {
    let mut csv = csv::ReaderBuilder::new().has_headers(false).from_path(path)?;
    let (mut record, mut bytes) = (csv::ByteRecord::new(), 0);
    while csv.read_byte_record(&mut record)? {
        bytes += record.as_slice().len();
    }
    println!("{bytes}");
    Ok(())
}

fn read_xlsx(path: &str) -> Outcome {
    let mut book: Xlsx<_> = Xlsx::new(BufReader::new(File::open(path)?))?;
    let mut cells = 0_u64;
    for name in book.sheet_names() {
        let mut reader = book.worksheet_cells_reader(&name)?;
        while let Some(cell) = reader.next_cell()? {
            cells += u64::from(!matches!(cell.get_value(), DataRef::Empty));
        }
    }
    println!("{cells}");
    Ok(())
}

/// Prints the seconds of the writing alone.
fn write_xlsx(from: &str, to: &str) -> Outcome {
    let mut book: Xlsx<_> = Xlsx::new(BufReader::new(File::open(from)?))?;
    let mut sheets = Vec::new();
    for name in book.sheet_names() {
        sheets.push((book.worksheet_range(&name)?, name));
    }
    let begin = Instant::now();
    let mut written = Workbook::new();
    for (range, name) in &sheets {
        let sheet = written.add_worksheet_with_constant_memory()?.set_name(name)?;
        let (top, left) = range.start().unwrap_or_default();
        for (row, cells) in (top..).zip(range.rows()) {
            for (offset, cell) in (0..).zip(cells) {
                let column = u16::try_from(left)? + offset;
                match cell {
                    Data::Empty => {}
                    Data::Float(number) => sheet.write_number(row, column, *number).map(drop)?,
                    other => sheet.write_string(row, column, other.to_string()).map(drop)?,
                }
            }
        }
    }
    written.save(to)?;
    println!("{}", begin.elapsed().as_secs_f64());
    Ok(())
}
