//! From files to outlets: what a schedule says, what it leaves open, and what is wrong with it.
//!
//! All schedules and mapping files here are invented.
#![expect(clippy::disallowed_methods, reason = "tests make the files that they read")]
#![expect(clippy::unwrap_used, reason = "a test that cannot make its files has failed")]

use std::path::Path;

use yokecheck::ingest::find;
use yokecheck::mapping::file::MappingFile;
use yokecheck::mapping::{
    LoadOptions, Loaded, MappingError, Progress, SheetAccount, SheetReading, load,
};
use yokecheck::outlet::words::{Facing, Surface, YokeSeat};
use yokecheck::outlet::{Date, Fact, Key, Length, facts};

#[path = "support/files.rs"]
mod files;
#[path = "support/page.rs"]
mod page;

use files::{Files, texts};
use page::page;

impl Files {
    fn of(name: &str, text: &str) -> Self {
        Self::new().with(name, text)
    }

    fn sheets(self, name: &str, sheets: &[(&str, &[&[&str]])]) -> Self {
        self.workbook(name, |book| {
            for (sheet, rows) in sheets {
                page(book, sheet, rows);
            }
        })
    }
}

fn sheet(loaded: &Loaded) -> &SheetAccount {
    &loaded.account.inputs[0].sheets[0]
}

/// The faults of the first sheet: `row column why`, cut after the first words.
fn faults(loaded: &Loaded) -> Vec<String> {
    let faults = sheet(loaded).faults.iter();
    faults
        .map(|fault| {
            let column = fault.column.map_or("-".to_owned(), |column| column.to_string());
            format!("{} {column} [{}] {}", fault.row, fault.text, fault.why)
        })
        .collect()
}

fn millimetres(loaded: &Loaded, key: Key<Length>) -> Vec<Fact<f64>> {
    loaded.outlets.iter().map(|outlet| outlet.get(key).map(Length::millimetres)).collect()
}

#[test]
fn field_names_are_headers_and_titles_stand_above_them() {
    let loaded = Files::of(
        "plan.csv",
        "Device schedule of Dalton Hall,,,\n\
         ,,,\n\
         ,Outlet ID,ROOM,Box Set-Back (mm),Wall gap [in],Photo\n\
         ,E-1,101,6.35,1/8,p1.jpg\n\
         ,E-2,102,,n/a,\n",
    )
    .load();
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["E-1", "E-2"]);
    assert_eq!(texts(&loaded, facts::BUILDING), [".", "."]);
    assert_eq!(millimetres(&loaded, facts::BOX_SET_BACK), [Fact::Known(6.35), Fact::Blank]);
    assert_eq!(millimetres(&loaded, facts::WALL_GAP), [Fact::Known(3.175), Fact::Blank]);
    let sheet = sheet(&loaded);
    assert_eq!(sheet.header_row, Some(3));
    assert_eq!(sheet.rows_read, 2);
    assert_eq!(sheet.columns[2].how, "lengths in mm");
    assert_eq!(sheet.columns[4].field, None);
    assert_eq!(loaded.account.cell(loaded.outlets[0].origin, facts::ROOM.field), Some("C4".into()));
    assert!(
        matches!(&sheet.reading, SheetReading::Mapped { mapping, .. } if mapping == "canonical headers")
    );
    assert!(faults(&loaded).is_empty(), "{:?}", faults(&loaded));
    assert_eq!(loaded.account.inputs[0].sha256.len(), 64);
}

#[test]
fn what_is_no_schedule_is_said_with_its_headers() {
    let loaded = Files::of("rooms.csv", "Building,Room,Area\nDalton,101,20\n").load();
    assert!(loaded.outlets.is_empty());
    let SheetReading::NotASchedule { why } = &sheet(&loaded).reading else { panic!() };
    assert!(why.ends_with("row 1 has Building, Room, Area"), "{why}");
}

