//! The findings as CSV: one line a violation or a question for the authority, by row and rule.
//!
//! `citation` is the bare section; how well it is confirmed stands in the workbook and in the rule's
//! manual page, so that the column can be matched against other lists.

use std::borrow::Cow;
use std::io::Write;

use rayon::prelude::*;

use crate::audit::finding::Finding;

use super::context::Report;
use super::finding_line::FindingLine;
use super::guard::guarded;
use super::wording::{LIST, yes_no};

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

/// Findings that are worded by one task, and those that are worded before any of them is written.
const CHUNK: usize = 256;
const WINDOW: usize = 64 * CHUNK;

/// Writes the findings. They are worded on all threads, and written in their order while the next ones are
/// worded.
pub fn write(report: &Report<'_>, mut out: impl Write + Send) -> Result<(), csv::Error> {
    let mut ready = vec![lines(|csv| csv.write_record(COLUMNS))?];
    for window in report.audit.findings.chunks(WINDOW) {
        let write = || ready.iter().try_for_each(|part| out.write_all(part));
        let (written, next) = rayon::join(write, || worded(report, window));
        written?;
        ready = next?;
    }
    Ok(ready.iter().try_for_each(|part| out.write_all(part))?)
}

/// The lines of findings, in parts.
fn worded(report: &Report<'_>, findings: &[Finding]) -> Result<Vec<Vec<u8>>, csv::Error> {
    let part = |findings: &[Finding]| {
        lines(|csv| {
            findings.iter().try_for_each(|finding| {
                let record = record(FindingLine::of(report, finding));
                csv.write_record(record.iter().map(|cell| cell.as_bytes()))
            })
        })
    };
    findings.par_chunks(CHUNK).map(part).collect()
}

/// Lines of the file as bytes.
fn lines(
    fill: impl FnOnce(&mut csv::Writer<Vec<u8>>) -> Result<(), csv::Error>,
) -> Result<Vec<u8>, csv::Error> {
    let mut csv = csv::Writer::from_writer(Vec::new());
    fill(&mut csv)?;
    Ok(csv.into_inner().map_err(csv::IntoInnerError::into_error)?)
}

/// Lists are joined, and what came from an input is guarded.
fn record<'a>(line: FindingLine<'a>) -> [Cow<'a, str>; COLUMNS.len()] {
    let recorded = |text: Option<&'a str>| guarded(text.unwrap_or_default());
    let plain = |text: &'a str| Cow::from(text);
    [
        plain(line.rule),
        plain(line.verdict),
        plain(line.grade.unwrap_or_default()),
        plain(line.defect_type),
        line.citation.into(),
        joined(line.edition),
        plain(line.subject_kind),
        guarded(line.subject),
        recorded(line.outlet_id),
        guarded(joined(line.others)),
        line.quantity.to_string().into(),
        recorded(line.building),
        recorded(line.floor),
        recorded(line.room),
        recorded(line.trade),
        guarded(line.corrects),
        recorded(line.installer),
        line.measured.unwrap_or_default().into(),
        line.limit.unwrap_or_default().into(),
        guarded(line.message),
        plain(line.remedy),
        plain(yes_no(line.borderline)),
        line.observed_on.map(|date| date.to_string()).unwrap_or_default().into(),
        recorded(line.observed_by),
        recorded(line.evidence),
        guarded(line.source),
        recorded(line.sheet),
        line.row.to_string().into(),
        guarded(joined(line.cells)),
    ]
}

fn joined<'a, T: Into<Cow<'a, str>>>(list: Vec<T>) -> Cow<'a, str> {
    let mut parts = list.into_iter().map(Into::into);
    let mut all: Cow<'a, str> = parts.next().unwrap_or_default();
    for part in parts {
        let all = all.to_mut();
        all.push_str(LIST);
        all.push_str(&part);
    }
    all
}
