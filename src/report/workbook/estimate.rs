//! The workbook of an estimate: what a sample says of the population, stratum by stratum and measure by
//! measure, with the bounds of what is not decided.

use std::io::{Seek, Write};

use rust_xlsxwriter::DocProperties;

use crate::report::cautions;
use crate::report::context::Context;
use crate::report::sampling_words::{
    AS_SCHEDULED, INTERVALS, decision, drawn, open, percent, purpose, remarks,
};
use crate::sampling::conclusion::{Conclusion, Line};
use crate::sampling::design::Design;
use crate::sampling::estimate::Estimate;
use crate::sampling::ranking::{METHOD, Ranking};

use super::book::{Book, Guard};
use super::plan::{Block, Cell, Column, Paper, Plan, Table, column};
use super::{FIGURES_TAB, Limits, MARK, WorkbookError, layout};

const NOT_KNOWN: &str = "not told";

const LINES: [Column; 14] = [
    column("Measure", 12, 26).noted(MEASURE),
    column("Stratum", 12, 34),
    column("Outlets", 8, 11),
    column("Drawn", 8, 10),
    column("Inspected", 8, 11),
    column("Defective", 8, 11),
    column("Undetermined", 8, 13),
    column("Rate", 8, 10),
    column("From", 8, 10),
    column("To", 8, 10),
    column("Standard error", 8, 10).noted(NO_SPREAD),
    column("Projected", 8, 11),
    column("Projected, least", 8, 11),
    column("Projected, most", 8, 11),
];
const BOUNDS: [Column; 8] = [
    column("Measure", 12, 26),
    column("Stratum", 12, 34),
    column("All good: rate", 8, 11),
    column("From", 8, 10),
    column("To", 8, 10),
    column("All defective: rate", 8, 11),
    column("From", 8, 10),
    column("To", 8, 10),
];
const RANKING: [Column; 7] = [
    column("Places", 8, 12).noted("1 is the highest rate of defective outlets."),
    column("Building", 12, 34),
    column("Outlets", 8, 11),
    column("Inspected", 8, 11),
    column("Rate", 8, 10),
    column("From", 8, 10),
    column("To", 8, 10),
];
const MEASURE: &str = "An outlet is defective when a rule of the measure is violated by it, or by a group of which it is a member. Grades are \
the program's own.";
const NO_SPREAD: &str =
    "0 where none was found, or all: the sample shows no spread then, and the interval says more.";
const UNSEEN: &str =
    "All undetermined and uninspected outlets taken as good, and all taken as defective.";

/// Writes the workbook.
pub fn write(
    context: &Context,
    design: &Design,
    conclusion: &Conclusion,
    out: impl Write + Seek + Send,
) -> Result<(), WorkbookError> {
    let page_header = layout::page_header(&context.project, context.date);
    let mut book = Book::new(&properties(context), Limits::default(), page_header);
    let plans = [Some(first(context, design, conclusion)), ranking(conclusion)];
    book.add(&plans.into_iter().flatten().collect::<Vec<_>>(), Guard::Open)?;
    book.save(out)
}

fn properties(context: &Context) -> DocProperties {
    let properties = DocProperties::new()
        .set_title("What the sample says")
        .set_author("yokecheck")
        .set_custom_property(MARK.0, MARK.1);
    properties.set_creation_datetime(&layout::excel_date(context.date).unwrap_or_default())
}

