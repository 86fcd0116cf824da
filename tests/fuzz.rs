//! Whatever a cell, a mapping, an amendment, a table of editions or a text file holds: a value or an error,
//! soon, and never a panic.
//!
//! A short round with a fixed seed runs in `cargo test`. A long one:
//! `YOKECHECK_ROUNDS=200000 YOKECHECK_SEED=7 cargo test --release --test fuzz`. What fails is shrunk and printed: mend the
//! program and keep the text in the table of tests beside its reader. Whole files of other formats are damaged in
//! `tests/hostile/damage.rs`.
#![expect(clippy::disallowed_methods, reason = "tests make the files, and time is the point")]
#![expect(clippy::unwrap_used, reason = "a test that cannot make its files has failed")]

use std::path::Path;
use std::time::{Duration, Instant};

use proptest::prelude::*;
use proptest::sample::select;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use yokecheck::ingest::{self, Row, find};
use yokecheck::mapping::amendments::{self, AmendableRule};
use yokecheck::mapping::describe::{Phrases, describe};
use yokecheck::mapping::file::{self, MappingFile};
use yokecheck::mapping::read::{
    Column, Content, DateOrder, DecimalMark, Unit, WordMap, read, unit_in_header,
};
use yokecheck::mapping::{Glob, LoadOptions, draft, editions, kinds, load};
use yokecheck::outlet::{Configuration, Field, Texts, box_size::WrittenSize};
use yokecheck::rules::RULES;
use yokecheck::statistics::Weights;

/// The longest that any case may take: without optimisation several times the five seconds.
const LONGEST: Duration = Duration::from_secs(if cfg!(debug_assertions) { 20 } else { 5 });

fn number(name: &str, usual: u64) -> u64 {
    let asked = std::env::var(name).ok();
    asked.map_or(usual, |asked| asked.parse().expect("a number"))
}

/// Tries so many values of a strategy, from a seed, each within its time.
fn tries<S: Strategy>(usual: u32, values: &S, case: impl Fn(&S::Value)) {
    let cases = u32::try_from(number("YOKECHECK_ROUNDS", usual.into())).unwrap();
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    let mut seed = [0; 32];
    seed[..8].copy_from_slice(&number("YOKECHECK_SEED", 1).to_le_bytes());
    let random = TestRng::from_seed(RngAlgorithm::ChaCha, &seed);
    let outcome = TestRunner::new_with_rng(config, random).run(values, |value| {
        let begun = Instant::now();
        case(&value);
        prop_assert!(begun.elapsed() < LONGEST, "took {:?}", begun.elapsed());
        Ok(())
    });
    outcome.unwrap_or_else(|failed| panic!("{failed}"));
}

/// What cells of schedules are made of, and what readers trip over.
const PIECES: &[&str] = &[
    "1",
    "0",
    "9",
    "12",
    "999999999999999999999",
    "0.5",
    ".5",
    "5.",
    "1,5",
    "1.000,5",
    "1e9",
    "-",
    "\u{2212}",
    "+",
    "/",
    "\u{2044}",
    "1/2",
    "3/0",
    "\u{bd}",
    "\u{215f}",
    "\u{b9}\u{2044}\u{2088}",
    " ",
    "\u{a0}",
    "\t",
    "\n",
    "'",
    "\"",
    "\u{2032}",
    "\u{2033}",
    "''",
    "in",
    "in.",
    "inch",
    "ft",
    "feet",
    "mm",
    "cm",
    "m",
    "cu in",
    "cu. in.",
    "in3",
    "in\u{b3}",
    "cm3",
    "ml",
    "V",
    "kV",
    "VAC",
    "A",
    "amp",
    "AWG",
    "#12",
    "kcmil",
    "MCM",
    "mm2",
    "to",
    "x",
    "X",
    "\u{d7}",
    "AFF",
    "120/208",
    "480Y/277",
    "3\u{3c6}",
    "1ph",
    "5-20R",
    "L6-30R",
    "L",
    "2026-03-31",
    "31.3.26",
    "3/4/2026",
    "Mar",
    "yes",
    "no",
    "n/a",
    "TBD",
    "?",
    "none",
    "receptacle",
    "duplex",
    "GFCI",
    "WP",
    "TR",
    "quad",
    "switch",
    "(2)",
    "[",
    "]",
    "(",
    ")",
    "{",
    ";",
    "|",
    "&",
    "&amp;",
    "=",
    "@",
    "#REF!",
    "\u{feff}",
    "\u{200b}",
    "\0",
    "\u{7f}",
    "\r",
    "\u{130}",
    "\u{df}",
    "\u{fb01}",
    "e\u{301}",
    "\u{1f50c}",
    "\u{202e}",
    "\u{e000}",
    "\u{10ffff}",
    "\u{661}",
    "\u{ff11}",
    "\u{2160}",
];

