//! What a schedule writes is never obeyed: not as a formula, not as markup, not by a terminal. Wherever
//! texts come from an input, they stand in every output as the texts that they are.

use std::fs::{self, File};
use std::io::Read as _;

use calamine::{Data, Reader as _, Xlsx, open_workbook};
use polars::prelude::{ParquetReader, SerReader as _};

use crate::{Place, Ran};

/// Each begins as a formula does and ends as markup does.
const STARTS: [&str; 7] = ["=", "+", "-", "@", "\t=", "\r=", "=cmd|' /C calc'!A0 "];
const MARKUP: &str = r#"1+1<script>alert("x")</script><img src=x onerror=alert(1)>'&"#;

/// The first letters at which a spreadsheet may begin to calculate.
const FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

const FIELDS: [&str; 14] = [
    "outlet_id",
    "building",
    "floor",
    "room",
    "trade",
    "installer",
    "observed_by",
    "evidence",
    "panel",
    "circuit",
    "supply",
    "enclosure_id",
    "bed_location",
    "box_size",
];

/// The text of a field in a row.
fn hostile(field: &str, row: usize) -> String {
    format!("{}{MARKUP}{field}{row}", STARTS[row])
}

/// A schedule all of whose texts are hostile: one header that is no field, one cell that cannot be read,
/// a box that is set back too far in each row, and a question for the authority.
fn schedule() -> Vec<u8> {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet().set_name("=1+1<script>x<b>'&").unwrap();
    let facts = [
        ("edition", "2020"),
        ("device", "receptacle"),
        ("mounting_location", "wall"),
        ("facing", "side"),
        ("box", "device-box"),
        ("box_set_back", "1/2 in"),
        ("surface", "gypsum"),
        ("quantity", "2"),
    ];
    let others = ["=2+2<script>header</script>", "sink_distance"];
    let headers = FIELDS.iter().chain(facts.iter().map(|(field, _)| field)).chain(&others);
    for (column, header) in (0..).zip(headers) {
        sheet.write_string(0, column, *header).unwrap();
    }
    for row in 0..STARTS.len() {
        let texts = FIELDS.iter().map(|field| hostile(field, row));
        let facts = facts.iter().map(|(_, fact)| (*fact).to_owned());
        let others = others.iter().map(|field| hostile(field, row));
        for (column, text) in (0..).zip(texts.chain(facts).chain(others)) {
            sheet.write_string(u32::try_from(row).unwrap() + 1, column, text).unwrap();
        }
    }
    book.save_to_buffer().unwrap()
}

const INPUT: &str = "=1+1<script>alert(1)<b>&.xlsx";

/// The audit of the schedule with every output.
fn audited() -> (Place, Ran) {
    let place = Place::new().with(INPUT, schedule());
    let ran = place.run(&format!(
        "audit {INPUT} --as-of 2026-03-31 --project =3+3<script>project</script> --out a.xlsx \
         --findings f.csv --verdicts v.csv --html a.html --jsonl a.jsonl --parquet tables \
         --corrections sent --by installer --edition 2020"
    ));
    assert_eq!(ran.code, Some(1), "{ran:?}");
    (place, ran)
}

#[test]
fn no_output_obeys_what_a_schedule_writes() {
    let (place, _) = audited();
    csv_files(&place);
    workbooks(&place);
    page(&place);
    raw_outputs(&place);
}

/// Every cell of the CSV files that begins as a formula does is guarded, and none is lost.
fn csv_files(place: &Place) {
    for name in ["f.csv", "v.csv"] {
        let mut reader = csv::Reader::from_path(place.path(name)).unwrap();
        let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let mut guarded = 0;
        for cell in records.iter().flatten() {
            assert!(!cell.starts_with(FORMULA), "{name}: {cell}");
            guarded +=
                usize::from(cell.strip_prefix('\'').is_some_and(|rest| rest.starts_with(FORMULA)));
        }
        assert!(guarded > STARTS.len(), "{name}: {guarded} texts were guarded");
    }
    let found = place.text("f.csv");
    let quoted = |text: &str| text.replace('"', "\"\"");
    for row in 0..STARTS.len() {
        let clean = hostile("room", row).trim().replace("  ", " ");
        assert!(found.contains(&quoted(&clean)), "{clean} is not in the findings");
    }
}

