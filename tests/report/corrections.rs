//! The lists of corrections, in the workbook and sent out, read back cell by cell.

use std::io::{Cursor, Read as _};

use calamine::{Data, Range, Reader as _, Xlsx};
use yokecheck::outlet::words::DeviceScrew;
use yokecheck::outlet::{Length, facts};
use yokecheck::report::corrections::{By, parcels};
use yokecheck::report::workbook::{self, Limits, corrections};
use yokecheck::report::{Report, cautions};
use yokecheck::statistics::Statistics;

use super::example::{Schedule, account, context, schedule};

type Book = Xlsx<Cursor<Vec<u8>>>;

fn with_report<T>(schedule: Schedule, use_it: impl FnOnce(&Report<'_>) -> T) -> T {
    let audit = schedule.audit(false);
    let statistics = Statistics::of(&audit).unwrap();
    let (account, context) = (account(), context());
    use_it(&Report {
        audit: &audit,
        account: &account,
        statistics: &statistics,
        context: &context,
        rulings: &yokecheck::rulings::Ruled::default(),
    })
}

fn workbook_of(schedule: Schedule) -> Book {
    with_report(schedule, |report| {
        let mut out = Cursor::new(Vec::new());
        workbook::write(report, Limits::default(), &mut out).unwrap();
        Xlsx::new(Cursor::new(out.into_inner())).unwrap()
    })
}

/// The addressees and the bytes of what is sent to them.
fn sent(schedule: Schedule, by: By) -> Vec<(Option<String>, Vec<u8>)> {
    with_report(schedule, |report| {
        let write = |parcel: yokecheck::report::corrections::Parcel<'_>| {
            let mut out = Cursor::new(Vec::new());
            corrections::write(report, &parcel, Limits::default(), &mut out).unwrap();
            (parcel.addressee, out.into_inner())
        };
        parcels(report, by).into_iter().map(write).collect()
    })
}

fn book(bytes: &[u8]) -> Book {
    Xlsx::new(Cursor::new(bytes.to_vec())).unwrap()
}

fn lists(book: &Book) -> Vec<String> {
    let names = book.sheet_names().into_iter();
    names.filter(|name| name.starts_with("Corrections ")).collect()
}

/// The lines of a list below its header, each from header to text.
fn lines(sheet: &Range<Data>) -> Vec<impl Fn(&str) -> String> {
    let texts = |row: &[Data]| row.iter().map(ToString::to_string).collect::<Vec<_>>();
    let rows: Vec<Vec<String>> = sheet.rows().map(texts).collect();
    let header = rows.iter().position(|row| row.iter().any(|cell| cell == "What is wrong"));
    let header = header.unwrap();
    let headers = rows[header].clone();
    let line = |row: Vec<String>| {
        let headers = headers.clone();
        move |name: &str| row[headers.iter().position(|one| one == name).unwrap()].clone()
    };
    rows[header + 1..].iter().cloned().map(line).collect()
}

fn part(bytes: &[u8], name: &str) -> String {
    let mut text = String::new();
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    archive.by_name(name).unwrap().read_to_string(&mut text).unwrap();
    text
}

/// One outlet with two violations, beside the three of the example.
fn two_at_one_outlet() -> Schedule {
    let mut schedule = schedule();
    schedule
        .row(0, 0, 9)
        .at("N-9", "North", "2", "203")
        .sound()
        .text(facts::TRADE, "electrical")
        .text(facts::INSTALLER, "@volta & sons")
        .fact(facts::DEVICE_SCREW, DeviceScrew::Drywall)
        .fact(facts::BOX_SET_BACK, Length::micrometres(7000));
    schedule
}

#[test]
fn each_trade_has_a_sheet_and_says_where_the_trade_comes_from() {
    let mut book = workbook_of(two_at_one_outlet());
    assert_eq!(lists(&book), ["Corrections ELECTRICAL"], "case makes no trade");
    let sheet = book.worksheet_range("Corrections ELECTRICAL").unwrap();
    assert!(sheet.rows().any(|row| row[0] == *cautions::FIRST));
    let told: Vec<[String; 3]> = lines(&sheet)
        .iter()
        .map(|line| [line("Outlet"), line("Trade from"), line("Grade (ours)")])
        .collect();
    let line = |outlet: &str, from: &str, grade: &str| [outlet, from, grade].map(str::to_owned);
    assert_eq!(
        told,
        [
            line("=cmd", "rule", "danger"),
            line("N-9", "schedule", "latent"),
            line("1E01", "schedule", "latent"),
            line("S-1", "rule", "danger"),
        ]
    );
    let lead = sheet.rows().map(|row| row[0].to_string()).find(|text| text.starts_with("4 lines"));
    assert!(lead.unwrap().contains("where it names none, in 2 lines,"));
}

#[test]
fn a_line_holds_all_violations_of_its_outlet_the_gravest_first() {
    let sheet = workbook_of(two_at_one_outlet()).worksheet_range("Corrections ELECTRICAL").unwrap();
    let line = &lines(&sheet)[1];
    let wrong = line("What is wrong");
    let [first, second] = *wrong.lines().collect::<Vec<_>>() else { panic!("{wrong}") };
    assert!(first.starts_with("1. the front edge of the box") && first.ends_with("[latent]"));
    assert!(second.starts_with("2. ") && second.ends_with("[workmanship]"), "{second}");
    assert_eq!(line("Measured"), "1. 7 mm (0.2756 in)", "the second has no figure");
    assert_eq!(line("Allowed"), "1. at most 6 mm (1/4 in)");
    assert_eq!(line("Section"), "1. 314.20 [c2]\n2. 406.5 [c2]");
    assert_eq!(line("What to do").lines().count(), 2);
    for empty in ["Corrected by", "Date", "Initials", "Photo"] {
        assert_eq!(line(empty), "");
    }
    assert_eq!(line("Match: rule"), "box-set-back;device-screws");
    assert_eq!(line("Match: building"), "North");
    assert_eq!(line("Match: outlet_id"), "N-9");
    assert_eq!(line("Match: row"), "9");
    let group = lines(&sheet)[3]("What is wrong");
    assert!(group.ends_with("(box S-BOX, with S-2)"), "{group}");
}