/// Any text: of these pieces, of any characters, or of one piece thousands of times.
fn texts() -> impl Strategy<Value = String> {
    prop_oneof![
        6 => prop::collection::vec(select(PIECES), 0..12).prop_map(|pieces| pieces.concat()),
        2 => any::<String>(),
        1 => (select(PIECES), 1_usize..3000, select(PIECES))
            .prop_map(|(piece, times, end)| piece.repeat(times) + end),
    ]
}

/// One way of damaging a text: where, in thousandths, how much, and what is put there.
type Cut = (usize, usize, String);

/// One of these texts with pieces cut out, put in and repeated.
fn damaged(whole: Vec<String>) -> impl Strategy<Value = String> {
    let cut = (0_usize..1000, 0_usize..30, texts());
    (select(whole), prop::collection::vec(cut, 1..5)).prop_map(|(mut text, cuts)| {
        for cut in cuts {
            damage(&mut text, cut);
        }
        text
    })
}

fn damage(text: &mut String, (place, length, piece): Cut) {
    let boundary = |at: usize, text: &str| (at..=text.len()).find(|at| text.is_char_boundary(*at));
    let start = boundary(text.len() * place / 1000, text).unwrap();
    let end = boundary((start + length).min(text.len()), text).unwrap();
    text.replace_range(start..end, &piece);
}

fn fields() -> impl Strategy<Value = Field> {
    (0..Field::ALL.len()).prop_map(|place| Field::ALL[place])
}

const UNITS: &[Unit] = &[Unit::Inch, Unit::Millimetre, Unit::CubicInch, Unit::Volt, Unit::Ampere];

#[test]
fn any_cell_has_a_reading() {
    let words = WordMap::new([("R", "receptacle"), ("n/a", "none"), ("\u{bd}", "1/2 in")]).unwrap();
    let values = (fields(), texts(), prop::option::of(select(UNITS)), any::<[bool; 3]>());
    tries(2000, &values, |(field, text, unit, [comma, days, own])| {
        let column = Column {
            unit: *unit,
            decimal: Some(if *comma { DecimalMark::Comma } else { DecimalMark::Point }),
            dates: Some(if *days { DateOrder::DayFirst } else { DateOrder::MonthFirst }),
            words: own.then_some(&words),
            ..Column::of(*field)
        };
        for column in [column, Column::of(*field)] {
            let _ = read(Content::Text(text), &column, &mut Texts::default());
        }
    });
}

#[test]
fn any_words_are_told_apart() {
    tries(400, &texts(), |text| {
        let _ = unit_in_header(text);
        let _ = kinds::told(text);
        let _ = describe(text, &Phrases::default(), &mut Texts::default());
        let _ = WrittenSize::read(text);
        let _ = Configuration::read(text);
        let _ = text.parse::<Weights>();
        let _ = WordMap::new([(text.as_str(), "yes"), (text.as_str(), "no")]);
    });
    tries(500, &(texts(), texts()), |(pattern, name)| {
        let glob = Glob::new(pattern);
        let _ = (glob.matches(name), glob.capture(name));
    });
}

/// Texts of the files in a folder of the project that end so.
fn files(folder: &str, ending: &str) -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut paths: Vec<_> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let of_kind = paths.iter().filter(|path| path.extension().is_some_and(|e| e == ending));
    of_kind.map(|path| std::fs::read_to_string(path).unwrap()).collect()
}

/// Every error has a place that can be shown.
#[test]
fn any_mapping_is_read_or_all_its_errors_are_shown() {
    file::shipped().unwrap();
    let mut whole = files("mappings", "toml");
    whole.extend(files("tests/mapping", "toml"));
    tries(40, &prop_oneof![4 => damaged(whole), 1 => texts()], |text| {
        if let Err(errors) = MappingFile::parse("fuzzed.toml", text) {
            assert!(!errors.is_empty());
            assert!(errors.iter().take(50).all(|error| !error.render(true).is_empty()));
        }
    });
}

