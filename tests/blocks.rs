//! Long tables are read in blocks by all threads: what comes of them is what one thread reads.
//!
//! All schedules here are invented, and made anew from a seed. `YOKECHECK_ROUNDS=1000` tries as many more.
#![expect(clippy::disallowed_methods, reason = "tests make the files that they read")]
#![expect(clippy::unwrap_used, reason = "a test that cannot make its files has failed")]

use std::fmt::Write as _;

use yokecheck::mapping::Loaded;
use yokecheck::outlet::facts;

#[path = "support/files.rs"]
mod files;

use files::{Files, texts};

const ROWS: u32 = 6000;

const HEADER: &str =
    "ID,Bldg,Level,Room,Kind,Type,Volts,Height,Set-back,Plate,Note,Panel,Circuit,Qty";

const MAPPING: &str = r#"
name = "Invented"

[recognise]
headers = ["ID", "Set-back", "Plate", "Kind"]
at_least = 4

[table]
skip = ["void", "spare"]
stop_at = ["end of list", "finis"]

[columns]
"ID" = "outlet_id"
"Bldg" = { field = "building", fill_down = true }
"Level" = "floor"
"Room" = "room"
"Kind" = "device"
"Type" = "configuration"
"Volts" = "volts"
"Height" = { field = "height", unit = "in" }
"Set-back" = { field = "box_set_back", unit = "mm", resolution = "1 mm" }
"Plate" = "faceplate"
"Note" = { ignore = true }
"Panel" = "panel"
"Circuit" = "circuit"
"Qty" = "quantity"

[words.device]
"socket" = "receptacle"
"tumbler" = "switch"
"stopcock" = "receptacle"

[words.faceplate]
"fitted" = "yes"
"gone" = "no"
"#;

/// How often something odd stands in a table: once in so many rows.
#[derive(Clone, Copy, Debug)]
struct Odd {
    cells: u32,
    rows: u32,
    /// The row from which on words stand that the mapping knows and no row before has.
    late: u32,
    end: Option<u32>,
    /// A row from which on every 512th repeats the one above: for some it begins a block.
    repeats: Option<u32>,
}

fn table(seed: u64, odd: Odd) -> String {
    let mut random = fastrand::Rng::with_seed(seed);
    let mut text = format!("{HEADER}\n");
    for row in 0..ROWS {
        if odd.end == Some(row) {
            text.push_str("End of list\nE-9,,,,stopcock\n");
        }
        if random.u32(..odd.rows) == 0 {
            let rows = [
                "",
                ",,,,,,,,,,,,,",
                "Total,,,,,,,,,,,,,52",
                "Notes: all by others",
                "VOID,,,,,,,,,,,,,",
                HEADER,
                "Tower,,,,,,,,,,,,,",
                "Second list",
                "ID,Room,Kind,Plate,Set-back",
                ",T,,,smoke detector,,,,,,,,,",
                "E-1,,,,,,,,,,,,,",
            ];
            text.push_str(rows[random.usize(..rows.len())]);
            text.push('\n');
        }
        let repeats = odd.repeats.is_some_and(|from| row >= from && (row - from) % 512 == 0);
        let mut pick = |usual: &[&str], odd_ones: &[&str]| -> String {
            let all = match random.u32(..odd.cells) {
                _ if repeats => &["do.", ""],
                0 => odd_ones,
                _ => usual,
            };
            all[random.usize(..all.len())].to_owned()
        };
        let late: &[&str] =
            if row < odd.late { &["fitted", "fitted", ""] } else { &["gone", "fitted"] };
        let cells = [
            format!("E-{}", row / 2 * 2),
            pick(&["North", "South"], &["", "do.", "none"]),
            format!("Level {}", row / 500),
            format!("{}", 100 + row / 8),
            pick(&["receptacle", "socket", "tumbler"], &["smoke detector", "\"\"\"\"", "pilaster"]),
            pick(&["5-20R", "5-15R", ""], &["ditto", "5-99R"]),
            pick(&["120", "208"], &["120 V", "?", "abc"]),
            pick(&["18", "16 in", "48"], &["18-24", "n/a", "do."]),
            pick(&["0", "3", "6,5 mm", "1/8 in"], &["flush", "3 to 4"]),
            pick(late, &["perhaps", "do."]),
            pick(&["", "seen"], &["\"two\nlines\""]),
            format!("P{}", row / 1000),
            format!("{}", row % 42),
            pick(&["", "1"], &["2", "many"]),
        ];
        let _ = writeln!(text, "{}", cells.join(","));
    }
    text
}

/// The rows of a text file as a sheet.
fn in_workbook(files: Files, table: &str) -> Files {
    let csv =
        csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(table.as_bytes());
    let rows: Vec<csv::StringRecord> = csv.into_records().map(Result::unwrap).collect();
    files.workbook("list.xlsx", |book| {
        let sheet = book.add_worksheet();
        for (row, cells) in (0..).zip(&rows) {
            for (column, text) in (0..).zip(cells).filter(|(_, text)| !text.is_empty()) {
                sheet.write_string(row, column, text).unwrap();
            }
        }
    })
}

/// All that a reading says, with the handles of its texts.
fn said(files: &Files, threads: usize) -> String {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
    let Loaded { outlets, texts, account, resolutions } = pool.install(|| files.load());
    let origins: Vec<_> = outlets.iter().map(|outlet| outlet.origin).collect();
    format!("{account:#?}\n{resolutions:?}\n{origins:?}\n{outlets:?}\n{texts:?}")
}

#[test]
fn many_threads_read_what_one_reads() {
    let rounds: u64 = std::env::var("YOKECHECK_ROUNDS").map_or(0, |rounds| rounds.parse().unwrap());
    let never = u32::MAX;
    let odd = |cells, rows, late, end| Odd { cells, rows, late, end, repeats: None };
    let mut tables = vec![
        odd(never, never, never, None),
        odd(never, never, 4000, None),
        odd(5000, never, 3000, None),
        odd(300, never, 3000, None),
        odd(20, never, 3000, None),
        odd(5000, 3000, 3000, None),
        odd(2000, 200, 3000, None),
        odd(500, 30, 3000, None),
        odd(never, never, 4000, Some(3900)),
        odd(2000, never, 3100, Some(3000)),
    ];
    let repeating = |from| Odd { repeats: Some(from), ..odd(never, never, never, None) };
    tables.extend((1020..1030).map(repeating));
    for seed in 0..2 * tables.len() as u64 + rounds {
        let odd = tables[usize::try_from(seed).unwrap() % tables.len()];
        let table = table(seed, odd);
        // Each table as a text file and as a workbook, which leaves rows without cells out.
        let as_text = seed < tables.len() as u64;
        let files = Files::new().mapping(MAPPING);
        let files =
            if as_text { files.with("list.csv", &table) } else { in_workbook(files, &table) };
        let one = said(&files, 1);
        assert!(texts(&files.load(), facts::OUTLET_ID).len() > 2500, "seed {seed}");
        for threads in [2, 8] {
            let many = said(&files, threads);
            if one != many {
                let lines = one.lines().zip(many.lines());
                let (one, many) = lines.into_iter().find(|(one, many)| one != many).unwrap();
                panic!("seed {seed}, {odd:?}, {threads} threads:\n{one}\n{many}");
            }
        }
    }
}