#[test]
fn what_is_sent_out_is_marked_guarded_and_opens_with_the_cautions() {
    let sent = sent(two_at_one_outlet(), By::Trade);
    assert_eq!(sent.len(), 1);
    let (addressee, bytes) = &sent[0];
    assert_eq!(addressee.as_deref(), Some("electrical"));
    let mut book = book(bytes);
    let properties = book.workbook_properties().unwrap();
    assert_eq!(properties.custom_properties["yokecheck"], "corrections");
    let sheet = book.worksheet_range("Corrections ELECTRICAL").unwrap();
    let first: Vec<String> = sheet.rows().take(7).map(|row| row[0].to_string()).collect();
    for caution in cautions::ALL {
        assert!(first.iter().any(|line| line == caution), "{caution}");
    }
    let xml = part(bytes, "xl/worksheets/sheet1.xml");
    for wanted in ["<sheetProtection", "orientation=\"landscape\"", "qualified persons", "&amp;P"] {
        assert!(xml.contains(wanted), "{wanted}");
    }
    assert!(!xml.contains("<f>"), "no formula");
    let names = part(bytes, "xl/workbook.xml");
    assert!(names.contains("_xlnm.Print_Titles"), "the header stands on each page");
    assert!(part(bytes, "xl/styles.xml").contains("<protection locked=\"0\"/>"));
}

#[test]
fn companies_get_their_own_and_what_nobody_is_known_to_have_installed_is_apart() {
    let sent = sent(two_at_one_outlet(), By::Installer);
    let told: Vec<(Option<&str>, usize)> = sent
        .iter()
        .map(|(addressee, bytes)| {
            let sheet = book(bytes).worksheet_range("Corrections ELECTRICAL").unwrap();
            (addressee.as_deref(), lines(&sheet).len())
        })
        .collect();
    assert!(told.contains(&(None, 2)), "{told:?}");
    assert!(told.iter().any(|(name, lines)| name.is_some() && *lines == 2), "{told:?}");
    assert_eq!(told.len(), 2);
}

#[test]
fn of_many_trades_those_with_the_fewest_lines_share_a_sheet_and_odd_names_are_made_safe() {
    let mut schedule = Schedule::default();
    for (trade, row) in (0..30).zip(2..) {
        schedule
            .row(0, 0, row)
            .at(&format!("X{row}"), "North", "1", "1")
            .sound()
            .text(facts::TRADE, &format!("Trade [A/B]: communications and controls {trade}"))
            .fact(facts::TERMINALS_EXPOSED, true);
    }
    let mut book = workbook_of(schedule);
    let names = lists(&book);
    assert_eq!(names.len(), corrections::MOST_LISTS);
    let mut folded: Vec<String> = names.iter().map(|name| name.to_lowercase()).collect();
    folded.sort();
    folded.dedup();
    assert_eq!(folded.len(), names.len());
    for name in &names {
        assert!(name.chars().count() <= 31 && !name.contains(['[', ']', ':', '/']), "{name}");
    }
    let joined = book.worksheet_range("Corrections 11 OTHER TRADES").unwrap();
    assert_eq!(lines(&joined).len(), 11);
    assert!(lines(&joined)[0]("Trade").starts_with("Trade [A/B]"));
    let all: usize =
        names.iter().map(|name| lines(&book.worksheet_range(name).unwrap()).len()).sum();
    assert_eq!(all, 30, "no line is lost");
}

#[test]
fn the_same_audit_gives_the_same_bytes() {
    for by in [By::Trade, By::Installer] {
        let bytes = |sent: Vec<(Option<String>, Vec<u8>)>| {
            sent.into_iter().map(|(_, bytes)| bytes).collect::<Vec<_>>()
        };
        let one = bytes(sent(two_at_one_outlet(), by));
        assert_eq!(one, bytes(sent(two_at_one_outlet(), by)));
    }
}

#[test]
fn a_list_that_is_full_goes_on_under_a_name_that_fits() {
    let mut schedule = Schedule::default();
    for row in 2..12 {
        schedule
            .row(0, 0, row)
            .at(&format!("X{row}"), "North", "1", "1")
            .sound()
            .text(facts::TRADE, "Communications and controls")
            .fact(facts::TERMINALS_EXPOSED, true);
    }
    let bytes = with_report(schedule, |report| {
        let mut out = Cursor::new(Vec::new());
        let parcel = &parcels(report, By::Trade)[0];
        let limits = Limits { rows: 16, ..Limits::default() };
        corrections::write(report, parcel, limits, &mut out).unwrap();
        out.into_inner()
    });
    let mut book = book(&bytes);
    let names = book.sheet_names();
    assert_eq!(names, ["Corrections COMMUNICATIONS AND", "Corrections COMMUNICATIONS AN 2"]);
    let mut outlets = Vec::new();
    for name in names {
        let sheet = book.worksheet_range(&name).unwrap();
        outlets.extend(lines(&sheet).iter().map(|line| line("Outlet")));
    }
    assert_eq!(outlets, (2..12).map(|row| format!("X{row}")).collect::<Vec<_>>());
}
