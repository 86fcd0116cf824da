//! The facts that verdicts wait for, and the order of collecting them that decides the most soonest.

use std::collections::{BTreeMap, BTreeSet};

use hashbrown::HashMap;

use crate::audit::Audit;
use crate::audit::finding::Gap;
use crate::outlet::{Fact, Outlet};
use crate::rules::{Missing, MissingFact};

/// What a fact holds up.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FactLine {
    /// The fact.
    pub fact: MissingFact,
    /// Verdicts that wait for it, for others as well or not.
    pub waiting: u64,
    /// Those that wait for it alone.
    pub alone: u64,
    /// The rules that wait, by name, each with its verdicts.
    pub rules: Vec<(&'static str, u64)>,
    /// Rows whose schedule has no column for it.
    pub without_column: u64,
    /// Rows whose cell is blank.
    pub blank: u64,
    /// Rows whose cell cannot be read.
    pub unreadable: u64,
}

/// Facts to collect together, and what that decides.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Step {
    /// The facts, in the order of the model.
    pub facts: Vec<MissingFact>,
    /// Rows that wait and on which one of them is not recorded.
    pub rows: u64,
    /// Verdicts whose last missing facts these are.
    pub decided: u64,
    /// Verdicts decided by this step and all before it.
    pub decided_so_far: u64,
}

/// What is missing of an audit.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Survey {
    /// The facts that verdicts wait for, those that most wait for first.
    pub facts: Vec<FactLine>,
    /// The order of collecting them.
    pub steps: Vec<Step>,
    /// Verdicts that wait.
    pub waiting: u64,
}

impl Survey {
    /// What is missing of an audit.
    pub fn of(audit: &Audit) -> Self {
        let mut sets: BTreeMap<Missing, u64> = BTreeMap::new();
        for waiting in &audit.waiting {
            *sets.entry(waiting.missing).or_default() += waiting.subjects;
        }
        let waiting = sets.values().sum();
        let gaps = alike(audit);
        Self { facts: facts(audit, &gaps), steps: steps(&audit.outlets, &gaps, sets), waiting }
    }
}

/// Rows that lack the same facts, each in the same way: one of them, and how many they are.
type Gaps<'a> = Vec<(&'a Gap, u64)>;

/// The gaps of an audit: millions of rows have few kinds of them.
fn alike(audit: &Audit) -> Gaps<'_> {
    let mut places: HashMap<(Missing, [Missing; 3]), usize> = HashMap::new();
    let mut gaps: Gaps<'_> = Vec::new();
    for gap in &audit.gaps {
        let outlet = audit.outlet(gap.outlet);
        let mut ways = [Missing::default(); 3];
        for fact in gap.missing.facts() {
            match state(outlet, fact) {
                Fact::Absent => ways[0].add(fact),
                Fact::Blank => ways[1].add(fact),
                Fact::Unreadable => ways[2].add(fact),
                Fact::Known(()) => {}
            }
        }
        let place = *places.entry((gap.missing, ways)).or_insert(gaps.len());
        match gaps.get_mut(place) {
            Some((_, rows)) => *rows += 1,
            None => gaps.push((gap, 1)),
        }
    }
    gaps
}

fn facts(audit: &Audit, gaps: &Gaps<'_>) -> Vec<FactLine> {
    let waited: BTreeSet<MissingFact> =
        audit.waiting.iter().flat_map(|waiting| waiting.missing.facts()).collect();
    let mut lines: Vec<FactLine> = waited.into_iter().map(|fact| line(audit, gaps, fact)).collect();
    lines.sort_by_key(|line| std::cmp::Reverse((line.waiting, line.alone)));
    lines
}

fn line(audit: &Audit, gaps: &Gaps<'_>, fact: MissingFact) -> FactLine {
    let mut line = FactLine {
        fact,
        waiting: 0,
        alone: 0,
        rules: Vec::new(),
        without_column: 0,
        blank: 0,
        unreadable: 0,
    };
    let mut rules: BTreeMap<&'static str, u64> = BTreeMap::new();
    for waiting in audit.waiting.iter().filter(|waiting| waiting.waits_for(fact)) {
        line.waiting += waiting.subjects;
        line.alone += if waiting.missing.facts().count() == 1 { waiting.subjects } else { 0 };
        *rules.entry(waiting.rule.name).or_default() += waiting.subjects;
    }
    line.rules = rules.into_iter().collect();
    for (gap, rows) in gaps.iter().filter(|(gap, _)| gap.missing.contains(fact)) {
        match state(audit.outlet(gap.outlet), fact) {
            Fact::Absent => line.without_column += rows,
            Fact::Blank => line.blank += rows,
            Fact::Unreadable => line.unreadable += rows,
            Fact::Known(()) => {}
        }
    }
    line
}

/// How a row stands to a fact: of several fields that would settle it the best recorded one counts.
fn state(outlet: &Outlet, fact: MissingFact) -> Fact<()> {
    let is = |wanted: fn(&Fact<i64>) -> bool| {
        fact.fields().iter().any(|field| wanted(&outlet.raw(*field)))
    };
    if is(Fact::is_known) {
        Fact::Known(())
    } else if is(|fact| *fact == Fact::Unreadable) {
        Fact::Unreadable
    } else if is(|fact| *fact == Fact::Blank) {
        Fact::Blank
    } else {
        Fact::Absent
    }
}

