//! Rows to outlets, one at a time, by the plan of their sheet.
//!
//! Owns what becomes of a row: an outlet, or one of the reasons of [`Skip`], which are counted. A row
//! in which nothing is wrong takes no memory but its outlet's; every text for a person is made on the
//! way of a fault.

use super::account::{Fault, SheetAccount};
use super::file::Line;
use super::footer::{Footer, footer};
use super::plan::Plan;
use super::read::{self, Content, Reading, fold, trim};
use crate::ingest::{Cell, Row};
use crate::outlet::{Date, Fact, Field, Outlet, Texts};

/// Why a row is no outlet.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Skip {
    AboveHeader,
    Empty,
    Total,
    Note,
    HeaderAgain,
    PassedOver,
    BelowEnd,
    OnlyFilledDown,
    NothingMapped,
}

impl Skip {
    const ALL: [Self; 9] = [
        Self::AboveHeader,
        Self::Empty,
        Self::Total,
        Self::Note,
        Self::HeaderAgain,
        Self::PassedOver,
        Self::BelowEnd,
        Self::OnlyFilledDown,
        Self::NothingMapped,
    ];

    const fn reason(self) -> &'static str {
        match self {
            Self::AboveHeader => "above the header",
            Self::Empty => "empty",
            Self::Total => "total row",
            Self::Note => "note below the table",
            Self::HeaderAgain => "header again",
            Self::PassedOver => "passed over by the mapping",
            Self::BelowEnd => "below the end of the table",
            Self::OnlyFilledDown => "heading of the rows below",
            Self::NothingMapped => "nothing in a mapped column",
        }
    }
}

/// A row below the first note is another note when it holds no more cells than this.
const CELLS_OF_A_NOTE: usize = 2;

/// Reads the rows of one sheet below its header.
pub(super) struct Reader<'a, 'm> {
    plan: Plan<'m>,
    texts: &'a mut Texts,
    outlets: &'a mut Vec<Outlet>,
    sheet: &'a mut SheetAccount,
    /// For each column that is filled down, its last value.
    above: Vec<Fact<i64>>,
    skipped: [u32; Skip::ALL.len()],
    ended: bool,
    below_notes: bool,
}

impl<'a, 'm> Reader<'a, 'm> {
    pub(super) fn new(
        plan: Plan<'m>,
        texts: &'a mut Texts,
        outlets: &'a mut Vec<Outlet>,
        sheet: &'a mut SheetAccount,
    ) -> Self {
        let above = vec![Fact::Blank; plan.columns.len()];
        let skipped = [0; Skip::ALL.len()];
        Self { plan, texts, outlets, sheet, above, skipped, ended: false, below_notes: false }
    }

    /// Counts rows that are no outlets.
    pub(super) fn skip(&mut self, skip: Skip, rows: u32) {
        self.skipped[skip as usize] += rows;
    }

    /// Reads a row below the header.
    pub(super) fn row(&mut self, row: &Row) {
        match self.skipped_before_reading(row) {
            Some(skip) => self.skip(skip, 1),
            None => self.read(row),
        }
    }

    /// Enters the counts in the account of the sheet.
    pub(super) fn finish(self) {
        for skip in Skip::ALL {
            let count = self.skipped[skip as usize];
            if count > 0 {
                self.sheet.rows_skipped.insert(skip.reason().to_owned(), count);
            }
        }
    }

    fn skipped_before_reading(&mut self, row: &Row) -> Option<Skip> {
        if row.is_empty() {
            return Some(Skip::Empty);
        }
        if self.ended {
            return Some(Skip::BelowEnd);
        }
        if self.is_header_again(row) {
            return Some(Skip::HeaderAgain);
        }
        if let Some(mapping) = self.plan.mapping {
            if begins(row, &mapping.table.stop_at) {
                self.ended = true;
                return Some(Skip::BelowEnd);
            }
            if begins(row, &mapping.table.skip) {
                return Some(Skip::PassedOver);
            }
        }
        match footer(row) {
            Some(Footer::Total) => return Some(Skip::Total),
            Some(Footer::Note) => {
                self.below_notes = true;
                return Some(Skip::Note);
            }
            None => {}
        }
        let few = self.below_notes
            && self.plan.columns.len() > CELLS_OF_A_NOTE
            && row.cells().nth(CELLS_OF_A_NOTE).is_none();
        few.then_some(Skip::Note)
    }

    fn is_header_again(&self, row: &Row) -> bool {
        let mut headers = self.plan.repeated.iter();
        let same = |(column, header): &(u32, String)| match row.cell(*column) {
            Cell::Text(text) => trim(text) == header,
            _ => false,
        };
        self.plan.repeated.len() > 1 && headers.all(same)
    }

