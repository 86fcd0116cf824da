//! Where tables stand and how people write them: each shape with a workbook or a text made here.
//!
//! All schedules are invented. The shapes are those of device lists met in practice; common practice,
//! no published source.
#![cfg(test)]
#![expect(clippy::disallowed_methods, reason = "tests make the files that they read")]

use rust_xlsxwriter::Format;
use yokecheck::mapping::{Loaded, SheetAccount};
use yokecheck::outlet::{Fact, Field, facts};

#[path = "support/files.rs"]
mod files;
#[path = "support/page.rs"]
mod page;

use files::{Files, texts};
use page::page;

/// A workbook of one sheet.
fn sheet_of(rows: &[&[&str]]) -> Loaded {
    Files::new()
        .workbook("plan.xlsx", |book| {
            page(book, "Devices", rows);
        })
        .load()
}

fn volts(loaded: &Loaded) -> Vec<Option<i64>> {
    let volts = loaded.outlets.iter().map(|outlet| outlet.get(facts::VOLTS).known());
    volts.map(|volts| volts.map(|milli| milli.0 / 1000)).collect()
}

fn cell(loaded: &Loaded, place: usize, field: Field) -> Option<String> {
    loaded.account.cell(loaded.outlets[place].origin, field)
}

fn tables(loaded: &Loaded) -> &[SheetAccount] {
    &loaded.account.inputs[0].sheets
}

fn faults(loaded: &Loaded) -> Vec<String> {
    let faults = loaded.account.sheets().flat_map(|sheet| &sheet.faults);
    faults.map(|fault| format!("{} {}", fault.row, fault.why)).collect()
}

#[test]
fn captions_of_groups_stand_above_the_header() {
    let loaded = sheet_of(&[
        &["Devices of Marlow Works"],
        &["", "Outlet ID", "Box", "", "Faceplate", "", "Room"],
        &["", "", "Material", "Set-back (in)", "Material", "Covers", ""],
        &["", "E-1", "metal", "1/4", "plastic", "yes", "101"],
        &["", "E-2", "plastic", "0", "steel", "yes", "102"],
        &["", "Outlet ID", "Box", "", "Faceplate", "", "Room"],
        &["", "", "Material", "Set-back (in)", "Material", "Covers", ""],
        &["", "E-3", "metal", "0", "steel", "no", "103"],
    ]);
    assert_eq!(faults(&loaded), Vec::<String>::new());
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["E-1", "E-2", "E-3"]);
    assert_eq!(texts(&loaded, facts::ROOM), ["101", "102", "103"]);
    let first = &loaded.outlets[0];
    assert_ne!(first.get(facts::BOX_MATERIAL), first.get(facts::FACEPLATE_MATERIAL));
    assert!(first.get(facts::BOX_SET_BACK).is_known());
    assert_eq!(first.get(facts::FACEPLATE_COVERS), Fact::Known(true));
    let account = &tables(&loaded)[0];
    assert_eq!(account.header_row, Some(3));
    assert_eq!(account.columns[1].header, "Box Material");
    assert_eq!(account.rows_skipped["header again"], 2);
    assert_eq!(cell(&loaded, 0, Field::FaceplateMaterial).as_deref(), Some("Devices!E4"));
}

#[test]
fn a_mapping_names_a_column_with_its_caption() {
    let mapping = r#"
name = "Two rows"
[columns]
"Tag" = "outlet_id"
"Circuit No." = "circuit"
"Room No." = "room"
"#;
    let rows: &[&[&str]] = &[
        &["", "Circuit", "Room", ""],
        &["Tag", "No.", "No.", "Name"],
        &["E-1", "42,45,46", "101", "Store"],
    ];
    let loaded = Files::new()
        .workbook("plan.xlsx", |book| {
            page(book, "Devices", rows);
        })
        .mapping(mapping)
        .load();
    assert_eq!(texts(&loaded, facts::ROOM), ["101"]);
    // A list in a cell is one identifier: nothing of it is broken up.
    assert_eq!(texts(&loaded, facts::CIRCUIT), ["42,45,46"]);
}

