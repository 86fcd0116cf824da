//! The survey workbook: which outlets to see, and the facts of each that would decide what is open.
//!
//! It goes out, comes back filled in and is read beside the schedule. Its headers are names of fields, so
//! any table program may have saved it in between; a last column, out of sight, tells what was known
//! before, so that only what was found on the way counts as an observation.

use std::collections::BTreeMap;
use std::io::{Seek, Write};

use rust_xlsxwriter::DocProperties;

use crate::mapping::account::READ_FIRST;
use crate::outlet::{Field, KNOWN_BEFORE, Kind, Outlet, Texts, written, written::record};
use crate::report::cautions;
use crate::report::context::Report;
use crate::report::names::Given;
use crate::report::wording::counted;
use crate::survey::Round;
use crate::survey::round::Stop;

use super::book::{Book, Guard};
use super::plan::{Block, Cell, Column, Paper, Plan, Table, column};
use super::to_fill_in::{Lists, explained};
use super::{Limits, MARK, WorkbookError, layout};

/// The value of the mark of a workbook that is sent out: it comes back as an input.
pub const SURVEY: &str = "survey";

/// By what an outlet is found; none of it is filled in.
const FOUND_BY: [Field; 4] = [Field::Building, Field::Floor, Field::Room, Field::OutletId];
/// Who saw it, and when.
const SEEN_BY: [Field; 3] = [Field::ObservedOn, Field::ObservedBy, Field::Evidence];

pub(super) const HOW: &str = "The coloured cells are to be filled in; a coloured cell that holds something is in \
conflict with another fact and is to be looked at again. What is known already stands in grey: type over it only where the \
building shows something else. Leave a cell blank where a fact cannot be told: a blank is never taken for no. A number \
without a unit is in the unit of its header. Rest on a header to read how its fact is told.";
pub(super) const DAY: &str = "Give observed_on on every line: a later observation takes the place of an earlier one, and two that \
contradict each other without a day leave the fact unknown.";
const BACK: &str = "Then audit the schedule and this file together: yokecheck audit SCHEDULE... THIS-FILE. Lines are joined to \
their outlets by building and outlet_id; other programs may have saved the file, but headers and the last, hidden column stay.";

/// How the lines are laid out.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Sheets {
    /// All on one sheet.
    One,
    /// A sheet a floor.
    PerFloor,
}

/// Writes the workbook of a round.
pub fn write(
    report: &Report<'_>,
    round: &Round,
    sheets: Sheets,
    limits: Limits,
    out: impl Write + Seek + Send,
) -> Result<(), WorkbookError> {
    write_form(report, &first(report, round), round, sheets, limits, |_| Ok(Vec::new()), out)
}

/// Writes a workbook to be filled in: the sheet that is read first, the lines of a round, and what else is
/// made with the columns of these lines.
pub(super) fn write_form<'a>(
    report: &'a Report<'a>,
    first: &Plan<'_>,
    round: &'a Round,
    sheets: Sheets,
    limits: Limits,
    more: impl FnOnce(&[Column]) -> Result<Vec<Plan<'a>>, WorkbookError>,
    out: impl Write + Seek + Send,
) -> Result<(), WorkbookError> {
    let context = report.context;
    let page_header = layout::page_header(&context.project, context.date);
    let mut book = Book::new(&properties(report), limits, page_header);
    book.add([first], Guard::Open)?;
    let mut lists = Lists::default();
    let columns = columns(&round.fields, &mut lists);
    let parts = parted(report, round, sheets);
    let lines = parts.iter().map(|(name, stops)| lines(report, round, &columns, name, stops));
    let mut plans: Vec<Plan<'_>> = lines.collect();
    plans.extend(more(&columns)?);
    plans.extend(lists.plan());
    book.add(&plans, Guard::Guarded)?;
    book.save(out)
}

fn properties(report: &Report<'_>) -> DocProperties {
    let title = match report.context.project.as_str() {
        "" => "Survey".to_owned(),
        project => format!("Survey: {project}"),
    };
    let properties = DocProperties::new()
        .set_title(title.chars().take(255).collect::<String>())
        .set_author("yokecheck")
        .set_custom_property(MARK.0, SURVEY);
    properties.set_creation_datetime(&layout::excel_date(report.context.date).unwrap_or_default())
}

