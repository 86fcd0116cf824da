//! Files that would take all the memory or all the time, or are no files: each is read, or refused with
//! one message.

use std::fs::{self, File};
use std::io::{Seek, SeekFrom, Write};
use std::os::unix::fs::{PermissionsExt as _, symlink};
use std::process::Command;

use crate::books::{label, number, ods, package, record, repeat, xls, xlsx, xlsx_of_sheets};
use crate::{Place, Ran};

/// Audits one file.
fn audited(place: &Place, name: &str) -> Ran {
    place.run(&format!("audit {name} --out out.xlsx --findings f.csv"))
}

/// Checks that a file is refused with one message.
#[track_caller]
fn refused(name: &str, bytes: impl AsRef<[u8]>, words: &[&str]) {
    let place = Place::new().with(name, bytes);
    let ran = audited(&place, name).refused(name, words);
    assert!(ran.stderr.contains(name), "{ran:?}");
    assert_eq!(place.names(), [name], "nothing was written");
}

/// Checks that a file is read within the limits, and gives this many rows.
#[track_caller]
fn read(name: &str, bytes: impl AsRef<[u8]>, rows: &str) {
    let place = Place::new().with(name, bytes);
    let ran = audited(&place, name).within_limits(name);
    assert!(ran.code < Some(2) && ran.stdout.contains(rows), "{ran:?}");
}

const TOO_LARGE: [&str; 2] = ["more than", "save it"];
const HEADER: &str = r#"<row r="1"><c r="A1" t="inlineStr"><is><t>outlet_id</t></is></c><c r="B1" t="inlineStr"><is><t>device</t></is></c><c r="C1" t="inlineStr"><is><t>box_set_back</t></is></c></row>"#;

fn none(_: &mut dyn Write) {}

