//! The sheet of measurements to take again: verdicts that one step of a measurement turns from right to
//! wrong or back, in the order of a walk through the buildings.

use std::collections::BTreeMap;

use crate::audit::subject_name;
use crate::audit::wording::{bound_text, value_text};
use crate::audit::{Audit, MeasureAgain};
use crate::outlet::{Field, Length};
use crate::report::cautions;
use crate::report::context::Report;
use crate::rules::{Rule, SubjectKind, VerdictKind};

use super::plan::{Block, Cell, Column, MARKS, Paper, Plan, SECTION, Table, column};

const NOTE: &str = "Each of these verdicts hangs on one recorded length: one step of the care with which it was measured, up or \
down, parts right from wrong. Measure it again, more finely, before anybody corrects the outlet or accepts it.";

const FLUSH: &str = "A length recorded as 0 says flush, which a straightedge settles: verdicts without fault that rest \
on one are counted here and not listed. The file of all verdicts marks each borderline one.";

const KINDS: &str = "Violations that could be none, compliances that could be violations, and outlets that a rule only just \
does not reach stand here alike. A compliance that could only turn not-applicable is left out: neither is a fault.";

const CARE: &str = "The care is what the mapping of the schedule says of the column; where it is silent, 1/32 in for set-backs \
and gaps, 0.005 in for the projection of a face, 1/2 in for other lengths. The limit is the figure that the code prints, the more \
lenient one where it prints two; where a rule has no limit of its own, the length at which its verdict turns.";

const COUNTS: [Column; 7] = [
    column("Rule", 12, 16),
    column("As it stands", 10, 14),
    column("One step away", 10, 14),
    column("Measure", 10, 16),
    column("Outlets", 8, 12),
    column("Of them recorded as 0", 9, 12),
    column("Listed below", 8, 12),
];

const LINES: [Column; 14] = [
    column("Building", 9, 16),
    column("Floor", 6, 14),
    column("Room", 6, 14),
    column("Outlet", 9, 14),
    column("Measure", 10, 20),
    column("Recorded", 10, 18),
    column("Measured to within", 12, 18),
    column("Limit", 10, 20),
    column("As it stands", 9, 15),
    column("One step away", 9, 15),
    column("What is wrong, or would be", 20, 30),
    SECTION,
    column("Rule", 10, 22),
    column("Source: file | sheet | row | cell", 20, 60),
];

/// Columns that are printed: all but the rule and the source.
const PRINTED: u16 = 12;

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Plan<'a> {
    let audit = report.audit;
    let all = listed(audit).collect();
    let all: Vec<&MeasureAgain> = report.in_walking_order(all, |again| again.outlet);
    let counts = counts(audit);
    let lines = Table::new(LINES.to_vec(), all.len(), move |row| line(report, all[row]));
    Plan {
        name: "Measure again",
        blocks: vec![
            Block::Title("Measurements to take again".to_owned()),
            Block::Warning(cautions::FIRST.to_owned()),
            Block::Paragraph(NOTE.to_owned()),
            Block::Paragraph(KINDS.to_owned()),
            Block::Paragraph(FLUSH.to_owned()),
            Block::Paragraph(CARE.to_owned()),
            Block::Paragraph(MARKS.to_owned()),
            Block::Heading("How many".to_owned()),
            counts.or_else("No verdict hangs on one measurement.").into(),
            Block::Heading("In the order of a walk through the buildings".to_owned()),
            lines.or_else("Nothing to measure again.").into(),
        ],
        paper: Paper::LetterOf(PRINTED),
        register: true,
        tab: 0x0060_6770,
    }
}

/// What is listed: all but the verdicts without fault that rest on a length recorded as 0.
pub(super) fn listed(audit: &Audit) -> impl Iterator<Item = &MeasureAgain> {
    audit.measure_again.iter().filter(|again| is_listed(audit, again))
}

fn is_listed(audit: &Audit, again: &MeasureAgain) -> bool {
    again.stands == VerdictKind::Violates || !is_zero(audit, again)
}

fn is_zero(audit: &Audit, again: &MeasureAgain) -> bool {
    audit.outlet(again.outlet).raw(again.field).known() == Some(0)
}

/// Outlets of one rule, one measurement and one turn of the verdict.
#[derive(Clone, Copy, Default)]
struct Count {
    all: u64,
    zero: u64,
    listed: u64,
}

fn counts(audit: &Audit) -> Table<'static> {
    let mut counts: BTreeMap<(&str, Field, VerdictKind, VerdictKind), Count> = BTreeMap::new();
    for again in &audit.measure_again {
        let key = (rule(audit, again).name, again.field, again.stands, again.otherwise);
        let count = counts.entry(key).or_default();
        count.all += 1;
        count.zero += u64::from(is_zero(audit, again));
        count.listed += u64::from(is_listed(audit, again));
    }
    let rows = counts.into_iter().map(|((rule, field, stands, otherwise), count)| {
        vec![
            Cell::Strong(rule.to_owned()),
            Cell::text(stands.word()),
            Cell::text(otherwise.word()),
            Cell::text(field.name()),
            Cell::Count(count.all),
            Cell::Count(count.zero),
            Cell::Count(count.listed),
        ]
    });
    Table::of(COUNTS.to_vec(), rows.collect())
}

fn rule(audit: &Audit, again: &MeasureAgain) -> &'static Rule {
    audit.selection.rules()[usize::from(again.rule)]
}

fn line(report: &Report<'_>, again: &MeasureAgain) -> Vec<Cell> {
    let audit = report.audit;
    let outlet = audit.outlet(again.outlet);
    let place = audit.place(again.outlet);
    let rule = rule(audit, again);
    let mut editions = Vec::new();
    crate::audit::subjects::editions(&[outlet], &mut editions);
    let source = report.source(outlet.origin);
    let cell = report.cell(again.outlet, again.field);
    vec![
        Cell::text(place.building),
        Cell::text(place.floor),
        Cell::text(place.room),
        Cell::Strong(subject_name(SubjectKind::Outlet, outlet, &audit.texts).into()),
        Cell::text(again.field.name()),
        Cell::text(value_text(outlet, again.field, &audit.texts)),
        Cell::text(again.resolution.to_string()),
        Cell::text(limit(rule, outlet.raw(again.field).known(), again)),
        Cell::text(again.stands.word()),
        Cell::text(again.otherwise.word()),
        Cell::text(again.stake),
        Cell::text(rule.citation.marked(&editions)),
        Cell::text(rule.name),
        Cell::text(cell.map_or_else(|| source.clone(), |cell| format!("{source} | {cell}"))),
    ]
}

/// What is allowed; where the violation does not say it, the length at which the rule turns, if it lies
/// within the step.
fn limit(rule: &Rule, recorded: Option<i64>, again: &MeasureAgain) -> String {
    if let Some(bound) = again.limit {
        return bound_text(bound);
    }
    let away = |limit: &Length| recorded.map_or(i64::MAX, |value| (limit.0 - value).abs());
    let nearest = rule.limits.iter().min_by_key(|limit| away(limit));
    let near = nearest.filter(|limit| away(limit) <= again.resolution.0);
    near.map_or_else(|| "see the rule".to_owned(), |limit| format!("turns at {limit}"))
}