#[test]
fn rows_that_are_no_outlets_are_counted_by_their_reason() {
    let loaded = Files::of(
        "plan.csv",
        "Title,,\n\
         outlet_id,room,volts\n\
         E-1,101,120\n\
         ,,\n\
         outlet_id,room,volts\n\
         E-2,102,277\n\
         Total,,397\n\
         Subtotal level 2,,2\n\
         ,  ,\n\
         n/a,,\n\
         Notes:,,\n\
         1. All heights to the centre of the box,,\n\
         Prepared by,A. Mason,\n\
         E-3,103,120\n",
    )
    .load();
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["E-1", "E-2", "E-3"]);
    let skipped: Vec<_> =
        sheet(&loaded).rows_skipped.iter().map(|(why, count)| (why.as_str(), *count)).collect();
    let expected = [
        ("above the header", 1),
        ("empty", 2),
        ("header again", 1),
        ("note below the table", 3),
        ("nothing in a mapped column", 1),
        ("total row", 2),
    ];
    assert_eq!(skipped, expected);
}

#[test]
fn faults_name_the_row_the_column_the_text_and_why() {
    let loaded = Files::of(
        "plan.csv",
        "outlet_id,quantity,facing,box_set_back (in),phases,listed_for,room,Room\n\
         E-1,two,askew,9,N,none; countertop,101,102,stray\n\
         E-1,1,up,0.25,AN,,101,\n\
         ,1,up,0.25,AN,,101,\n",
    )
    .load();
    let expected = [
        "1 7 [Room] this header stands twice; the first column is read",
        "2 1 [two] ",
        "2 2 [askew] not a word",
        "2 3 [9] implausible: beyond 6 in",
        "2 4 [N] no hot conductor",
        "2 5 [none; countertop] `none` stands beside",
        "2 8 [stray] stands beyond the last header",
        "3 0 [E-1] used twice in a building: by row 2 and by row 3",
        "4 - [] no outlet_id; the outlet is called row 4",
    ];
    let found = faults(&loaded);
    assert_eq!(found.len(), expected.len(), "{found:#?}");
    for (found, expected) in found.iter().zip(expected) {
        assert!(found.starts_with(expected), "{found}");
    }
    assert!(found[1].ends_with("; counted as 1"), "{}", found[1]);
    let first = &loaded.outlets[0];
    assert_eq!(first.get(facts::QUANTITY), Fact::Unreadable);
    assert_eq!(first.get(facts::FACING), Fact::Unreadable);
    assert_eq!(first.get(facts::BOX_SET_BACK), Fact::Unreadable);
    assert_eq!(first.get(facts::PHASES), Fact::Unreadable);
    assert_eq!(first.get(facts::LISTED_FOR).known().unwrap().len(), 1);
}

#[test]
fn an_identifier_may_stand_in_two_buildings_but_not_twice_in_one() {
    let loaded = Files::of("a.csv", "outlet_id,building\nE-1,North\nE-1,South\nE-1,\n")
        .with("b.csv", "building,outlet_id\nSouth,E-1\n")
        .load();
    assert!(faults(&loaded).is_empty());
    assert_eq!(texts(&loaded, facts::BUILDING), ["North", "South", "-", "South"]);
    let second = &loaded.account.inputs[1].sheets[0];
    assert_eq!(second.faults.len(), 1);
    assert_eq!(second.faults[0].column, Some(1));
    assert!(second.faults[0].why.contains("by row 3 of "), "{}", second.faults[0].why);
    assert!(second.faults[0].why.ends_with("a.csv and by row 2"), "{}", second.faults[0].why);
}

const WING: &str = r#"
name = "East wing"
[recognise]
headers = ["Dev. No.", "Set-back"]
[table]
stop_at = ["General notes"]
skip = ["Section"]
[columns]
"Dev. No." = "outlet_id"
"Fl." = { field = "floor", fill_down = true }
"Set-back" = { field = "box_set_back", unit = "in", resolution = "1/32 in" }
"Face" = { field = "facing", words = { "Ceiling" = "down" } }
"Yoke" = "yoke_seat"
"Remarks" = { ignore = true }
[words.yoke_seat]
"on studs" = "loose"
[constants]
building = "Dalton Hall"
floor = { from = "sheet", pattern = "Level *" }
surface = "gypsum"
[buildings."Dalton Hall"]
edition = 2014
permit_date = 2015-06-30
"#;

