//! Damaged copies of whole files of every format, each read in a process of its own: no panic, no crash, no
//! hang, no more memory than is granted.
//!
//! A short round with a fixed seed runs in `cargo test`. A long one:
//! `YOKECHECK_ROUNDS=5000 YOKECHECK_SEED=7 cargo test --release --test hostile damage`. A file on which the
//! program fails is kept in the folder that the failure names: mend the program, then keep the file, or what
//! makes it, as a case of a test.

use std::fs;
use std::io::{Cursor, Read as _, Write as _};
use std::path::Path;

use zip::write::SimpleFileOptions;
use zip::{ZipArchive, ZipWriter};

use crate::books::{label, number, package, record, xls};
use crate::faults::chance;
use crate::{Place, rounds, samples};

fn seed() -> u64 {
    let asked = std::env::var("YOKECHECK_SEED").ok();
    asked.map_or(1, |seed| seed.parse().expect("YOKECHECK_SEED is a number"))
}

/// A place below a bound; 0 where there is none.
fn place(state: &mut u64, below: usize) -> usize {
    usize::try_from(chance(state, below.max(1) as u64)).unwrap()
}

/// Bytes that mean something in one of the formats: ends, counts, quotation marks, marks of encodings.
const TELLING: [&[u8]; 16] = [
    b"\0",
    b"\xff",
    b"\xff\xff\xff\xff",
    b"\0\0\0\0",
    b"\xff\xff\xff\x7f",
    b"\x80",
    b"\"",
    b"'",
    b"\n",
    b"\r",
    b"999999999999",
    b"-1",
    b"\xef\xbb\xbf",
    b"\xff\xfe",
    b"<",
    b"&#0;",
];

/// Damages bytes in a few places, behind so many that stay.
fn damaged(bytes: &[u8], keep: usize, state: &mut u64) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    for _ in 0..=place(state, 6) {
        if bytes.len() <= keep {
            break;
        }
        let at = keep + place(state, bytes.len() - keep);
        let length = (1 + place(state, 40)).min(bytes.len() - at);
        match place(state, 7) {
            0 => bytes[at] ^= 1 << place(state, 8),
            1 => bytes[at] = u8::try_from(chance(state, 256)).unwrap(),
            2 => {
                let telling = TELLING[place(state, TELLING.len())];
                let end = (at + telling.len()).min(bytes.len());
                bytes.splice(at..end, telling.iter().copied());
            }
            3 => {
                let telling = TELLING[place(state, TELLING.len())];
                bytes.splice(at..at, telling.iter().copied());
            }
            4 => drop(bytes.drain(at..at + length)),
            5 => {
                let piece = bytes[at..at + length].to_vec();
                let times = 1 << place(state, 10);
                bytes.splice(at..at, piece.repeat(times));
            }
            _ => {
                let digits = bytes[at..].iter_mut().filter(|byte| byte.is_ascii_digit());
                digits.take(1 + length / 4).for_each(|digit| *digit = b'9');
            }
        }
    }
    bytes
}

/// Damages parts of a package, whose check sums are right again; sometimes the package itself.
fn damaged_package(whole: &[u8], state: &mut u64) -> Vec<u8> {
    if place(state, 8) == 0 {
        return damaged(whole, 4, state);
    }
    let mut old = ZipArchive::new(Cursor::new(whole)).unwrap();
    let mut new = ZipWriter::new(Cursor::new(Vec::new()));
    let chosen = place(state, old.len());
    for index in 0..old.len() {
        let mut bytes = Vec::new();
        let mut part = old.by_index(index).unwrap();
        part.read_to_end(&mut bytes).unwrap();
        let name = part.name().unwrap().into_owned();
        if index == chosen && place(state, 20) == 0 {
            continue;
        }
        if index == chosen || place(state, 6) == 0 {
            bytes = damaged(&bytes, 0, state);
        }
        new.start_file(name, SimpleFileOptions::default()).unwrap();
        new.write_all(&bytes).unwrap();
    }
    new.finish().unwrap().into_inner()
}

/// Reads damaged copies of a file.
fn survives(name: &str, whole: &[u8], usual: u64, damage: impl Fn(&[u8], &mut u64) -> Vec<u8>) {
    let kept = Path::new(env!("CARGO_TARGET_TMPDIR")).join("found");
    for round in 0..rounds(usual) {
        let mut state = seed().wrapping_mul(1_000_003).wrapping_add(round);
        let bytes = damage(whole, &mut state);
        let place = Place::new().with(name, &bytes);
        let outputs = if round % 4 == 0 { "--out o.xlsx --html o.html" } else { "--no-workbook" };
        let ran = place.run(&format!("audit {name} {outputs} --findings f.csv"));
        if !ran.is_within_limits() {
            fs::create_dir_all(&kept).unwrap();
            let kept = kept.join(format!("{}-{round}-{name}", seed()));
            fs::write(&kept, &bytes).unwrap();
            panic!("{}: {ran:?}", kept.display());
        }
    }
}

fn sample(ending: &str) -> Vec<u8> {
    let files = samples();
    // The smallest: a round is about what is written, not about how much.
    let of_kind = files.iter().filter(|file| file.extension().is_some_and(|e| e == ending));
    let smallest = of_kind.min_by_key(|file| fs::metadata(file).unwrap().len()).unwrap();
    fs::read(smallest).unwrap()
}

#[test]
fn damaged_csv_is_survived() {
    let text = sample("csv");
    let text = String::from_utf8_lossy(&text);
    let lines: Vec<&str> = text.lines().take(60).collect();
    let text = lines.join("\r\n");
    survives("a.csv", text.as_bytes(), 12, |bytes, state| damaged(bytes, 0, state));
    let utf16: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    survives("b.csv", &utf16, 6, |bytes, state| damaged(bytes, 0, state));
}

