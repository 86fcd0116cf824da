//! Inputs that cannot be read, or not as schedules: each is named with its reason, the others go on.

use std::io::Write as _;

use crate::{DEVICES, Place, SOUND, golden};

/// Audits a bad file beside a sound one: the sound one is reported on, and the run exits with 2.
fn beside(name: &str, content: &[u8], words: &[&str]) {
    let place = Place::new().with("devices.csv", DEVICES).with(name, content);
    place
        .run(&format!("audit {name} devices.csv --as-of 2026-03-31 --findings found.csv"))
        .code(2)
        .says(&[name])
        .says(words)
        .shows(&["devices.csv", "could not be read: see below", "Decided: "]);
    assert!(place.text("found.csv").contains("A-2"), "the sound schedule was audited");
    assert!(place.path("reports").read_dir().unwrap().count() == 1);
    let alone = place.run(&format!("audit {name} --out none.xlsx")).code(2).says(words);
    assert_eq!(alone.stdout, "Decided: nothing, since no outlet was read.\n");
    assert!(!place.path("none.xlsx").exists());
}

#[test]
fn a_missing_file_is_named() {
    let place = Place::new().with("devices.csv", DEVICES);
    place
        .run("audit gone.csv devices.csv --as-of 2026-03-31 --no-workbook")
        .code(2)
        .says(&["gone.csv: there is no such file or folder; check the path"])
        .shows(&["4 rows", "Most violated: box-set-back 1"]);
    place.run("audit gone.csv").code(2).says(&["gone.csv: there is no such file"]);
    assert!(!place.path("reports").exists(), "no empty folder is left");
}

#[test]
fn a_file_that_is_no_table_is_named() {
    beside("plan.pdf", b"%PDF-1.4 ...", &["a PDF document", "save it as .xlsx or .csv"]);
    beside("plan.xlsx", b"%PDF-1.4 ...", &["a PDF document", "save it as .xlsx or .csv"]);
    beside("empty.csv", b"", &["the file is empty", "export the schedule again"]);
}

#[test]
fn an_encrypted_workbook_is_named() {
    let words = ["the workbook is encrypted", "remove the password and save it again"];
    beside("secret.xlsx", &compound_file("EncryptionInfo"), &words);
}

#[test]
fn a_truncated_workbook_is_named() {
    let whole = workbook(&[("Devices", &[&["outlet_id", "room"], &["A-1", "101"]])]);
    let words = ["the workbook is damaged", "open it in a spreadsheet program"];
    beside("cut.xlsx", &whole[..whole.len() / 2], &words);
    beside("noise.xlsx", b"PK\x03\x04 and nothing more", &words);
}

/// A sheet that names a part of the package which is not there ends the reader of workbooks.
#[test]
fn a_reader_that_fails_on_a_broken_workbook_is_told_in_one_line() {
    let broken = package("xl/workbook.bin", &sheet_without_part());
    let place = Place::new().with("broken.xlsb", broken).with("devices.csv", DEVICES);
    // That nothing is printed of a panic is checked in every run.
    let ran = place.run("audit broken.xlsb devices.csv --no-workbook").code(2);
    let ran = ran.says(&["broken.xlsb: the workbook is damaged (its parts contradict each other)"]);
    assert_eq!(ran.stderr.lines().count(), 1);
    ran.shows(&["Most violated: box-set-back 1"]);
}

/// A file is read as what it holds; that its name says otherwise is a note and no error.
#[test]
fn a_schedule_with_the_wrong_ending_is_read_and_said() {
    let place = Place::new().with("devices.xlsx", DEVICES);
    place
        .run("audit devices.xlsx --no-workbook")
        .code(1)
        .shows(&["4 rows", "note: devices.xlsx: its ending announces another format"])
        .silently();
}

#[test]
fn files_that_are_left_out_of_a_folder_are_said() {
    let place = Place::new().with("in/devices.csv", DEVICES).with("in/photo.jpg", "picture");
    place
        .run("audit in --no-workbook")
        .code(1)
        .shows(&["not read: photo.jpg: neither a spreadsheet nor a text file by its ending"])
        .silently();
    let place = Place::new().with("in/photo.jpg", "picture");
    place.run("audit in --no-workbook").code(2).says(&["no device schedule found", "photo.jpg"]);
}

#[test]
fn an_empty_folder_has_nothing_to_read() {
    let place = Place::new();
    std::fs::create_dir(place.path("in")).unwrap();
    place
        .run("audit in --no-workbook")
        .code(2)
        .says(&["no device schedule found", "nothing to read"]);
}