#[test]
fn a_mapping_gives_fields_words_units_and_constants() {
    let rows: &[&[&str]] = &[
        &["", "East wing"],
        &["", "Dev.No.", "SETBACK", "Face", "Yoke", "Remarks", "Fl."],
        &["", "E-1", "1/8", "ceiling", "On Studs", "see plan", "3M"],
        &["", "E-2", "4 mm", "up", "box", "", ""],
        &["", "Section B"],
        &["", "", "", "", "", "", "4"],
        &["", "E-3", "0", "up", "box", "", ""],
        &["", "General notes"],
        &["", "E-9", "0", "up", "box", "", ""],
    ];
    let loaded = Files::new().sheets("wing.xlsx", &[("Level 3", rows)]).mapping(WING).load();
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["E-1", "E-2", "E-3"]);
    assert_eq!(texts(&loaded, facts::FLOOR), ["3M", "3M", "4"]);
    assert_eq!(texts(&loaded, facts::BUILDING), ["Dalton Hall"; 3]);
    let expected = [Fact::Known(3.175), Fact::Known(4.0), Fact::Known(0.0)];
    assert_eq!(millimetres(&loaded, facts::BOX_SET_BACK), expected);
    let first = &loaded.outlets[0];
    assert_eq!(first.get(facts::FACING), Fact::Known(Facing::Down));
    assert_eq!(first.get(facts::YOKE_SEAT), Fact::Known(YokeSeat::Loose));
    assert_eq!(first.get(facts::SURFACE), Fact::Known(Surface::Gypsum));
    assert_eq!(first.get(facts::PERMIT_DATE), Fact::Known(Date(16_616)));
    assert!(first.get(facts::EDITION).is_known());
    let resolution = loaded.resolutions.get(first.origin, facts::BOX_SET_BACK.field);
    assert_eq!(resolution, Some(Length(793_750)));
    let sheet = sheet(&loaded);
    assert_eq!(sheet.rows_skipped["below the end of the table"], 2);
    assert_eq!(sheet.rows_skipped["passed over by the mapping"], 1);
    assert_eq!(sheet.rows_skipped["heading of the rows below"], 1);
    assert_eq!(sheet.constants.len(), 3);
    assert_eq!(loaded.account.remarks, Vec::<String>::new());
    assert_eq!(loaded.account.cell(first.origin, facts::FACING.field), Some("Level 3!D3".into()));
}

#[test]
fn a_constant_comes_from_the_name_of_the_sheet() {
    let rows: &[&[&str]] = &[&["Dev. No.", "Set-back", "Face", "Yoke"], &["E-1", "0", "up", ""]];
    let sheets: &[(&str, &[&[&str]])] = &[("Level 3", rows), ("level 4 ", rows), ("Roof", rows)];
    let mapping = WING.replace("\"Fl.\"", "# \"Fl.\"").replace("Dalton Hall", "Dalton");
    let loaded = Files::new().sheets("wing.xlsx", sheets).mapping(&mapping).load();
    assert_eq!(texts(&loaded, facts::FLOOR), ["3", "4", "-"]);
    let roof = &loaded.account.inputs[0].sheets[2];
    let why: Vec<_> = roof.faults.iter().map(|fault| fault.why.as_str()).collect();
    assert!(why[0].starts_with("the mapping takes floor from the name of the sheet"), "{why:?}");
    assert!(why[1].starts_with("used twice in a building: by row 2 of "), "{why:?}");
    assert!(why[1].ends_with("wing.xlsx, sheet Level 3 and by row 2"), "{why:?}");
}