    fn read(&mut self, row: &Row) {
        let mut outlet = self.plan.template.clone();
        outlet.origin.row = row.number;
        let (mut held, mut filled) = (0_u32, 0_u32);
        for (column, above) in self.plan.columns.iter().zip(&mut self.above) {
            let cell = row.cell(column.place);
            let field = column.read.field;
            if is_empty(cell) {
                if column.fill_down && *above != Fact::Blank {
                    outlet.set_raw(field, *above);
                }
                continue;
            }
            let reading = read::read(content(cell), &column.read, self.texts);
            let fact = match reading {
                Reading::Known(raw) | Reading::NoneDropped(raw) => Fact::Known(raw),
                Reading::Blank => Fact::Blank,
                Reading::Unreadable(_) => Fact::Unreadable,
            };
            if fact != Fact::Blank {
                outlet.set_raw(field, fact);
                *(if column.fill_down { &mut filled } else { &mut held }) += 1;
            }
            if column.fill_down {
                *above = fact;
            }
            if matches!(reading, Reading::Unreadable(_) | Reading::NoneDropped(_)) {
                self.sheet.faults.push(fault(row, column.place, field, reading));
            }
        }
        // A cell at fault is one that holds something, so that no fault is of a row left out; but one
        // in a heading is told, since the rows below take it over.
        if held == 0 {
            let nothing = row.cells().all(|(_, cell)| is_empty(cell));
            let skip = match (filled, nothing) {
                (1.., _) => Skip::OnlyFilledDown,
                (0, true) => Skip::Empty,
                (0, false) => Skip::NothingMapped,
            };
            return self.skip(skip, 1);
        }
        self.check_row(row, &outlet);
        self.add_facts_of_building(&mut outlet);
        self.outlets.push(outlet);
        self.sheet.rows_read += 1;
    }

    /// Faults of a row as a whole.
    fn check_row(&mut self, row: &Row, outlet: &Outlet) {
        if outlet.raw(Field::OutletId) == Fact::Blank {
            self.sheet.faults.push(Fault {
                row: row.number,
                column: None,
                field: Some(Field::OutletId),
                text: String::new(),
                why: format!("no outlet_id; the outlet is called row {}", row.number),
            });
        }
        if row.width() <= self.plan.width {
            return;
        }
        let width = self.plan.width;
        if let Some((column, cell)) =
            row.cells().find(|(column, cell)| *column >= width && !is_empty(*cell))
        {
            self.sheet.faults.push(Fault {
                row: row.number,
                column: Some(column),
                field: None,
                text: text_of(cell),
                why: "stands beyond the last header and is not read; the cells of the row may have moved"
                    .to_owned(),
            });
        }
    }

    fn add_facts_of_building(&self, outlet: &mut Outlet) {
        if self.plan.buildings.is_empty() {
            return;
        }
        let Fact::Known(name) = outlet.raw(Field::Building) else { return };
        for building in self.plan.buildings.iter().filter(|building| building.name == name) {
            building.mark_used();
            for (field, value) in &building.facts {
                if matches!(outlet.raw(*field), Fact::Blank | Fact::Absent) {
                    outlet.set_raw(*field, Fact::Known(*value));
                }
            }
        }
    }
}

/// Whether the first cell of a row begins with one of these texts, which are folded.
fn begins(row: &Row, lines: &[Line<String>]) -> bool {
    if lines.is_empty() {
        return false;
    }
    let first = row.cells().find(|(_, cell)| !is_empty(*cell));
    let Some((_, Cell::Text(text))) = first else { return false };
    let begins = |line: &&Line<String>| {
        let mut folded = fold(text);
        line.says.chars().all(|expected| folded.next() == Some(expected))
    };
    lines.iter().find(begins).is_some_and(|line| {
        line.mark_used();
        true
    })
}

fn is_empty(cell: Cell<'_>) -> bool {
    match cell {
        Cell::Empty => true,
        // Most texts begin with a character that is plainly not blank.
        Cell::Text(text) => {
            !text.starts_with(|first: char| first.is_ascii_graphic()) && trim(text).is_empty()
        }
        _ => false,
    }
}

fn content(cell: Cell<'_>) -> Content<'_> {
    match cell {
        Cell::Empty => Content::Text(""),
        Cell::Text(text) => Content::Text(text),
        Cell::Number(number) => Content::Number(number),
        Cell::Boolean(truth) => Content::Boolean(truth),
        Cell::Date(moment) => Content::Date(Date(days(moment.date()))),
        Cell::Error(_) => Content::Error,
    }
}

/// Days from 1970-01-01.
fn days(date: jiff::civil::Date) -> i32 {
    let epoch = jiff::civil::date(1970, 1, 1);
    (date - epoch).get_days()
}

/// The fault of a cell that could not be read, or not as it stands.
fn fault(row: &Row, column: u32, field: Field, reading: Reading) -> Fault {
    let why = match reading {
        Reading::Unreadable(why) if field == Field::Quantity => format!("{why}; counted as 1"),
        Reading::Unreadable(why) => why.to_string(),
        _ => "`none` stands beside another word and is dropped".to_owned(),
    };
    let text = text_of(row.cell(column));
    Fault { row: row.number, column: Some(column), field: Some(field), text, why }
}

/// A cell as a person sees it.
pub(super) fn text_of(cell: Cell<'_>) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Text(text) | Cell::Error(text) => text.to_owned(),
        Cell::Number(number) => number.to_string(),
        Cell::Boolean(truth) => if truth { "TRUE" } else { "FALSE" }.to_owned(),
        Cell::Date(moment) => moment.date().to_string(),
    }
}
