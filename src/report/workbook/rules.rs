//! The sheet of rules: what each judges, where it stands, what it needs, and how its verdicts came out.

use crate::audit::Tally;
use crate::code::{Amendment, Citation, Confidence, EDITIONS};
use crate::outlet::Field;
use crate::report::context::Report;
use crate::rules::{Grade, Rule, VerdictKind};

use super::plan::{Block, Cell, Column, Paper, Plan, Table, column};

const OTHER: Column = column("Other standard", 8, 24);

const NOTE: &str = "Sections are of NFPA 70, edition by edition, each with the mark of how well its number is confirmed; the \
marks are explained below. Grades are the program's own, for sorting: the code has none. A fact that is asked for is missing \
when it is blank; one that is heeded counts when it is recorded.";

const BORDERLINE: &str = "A verdict is borderline when one more measurement of the same resolution could come out otherwise: moving \
one recorded length by the step it was measured with changes it. The sheet Measure again lists those where that parts right \
from wrong.";

const COLUMNS: [Column; 18] = [
    column("Rule", 16, 26),
    column("What it requires", 24, 44),
    column("Defect type", 10, 16),
    column("Grade (ours)", 8, 13),
    column("Subject", 7, 13),
    column("2014", 8, 18),
    column("2017", 8, 18),
    column("2020", 8, 18),
    column("2023", 8, 18),
    column("Facts asked for", 12, 30),
    column("Facts heeded", 12, 30),
    column("Usually corrected by", 10, 13),
    column("violates", 9, 11),
    column("complies", 9, 11),
    column("undetermined", 12, 13),
    column("authority", 9, 11),
    column("not applicable", 10, 11),
    column("Share decided", 8, 9),
];

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Plan<'a> {
    let tallies = &report.audit.tallies;
    let mut columns = COLUMNS.to_vec();
    columns.extend(tallies.iter().find_map(|tally| standard(tally.rule).map(|_| OTHER)));
    let rules = Table::new(columns, tallies.len(), |row| line(&tallies[row]));
    let marks = [Confidence::Two, Confidence::One, Confidence::Memory]
        .map(|mark| vec![Cell::Strong(mark.mark().to_owned()), Cell::text(mark.meaning())]);
    let grades = Grade::ALL.map(|grade| vec![Cell::Grade(grade), Cell::text(grade.meaning())]);
    let amendments: Vec<Vec<Cell>> = report.audit.amendments.iter().map(amendment).collect();
    Plan {
        name: "Rules",
        blocks: vec![
            Block::Title("Rules of this audit".to_owned()),
            Block::Paragraph(NOTE.to_owned()),
            rules.or_else("No rule ran.").into(),
            Block::Heading("Local amendments".to_owned()),
            Table::of(AMENDMENTS.to_vec(), amendments)
                .or_else("None was given: the rules stand as the model code has them.")
                .into(),
            Block::Heading("Marks of confidence".to_owned()),
            Table::of(vec![column("Mark", 5, 8), column("Meaning", 20, 44)], marks.into()).into(),
            Block::Heading("Borderline".to_owned()),
            Block::Paragraph(BORDERLINE.to_owned()),
            Block::Heading("Grades".to_owned()),
            Table::of(vec![column("Grade", 5, 13), column("Meaning", 20, 44)], grades.into())
                .into(),
        ],
        paper: Paper::Tabloid,
        register: false,
        tab: 0x001F_3A52,
    }
}

const AMENDMENTS: [Column; 4] = [
    column("Amended rule", 16, 26),
    column("What the amendment changes", 24, 44),
    column("Where it stands", 10, 30),
    column("Buildings", 8, 30),
];

fn amendment(amendment: &Amendment) -> Vec<Cell> {
    let buildings = &amendment.buildings;
    vec![
        Cell::Strong(amendment.rule.clone()),
        Cell::text(amendment.change.to_string()),
        Cell::text(amendment.citation.clone()),
        Cell::text(if buildings.is_empty() { "all".to_owned() } else { buildings.join(", ") }),
    ]
}

fn line(tally: &Tally) -> Vec<Cell> {
    let rule = tally.rule;
    let mut cells = vec![
        Cell::Strong(rule.name.to_owned()),
        Cell::text(rule.summary()),
        Cell::text(rule.defect.word()),
        Cell::Grade(rule.grade),
        Cell::text(rule.subject.word()),
    ];
    cells.extend(EDITIONS.map(|edition| match rule.citation.section(edition) {
        Some(section) => Cell::text(section.to_string()),
        None => Cell::Faint("none"),
    }));
    cells.push(names(rule.asks));
    cells.push(names(rule.heeds));
    cells.push(Cell::text(rule.corrects.word()));
    cells.extend(VerdictKind::ALL.map(|kind| Cell::Count(tally.count(kind))));
    cells.push(Cell::share(tally.decided_share(), "no subject"));
    cells.extend(standard(rule).map(Cell::Text));
    cells
}

/// The standard of a rule that is no part of NFPA 70.
fn standard(rule: &Rule) -> Option<String> {
    match rule.citation {
        Citation::Other { .. } => Some(rule.citation.marked(&[])),
        Citation::Nfpa70(_) => None,
    }
}

fn names(fields: &[Field]) -> Cell {
    Cell::text(fields.iter().map(|field| field.name()).collect::<Vec<_>>().join(", "))
}
