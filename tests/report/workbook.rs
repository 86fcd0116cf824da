//! The workbook, read back cell by cell.

use std::io::Cursor;

use calamine::{Data, Range, Reader as _, Xlsx};
use yokecheck::outlet::words::YokeSeat;
use yokecheck::outlet::{Length, facts};
use yokecheck::report::workbook::{self, Limits};
use yokecheck::report::{Report, cautions};
use yokecheck::statistics::Statistics;

use super::example::{Schedule, account, context, schedule};

pub(crate) fn bytes_of(schedule: Schedule, limits: Limits) -> Vec<u8> {
    let audit = schedule.audit(false);
    let statistics = Statistics::of(&audit).unwrap();
    let report = Report {
        audit: &audit,
        account: &account(),
        statistics: &statistics,
        context: &context(),
        rulings: &yokecheck::rulings::Ruled::default(),
    };
    let mut out = Cursor::new(Vec::new());
    workbook::write(&report, limits, &mut out).unwrap();
    out.into_inner()
}

pub(crate) struct Book(pub(crate) Xlsx<Cursor<Vec<u8>>>);

impl Book {
    pub(crate) fn of(bytes: Vec<u8>) -> Self {
        Self(Xlsx::new(Cursor::new(bytes)).unwrap())
    }

    pub(crate) fn example() -> Self {
        Self::of(bytes_of(schedule(), Limits::default()))
    }

    pub(crate) fn sheet(&mut self, name: &str) -> Range<Data> {
        self.0.worksheet_range(name).unwrap()
    }
}

pub(crate) fn texts(row: &[Data]) -> Vec<String> {
    row.iter().map(ToString::to_string).collect()
}

pub(crate) fn says(cell: &Data, text: &str) -> bool {
    matches!(cell, Data::String(one) if one == text)
}

/// The row that begins with a text.
pub(crate) fn row_of<'a>(sheet: &'a Range<Data>, first: &str) -> &'a [Data] {
    let found = sheet.rows().find(|row| row.first().is_some_and(|cell| says(cell, first)));
    found.unwrap_or_else(|| panic!("no row begins with {first}"))
}

/// The cell under a header of the first row.
fn under<'a>(sheet: &'a Range<Data>, header: &str, row: usize) -> &'a Data {
    let headers = texts(sheet.rows().next().unwrap());
    let column = headers.iter().position(|one| one == header).unwrap();
    &sheet.rows().nth(row).unwrap()[column]
}

#[test]
fn the_sheets_stand_in_their_order() {
    let names = Book::example().0.sheet_names();
    let order = [
        "Summary",
        "Violations",
        "Measure again",
        "By floor",
        "By trade",
        "By defect type",
        "Heat table",
        "Physical hazard",
        "Charts",
        "Undetermined",
        "Facts to collect",
        "For the authority",
        "Rules",
        "Sources",
        "Corrections ELECTRICAL",
    ];
    assert_eq!(names, order);
}

#[test]
fn violations_stand_in_walking_order_with_texts_as_texts() {
    let sheet = Book::example().sheet("Violations");
    let headers = texts(sheet.rows().next().unwrap());
    assert_eq!(
        headers,
        [
            "Grade (ours)",
            "Building",
            "Floor",
            "Room",
            "Outlet or group",
            "Together with",
            "What is wrong",
            "Measured",
            "Allowed",
            "Borderline",
            "What to do",
            "Section",
            "Trade that corrects",
            "Devices",
            "Edition",
            "Installed by",
            "Rule",
            "Observed on",
            "Photo or note",
            "Source: file | sheet | row | cells",
        ]
    );
    let subjects: Vec<String> =
        sheet.rows().skip(1).map(|row| format!("{} {}", row[4], row[16])).collect();
    assert_eq!(subjects, ["=cmd exposed-terminals", "1E01 box-set-back", "S-BOX adjacent-voltage"]);
}

