//! The sheet of figures by trade.

use crate::report::context::Report;

use super::plan::{Block, Cell, Paper, Plan, Table, column};
use super::{difference, figures};

pub(super) const NOTE: &str = "Outlets are those that the schedules give a trade. Violations are those that it is to correct: where a \
schedule names no trade, the one that usually corrects such a defect.";

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Plan<'a> {
    let lines = &report.statistics.by_trade;
    let mut columns = vec![column("Trade", 26, 40)];
    columns.extend(figures::OUTLETS.into_iter().chain(figures::RANGE).chain(figures::VIOLATIONS));
    let table = Table::new(columns, lines.len(), |row| {
        let line = &lines[row];
        let mut cells = vec![Cell::recorded(&line.name)];
        cells.extend(figures::outlets(&line.figures));
        cells.extend(figures::range(line.figures.violating, line.figures.outlets));
        cells.extend(figures::violations(&line.figures));
        cells
    });
    let named = lines.iter().filter(|line| !line.name.is_empty()).map(|line| line.figures);
    Plan {
        name: "By trade",
        blocks: vec![
            Block::Title("Outlets and violations by trade".to_owned()),
            Block::Paragraph(NOTE.to_owned()),
            Block::Paragraph(figures::note()),
            Block::Paragraph(figures::RANGE_NOTE.to_owned()),
            table.or_else("No outlet was read.").into(),
            Block::Paragraph(difference::between(("trade", "trades"), named)),
        ],
        paper: Paper::Letter,
        register: true,
        tab: super::FIGURES_TAB,
    }
}