#[test]
fn damaged_xlsx_is_survived() {
    survives("a.xlsx", &sample("xlsx"), 12, damaged_package);
}

#[test]
fn damaged_ods_is_survived() {
    survives("a.ods", &sample("ods"), 12, damaged_package);
}

#[test]
fn damaged_xls_is_survived() {
    let columns = ["outlet_id", "device", "box_set_back", "room"];
    let mut records: Vec<u8> =
        (0..).zip(columns).flat_map(|(column, name)| label(0, column, name)).collect();
    for row in 1..40 {
        records.extend(label(row, 0, &format!("A-{row}")));
        records.extend(label(row, 1, "receptacle"));
        records.extend(number(row, 2));
        // A formula: row, column, format, its number, flags, and a reference to a cell.
        let head = [row, 3, 0].map(u16::to_le_bytes).concat();
        let tokens = [5, 0, 0x24, 0, 0, 0, 0xC0];
        let formula = [head, 7.0_f64.to_le_bytes().to_vec(), vec![0; 6], tokens.to_vec()].concat();
        records.extend(record(0x0006, &formula));
    }
    records.extend(record(0x00E5, &[1_u16, 3, 5, 0, 0].map(u16::to_le_bytes).concat()));
    let book = xls(&records);
    let whole = Place::new().with("a.xls", &book);
    let ran = whole.run("audit a.xls --no-workbook");
    assert!(ran.stdout.contains("39 rows"), "the sound book is read: {ran:?}");
    // The first bytes stay, so that it is still taken for what it was; and the header, half of the time.
    survives("a.xls", &book, 12, |bytes, state| {
        let keep = if place(state, 2) == 0 { 8 } else { 512 };
        damaged(bytes, keep, state)
    });
}

/// A record of the binary format from 2007 on (\[MS-XLSB\]): its kind and its length in seven bits a byte.
fn binary(kind: u16, content: &[u8]) -> Vec<u8> {
    let seven = |mut rest: usize| {
        let mut bytes = Vec::new();
        loop {
            let byte = u8::try_from(rest & 0x7F).unwrap();
            rest >>= 7;
            bytes.push(if rest > 0 { byte | 0x80 } else { byte });
            if rest == 0 {
                return bytes;
            }
        }
    };
    let kind = if kind < 0x80 { vec![kind.to_le_bytes()[0]] } else { kind.to_le_bytes().to_vec() };
    [kind, seven(content.len()), content.to_vec()].concat()
}

fn wide(text: &str) -> Vec<u8> {
    let units: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    [u32::try_from(units.len() / 2).unwrap().to_le_bytes().to_vec(), units].concat()
}

fn words(words: &[u32]) -> Vec<u8> {
    words.iter().flat_map(|word| word.to_le_bytes()).collect()
}

/// A binary workbook with shared texts, and rows of shared texts, texts and numbers.
fn xlsb() -> Vec<u8> {
    let text =
        |column: u32, text: &str| binary(0x0006, &[words(&[column, 0]), wide(text)].concat());
    let mut sheet = [
        binary(0x0181, &[]),
        binary(0x0194, &words(&[0, 39, 0, 3])),
        binary(0x0191, &[]),
        binary(0x0000, &words(&[0, 0])),
    ]
    .concat();
    for (column, name) in (0..).zip(["outlet_id", "device", "box_set_back", "room"]) {
        sheet.extend(text(column, name));
    }
    for row in 1..40 {
        sheet.extend(binary(0x0000, &words(&[row, 0])));
        sheet.extend(text(0, &format!("A-{row}")));
        sheet.extend(binary(0x0007, &words(&[1, 0, row % 2])));
        sheet.extend(binary(0x0005, &[words(&[2, 0]), 0.25_f64.to_le_bytes().to_vec()].concat()));
        sheet.extend(binary(0x0004, &[words(&[3, 0]), vec![1]].concat()));
    }
    sheet.extend([binary(0x0192, &[]), binary(0x0182, &[])].concat());
    let bundle = [words(&[0, 1]), wide("rId1"), wide("Devices")].concat();
    let book = [
        binary(0x0183, &[]),
        binary(0x018F, &[]),
        binary(0x019C, &bundle),
        binary(0x0190, &[]),
        binary(0x0184, &[]),
    ];
    let shared = |text: &str| binary(0x0013, &[vec![0], wide(text)].concat());
    let texts = [binary(0x019F, &words(&[40, 2])), shared("receptacle"), shared("switch")];
    let relation = r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.bin"/></Relationships>"#;
    let (book, texts) = (book.concat(), texts.concat());
    package(&mut [
        ("xl/workbook.bin", &mut |out| out.write_all(&book).unwrap()),
        ("xl/_rels/workbook.bin.rels", &mut |out| out.write_all(relation.as_bytes()).unwrap()),
        ("xl/sharedStrings.bin", &mut |out| out.write_all(&texts).unwrap()),
        ("xl/worksheets/sheet1.bin", &mut |out| out.write_all(&sheet).unwrap()),
    ])
}

#[test]
fn damaged_xlsb_is_survived() {
    let book = xlsb();
    let whole = Place::new().with("a.xlsb", &book);
    let ran = whole.run("audit a.xlsb --no-workbook");
    assert!(ran.stdout.contains("39 rows"), "the sound book is read: {ran:?}");
    survives("a.xlsb", &book, 12, damaged_package);
}
