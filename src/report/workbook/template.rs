//! An empty workbook for a schedule that is to be made from nothing: the columns of a survey, without
//! outlets.

use std::io::{Seek, Write};

use rust_xlsxwriter::DocProperties;

use crate::mapping::account::READ_FIRST;
use crate::outlet::{Field, Kind};
use crate::report::cautions;
use crate::report::context::Context;

use super::book::{Book, Guard};
use super::plan::{Block, Cell, Column, Paper, Plan, Table};
use super::to_fill_in::{Lists, explained};
use super::{Limits, MARK, WorkbookError, layout};

/// Lines that are ready to be filled in; more may be added below.
const LINES: usize = 500;

const HOW: &str = "One line a device: each receptacle, each switch. Give every device an outlet_id that its building has once, and \
devices of one box the same enclosure_id. Leave a cell blank where a fact is not known: a blank is never taken for no, and what it \
leaves open is told. A number without a unit is in the unit of its header. Columns that nobody needs may go, and others may come.";

/// Writes a template with these fields as columns.
pub fn write(
    context: &Context,
    fields: &[Field],
    out: impl Write + Seek + Send,
) -> Result<(), WorkbookError> {
    let mut book = Book::new(&properties(context), Limits::default(), String::new());
    let mut lists = Lists::default();
    let columns: Vec<Column> = fields.iter().map(|field| lists.column(*field)).collect();
    let plans = [Some(first(fields)), Some(lines(columns, fields)), lists.plan()];
    book.add(&plans.into_iter().flatten().collect::<Vec<_>>(), Guard::Open)?;
    book.save(out)
}

fn properties(context: &Context) -> DocProperties {
    let properties = DocProperties::new()
        .set_title("Device schedule")
        .set_author("yokecheck")
        .set_custom_property(MARK.0, "template");
    properties.set_creation_datetime(&layout::excel_date(context.date).unwrap_or_default())
}

fn first(fields: &[Field]) -> Plan<'static> {
    let mut blocks = vec![Block::Title("Device schedule".to_owned())];
    blocks.extend(cautions::ALL.map(|caution| Block::Warning(caution.to_owned())));
    blocks.push(Block::Paragraph(HOW.to_owned()));
    blocks.push(Block::Heading("The columns".to_owned()));
    blocks.push(explained(fields));
    Plan {
        name: READ_FIRST,
        blocks,
        paper: Paper::Letter,
        register: false,
        tab: super::UNDECIDED_TAB,
    }
}

fn lines(columns: Vec<Column>, fields: &[Field]) -> Plan<'_> {
    let room = |field: &Field| match field.kind() {
        Kind::Date => Cell::DateToFillIn,
        _ => Cell::Open,
    };
    let table = Table::new(columns, LINES, move |_| fields.iter().map(room).collect());
    Plan {
        name: "Devices",
        blocks: vec![table.into()],
        paper: Paper::Tabloid,
        register: true,
        tab: super::FIGURES_TAB,
    }
}
