//! Where reports may go, and what may stand in them.

use calamine::{Data, Reader as _, Xlsx};

use crate::inputs::workbook;
use crate::{DEVICES, Place};

/// The cells of a sheet as texts.
pub(crate) fn sheet(place: &Place, file: &str, name: &str) -> Vec<Vec<String>> {
    let mut book: Xlsx<_> = calamine::open_workbook(place.path(file)).unwrap();
    let range = book.worksheet_range(name).unwrap();
    range.rows().map(|row| row.iter().map(Data::to_string).collect()).collect()
}

/// Runs an audit that must be refused before it begins, and leave the folder as it was.
#[track_caller]
fn refused(place: &Place, options: &str, words: &[&str]) {
    let ran = place.run(&format!("audit devices.csv {options}")).code(2).says(words);
    assert_eq!(ran.stdout, "", "it was said before the work began");
    assert_eq!(place.text("devices.csv"), DEVICES);
}

#[test]
fn an_output_in_a_folder_that_does_not_exist_is_refused() {
    let place = Place::new().with("devices.csv", DEVICES);
    refused(&place, "--out none/out.xlsx", &["none/out.xlsx", "does not exist; create it first"]);
    refused(&place, "--findings none/f.csv --no-workbook", &["none/f.csv", "create it first"]);
}

#[test]
fn an_output_that_is_an_input_is_refused() {
    let place = Place::new().with("devices.csv", DEVICES).with("mine.toml", "name = \"Mine\"");
    let words = ["is an input of the run", "name another output"];
    refused(&place, "--out devices.csv", &words);
    refused(&place, "--no-workbook --findings ./devices.csv", &words);
    refused(&place, "--no-workbook --mapping mine.toml --verdicts mine.toml", &words);
    assert_eq!(place.text("mine.toml"), "name = \"Mine\"");
}

#[test]
fn two_outputs_in_one_file_are_refused() {
    let place = Place::new().with("devices.csv", DEVICES);
    let words = ["two outputs of the run would go to this file"];
    refused(&place, "--no-workbook --findings a.csv --verdicts a.csv", &words);
}

#[test]
fn a_folder_as_output_is_refused() {
    let place = Place::new().with("devices.csv", DEVICES).with("folder/old.txt", "old");
    refused(&place, "--out folder", &["folder: this is no ordinary file; name a file"]);
}

#[cfg(unix)]
#[test]
fn an_output_that_may_not_be_written_is_refused_and_the_old_one_stays() {
    use std::os::unix::fs::PermissionsExt as _;
    let place = Place::new().with("devices.csv", DEVICES).with("old.csv", "old");
    let read_only = std::fs::Permissions::from_mode(0o444);
    std::fs::set_permissions(place.path("old.csv"), read_only).unwrap();
    let words = ["old.csv: cannot be written", "check the permissions"];
    refused(&place, "--no-workbook --findings old.csv", &words);
    assert_eq!(place.text("old.csv"), "old");
}

#[test]
fn a_run_that_fails_leaves_the_old_output() {
    let place = Place::new().with("empty.csv", "").with("out.xlsx", "old").with("f.csv", "old");
    place.run("audit empty.csv --out out.xlsx --findings f.csv").code(2);
    assert_eq!((place.text("out.xlsx"), place.text("f.csv")), ("old".into(), "old".into()));
    let left = place.path(".").read_dir().unwrap().count();
    assert_eq!(left, 3, "no unfinished file is left");
}

#[test]
fn a_run_takes_the_place_of_the_old_output() {
    let place = Place::new().with("devices.csv", DEVICES).with("f.csv", "old");
    place.run("audit devices.csv --no-workbook --findings f.csv").code(1);
    assert!(place.text("f.csv").starts_with("rule,verdict,"));
}

/// The reports of a run are no schedules of the next.
#[test]
fn the_reports_of_the_program_are_not_read_again() {
    let place = Place::new().with("in/devices.csv", DEVICES);
    let audit = "audit in --out in/audit.xlsx --findings in/found.csv --verdicts in/verdicts.csv";
    place.run(audit).code(1);
    let first = place.read("in/verdicts.csv");
    let ran = place.run(audit).code(1).silently();
    ran.shows(&["not read: audit.xlsx: a report of this program"])
        .shows(&["not read: found.csv: a report of this program"]);
    assert_eq!(place.read("in/verdicts.csv"), first);
}

#[test]
fn a_text_that_looks_like_a_formula_stays_a_text() {
    const STARTS: [&str; 4] = ["=1+1", "+A2", "-A3", "@SUM(A1)"];
    let header = ["outlet_id", "building", "edition", "device", "box_set_back", "surface"];
    let rows = STARTS.map(|id| [id, id, "2020", "receptacle", "1/2 in", "gypsum"]);
    let mut table: Vec<&[&str]> = vec![&header];
    table.extend(rows.iter().map(<[&str; 6]>::as_slice));
    let place = Place::new().with("devices.xlsx", workbook(&[("Devices", &table)]));
    let audit = "audit devices.xlsx --rules box-set-back --out out.xlsx --findings found.csv \
                 --verdicts verdicts.csv --project =cmd";
    place.run(audit).code(1).silently();

    let mut csv = csv::Reader::from_path(place.path("found.csv")).unwrap();
    let records: Vec<_> = csv.records().map(Result::unwrap).collect();
    assert_eq!(records.len(), STARTS.len());
    for (record, text) in records.iter().zip(STARTS) {
        let guarded = format!("'{text}");
        let count = record.iter().filter(|cell| **cell == guarded).count();
        assert_eq!(count, 3, "subject, outlet_id and building of {record:?}");
        assert!(!record.iter().any(|cell| cell.starts_with(['=', '+', '-', '@'])), "{record:?}");
    }
    assert!(place.text("verdicts.csv").contains(",'=1+1,"));

    let mut book: Xlsx<_> = calamine::open_workbook(place.path("out.xlsx")).unwrap();
    let violations = sheet(&place, "out.xlsx", "Violations");
    for text in STARTS {
        assert!(violations.iter().flatten().any(|cell| cell == text), "{text}");
    }
    for name in book.sheet_names() {
        let formulas = book.worksheet_formula(&name).unwrap();
        let from_input = formulas.used_cells().filter(|(_, _, formula)| {
            STARTS.iter().any(|text| formula.contains(&text[1..])) || formula.contains("cmd")
        });
        assert_eq!(from_input.count(), 0, "a text of the schedule is a formula on {name}");
    }
}
