//! `yokecheck audit --corrections`: lists that are sent out, and what must stay in their folder.

use std::io::{Read as _, Write as _};

use calamine::{Data, Reader as _, Xlsx};

use crate::{Place, golden};

/// Three boxes too deep, of two trades and two companies, one of them not recorded.
const DEVICES: &str = "\
outlet_id,building,floor,room,edition,device,mounting_location,facing,box,box_set_back,surface,trade,installer
A-1,North,1,101,2020,receptacle,wall,side,device-box,1/2 in,gypsum,Power/low,Velmark & Co
A-2,North,1,102,2020,receptacle,wall,side,device-box,1/2 in,gypsum,Lighting,
A-3,North,1,103,2020,receptacle,wall,side,device-box,1/2 in,gypsum,,Velmark & Co
";
const RUN: &str = "audit devices.csv --as-of 2026-03-31 --no-workbook";

fn names(place: &Place, folder: &str) -> Vec<String> {
    let entries = place.path(folder).read_dir().unwrap();
    let name = |entry: std::io::Result<std::fs::DirEntry>| {
        entry.unwrap().file_name().to_string_lossy().into_owned()
    };
    let mut names: Vec<String> = entries.map(name).collect();
    names.sort();
    names
}

#[test]
fn each_trade_gets_a_workbook_in_a_folder_that_is_made() {
    let place = Place::new().with("devices.csv", DEVICES);
    let ran = place.run(&format!("{RUN} --corrections to/send")).code(1).silently();
    ran.prints(golden!("audit-corrections.txt"));
    let expected =
        ["Lighting-corrections.xlsx", "Power-low-corrections.xlsx", "electrical-corrections.xlsx"];
    assert_eq!(names(&place, "to/send"), expected);
}

#[test]
fn each_company_gets_a_workbook_and_unknown_ones_are_said() {
    let place = Place::new().with("devices.csv", DEVICES);
    place.run(&format!("{RUN} --corrections send --by installer")).code(1).shows(&[
        "2 workbooks to be sent out, in send",
        "no schedule says who installed what 1 line",
        "installer-not-recorded-corrections.xlsx",
    ]);
    let expected = ["Velmark-Co-corrections.xlsx", "installer-not-recorded-corrections.xlsx"];
    assert_eq!(names(&place, "send"), expected);
    let book: Xlsx<_> = calamine::open_workbook(place.path("send").join(expected[0])).unwrap();
    assert_eq!(book.sheet_names(), ["Corrections ELECTRICAL", "Corrections POWER-LOW"]);
    place.run(&format!("{RUN} --by installer")).code(2).says(&["--corrections <DIR>"]);
}

#[test]
fn lists_of_an_earlier_run_are_renewed_and_those_left_over_are_named() {
    let place = Place::new().with("devices.csv", DEVICES);
    place.run(&format!("{RUN} --corrections send")).code(1);
    let first = place.read("send/Lighting-corrections.xlsx");
    place.run(&format!("{RUN} --corrections send --threads 1")).code(1);
    assert_eq!(place.read("send/Lighting-corrections.xlsx"), first, "the same bytes");
    let fewer = DEVICES.replace("Lighting", "Power/low");
    let place = place.with("devices.csv", fewer);
    place.run(&format!("{RUN} --corrections send")).code(1).shows(&[
        "2 workbooks to be sent out",
        "send/Lighting-corrections.xlsx: a list of an earlier run",
    ]);
}

#[test]
fn what_is_not_ours_or_was_filled_in_is_never_overwritten() {
    let place =
        Place::new().with("devices.csv", DEVICES).with("send/Lighting-corrections.xlsx", "mine");
    let refused = |words: &[&str]| {
        let ran = place.run(&format!("{RUN} --corrections send")).code(2).says(words);
        assert_eq!(ran.stdout, "", "it was said before the work began");
        assert_eq!(names(&place, "send"), ["Lighting-corrections.xlsx"]);
    };
    refused(&["Lighting-corrections.xlsx", "no list of corrections of this program", "move it"]);
    assert_eq!(place.text("send/Lighting-corrections.xlsx"), "mine");

    place.run(&format!("{RUN} --corrections other")).code(1);
    let filled = saved_again(&place.read("other/Lighting-corrections.xlsx"));
    std::fs::write(place.path("send/Lighting-corrections.xlsx"), &filled).unwrap();
    refused(&["saved again", "will not be overwritten", "move it"]);
    assert_eq!(place.read("send/Lighting-corrections.xlsx"), filled);

    let filled = filled_in(&place.read("other/Lighting-corrections.xlsx"));
    std::fs::write(place.path("send/Lighting-corrections.xlsx"), &filled).unwrap();
    refused(&["filled in", "will not be overwritten", "move it"]);
    assert_eq!(place.read("send/Lighting-corrections.xlsx"), filled);
}

