//! What an audit holds, as three data frames: outlets, violations, and verdicts that wait.
//!
//! A breakdown is a grouped sum over them. The eager frames do; the lazy engine would bring a network
//! stack along.

use std::collections::{BTreeMap, BTreeSet};

use polars::prelude::{Column, DataFrame, PolarsResult};

use crate::audit::finding::FindingAnswer;
use crate::audit::place::Spots;
use crate::audit::run::devices;
use crate::audit::{Audit, Place};

/// Sums by the values of their keys.
pub(super) type Sums = BTreeMap<Vec<String>, Vec<u64>>;

/// The frames of an audit.
pub(super) struct Events {
    /// One line a place and trade: `building`, `floor`, `room`, `trade`; the `rows` and `devices` there, how
    /// many verdicts `reached` them as the first of their subject, and how many of those are `waiting`.
    pub(super) outlets: DataFrame,
    /// One line a violation: the keys of its first outlet and of its rule, `corrects`; the first outlet
    /// and its `devices`, and a one under its grade.
    pub(super) violations: DataFrame,
    /// One line a rule: `defect`, `grade`, `rule`; how many of its verdicts are `waiting`.
    pub(super) rules: DataFrame,
}

/// The names of the columns that count violations by grade, in the order of the grades.
pub(super) const GRADES: [&str; 3] = ["danger", "latent", "workmanship"];

impl Events {
    pub(super) fn of(audit: &Audit) -> PolarsResult<Self> {
        let spots = Spots::of(audit);
        Ok(Self {
            outlets: outlets(audit, &spots)?,
            violations: violations(audit, &spots)?,
            rules: rules(audit)?,
        })
    }
}

/// Columns of text, filled line by line.
struct Keys<'a> {
    names: &'static [&'static str],
    columns: Vec<Vec<&'a str>>,
}

impl<'a> Keys<'a> {
    fn new(names: &'static [&'static str]) -> Self {
        Self { names, columns: vec![Vec::new(); names.len()] }
    }

    fn push(&mut self, line: &[&'a str]) {
        for (column, text) in self.columns.iter_mut().zip(line) {
            column.push(text);
        }
    }

    fn with(self, numbers: Vec<(&str, Vec<u64>)>) -> PolarsResult<DataFrame> {
        let texts = self.names.iter().zip(&self.columns);
        let texts = texts.map(|(name, texts)| Column::new((*name).into(), texts.as_slice()));
        let numbers = numbers.into_iter().map(|(name, list)| Column::new(name.into(), list));
        DataFrame::new_infer_height(texts.chain(numbers).collect())
    }
}

fn outlets(audit: &Audit, spots: &Spots) -> PolarsResult<DataFrame> {
    let mut keys = Keys::new(&["building", "floor", "room", "trade"]);
    for first in &spots.firsts {
        let Place { building, floor, room, trade } = audit.place(*first);
        keys.push(&[building, floor, room, trade]);
    }
    let none = || vec![0; spots.firsts.len()];
    let (mut rows, mut counted, mut reached, mut waiting) = (none(), none(), none(), none());
    for ((spot, outlet), verdicts) in spots.of.iter().zip(&audit.outlets).zip(&audit.reached) {
        let spot = *spot as usize;
        rows[spot] += 1;
        counted[spot] += devices(outlet);
        reached[spot] += u64::from(verdicts.all);
        waiting[spot] += u64::from(verdicts.undetermined);
    }
    let numbers =
        [("rows", rows), ("devices", counted), ("reached", reached), ("waiting", waiting)];
    keys.with(numbers.into())
}

fn rules(audit: &Audit) -> PolarsResult<DataFrame> {
    let mut keys = Keys::new(&["defect", "grade", "rule"]);
    for tally in &audit.tallies {
        let rule = tally.rule;
        keys.push(&[rule.defect.word(), rule.grade.word(), rule.name]);
    }
    let waiting = audit.tallies.iter().map(crate::audit::Tally::undetermined).collect();
    keys.with(vec![("waiting", waiting)])
}

fn violations(audit: &Audit, spots: &Spots) -> PolarsResult<DataFrame> {
    let found: Vec<_> = audit
        .findings
        .iter()
        .filter(|finding| matches!(finding.answer, FindingAnswer::Violates(_)))
        .collect();
    let trades: BTreeSet<&str> =
        spots.firsts.iter().map(|place| audit.place(*place).trade).collect();
    let corrects: Vec<&str> = found
        .iter()
        .map(|finding| as_the_schedule_spells(audit.trade(finding).0, &trades))
        .collect();
    let mut keys =
        Keys::new(&["building", "floor", "room", "trade", "corrects", "defect", "grade", "rule"]);
    let mut first = Vec::with_capacity(found.len());
    let mut counted = Vec::with_capacity(found.len());
    let mut grades = GRADES.map(|_| Vec::with_capacity(found.len()));
    for (finding, corrects) in found.iter().zip(&corrects) {
        let Place { building, floor, room, trade } = audit.place(finding.first());
        let rule = finding.rule;
        let names = [rule.defect.word(), rule.grade.word(), rule.name];
        keys.push(&[building, floor, room, trade, corrects, names[0], names[1], names[2]]);
        first.push(u64::from(finding.first()));
        counted.push(devices(audit.outlet(finding.first())));
        for (grade, column) in grades.iter_mut().enumerate() {
            column.push(u64::from(grade == rule.grade as usize));
        }
    }
    let mut numbers = vec![("first", first), ("devices", counted)];
    numbers.extend(GRADES.into_iter().zip(grades));
    keys.with(numbers)
}

/// The usual trade of a rule is written in lower case; a schedule that names it keeps its own spelling.
fn as_the_schedule_spells<'a>(trade: &'a str, trades: &BTreeSet<&'a str>) -> &'a str {
    let known = trades.contains(trade);
    let same = || trades.iter().copied().find(|one| one.to_lowercase() == trade);
    if known { trade } else { same().unwrap_or(trade) }
}

/// The sums of `measures` by `keys`, which may be none.
#[expect(deprecated, reason = "the successor is the lazy engine, which is left out on purpose")]
pub(super) fn sums(frame: &DataFrame, keys: &[&str], measures: &[&str]) -> PolarsResult<Sums> {
    if frame.height() == 0 {
        return Ok(Sums::new());
    }
    let grouped = frame.group_by_stable(keys.iter().copied())?;
    read(&grouped.select(measures.iter().copied()).sum()?, keys.len())
}

/// The devices of distinct first outlets of violations by `keys`: an outlet with two violations counts
/// once.
#[expect(deprecated, reason = "the successor is the lazy engine, which is left out on purpose")]
pub(super) fn distinct_devices(violations: &DataFrame, keys: &[&str]) -> PolarsResult<Sums> {
    if violations.height() == 0 {
        return Ok(Sums::new());
    }
    let outlet = keys.iter().copied().chain(["first"]);
    let once = violations.group_by_stable(outlet)?.select(["devices"]).first()?;
    sums(&once, keys, &["devices_first"])
}

fn read(frame: &DataFrame, keys: usize) -> PolarsResult<Sums> {
    let (names, figures) = frame.columns().split_at(keys);
    let mut sums = Sums::new();
    for line in 0..frame.height() {
        let mut key = Vec::with_capacity(keys);
        for column in names {
            key.push(column.str()?.get(line).unwrap_or_default().to_owned());
        }
        let mut values = Vec::with_capacity(figures.len());
        for column in figures {
            values.push(column.u64()?.get(line).unwrap_or_default());
        }
        sums.insert(key, values);
    }
    Ok(sums)
}
