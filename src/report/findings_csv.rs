//! The findings as CSV: one line a violation or a question for the authority, by row and rule.
//!
//! `citation` is the bare section; how well it is confirmed stands in the workbook and in the rule's
//! manual page, so that the column can be matched against other lists.

use std::io::Write;

use crate::audit::finding::{Finding, FindingAnswer};
use crate::audit::run::devices;
use crate::audit::subjects::text_of;
use crate::audit::wording::value_text;
use crate::outlet::Field;

use super::context::Report;
use super::guard::guarded;
use super::wording::{LIST, years, yes_no};

/// The columns, in order.
pub const COLUMNS: [&str; 29] = [
    "rule",
    "verdict",
    "grade",
    "defect_type",
    "citation",
    "edition",
    "subject_kind",
    "subject",
    "outlet_id",
    "others",
    "quantity",
    "building",
    "floor",
    "room",
    "trade",
    "corrects",
    "installer",
    "measured",
    "limit",
    "message",
    "remedy",
    "borderline",
    "observed_on",
    "observed_by",
    "evidence",
    "source",
    "sheet",
    "row",
    "cells",
];

/// Writes the findings.
pub fn write(report: &Report<'_>, out: impl Write) -> Result<(), csv::Error> {
    let mut csv = csv::Writer::from_writer(out);
    csv.write_record(COLUMNS)?;
    for finding in &report.audit.findings {
        csv.write_record(line(report, finding))?;
    }
    csv.flush()?;
    Ok(())
}

fn line(report: &Report<'_>, finding: &Finding) -> [String; COLUMNS.len()] {
    let audit = report.audit;
    let rule = finding.rule;
    let first = audit.outlet(finding.first());
    let place = audit.place(finding.first());
    let recorded = |field| guarded(text_of(first, field, &audit.texts)).into_owned();
    let input = |text: &str| guarded(text).into_owned();
    let grade = match finding.answer {
        FindingAnswer::Violates(_) => rule.grade.word(),
        FindingAnswer::Authority(_) => "",
    };
    [
        rule.name.to_owned(),
        finding.kind().word().to_owned(),
        grade.to_owned(),
        rule.defect.word().to_owned(),
        audit.citation(finding),
        years(&finding.editions, LIST),
        rule.subject.word().to_owned(),
        input(&audit.subject(finding)),
        recorded(Field::OutletId),
        input(&audit.others(finding).join(LIST)),
        devices(first).to_string(),
        input(place.building),
        input(place.floor),
        input(place.room),
        input(place.trade),
        input(&audit.trade(finding).0),
        recorded(Field::Installer),
        audit.measured_text(finding),
        audit.limit_text(finding),
        audit.message(finding),
        audit.remedy(finding).to_owned(),
        yes_no(finding.borderline).to_owned(),
        value_text(first, Field::ObservedOn, &audit.texts),
        recorded(Field::ObservedBy),
        recorded(Field::Evidence),
        input(report.account.path(first.origin)),
        input(report.account.sheet_name(first.origin)),
        first.origin.row.to_string(),
        input(&report.cells(finding).join(LIST)),
    ]
}