#[test]
fn cells_of_a_workbook_have_types() {
    let files = Files::new();
    let mut book = rust_xlsxwriter::Workbook::new();
    let page = book.add_worksheet();
    for (column, header) in
        (0..).zip(["outlet_id", "circuit", "observed_on", "gfci", "height (in)"])
    {
        page.write_string(0, column, header).unwrap();
    }
    let day = rust_xlsxwriter::ExcelDateTime::from_ymd(2026, 1, 3).unwrap();
    let format = rust_xlsxwriter::Format::new().set_num_format("d-mmm");
    page.write_number(1, 0, 101.0).unwrap();
    page.write_datetime_with_format(1, 1, &day, &format).unwrap();
    page.write_datetime_with_format(1, 2, &day, &format).unwrap();
    page.write_boolean(1, 3, true).unwrap();
    page.write_number(1, 4, 15.5).unwrap();
    page.write_string(4, 0, "E-2").unwrap();
    book.save(files.inputs.path().join("plan.xlsx")).unwrap();
    let loaded = files.load();
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["101", "E-2"]);
    assert_eq!(texts(&loaded, facts::CIRCUIT), ["?", "-"]);
    let first = &loaded.outlets[0];
    assert_eq!(first.get(facts::OBSERVED_ON).known().unwrap().to_string(), "2026-01-03");
    assert_eq!(first.get(facts::GFCI), Fact::Known(true));
    assert_eq!(first.get(facts::HEIGHT), Fact::Known(Length(393_700_000)));
    let found = faults(&loaded);
    assert_eq!(found.len(), 1);
    assert!(found[0].starts_with("2 1 [2026-01-03] a date stands where a name"), "{}", found[0]);
    assert_eq!(sheet(&loaded).rows_skipped["empty"], 2);
    assert_eq!(sheet(&loaded).name.as_deref(), Some("Sheet1"));
}

#[test]
fn semicolons_and_decimal_commas() {
    let mapping = r#"
name = "Commas"
[cells]
decimal = ","
dates = "day-month-year"
[columns]
"Nr" = "outlet_id"
"Tiefe" = { field = "box_set_back", unit = "mm" }
"Datum" = "observed_on"
"#;
    let loaded = Files::of("liste.csv", "Nr;Tiefe;Datum\nE1;6,35;04.03.2026\nE2;1,220;1/2/2026\n")
        .mapping(mapping)
        .load();
    assert_eq!(millimetres(&loaded, facts::BOX_SET_BACK), [Fact::Known(6.35), Fact::Known(1.22)]);
    let days: Vec<_> = loaded
        .outlets
        .iter()
        .map(|outlet| outlet.get(facts::OBSERVED_ON).known().unwrap())
        .collect();
    assert_eq!(
        days.iter().map(ToString::to_string).collect::<Vec<_>>(),
        ["2026-03-04", "2026-02-01"]
    );
}

#[test]
fn a_header_of_the_mapping_goes_before_the_name_of_its_field() {
    let mapping = r#"
name = "Own"
[columns]
"No" = "outlet_id"
"Depth (mm)" = "box_set_back"
"Depth" = "obstruction_depth"
"#;
    let loaded = Files::of("a.csv", "outlet_id,No,Depth [mm],Depth (ft)\nx,E-1,4,2\n")
        .mapping(mapping)
        .load();
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["E-1"]);
    assert_eq!(millimetres(&loaded, facts::BOX_SET_BACK), [Fact::Known(4.0)]);
    assert_eq!(millimetres(&loaded, facts::OBSTRUCTION_DEPTH), [Fact::Known(609.6)]);
    assert_eq!(sheet(&loaded).columns[0].how, "the mapping takes its field from another column");
}

proptest::proptest! {
    /// Whatever stands in a table, each of its rows is an outlet or counted by a reason, and a cell
    /// that cannot be read is a fault.
    #[test]
    fn no_row_is_lost(rows in proptest::collection::vec(proptest::collection::vec(
        proptest::sample::select(&["", " ", "E-1", "Total", "Notes:", "3", "n/a", "yes", "floor 2", "1/4 in", "\u{2713}"][..]),
        5,
    ), 0..12)) {
        let lines: Vec<String> = rows.iter().map(|cells| cells.join(",") + "\n").collect();
        let text = format!("outlet_id,gfci,wall_gap,room,Photo\n{}", lines.concat());
        let loaded = Files::of("plan.csv", &text).load();
        let sheet = sheet(&loaded);
        let skipped: u32 = sheet.rows_skipped.values().sum();
        proptest::prop_assert_eq!((sheet.rows_read + skipped) as usize, rows.len());
        proptest::prop_assert_eq!(loaded.outlets.len(), sheet.rows_read as usize);
        for outlet in &loaded.outlets {
            for field in [facts::GFCI.field, facts::WALL_GAP.field] {
                let faulty = |fault: &&yokecheck::mapping::Fault| fault.row == outlet.origin.row && fault.field == Some(field);
                let told = sheet.faults.iter().find(faulty).is_some();
                proptest::prop_assert_eq!(told, outlet.raw(field) == Fact::Unreadable);
            }
        }
    }
}

