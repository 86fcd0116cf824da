//! COBie workbooks: the joins, and a workbook from outside.
//!
//! The workbook of the first tests is invented. The other is the COBie file of the Duplex Apartment
//! (CC BY 4.0, buildingSMART International, "Duplex Apartment Test Files"); it is no part of this
//! project: the test looks for it beside it and says so when it is not there.
#![cfg(test)]
#![expect(clippy::disallowed_methods, reason = "tests make and look for the files that they read")]
#![expect(clippy::disallowed_macros, reason = "a test that finds no file says so")]

use std::path::{Path, PathBuf};

use yokecheck::ingest::find;
use yokecheck::mapping::{LoadOptions, Loaded, SheetAccount, SheetReading, load};
use yokecheck::outlet::words::{Device, RoomUse};
use yokecheck::outlet::{Configuration, Fact, Key, Outlet, Text, facts};

type Table<'a> = (&'a str, &'a [&'a [&'a str]]);

fn book(path: &Path, sheets: &[Table<'_>]) {
    let mut book = rust_xlsxwriter::Workbook::new();
    for (name, rows) in sheets {
        let page = book.add_worksheet().set_name(*name).unwrap();
        for (row, cells) in (0..).zip(*rows) {
            for (column, text) in (0..).zip(*cells) {
                match text.parse::<f64>() {
                    Ok(number) => page.write_number(row, column, number).unwrap(),
                    Err(_) => page.write_string(row, column, *text).unwrap(),
                };
            }
        }
    }
    book.save(path).unwrap();
}

fn read(path: PathBuf, mappings: &[PathBuf]) -> Loaded {
    let found = find(&[path]);
    load(&found, &LoadOptions { mappings, progress: &|_| {} }).unwrap()
}

fn loaded(sheets: &[Table<'_>]) -> Loaded {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("handover.xlsx");
    book(&path, sheets);
    read(path, &[])
}

/// An invented clinic of two floors, with the columns of the UK variant in another order.
const CLINIC: &[Table<'_>] = &[
    ("Instruction", &[&["Title", "COBie"]]),
    (
        "Facility",
        &[
            &["Name", "CreatedBy", "Category", "LinearUnits", "ProjectStages"],
            &["Brackwater Clinic", "a@example.org", "n/a", "meters", "6"],
        ],
    ),
    ("Floor", &[&["Name", "CreatedBy"], &["Ground", "a@example.org"], &["First", "a@example.org"]]),
    (
        "Space",
        &[
            &["Name", "CreatedBy", "Category", "FloorName", "Description"],
            &["G-01", "a@example.org", "13-41 11 14 11: Bathroom", "Ground", "Washing 2"],
            &["G-02", "a@example.org", "n/a", "Ground", "Kitchen 1"],
            &["F-01", "a@example.org", "n/a", "First", "n/a"],
            &["F-02, north", "a@example.org", "n/a", "Attic", "n/a"],
        ],
    ),
    (
        "Type",
        &[
            &["Name", "CreatedBy", "Category", "Description"],
            &["Duplex Receptacle", "a@example.org", "Ground Fault Receptacles", "n/a"],
            &["LX-7", "a@example.org", "23-80 50 11 14: Switches", "n/a"],
            &["Telephone Outlet", "a@example.org", "Receptacle Terminal Units", "n/a"],
            &["Waste receptacle", "a@example.org", "n/a", "n/a"],
            &["Boiler", "a@example.org", "n/a", "n/a"],
            &["GFCI Receptacle", "a@example.org", "n/a", "n/a"],
        ],
    ),
    (
        "Component",
        &[
            &["ExtSystem", "Name", "Space", "TypeName", "Description", "AltExternalId"],
            &["n/a", "R-1", "G-01,G-02", "Duplex Receptacle", "n/a", "n/a"],
            &["n/a", "R-2", "G-02", "Duplex Receptacle", "n/a", "n/a"],
            &["n/a", "R-3", "G-02,F-01", "GFCI Receptacle", "n/a", "n/a"],
            &["n/a", "S-1", "F-02, north", "LX-7", "n/a", "n/a"],
            &["n/a", "R-4", "Z-99", "GFCI Receptacle", "n/a", "n/a"],
            &["n/a", "T-1", "G-01", "Telephone Outlet", "n/a", "n/a"],
            &["n/a", "W-1", "G-01", "Waste receptacle", "n/a", "n/a"],
            &["n/a", "B-1", "G-01", "Boiler", "n/a", "n/a"],
            &["n/a", "n/a", "n/a", "n/a", "n/a", "n/a"],
        ],
    ),
    (
        "System",
        &[
            &["Name", "CreatedBy", "Category", "ComponentNames"],
            &["LP-1 circuit 4", "a@example.org", "n/a", "R-1, R-2"],
            &["Heating", "a@example.org", "n/a", "R-1"],
        ],
    ),
    (
        "Attribute",
        &[
            &["Name", "CreatedBy", "SheetName", "RowName", "Value", "Unit"],
            &["Voltage", "a@example.org", "Type", "Duplex Receptacle", "125", "Volts"],
            &["Current", "a@example.org", "Type", "Duplex Receptacle", "20", "Amp"],
            &["Current", "a@example.org", "Component", "R-2", "15", "Amp"],
            &["NEMAConfig.No.", "a@example.org", "Type", "Duplex Receptacle", "5-20R", "n/a"],
            &["Voltage", "a@example.org", "Type", "LX-7", "120", "Watt"],
            &["MountingHeight", "a@example.org", "Component", "R-1", "0.45", "n/a"],
            &["Voltage", "a@example.org", "Type", "Boiler", "9", "Watt"],
            &["Voltage", "a@example.org", "Type", "GFCI Receptacle", "125", "Volts"],
            &["NominalVoltage", "a@example.org", "Type", "GFCI Receptacle", "250", "Volts"],
        ],
    ),
    (
        "PickLists",
        &[&["AreaUnit", "AssetType", "outlet_id", "device"], &["x", "Fixed", "E-1", "receptacle"]],
    ),
];

fn text(loaded: &Loaded, outlet: &Outlet, key: Key<Text>) -> String {
    match outlet.get(key) {
        Fact::Known(text) => loaded.texts.get(text).to_owned(),
        other => format!("{other:?}"),
    }
}

fn sheet<'a>(loaded: &'a Loaded, name: &str) -> &'a SheetAccount {
    loaded.account.sheets().find(|sheet| sheet.name.as_deref() == Some(name)).unwrap()
}

#[test]
fn components_are_joined_to_types_spaces_and_attributes() {
    let loaded = loaded(CLINIC);
    assert_eq!(loaded.account.problems, Vec::<String>::new());
    let rows: Vec<_> = loaded
        .outlets
        .iter()
        .map(|outlet| {
            let [id, room, floor, circuit] =
                [facts::OUTLET_ID, facts::ROOM, facts::FLOOR, facts::CIRCUIT]
                    .map(|key| text(&loaded, outlet, key));
            format!("{} {id} | {room} | {floor} | {circuit}", outlet.origin.row)
        })
        .collect();
    let expected = [
        "2 R-1 | G-01,G-02 | Ground | LP-1 circuit 4",
        "3 R-2 | G-02 | Ground | LP-1 circuit 4",
        "4 R-3 | G-02,F-01 | Blank | Absent",
        "5 S-1 | F-02, north | Attic | Absent",
        "6 R-4 | Z-99 | Blank | Absent",
    ];
    assert_eq!(rows, expected);
    let devices: Vec<_> =
        loaded.outlets.iter().map(|outlet| outlet.get(facts::DEVICE).known().unwrap()).collect();
    let expected = [
        Device::Receptacle,
        Device::Receptacle,
        Device::Receptacle,
        Device::Switch,
        Device::Receptacle,
    ];
    assert_eq!(devices, expected);
    let amps: Vec<_> = loaded.outlets.iter().map(|outlet| outlet.get(facts::DEVICE_AMPS)).collect();
    assert_eq!(amps[0].map(|milli| milli.0), Fact::Known(20_000));
    assert_eq!(amps[1].map(|milli| milli.0), Fact::Known(15_000));
    assert_eq!(amps[3], Fact::Blank);
    let first = &loaded.outlets[0];
    assert_eq!(text(&loaded, first, facts::BUILDING), "Brackwater Clinic");
    assert_eq!(first.get(facts::DEVICE_VOLTS).map(|milli| milli.0), Fact::Known(125_000));
    assert_eq!(first.get(facts::HEIGHT).map(|length| length.0), Fact::Known(450_000_000));
    assert_eq!(first.get(facts::RECEPTACLES_ON_YOKE), Fact::Known(2));
    assert_eq!(first.get(facts::CONFIGURATION).known(), Configuration::read("5-20R"));
    assert_eq!(first.get(facts::ROOM_USE), Fact::Blank);
    assert_eq!(loaded.outlets[1].get(facts::ROOM_USE), Fact::Known(RoomUse::Kitchen));
    // A category is no fact of a device; the own name of a type is one.
    assert_eq!(first.get(facts::GFCI_IN_DEVICE), Fact::Absent);
    assert_eq!(loaded.outlets[2].get(facts::GFCI_IN_DEVICE), Fact::Known(true));
}

#[test]
fn a_fact_names_the_cell_where_it_stands() {
    let loaded = loaded(CLINIC);
    let cell = |place: usize, field| loaded.account.cell(loaded.outlets[place].origin, field);
    let cells = [
        (facts::OUTLET_ID.field, "Component!B2"),
        (facts::ROOM.field, "Component!C2"),
        (facts::FLOOR.field, "Space!D2"),
        (facts::BUILDING.field, "Facility!A2"),
        (facts::DEVICE.field, "Type!A2"),
        (facts::DEVICE_AMPS.field, "Attribute!E3"),
        (facts::CIRCUIT.field, "System!A2"),
    ];
    for (field, expected) in cells {
        assert_eq!(cell(0, field).as_deref(), Some(expected), "{}", field.name());
    }
    assert_eq!(cell(1, facts::DEVICE_AMPS.field).as_deref(), Some("Attribute!E4"));
    assert_eq!(cell(3, facts::DEVICE.field).as_deref(), Some("Type!C3"));
    assert!(loaded.account.has_column(facts::DEVICE_VOLTS.field));
    assert!(!loaded.account.has_column(facts::GFCI_LABEL.field));
}

#[test]
fn what_is_wrong_is_told_once_where_it_stands() {
    let loaded = loaded(CLINIC);
    let faults: Vec<_> = loaded
        .account
        .sheets()
        .flat_map(|sheet| {
            let name = sheet.name.clone().unwrap();
            sheet
                .faults
                .iter()
                .map(move |fault| format!("{name} {} [{}] {}", fault.row, fault.text, fault.why))
        })
        .collect();
    let expected = [
        "Space 5 [Attic] the sheet Floor does not have it",
        "Component 4 [G-02,F-01] its spaces are on several floors",
        "Component 6 [Z-99] the sheet Space does not have Z-99",
        "Attribute 6 [120] the unit is not one of this column's quantity (here Watt)",
        "Attribute 10 [250] another attribute gives another device_volts",
    ];
    assert_eq!(faults.len(), expected.len(), "{faults:#?}");
    for (fault, expected) in faults.iter().zip(expected) {
        assert!(fault.starts_with(expected), "{fault}");
    }
    assert_eq!(loaded.outlets[3].get(facts::DEVICE_VOLTS), Fact::Unreadable);
    assert_eq!(loaded.outlets[2].get(facts::DEVICE_VOLTS), Fact::Unreadable);
}

#[test]
fn every_row_is_accounted_for() {
    let loaded = loaded(CLINIC);
    let component = sheet(&loaded, "Component");
    assert_eq!(component.rows_read, 5);
    let skipped: u32 = component.rows_skipped.values().sum();
    assert_eq!(skipped, 4, "{:?}", component.rows_skipped);
    assert_eq!(component.rows_skipped["nothing of an outlet"], 1);
    assert_eq!(sheet(&loaded, "Space").rows_skipped["joined to components"], 4);
    let SheetReading::Mapped { mapping, why } = &sheet(&loaded, "PickLists").reading else {
        panic!()
    };
    assert_eq!(mapping, "COBie workbook");
    assert!(why.ends_with("left aside"), "{why}");
    let remarks = &loaded.account.remarks;
    assert_eq!(remarks.len(), 1, "{remarks:?}");
    assert!(remarks[0].ends_with("Telephone Outlet (1), Waste receptacle (1)"), "{}", remarks[0]);
}

#[test]
fn a_workbook_without_components_says_so() {
    let loaded = loaded(&CLINIC[1..5]);
    assert!(loaded.outlets.is_empty());
    assert!(loaded.account.remarks[0].contains("no component"), "{:?}", loaded.account.remarks);
}

#[test]
fn a_mapping_that_the_user_names_goes_before_the_join() {
    let folder = tempfile::tempdir().unwrap();
    let (path, mapping) = (folder.path().join("a.xlsx"), folder.path().join("a.toml"));
    book(&path, CLINIC);
    let text = "name = \"Own\"\n[recognise]\nsheets = [\"Component\"]\n[columns]\n\"Name\" = \"outlet_id\"\n\"Space\" = \"room\"\n";
    std::fs::write(&mapping, text).unwrap();
    let loaded = read(path, &[mapping]);
    assert_eq!(loaded.outlets.len(), 8);
}

/// Expected counts: the README of the data, counted there by hand from the sheet Component.
#[test]
fn the_outlets_of_a_workbook_from_outside_are_found() {
    let beside = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/data");
    let root = std::env::var_os("YOKECHECK_OUTSIDE_DATA").map_or(beside, PathBuf::from);
    let path = root.join("cobie/duplex-apartment.xlsx");
    if !path.exists() {
        println!("{} is not there: nothing was checked", path.display());
        return;
    }
    let loaded = read(path, &[]);
    assert_eq!(loaded.account.problems, Vec::<String>::new());
    let of = |device, floor: &str| {
        let there = |outlet: &&Outlet| {
            outlet.get(facts::DEVICE) == Fact::Known(device)
                && text(&loaded, outlet, facts::FLOOR) == floor
        };
        loaded.outlets.iter().filter(there).count()
    };
    assert_eq!(of(Device::Receptacle, "Level 1"), 28);
    assert_eq!(of(Device::Receptacle, "Level 2"), 19);
    assert_eq!(of(Device::Switch, "Level 1"), 6);
    assert_eq!(of(Device::Switch, "Level 2"), 8);
    assert_eq!(loaded.outlets.len(), 61);
    for outlet in &loaded.outlets {
        assert_eq!(text(&loaded, outlet, facts::BUILDING), "DuplexApartment");
        if outlet.get(facts::DEVICE) == Fact::Known(Device::Receptacle) {
            assert_eq!(outlet.get(facts::DEVICE_VOLTS).map(|milli| milli.0), Fact::Known(125_000));
            assert_eq!(outlet.get(facts::DEVICE_AMPS).map(|milli| milli.0), Fact::Known(20_000));
            assert_eq!(outlet.get(facts::CONFIGURATION).known(), Configuration::read("5-20R"));
            assert_eq!(outlet.get(facts::HOSPITAL_GRADE), Fact::Known(false));
        } else {
            assert_eq!(outlet.get(facts::DEVICE_VOLTS).map(|milli| milli.0), Fact::Known(120_000));
            assert_eq!(outlet.get(facts::CONFIGURATION), Fact::Blank);
        }
    }
    let first = loaded.outlets[0].origin;
    assert_eq!(first.row, 65);
    assert_eq!(
        loaded.account.cell(first, facts::DEVICE_VOLTS.field).as_deref(),
        Some("Attribute!G45")
    );
    let faults: usize = loaded.account.sheets().map(|sheet| sheet.faults.len()).sum();
    assert_eq!(faults, 0);
    assert!(loaded.account.remarks[0].contains("Intercom (4), Telophone Outlet (1)"));
}