#[test]
fn numbers_dates_and_identifiers_keep_their_kind() {
    let mut book = Book::example();
    let sheet = book.sheet("Violations");
    assert_eq!(under(&sheet, "Outlet or group", 2), &Data::String("1E01".to_owned()));
    assert_eq!(under(&sheet, "Devices", 2), &Data::Float(2.0));
    assert_eq!(under(&sheet, "Grade (ours)", 2), &Data::String("latent".to_owned()));
    assert_eq!(under(&sheet, "Measured", 2).to_string(), "7 mm (0.2756 in)");
    assert_eq!(under(&sheet, "Allowed", 2).to_string(), "at most 6 mm (1/4 in)");
    assert_eq!(under(&sheet, "Section", 2).to_string(), "314.20 [c2]");
    assert_eq!(under(&sheet, "Trade that corrects", 2).to_string(), "Electrical");
    let Data::DateTime(day) = under(&sheet, "Observed on", 2) else { panic!("no date") };
    assert_eq!(day.to_ymd_hms_milli(), (2026, 3, 31, 0, 0, 0, 0));
    let source = under(&sheet, "Source: file | sheet | row | cells", 2).to_string();
    assert_eq!(source, "north/devices.xlsx | Level 3 | row 3 | F3");
    // A text that looks like a formula is a text, and no formula stands anywhere.
    assert_eq!(under(&sheet, "Outlet or group", 1), &Data::String("=cmd".to_owned()));
    for name in book.0.sheet_names() {
        assert!(book.0.worksheet_formula(&name).unwrap().is_empty(), "a formula on {name}");
    }
}

/// The line of an outlet on the sheet of measurements, from its outlet on.
fn to_measure(sheet: &Range<Data>, outlet: &str, rule: &str) -> Option<Vec<String>> {
    let found = sheet.rows().find(|row| says(&row[3], outlet) && says(&row[12], rule));
    found.map(|row| texts(&row[3..]))
}

/// Set-backs one step (1/32 in, 0.79375 mm) on either side of the 6.35 mm of 314.20.
#[test]
fn measurements_that_part_right_from_wrong_stand_with_their_limit_and_their_cell() {
    let mut schedule = Schedule::default();
    let depths = [("deep", 7_100), ("deeper", 7_200), ("close", 5_600), ("closer", 5_500)];
    for ((id, micrometres), row) in depths.into_iter().zip(2..) {
        let depth = Length::micrometres(micrometres);
        schedule.row(0, 0, row).at(id, "North", "1", "1").sound().fact(facts::BOX_SET_BACK, depth);
    }
    let sheet = Book::of(bytes_of(schedule, Limits::default())).sheet("Measure again");
    let limit = "at most 6 mm (1/4 in)";
    let care = "0.794 mm (0.0312 in)";
    let wrong = "the front edge of the box is too far behind the finished surface";
    let line = |outlet, recorded, stands, otherwise, cell| {
        let (section, rule) = ("314.20 [c2]", "box-set-back");
        Some(
            [
                outlet,
                "box_set_back",
                recorded,
                care,
                limit,
                stands,
                otherwise,
                wrong,
                section,
                rule,
                cell,
            ]
            .map(str::to_owned)
            .to_vec(),
        )
    };
    let source = "north/devices.xlsx | Level 3 | row 2 | F2";
    assert_eq!(
        to_measure(&sheet, "deep", "box-set-back"),
        line("deep", "7.1 mm (0.2795 in)", "violates", "complies", source)
    );
    let source = "north/devices.xlsx | Level 3 | row 4 | F4";
    assert_eq!(
        to_measure(&sheet, "close", "box-set-back"),
        line("close", "5.6 mm (0.2205 in)", "complies", "violates", source)
    );
    assert_eq!(to_measure(&sheet, "deeper", "box-set-back"), None);
    assert_eq!(to_measure(&sheet, "closer", "box-set-back"), None);
}