/// No formula, no link and no part of a workbook comes from the schedule.
fn workbooks(place: &Place) {
    let sent = fs::read_dir(place.path("sent")).unwrap().map(|entry| entry.unwrap().path());
    let mut books: Vec<_> = sent.collect();
    assert_eq!(books.len(), STARTS.len(), "a list for each company");
    books.push(place.path("a.xlsx"));
    for path in books {
        let name = path.display().to_string();
        let mut book: Xlsx<_> = open_workbook(&path).unwrap();
        let mut shown = 0;
        for sheet in book.sheet_names() {
            for (.., formula) in book.worksheet_formula(&sheet).unwrap().used_cells() {
                let ours = !formula.contains("script")
                    && !formula.contains("cmd")
                    && !formula.contains("1+1");
                assert!(ours, "{name}, {sheet}: {formula}");
            }
            let cells = book.worksheet_range(&sheet).unwrap();
            let texts = cells.used_cells().filter_map(|(.., cell)| match cell {
                Data::String(text) => Some(text),
                _ => None,
            });
            shown +=
                texts.filter(|text| text.starts_with(FORMULA) && text.contains("<script>")).count();
        }
        assert!(shown > 0, "{name}: the texts stand there as they are");
        let mut package = zip::ZipArchive::new(File::open(&path).unwrap()).unwrap();
        for index in 0..package.len() {
            let (mut part, mut xml) = (package.by_index(index).unwrap(), String::new());
            part.read_to_string(&mut xml).unwrap();
            assert!(!xml.contains("<script"), "{name}: markup in a part");
            assert!(!xml.contains("TargetMode=\"External\""), "{name}: a link to the outside");
        }
    }
}

/// The page has its own script and no element of the schedule.
fn page(place: &Place) {
    let page = place.text("a.html").to_lowercase();
    let own = page.matches("<script").count();
    let sound = Place::new().with("a.csv", "outlet_id,device,box_set_back\n1,receptacle,1/8 in\n");
    sound.run("audit a.csv --no-workbook --html a.html");
    assert_eq!(own, sound.text("a.html").to_lowercase().matches("<script").count());
    for markup in ["<img", "alert(\"", "<b>", "<script>alert", "<script>header", "<script>project"]
    {
        assert!(!page.contains(markup), "{markup}");
    }
    for shown in ["&lt;script&gt;header", "&lt;script&gt;project", "&lt;img src=x onerror"] {
        assert!(page.contains(shown), "{shown} is shown");
    }
}

/// JSON lines and tables hold the texts raw: whoever reads them is no spreadsheet.
fn raw_outputs(place: &Place) {
    let lines = place.text("a.jsonl");
    let lines: Vec<serde_json::Value> =
        lines.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    for row in 0..STARTS.len() {
        let room = hostile("room", row).trim().replace("  ", " ");
        assert!(lines.iter().any(|line| line["room"] == room.as_str()), "{room}");
    }
    let table = File::open(place.path("tables/outlets.parquet")).unwrap();
    let table = ParquetReader::new(table).finish().unwrap();
    let rooms = table.column("room").unwrap().str().unwrap();
    for row in 0..STARTS.len() {
        let room = hostile("room", row).trim().replace("  ", " ");
        assert!(rooms.iter().flatten().any(|there| there == room), "{room}");
    }
}

/// Escapes in names, headers and cells do not reach the terminal, though it shows colours.
#[test]
fn a_terminal_obeys_no_schedule() {
    let escape = "\u{1b}]0;owned\u{7}\u{9b}31m";
    let header = format!("outlet_id,device,box_set_back,{escape}header");
    let place = Place::new()
        .with("a.csv", format!("{header}\nA{escape},receptacle,{escape} in,{escape}\n"))
        .with(&format!("b{escape}.csv"), format!("{escape},x\n1,2\n"))
        .with(&format!("c{escape}.xlsx"), "PK\u{3}\u{4}");
    for arguments in ["audit . --no-workbook", "audit . --no-workbook --explain-mapping"] {
        let ran = place.start("export CLICOLOR_FORCE=1", arguments).ends();
        assert_eq!(ran.code, Some(2), "{ran:?}");
        for said in [&ran.stdout, &ran.stderr] {
            assert!(!said.contains("\u{1b}]") && !said.contains(['\u{7}', '\u{9b}']), "{said:?}");
        }
        assert!(ran.stderr.contains("\u{1b}["), "colours are shown: {ran:?}");
    }
}
