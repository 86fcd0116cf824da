//! The sheet of figures by building and floor, from the bottom up.

use crate::report::context::Report;

use super::plan::{Block, Cell, Paper, Plan, Table, column};
use super::{difference, figures};

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Plan<'a> {
    let lines = &report.statistics.by_floor;
    let mut columns = vec![column("Building", 14, 40), column("Floor", 12, 30)];
    columns.extend(figures::OUTLETS.into_iter().chain(figures::RANGE).chain(figures::VIOLATIONS));
    let table = Table::new(columns, lines.len(), |row| {
        let line = &lines[row];
        let mut cells = vec![Cell::recorded(&line.building), Cell::recorded(&line.floor)];
        cells.extend(figures::outlets(&line.figures));
        cells.extend(figures::range(line.figures.violating, line.figures.outlets));
        cells.extend(figures::violations(&line.figures));
        cells
    });
    let named = lines.iter().filter(|line| !line.floor.is_empty()).map(|line| line.figures);
    Plan {
        name: "By floor",
        blocks: vec![
            Block::Title("Outlets and violations by floor".to_owned()),
            Block::Paragraph(figures::note()),
            Block::Paragraph(figures::RANGE_NOTE.to_owned()),
            table.or_else("No outlet was read.").into(),
            Block::Paragraph(difference::between(("floor", "floors"), named)),
        ],
        paper: Paper::Letter,
        register: true,
        tab: super::FIGURES_TAB,
    }
}