#[test]
fn tables_stand_below_each_other() {
    let loaded = sheet_of(&[
        &["Outlet ID", "Room", "Volts"],
        &["E-1", "101", "120"],
        &["E-2", "102", "120"],
        &["Total", "", "2"],
        &[],
        &["South wing"],
        &["Volts", "Floor", "Outlet ID", "Room"],
        &["277", "2", "S-1", "201"],
        &["* All outlets of this wing are on emergency power"],
        &["277", "2", "S-2", "202"],
        &["Notes:"],
        &["Heights are measured from the floor"],
        &["Outlet ID", "Room", "Volts"],
        &["E-3", "103", "208"],
    ]);
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["E-1", "E-2", "S-1", "S-2", "E-3"]);
    assert_eq!(texts(&loaded, facts::FLOOR), [".", ".", "2", "2", "."]);
    assert_eq!(volts(&loaded), [120, 120, 277, 277, 208].map(Some));
    let tables = tables(&loaded);
    assert_eq!(tables.len(), 3);
    assert!(tables.iter().all(|table| table.name.as_deref() == Some("Devices")));
    assert_eq!(tables[0].rows_skipped["above the header"], 1);
    assert_eq!(tables[0].rows_skipped["total row"], 1);
    assert_eq!(tables[1].header_row, Some(7));
    assert_eq!(tables[1].rows_skipped["note below the table"], 3);
    assert_eq!(cell(&loaded, 2, Field::Volts).as_deref(), Some("Devices!A8"));
    assert_eq!(cell(&loaded, 4, Field::Volts).as_deref(), Some("Devices!C14"));
    assert_eq!(faults(&loaded), Vec::<String>::new());
    assert!(
        loaded.account.remarks[0].contains("3 tables stand on it"),
        "{:?}",
        loaded.account.remarks
    );
}

#[test]
fn tables_stand_beside_each_other() {
    let loaded = sheet_of(&[
        &["North", "", "", "", "South"],
        &["Outlet ID", "Room", "Volts", "", "Outlet ID", "Volts", "Room"],
        &["N-1", "101", "120", "", "S-1", "277", "201"],
        &["N-2", "102", "120"],
        &["Total", "", "2", "", "S-2", "277", "202"],
        &["", "", "", "", "Total", "2"],
    ]);
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["N-1", "N-2", "S-1", "S-2"]);
    assert_eq!(texts(&loaded, facts::ROOM), ["101", "102", "201", "202"]);
    assert_eq!(volts(&loaded), [120, 120, 277, 277].map(Some));
    assert_eq!(cell(&loaded, 0, Field::Volts).as_deref(), Some("Devices!C3"));
    assert_eq!(cell(&loaded, 2, Field::Volts).as_deref(), Some("Devices!F3"));
    assert_eq!(faults(&loaded), Vec::<String>::new());
}

#[test]
fn a_text_file_may_hold_tables_below_each_other() {
    let loaded = Files::new()
        .with(
            "plan.csv",
            "Outlet ID,Room,Volts\nE-1,101,120\n,,\nLevel 2,,\nRoom,Outlet ID,Volts\n201,E-2,277\n\n\
             Outlet ID,Volts\nE-3,120\n",
        )
        .load();
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["E-1", "E-2", "E-3"]);
    assert_eq!(texts(&loaded, facts::ROOM), ["101", "201", "."]);
}

#[test]
fn a_device_that_is_called_like_a_header_begins_no_table() {
    let loaded = sheet_of(&[
        &["Outlet ID", "Room", "Circuit"],
        &["E-1", "101", "4"],
        &[],
        &["E-2", "Room", "Circuit"],
    ]);
    assert_eq!(texts(&loaded, facts::ROOM), ["101", "Room"]);
}

#[test]
fn the_floor_is_read_from_a_sheet_that_is_named_like_a_storey() {
    let rows: &[&[&str]] = &[&["Outlet ID", "Volts"], &["E-1", "120"]];
    let own: &[&[&str]] = &[&["Outlet ID", "Floor"], &["E-4", "9"], &["E-5", ""]];
    let loaded = Files::new()
        .workbook("plan.xlsx", |book| {
            page(book, "Level 3", rows);
            page(book, "1. OG", rows);
            page(book, "Panel schedule", rows);
            page(book, "Level 4", own);
        })
        .load();
    assert_eq!(texts(&loaded, facts::FLOOR), ["Level 3", "1. OG", ".", "9", "-"]);
    let said = &loaded.account.remarks[0];
    assert!(said.ends_with("it is read from the name of the sheet: Level 3, 1. OG"), "{said}");
    assert_eq!(tables(&loaded)[0].constants[0].value, "Level 3");
}

#[test]
fn the_name_of_a_text_file_may_be_that_of_a_storey() {
    let loaded = Files::new().with("Ground floor.csv", "Outlet ID,Volts\nE-1,120\n").load();
    assert_eq!(texts(&loaded, facts::FLOOR), ["Ground floor"]);
    assert!(loaded.account.remarks[0].ends_with("from the name of the file"));
}

