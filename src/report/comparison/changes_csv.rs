//! The changes as CSV: one line a violation of either side.

use std::io::Write;

use crate::compare::Change;
use crate::report::guard::guarded;

use super::{ComparisonReport, verdict};

/// The columns, in order.
pub const COLUMNS: [&str; 10] = [
    "status",
    "rule",
    "subject",
    "building",
    "floor",
    "room",
    "trade",
    "before",
    "after",
    "what_changed",
];

/// Writes the changes.
pub fn write(report: &ComparisonReport<'_>, out: impl Write) -> Result<(), csv::Error> {
    let mut csv = csv::Writer::from_writer(out);
    csv.write_record(COLUMNS)?;
    for change in &report.comparison.changes {
        csv.write_record(record(report, change))?;
    }
    csv.flush()?;
    Ok(())
}

fn record(report: &ComparisonReport<'_>, change: &Change) -> [String; COLUMNS.len()] {
    let input = |text: &str| guarded(text).into_owned();
    let Some(stand) = report.stand(change) else { return Default::default() };
    let audit = stand.side.audit;
    let place = audit.place(stand.finding.first());
    [
        change.status.word().to_owned(),
        change.rule.to_owned(),
        input(&audit.subject(stand.finding)),
        input(place.building),
        input(place.floor),
        input(place.room),
        input(audit.trade(stand.finding).0),
        verdict(change.was).to_owned(),
        verdict(change.is).to_owned(),
        input(&change.what_changed),
    ]
}