#[test]
fn a_rule_that_only_just_does_not_reach_is_measured_again_and_a_recorded_0_is_counted() {
    let mut schedule = Schedule::default();
    let projecting = Length::micrometres(-500);
    schedule
        .row(0, 0, 2)
        .at("proud", "North", "1", "1")
        .sound()
        .fact(facts::YOKE_SEAT, YokeSeat::Box)
        .fact(facts::BOX_SET_BACK, projecting);
    schedule
        .row(0, 0, 3)
        .at("flush", "North", "1", "1")
        .sound()
        .fact(facts::YOKE_SEAT, YokeSeat::Box);
    let sheet = Book::of(bytes_of(schedule, Limits::default())).sheet("Measure again");
    let line = to_measure(&sheet, "proud", "set-back-yoke").unwrap();
    assert_eq!(line[4..7], ["turns at 0 mm (0 in)", "not-applicable", "violates"]);
    assert_eq!(to_measure(&sheet, "flush", "set-back-yoke"), None);
    let count = row_of(&sheet, "set-back-yoke");
    assert_eq!(count[4..7], [2.0, 1.0, 1.0].map(Data::Float));
    // That flush-yoke would no more apply is no fault.
    assert_eq!(to_measure(&sheet, "proud", "flush-yoke"), None);
}

#[test]
fn evidence_names_the_cell_where_a_shared_fact_stands() {
    let mut schedule = Schedule::default();
    let depth = Length::micrometres(9000);
    for (source, row, recorded) in [(0, 2, false), (0, 3, true), (0, 4, true), (1, 5, false)] {
        let outlet = schedule
            .row(source, 0, row)
            .at(&format!("R{row}"), "North", "1", "1")
            .sound()
            .text(facts::ENCLOSURE_ID, "BOX");
        if recorded {
            outlet.fact(facts::BOX_SET_BACK, depth);
        } else {
            outlet.blank(facts::BOX_SET_BACK);
        }
    }
    let sheet = Book::of(bytes_of(schedule, Limits::default())).sheet("Violations");
    let sources: Vec<String> = (1..5)
        .map(|row| under(&sheet, "Source: file | sheet | row | cells", row).to_string())
        .collect();
    assert_eq!(
        sources,
        [
            "north/devices.xlsx | Level 3 | row 2 | F3",
            "north/devices.xlsx | Level 3 | row 3 | F3",
            "north/devices.xlsx | Level 3 | row 4 | F4",
            "south.csv | row 5 | [north/devices.xlsx]Level 3!F3",
        ]
    );
}

#[test]
fn marks_of_confidence_are_explained_wherever_sections_stand() {
    use yokecheck::code::Confidence;
    let bytes = bytes_of(schedule(), Limits::default());
    let mut book = Book::of(bytes);
    for name in ["Measure again", "For the authority"] {
        let sheet = book.sheet(name);
        let lines: Vec<String> = sheet.rows().map(|row| row[0].to_string()).collect();
        for mark in [Confidence::Two, Confidence::One, Confidence::Memory] {
            let mark = format!("[{}]", mark.mark());
            assert!(lines.iter().any(|line| line.contains(&mark)), "{mark} on {name}");
        }
    }
}

#[test]
fn the_summary_tells_the_share_decided_and_all_cautions() {
    let sheet = Book::example().sheet("Summary");
    assert_eq!(row_of(&sheet, "Outlets")[1], Data::Float(9.0));
    assert_eq!(row_of(&sheet, "Violations")[1], Data::Float(3.0));
    let Data::Float(share) = row_of(&sheet, "Share of verdicts decided")[1] else {
        panic!("no share")
    };
    assert!(share > 0.9 && share < 1.0, "{share}");
    assert_eq!(row_of(&sheet, "other")[1], Data::Float(1.0));
    assert!(row_of(&sheet, "other")[2].to_string().contains("no pass"));
    for caution in cautions::ALL {
        row_of(&sheet, caution);
    }
}

#[test]
fn figures_by_floor_are_numbers_and_small_groups_have_no_share() {
    let sheet = Book::example().sheet("By floor");
    let south = row_of(&sheet, "South");
    assert_eq!(south[1], Data::String("1".to_owned()));
    assert_eq!(south[2..4], [Data::Float(2.0), Data::Float(1.0)]);
    assert_eq!(south[4], Data::String("too few".to_owned()));
    assert_eq!(row_of(&sheet, "(none recorded)")[2], Data::Float(1.0));
}

