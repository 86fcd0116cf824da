//! Counts of verdicts: for each rule the five add up to the number of its subjects.

use crate::rules::{Rule, VerdictKind};

/// Verdicts that reach the subjects of a first row, counted: all but not-applicable.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Reached {
    /// All of them.
    pub all: u32,
    /// Those that wait for facts.
    pub undetermined: u32,
}

/// The verdicts of one rule.
#[derive(Clone, Debug)]
pub struct Tally {
    /// The rule.
    pub rule: &'static Rule,
    counts: [u64; 5],
}

impl Tally {
    /// So many verdicts of each kind, in the order of [`VerdictKind::ALL`].
    pub(super) const fn with(rule: &'static Rule, counts: [u64; 5]) -> Self {
        Self { rule, counts }
    }

    /// Counts a verdict as another one.
    pub const fn reclassify(&mut self, from: VerdictKind, to: VerdictKind) {
        self.counts[from as usize] -= 1;
        self.counts[to as usize] += 1;
    }

    /// Adds the counts of another tally of the same rule.
    pub fn merge(&mut self, other: &Self) {
        for (count, more) in self.counts.iter_mut().zip(other.counts) {
            *count += more;
        }
    }

    /// How many subjects got this verdict.
    pub const fn count(&self, kind: VerdictKind) -> u64 {
        self.counts[kind as usize]
    }

    /// How many subjects were judged.
    pub fn subjects(&self) -> u64 {
        self.counts.iter().sum()
    }
}

/// The counts of all rules together, and what share of them could be decided.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Totals {
    counts: [u64; 5],
}

impl Totals {
    /// The sum of the tallies.
    pub fn of(tallies: &[Tally]) -> Self {
        let mut counts = [0; 5];
        for tally in tallies {
            for (count, more) in counts.iter_mut().zip(tally.counts) {
                *count += more;
            }
        }
        Self { counts }
    }

    /// How many verdicts are of this kind.
    pub const fn count(&self, kind: VerdictKind) -> u64 {
        self.counts[kind as usize]
    }

    /// All verdicts.
    pub fn all(&self) -> u64 {
        self.counts.iter().sum()
    }

    /// Verdicts of rules that reach their subject: all but not-applicable.
    pub fn reached(&self) -> u64 {
        self.all() - self.count(VerdictKind::NotApplicable)
    }

    /// The share of verdicts that were decided among those whose rule reaches the subject, from 0 to 1;
    /// none when no rule reached any subject.
    ///
    /// Left to the authority counts as decided: nothing is missing.
    #[expect(clippy::cast_precision_loss, reason = "a share for people")]
    pub fn decided_share(&self) -> Option<f64> {
        let reached = self.reached();
        let undetermined = self.count(VerdictKind::Undetermined);
        (reached > 0).then(|| (reached - undetermined) as f64 / reached as f64)
    }
}

impl Tally {
    /// How many verdicts wait for facts.
    pub const fn undetermined(&self) -> u64 {
        self.count(VerdictKind::Undetermined)
    }

    /// How many verdicts reached their subject, as in [`Totals::reached`].
    pub fn reached(&self) -> u64 {
        Totals { counts: self.counts }.reached()
    }

    /// The share of this rule's verdicts that were decided, as in [`Totals::decided_share`].
    pub fn decided_share(&self) -> Option<f64> {
        Totals { counts: self.counts }.decided_share()
    }
}
