//! The sheet of figures by defect type, and by rule below it.

use crate::audit::Tally;
use crate::report::context::Report;
use crate::rules::VerdictKind;
use crate::statistics::Line;
use crate::statistics::breakdown::LEAST_FOR_A_RATE;

use super::figures;
use super::plan::{Block, Cell, Column, Paper, Plan, Table, column};

const NOTE: &str = "The share is of the verdicts of the type that say yes or no: those that comply and those that violate. An \
outlet that no rule of the type reaches does not dilute it, and one that waits for facts does not count as sound. A verdict \
is one rule on one outlet, box, circuit or bed location, so an outlet may count several times. Types of which no rule ran \
are left out.";

const SHARE: [Column; 2] =
    [column("Verdicts that say yes or no", 11, 14), column("Share that violates", 10, 12)];

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Plan<'a> {
    let statistics = report.statistics;
    let of_type = |tally: &Tally, name: &str| tally.rule.defect.word() == name;
    let of_rule = |tally: &Tally, name: &str| tally.rule.name == name;
    Plan {
        name: "By defect type",
        blocks: vec![
            Block::Title("Violations by defect type".to_owned()),
            Block::Paragraph(NOTE.to_owned()),
            Block::Paragraph(figures::note()),
            Block::Paragraph(figures::RANGE_NOTE.to_owned()),
            table(report, "Defect type", &statistics.by_defect_type, of_type).into(),
            Block::Heading("The same by rule".to_owned()),
            table(report, "Rule", &statistics.by_rule, of_rule).into(),
        ],
        paper: Paper::LetterPage,
        register: false,
        tab: super::FIGURES_TAB,
    }
}

fn table<'a>(
    report: &'a Report<'a>,
    what: &'static str,
    lines: &'a [Line],
    is_of: fn(&Tally, &str) -> bool,
) -> Table<'a> {
    let mut columns: Vec<Column> = vec![column(what, 26, 40), figures::OUTLETS[1]];
    columns.extend(SHARE.into_iter().chain(figures::RANGE).chain(figures::VIOLATIONS));
    Table::new(columns, lines.len(), move |row| {
        let line = &lines[row];
        let tallies = report.audit.tallies.iter().filter(|tally| is_of(tally, &line.name));
        let of_kind =
            |kind: VerdictKind| tallies.clone().map(|tally| tally.count(kind)).sum::<u64>();
        let violates = of_kind(VerdictKind::Violates);
        let told = violates + of_kind(VerdictKind::Complies);
        let mut cells = vec![
            Cell::Text(line.name.clone()),
            Cell::Count(line.figures.violating),
            Cell::Count(told),
            Cell::share(share(violates, told), figures::TOO_FEW),
        ];
        cells.extend(figures::range(violates, told));
        cells.extend(figures::violations(&line.figures));
        cells
    })
}

#[expect(clippy::cast_precision_loss, reason = "a share for people")]
fn share(violates: u64, told: u64) -> Option<f64> {
    (told >= LEAST_FOR_A_RATE).then(|| violates as f64 / told as f64)
}
