//! Workbooks that no spreadsheet program writes: packages of parts, and the older binary format.

use std::io::{Cursor, Write};

use zip::ZipWriter;
use zip::write::SimpleFileOptions;

type Package = ZipWriter<Cursor<Vec<u8>>>;

/// A part of a package, and what writes it.
pub(crate) type Part<'a> = (&'a str, &'a mut dyn FnMut(&mut dyn Write));

/// A zip package of parts.
pub(crate) fn package(parts: &mut [Part<'_>]) -> Vec<u8> {
    let mut package: Package = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, write) in parts {
        package.start_file(*name, SimpleFileOptions::default()).unwrap();
        write(&mut package);
    }
    package.finish().unwrap().into_inner()
}

/// Writes a text so many times.
pub(crate) fn repeat(out: &mut dyn Write, text: &str, times: usize) {
    let at_once = (1 << 20) / text.len() + 1;
    let block = text.repeat(at_once.min(times));
    for _ in 0..times / at_once {
        out.write_all(block.as_bytes()).unwrap();
    }
    out.write_all(text.repeat(times % at_once).as_bytes()).unwrap();
}

const SPREADSHEET: &str = r#"xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships""#;

/// An Office Open XML workbook: what stands in its sheet's `sheetData` and between the tags of its shared
/// texts.
pub(crate) fn xlsx(
    rows: &mut dyn FnMut(&mut dyn Write),
    texts: &mut dyn FnMut(&mut dyn Write),
) -> Vec<u8> {
    xlsx_of_sheets(1, rows, texts)
}