/// The sheet that is read before anything is opened.
fn first(report: &Report<'_>, round: &Round) -> Plan<'static> {
    let title = match report.context.project.as_str() {
        "" => "Survey".to_owned(),
        project => format!("Survey: {project}"),
    };
    let mut blocks = vec![Block::Title(title)];
    blocks.extend(cautions::ALL.map(|caution| Block::Warning(caution.to_owned())));
    blocks.push(Block::Paragraph(told(report, round)));
    blocks.extend([HOW, DAY, BACK].map(|text| Block::Paragraph(text.to_owned())));
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

/// How much there is to see, and what this round leaves out.
fn told(report: &Report<'_>, round: &Round) -> String {
    let outlets = counted(round.stops.len() as u64, "outlet", "outlets");
    let mut text = format!(
        "{outlets} to see, as of {}, in the order of a walk through the buildings.",
        report.context.date
    );
    if round.waiting_for_others > 0 {
        let more = counted(round.waiting_for_others, "outlet waits", "outlets wait");
        text = format!(
            "{text} {more} for other facts than these only, which another round can ask for."
        );
    }
    if round.nameless > 0 {
        let nameless = counted(round.nameless, "outlet stands", "outlets stand");
        text = format!(
            "{text} {nameless} on no list: without an outlet_id of its own in its building nothing can be joined to it, so \
             mend that in the schedule first."
        );
    }
    text
}

fn columns(fields: &[Field], lists: &mut Lists) -> Vec<Column> {
    let fields = FOUND_BY.iter().chain(asked(fields)).chain(&SEEN_BY);
    let mut columns: Vec<Column> = fields.map(|field| lists.column(*field)).collect();
    columns.push(column(KNOWN_BEFORE, 10, 10).hidden());
    columns
}

/// The facts that are columns of their own.
fn asked(fields: &[Field]) -> impl Iterator<Item = &Field> {
    fields.iter().filter(|field| !FOUND_BY.contains(field) && !SEEN_BY.contains(field))
}

/// The stops of each sheet, in walking order, with its name.
fn parted(report: &Report<'_>, round: &Round, sheets: Sheets) -> Vec<(String, Vec<Stop>)> {
    let stops = report.in_walking_order(round.stops.clone(), |stop| stop.outlet);
    if sheets == Sheets::One {
        return vec![("Survey".to_owned(), stops)];
    }
    let mut given = Given::default();
    let mut names: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    let mut parts: Vec<(String, Vec<Stop>)> = Vec::new();
    for stop in stops {
        let place = report.audit.place(stop.outlet);
        let part = *names.entry((place.building, place.floor)).or_insert_with(|| {
            let name = given.sheet("Survey", &format!("{} {}", place.floor, place.building));
            parts.push((name, Vec::new()));
            parts.len() - 1
        });
        parts[part].1.push(stop);
    }
    parts
}

pub(super) fn lines<'a>(
    report: &'a Report<'a>,
    round: &'a Round,
    columns: &[Column],
    name: &'a str,
    stops: &'a [Stop],
) -> Plan<'a> {
    let audit = report.audit;
    let table = Table::new(columns.to_vec(), stops.len(), move |row| {
        let stop = stops[row];
        cells(audit.outlet(stop.outlet), &audit.texts, &round.fields, stop)
    });
    let table = table.or_else("No verdict waits for a fact that can be collected.");
    let printed = u16::try_from(columns.len() - 1).unwrap_or(u16::MAX);
    Plan {
        name,
        blocks: vec![Block::Warning(cautions::FIRST.to_owned()), table.into()],
        paper: Paper::ToFillIn(printed, 4),
        register: true,
        tab: super::UNDECIDED_TAB,
    }
}

fn cells(outlet: &Outlet, texts: &Texts, fields: &[Field], stop: Stop) -> Vec<Cell> {
    let known = |field: Field| outlet.raw(field).known().map(|raw| written(field, raw, texts));
    let found_by = |field: &Field| match field {
        Field::OutletId => Cell::Strong(known(*field).unwrap_or_default()),
        _ => Cell::text(known(*field).unwrap_or_default()),
    };
    let fact = |field: &Field| match known(*field) {
        Some(known) if stop.asked.contains(*field) => Cell::ToCheck(known),
        Some(known) => Cell::Known(known),
        None if stop.asked.contains(*field) => Cell::ToFillIn,
        None => Cell::Open,
    };
    let seen_by = |field: &Field| match field.kind() {
        Kind::Date => Cell::DateToFillIn,
        _ => Cell::ToFillIn,
    };
    let mut cells: Vec<Cell> = FOUND_BY.iter().map(found_by).collect();
    cells.extend(asked(fields).map(fact));
    cells.extend(SEEN_BY.iter().map(seen_by));
    cells.push(Cell::Carried(record(outlet, texts)));
    cells
}