#[test]
fn merged_cells_hold_for_all_their_rows() {
    let rows: &[&[&str]] = &[
        &["Outlet ID", "Room", "Panel", "Quantity"],
        &["E-1", "", "LP-1", ""],
        &["E-2", "", "", ""],
        &["E-3", "", "", ""],
        &["E-4", "", "LP-2", ""],
    ];
    let loaded = Files::new()
        .workbook("plan.xlsx", |book| {
            let page = page(book, "Devices", rows);
            page.merge_range(1, 1, 3, 1, "101", &Format::new()).unwrap();
            page.merge_range(1, 3, 2, 3, "2", &Format::new()).unwrap();
        })
        .load();
    assert_eq!(texts(&loaded, facts::ROOM), ["101", "101", "101", "-"]);
    // An empty cell that is not merged says nothing, and a quantity is counted once.
    assert_eq!(texts(&loaded, facts::PANEL), ["LP-1", "-", "-", "LP-2"]);
    let quantities: Vec<_> =
        loaded.outlets.iter().map(|outlet| outlet.get(facts::QUANTITY)).collect();
    assert_eq!(quantities, [Fact::Known(2), Fact::Blank, Fact::Blank, Fact::Blank]);
}

#[test]
fn ditto_marks_repeat_the_cell_above() {
    let loaded = sheet_of(&[
        &["Outlet ID", "Room", "Volts", "Panel"],
        &["E-1", "101", "120 V", "\""],
        &["E-2", "\"", "do.", "LP-1"],
        &["E-3", "″", "Ditto", ""],
        &["E-4", "102", "dto.", "ditto"],
        &["E-5", "''", "277", "LP-2"],
    ]);
    assert_eq!(texts(&loaded, facts::ROOM), ["101", "101", "101", "102", "102"]);
    assert_eq!(volts(&loaded), [120, 120, 120, 120, 277].map(Some));
    assert_eq!(texts(&loaded, facts::PANEL), ["-", "LP-1", "-", "-", "LP-2"]);
    assert_eq!(faults(&loaded), Vec::<String>::new());
}

#[test]
fn a_ditto_mark_below_what_is_no_device_names_none() {
    let loaded = sheet_of(&[
        &["Outlet ID", "Device", "Room"],
        &["E-1", "Telephone outlet", "101"],
        &["E-2", "ditto", "101"],
        &["E-3", "receptacle", "101"],
        &["E-4", "ditto", "101"],
    ]);
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["E-3", "E-4"]);
    assert!(loaded.outlets[1].get(facts::DEVICE).is_known());
}

#[test]
fn a_mapping_may_give_a_ditto_mark_another_meaning() {
    let mapping = r#"
name = "Marks"
[columns]
"Tag" = "outlet_id"
"GFCI" = { field = "gfci", words = { "do." = "no" } }
"#;
    let loaded = Files::new().with("a.csv", "Tag,GFCI\nE-1,yes\nE-2,do.\n").mapping(mapping).load();
    assert_eq!(loaded.outlets[1].get(facts::GFCI), Fact::Known(false));
}

#[test]
fn a_hidden_sheet_is_read_and_told() {
    let rows: &[&[&str]] = &[&["Outlet ID", "Volts"], &["E-1", "120"]];
    let other: &[&[&str]] = &[&["Outlet ID", "Volts"], &["E-2", "120"]];
    let loaded = Files::new()
        .workbook("plan.xlsx", |book| {
            page(book, "Devices", rows);
            page(book, "Old", other).set_hidden(true);
        })
        .load();
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["E-1", "E-2"]);
    let said = &loaded.account.remarks[0];
    assert!(said.ends_with("sheet Old: the sheet is hidden; it was read all the same"), "{said}");
}

#[test]
fn one_row_may_stand_for_many_devices() {
    let loaded = sheet_of(&[&["Outlet ID", "Quantity", "Room"], &["E-1", "12", "101"]]);
    assert_eq!(loaded.outlets[0].get(facts::QUANTITY), Fact::Known(12));
}

