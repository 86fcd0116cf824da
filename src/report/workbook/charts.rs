//! The sheet of charts, each below the figures that it draws.

use crate::audit::Tally;
use crate::report::context::Report;
use crate::report::wording::grouped;
use crate::rules::Grade;
use crate::statistics::pareto::{Bar, pareto};
use crate::statistics::{Figures, Line};

use super::drawing::{BLUE, Drawing, GREEN, GREY, Shape, VERMILION};
use super::plan::{Block, Cell, Column, Paper, Plan, Table, column};
use super::styles::grade_colour;

/// Lines of a chart at most: more cannot be read.
const MOST: usize = 30;

const NAME: Column = column("", 30, 40);
const COUNT: Column = column("Violations", 10, 13);

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Option<Plan<'a>> {
    let reached = report.audit.tallies.iter().any(|tally| tally.reached() > 0);
    let mut blocks = vec![Block::Title("Charts".to_owned())];
    let mut parts = vec![by_defect_type(report), by_floor(report), by_trade(report)];
    parts.retain(|part| !part.is_empty());
    parts.push(coverage(report));
    for (part, place) in parts.into_iter().zip(0..) {
        if place > 0 {
            blocks.push(Block::PageBreak);
        }
        blocks.extend(part);
    }
    reached.then_some(Plan {
        name: "Charts",
        blocks,
        paper: Paper::LetterUpright,
        register: false,
        tab: super::FIGURES_TAB,
    })
}

fn heading(text: &str) -> Block<'static> {
    Block::Heading(text.to_owned())
}

fn by_defect_type<'a>(report: &'a Report<'a>) -> Vec<Block<'a>> {
    let lines = report.statistics.by_defect_type.iter();
    let bars = pareto(lines.map(|line| (line.name.as_str(), line.figures.all_violations())));
    if bars.is_empty() {
        return Vec::new();
    }
    let row = |bar: &Bar| {
        vec![Cell::text(&bar.name), Cell::Count(bar.count), Cell::Share(bar.cumulative)]
    };
    let columns = vec![NAME.named("Defect type"), COUNT, column("Share of all, summed up", 10, 13)];
    vec![
        heading("Violations by defect type, the most frequent first"),
        Table::of(columns, bars.iter().map(row).collect()).into(),
        Block::Drawing(Drawing {
            title: "Violations by defect type, and their share summed up",
            shape: Shape::Pareto,
            names: 0,
            figures: vec![(1, BLUE), (2, VERMILION)],
        }),
        Block::Paragraph(
            "Types that each make less than 3 % of all are counted as “other” at the right. Frequent is \
             not grave: the grades stand in the charts that follow."
                .to_owned(),
        ),
    ]
}

fn by_floor<'a>(report: &'a Report<'a>) -> Vec<Block<'a>> {
    let several = report.statistics.by_building.len() > 1;
    let lines = report.statistics.by_floor.iter().map(|line| {
        let recorded = |text: &str| {
            if text.is_empty() { "(none recorded)".to_owned() } else { text.to_owned() }
        };
        let floor = recorded(&line.floor);
        let name = if several { format!("{}, {floor}", recorded(&line.building)) } else { floor };
        (name, line.figures)
    });
    let title = "Violations by floor and grade";
    stacked(title, "Floor", lines.collect(), "By floor")
}

fn by_trade<'a>(report: &'a Report<'a>) -> Vec<Block<'a>> {
    let name = |line: &Line| {
        if line.name.is_empty() { "(none recorded)".to_owned() } else { line.name.clone() }
    };
    let lines = report.statistics.by_trade.iter().map(|line| (name(line), line.figures));
    let title = "Violations by the trade that is to correct them, and grade";
    stacked(title, "Trade", lines.collect(), "By trade")
}

/// Lines with a violation, in their order; of too many those with the most.
fn stacked(
    title: &'static str,
    what: &'static str,
    mut lines: Vec<(String, Figures)>,
    sheet: &str,
) -> Vec<Block<'static>> {
    lines.retain(|(_, figures)| figures.all_violations() > 0);
    let all = lines.len();
    if all == 0 {
        return Vec::new();
    }
    let mut counts: Vec<u64> = lines.iter().map(|(_, figures)| figures.all_violations()).collect();
    counts.sort_unstable_by_key(|count| std::cmp::Reverse(*count));
    if let Some(next) = counts.get(MOST) {
        lines.retain(|(_, figures)| figures.all_violations() > *next);
    }
    let shown = lines.len();
    let row = |(name, figures): &(String, Figures)| {
        let mut cells = vec![Cell::text(name), Cell::Count(figures.all_violations())];
        cells.extend(figures.violations.map(Cell::Count));
        cells
    };
    let mut columns = vec![NAME.named(what), COUNT];
    columns.extend(Grade::ALL.map(|grade| column(grade.word(), 10, 13)));
    let mut blocks = vec![
        heading(title),
        Table::of(columns, lines.iter().map(row).collect()).into(),
        Block::Drawing(Drawing {
            title,
            shape: Shape::Stacked,
            names: 0,
            figures: (2..).zip(Grade::ALL.map(grade_colour)).collect(),
        }),
    ];
    if shown < all {
        blocks.push(Block::Paragraph(format!(
            "The {shown} with the most violations of {}; all stand on the sheet {sheet}.",
            grouped(all as u64)
        )));
    }
    blocks
}

/// What share of the verdicts of each rule could be decided, the least first.
fn coverage<'a>(report: &'a Report<'a>) -> Vec<Block<'a>> {
    let mut lines: Vec<(&Tally, f64)> = report
        .audit
        .tallies
        .iter()
        .filter_map(|tally| tally.decided_share().map(|share| (tally, share)))
        .collect();
    lines.sort_by(|one, other| one.1.total_cmp(&other.1));
    let row = |(tally, share): &(&Tally, f64)| {
        vec![
            Cell::text(tally.rule.name),
            Cell::Count(tally.reached()),
            Cell::Share(*share),
            Cell::Share(1.0 - share),
        ]
    };
    let columns = vec![
        NAME.named("Rule"),
        column("Verdicts that reach a subject", 10, 13),
        column("Decided", 10, 13),
        column("Waiting for facts", 10, 13),
    ];
    vec![
        heading("How much could be decided, rule by rule, the least first"),
        Table::of(columns, lines.iter().map(row).collect()).into(),
        Block::PageBreak,
        Block::Drawing(Drawing {
            title: "Share of verdicts decided, by rule",
            shape: Shape::Shares,
            names: 0,
            figures: vec![(2, GREEN), (3, GREY)],
        }),
        Block::Paragraph(
            "What waits for facts is not passed. The sheet Facts to collect says which ones, and in which \
             order."
                .to_owned(),
        ),
    ]
}