/// The workbook as a program leaves it that fills in a cell and forgets to say when.
fn filled_in(bytes: &[u8]) -> Vec<u8> {
    changed(bytes, |xml| {
        let Some(cell) = xml.find("<c r=\"K13\"") else { return xml };
        let end = cell + xml[cell..].find("/>").unwrap();
        let name = " t=\"inlineStr\"><is><t>J. Maur</t></is></c>";
        format!("{}{name}{}", &xml[..end], &xml[end + 2..])
    })
}

/// The workbook as a program leaves it that saves it on another day.
pub(crate) fn saved_again(bytes: &[u8]) -> Vec<u8> {
    changed(bytes, |xml| match xml.split_once("<dcterms:modified") {
        Some((before, modified)) => {
            let modified = modified.replace("2026-03-31", "2026-04-09");
            format!("{before}<dcterms:modified{modified}")
        }
        None => xml,
    })
}

/// The workbook with its parts changed, of which some must be.
fn changed(bytes: &[u8], change: impl Fn(String) -> String) -> Vec<u8> {
    let mut old = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    let mut new = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let mut changes = 0;
    for place in 0..old.len() {
        let mut part = old.by_index(place).unwrap();
        let mut text = String::new();
        part.read_to_string(&mut text).unwrap();
        let wanted = change(text.clone());
        changes += u32::from(wanted != text);
        new.start_file(part.name().unwrap(), zip::write::SimpleFileOptions::default()).unwrap();
        new.write_all(wanted.as_bytes()).unwrap();
    }
    assert!(changes > 0, "nothing was changed");
    new.finish().unwrap().into_inner()
}

#[test]
fn a_list_among_the_schedules_is_an_input_but_no_schedule() {
    let place = Place::new().with("in/devices.csv", DEVICES);
    let run = "audit in --as-of 2026-03-31 --no-workbook";
    place.run(&format!("{run} --corrections in/send")).code(1).shows(&["3 outlets in 3 rows"]);
    place.run(run).code(1).shows(&["3 outlets in 3 rows", "not read: send/Lighting"]);
    let again = place.run(&format!("{run} --corrections in/send")).code(2);
    again.says(&["Lighting-corrections.xlsx", "is an input of the run"]);
}

#[test]
fn a_folder_that_cannot_be_and_a_clash_with_another_output_are_told_before_the_work() {
    let place = Place::new().with("devices.csv", DEVICES).with("file", "no folder");
    let ran = place.run(&format!("{RUN} --corrections file")).code(2);
    assert_eq!(ran.says(&["file: this folder for the corrections cannot be used"]).stdout, "");
    let clash = "audit devices.csv --out new/Power-low-corrections.xlsx --corrections new";
    place.run(clash).code(2);
    assert!(!place.path("new").exists(), "no empty folder is left");
    let place = place.with("new/notes.txt", "notes");
    place.run(clash).code(2).says(&["new/Power-low-corrections.xlsx", "two outputs of the run"]);
    assert_eq!(names(&place, "new"), ["notes.txt"]);
}

#[test]
fn cells_to_fill_in_are_empty_and_texts_of_the_schedule_are_texts() {
    let place = Place::new().with("devices.csv", DEVICES.replace("A-2", "=A2"));
    place.run(&format!("{RUN} --corrections send")).code(1);
    let path = place.path("send/Lighting-corrections.xlsx");
    let mut book: Xlsx<_> = calamine::open_workbook(path).unwrap();
    let sheet = book.worksheet_range("Corrections LIGHTING").unwrap();
    let outlet = Data::String("=A2".to_owned());
    assert!(sheet.rows().next_back().unwrap().contains(&outlet));
    assert!(book.worksheet_formula("Corrections LIGHTING").unwrap().is_empty());
}