#[test]
fn a_sheet_that_is_no_schedule_is_skipped_with_the_headers_seen() {
    let words: &[&[&str]] = &[&["Abbreviation", "Meaning"], &["AFF", "above finished floor"]];
    let devices: &[&[&str]] = &[&["outlet_id", "room"], &["A-1", "101"]];
    let both = workbook(&[("Words", words), ("Devices", devices)]);
    let alone = workbook(&[("Words", words)]);
    let place = Place::new().with("both.xlsx", both).with("alone.xlsx", alone);
    place
        .run("audit both.xlsx --no-workbook")
        .code(0)
        .shows(&["1 row ", "not read: both.xlsx, sheet Words:", "Abbreviation, Meaning"])
        .silently();
    place.run("audit alone.xlsx --as-of 2026-03-31").code(2).complains(golden!("no-schedule.txt"));
}

/// Blank to the rules, and listed with its cell and its text.
#[test]
fn an_unreadable_cell_is_a_fault_and_unknown_to_the_rules() {
    let place = Place::new().with("devices.csv", DEVICES);
    let audit = "audit devices.csv --rules box-set-back --out out.xlsx --verdicts verdicts.csv";
    place.run(audit).code(1).shows(&["1 fault of the schedules"]);
    let verdicts = place.text("verdicts.csv");
    let of_row = verdicts.lines().find(|line| line.contains(",A-3,")).unwrap();
    assert!(of_row.contains("undetermined,box_set_back"), "{of_row}");
    let sources = crate::outputs::sheet(&place, "out.xlsx", "Sources");
    let fault = sources.iter().find(|row| row.iter().any(|cell| cell == "about 3")).unwrap();
    for cell in ["J4", "box_set_back"] {
        assert!(fault.iter().any(|there| there == cell), "{cell} is not in {fault:?}");
    }
}

#[test]
fn a_damaged_input_is_told_even_when_quiet() {
    let place = Place::new().with("sound.csv", SOUND).with("empty.csv", "");
    place
        .run("audit sound.csv empty.csv --no-workbook --quiet")
        .code(2)
        .says(&["empty.csv: the file is empty"]);
}

/// Texts on the sheets of a workbook.
pub(crate) fn workbook(sheets: &[(&str, &[&[&str]])]) -> Vec<u8> {
    let mut book = rust_xlsxwriter::Workbook::new();
    for (name, rows) in sheets {
        let sheet = book.add_worksheet().set_name(*name).unwrap();
        for (row, cells) in (0..).zip(*rows) {
            for (column, text) in (0..).zip(*cells) {
                sheet.write_string(row, column, *text).unwrap();
            }
        }
    }
    book.save_to_buffer().unwrap()
}

/// A zip package of one part.
fn package(name: &str, content: &[u8]) -> Vec<u8> {
    let mut package = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    package.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
    package.write_all(content).unwrap();
    package.finish().unwrap().into_inner()
}

/// The record `BrtBundleSh` of \[MS-XLSB\]: its kind, its length, the state and the number of a
/// sheet, the relation under which its part is found, and its name.
fn sheet_without_part() -> Vec<u8> {
    let text = |text: &str| {
        let length = u32::try_from(text.len()).unwrap();
        let letters = text.encode_utf16().flat_map(u16::to_le_bytes);
        length.to_le_bytes().into_iter().chain(letters).collect::<Vec<u8>>()
    };
    let body = [vec![0, 0, 0, 0, 1, 0, 0, 0], text("rId1"), text("Devices")].concat();
    [vec![0x9C, 0x01, u8::try_from(body.len()).unwrap()], body].concat()
}

/// A compound file with an empty stream of this name, laid out as \[MS-CFB\] tells: the header, its
/// allocation table and its directory, a sector each.
fn compound_file(stream: &str) -> Vec<u8> {
    const END: u32 = 0xFFFF_FFFE;
    let mut header = vec![0_u8; 512];
    header[..8].copy_from_slice(&[0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1]);
    header[26] = 3;
    header[30] = 9;
    let words = [(44, 1), (48, 1), (60, END), (68, END), (76, 0)];
    for (at, word) in words {
        header[at..at + 4].copy_from_slice(&u32::to_le_bytes(word));
    }
    header[80..].fill(0xFF);
    let mut table = [0xFFFF_FFFD, END].map(u32::to_le_bytes).concat();
    table.resize(512, 0xFF);
    let mut directory = Vec::new();
    for (name, kind) in [("Root Entry", 5), (stream, 2)] {
        let mut entry: Vec<u8> = name.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let length = u8::try_from(entry.len() + 2).unwrap();
        entry.resize(128, 0);
        entry[64] = length;
        entry[66] = kind;
        entry[116..120].copy_from_slice(&END.to_le_bytes());
        directory.extend(entry);
    }
    directory.resize(512, 0);
    [header, table, directory].concat()
}