/// A cell of a workbook that shows a shared text.
fn shared(column: &str, row: usize, text: usize) -> String {
    format!(r#"<c r="{column}{row}" t="s"><v>{text}</v></c>"#)
}

#[test]
#[cfg_attr(debug_assertions, ignore = "takes minutes without optimisation: cargo test --release")]
fn a_zip_bomb_in_a_workbook_is_refused() {
    let blanks = |out: &mut dyn Write| repeat(out, "<row/>", 100_000_000 / 6);
    refused("bomb.xlsx", xlsx(&mut { blanks }, &mut none), &["unpacks"]);
    let texts = |out: &mut dyn Write| repeat(out, "<si><t>aaaaaaaa</t></si>", 4_000_000);
    refused("texts.xlsx", xlsx(&mut none, &mut { texts }), &["shared"]);
    let one = |out: &mut dyn Write| {
        write!(out, "<si><t>").unwrap();
        repeat(out, "a", 200_000_000);
        write!(out, "</t></si>").unwrap();
    };
    refused("one-text.xlsx", xlsx(&mut none, &mut { one }), &["unpacks"]);
    let table = |out: &mut dyn Write| {
        write!(out, r#"<table:table table:name="A">"#).unwrap();
        repeat(out, "<table:table-row/>", 10_000_000);
        write!(out, "</table:table>").unwrap();
    };
    refused("bomb.ods", ods(&mut { table }), &["unpacks"]);
}

/// Less tightly packed than a bomb: text between two tags is held whole by the reader.
#[test]
#[cfg_attr(debug_assertions, ignore = "takes minutes without optimisation: cargo test --release")]
fn a_text_of_hundreds_of_megabytes_is_refused() {
    let noise = |out: &mut dyn Write, megabytes: usize| {
        let mut state = 7;
        let block: String = (0..30_000)
            .map(|_| {
                char::from(b'a' + u8::try_from(crate::faults::chance(&mut state, 26)).unwrap())
            })
            .collect();
        repeat(out, &block, megabytes * 1_000_000 / block.len());
    };
    let cell = |out: &mut dyn Write| {
        write!(out, r#"{HEADER}<row r="2"><c r="A2" t="inlineStr"><is><t>"#).unwrap();
        noise(out, 600);
        write!(out, "</t></is></c></row>").unwrap();
    };
    refused("cell.xlsx", xlsx(&mut { cell }, &mut none), &["cell.xlsx"]);
    let text = |out: &mut dyn Write| {
        write!(out, "<si><t>").unwrap();
        noise(out, 240);
        write!(out, "</t></si>").unwrap();
    };
    refused("shared.xlsx", xlsx(&mut none, &mut { text }), &["shared.xlsx"]);
    let table = |out: &mut dyn Write| {
        write!(out, r#"<table:table table:name="A"><table:table-row><table:table-cell office:value-type="string"><text:p>"#).unwrap();
        noise(out, 400);
        write!(out, "</text:p></table:table-cell></table:table-row></table:table>").unwrap();
    };
    refused("cell.ods", ods(&mut { table }), &["cell.ods"]);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "takes minutes without optimisation: cargo test --release")]
fn a_million_shared_texts_are_read_and_thirty_million_refused() {
    let texts = |count: usize| {
        move |out: &mut dyn Write| {
            for number in 0..count {
                write!(out, "<si><t>{number:x}</t></si>").unwrap();
            }
        }
    };
    let rows = |out: &mut dyn Write| {
        write!(out, "{HEADER}").unwrap();
        for row in 2..5_000 {
            write!(out, r#"<row r="{row}">{}</row>"#, shared("A", row, row * 200)).unwrap();
        }
    };
    read("million.xlsx", xlsx(&mut { rows }, &mut texts(1_000_000)), "4,998 rows");
    let many = |out: &mut dyn Write| repeat(out, "<si/><si><t>a</t></si>", 15_000_000);
    refused("many.xlsx", xlsx(&mut none, &mut { many }), &["shared"]);
}

#[test]
fn one_cell_at_the_far_corner() {
    let corner = |out: &mut dyn Write| {
        write!(out, r#"{HEADER}<row r="2"><c r="A2"><v>1</v></c></row><row r="1048576"><c r="XFD1048576"><v>1</v></c></row>"#).unwrap();
    };
    read("corner.xlsx", xlsx(&mut { corner }, &mut none), "1 row");
    let beyond = |out: &mut dyn Write| {
        write!(out, r#"{HEADER}<row r="4294967295"><c r="XFD4294967295"><v>1</v></c></row>"#)
            .unwrap();
    };
    let place = Place::new().with("beyond.xlsx", xlsx(&mut { beyond }, &mut none));
    audited(&place, "beyond.xlsx").within_limits("a cell in row 2^32 - 1");
    let table = |out: &mut dyn Write| {
        write!(out, r#"<table:table table:name="A"><table:table-row><table:table-cell office:value-type="string"><text:p>outlet_id</text:p></table:table-cell></table:table-row><table:table-row table:number-rows-repeated="1048000"><table:table-cell table:number-columns-repeated="16383"/><table:table-cell office:value-type="float" office:value="1"/></table:table-row></table:table>"#).unwrap();
    };
    refused("corner.ods", ods(&mut { table }), &TOO_LARGE);
    let records = [label(0, 0, "outlet_id"), number(65_535, 255)].concat();
    refused("corner.xls", xls(&records), &TOO_LARGE);
}

/// As many cells as are read of a format that is held whole.
#[test]
#[cfg_attr(debug_assertions, ignore = "takes minutes without optimisation: cargo test --release")]
fn the_largest_rectangle_that_is_read_keeps_within_the_limits() {
    let text = |text: &str| {
        format!(
            r#"<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>"#
        )
    };
    let row = |cells: &str| format!("<table:table-row>{cells}</table:table-row>");
    let table = |out: &mut dyn Write| {
        let header = row(&(text("outlet_id") + &text("device")));
        write!(out, r#"<table:table table:name="A">{header}"#).unwrap();
        let gap = r#"<table:table-cell table:number-columns-repeated="268"/>"#;
        repeat(out, &row(&[text("A-1"), gap.to_owned(), text("1")].concat()), 11_000);
        write!(out, "</table:table>").unwrap();
    };
    read("large.ods", ods(&mut { table }), "11,000 rows");
    let cells = (1..16_000).flat_map(|row| [number(row, 0), number(row, 248)]);
    let header = [label(0, 0, "outlet_id"), label(0, 1, "device")];
    let records = header.into_iter().chain(cells).collect::<Vec<_>>().concat();
    read("large.xls", xls(&records), "15,999 rows");
}

#[test]
fn a_sheet_that_claims_two_to_the_thirty_first_rows_is_refused() {
    let mut dimensions = [0_u8; 14];
    dimensions[4..8].copy_from_slice(&(1_u32 << 31).to_le_bytes());
    dimensions[10..12].copy_from_slice(&200_u16.to_le_bytes());
    let records = [record(0x0200, &dimensions), label(0, 0, "outlet_id"), number(1, 0)].concat();
    refused("claim.xls", xls(&records), &TOO_LARGE);
    let table = |out: &mut dyn Write| {
        write!(out, r#"<table:table table:name="A"><table:table-row table:number-rows-repeated="2147483648"><table:table-cell office:value-type="string" table:number-columns-repeated="2147483648"><text:p>outlet_id</text:p></table:table-cell></table:table-row></table:table>"#).unwrap();
    };
    refused("claim.ods", ods(&mut { table }), &TOO_LARGE);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "takes minutes without optimisation: cargo test --release")]
fn a_row_of_16384_columns_and_more() {
    let header: Vec<String> = (0..16_384).map(|column| format!("column {column}")).collect();
    let cells = vec!["x"; 16_384].join(",");
    let text =
        format!("outlet_id,device,{}\n{}", header.join(","), format!("{cells}\n").repeat(200));
    let place = Place::new().with("wide.csv", &text);
    audited(&place, "wide.csv").within_limits("16,386 columns");
    let text = format!("outlet_id,device{}\n", ",x".repeat(2_000_000));
    refused("wider.csv", text, &["columns"]);
    let row = |out: &mut dyn Write| {
        write!(out, r#"<row r="1">"#).unwrap();
        repeat(out, r#"<c t="inlineStr"><is><t>room box</t></is></c>"#, 16_384);
        write!(out, "</row>").unwrap();
        for row in 2..100 {
            write!(out, r#"<row r="{row}">"#).unwrap();
            repeat(out, r"<c><v>1</v></c>", 16_384);
            write!(out, "</row>").unwrap();
        }
    };
    let place = Place::new().with("wide.xlsx", xlsx(&mut { row }, &mut none));
    audited(&place, "wide.xlsx").within_limits("16,384 columns");
}

/// A few bytes in a cell show a text of 32,767 characters: as a name, and as what cannot be read.
#[test]
#[cfg_attr(debug_assertions, ignore = "takes minutes without optimisation: cargo test --release")]
fn cells_of_32767_characters_are_not_held_over_and_over() {
    let texts = |out: &mut dyn Write| {
        write!(out, "<si><t>").unwrap();
        repeat(out, "x", 32_767);
        write!(out, "</t></si>").unwrap();
    };
    let rows = |columns: [&'static str; 2], count: usize| {
        move |out: &mut dyn Write| {
            write!(out, "{HEADER}").unwrap();
            for row in 2..count {
                write!(out, r#"<row r="{row}">{}"#, shared(columns[0], row, 0)).unwrap();
                write!(out, r#"<c r="B{row}" t="inlineStr"><is><t>receptacle</t></is></c>"#)
                    .unwrap();
                write!(out, "{}</row>", shared(columns[1], row, 0)).unwrap();
            }
        }
    };
    let place = Place::new().with("long.xlsx", xlsx(&mut rows(["A", "C"], 20_000), &mut { texts }));
    audited(&place, "long.xlsx").within_limits("long.xlsx");
    let wide = |out: &mut dyn Write| {
        for row in 1..3000 {
            write!(out, r#"<row r="{row}">"#).unwrap();
            repeat(out, r#"<c t="s"><v>0</v></c>"#, 1900);
            write!(out, "</row>").unwrap();
        }
    };
    let place = Place::new().with("rows.xlsx", xlsx(&mut { wide }, &mut { texts }));
    audited(&place, "rows.xlsx").within_limits("rows.xlsx");
    let cell = "x".repeat(40_000);
    let rows = format!("{cell},receptacle,{cell}\n").repeat(300);
    let place = Place::new().with("long.csv", format!("outlet_id,device,box_set_back\n{rows}"));
    audited(&place, "long.csv").within_limits("long.csv");
}

#[test]
fn records_of_megabytes_are_not_held_by_the_hundred() {
    let record = format!("{},{}\n", "a".repeat(2_000_000), "b".repeat(2_000_000));
    let place = Place::new().with("records.csv", record.repeat(150));
    audited(&place, "records.csv").within_limits("records.csv");
}

#[test]
#[cfg_attr(debug_assertions, ignore = "takes minutes without optimisation: cargo test --release")]
fn sheets_that_show_one_part_over_and_over_are_refused() {
    let rows = |out: &mut dyn Write| repeat(out, "<row/>", 5_000_000);
    refused("same.xlsx", xlsx_of_sheets(1000, &mut { rows }, &mut none), &["over and over"]);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "takes minutes without optimisation: cargo test --release")]
fn a_package_of_half_a_million_parts_is_refused() {
    let names: Vec<String> = (0..500_000).map(|number| format!("xl/{number}")).collect();
    let mut writers: Vec<_> = names.iter().map(|_| none).collect();
    let parts = names.iter().zip(&mut writers);
    let mut parts: Vec<crate::books::Part<'_>> =
        parts.map(|(name, none)| (name.as_str(), none as &mut dyn FnMut(&mut dyn Write))).collect();
    refused("parts.xlsx", package(&mut parts), &["parts.xlsx"]);
}

#[test]
fn a_single_line_without_end_is_refused() {
    let place = Place::new();
    let mut file = File::create(place.path("line.csv")).unwrap();
    // A gigabyte where the program is as fast as it is in use.
    let megabytes = if cfg!(debug_assertions) { 100 } else { 1024 };
    let block = "cell,cell ".repeat(100_000);
    (0..megabytes).for_each(|_| file.write_all(block.as_bytes()).unwrap());
    drop(file);
    audited(&place, "line.csv").refused("line.csv", &["line 1", "quotation mark"]);
    fs::remove_file(place.path("line.csv")).unwrap();
    // A file of a gigabyte in which nothing was written takes no space on the disk.
    let mut file = File::create(place.path("zeros.csv")).unwrap();
    file.write_all(b"outlet_id,device\n").unwrap();
    file.seek(SeekFrom::Start(megabytes * 1024 * 1024)).unwrap();
    file.write_all(b"\n").unwrap();
    audited(&place, "zeros.csv").refused("zeros.csv", &["zeros.csv"]);
}

#[test]
fn nul_bytes_and_bad_utf8_are_read() {
    let text =
        b"outlet_id,device,room\n1\0,receptacle,caf\xe9\n2,recept\0acle,\xff\xfe\xc3\x28\n\0,,\n";
    let place = Place::new().with("nul.csv", text);
    audited(&place, "nul.csv").within_limits("nul.csv");
    let mut noise = vec![0_u8; 3_000_000];
    let mut state = 3;
    for byte in &mut noise {
        *byte = u8::try_from(crate::faults::chance(&mut state, 256)).unwrap();
    }
    refused("noise.csv", &noise, &["binary data"]);
    noise[..4].copy_from_slice(b"PK\x03\x04");
    refused("noise.xlsx", &noise, &["damaged"]);
    noise[..8].copy_from_slice(&[0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1]);
    refused("noise.xls", &noise, &["damaged"]);
    let utf16: Vec<u8> =
        "outlet_id,device\n\u{d7ff}".encode_utf16().flat_map(u16::to_le_bytes).collect();
    let cut = [b"\xff\xfe", &utf16[..], b"\x00"].concat();
    let place = Place::new().with("cut.csv", cut);
    audited(&place, "cut.csv").within_limits("cut.csv");
}

/// The reader of such tables has threads of its own: none of ours must wait for itself behind them.
#[test]
fn long_tables_of_earlier_audits_are_read_by_any_number_of_threads() {
    const ROWS: usize = 60_000;
    let place = Place::new();
    let names = ["A", "B", "C"];
    for building in names {
        let row = |row| format!("{building}-{row},{building},yes\n");
        let rows: String = (0..ROWS).map(row).collect();
        let table = format!("outlet_id,building,faceplate\n{rows}");
        fs::write(place.path(&format!("{building}.csv")), table).unwrap();
        let ran =
            place.start("", &format!("audit {building}.csv --no-workbook --parquet {building}"));
        assert_eq!(ran.ends().code, Some(0));
    }
    let tables = names.map(|building| format!("{building}/outlets.parquet"));
    for inputs in [&tables[..1], &tables[..]] {
        for threads in [1, 2, 8] {
            let inputs = inputs.join(" ");
            let ran = place.start("", &format!("audit {inputs} --no-workbook --threads {threads}"));
            assert_eq!(ran.ends().code, Some(0), "{inputs} {threads}");
        }
    }
}

#[test]
fn what_is_no_file_is_refused_and_waits_for_nothing() {
    let place = Place::new();
    let fifo = Command::new("mkfifo").arg(place.path("pipe.csv")).status();
    assert!(fifo.unwrap().success());
    audited(&place, "pipe.csv").refused("a pipe", &["pipe.csv", "neither a regular file"]);
    for option in ["--mapping", "--amendments", "--editions"] {
        fs::write(place.path("a.csv"), "outlet_id,device\n1,receptacle\n").unwrap();
        let ran = place.run(&format!("audit a.csv --no-workbook {option} pipe.csv"));
        ran.refused(option, &["pipe.csv"]);
        let ran = place.run(&format!("audit a.csv --no-workbook {option} /dev/zero"));
        ran.refused(option, &["/dev/zero"]);
    }
    place.run("audit a.csv --no-workbook --findings pipe.csv").refused("an output", &["pipe.csv"]);
    place.run("draft pipe.csv").refused("draft", &["pipe.csv"]);
    audited(&place, "/dev/zero").refused("a device", &["neither a regular file"]);

    let place = Place::new();
    fs::create_dir(place.path("x.xlsx")).unwrap();
    audited(&place, "x.xlsx").refused("a folder", &["nothing to read"]);
    symlink("loop.csv", place.path("loop.csv")).unwrap();
    audited(&place, "loop.csv").refused("a loop", &["loop.csv", "could not be read"]);
    symlink(".", place.path("x.xlsx/again")).unwrap();
    fs::write(place.path("x.xlsx/a.csv"), "outlet_id,device\n1,receptacle\n").unwrap();
    let ran = audited(&place, "x.xlsx").within_limits("a folder within itself");
    assert!(ran.stdout.contains("a link back to a folder around it"), "{ran:?}");
}

#[test]
fn a_file_without_permission_is_refused() {
    let place = Place::new().with("closed.csv", "outlet_id,device\n1,receptacle\n");
    fs::set_permissions(place.path("closed.csv"), fs::Permissions::from_mode(0o000)).unwrap();
    if File::open(place.path("closed.csv")).is_ok() {
        println!("whoever runs this test may read every file: nothing was checked");
        return;
    }
    audited(&place, "closed.csv").refused("closed.csv", &["no permission"]);
}

#[test]
fn empty_and_cut_files_are_refused() {
    refused("empty.csv", "", &["empty"]);
    refused("empty.xlsx", "", &["empty"]);
    let rows = |out: &mut dyn Write| write!(out, "{HEADER}").unwrap();
    let whole = xlsx(&mut { rows }, &mut none);
    for length in [4, 30, whole.len() / 2, whole.len() - 1] {
        refused("cut.xlsx", &whole[..length], &["damaged"]);
    }
}
