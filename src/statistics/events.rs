//! What an audit holds, as three data frames: outlets, violations, and verdicts that wait.
//!
//! A breakdown is a grouped sum over them. The eager frames do; the lazy engine would bring a network
//! stack along.

use std::collections::{BTreeMap, BTreeSet};

use polars::prelude::{Column, DataFrame, PolarsResult};

use crate::audit::finding::FindingAnswer;
use crate::audit::run::devices;
use crate::audit::{Audit, Place};

/// Sums by the values of their keys.
pub(super) type Sums = BTreeMap<Vec<String>, Vec<u64>>;

/// The frames of an audit.
pub(super) struct Events {
    /// One line an outlet: `building`, `floor`, `room`, `trade`; `rows`, `devices`, and how many verdicts
    /// `reached` it as the first of its subject.
    pub(super) outlets: DataFrame,
    /// One line a violation: the keys of its first outlet and of its rule, `corrects`; the first outlet
    /// and its `devices`, and a one under its grade.
    pub(super) violations: DataFrame,
    /// One line an undetermined verdict: the keys of its first outlet and of its rule; `count`.
    pub(super) waiting: DataFrame,
}

/// The names of the columns that count violations by grade, in the order of the grades.
pub(super) const GRADES: [&str; 3] = ["danger", "latent", "workmanship"];

impl Events {
    pub(super) fn of(audit: &Audit) -> PolarsResult<Self> {
        Ok(Self {
            outlets: outlets(audit)?,
            violations: violations(audit)?,
            waiting: waiting(audit)?,
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

fn outlets(audit: &Audit) -> PolarsResult<DataFrame> {
    let mut keys = Keys::new(&["building", "floor", "room", "trade"]);
    let mut counted = Vec::with_capacity(audit.outlets.len());
    for (outlet, place) in audit.outlets.iter().zip(0..) {
        let Place { building, floor, room, trade } = audit.place(place);
        keys.push(&[building, floor, room, trade]);
        counted.push(devices(outlet));
    }
    let reached = audit.reached.iter().copied().map(u64::from).collect();
    keys.with(vec![("rows", vec![1; counted.len()]), ("devices", counted), ("reached", reached)])
}

fn violations(audit: &Audit) -> PolarsResult<DataFrame> {
    let found: Vec<_> = audit
        .findings
        .iter()
        .filter(|finding| matches!(finding.answer, FindingAnswer::Violates(_)))
        .collect();
    let trades: BTreeSet<&str> =
        (0..).zip(&audit.outlets).map(|(place, _)| audit.place(place).trade).collect();
    let corrects: Vec<String> = found
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
fn as_the_schedule_spells(trade: String, trades: &BTreeSet<&str>) -> String {
    let known = trades.contains(trade.as_str());
    let same = || trades.iter().find(|one| one.to_lowercase() == trade);
    if known { trade } else { same().map_or_else(|| trade.clone(), |one| (*one).to_owned()) }
}

/// A gap stands with every outlet that lacks a fact; the verdict of a group is counted once, with the
/// first of its outlets.
fn waiting(audit: &Audit) -> PolarsResult<DataFrame> {
    let firsts = Firsts::of(audit);
    let mut verdicts = BTreeSet::new();
    for gap in &audit.gaps {
        for rule in &gap.rules {
            verdicts.insert((firsts.of_group(audit, *rule, gap.outlet), *rule));
        }
    }
    let mut keys = Keys::new(&["building", "floor", "room", "trade", "defect", "grade", "rule"]);
    for (first, rule) in &verdicts {
        let Place { building, floor, room, trade } = audit.place(*first);
        let rule = audit.selection.rules()[usize::from(*rule)];
        let names = [rule.defect.word(), rule.grade.word(), rule.name];
        keys.push(&[building, floor, room, trade, names[0], names[1], names[2]]);
    }
    keys.with(vec![("count", vec![1; verdicts.len()])])
}

/// The first outlet of the group that an outlet belongs to, by kind of subject.
struct Firsts {
    by_kind: BTreeMap<usize, BTreeMap<u32, u32>>,
}

impl Firsts {
    fn of(audit: &Audit) -> Self {
        let mut by_kind = BTreeMap::new();
        for rule in audit.selection.rules() {
            by_kind.entry(rule.subject as usize).or_insert_with(|| {
                let groups = 0..audit.subjects.count(rule.subject);
                let members = groups.map(|group| audit.subjects.members(rule.subject, group));
                members
                    .filter(|members| members.len() > 1)
                    .flat_map(|members| {
                        members.iter().map(|one| (*one, members[0])).collect::<Vec<_>>()
                    })
                    .collect::<BTreeMap<u32, u32>>()
            });
        }
        Self { by_kind }
    }

    fn of_group(&self, audit: &Audit, rule: u16, outlet: u32) -> u32 {
        let kind = audit.selection.rules()[usize::from(rule)].subject as usize;
        self.by_kind.get(&kind).and_then(|firsts| firsts.get(&outlet)).copied().unwrap_or(outlet)
    }
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
