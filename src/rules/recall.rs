//! Verdicts remembered: in a schedule that records little, thousands of outlets record the same.
//!
//! A verdict of an outlet rule follows from the facts that the rule reads, lengths only by where they
//! stand to its limits. So what was explored once for such facts need not be explored again.

use std::collections::HashMap;

use crate::outlet::words::Edition;
use crate::outlet::{Fact, Field, Kind, Outlet};

use super::rule::Rule;
use super::verdict::{FactRef, Inferences, Verdict};
use super::world::Moved;

/// Verdicts kept at most; more begin anew.
const MOST: usize = 20_000;

/// What was explored.
#[derive(Clone, Debug)]
pub(super) struct Remembered {
    pub(super) verdict: Verdict,
    pub(super) evidence: Vec<FactRef>,
    pub(super) lengths: Vec<FactRef>,
    pub(super) mattering: Vec<FactRef>,
    pub(super) inferences: Inferences,
}

/// Verdicts by rule and facts.
#[derive(Default, Debug)]
pub(super) struct Recall {
    known: HashMap<Vec<i64>, Remembered>,
    key: Vec<i64>,
}

impl Recall {
    /// What is remembered of a rule for these facts.
    pub(super) fn find(
        &mut self,
        rule: &Rule,
        outlet: &Outlet,
        editions: &[Edition],
        moved: Option<Moved>,
    ) -> Option<&Remembered> {
        self.key.clear();
        self.key.push(i64::try_from(rule.name.as_ptr().addr()).unwrap_or_default());
        let governing = editions.iter().fold(0, |mask, edition| mask | 1 << *edition as u8);
        self.key.push(governing);
        let read = rule.asks.iter().chain(rule.heeds).chain(&[Field::Device, Field::Edition]);
        for field in read {
            self.key.push(code(rule, outlet, *field, moved));
        }
        self.known.get(&self.key)
    }

    /// Remembers a verdict for the facts that were last looked for.
    pub(super) fn keep(&mut self, remembered: Remembered) {
        if self.known.len() >= MOST {
            self.known.clear();
        }
        self.known.insert(self.key.clone(), remembered);
    }
}

/// A fact as far as a rule can tell it from others; the ways of being unknown come last.
fn code(rule: &Rule, outlet: &Outlet, field: Field, moved: Option<Moved>) -> i64 {
    let record = match moved {
        Some(moved) if moved.fact.field == field => Fact::Known(moved.value),
        _ => outlet.raw(field),
    };
    match record {
        Fact::Known(length) if field.kind() == Kind::Length => place(rule, length),
        Fact::Known(_) if field.kind() == Kind::Text => 0,
        Fact::Known(value) => value,
        Fact::Blank => i64::MAX,
        Fact::Unreadable => i64::MAX - 1,
        Fact::Absent => i64::MAX - 2,
    }
}

/// Where a length stands to the limits of a rule: below, at or above each.
fn place(rule: &Rule, length: i64) -> i64 {
    rule.limits.iter().fold(0, |place, limit| place * 3 + length.cmp(&limit.0) as i64 + 1)
}