/// The same with so many sheets, which all show one part.
pub(crate) fn xlsx_of_sheets(
    sheets: usize,
    rows: &mut dyn FnMut(&mut dyn Write),
    texts: &mut dyn FnMut(&mut dyn Write),
) -> Vec<u8> {
    let sheet =
        |number| format!(r#"<sheet name="Devices {number}" sheetId="{number}" r:id="rId1"/>"#);
    let sheets: String = (1..=sheets).map(sheet).collect();
    let kind = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    package(&mut [
        ("[Content_Types].xml", &mut |out| {
            write!(
                out,
                r#"<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>"#
            )
            .unwrap();
        }),
        ("_rels/.rels", &mut |out| {
            write!(out, r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="{kind}/officeDocument" Target="xl/workbook.xml"/></Relationships>"#).unwrap();
        }),
        ("xl/workbook.xml", &mut |out| {
            write!(out, "<workbook {SPREADSHEET}><sheets>{sheets}</sheets></workbook>").unwrap();
        }),
        ("xl/_rels/workbook.xml.rels", &mut |out| {
            write!(out, r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="{kind}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="{kind}/sharedStrings" Target="sharedStrings.xml"/></Relationships>"#).unwrap();
        }),
        ("xl/sharedStrings.xml", &mut |out| {
            write!(out, "<sst {SPREADSHEET}>").unwrap();
            texts(out);
            write!(out, "</sst>").unwrap();
        }),
        ("xl/worksheets/sheet1.xml", &mut |out| {
            write!(out, "<worksheet {SPREADSHEET}><sheetData>").unwrap();
            rows(out);
            write!(out, "</sheetData></worksheet>").unwrap();
        }),
    ])
}

/// An `OpenDocument` spreadsheet with these tables.
pub(crate) fn ods(tables: &mut dyn FnMut(&mut dyn Write)) -> Vec<u8> {
    package(&mut [
        ("mimetype", &mut |out| {
            write!(out, "application/vnd.oasis.opendocument.spreadsheet").unwrap();
        }),
        ("META-INF/manifest.xml", &mut |out| write!(out, "<manifest:manifest/>").unwrap()),
        ("content.xml", &mut |out| {
            write!(
                out,
                r#"<?xml version="1.0"?><office:document-content><office:body><office:spreadsheet>"#
            )
            .unwrap();
            tables(out);
            write!(out, "</office:spreadsheet></office:body></office:document-content>").unwrap();
        }),
    ])
}

/// A record of the binary format before 2007 (\[MS-XLS\]): its kind, its length, its content.
pub(crate) fn record(kind: u16, content: &[u8]) -> Vec<u8> {
    let length = u16::try_from(content.len()).unwrap();
    [&kind.to_le_bytes(), &length.to_le_bytes(), content].concat()
}

/// A cell with a number.
pub(crate) fn number(row: u16, column: u16) -> Vec<u8> {
    let place = [row, column, 0].map(u16::to_le_bytes).concat();
    record(0x0203, &[place, 1.5_f64.to_le_bytes().to_vec()].concat())
}

/// A cell with a text.
pub(crate) fn label(row: u16, column: u16, text: &str) -> Vec<u8> {
    let head = [row, column, 0, u16::try_from(text.len()).unwrap()].map(u16::to_le_bytes).concat();
    record(0x0204, &[head, vec![0], text.as_bytes().to_vec()].concat())
}

/// A workbook of the binary format before 2007 with one sheet of these records.
pub(crate) fn xls(records: &[u8]) -> Vec<u8> {
    let begin = |kind: u16| {
        record(0x0809, &[0x0600, kind, 0, 0, 0, 0, 0, 0].map(u16::to_le_bytes).concat())
    };
    let globals = |at: u32| {
        let sheet = [&at.to_le_bytes()[..], &[0, 0, 7, 0], b"Devices"].concat();
        [begin(0x0005), record(0x0085, &sheet), record(0x000A, &[])].concat()
    };
    let start = u32::try_from(globals(0).len()).unwrap();
    let sheet = [begin(0x0010), records.to_vec(), record(0x000A, &[])].concat();
    compound_file(&[globals(start), sheet].concat())
}

/// A compound file (\[MS-CFB\]) with the stream `Workbook`: the header, the stream, its allocation tables, the
/// directory.
fn compound_file(stream: &[u8]) -> Vec<u8> {
    const SECTOR: usize = 512;
    const END: u32 = 0xFFFF_FFFE;
    const TABLE: u32 = 0xFFFF_FFFD;
    let sectors = stream.len().max(4096).div_ceil(SECTOR);
    // Each sector of the table has the numbers of 128 sectors, its own and the directory among them.
    let tables = (sectors + 1).div_ceil(127).max(1);
    assert!(tables <= 109, "the header lists no more tables");
    let word = |number: usize| u32::try_from(number).unwrap();
    let mut header = vec![0xFF; SECTOR];
    header[..8].copy_from_slice(&[0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1]);
    header[8..76].fill(0);
    header[24..34].copy_from_slice(&[0x3E, 0, 3, 0, 0xFE, 0xFF, 9, 0, 6, 0]);
    let words =
        [(44, word(tables)), (48, word(sectors + tables)), (56, 4096), (60, END), (68, END)];
    for (at, number) in words {
        header[at..at + 4].copy_from_slice(&number.to_le_bytes());
    }
    for table in 0..tables {
        header[76 + 4 * table..80 + 4 * table]
            .copy_from_slice(&word(sectors + table).to_le_bytes());
    }
    let chain = (1..word(sectors)).chain([END]).chain(vec![TABLE; tables]).chain([END]);
    let mut table: Vec<u8> = chain.flat_map(u32::to_le_bytes).collect();
    table.resize(tables * SECTOR, 0xFF);
    let mut directory = entry("Root Entry", 5, END, 0);
    directory.extend(entry("Workbook", 2, 0, word(sectors * SECTOR)));
    directory.resize(SECTOR, 0);
    let mut content = stream.to_vec();
    content.resize(sectors * SECTOR, 0);
    [header, content, table, directory].concat()
}

fn entry(name: &str, kind: u8, start: u32, size: u32) -> Vec<u8> {
    let mut entry: Vec<u8> = name.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let length = u16::try_from(entry.len() + 2).unwrap();
    entry.resize(128, 0);
    entry[64..66].copy_from_slice(&length.to_le_bytes());
    entry[66] = kind;
    entry[67] = 1;
    entry[68..80].fill(0xFF);
    if kind == 5 {
        entry[76..80].copy_from_slice(&1_u32.to_le_bytes());
    }
    entry[116..120].copy_from_slice(&start.to_le_bytes());
    entry[120..124].copy_from_slice(&size.to_le_bytes());
    entry
}