#[test]
fn facts_without_a_column_are_told_once_and_the_rest_outlet_by_outlet() {
    let mut book = Book::example();
    let sheet = book.sheet("Undetermined");
    let listed_for = row_of(&sheet, "listed_for");
    assert_eq!(listed_for[1], Data::Float(1.0));
    assert_eq!(listed_for[5].to_string(), "countertop-listing (1)");
    row_of(
        &sheet,
        "1 outlet lacks a fact that a schedule has a column for. 1 more waits only for the facts above and is not listed.",
    );
    let unreadable = sheet.rows().find(|row| says(&row[3], "N-4")).unwrap();
    assert_eq!(unreadable[4].to_string(), "surface (cannot be read)");
    assert_eq!(unreadable[5].to_string(), "box-set-back");
    assert_eq!(unreadable[6].to_string(), "north/devices.xlsx | Level 3 | row 6");
}

#[test]
fn questions_are_counted_and_then_placed() {
    let sheet = Book::example().sheet("For the authority");
    let question = row_of(&sheet, "does this finish count as combustible?");
    assert_eq!(question[1].to_string(), "314.20 [c2]");
    assert_eq!(question[3], Data::Float(1.0));
    assert!(sheet.rows().any(|row| row.get(6).is_some_and(|cell| says(cell, "N-5"))));
}

#[test]
fn every_rule_stands_with_its_sections_marks_and_counts() {
    let sheet = Book::example().sheet("Rules");
    let rule = row_of(&sheet, "face-up-surface");
    assert_eq!(
        texts(&rule[5..9]),
        ["406.5(E) [c2]", "406.5(G) [c2]", "406.5(G)(1) [c2]", "406.5(G)(1) [c2]"]
    );
    let counts: f64 =
        rule[12..17].iter().map(|cell| cell.to_string().parse::<f64>().unwrap()).sum();
    assert!((counts - 8.0).abs() < f64::EPSILON, "five verdicts add up to the subjects: {counts}");
    for mark in ["c2", "c1", "m"] {
        assert!(!row_of(&sheet, mark)[1].to_string().is_empty());
    }
}

#[test]
fn sources_show_files_faults_and_columns_that_were_not_used() {
    let sheet = Book::example().sheet("Sources");
    let lines: Vec<String> = sheet.rows().map(|row| texts(row).join("|")).collect();
    let has = |part: &str| assert!(lines.iter().any(|line| line.contains(part)), "{part}");
    has(&"0f".repeat(32));
    has(
        "south.csv|(text file)|2|example.toml: 11 of 12 header words match|empty: 3, total row: 1|3|no",
    );
    has(
        "north/devices.xlsx|Level 3|G6|no word of the vocabulary; did you mean `gypsum`?|=gyp board|surface",
    );
    has("north/devices.xlsx|Level 3|I|Colour");
    has("--as-of 2026-03-31");
    has("yokecheck 0.1.0");
}

#[test]
fn an_audit_of_nothing_says_so_on_every_sheet() {
    let mut book = Book::of(bytes_of(Schedule::default(), Limits::default()));
    let violations = book.sheet("Violations");
    let sentence = "No violation was found among the verdicts that could be decided.";
    assert!(says(&violations.rows().nth(1).unwrap()[0], sentence));
    row_of(&book.sheet("By floor"), "No outlet was read.");
    row_of(&book.sheet("Undetermined"), "Every fact that is waited for has a column.");
    row_of(&book.sheet("For the authority"), "No question is open.");
    let summary = book.sheet("Summary");
    assert!(says(&row_of(&summary, "Share of verdicts decided")[1], "no rule reached an outlet"));
    row_of(&summary, sentence);
}

