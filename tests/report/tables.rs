//! JSON lines and Parquet tables. Another engine reads the tables in `tests/outside/parquet.py`.

use std::path::Path;

use polars::prelude::{ChunkAgg as _, ParquetReader, SerReader as _};
use yokecheck::outlet::Field;
use yokecheck::report::{FolderTarget, Report, findings_csv, findings_jsonl, parquet};
use yokecheck::statistics::Statistics;

use super::example::{Schedule, account, context, schedule};

fn with_report<T>(schedule: Schedule, take: impl Fn(&Report<'_>) -> T) -> T {
    let audit = schedule.audit(true);
    let statistics = Statistics::of(&audit).unwrap();
    take(&Report {
        audit: &audit,
        account: &account(),
        statistics: &statistics,
        context: &context(),
        rulings: &yokecheck::rulings::Ruled::default(),
    })
}

fn lines(schedule: Schedule) -> Vec<serde_json::Map<String, serde_json::Value>> {
    let text = with_report(schedule, |report| {
        let mut out = Vec::new();
        findings_jsonl::write(report, &mut out).unwrap();
        String::from_utf8(out).unwrap()
    });
    text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

#[test]
fn json_lines_say_what_the_csv_file_says_without_its_guard() {
    let csv = with_report(schedule(), |report| {
        let mut out = Vec::new();
        findings_csv::write(report, &mut out).unwrap();
        out
    });
    let mut csv = csv::Reader::from_reader(csv.as_slice());
    let headers: Vec<String> = csv.headers().unwrap().iter().map(str::to_owned).collect();
    let records: Vec<csv::StringRecord> = csv.records().map(Result::unwrap).collect();
    let lines = lines(schedule());
    assert!(lines.len() > 3);
    assert_eq!(lines.len(), records.len());
    for (line, record) in lines.iter().zip(&records) {
        for (name, cell) in headers.iter().zip(record) {
            let said = as_cell(&line[name]);
            assert_eq!(cell.strip_prefix('\'').unwrap_or(cell), said, "{name}");
        }
        assert_eq!(line.len(), headers.len());
    }
    assert!(lines.iter().any(|line| line["outlet_id"] == "=cmd"));
}

fn as_cell(value: &serde_json::Value) -> String {
    match value {
        serde_json::Value::Null => String::new(),
        serde_json::Value::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        serde_json::Value::String(text) => text.clone(),
        serde_json::Value::Array(list) => list.iter().map(as_cell).collect::<Vec<_>>().join(";"),
        other => other.to_string(),
    }
}

#[test]
fn numbers_are_numbers_and_lists_arrays() {
    let lines = lines(schedule());
    let first = lines.iter().find(|line| line["outlet_id"] == "1E01").unwrap();
    assert_eq!(first["quantity"], 2);
    assert_eq!(first["row"], 3);
    assert_eq!(first["observed_on"], "2026-03-31");
    assert!(first["edition"].is_array() && first["cells"].is_array());
    let group = lines.iter().find(|line| line["rule"] == "adjacent-voltage").unwrap();
    assert_eq!(group["others"], serde_json::json!(["S-2"]));
    assert!(group["sheet"].is_null());
}

fn write(schedule: Schedule, folder: &Path) {
    with_report(schedule, |report| {
        let target = FolderTarget::new(folder, parquet::NAMES).unwrap();
        target.write(|unfinished| parquet::write(report, &unfinished)).unwrap();
    });
}

#[expect(clippy::disallowed_methods, reason = "the test reads back what was written")]
fn read(folder: &Path, name: &str) -> polars::prelude::DataFrame {
    ParquetReader::new(std::fs::File::open(folder.join(name)).unwrap()).finish().unwrap()
}

#[test]
fn the_tables_hold_the_audit() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("tables");
    write(schedule(), &path);
    let outlets = read(&path, "outlets.parquet");
    assert_eq!(outlets.height(), 8);
    for field in Field::ALL {
        let name = field.name();
        let column = outlets.get_column_names().iter().any(|column| {
            let rest = column.strip_prefix(name);
            rest.is_some_and(|rest| ["", "_nm", "_mv", "_ma", "_e4"].contains(&rest))
        });
        assert!(column, "{name}");
    }
    let set_back = outlets.column("box_set_back_nm").unwrap().i64().unwrap();
    assert_eq!(set_back.get(0), Some(7_000_000));
    assert_eq!(outlets.column("violations").unwrap().i64().unwrap().sum(), Some(violations()));
    assert_eq!(read(&path, "findings.parquet").height(), lines(schedule()).len());
    let tallies = read(&path, "tallies.parquet");
    assert_eq!(tallies.height() % 5, 0);
    let names = ["project", "audited_on", "rule", "defect_type", "grade", "verdict", "count"];
    assert_eq!(tallies.get_column_names(), names);
}

fn violations() -> i64 {
    i64::try_from(schedule().audit(false).violation_count()).unwrap()
}

#[test]
fn an_audit_that_found_nothing_still_has_tables_with_their_columns() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("tables");
    let mut sound = Schedule::default();
    sound.row(0, 0, 3).at("A", "North", "1", "1").sound();
    write(sound, &path);
    let findings = read(&path, "findings.parquet");
    assert_eq!(findings.height(), 0);
    assert_eq!(findings.get_column_names(), findings_csv::COLUMNS);
}
