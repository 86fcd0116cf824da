//! Existing buildings and local amendments: editions by building, a newer edition beside, changed rules.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use yokecheck::audit::{Audit, Finding, Options, Selection, run};
use yokecheck::code::{Amendment, Change};
use yokecheck::mapping::editions;
use yokecheck::mapping::read::{Column, Content, Reading, read};
use yokecheck::outlet::words::Edition;
use yokecheck::outlet::{Fact, Field, Length, Origin, Outlet, Texts};
use yokecheck::rules::VerdictKind;

/// Outlets of texts such as `building: Mill; facing: up`, one a row.
fn outlets(rows: &[&str]) -> (Vec<Outlet>, Texts) {
    let mut texts = Texts::default();
    let made = rows.iter().zip(1..).map(|(row, number)| {
        let mut outlet = Outlet::absent(Origin { row: number, ..Origin::default() });
        for part in row.split("; ") {
            let (name, value) = part.split_once(": ").unwrap();
            let field = Field::of(name).unwrap();
            let reading = read(Content::Text(value), &Column::of(field), &mut texts);
            let Reading::Known(raw) = reading else { panic!("{part}: {reading:?}") };
            outlet.set_raw(field, Fact::Known(raw));
        }
        outlet
    });
    let made = made.collect();
    (made, texts)
}

fn audited(
    rows: &[&str],
    rule: &str,
    amendments: &[Amendment],
    also_against: Option<Edition>,
) -> Audit {
    let (outlets, texts) = outlets(rows);
    let selection = Selection::new(&[rule.to_owned()], &[]).unwrap();
    let options =
        Options { amendments, also_against, keep_verdicts: true, ..Options::of(&selection) };
    run(outlets, texts, &options)
}

fn kinds(audit: &Audit) -> Vec<VerdictKind> {
    audit.verdicts.iter().map(|row| row.kind).collect()
}

fn amendment(rule: &str, change: Change) -> Amendment {
    Amendment {
        rule: rule.to_owned(),
        citation: "Ordinance 7".to_owned(),
        buildings: Vec::new(),
        change,
    }
}

const BELOW_SINK: &str = "device: receptacle; mounting_location: sink-base; facing: up";

/// 406.5(G)(2) stands since 2020: an inspectors' magazine on the changes of that edition.
#[test]
fn what_is_lawful_as_built_is_listed_apart_and_never_as_a_violation() {
    let rows = [
        format!("edition: 2014; {BELOW_SINK}"),
        format!("edition: 2020; {BELOW_SINK}"),
        format!("edition: other; {BELOW_SINK}"),
    ];
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let audit = audited(&rows, "face-up-below-sink", &[], Some(Edition::E2023));
    let wanted = [VerdictKind::NotApplicable, VerdictKind::Violates, VerdictKind::NotApplicable];
    assert_eq!(kinds(&audit), wanted);
    assert_eq!(audit.violation_count(), 1);
    let apart: Vec<u32> = audit.lawful_as_built.iter().map(Finding::first).collect();
    assert_eq!(apart, [0]);
    assert_eq!(audit.citation(&audit.lawful_as_built[0]), "406.5(G)(2)");
}

#[test]
fn a_rule_is_carried_into_an_earlier_edition_with_both_citations() {
    let row = format!("edition: 2014; {BELOW_SINK}");
    let change = Change { as_in: vec![(Edition::E2014, Edition::E2020)], ..Change::default() };
    let audit =
        audited(&[&row], "face-up-below-sink", &[amendment("face-up-below-sink", change)], None);
    assert_eq!(kinds(&audit), [VerdictKind::Violates]);
    let finding = &audit.findings[0];
    assert_eq!(audit.citation(finding), "406.5(G)(2), as amended by Ordinance 7");
    assert_eq!(*finding.editions, [Edition::E2014]);
}

/// 314.20 allows 6 mm in a noncombustible finish; the amendment here is invented.
#[test]
fn a_changed_limit_decides_and_is_printed() {
    let row = "edition: 2020; box_set_back: 4 mm; surface: gypsum";
    assert_eq!(kinds(&audited(&[row], "box-set-back", &[], None)), [VerdictKind::Complies]);
    let limits = vec![("set-back".to_owned(), Length(3_000_000))];
    let change = Change { limits, ..Change::default() };
    let audit = audited(&[row], "box-set-back", &[amendment("box-set-back", change)], None);
    assert_eq!(kinds(&audit), [VerdictKind::Violates]);
    assert_eq!(audit.limit_text(&audit.findings[0]), "at most 3 mm (0.1181 in) (amended)");
}

#[test]
fn a_rule_that_is_switched_off_in_one_building_holds_in_the_others() {
    let rows = [
        "building: Mill; edition: 2020; terminals_exposed: yes",
        "building: Barn; edition: 2020; terminals_exposed: yes",
        "edition: 2020; terminals_exposed: yes",
    ];
    let change = Change { off: true, ..Change::default() };
    let mill =
        Amendment { buildings: vec!["Mill".to_owned()], ..amendment("exposed-terminals", change) };
    let audit = audited(&rows, "exposed-terminals", &[mill], None);
    let wanted = [VerdictKind::NotApplicable, VerdictKind::Violates, VerdictKind::Violates];
    assert_eq!(kinds(&audit), wanted);
}

#[test]
fn a_table_of_editions_fills_only_what_is_blank() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("editions.csv");
    #[expect(clippy::disallowed_methods, reason = "the test lays out its input")]
    std::fs::write(&path, "Building,Edition\nMill,2014\nBarn,2017\nNowhere,2020\n").unwrap();
    let (mut outlets, texts) = outlets(&[
        "building: Mill; facing: up",
        "building: Mill; edition: 2023",
        "building: Barn; facing: up",
    ]);
    let unknown = editions::apply(&editions::open(&path).unwrap(), &mut outlets, &texts);
    let recorded: Vec<Option<Edition>> = outlets
        .iter()
        .map(|outlet| outlet.get(yokecheck::outlet::facts::EDITION).known())
        .collect();
    let wanted = [Edition::E2014, Edition::E2023, Edition::E2017].map(Some);
    assert_eq!(recorded, wanted);
    assert_eq!(unknown, ["Nowhere"]);
}