#[test]
fn a_mapping_without_columns_adds_constants_to_canonical_headers() {
    let mapping = "name = \"Offices\"\n[constants]\nbuilding = { from = \"file\", pattern = \"* devices\" }\n";
    let loaded =
        Files::of("Dalton Hall devices.csv", "outlet_id,room\nE-1,101\n").mapping(mapping).load();
    assert_eq!(texts(&loaded, facts::BUILDING), ["Dalton Hall"]);
}

#[test]
fn a_table_of_buildings_may_be_a_file_of_its_own() {
    let buildings = "name = \"Buildings\"\n[buildings.North]\nedition = \"2017\"\n[buildings.South]\nedition = 2020\n";
    let files = Files::of(
        "plan.csv",
        "outlet_id,building,edition\nE-1,North,\nE-2,North,2023\nE-3,East,\nE-4,North,MMXX\n",
    );
    let loaded = files.mapping(WING).mapping(buildings).load();
    let editions: Vec<_> =
        loaded.outlets.iter().map(|outlet| outlet.raw(facts::EDITION.field)).collect();
    assert_eq!(editions, [Fact::Known(1), Fact::Known(3), Fact::Blank, Fact::Unreadable]);
    let remarks = &loaded.account.remarks;
    assert!(remarks[0].ends_with("mapping-1.toml: the mapping recognised no sheet"), "{remarks:?}");
    assert!(
        remarks[1].ends_with("mapping-2.toml:4: no row stands in the building `South`"),
        "{remarks:?}"
    );
}

#[test]
fn lines_that_matched_nothing_are_told() {
    let mapping = r#"name = "Slips"
[table]
skip = ["Chapter"]
[columns]
"No" = "outlet_id"
"Number" = "outlet_id"
"Face" = { field = "facing", words = { "Ceiling" = "down", "Deck" = "up" } }
"Remarks" = { ignore = true }
"Photo" = { field = "evidence", optional = true }
[words.facing]
"Sky" = "up"
"Wall" = "side"
"#;
    let loaded = Files::of("plan.csv", "No,Face\n1,deck\n2,Wall\n").mapping(mapping).load();
    let told: Vec<_> = loaded
        .account
        .remarks
        .iter()
        .map(|remark| remark.rsplit_once(".toml:").unwrap().1)
        .collect();
    let expected = [
        "3: no row begins with `chapter`",
        "6: no sheet has the column `Number`",
        "7: no cell says `Ceiling`",
        "8: no sheet has the column `Remarks`",
        "11: no cell says `Sky`",
    ];
    assert_eq!(told, expected);
}

#[test]
fn a_column_that_no_sheet_has_is_an_error_of_the_mapping() {
    let mapping = "name = \"Slip\"\n[columns]\n\"No\" = \"outlet_id\"\n\"Face\" = \"facing\"\n\"Set bock\" = \"box_set_back\"\n";
    let errors = Files::of("plan.csv", "No,Face,Set-back\n1,up,0\n")
        .mapping(mapping)
        .try_load()
        .unwrap_err();
    assert_eq!(errors.len(), 1);
    assert_eq!(errors[0].line(), 5);
    let shown = errors[0].to_string();
    assert!(shown.contains("has a column `Set bock`"), "{shown}");
    assert!(shown.contains("did you mean `Set-back`?"), "{shown}");
}

#[test]
fn a_mapping_that_the_user_gives_goes_before_the_built_in_ones() {
    let text = "Dev. No.,Set-back,Plate,Fed from,Ckt,Yoke held by\nE-1,0,fitted,LP1,3,on studs\n";
    let loaded = Files::of("plan.csv", text).load();
    let SheetReading::Mapped { mapping, why } = &sheet(&loaded).reading else { panic!() };
    assert_eq!(mapping, "mappings/electrical-device-schedule.toml");
    assert_eq!(why, "6 of its 6 header words are there");
    assert_eq!(loaded.outlets[0].get(facts::YOKE_SEAT), Fact::Known(YokeSeat::Loose));
    assert_eq!(loaded.outlets[0].get(facts::FACEPLATE), Fact::Known(true));

    let own = "name = \"Own\"\n[columns]\n\"Dev. No.\" = \"outlet_id\"\n\"Ckt\" = \"circuit\"\n";
    let loaded = Files::of("plan.csv", text).mapping(own).load();
    let SheetReading::Mapped { mapping, .. } = &sheet(&loaded).reading else { panic!() };
    assert!(mapping.ends_with("mapping-1.toml"), "{mapping}");
    assert_eq!(loaded.outlets[0].get(facts::FACEPLATE), Fact::Absent);
}

