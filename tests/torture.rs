//! Files from outside on which readers of spreadsheets and CSV have stumbled.
//!
//! `reader-torture`: 131 workbooks of the calamine project (MIT licence). `csv-torture`: the
//! csv-spectrum collection (BSD-2-Clause) with the records it expects as JSON. Neither is part of this
//! project: the tests look for them beside it and say so when they are not there.
#![cfg(test)]
#![expect(clippy::disallowed_methods, reason = "the expectations are files, and time is the point")]
#![expect(clippy::disallowed_macros, reason = "the outcome of each file is there to be looked at")]

use std::fs;
use std::io::{Cursor, Read, Write};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use yokecheck::ingest::{self, Cell, Format, Found, IngestError, Input, Row};
use yokecheck::mapping::{LoadOptions, Loaded, load};

const LONGEST: Duration = Duration::from_secs(5);

/// The most memory that reading one file may take, in kilobytes.
const MOST_MEMORY: u64 = 200 * 1000;

/// Names the one file that [`one_file`] reads in a process of its own.
const ONE_FILE: &str = "YOKECHECK_TORTURE_FILE";

fn outside(folder: &str) -> Option<Vec<PathBuf>> {
    let beside = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/data");
    let root = std::env::var_os("YOKECHECK_OUTSIDE_DATA").map_or(beside, PathBuf::from);
    let folder = root.join(folder);
    let Ok(entries) = fs::read_dir(&folder) else {
        println!("{} is not there: nothing was checked", folder.display());
        return None;
    };
    let mut files: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    files.sort();
    assert!(!files.is_empty());
    Some(files)
}

fn input(path: &Path) -> Input {
    let bytes = fs::metadata(path).unwrap().len();
    Input { path: path.to_path_buf(), display: path.display().to_string(), bytes }
}

type Tables = Vec<(ingest::Sheet, Vec<ingest::Merge>, Vec<Row>)>;

fn tables(path: &Path) -> Result<Tables, IngestError> {
    let mut tables = Vec::new();
    ingest::read(&input(path), &mut |sheet, rows| {
        let merges = rows.merges()?;
        let (mut row, mut all) = (Row::default(), Vec::new());
        while rows.next(&mut row)? {
            all.push(row.clone());
        }
        tables.push((sheet.clone(), merges, all));
        Ok(())
    })?;
    Ok(tables)
}

#[test]
fn every_workbook_is_read_or_refused_in_time() {
    let Some(files) = outside("reader-torture") else { return };
    for path in files {
        let name = path.file_name().unwrap().to_string_lossy();
        let start = Instant::now();
        let outcome = tables(&path);
        let time = start.elapsed();
        match outcome {
            Ok(tables) => {
                let rows: usize = tables.iter().map(|table| table.2.len()).sum();
                let cells: usize =
                    tables.iter().flat_map(|table| &table.2).map(|row| row.cells().count()).sum();
                let merges: usize = tables.iter().map(|table| table.1.len()).sum();
                println!(
                    "{name}: {} sheets, {rows} rows, {cells} cells, {merges} merges, {time:.1?}",
                    tables.len()
                );
            }
            Err(error) => {
                assert_eq!(error.path(), path);
                println!("{name}: {error}");
            }
        }
        assert!(time < LONGEST, "{name} took {time:?}");
    }
}

fn outlets(path: &Path) -> Loaded {
    let found = Found { inputs: vec![input(path)], ..Found::default() };
    load(&found, &LoadOptions { mappings: &[], progress: &|_| {} }).unwrap()
}

/// The most memory that this process ever held, in kilobytes, where the system tells.
fn peak() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().strip_suffix("kB")?.trim().parse().ok()
}

/// The processor time that this process took, where the system tells in hundredths of a second: a
/// machine that is busy with other things takes longer by the clock.
fn processor_time() -> Option<Duration> {
    let status = fs::read_to_string("/proc/self/stat").ok()?;
    let fields = status.rsplit_once(')')?.1.split_whitespace().skip(11).take(2);
    let ticks: u64 = fields.filter_map(|ticks| ticks.parse::<u64>().ok()).sum();
    Some(Duration::from_millis(ticks * 10))
}

