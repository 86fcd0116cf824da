//! One finding as a line of a table: the columns that the CSV file, the JSON lines and the Parquet table
//! share.
//!
//! The fields stand in the order of the columns, with their names. What is not recorded is none, never
//! an empty text; texts of the schedules stand as they were read.

use std::borrow::Cow;

use serde::Serialize;

use crate::audit::finding::{Finding, FindingAnswer};
use crate::audit::run::devices;
use crate::audit::subjects::text_of;
use crate::outlet::{Date, Field, Word as _, facts};

use super::context::Report;

/// A violation, or a question for the authority.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct FindingLine<'a> {
    /// Name of the rule.
    pub rule: &'static str,
    /// `violates` or `authority`.
    pub verdict: &'static str,
    /// Grade of a violation: `danger`, `latent` or `workmanship`.
    pub grade: Option<&'static str>,
    /// Defect type of the rule.
    pub defect_type: &'static str,
    /// The section, and the local amendment that had a say.
    pub citation: String,
    /// The editions that may govern, as years.
    pub edition: Vec<&'static str>,
    /// What was judged: `outlet`, `enclosure`, `circuit` or `bed-location`.
    pub subject_kind: &'static str,
    /// Its name.
    pub subject: Cow<'a, str>,
    /// The outlet under whose row the finding is listed.
    pub outlet_id: Option<&'a str>,
    /// The other outlets that the finding rests on, in the order of their rows.
    pub others: Vec<String>,
    /// Devices that the row stands for.
    pub quantity: u64,
    /// Building of the row.
    pub building: Option<&'a str>,
    /// Storey of the row.
    pub floor: Option<&'a str>,
    /// Room of the row.
    pub room: Option<&'a str>,
    /// The trade that the schedule names.
    pub trade: Option<&'a str>,
    /// The trade that is to correct it: that of the schedule, else the usual one of the rule.
    pub corrects: &'a str,
    /// Company that installed it.
    pub installer: Option<&'a str>,
    /// What was measured or counted, with its unit.
    pub measured: Option<String>,
    /// What is allowed, with its unit.
    pub limit: Option<String>,
    /// What is wrong, or the question.
    pub message: String,
    /// What to do.
    pub remedy: &'static str,
    /// Whether a measurement of ordinary care could come out otherwise.
    pub borderline: bool,
    /// Day on which the facts were observed.
    pub observed_on: Option<Date>,
    /// Person who observed them.
    pub observed_by: Option<&'a str>,
    /// Photograph or note that shows them.
    pub evidence: Option<&'a str>,
    /// Path of the file.
    pub source: &'a str,
    /// Sheet of the file; none for a text file.
    pub sheet: Option<&'a str>,
    /// Row of the sheet, from 1.
    pub row: u32,
    /// The cells that the finding rests on.
    pub cells: Vec<String>,
}

impl<'a> FindingLine<'a> {
    /// The line of a finding.
    pub fn of(report: &Report<'a>, finding: &'a Finding) -> Self {
        let audit = report.audit;
        let rule = finding.rule;
        let first = audit.outlet(finding.first());
        let place = audit.place(finding.first());
        let text = |field| recorded(text_of(first, field, &audit.texts));
        let (measured, limit) = (audit.measured_text(finding), audit.limit_text(finding));
        Self {
            rule: rule.name,
            verdict: finding.kind().word(),
            grade: match finding.answer {
                FindingAnswer::Violates(_) => Some(rule.grade.word()),
                FindingAnswer::Authority(_) => None,
            },
            defect_type: rule.defect.word(),
            citation: audit.citation(finding),
            edition: finding.editions.iter().map(|edition| edition.word()).collect(),
            subject_kind: rule.subject.word(),
            subject: audit.subject(finding),
            outlet_id: text(Field::OutletId),
            others: audit.others(finding),
            quantity: devices(first),
            building: recorded(place.building),
            floor: recorded(place.floor),
            room: recorded(place.room),
            trade: recorded(place.trade),
            corrects: audit.trade(finding).0,
            installer: text(Field::Installer),
            message: finding.message(&measured, &limit),
            measured: figure(measured),
            limit: figure(limit),
            remedy: audit.remedy(finding),
            borderline: finding.borderline,
            observed_on: first.get(facts::OBSERVED_ON).known(),
            observed_by: text(Field::ObservedBy),
            evidence: text(Field::Evidence),
            source: report.account.path(first.origin),
            sheet: recorded(report.account.sheet_name(first.origin)),
            row: first.origin.row,
            cells: report.cells(finding),
        }
    }

    /// The lines of all findings, by row and rule.
    pub fn all(report: Report<'a>) -> impl ExactSizeIterator<Item = Self> {
        report.audit.findings.iter().map(move |finding| Self::of(&report, finding))
    }
}

fn recorded(text: &str) -> Option<&str> {
    (!text.is_empty()).then_some(text)
}

fn figure(text: String) -> Option<String> {
    (!text.is_empty()).then_some(text)
}
