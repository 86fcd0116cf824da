//! Rulings of the authority: which findings they are about, and what they do to the counts.
//!
//! What a ruling means is our own: no published source.
#![expect(clippy::unwrap_used, reason = "a test that cannot lay out its outlets has failed")]

use jiff::civil::{Date, date};
use yokecheck::audit::{self, Audit, Options, Selection};
use yokecheck::outlet::words::{Device, Edition};
use yokecheck::outlet::{Fact, Origin, Outlet, Texts, facts};
use yokecheck::rules::VerdictKind;
use yokecheck::rulings::{Answer, Ruled, Ruling, Standing, apply};

/// Three receptacles, the first two without a faceplate.
fn audited() -> Audit {
    let mut texts = Texts::default();
    let mut outlets = Vec::new();
    for (id, room, plate) in [("A", "101", false), ("B", "102", false), ("C", "103", true)] {
        let row = u32::try_from(outlets.len()).unwrap() + 2;
        let mut outlet = Outlet::absent(Origin { source: 0, sheet: 0, row });
        outlet.set(facts::OUTLET_ID, Fact::Known(texts.intern(id)));
        outlet.set(facts::ROOM, Fact::Known(texts.intern(room)));
        outlet.set(facts::EDITION, Fact::Known(Edition::E2020));
        outlet.set(facts::DEVICE, Fact::Known(Device::Receptacle));
        outlet.set(facts::FACEPLATE, Fact::Known(plate));
        outlets.push(outlet);
    }
    let selection = Selection::new(&["box-cover".to_owned()], &[]).unwrap();
    audit::run(outlets, texts, &Options::of(&selection))
}

fn ruling(outlet: &str, answer: Answer, until: Option<Date>) -> Ruling {
    let (outlet_id, rule) = (outlet.to_owned(), "box-cover".to_owned());
    Ruling { rule, outlet_id, answer, until, ..Ruling::default() }
}

const DAY: Date = date(2026, 3, 31);

fn ruled(rulings: Vec<Ruling>) -> (Audit, Ruled) {
    let mut audit = audited();
    let ruled = apply(&mut audit, String::new(), rulings, DAY);
    (audit, ruled)
}

fn violations(audit: &Audit) -> (usize, u64) {
    (audit.violation_count(), audit.tallies[0].count(VerdictKind::Violates))
}

#[test]
fn an_approved_violation_leaves_the_counts_and_is_kept() {
    let (audit, ruled) = ruled(vec![ruling("A", Answer::Approved, Some(DAY))]);
    assert_eq!(violations(&audit), (1, 1));
    assert_eq!((ruled.approved.len(), ruled.approved_violations()), (1, 1));
    assert_eq!(audit.tallies[0].subjects(), 3, "the five still add up");
}

#[test]
fn one_past_its_end_comes_back_and_one_of_tomorrow_does_not_hold_yet() {
    let ended = ruling("A", Answer::Approved, Some(date(2026, 3, 30)));
    let early = Ruling { date: Some(date(2026, 4, 1)), ..ruling("B", Answer::Approved, None) };
    let (audit, ruled) = ruled(vec![ended, early]);
    assert_eq!(violations(&audit), (2, 2));
    assert_eq!((ruled.count(Standing::Ended), ruled.count(Standing::NotYet)), (1, 1));
}

#[test]
fn the_latest_ruling_that_holds_decides() {
    let dated = |day, answer| Ruling { date: Some(day), ..ruling("A", answer, None) };
    let rulings =
        vec![dated(date(2026, 2, 1), Answer::Refused), dated(date(2026, 1, 1), Answer::Approved)];
    let (audit, ruled) = ruled(rulings);
    assert_eq!(violations(&audit), (2, 2));
    assert_eq!((ruled.count(Standing::Refused), ruled.unused()), (1, Vec::new()));
}

#[test]
fn a_ruling_about_nothing_is_told() {
    let room = Ruling {
        outlet_id: String::new(),
        room: "103".to_owned(),
        ..ruling("", Answer::Approved, None)
    };
    let (audit, ruled) = ruled(vec![ruling("D", Answer::Approved, None), room]);
    assert_eq!((violations(&audit), ruled.unused()), ((2, 2), vec![0, 1]));
}

#[test]
fn a_room_is_approved_as_a_whole() {
    let room = Ruling { room: "102".to_owned(), ..ruling("", Answer::Approved, None) };
    let (audit, _) = ruled(vec![room]);
    assert_eq!(violations(&audit), (1, 1));
}