#[test]
fn sources_show_rows_that_disagree_on_what_they_share() {
    use yokecheck::outlet::facts;
    use yokecheck::outlet::words::Surface;
    let mut schedule = Schedule::default();
    for (row, surface) in [(2, Surface::Gypsum), (3, Surface::Wood)] {
        schedule
            .row(0, 0, row)
            .at(&format!("D{row}"), "North", "1", "1")
            .sound()
            .text(facts::ENCLOSURE_ID, "=BOX")
            .fact(facts::SURFACE, surface);
    }
    let sheet = Book::of(bytes_of(schedule, Limits::default())).sheet("Sources");
    let line = row_of(&sheet, "enclosure_id =BOX");
    assert_eq!(line[1].to_string(), "surface");
    assert_eq!(line[2], Data::Float(2.0));
    let records =
        "north/devices.xlsx | Level 3 | row 2: gypsum\nnorth/devices.xlsx | Level 3 | row 3: wood";
    assert_eq!(line[3].to_string(), records);
}

#[test]
fn a_full_sheet_goes_on_on_the_next_with_its_header() {
    let mut schedule = Schedule::default();
    for row in 2..12 {
        schedule
            .row(0, 0, row)
            .at(&format!("X{row}"), "North", "1", "1")
            .sound()
            .fact(yokecheck::outlet::facts::TERMINALS_EXPOSED, true);
    }
    let limits = Limits { rows: 5, ..Limits::default() };
    let mut book = Book::of(bytes_of(schedule, limits));
    let names = book.0.sheet_names();
    let parts: Vec<&String> = names.iter().filter(|name| name.starts_with("Violations")).collect();
    assert_eq!(parts, ["Violations", "Violations 2", "Violations 3"]);
    let mut outlets = Vec::new();
    for part in ["Violations", "Violations 2", "Violations 3"] {
        let sheet = book.sheet(part);
        assert!(sheet.height() <= 5);
        assert_eq!(sheet.rows().next().unwrap()[0].to_string(), "Grade (ours)");
        outlets.extend(sheet.rows().skip(1).map(|row| row[4].to_string()));
    }
    let all: Vec<String> = (2..12).map(|row| format!("X{row}")).collect();
    assert_eq!(outlets, all);
}

#[test]
fn links_beyond_the_limit_are_plain_texts() {
    for (links, linked) in [(0, 0), (1, 1)] {
        let limits = Limits { links, ..Limits::default() };
        let mut book = Book::of(bytes_of(schedule(), limits));
        let sheet = book.sheet("Violations");
        let photo = under(&sheet, "Photo or note", 2).to_string();
        assert_eq!(photo, "https://photos.example/1E01.jpg");
        assert_eq!(book.0.hyperlinks_by_sheet_name("Violations").unwrap().len(), linked);
    }
}

#[test]
fn texts_that_no_cell_holds_are_cut_and_odd_ones_survive() {
    let mut schedule = Schedule::default();
    schedule
        .row(0, 0, 2)
        .at("a\u{1}b\u{fffe}", "North\nwing", "1", &"x".repeat(40_000))
        .sound()
        .fact(yokecheck::outlet::facts::TERMINALS_EXPOSED, true);
    let sheet = Book::of(bytes_of(schedule, Limits::default())).sheet("Violations");
    let room = under(&sheet, "Room", 1).to_string();
    assert_eq!(room.chars().count(), 32_767);
    assert!(room.ends_with("(cut: a cell holds no more)"));
    assert_eq!(under(&sheet, "Building", 1).to_string(), "North\nwing");
}

#[test]
fn the_program_knows_its_own_reports_and_they_carry_no_other_date() {
    let properties = Book::example().0.workbook_properties().unwrap();
    assert_eq!(properties.custom_properties["yokecheck"], "report");
    assert_eq!(properties.created.as_deref(), Some("2026-03-31T00:00:00Z"));
    assert_eq!(properties.modified, properties.created);
    assert_eq!(properties.creator.as_deref(), Some("yokecheck"));
    let title = "Audit of receptacle outlets: Harbour & Hill campus";
    assert_eq!(properties.title.as_deref(), Some(title));
}

#[test]
fn any_number_of_threads_gives_the_same_bytes() {
    let with = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| bytes_of(schedule(), Limits::default()))
    };
    let one = with(1);
    assert_eq!(one, with(2));
    assert_eq!(one, with(3));
}
