//! The sheet of questions for the authority having jurisdiction.

use std::collections::BTreeMap;

use crate::audit::finding::Finding;
use crate::audit::wording::value_text;
use crate::report::context::Report;
use crate::report::wording::{wrong, years};
use crate::rules::VerdictKind;

use super::plan::{Block, Cell, Column, MARKS, Paper, Plan, SECTION, Table, column};
use super::violations::of_kind;

const NOTE: &str = "The code leaves these to the authority having jurisdiction, or they turn on a word that it does not \
define. Ask each question once; an answer holds for the outlets that share its facts.";

const QUESTION: [Column; 3] = [column("Question", 24, 40), SECTION, column("Rule", 12, 26)];

const OUTLET: [Column; 7] = [
    column("Building", 10, 24),
    column("Floor", 7, 18),
    column("Room", 7, 18),
    column("Outlet or group", 10, 22),
    column("Recorded facts", 18, 36),
    column("Edition", 8, 14),
    column("Source: file | sheet | row | cells", 20, 44),
];

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Plan<'a> {
    let findings = of_kind(report, VerdictKind::Authority);
    let questions = questions(report, &findings);
    let columns = QUESTION.into_iter().chain(OUTLET).collect();
    let rows = findings.len();
    let lines = Table::new(columns, rows, move |row| line(report, findings[row]));
    Plan {
        name: "For the authority",
        blocks: vec![
            Block::Title("Questions for the authority having jurisdiction".to_owned()),
            Block::Paragraph(NOTE.to_owned()),
            Block::Paragraph(MARKS.to_owned()),
            Block::Heading("The questions".to_owned()),
            questions.or_else("No question is open.").into(),
            Block::Heading("Where they are asked".to_owned()),
            lines.or_else("Nowhere.").into(),
        ],
        paper: Paper::Letter,
        register: true,
        tab: 0x006B_4C9A,
    }
}

fn question(report: &Report<'_>, finding: &Finding) -> [String; 3] {
    let rule = finding.rule;
    [wrong(finding), report.audit.marked_citation(finding), rule.name.to_owned()]
}

fn questions(report: &Report<'_>, findings: &[&Finding]) -> Table<'static> {
    let mut asked: BTreeMap<[String; 3], u64> = BTreeMap::new();
    for finding in findings {
        *asked.entry(question(report, finding)).or_default() += 1;
    }
    let columns = QUESTION.into_iter().chain([column("Times asked", 9, 12)]).collect();
    let row = |(question, times): ([String; 3], u64)| {
        let mut cells: Vec<Cell> = question.into_iter().map(Cell::text).collect();
        cells.push(Cell::Count(times));
        cells
    };
    Table::of(columns, asked.into_iter().map(row).collect())
}

fn line(report: &Report<'_>, finding: &Finding) -> Vec<Cell> {
    let place = report.audit.place(finding.first());
    let mut cells: Vec<Cell> = question(report, finding).into_iter().map(Cell::text).collect();
    cells.extend([
        Cell::text(place.building),
        Cell::text(place.floor),
        Cell::text(place.room),
        Cell::Strong(report.audit.subject(finding).into()),
        Cell::text(recorded(report, finding)),
        Cell::text(years(&finding.editions, ", ")),
        Cell::text(report.source_cells(finding)),
    ]);
    cells
}

/// The facts that the question rests on, with their values.
fn recorded(report: &Report<'_>, finding: &Finding) -> String {
    let audit = report.audit;
    let mut facts = Vec::new();
    for (place, field) in finding.evidence() {
        let value = value_text(audit.outlet(place), field, &audit.texts);
        let fact = format!("{} {value}", field.name());
        if !value.is_empty() && !facts.contains(&fact) {
            facts.push(fact);
        }
    }
    facts.join(", ")
}
