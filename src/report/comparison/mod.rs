//! A comparison of two audits in reports: what its figures mean, in words that all formats share.

pub mod changes_csv;

use crate::audit::{Finding, VerdictKind};
use crate::compare::{Change, Comparison, FactShift, Holding, Status};
use crate::report::context::Report;
use crate::report::wording::grouped;
use crate::statistics::Paired;

/// Everything that the reports of a comparison are written from.
#[derive(Clone, Copy)]
pub struct ComparisonReport<'a> {
    /// The earlier audit.
    pub before: Report<'a>,
    /// The later audit.
    pub after: Report<'a>,
    /// What became of its violations.
    pub comparison: &'a Comparison,
    /// The claims of lists of corrections, where there are any.
    pub holding: Option<&'a Holding>,
    /// Facts that changed although nobody claims to have worked there.
    pub shifts: &'a [FactShift],
}

/// Where a violation stands, and whose it is.
pub(in crate::report) struct Stand<'a> {
    /// The finding, of whichever side has it.
    pub(in crate::report) finding: &'a Finding,
    /// The side that it is of.
    pub(in crate::report) side: Report<'a>,
}

impl<'a> ComparisonReport<'a> {
    /// What a status means, in a line.
    pub const fn meaning(&self, status: Status) -> &'static str {
        match status {
            Status::Corrected => "the later side decided that there is none",
            Status::Open => "a violation on both sides",
            Status::New => "a violation on the later side; before, none or not to be told",
            Status::Gone => "its outlet, or one of its group, left the schedule",
            Status::UnknownNow => "facts went missing, or another edition: not taken for corrected",
        }
    }

    /// Where a change stands: as the earlier side says it, where that one has it.
    pub(in crate::report) fn stand(&self, change: &Change) -> Option<Stand<'a>> {
        let of = |side: Report<'a>, place: Option<usize>| {
            Some(Stand { finding: side.audit.findings.get(place?)?, side })
        };
        of(self.before, change.before).or_else(|| of(self.after, change.after))
    }

    /// The outlets on both sides by whether they have a violation, for those of the earlier side that `of`
    /// takes.
    pub fn paired(&self, of: &dyn Fn(u32) -> bool) -> Paired {
        Paired::of(self.comparison.paired(self.before.audit, self.after.audit, of))
    }

    /// How the share of outlets with a violation changed, in a sentence.
    pub fn change_told(&self, paired: Paired) -> String {
        let Some((difference, range)) = paired.difference() else {
            return "no outlet stands on both sides".to_owned();
        };
        let share = |count: u64| percent(count, paired.all());
        let head = format!(
            "of {} rows on both sides {} had a violation and {} have one",
            grouped(paired.all()),
            share(paired.before()),
            share(paired.after())
        );
        let points = |share: f64| format!("{:.1}", share * 100.0);
        if paired.before_only + paired.after_only == 0 {
            return format!("{head}: none of them changed");
        }
        let moved = if difference >= 0.0 { "lower" } else { "higher" };
        let (low, high) = if difference >= 0.0 {
            (range.lower, range.upper)
        } else {
            (-range.upper, -range.lower)
        };
        let range = format!(
            "{} points {moved}, at 95 % between {} and {}",
            points(difference.abs()),
            points(low),
            points(high)
        );
        let test = match paired.mcnemar() {
            None => "none changed".to_owned(),
            Some(test) => {
                let name = if test.statistic.is_some() { "McNemar" } else { "McNemar, exact" };
                format!("{name}: p {}", probability(test.p))
            }
        };
        format!("{head}: {range} ({test})")
    }
}

#[expect(clippy::cast_precision_loss, reason = "a share for people")]
fn percent(count: u64, all: u64) -> String {
    format!("{:.1} %", 100.0 * count as f64 / all as f64)
}

/// A probability for people: three decimals, or that it is less.
pub(in crate::report) fn probability(p: f64) -> String {
    if p < 0.001 { "below 0.001".to_owned() } else { format!("{p:.3}") }
}

/// A verdict of one side; a dash where the outlet is not there.
pub(in crate::report) const fn verdict(kind: Option<VerdictKind>) -> &'static str {
    match kind {
        Some(kind) => kind.word(),
        None => "-",
    }
}
