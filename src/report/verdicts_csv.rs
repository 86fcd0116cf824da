//! Every verdict of every rule as CSV, by row and rule; an audit that did not keep them has none.

use std::io::Write;

use crate::audit::{VerdictRow, subject_name};

use super::context::Report;
use super::guard::guarded;
use super::wording::yes_no;

/// The columns, in order.
pub const COLUMNS: [&str; 10] = [
    "rule",
    "subject_kind",
    "building",
    "subject",
    "verdict",
    "missing",
    "borderline",
    "source",
    "sheet",
    "row",
];

/// Writes the verdicts.
pub fn write(report: &Report<'_>, out: impl Write) -> Result<(), csv::Error> {
    let mut csv = csv::Writer::from_writer(out);
    csv.write_record(COLUMNS)?;
    for row in &report.audit.verdicts {
        csv.write_record(line(report, row))?;
    }
    csv.flush()?;
    Ok(())
}

fn line(report: &Report<'_>, row: &VerdictRow) -> [String; COLUMNS.len()] {
    let audit = report.audit;
    let first = audit.outlet(row.first);
    let input = |text: &str| guarded(text).into_owned();
    [
        row.rule.name.to_owned(),
        row.subject.word().to_owned(),
        input(audit.place(row.first).building),
        input(&subject_name(row.subject, first, &audit.texts)),
        row.kind.word().to_owned(),
        row.missing.text(),
        yes_no(row.borderline).to_owned(),
        input(report.account.path(first.origin)),
        input(report.account.sheet_name(first.origin)),
        first.origin.row.to_string(),
    ]
}
