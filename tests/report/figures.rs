//! The figures add up to what the audit holds.

use yokecheck::audit::Audit;
use yokecheck::audit::tally::Totals;
use yokecheck::outlet::{Length, facts};
use yokecheck::rules::VerdictKind;
use yokecheck::statistics::{Figures, Statistics};

use super::example::{Schedule, schedule};

fn figures(audit: &Audit) -> Statistics {
    Statistics::of(audit).unwrap()
}

#[test]
fn floors_stand_from_the_bottom_up_and_a_blank_one_last() {
    let statistics = figures(&schedule().audit(false));
    let floors: Vec<(&str, &str)> = statistics
        .by_floor
        .iter()
        .map(|line| (line.building.as_str(), line.floor.as_str()))
        .collect();
    let order = [("North", "B1"), ("North", "2"), ("North", "10"), ("South", "1"), ("", "")];
    assert_eq!(floors, order);
}

#[test]
fn every_breakdown_adds_up_to_the_audit() {
    let audit = schedule().audit(false);
    let statistics = figures(&audit);
    let violations = audit.violation_count() as u64;
    let undetermined = Totals::of(&audit.tallies).count(VerdictKind::Undetermined);
    assert!(violations > 2 && undetermined > 0);
    let sums = |lines: Vec<Figures>| {
        let violations: u64 = lines.iter().map(Figures::all_violations).sum();
        (violations, lines.iter().map(|line| line.undetermined).sum::<u64>())
    };
    let lines = |lines: &[yokecheck::statistics::Line]| {
        sums(lines.iter().map(|line| line.figures).collect())
    };
    let all = (violations, undetermined);
    assert_eq!(sums(vec![statistics.all]), all);
    assert_eq!(sums(statistics.by_floor.iter().map(|line| line.figures).collect()), all);
    assert_eq!(lines(&statistics.by_trade), all);
    assert_eq!(lines(&statistics.by_defect_type), all);
    assert_eq!(lines(&statistics.by_grade), all);
    assert_eq!(lines(&statistics.by_rule), all);
    assert_eq!(statistics.all.outlets, audit.device_count());
    assert_eq!(statistics.all.rows, 8);
}

#[test]
fn a_row_counts_as_often_as_its_quantity_and_once_however_much_is_wrong() {
    let mut schedule = Schedule::default();
    let deep = Length::micrometres(7000);
    schedule
        .row(0, 0, 2)
        .at("A", "North", "1", "1")
        .sound()
        .fact(facts::QUANTITY, 4)
        .fact(facts::BOX_SET_BACK, deep)
        .fact(facts::TERMINALS_EXPOSED, true);
    schedule.row(0, 0, 3).at("B", "North", "1", "1").sound();
    let statistics = figures(&schedule.audit(false));
    let all = statistics.all;
    assert_eq!((all.rows, all.outlets, all.violating), (2, 5, 4));
    assert_eq!(all.violations, [1, 1, 0]);
    assert_eq!(all.rate(), Some(0.8));
}

#[test]
fn no_rate_is_told_for_fewer_than_five_outlets() {
    let four = Figures { outlets: 4, violating: 4, ..Figures::default() };
    let five = Figures { outlets: 5, violating: 4, ..Figures::default() };
    assert_eq!(four.rate(), None);
    assert_eq!(five.rate(), Some(0.8));
}

#[test]
fn verdicts_that_reach_an_outlet_add_up_to_the_tallies() {
    let audit = schedule().audit(false);
    let statistics = figures(&audit);
    let totals = Totals::of(&audit.tallies);
    let sum = |lines: &[yokecheck::statistics::Line]| {
        lines.iter().map(|line| line.figures.reached).sum::<u64>()
    };
    assert_eq!(statistics.all.reached, totals.reached());
    assert_eq!(statistics.all.decided_share(), totals.decided_share());
    let lists = [&statistics.by_trade, &statistics.by_defect_type, &statistics.by_grade];
    for lines in lists.into_iter().chain([&statistics.by_rule, &statistics.by_building]) {
        assert_eq!(sum(lines), totals.reached());
    }
}

#[test]
fn tables_of_two_axes_add_up_on_both() {
    let statistics = figures(&schedule().audit(false));
    let by_type: Vec<u64> =
        statistics.by_defect_type.iter().map(|line| line.figures.all_violations()).collect();
    let by_floor: Vec<u64> =
        statistics.by_floor.iter().map(|line| line.figures.all_violations()).collect();
    let by_trade: Vec<u64> =
        statistics.by_trade.iter().map(|line| line.figures.all_violations()).collect();
    assert!(by_type.iter().sum::<u64>() > 0);
    for (table, lines) in [
        (&statistics.floors_by_defect_type, by_floor),
        (&statistics.trades_by_defect_type, by_trade),
    ] {
        let down: Vec<u64> =
            (0..by_type.len()).map(|one| table.iter().map(|line| line[one]).sum()).collect();
        let across: Vec<u64> = table.iter().map(|line| line.iter().sum()).collect();
        assert_eq!((down, across), (by_type.clone(), lines));
    }
}

#[test]
fn buildings_are_the_sums_of_their_floors_and_rooms_have_the_worst_first() {
    let statistics = figures(&schedule().audit(false));
    let buildings: Vec<(&str, u64, u64)> = statistics
        .by_building
        .iter()
        .map(|line| (line.name.as_str(), line.figures.outlets, line.figures.all_violations()))
        .collect();
    assert_eq!(buildings, [("North", 6, 2), ("South", 2, 1), ("", 1, 0)]);
    let rooms: Vec<(&str, &str, [u64; 3])> = statistics
        .by_room
        .iter()
        .map(|line| (line.building.as_str(), line.room.as_str(), line.figures.violations))
        .collect();
    // One violation each: the dangers first, in walking order.
    let wanted =
        [("North", "201", [1, 0, 0]), ("South", "7", [1, 0, 0]), ("North", "1001", [0, 1, 0])];
    assert_eq!(rooms, wanted);
}

#[test]
fn a_violation_counts_for_the_trade_that_corrects_it() {
    let statistics = figures(&schedule().audit(false));
    let trades: Vec<(&str, u64, u64)> = statistics
        .by_trade
        .iter()
        .map(|line| (line.name.as_str(), line.figures.outlets, line.figures.all_violations()))
        .collect();
    // The schedule names the trade of one row of two devices only; the usual trade of the other rules
    // is the same one, which the schedule spells with a capital.
    assert_eq!(trades, [("Electrical", 2, 3), ("", 7, 0)]);
}

#[test]
fn an_undetermined_group_counts_once_however_many_rows_lack_the_fact() {
    let mut schedule = Schedule::default();
    for row in 2..5 {
        schedule
            .row(0, 0, row)
            .at(&format!("D{row}"), "North", "1", "1")
            .sound()
            .text(facts::ENCLOSURE_ID, "BOX");
    }
    let audit = schedule.audit(false);
    let undetermined = Totals::of(&audit.tallies).count(VerdictKind::Undetermined);
    assert!(audit.gaps.len() as u64 > undetermined);
    assert_eq!(figures(&audit).all.undetermined, undetermined);
}
