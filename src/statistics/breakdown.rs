//! Breakdowns of an audit by floor, trade, defect type, grade and rule, as plain structs.
//!
//! An outlet is a device: a row counts as often as its quantity says. A finding of a group counts for
//! the floor and the trade of its first member. The trade of an outlet is the one that the schedule
//! names; a violation counts for the trade that is to correct it, which is the rule's usual one where
//! the schedule names none.

use std::collections::BTreeSet;

use polars::prelude::PolarsError;

use crate::audit::Audit;

use super::cross;
use super::events::{Events, GRADES, Sums, distinct_devices, sums};
use super::hazard::Weights;
use super::natural::{FloorKey, NaturalKey};

/// The frames of the figures could not be built: a defect of the program.
#[derive(Debug, thiserror::Error)]
#[error("the figures could not be computed: {0}")]
pub struct StatisticsError(#[from] PolarsError);

/// Fewest outlets for which a rate is told: below, one outlet moves it by more than a fifth.
pub const LEAST_FOR_A_RATE: u64 = 5;

/// The figures of a part of the outlets, or of a kind of violation.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Figures {
    /// Rows of the schedules.
    pub rows: u64,
    /// Devices that they stand for.
    pub outlets: u64,
    /// Devices with at least one violation.
    pub violating: u64,
    /// Violations by grade, in the order of the grades.
    pub violations: [u64; 3],
    /// Verdicts whose rule reaches its subject.
    pub reached: u64,
    /// Those of them that wait for facts.
    pub undetermined: u64,
}

impl Figures {
    /// Violations of all grades.
    pub fn all_violations(&self) -> u64 {
        self.violations.iter().sum()
    }

    /// The share of outlets with a violation, from 0 to 1; none for fewer than [`LEAST_FOR_A_RATE`].
    #[expect(clippy::cast_precision_loss, reason = "a share for people")]
    pub fn rate(&self) -> Option<f64> {
        (self.outlets >= LEAST_FOR_A_RATE).then(|| self.violating as f64 / self.outlets as f64)
    }

    /// The share of verdicts that could be decided among those whose rule reaches its subject, from 0
    /// to 1; none where no rule reaches any.
    #[expect(clippy::cast_precision_loss, reason = "a share for people")]
    pub fn decided_share(&self) -> Option<f64> {
        let decided = self.reached.saturating_sub(self.undetermined);
        (self.reached > 0).then(|| decided as f64 / self.reached as f64)
    }

    pub(super) fn add(&mut self, other: &Self) {
        self.rows += other.rows;
        self.outlets += other.outlets;
        self.violating += other.violating;
        self.reached += other.reached;
        self.undetermined += other.undetermined;
        for (count, more) in self.violations.iter_mut().zip(other.violations) {
            *count += more;
        }
    }
}

/// The figures of one floor of one building; a name is empty where none is recorded.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FloorLine {
    /// The building.
    pub building: String,
    /// The storey.
    pub floor: String,
    /// Its figures.
    pub figures: Figures,
}

/// The figures of one room; a name is empty where none is recorded.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RoomLine {
    /// The building.
    pub building: String,
    /// The storey.
    pub floor: String,
    /// The room.
    pub room: String,
    /// Its figures.
    pub figures: Figures,
}

/// The figures of one building, trade, defect type, grade or rule; the name of a building or a trade is
/// empty where none is recorded.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Line {
    /// Its name.
    pub name: String,
    /// Its figures.
    pub figures: Figures,
}

/// The breakdowns of an audit.
#[derive(Clone, Debug, Default)]
pub struct Statistics {
    /// All outlets together.
    pub all: Figures,
    /// By building and floor, naturally sorted from the bottom up.
    pub by_floor: Vec<FloorLine>,
    /// By trade, naturally sorted.
    pub by_trade: Vec<Line>,
    /// By defect type of the rules that ran, in the order of reports. The outlets are all outlets.
    pub by_defect_type: Vec<Line>,
    /// By grade, the worst first. The outlets are all outlets.
    pub by_grade: Vec<Line>,
    /// By rule, in the order of the run. The outlets are all outlets.
    pub by_rule: Vec<Line>,
    /// By building, naturally sorted.
    pub by_building: Vec<Line>,
    /// By room, those with a violation only: the most violations first.
    pub by_room: Vec<RoomLine>,
    /// Violations of each floor by defect type, in the order of those two.
    pub floors_by_defect_type: Vec<Vec<u64>>,
    /// Violations that each trade is to correct, by defect type, in the order of those two.
    pub trades_by_defect_type: Vec<Vec<u64>>,
    /// What a violation weighs in the hazard index.
    pub weights: Weights,
}

