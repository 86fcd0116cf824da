//! The sheets of figures, read back: ranges, tests, the heat table and its links, the hazard index, the
//! facts to collect, the charts.

use std::io::{Cursor, Read as _};

use calamine::{Data, Range, Reader as _};
use yokecheck::outlet::facts;
use yokecheck::report::Report;
use yokecheck::report::workbook::{self, Limits};
use yokecheck::statistics::Statistics;

use super::example::{Schedule, account, context, schedule};
use super::workbook::{Book, bytes_of, row_of, says, texts};

/// Two floors of twenty outlets, each in a room of its own: 1 of them and 9 have exposed terminals.
fn two_floors() -> Schedule {
    let mut schedule = Schedule::default();
    for row in 0..40 {
        let floor = if row < 20 { "1" } else { "2" };
        let wrong = row == 0 || (20..29).contains(&row);
        schedule
            .row(0, 0, row + 2)
            .at(&format!("D{row:02}"), "North", floor, &format!("{}", 100 + row))
            .sound()
            .fact(facts::TERMINALS_EXPOSED, wrong);
    }
    schedule
}

fn float(cell: &Data) -> f64 {
    let Data::Float(number) = cell else { panic!("{cell} is no number") };
    *number
}

fn near(cell: &Data, wanted: f64) {
    assert!((float(cell) - wanted).abs() < 5e-5, "{cell} is not {wanted}");
}

fn has_line(sheet: &Range<Data>, part: &str) {
    let lines: Vec<String> = sheet.rows().map(|row| texts(row).join("|")).collect();
    assert!(lines.iter().any(|line| line.contains(part)), "{part} in {lines:#?}");
}

/// Wilson's formula worked apart from the program, five decimals; Fisher's p of [1 19; 9 11] in exact
/// integers: 2 (C(10,0) C(30,20) + C(10,1) C(30,19)) / C(40,20) = 0.00836.
#[test]
fn shares_have_ranges_and_a_sentence_says_whether_floors_differ() {
    let sheet = Book::of(bytes_of(two_floors(), Limits::default())).sheet("By floor");
    let floors: Vec<&[Data]> = sheet.rows().filter(|row| says(&row[0], "North")).collect();
    assert_eq!((float(&floors[0][2]), float(&floors[0][3])), (20.0, 1.0));
    near(&floors[0][4], 0.05);
    near(&floors[0][5], 0.008_88);
    near(&floors[0][6], 0.236_13);
    near(&floors[1][5], 0.258_20);
    near(&floors[1][6], 0.657_92);
    has_line(&sheet, "The floors really differ in their share of outlets with a violation");
    has_line(&sheet, "about 8 of 1,000 such audits");
    has_line(&sheet, "Fisher's exact test, two-sided, p 0.0084");
}

#[test]
fn a_share_by_defect_type_is_of_the_verdicts_that_say_yes_or_no() {
    let sheet = Book::of(bytes_of(two_floors(), Limits::default())).sheet("By defect type");
    let line = row_of(&sheet, "exposed-terminals");
    assert_eq!((float(&line[1]), float(&line[2])), (10.0, 40.0));
    near(&line[3], 0.25);
    // Wilson's formula for 10 of 40, worked apart.
    near(&line[4], 0.141_87);
    near(&line[5], 0.401_93);
    near(&line[6], 10.0);
}

/// The link of each cell that has one, with the row of the violation that it leads to.
fn links(book: &mut Book, sheet: &str) -> Vec<((u32, u32), usize)> {
    let links = book.0.hyperlinks_by_sheet_name(sheet).unwrap();
    links
        .into_iter()
        .map(|link| {
            let location = link.location.unwrap();
            let row = location.strip_prefix("Violations!A").unwrap().parse().unwrap();
            (link.range.start, row)
        })
        .collect()
}

#[test]
fn counts_of_the_heat_table_lead_to_their_first_violation() {
    let mut book = Book::example();
    let violations = book.sheet("Violations");
    let heat = book.sheet("Heat table");
    let links = links(&mut book, "Heat table");
    assert!(links.len() > 12, "{links:?}");
    for ((row, column), target) in links {
        let violation = violations.rows().nth(target - 1).unwrap();
        assert_ne!(violation[0].to_string(), "Grade (ours)");
        let cells = heat.rows().nth(row as usize).unwrap();
        assert!(float(&cells[column as usize]) >= 1.0, "a link is on a count");
        let first = cells[0].to_string();
        if ["North", "South"].contains(&first.as_str()) {
            assert_eq!(violation[1].to_string(), first);
            let floor = cells[1].to_string();
            assert!(floor.is_empty() || violation[2].to_string() == floor);
        } else {
            assert_eq!(first, "Electrical");
            assert_eq!(violation[12].to_string().to_lowercase(), "electrical");
        }
    }
}