#[test]
fn a_summary_sheet_is_not_counted_twice() {
    let loaded = Files::new()
        .workbook("plan.xlsx", |book| {
            page(
                book,
                "Summary",
                &[&["Outlet ID", "Circuit"], &["E-1", "4"], &["E-2", "6"], &["E-3", "8"]],
            );
            page(
                book,
                "North",
                &[&["Outlet ID", "Room", "Volts"], &["E-1", "101", "120"], &["E-2", "102", "120"]],
            );
            page(book, "South", &[&["Outlet ID", "Room", "Volts"], &["E-3", "201", "120"]]);
        })
        .load();
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["E-1", "E-2", "E-3"]);
    assert_eq!(texts(&loaded, facts::ROOM), ["101", "102", "201"]);
    // What only the summary says is not lost, and the finding names its cell.
    assert_eq!(texts(&loaded, facts::CIRCUIT), ["4", "6", "8"]);
    assert_eq!(cell(&loaded, 1, Field::Circuit).as_deref(), Some("Summary!B3"));
    let summary = &tables(&loaded)[0];
    assert_eq!(summary.rows_read, 0);
    assert_eq!(summary.rows_skipped["repeats a device of another table"], 3);
    assert_eq!(faults(&loaded), Vec::<String>::new());
    let said = &loaded.account.remarks[0];
    assert!(said.contains("sheet Summary: 3 rows repeat devices of other tables"), "{said}");
    assert!(said.ends_with("3 facts that only they give were added to those devices"), "{said}");
}

#[test]
fn summaries_that_contradict_each_other_are_not_both_taken() {
    let loaded = Files::new()
        .workbook("plan.xlsx", |book| {
            page(book, "By panel", &[&["Outlet ID", "Circuit"], &["E-1", "4"]]);
            page(book, "By circuit", &[&["Outlet ID", "Circuit"], &["E-1", "6"]]);
            page(book, "All", &[&["Outlet ID", "Room", "Volts"], &["E-1", "101", "120"]]);
        })
        .load();
    assert_eq!(texts(&loaded, facts::CIRCUIT), ["6", "4"]);
    assert_eq!(faults(&loaded).len(), 1);
}

#[test]
fn numbers_that_begin_again_on_each_sheet_are_other_devices() {
    let rows: &[&[&str]] = &[&["Outlet ID", "Volts"], &["1", "120"], &["2", "120"]];
    let loaded = Files::new()
        .workbook("plan.xlsx", |book| {
            page(book, "North", rows);
            page(book, "South", rows);
            page(book, "West", &[&["Outlet ID", "Room"], &["1", "9"], &["7", "9"]]);
        })
        .load();
    assert_eq!(loaded.outlets.len(), 6);
    assert_eq!(faults(&loaded).iter().filter(|why| why.contains("used twice")).count(), 3);
}

#[test]
fn a_summary_that_contradicts_is_kept_and_told() {
    let loaded = Files::new()
        .workbook("plan.xlsx", |book| {
            page(book, "All", &[&["Outlet ID", "Volts"], &["E-1", "277"]]);
            page(book, "North", &[&["Outlet ID", "Room", "Volts"], &["E-1", "101", "120"]]);
        })
        .load();
    assert_eq!(loaded.outlets.len(), 2);
    assert!(faults(&loaded)[0].contains("used twice in a building"));
}

#[test]
fn two_revisions_in_a_folder_are_both_kept_and_told() {
    let text = "Outlet ID,Volts\nE-1,120\nE-2,120\nE-3,120\n";
    let loaded = Files::new()
        .with("plan-rev-1.csv", text)
        .with("plan-rev-2.csv", &text.replace("E-3", "E-4"))
        .load();
    assert_eq!(loaded.outlets.len(), 6);
    assert_eq!(faults(&loaded).len(), 2);
    let said = &loaded.account.remarks[0];
    assert!(said.contains("plan-rev-1.csv and ") && said.contains("share 2 devices"), "{said}");
}

#[test]
fn a_room_that_is_none_is_unknown() {
    let loaded =
        sheet_of(&[&["Outlet ID", "Room"], &["E-1", "Default space"], &["E-2", "Unplaced"]]);
    assert_eq!(texts(&loaded, facts::ROOM), ["-", "-"]);
}

#[test]
fn identifiers_keep_their_digits() {
    let loaded = Files::new()
        .with("a.csv", "Outlet ID,Room,Circuit\n007,1E01,0/1/-\n00-1401,5/32,13 + 14\n")
        .load();
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["007", "00-1401"]);
    assert_eq!(texts(&loaded, facts::ROOM), ["1E01", "5/32"]);
    assert_eq!(texts(&loaded, facts::CIRCUIT), ["0/1/-", "13 + 14"]);
}