/// Reads the file that the environment names, in the process that the test below starts for it.
#[test]
fn one_file() {
    let Some(path) = std::env::var_os(ONE_FILE) else { return };
    let start = Instant::now();
    let loaded = outlets(Path::new(&path));
    let account = &loaded.account.inputs[0];
    println!("sheets: {}", account.sheets.len());
    println!("outlets: {}", loaded.outlets.len());
    loaded.account.problems.iter().for_each(|problem| println!("problem: {problem}"));
    println!("peak: {}", peak().unwrap_or_default());
    let time = processor_time().unwrap_or_else(|| start.elapsed());
    println!("milliseconds: {}", time.as_millis());
}

/// From file to outlets: whatever a file holds, there is a result or one message, soon and in
/// little memory. Each file has a process of its own, so that its memory can be told.
#[test]
fn every_file_gives_outlets_or_one_message() {
    let files = ["reader-torture", "csv-torture"].map(outside);
    let itself = std::env::current_exe().unwrap();
    for path in files.into_iter().flatten().flatten() {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let run = Command::new(&itself)
            .args(["--exact", "one_file", "--nocapture"])
            .env(ONE_FILE, &path)
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&run.stdout);
        assert!(run.status.success(), "{name}: {said}{}", String::from_utf8_lossy(&run.stderr));
        let all = |key: &str| -> Vec<String> {
            said.lines().filter_map(|line| line.strip_prefix(key)).map(str::to_owned).collect()
        };
        let (sheets, problems) = (all("sheets: ").concat(), all("problem: "));
        let peak: u64 = all("peak: ").concat().parse().unwrap();
        let time = Duration::from_millis(all("milliseconds: ").concat().parse().unwrap());
        println!("{name}: {sheets} sheets, {} problems, {peak} kB, {time:.1?}", problems.len());
        assert!(sheets != "0" || problems.len() == 1, "{name}: {problems:?}");
        for problem in problems {
            assert!(problem.contains(&name), "{problem}");
        }
        assert!(time < LONGEST, "{name} took {time:?}");
        assert!(peak < MOST_MEMORY, "{name} took {peak} kB");
    }
}

#[test]
fn csv_records_are_those_expected() {
    let Some(files) = outside("csv-torture") else { return };
    let folder = tempfile::tempdir().unwrap();
    let mut checked = 0;
    for path in files.iter().filter(|path| path.extension().is_some_and(|e| e == "csv")) {
        let stem = path.file_stem().unwrap().to_string_lossy().replace("csvs-", "json-");
        let expected = fs::read(path.with_file_name(format!("{stem}.json"))).unwrap();
        let expected = match serde_json::from_slice(&expected).unwrap() {
            serde_json::Value::Array(records) => records,
            // One expectation is a single record without its list.
            record => vec![record],
        };
        let tables = tables(&with_its_line_ends(path, folder.path())).unwrap();
        let mut found = records(&tables[0].2);
        // The collection itself gives two different telephone numbers for this one cell.
        if path.ends_with("csvs-location_coordinates.csv") {
            assert_eq!(found[0]["Contact Phone Number"], "2095257564");
            found[0]["Contact Phone Number"] = "1234567890".into();
        }
        assert_eq!(found, expected, "{}", path.display());
        checked += 1;
    }
    assert!(checked > 0);
}

/// The files named `crlf` end their lines so where they were published, and their expectations say
/// so; a copy that passed through a converter of line ends gets them back.
fn with_its_line_ends(path: &Path, folder: &Path) -> PathBuf {
    let text = fs::read_to_string(path).unwrap();
    if !path.to_string_lossy().ends_with("_crlf.csv") || text.contains('\r') {
        return path.to_path_buf();
    }
    let copy = folder.join(path.file_name().unwrap());
    fs::write(&copy, text.replace('\n', "\r\n")).unwrap();
    copy
}

/// Rows under their header, as the collection writes them.
fn records(rows: &[Row]) -> Vec<serde_json::Value> {
    let text = |row: &Row, column| match row.cell(column) {
        Cell::Text(text) => text.to_owned(),
        _ => String::new(),
    };
    let (header, rows) = rows.split_first().unwrap();
    rows.iter()
        .map(|row| {
            (0..header.width())
                .map(|column| (text(header, column), text(row, column).into()))
                .collect::<serde_json::Map<_, _>>()
                .into()
        })
        .collect()
}

