//! The sheet of figures by defect type, and by rule below it.

use crate::report::context::Report;
use crate::statistics::Line;

use super::figures;
use super::plan::{Block, Cell, Column, Paper, Plan, Table, column};

const NOTE: &str = "The share is of all outlets of the audit, whether or not a rule of the type reaches them. Types of which \
no rule ran are left out.";

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Plan<'a> {
    let statistics = report.statistics;
    Plan {
        name: "By defect type",
        blocks: vec![
            Block::Title("Violations by defect type".to_owned()),
            Block::Paragraph(NOTE.to_owned()),
            Block::Paragraph(figures::note()),
            table("Defect type", &statistics.by_defect_type).into(),
            Block::Heading("The same by rule".to_owned()),
            table("Rule", &statistics.by_rule).into(),
        ],
        paper: Paper::LetterPage,
        register: false,
        tab: super::FIGURES_TAB,
    }
}

fn table<'a>(what: &'static str, lines: &'a [Line]) -> Table<'a> {
    let mut columns: Vec<Column> = vec![column(what, 26, 40)];
    columns.extend_from_slice(&figures::OUTLETS[1..]);
    columns.extend_from_slice(&figures::VIOLATIONS);
    Table::new(columns, lines.len(), |row| {
        let line = &lines[row];
        let [_, violating, share] = figures::outlets(&line.figures);
        let mut cells = vec![Cell::Text(line.name.clone()), violating, share];
        cells.extend(figures::violations(&line.figures));
        cells
    })
}
