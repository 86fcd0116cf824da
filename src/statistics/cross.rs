//! Breakdowns by two axes, and by room.

use crate::audit::Audit;

use super::breakdown::{Figures, FloorLine, Line, RoomLine, StatisticsError};
use super::events::{Events, GRADES, distinct_devices, sums};
use super::natural::{FloorKey, NaturalKey};

/// Violations of each line by defect type, in the order of the lines and of the types.
pub(super) type Counts = Vec<Vec<u64>>;

/// Violations by floor and defect type.
pub(super) fn floors_by_type(
    events: &Events,
    floors: &[FloorLine],
    types: &[Line],
) -> Result<Counts, StatisticsError> {
    let found = sums(&events.violations, &["building", "floor", "defect"], &GRADES)?;
    let count = |floor: &FloorLine, defect: &Line| {
        let key = [&floor.building, &floor.floor, &defect.name].map(String::clone).to_vec();
        found.get(&key).map_or(0, |grades| grades.iter().sum())
    };
    Ok(floors.iter().map(|floor| types.iter().map(|one| count(floor, one)).collect()).collect())
}

/// Violations by the trade that corrects them and defect type.
pub(super) fn trades_by_type(
    events: &Events,
    trades: &[Line],
    types: &[Line],
) -> Result<Counts, StatisticsError> {
    let found = sums(&events.violations, &["corrects", "defect"], &GRADES)?;
    let count = |trade: &Line, defect: &Line| {
        let key = [&trade.name, &defect.name].map(String::clone).to_vec();
        found.get(&key).map_or(0, |grades| grades.iter().sum())
    };
    Ok(trades.iter().map(|trade| types.iter().map(|one| count(trade, one)).collect()).collect())
}

/// The figures of each building, naturally sorted: the sums of its floors.
pub(super) fn buildings(floors: &[FloorLine]) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    for floor in floors {
        match lines.last_mut() {
            Some(line) if line.name == floor.building => line.figures.add(&floor.figures),
            _ => lines.push(Line { name: floor.building.clone(), figures: floor.figures }),
        }
    }
    lines
}

/// The figures of the rooms that have a violation, the most violations first, then the worst grades,
/// then in walking order.
pub(super) fn rooms(events: &Events) -> Result<Vec<RoomLine>, StatisticsError> {
    let keys = ["building", "floor", "room"];
    let outlets = sums(&events.outlets, &keys, &["rows", "devices", "reached"])?;
    let violating = distinct_devices(&events.violations, &keys)?;
    let waiting = sums(&events.outlets, &keys, &["waiting"])?;
    let line = |(key, grades): (&Vec<String>, &Vec<u64>)| {
        let number = |found: Option<&Vec<u64>>, place: usize| found.map_or(0, |one| one[place]);
        RoomLine {
            building: key[0].clone(),
            floor: key[1].clone(),
            room: key[2].clone(),
            figures: Figures {
                rows: number(outlets.get(key), 0),
                outlets: number(outlets.get(key), 1),
                reached: number(outlets.get(key), 2),
                violating: number(violating.get(key), 0),
                violations: [grades[0], grades[1], grades[2]],
                undetermined: number(waiting.get(key), 0),
            },
        }
    };
    let found = sums(&events.violations, &keys, &GRADES)?;
    let mut lines: Vec<RoomLine> = found.iter().map(line).collect();
    lines.sort_by_cached_key(|line| {
        let [danger, latent, _] = line.figures.violations;
        let worst = std::cmp::Reverse((line.figures.all_violations(), danger, latent));
        let place = (NaturalKey::of(&line.building), FloorKey::of(&line.floor));
        (worst, place, NaturalKey::of(&line.room))
    });
    Ok(lines)
}

/// How many verdicts reach their subject, by the name of a kind of violation.
pub(super) fn reached(audit: &Audit, key: &str, name: &str) -> u64 {
    let of_kind = |tally: &&crate::audit::Tally| match key {
        "defect" => tally.rule.defect.word() == name,
        "grade" => tally.rule.grade.word() == name,
        _ => tally.rule.name == name,
    };
    audit.tallies.iter().filter(of_kind).map(crate::audit::Tally::reached).sum()
}