/// A workbook that is sound has to be read: dates in both epochs, merged cells, odd namespaces.
#[test]
fn sound_workbooks_are_read() {
    let Some(files) = outside("reader-torture") else { return };
    let find = |name: &str| files.iter().find(|path| path.ends_with(name)).unwrap();
    let day = Cell::Date(jiff::civil::date(2021, 1, 1).at(0, 0, 0, 0));
    for name in ["date.xlsx", "date.xlsb", "date.xls", "date.ods", "date_1904.xlsx"]
        .into_iter()
        .chain(["date_1904.xls", "date_1904.xlsb", "date_iso.xlsx"])
    {
        let tables = tables(find(name)).unwrap();
        assert_eq!(tables[0].2[0].cell(0), day, "{name}");
    }
    for (name, count) in [("merge_cells.xlsx", 3), ("merge_cells.xls", 3)] {
        let tables = tables(find(name)).unwrap();
        assert_eq!(tables[0].1.len(), count, "{name}");
    }
    for name in ["pass_protected.xlsx", "pass_protected.xlsb", "pass_protected.ods"] {
        assert!(matches!(tables(find(name)), Err(IngestError::Encrypted { .. })), "{name}");
    }
    // A line of text under the ending of a workbook is read as the text that it is, and said so.
    let tables = tables(find("too_small.xls")).unwrap();
    assert!(matches!(tables[0].0.format, Format::Text { .. }) && tables[0].0.misnamed);
}

/// Overwrites every so many bytes: numbers with larger numbers, anything else with nonsense.
fn damage(whole: &[u8], step: usize) -> Vec<u8> {
    let mut damaged = whole.to_vec();
    // The first bytes stay, so that the file is still taken for what it was.
    for byte in damaged.iter_mut().skip(600).step_by(step) {
        *byte = if byte.is_ascii_digit() { b'9' } else { *byte ^ 0x5A };
    }
    damaged
}

/// Overwrites the parts of a package and packs them again, so that their check sums are right. In
/// XML only numbers are overwritten: anything else ends the reading at the first tag.
fn damage_parts(whole: &[u8], step: usize) -> Vec<u8> {
    let Ok(mut package) = zip::ZipArchive::new(Cursor::new(whole)) else {
        return damage(whole, step);
    };
    let mut damaged = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for index in 0..package.len() {
        let mut bytes = Vec::new();
        let Ok(mut part) = package.by_index(index) else { continue };
        if part.read_to_end(&mut bytes).is_err() {
            continue;
        }
        let name = part.name().unwrap().into_owned();
        if bytes.starts_with(b"<") {
            let digits = bytes.iter_mut().filter(|byte| byte.is_ascii_digit());
            digits.skip(step).step_by(step).for_each(|byte| *byte = b'9');
        } else if bytes.len() > 64 {
            bytes = damage(&bytes, step);
        }
        damaged.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        damaged.write_all(&bytes).unwrap();
    }
    damaged.finish().unwrap().into_inner()
}

/// Cut and overwritten copies: whatever happens, no panic comes out and nothing takes long.
#[test]
fn damaged_workbooks_are_survived() {
    let Some(files) = outside("reader-torture") else { return };
    let folder = tempfile::tempdir().unwrap();
    let (mut read, mut refused) = (0, 0);
    for path in &files {
        let whole = fs::read(path).unwrap();
        for step in [0, 3, 7, 31, 257, 1021, 4093] {
            let damaged = match step {
                0 => whole[..whole.len() * 9 / 10].to_vec(),
                _ if whole.starts_with(b"PK") => damage_parts(&whole, step),
                _ => damage(&whole, step),
            };
            let copy = folder.path().join(path.file_name().unwrap());
            fs::write(&copy, damaged).unwrap();
            let start = Instant::now();
            match tables(&copy) {
                Ok(_) => read += 1,
                Err(error) => {
                    assert_eq!(error.path(), copy);
                    refused += 1;
                }
            }
            assert!(start.elapsed() < LONGEST, "{} by {step}", path.display());
            let start = Instant::now();
            let problems = outlets(&copy).account.problems;
            assert!(problems.iter().all(|problem| problem.contains(&*copy.to_string_lossy())));
            assert!(start.elapsed() < LONGEST, "{} by {step}", path.display());
        }
    }
    println!("{read} damaged copies were read and {refused} refused");
    assert!(refused > 0);
}
