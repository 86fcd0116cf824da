//! Whole files, read through [`read`]: what comes out, and what is refused.
#![expect(clippy::disallowed_methods, reason = "tests make the files they read")]

use std::io::Write;
use std::path::PathBuf;

use jiff::civil::date;
use rust_xlsxwriter::{ExcelDateTime, Format as Style, Formula, Workbook};

use super::*;

struct Place(tempfile::TempDir);

impl Place {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn file(&self, name: &str, bytes: &[u8]) -> Input {
        let path = self.0.path().join(name);
        fs::write(&path, bytes).unwrap();
        Input { path, display: name.to_owned(), bytes: bytes.len() as u64 }
    }
}

type Tables = Vec<(Sheet, Vec<Merge>, Vec<Row>)>;

/// All rows of all sheets, with the merged cells.
fn tables(input: &Input) -> Result<Tables, IngestError> {
    let mut tables = Vec::new();
    read(input, &mut |sheet, rows| {
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

fn workbook(fill: impl FnOnce(&mut Workbook)) -> Vec<u8> {
    let mut workbook = Workbook::new();
    fill(&mut workbook);
    workbook.save_to_buffer().unwrap()
}

fn archive(parts: &[(&str, &str)]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, text) in parts {
        writer.start_file(*name, zip::write::SimpleFileOptions::default()).unwrap();
        writer.write_all(text.as_bytes()).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

fn open_document(tables: &str) -> Vec<u8> {
    let content = format!(
        r#"<?xml version="1.0"?><office:document-content><office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body></office:document-content>"#
    );
    archive(&[
        ("mimetype", "application/vnd.oasis.opendocument.spreadsheet"),
        ("META-INF/manifest.xml", "<manifest:manifest/>"),
        ("content.xml", &content),
    ])
}

#[test]
fn every_kind_of_value_of_a_workbook_is_kept() {
    let bytes = workbook(|workbook| {
        let sheet = workbook.add_worksheet().set_name("Level 3").unwrap();
        let day = Style::new().set_num_format("yyyy-mm-dd");
        sheet.write(0, 0, " Room ").unwrap();
        sheet.write(2, 1, 18.5).unwrap();
        sheet.write(2, 2, true).unwrap();
        let inspected = ExcelDateTime::from_ymd(2023, 5, 17).unwrap();
        sheet.write_with_format(2, 3, &inspected, &day).unwrap();
        sheet.write_formula(2, 4, Formula::new("NA()").set_result("#N/A")).unwrap();
        sheet.write_blank(4, 0, &day).unwrap();
        sheet.merge_range(5, 0, 7, 0, "Corridor", &day).unwrap();
        let hidden = workbook.add_worksheet().set_name("Lists").unwrap();
        hidden.set_hidden(true).write(0, 0, "duplex").unwrap();
    });
    let tables = tables(&Place::new().file("a.xlsx", &bytes)).unwrap();
    let [(first, merges, rows), (second, _, _)] = &tables[..] else { panic!("{tables:?}") };
    assert_eq!((first.name.as_deref(), first.hidden), (Some("Level 3"), false));
    assert_eq!((second.name.as_deref(), second.hidden, second.index), (Some("Lists"), true, 1));
    assert!(!first.misnamed && first.format == Format::Xlsx);
    assert_eq!(merges[..], [Merge { first_row: 6, last_row: 8, first_column: 0, last_column: 0 }]);
    assert_eq!(rows.iter().map(|row| row.number).collect::<Vec<_>>(), [1, 3, 6]);
    assert_eq!(rows[0].cell(0), Cell::Text(" Room "));
    assert_eq!(
        rows[1].cells().collect::<Vec<_>>(),
        [
            (1, Cell::Number(18.5)),
            (2, Cell::Boolean(true)),
            (3, Cell::Date(date(2023, 5, 17).at(0, 0, 0, 0))),
            (4, Cell::Error("#N/A")),
        ]
    );
}

#[test]
fn a_cell_in_the_last_corner_costs_nothing() {
    let bytes = workbook(|workbook| {
        let sheet = workbook.add_worksheet();
        sheet.write(0, 0, "a").unwrap();
        sheet.write(1_048_575, 16_383, 7).unwrap();
    });
    let tables = tables(&Place::new().file("a.xlsx", &bytes)).unwrap();
    let rows = &tables[0].2;
    assert_eq!(rows.len(), 2);
    assert_eq!((rows[1].number, rows[1].width()), (1_048_576, 16_384));
    assert_eq!(rows[1].cell(16_383), Cell::Number(7.0));
}

#[test]
fn an_open_document_is_read_with_its_merged_cells() {
    let bytes = open_document(
        r#"<table:table table:name="Devices"><table:table-row table:number-rows-repeated="3"/>
        <table:table-row><table:table-cell table:number-columns-repeated="2"/><table:table-cell
        office:value-type="string" table:number-rows-spanned="2" table:number-columns-spanned="1"
        ><text:p>Lobby</text:p></table:table-cell><table:table-cell office:value-type="float"
        office:value="20"/></table:table-row></table:table>"#
            .replace(">\n        <", "><")
            .as_str(),
    );
    let tables = tables(&Place::new().file("a.ods", &bytes)).unwrap();
    let (sheet, merges, rows) = &tables[0];
    assert_eq!((sheet.name.as_deref(), &sheet.format), (Some("Devices"), &Format::Ods));
    assert_eq!(rows[0].number, 4);
    let cells: Vec<_> = rows[0].cells().collect();
    assert_eq!(cells, [(2, Cell::Text("Lobby")), (3, Cell::Number(20.0))]);
    assert_eq!(merges[..], [Merge { first_row: 4, last_row: 5, first_column: 2, last_column: 2 }]);
}

#[test]
fn a_small_open_document_with_a_far_corner_is_refused() {
    let bytes = open_document(
        r#"<table:table table:name="A"><table:table-row><table:table-cell office:value-type="float" office:value="1"/></table:table-row><table:table-row table:number-rows-repeated="1048000"><table:table-cell table:number-columns-repeated="16383"/><table:table-cell office:value-type="float" office:value="1"/></table:table-row></table:table>"#,
    );
    let error = tables(&Place::new().file("a.ods", &bytes)).unwrap_err();
    assert!(matches!(error, IngestError::TooLarge { .. }));
    assert!(error.to_string().contains("save it as .xlsx"), "{error}");
}

#[test]
fn a_file_is_read_as_what_it_is_and_said_to_be_misnamed() {
    let place = Place::new();
    let bytes = workbook(|workbook| {
        workbook.add_worksheet().write(0, 0, "a").unwrap();
    });
    for (name, bytes, format) in [
        ("a.csv", bytes.as_slice(), Format::Xlsx),
        ("b.xls", &bytes, Format::Xlsx),
        ("c.xlsx", b"a;b\n1;2\n", Format::Text { encoding: "UTF-8", delimiter: ';' }),
    ] {
        let tables = tables(&place.file(name, bytes)).unwrap();
        assert_eq!((&tables[0].0.format, tables[0].0.misnamed), (&format, true), "{name}");
    }
    let named = tables(&place.file("d.dat", b"a,b\n1,2\n")).unwrap();
    assert!(!named[0].0.misnamed);
}

#[test]
fn what_cannot_be_read_is_one_error_with_its_path_and_a_hint() {
    let place = Place::new();
    let whole = workbook(|workbook| {
        workbook.add_worksheet().write(0, 0, "a").unwrap();
    });
    let cases: [(&str, &[u8], &str); 6] = [
        ("empty.csv", b"", "the file is empty"),
        ("page.xls", b"<html><table><tr><td>1</td></tr></table>", "a web page"),
        ("old.xls", b"\x09\x04\x06\x00\x00\x00\x10\x00\x00\x00", "before 1993"),
        ("cut.xlsx", &whole[..whole.len() / 2], "damaged"),
        ("other.xlsx", &archive(&[("a.txt", "a")]), "a zip archive without a workbook"),
        ("text.docx", &archive(&[("word/document.xml", "<a/>")]), "a text document"),
    ];
    for (name, bytes, words) in cases {
        let input = place.file(name, bytes);
        let error = tables(&input).unwrap_err();
        assert_eq!(error.path(), input.path, "{name}");
        let text = error.to_string();
        assert!(text.contains(words) && text.contains(name), "{text}");
    }
    let folder = Input { path: place.0.path().to_path_buf(), display: String::new(), bytes: 0 };
    assert!(matches!(tables(&folder), Err(IngestError::NotAFile { .. })));
    let gone = Input { path: PathBuf::from("gone.csv"), ..folder };
    assert!(matches!(tables(&gone), Err(IngestError::Missing { .. })));
}

#[test]
fn a_failing_visit_stops_the_reading_and_is_handed_on() {
    let bytes = workbook(|workbook| {
        workbook.add_worksheet();
        workbook.add_worksheet();
    });
    let mut visits = 0;
    let outcome = read(&Place::new().file("a.xlsx", &bytes), &mut |_, _| {
        visits += 1;
        Err(IngestError::Empty { path: PathBuf::from("mine") })
    });
    assert!(matches!(outcome, Err(IngestError::Empty { .. })));
    assert_eq!(visits, 1);
}

/// FIPS 180-4, the example "abc" of the standard's published test vectors.
#[test]
fn sha256_of_a_published_example() {
    let input = Place::new();
    let file = input.file("abc", b"abc");
    assert_eq!(
        sha256(&file.path).unwrap(),
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
}