#[test]
fn any_amendments_are_read_or_all_their_errors_are_shown() {
    let limits =
        |rule: &yokecheck::rules::Rule| rule.amendable.iter().map(|one| one.name).collect();
    let rules: Vec<AmendableRule> =
        RULES.iter().map(|rule| AmendableRule { name: rule.name, limits: limits(rule) }).collect();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("amendments.toml");
    tries(100, &damaged(files("sample-data", "toml")), |text| {
        std::fs::write(&path, text).unwrap();
        if let Err(errors) = amendments::open(&path, &rules) {
            assert!(errors.iter().take(50).all(|error| !error.render(true).is_empty()));
        }
    });
}

#[test]
fn any_table_of_editions_is_read_or_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("editions.csv");
    let whole = "building,edition\nNorth,2020\n\"South, old\",NEC 2017\n,2014\nEast,\n".to_owned();
    tries(300, &damaged(vec![whole]), |text| {
        std::fs::write(&path, text).unwrap();
        if let Err(error) = editions::open(&path) {
            assert!(error.to_string().contains("editions.csv"), "{error}");
        }
    });
}

/// Bytes of any encoding, told, decoded and parted: rows, or one error.
#[test]
fn any_bytes_are_rows_or_one_error() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.csv");
    let encoded = (
        prop::collection::vec(texts(), 0..12),
        select(&[",", ";", "\t", "|", "\n", "\r\n", "\r"][..]),
        0..4,
    )
        .prop_map(|(cells, delimiter, encoding)| {
            let text = cells.join(delimiter);
            match encoding {
                0 => text.encode_utf16().flat_map(u16::to_le_bytes).collect(),
                1 => text.encode_utf16().flat_map(u16::to_be_bytes).collect(),
                2 => text.chars().map(|c| u8::try_from(c).unwrap_or(b'?')).collect(),
                _ => text.into_bytes(),
            }
        });
    let bytes = prop_oneof![3 => encoded, 1 => prop::collection::vec(any::<u8>(), 0..400)];
    tries(600, &bytes, |bytes| {
        std::fs::write(&path, bytes).unwrap();
        let found = find(std::slice::from_ref(&path));
        let Some(input) = found.inputs.first() else { return };
        let read = ingest::read(input, &mut |_, rows| {
            let (mut row, mut last) = (Row::default(), 0);
            while rows.next(&mut row)? {
                assert!(row.number > last, "rows come in their order");
                last = row.number;
            }
            Ok(())
        });
        if let Err(error) = read {
            assert_eq!(error.path(), path);
        }
    });
}

/// A schedule, a mapping drafted for it, and that mapping read again.
#[test]
fn any_schedule_gives_outlets_or_a_reason() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.csv");
    let first = |text: String| text.lines().take(25).collect::<Vec<_>>().join("\n");
    let schedules = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-data/schedules");
    let mut whole: Vec<String> = ["quennifold-house.csv", "tessorwold-hall.csv"]
        .map(|name| std::fs::read(schedules.join(name)).unwrap())
        .map(|bytes| first(String::from_utf8_lossy(&bytes).into_owned()))
        .into();
    let fields: Vec<&str> = Field::ALL.iter().map(|field| field.name()).collect();
    whole.push(format!("{}\n{}\n", fields.join(","), vec!["1/2 in"; fields.len()].join(",")));
    whole.push(
        "Mark;Room;Type;Description\n1;101;duplex;WP GFCI receptacle 20 A at 18\" AFF\n".to_owned(),
    );
    tries(20, &damaged(whole), |text| {
        std::fs::write(&path, text).unwrap();
        let found = find(std::slice::from_ref(&path));
        let loaded = load(&found, &LoadOptions { mappings: &[], progress: &|_| {} });
        let loaded = loaded.unwrap_or_else(|errors| panic!("{}", errors[0]));
        assert!(loaded.account.problems.len() <= 1, "{:?}", loaded.account.problems);
        if let Some(input) = found.inputs.first()
            && let Ok(drafted) = draft::draft(input)
            && !drafted.sheets.is_empty()
        {
            let again = MappingFile::parse("drafted.toml", &drafted.text);
            again.unwrap_or_else(|errors| panic!("{}\n{}", errors[0], drafted.text));
        }
    });
}