impl Statistics {
    /// The breakdowns of an audit.
    pub fn of(audit: &Audit) -> Result<Self, StatisticsError> {
        let events = Events::of(audit)?;
        let by_floor = by_floor(&events)?;
        let mut all = Figures::default();
        for line in &by_floor {
            all.add(&line.figures);
        }
        let rules = audit.selection.rules();
        let mut types: Vec<_> =
            rules.iter().map(|rule| (rule.defect, rule.defect.word())).collect();
        types.sort_unstable();
        types.dedup();
        let types: Vec<&str> = types.into_iter().map(|(_, word)| word).collect();
        let names: Vec<&str> = rules.iter().map(|rule| rule.name).collect();
        let by_trade = by_trade(&events)?;
        let by_kind = |key, names: &mut dyn Iterator<Item = &'static str>| {
            by_kind(&events, key, names, &all, |name| cross::reached(audit, key, name))
        };
        let by_defect_type = by_kind("defect", &mut types.into_iter())?;
        Ok(Self {
            by_building: cross::buildings(&by_floor),
            by_room: cross::rooms(&events)?,
            floors_by_defect_type: cross::floors_by_type(&events, &by_floor, &by_defect_type)?,
            trades_by_defect_type: cross::trades_by_type(&events, &by_trade, &by_defect_type)?,
            weights: Weights::default(),
            by_grade: by_kind("grade", &mut GRADES.into_iter())?,
            by_rule: by_kind("rule", &mut names.into_iter())?,
            by_floor,
            by_trade,
            by_defect_type,
            all,
        })
    }

    /// With other weights.
    #[must_use]
    pub fn weighed(self, weights: Weights) -> Self {
        Self { weights, ..self }
    }
}

/// The four grouped sums of a breakdown.
struct Parts {
    outlets: Sums,
    violating: Sums,
    violations: Sums,
    waiting: Sums,
}

impl Parts {
    fn figures(&self, key: &[String]) -> Figures {
        let number = |sums: &Sums, place: usize| sums.get(key).map_or(0, |values| values[place]);
        Figures {
            rows: number(&self.outlets, 0),
            outlets: number(&self.outlets, 1),
            violating: number(&self.violating, 0),
            violations: [0, 1, 2].map(|grade| number(&self.violations, grade)),
            reached: number(&self.outlets, 2),
            undetermined: number(&self.waiting, 0),
        }
    }

    fn keys(&self) -> BTreeSet<&Vec<String>> {
        self.outlets.keys().chain(self.violations.keys()).chain(self.waiting.keys()).collect()
    }
}

fn by_floor(events: &Events) -> Result<Vec<FloorLine>, StatisticsError> {
    let keys = ["building", "floor"];
    let parts = Parts {
        outlets: sums(&events.outlets, &keys, &["rows", "devices", "reached"])?,
        violating: distinct_devices(&events.violations, &keys)?,
        violations: sums(&events.violations, &keys, &GRADES)?,
        waiting: sums(&events.outlets, &keys, &["waiting"])?,
    };
    let mut lines: Vec<FloorLine> = parts
        .keys()
        .into_iter()
        .map(|key| FloorLine {
            building: key[0].clone(),
            floor: key[1].clone(),
            figures: parts.figures(key),
        })
        .collect();
    lines.sort_by_cached_key(|line| (NaturalKey::of(&line.building), FloorKey::of(&line.floor)));
    Ok(lines)
}

fn by_trade(events: &Events) -> Result<Vec<Line>, StatisticsError> {
    let parts = Parts {
        outlets: sums(&events.outlets, &["trade"], &["rows", "devices", "reached"])?,
        violating: distinct_devices(&events.violations, &["trade"])?,
        violations: sums(&events.violations, &["corrects"], &GRADES)?,
        waiting: sums(&events.outlets, &["trade"], &["waiting"])?,
    };
    let keys = parts.keys().into_iter();
    let mut lines: Vec<Line> =
        keys.map(|key| Line { name: key[0].clone(), figures: parts.figures(key) }).collect();
    lines.sort_by_cached_key(|line| NaturalKey::of(&line.name));
    Ok(lines)
}

fn by_kind<'a>(
    events: &Events,
    key: &str,
    names: impl Iterator<Item = &'a str>,
    all: &Figures,
    reached: impl Fn(&str) -> u64,
) -> Result<Vec<Line>, StatisticsError> {
    let parts = Parts {
        outlets: Sums::new(),
        violating: distinct_devices(&events.violations, &[key])?,
        violations: sums(&events.violations, &[key], &GRADES)?,
        waiting: sums(&events.rules, &[key], &["waiting"])?,
    };
    let line = |name: &str| {
        let figures = parts.figures(&[name.to_owned()]);
        let reached = reached(name);
        let figures = Figures { rows: all.rows, outlets: all.outlets, reached, ..figures };
        Line { name: name.to_owned(), figures }
    };
    Ok(names.map(line).collect())
}