#[test]
fn an_input_that_cannot_be_read_spoils_no_other() {
    let loaded = Files::of("a.csv", "outlet_id,room\nE-1,101\n")
        .with("b.xlsx", "PK\u{3}\u{4} no archive")
        .with("c.csv", "outlet_id,room\nE-2,101\n")
        .load();
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["E-1", "E-2"]);
    assert_eq!(texts(&loaded, facts::ROOM), ["101", "101"]);
    assert_eq!(loaded.account.inputs.len(), 3);
    assert_eq!(loaded.account.problems.len(), 1, "{:?}", loaded.account.problems);
    assert_eq!(loaded.outlets[1].origin.source, 2);
}

#[test]
fn what_was_read_before_a_damaged_row_is_kept() {
    let loaded = Files::of("a.csv", "outlet_id,room\nE-1,101\nE-2,\"102\n").load();
    assert_eq!(texts(&loaded, facts::OUTLET_ID), ["E-1"]);
    assert_eq!(sheet(&loaded).rows_read, 1);
    assert!(loaded.account.problems[0].contains("line 3"), "{:?}", loaded.account.problems);
}

#[test]
fn the_reading_tells_how_far_it_has_come() {
    let rows: Vec<_> = (0..5000).map(|row| format!("E-{row},101\n")).collect();
    let files = Files::of("a.csv", &format!("outlet_id,room\n{}", rows.concat()));
    let told = std::sync::Mutex::new(Vec::new());
    let found = find(&[files.inputs.path().to_path_buf()]);
    let progress = |step: Progress| told.lock().unwrap().push((step.input, step.rows, step.done));
    let loaded = load(&found, &LoadOptions { mappings: &[], progress: &progress }).unwrap();
    assert_eq!(loaded.outlets.len(), 5000);
    let told = told.into_inner().unwrap();
    let [(0, 4096..5000, false), (0, 5000, true)] = told[..] else { panic!("{told:?}") };
}

#[test]
fn all_errors_of_a_mapping_file_are_shown_with_their_lines() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mapping");
    let text = std::fs::read_to_string(folder.join("faulty.toml")).unwrap();
    let errors = MappingFile::parse("faulty.toml", &text).unwrap_err();
    let shown: Vec<_> = errors.iter().map(ToString::to_string).collect();
    snapbox::assert_data_eq!(
        shown.join("\n\n") + "\n",
        snapbox::Data::read_from(&folder.join("faulty.txt"), None).raw()
    );
}

#[test]
fn errors_of_syntax_are_shown_all_at_once() {
    let errors =
        MappingFile::parse("a.toml", "name = \n[columns\n\"No\" = 'outlet_id'\n\"No\" = 3\n");
    let lines: Vec<_> = errors.unwrap_err().iter().map(MappingError::line).collect();
    assert!(lines.len() >= 2, "{lines:?}");
    let missing = Files::of("a.csv", "outlet_id,room\n");
    let named = vec![missing.mappings.path().join("none.toml")];
    let errors = Files { named, ..missing }.try_load().unwrap_err();
    assert!(errors[0].to_string().contains("cannot be read"), "{}", errors[0]);
}

/// The specification is right: its example is a mapping file, and every key is in its tables.
#[test]
fn the_example_of_the_specification_is_a_mapping_file() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("mappings/README.md");
    let page = std::fs::read_to_string(page).unwrap();
    let (_, rest) = page.split_once("```toml\n").unwrap();
    let (example, _) = rest.split_once("```").unwrap();
    let file =
        MappingFile::parse("README.md", example).unwrap_or_else(|errors| panic!("{}", errors[0]));
    assert_eq!(file.columns.len(), 10);
    assert_eq!(file.columns[6].says.readings.len(), 2);
}
