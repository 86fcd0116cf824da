//! The workbook of a sample: the survey of the outlets that were drawn, with the design on a sheet of its
//! own, so that whoever reads the filled-in file needs nothing else.

use std::io::{Seek, Write};

use serde_json::Error;

use crate::mapping::account::READ_FIRST;
use crate::report::cautions;
use crate::report::context::Report;
use crate::report::sampling_words::{drawn, purpose, remarks};
use crate::sampling::design::{Design, Drawn, Stratum};
use crate::survey::Round;

use super::plan::{Block, Cell, Column, Paper, Plan, Table, column};
use super::survey::{DAY, HOW, Sheets, lines, write_form};
use super::to_fill_in::explained;
use super::{Limits, WorkbookError};

/// The sheet that holds the design.
pub use crate::mapping::account::DESIGN;
/// The sheet of the rows that come along undrawn.
const BESIDE: &str = "Beside the sample";
/// What a row of the design is.
const PARTS: [&str; 3] = ["design", "stratum", "drawn"];

const RULES: &str = "Inspect exactly the outlets of the sheet Survey, all of them, whatever is found on the way: an outlet that is put in place \
of another, or left out because it is hard to reach, spoils every figure. Of an outlet named (2 of 5) count along the row from the left as \
you enter, floor by floor as the schedule lists them. Give observed_on or observed_by on every line that was inspected: a line without, and \
without any new fact, counts as not inspected.";
const BACK: &str = "Then: yokecheck estimate THIS-FILE. The sheet Sample design and the last, hidden column of each line are read then: leave \
them as they are.";
const UNDRAWN: &str = "These outlets were not drawn. They share a box, a circuit or a bed with drawn ones, so some rules judge them together; \
facts of them may be filled in. They are not counted.";

const STRATA: [Column; 5] = [
    column("Stratum", 16, 40),
    column("Outlets", 9, 12),
    column("Drawn", 9, 12),
    column("Share of the outlets", 10, 14),
    column("Rate expected", 10, 30),
];

/// The outlets of the survey.
pub struct Sampled<'a> {
    /// The design.
    pub design: &'a Design,
    /// The outlets that were drawn, and the facts to collect.
    pub round: &'a Round,
    /// The outlets that come along undrawn, and the same facts.
    pub beside: &'a Round,
}

/// Writes the workbook.
pub fn write(
    report: &Report<'_>,
    sampled: &Sampled<'_>,
    sheets: Sheets,
    limits: Limits,
    out: impl Write + Seek + Send,
) -> Result<(), WorkbookError> {
    let more = |columns: &[Column]| {
        let mut plans = Vec::new();
        if !sampled.beside.stops.is_empty() {
            let stops = &sampled.beside.stops;
            let mut plan = lines(report, sampled.beside, columns, BESIDE, stops);
            plan.blocks.insert(0, Block::Paragraph(UNDRAWN.to_owned()));
            plans.push(plan);
        }
        plans.push(design(sampled.design)?);
        Ok(plans)
    };
    write_form(report, &first(report, sampled), sampled.round, sheets, limits, more, out)
}

fn first(report: &Report<'_>, sampled: &Sampled<'_>) -> Plan<'static> {
    let Sampled { design, round, .. } = sampled;
    let title = match report.context.project.as_str() {
        "" => "Survey of a sample".to_owned(),
        project => format!("Survey of a sample: {project}"),
    };
    let mut blocks = vec![Block::Title(title)];
    blocks.extend(cautions::ALL.map(|caution| Block::Warning(caution.to_owned())));
    blocks.extend([purpose(design), drawn(design)].map(Block::Paragraph));
    blocks.extend(remarks(design).into_iter().map(Block::Paragraph));
    blocks.push(Block::Warning(RULES.to_owned()));
    blocks.extend([HOW, DAY, BACK].map(|text| Block::Paragraph(text.to_owned())));
    blocks.push(Block::Heading("The strata".to_owned()));
    let strata = design.strata.iter().map(stratum).collect();
    blocks.push(Table::of(STRATA.to_vec(), strata).into());
    if !round.fields.is_empty() {
        blocks.push(Block::Heading("What is collected".to_owned()));
        blocks.push(explained(&round.fields));
    }
    Plan {
        name: READ_FIRST,
        blocks,
        paper: Paper::Letter,
        register: false,
        tab: super::UNDECIDED_TAB,
    }
}

fn stratum(stratum: &Stratum) -> Vec<Cell> {
    vec![
        Cell::Strong(stratum.name.clone()),
        Cell::Count(stratum.population),
        Cell::Count(stratum.n),
        Cell::Share(stratum.weight),
        Cell::share(stratum.expected, "no earlier audit"),
    ]
}

/// The design, a line a part.
fn design(design: &Design) -> Result<Plan<'static>, Error> {
    let head = Design { strata: Vec::new(), drawn: Vec::new(), ..design.clone() };
    let mut rows = vec![row(PARTS[0], serde_json::to_string(&head)?)];
    for stratum in &design.strata {
        rows.push(row(PARTS[1], serde_json::to_string(stratum)?));
    }
    for drawn in &design.drawn {
        rows.push(row(PARTS[2], serde_json::to_string(drawn)?));
    }
    let columns = vec![column("Part", 10, 12), column("Read by a later run", 60, 60)];
    Ok(Plan {
        name: DESIGN,
        blocks: vec![Table::of(columns, rows).into()],
        paper: Paper::Letter,
        register: true,
        tab: super::UNDECIDED_TAB,
    })
}

fn row(part: &str, text: String) -> Vec<Cell> {
    vec![Cell::text(part), Cell::Carried(text)]
}

/// Reads the design back from the lines of its sheet, each its part and its text; lines of other parts do
/// not count. None where there is none.
///
/// Errors tell which line cannot be read, from 1.
pub fn read_design(lines: &[(String, String)]) -> Result<Option<Design>, (usize, Error)> {
    let mut design: Option<Design> = None;
    let mut strata: Vec<Stratum> = Vec::new();
    let mut drawn: Vec<Drawn> = Vec::new();
    for ((part, text), number) in lines.iter().zip(1..) {
        let failed = |error| (number, error);
        match PARTS.iter().position(|known| known == part) {
            Some(0) => design = Some(serde_json::from_str(text).map_err(failed)?),
            Some(1) => strata.push(serde_json::from_str(text).map_err(failed)?),
            Some(2) => drawn.push(serde_json::from_str(text).map_err(failed)?),
            _ => {}
        }
    }
    Ok(design.map(|design| Design { strata, drawn, ..design }))
}
