//! The sheet for the insurer: violations weighed by grade per 100 outlets, never without the share of
//! verdicts that could be decided.

use crate::report::context::Report;
use crate::rules::Grade;
use crate::statistics::{Figures, Line};

use super::plan::{Block, Cell, Column, Paper, Plan, Table, column};
use super::{difference, figures};

const WHAT: &str = "A physical hazard is a condition that makes a loss likelier. The index adds up the violations, each \
with the weight of its grade, and states the sum per 100 outlets. It compares buildings and floors of this audit with one \
another, and with a later audit under the same weights; it is no probability and no sum of money.";
const JUDGEMENT: &str = "The weights are a judgement. No published source ties such defects to losses: published figures of \
electrical fires and shocks count events and not the defects behind them, and support an order of the grades at most. Set \
your own with --weights danger=10,latent=3,workmanship=1.";
const DECIDED: &str = "Read the index with the share of verdicts that could be decided. What is undecided counts as nothing \
here, so a low index beside a low share says that little is known, not that little is wrong.";

const FIGURES: [Column; 6] = [
    column("Outlets", 9, 12),
    column("danger", 9, 12),
    column("latent", 9, 12),
    column("workmanship", 13, 14),
    column("Physical hazard index", 12, 16),
    column("Share of verdicts decided", 12, 16),
];

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Plan<'a> {
    let heading = |text: &str| Block::Heading(text.to_owned());
    Plan {
        name: "Physical hazard",
        blocks: vec![
            Block::Title("Physical hazard by building and floor".to_owned()),
            Block::Paragraph(WHAT.to_owned()),
            Block::Warning(DECIDED.to_owned()),
            heading("Weights of this audit"),
            weights(report).into(),
            Block::Paragraph(JUDGEMENT.to_owned()),
            heading("Buildings, the greatest index first"),
            buildings(report).or_else("No outlet was read.").into(),
            Block::Paragraph(difference::between(
                ("building", "buildings"),
                named(&report.statistics.by_building),
            )),
            heading("Floors, from the bottom up"),
            floors(report).or_else("No outlet was read.").into(),
        ],
        paper: Paper::Letter,
        register: false,
        tab: super::FIGURES_TAB,
    }
}

/// The figures of lines that have a name.
pub(super) fn named(lines: &[Line]) -> impl Iterator<Item = Figures> {
    lines.iter().filter(|line| !line.name.is_empty()).map(|line| line.figures)
}

fn weights(report: &Report<'_>) -> Table<'static> {
    let row = |(grade, weight): (Grade, f64)| {
        vec![Cell::Grade(grade), Cell::Decimal(weight), Cell::Note(grade.meaning())]
    };
    let columns = vec![column("Grade", 14, 30), column("Weight", 8, 12), column("", 8, 12)];
    let weights = Grade::ALL.into_iter().zip(report.statistics.weights.by_grade());
    Table::of(columns, weights.map(row).collect())
}

/// The index stands only beside the share decided.
fn cells(report: &Report<'_>, figures: &Figures) -> Vec<Cell> {
    let decided = figures.decided_share();
    let index = report.statistics.weights.index(figures);
    let [danger, latent, workmanship] = figures.violations.map(Cell::Count);
    let index = match decided {
        Some(_) => Cell::decimal(index, figures::TOO_FEW),
        None => Cell::NoShare("nothing decided"),
    };
    let decided = Cell::share(decided, "none reached");
    vec![Cell::Count(figures.outlets), danger, latent, workmanship, index, decided]
}

fn buildings<'a>(report: &'a Report<'a>) -> Table<'a> {
    let mut lines: Vec<&Line> = report.statistics.by_building.iter().collect();
    let index = |line: &Line| report.statistics.weights.index(&line.figures).unwrap_or(-1.0);
    lines.sort_by(|one, other| index(other).total_cmp(&index(one)));
    let mut columns = vec![column("Building", 14, 40), column("", 12, 30)];
    columns.extend(FIGURES);
    Table::new(columns, lines.len(), move |row| {
        let mut line = vec![Cell::recorded(&lines[row].name), Cell::Blank];
        line.extend(cells(report, &lines[row].figures));
        line
    })
}

fn floors<'a>(report: &'a Report<'a>) -> Table<'a> {
    let lines = &report.statistics.by_floor;
    let mut columns = vec![column("Building", 14, 40), column("Floor", 12, 30)];
    columns.extend(FIGURES);
    Table::new(columns, lines.len(), move |row| {
        let line = &lines[row];
        let mut all = vec![Cell::recorded(&line.building), Cell::recorded(&line.floor)];
        all.extend(cells(report, &line.figures));
        all
    })
}