/// At each step the facts of one waiting set that decide the most verdicts a fact, so that facts which
/// decide little by themselves come together with those that they need.
fn steps(outlets: &[Outlet], gaps: &Gaps<'_>, mut sets: BTreeMap<Missing, u64>) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut decided_so_far = 0;
    while let Some((bundle, decided)) = first_part(&sets) {
        let facts: Vec<MissingFact> = bundle.facts().collect();
        decided_so_far += decided;
        let lacks = |gap: &Gap| {
            let mut of_gap = facts.iter().filter(|fact| gap.missing.contains(**fact));
            let outlet = &outlets[gap.outlet as usize];
            of_gap.any(|fact| !state(outlet, *fact).is_known())
        };
        let rows = gaps.iter().filter(|(gap, _)| lacks(gap)).map(|(_, rows)| rows).sum();
        steps.push(Step { facts, rows, decided, decided_so_far });
        sets = without(&sets, bundle);
    }
    steps
}

/// The sets that are left when facts are collected; equal ones are counted together.
fn without(sets: &BTreeMap<Missing, u64>, bundle: Missing) -> BTreeMap<Missing, u64> {
    let mut left = BTreeMap::new();
    for (set, count) in sets {
        let rest = set.minus(bundle);
        if !rest.is_empty() {
            *left.entry(rest).or_default() += count;
        }
    }
    left
}

/// The best facts; of them only a part where it decides at least half as much a fact by itself, since
/// the sooner the better.
fn first_part(sets: &BTreeMap<Missing, u64>) -> Option<(Missing, u64)> {
    let (bundle, decided) = best(sets)?;
    let inside = |set: &Missing| *set != bundle && set.minus(bundle).is_empty();
    let inner = sets.iter().filter(|(set, _)| inside(set));
    let inner = inner.map(|(set, count)| (*set, *count)).collect();
    let facts = |set: Missing| set.facts().count() as u64;
    let good = |(part, count): &(Missing, u64)| 2 * count * facts(bundle) >= decided * facts(*part);
    Some(first_part(&inner).filter(good).unwrap_or((bundle, decided)))
}

/// The set that decides the most verdicts a fact; of equal ones the one that decides more, then the
/// first.
fn best(sets: &BTreeMap<Missing, u64>) -> Option<(Missing, u64)> {
    let mut best: Option<(Missing, u64, u64)> = None;
    for bundle in sets.keys() {
        let within = sets.iter().filter(|(set, _)| set.minus(*bundle).is_empty());
        let decided: u64 = within.map(|(_, count)| count).sum();
        let facts = bundle.facts().count() as u64;
        // Compared crosswise, so that no fraction is rounded.
        let better =
            best.is_none_or(|(_, most, of)| (decided * of, decided) > (most * facts, most));
        if better {
            best = Some((*bundle, decided, facts));
        }
    }
    best.map(|(bundle, decided, _)| (bundle, decided))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outlet::Field;

    fn set(fields: &[Field]) -> Missing {
        let mut missing = Missing::default();
        for field in fields {
            missing.add_field(*field);
        }
        missing
    }

    fn ordered(sets: &[(&[Field], u64)]) -> Vec<(Vec<&'static str>, u64, u64)> {
        let sets = sets.iter().map(|(fields, count)| (set(fields), *count)).collect();
        let told = |step: Step| {
            let names = step.facts.iter().map(|fact| fact.name()).collect();
            (names, step.decided, step.decided_so_far)
        };
        steps(&[], &Vec::new(), sets).into_iter().map(told).collect()
    }

    /// Counts of our own, added by hand: the first two facts decide 1,007 verdicts each, which is more
    /// than any other; one of them already decides 812 by itself and goes first.
    #[test]
    fn each_step_decides_the_most() {
        let (a, b, c) = (Field::Exposure, Field::Surface, Field::BoxSetBack);
        let steps = ordered(&[(&[a, c], 1000), (&[c], 812), (&[a], 202), (&[b], 900)]);
        let wanted = [
            (vec!["box_set_back"], 812, 812),
            (vec!["exposure"], 1202, 2014),
            (vec!["surface"], 900, 2914),
        ];
        assert_eq!(steps, wanted);
    }

    #[test]
    fn a_part_that_decides_little_waits_for_the_rest() {
        let (a, b) = (Field::Exposure, Field::Surface);
        let steps = ordered(&[(&[a, b], 900), (&[b], 6)]);
        assert_eq!(steps, [(vec!["exposure", "surface"], 906, 906)]);
    }

    #[test]
    fn facts_that_decide_nothing_by_themselves_come_together() {
        let (a, b) = (Field::Exposure, Field::Surface);
        assert_eq!(ordered(&[(&[a, b], 7)]), [(vec!["exposure", "surface"], 7, 7)]);
        assert_eq!(ordered(&[]), []);
    }

    /// The greedy order ends with every verdict decided, and never names a fact twice.
    #[test]
    fn the_steps_end_with_everything_decided() {
        let all = [Field::Exposure, Field::Surface, Field::BoxSetBack, Field::Facing, Field::Box];
        let sets: Vec<(Vec<Field>, u64)> = (1_u64..32)
            .map(|mask| {
                let chosen = (0..5).filter(|bit| mask & (1 << bit) != 0);
                (chosen.map(|bit: usize| all[bit]).collect(), mask * mask % 17 + 1)
            })
            .collect();
        let total: u64 = sets.iter().map(|(_, count)| count).sum();
        let sets: Vec<(&[Field], u64)> =
            sets.iter().map(|(fields, count)| (fields.as_slice(), *count)).collect();
        let steps = ordered(&sets);
        assert_eq!(steps.last().unwrap().2, total);
        let named: Vec<&str> = steps.iter().flat_map(|step| step.0.clone()).collect();
        let distinct: BTreeSet<&str> = named.iter().copied().collect();
        assert_eq!((named.len(), distinct.len()), (5, 5));
    }
}