fn first(context: &Context, design: &Design, conclusion: &Conclusion) -> Plan<'static> {
    let title = match context.project.as_str() {
        "" => "What the sample says".to_owned(),
        project => format!("What the sample says: {project}"),
    };
    let mut blocks = vec![Block::Title(title), Block::Warning(cautions::FIRST.to_owned())];
    if conclusion.as_scheduled {
        blocks.push(Block::Warning(AS_SCHEDULED.to_owned()));
    }
    blocks.extend(decision(design, conclusion).map(Block::Heading));
    blocks.extend([purpose(design), drawn(design)].map(Block::Paragraph));
    blocks.extend(remarks(design).into_iter().map(Block::Paragraph));
    blocks.push(Block::Paragraph(format!(
        "{INTERVALS} Confidence {}.",
        percent(design.confidence())
    )));
    if let Some(line) = conclusion.whole() {
        blocks.extend(open(line).into_iter().map(Block::Warning));
        blocks.push(Block::Paragraph(format!("Method: {}.", line.found.method.name())));
    }
    blocks.push(Block::Heading("Estimates".to_owned()));
    let rows = conclusion.lines.iter().map(estimates).collect();
    blocks.push(Table::of(LINES.to_vec(), rows).into());
    blocks.push(Block::Heading("Bounds".to_owned()));
    blocks.push(Block::Paragraph(UNSEEN.to_owned()));
    let rows = conclusion.lines.iter().map(bounds).collect();
    blocks.push(Table::of(BOUNDS.to_vec(), rows).into());
    Plan { name: "Estimate", blocks, paper: Paper::Tabloid, register: false, tab: FIGURES_TAB }
}

fn named(line: &Line) -> [Cell; 2] {
    let stratum = line.stratum.as_deref().map_or(Cell::Faint("in all"), Cell::text);
    [Cell::Strong(line.measure.clone()), stratum]
}

fn estimates(line: &Line) -> Vec<Cell> {
    let found = &line.found;
    let mut cells: Vec<Cell> = named(line).into();
    let counts =
        [found.population, line.drawn, found.inspected, found.defective, line.undetermined];
    cells.extend(counts.map(Cell::Count));
    cells.extend(range(found));
    cells.push(Cell::share(found.standard_error(), NOT_KNOWN));
    cells.push(Cell::decimal(found.projected_number(), NOT_KNOWN));
    cells.extend([found.projected.0, found.projected.1].map(Cell::Count));
    cells
}

fn bounds(line: &Line) -> Vec<Cell> {
    let mut cells: Vec<Cell> = named(line).into();
    cells.extend(range(&line.all_good));
    cells.extend(range(&line.all_defective));
    cells
}

fn range(estimate: &Estimate) -> [Cell; 3] {
    let interval = estimate.interval();
    let rate = Cell::share(estimate.rate, NOT_KNOWN);
    [rate, Cell::Share(interval.lower), Cell::Share(interval.upper)]
}

/// The comparison of buildings, where there is one.
fn ranking(conclusion: &Conclusion) -> Option<Plan<'static>> {
    let ranking = conclusion.ranking.as_ref()?;
    let mut blocks = vec![Block::Title("Buildings compared".to_owned())];
    blocks.push(Block::Paragraph(format!(
        "{METHOD} ({} for each of {} pairs). Buildings that share places do not really differ; a difference that was not found \
         is not shown to be none. Outlets that are not decided count as good here.",
        percent(ranking.confidence),
        ranking.pairs
    )));
    blocks.push(Table::of(RANKING.to_vec(), places(ranking)).into());
    blocks.push(Block::Heading("Pairs that really differ".to_owned()));
    let columns = vec![
        column("Worse", 12, 34),
        column("Better", 12, 34),
        column("Difference, from", 8, 12),
        column("To", 8, 10),
    ];
    let pair = |one: &crate::sampling::ranking::Differs| {
        let names = [&one.worse, &one.better].map(|name| Cell::text(name.as_str()));
        names.into_iter().chain([one.by.lower, one.by.upper].map(Cell::Share)).collect()
    };
    let pairs = ranking.differences.iter().map(pair).collect();
    blocks.push(Table::of(columns, pairs).into());
    let name = "Buildings compared";
    Some(Plan { name, blocks, paper: Paper::Letter, register: false, tab: FIGURES_TAB })
}

fn places(ranking: &Ranking) -> Vec<Vec<Cell>> {
    let row = |one: &crate::sampling::ranking::Ranked| {
        let (first, last) = one.places;
        let places = if first == last { first.to_string() } else { format!("{first} to {last}") };
        let mut cells = vec![Cell::text(places), Cell::Strong(one.name.clone())];
        cells.extend([one.estimate.population, one.estimate.inspected].map(Cell::Count));
        cells.extend(range(&one.estimate));
        cells
    };
    ranking.buildings.iter().map(row).collect()
}