#[test]
fn counts_do_not_lead_to_a_further_part_of_the_violations() {
    let limits = Limits { rows: 9, ..Limits::default() };
    let mut book = Book::of(bytes_of(two_floors(), limits));
    let names = book.0.sheet_names();
    assert!(names.contains(&"Violations 2".to_owned()));
    let parts: Vec<String> =
        names.into_iter().filter(|name| name.starts_with("Heat table")).collect();
    let mut targets: Vec<usize> = Vec::new();
    for part in parts {
        targets.extend(links(&mut book, &part).into_iter().map(|(_, target)| target));
    }
    // Row 2 is the only one of the first floor; the second floor begins in row 3.
    assert!(targets.contains(&2) && targets.contains(&3));
    assert!(targets.iter().all(|target| (2..=9).contains(target)), "{targets:?}");
    let none = Limits { links: 0, ..Limits::default() };
    let mut book = Book::of(bytes_of(two_floors(), none));
    assert!(links(&mut book, "Heat table").is_empty());
}

#[test]
fn the_hazard_index_stands_beside_the_share_decided_and_says_whose_the_weights_are() {
    let of = |weights: Option<&str>| {
        let audit = two_floors().audit(false);
        let statistics = Statistics::of(&audit).unwrap();
        let statistics = match weights {
            Some(text) => statistics.weighed(text.parse().unwrap()),
            None => statistics,
        };
        let report = Report {
            audit: &audit,
            account: &account(),
            statistics: &statistics,
            context: &context(),
            rulings: &yokecheck::rulings::Ruled::default(),
        };
        let mut out = Cursor::new(Vec::new());
        workbook::write(&report, Limits::default(), &mut out).unwrap();
        Book::of(out.into_inner()).sheet("Physical hazard")
    };
    // Ten dangers on forty outlets, each weighing 10, then 4.
    for (weights, index) in [(None, 250.0), (Some("danger=4"), 100.0)] {
        let sheet = of(weights);
        let building = row_of(&sheet, "North");
        assert_eq!(texts(&building[2..6]), ["40", "10", "0", "0"]);
        near(&building[6], index);
        assert!(float(&building[7]) > 0.5);
        has_line(&sheet, "No published source ties such defects to losses");
    }
}

#[test]
fn facts_to_collect_are_counted_and_ordered() {
    let sheet = Book::example().sheet("Facts to collect");
    let steps: Vec<Vec<String>> = sheet
        .rows()
        .filter(|row| matches!(row[0], Data::Float(_)))
        .map(|row| texts(&row[..5]))
        .collect();
    let wanted = [["1", "listed_for", "1", "1", "1"], ["2", "surface", "1", "1", "2"]];
    let as_texts = |line: [&str; 5]| line.map(str::to_owned).to_vec();
    assert_eq!(steps, wanted.map(as_texts), "{steps:?}");
    let fact = |name: &str| {
        let of_fact = |row: &&[Data]| says(&row[1], name);
        let found = sheet.rows().filter(of_fact).find(|row| !matches!(row[0], Data::Float(_)));
        texts(found.unwrap())
    };
    let surface = fact("surface");
    assert_eq!(surface[5..9], ["yes: fill in the cells", "0", "0", "1"]);
    let listed_for = fact("listed_for");
    assert_eq!(listed_for[5..9], ["no schedule has one: ask for it", "1", "0", "0"]);
    has_line(&sheet, "2 verdicts wait for facts.");
}

#[test]
fn nothing_to_collect_is_said() {
    let sheet =
        Book::of(bytes_of(Schedule::default(), Limits::default())).sheet("Facts to collect");
    has_line(&sheet, "there is nothing to collect");
}

#[test]
fn the_charts_are_there_and_read_their_own_sheet() {
    let bytes = bytes_of(schedule(), Limits::default());
    let mut package = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let names: Vec<String> = package.file_names().map(|name| name.unwrap().into_owned()).collect();
    let mut of_sheet = 0;
    let mut pareto = 0;
    for name in names.iter().filter(|name| name.starts_with("xl/charts/chart")) {
        let mut text = String::new();
        package.by_name(name).unwrap().read_to_string(&mut text).unwrap();
        of_sheet += usize::from(text.contains("<c:f>Charts!$"));
        pareto += usize::from(text.contains("<c:barChart>") && text.contains("<c:lineChart>"));
    }
    assert_eq!((of_sheet, pareto), (4, 1));
}
