//! Rows to outlets, one at a time, by the plan of their sheet.
//!
//! Owns what becomes of a row: an outlet, or one of the reasons of [`Skip`], which are counted. A row
//! in which nothing is wrong takes no memory but its outlet's; every text for a person is made on the
//! way of a fault.

use super::account::{Fault, SheetAccount};
use super::file::Line;
use super::footer::{Footer, footer};
use super::plan::{Plan, PlannedColumn};
use super::read::{self, Column, Content, Reading, fold, trim};
use crate::ingest::{Cell, Merge, Row};
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

/// Reads the rows of one table below its header.
pub(super) struct Reader<'m> {
    plan: Plan<'m>,
    outlets: Vec<Outlet>,
    sheet: SheetAccount,
    /// Merged cells that reach over several rows, those of the last rows first.
    merges: Vec<Merge>,
    /// Those of them that reach over the row at hand.
    merged: Vec<Merge>,
    /// For each column the last value that it gave.
    above: Vec<Fact<i64>>,
    /// For each column what the row before gave.
    before: Vec<Fact<i64>>,
    skipped: [u32; Skip::ALL.len()],
    ended: bool,
    below_notes: bool,
    /// The last row, and whether another table may begin below it.
    last: u32,
    between: bool,
    /// How many of the last outlets came from rows with a single cell.
    lone: usize,
}

impl<'m> Reader<'m> {
    pub(super) fn new(plan: Plan<'m>, sheet: SheetAccount, merges: &[Merge]) -> Self {
        let nothing = vec![Fact::Blank; plan.columns.len()];
        let mut merges: Vec<_> =
            merges.iter().copied().filter(|merge| merge.first_row < merge.last_row).collect();
        merges.sort_by_key(|merge| std::cmp::Reverse(merge.first_row));
        Self {
            last: sheet.header_row.unwrap_or_default(),
            plan,
            outlets: Vec::new(),
            sheet,
            merges,
            merged: Vec::new(),
            above: nothing.clone(),
            before: nothing,
            skipped: [0; Skip::ALL.len()],
            ended: false,
            below_notes: false,
            between: false,
            lone: 0,
        }
    }

    /// Counts rows that are no outlets.
    pub(super) fn skip(&mut self, skip: Skip, rows: u32) {
        self.skipped[skip as usize] += rows;
    }

    /// Counts the rows that a workbook leaves out before a row, since nothing stands in them.
    pub(super) fn skip_to(&mut self, row: &Row) {
        let rows = row.number.saturating_sub(self.last + 1);
        if rows > 0 {
            self.skip(Skip::Empty, rows);
            self.between = true;
        }
    }

    /// Whether another table may begin at a row: not amid devices, and not below the end that the
    /// mapping names.
    pub(super) fn may_end_before(&self, row: &Row) -> bool {
        (self.between || self.lone > 0) && !self.ended && !self.is_header_again(row)
    }

    /// Reads a row below the header.
    pub(super) fn row(&mut self, row: &Row, texts: &mut Texts) {
        self.last = row.number;
        while let Some(merge) = self.merges.pop_if(|merge| merge.first_row <= row.number) {
            self.merged.push(merge);
        }
        self.merged.retain(|merge| merge.last_row >= row.number);
        let before = self.outlets.len();
        let skip = self.skipped_before_reading(row).or_else(|| self.read(row, texts));
        if let Some(skip) = skip {
            self.skip(skip, 1);
        }
        self.between = skip.is_some();
        if self.outlets.len() > before {
            let single = row.cells().nth(1).is_none();
            self.lone = if single { self.lone + 1 } else { 0 };
        }
    }

    /// Takes back the rows with a single cell above the header of another table: they are its title.
    pub(super) fn take_back_titles(&mut self) {
        const MOST_TITLES: usize = 3;
        for _ in 0..self.lone.min(MOST_TITLES) {
            let Some(outlet) = self.outlets.pop() else { break };
            self.sheet.faults.retain(|fault| fault.row != outlet.origin.row);
            self.sheet.rows_read -= 1;
            self.skip(Skip::AboveHeader, 1);
        }
        self.lone = 0;
    }

    /// The account of the table with the counts, and its outlets.
    pub(super) fn finish(mut self) -> (SheetAccount, Vec<Outlet>) {
        for skip in Skip::ALL {
            let count = self.skipped[skip as usize];
            if count > 0 {
                self.sheet.rows_skipped.insert(skip.reason().to_owned(), count);
            }
        }
        (self.sheet, self.outlets)
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
        let table = self.plan.columns.len() > CELLS_OF_A_NOTE;
        match footer(row) {
            Some(Footer::Total) => return Some(Skip::Total),
            Some(Footer::Note) => {
                self.below_notes = true;
                return Some(Skip::Note);
            }
            Some(Footer::Sentence) if table => return Some(Skip::Note),
            _ => {}
        }
        let few = self.below_notes && table && row.cells().nth(CELLS_OF_A_NOTE).is_none();
        few.then_some(Skip::Note)
    }

    fn is_header_again(&self, row: &Row) -> bool {
        let same = |(column, header): &(u32, String)| match row.cell(*column) {
            Cell::Text(text) => trim(text) == header,
            _ => false,
        };
        [&self.plan.repeated, &self.plan.captions]
            .into_iter()
            .any(|headers| headers.len() > 1 && headers.iter().all(same))
    }

    /// Reads a row; why it is no outlet, if it is none.
    fn read(&mut self, row: &Row, texts: &mut Texts) -> Option<Skip> {
        let mut outlet = self.plan.template.clone();
        outlet.origin.row = row.number;
        let (mut held, mut filled) = (0_u32, 0_u32);
        let memory = self.above.iter_mut().zip(&mut self.before);
        for (column, (above, before)) in self.plan.columns.iter().zip(memory) {
            let cell = row.cell(column.place);
            let field = column.read.field;
            if is_empty(cell) {
                let merged = column.read.field != Field::Quantity
                    && self.merged.iter().any(|merge| is_below(*merge, row, column.place));
                *before = Fact::Blank;
                if (column.fill_down || merged) && *above != Fact::Blank {
                    outlet.set_raw(field, *above);
                    *before = *above;
                }
                continue;
            }
            let (fact, fault) = if is_ditto(cell, &column.read) {
                (*before, None)
            } else {
                read_cell(row, column, texts)
            };
            if fact != Fact::Blank {
                outlet.set_raw(field, fact);
                *(if column.fill_down { &mut filled } else { &mut held }) += 1;
            }
            if fact != Fact::Blank || column.fill_down {
                *above = fact;
            }
            *before = fact;
            self.sheet.faults.extend(fault);
        }
        // A cell at fault is one that holds something, so that no fault is of a row left out; but one
        // in a heading is told, since the rows below take it over.
        if held == 0 {
            let nothing = row.cells().all(|(_, cell)| is_empty(cell));
            return Some(match (filled, nothing) {
                (1.., _) => Skip::OnlyFilledDown,
                (0, true) => Skip::Empty,
                (0, false) => Skip::NothingMapped,
            });
        }
        self.check_row(row, &outlet);
        self.add_facts_of_building(&mut outlet);
        self.outlets.push(outlet);
        self.sheet.rows_read += 1;
        None
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

/// What a cell says, and its fault if it has one.
fn read_cell(
    row: &Row,
    column: &PlannedColumn<'_>,
    texts: &mut Texts,
) -> (Fact<i64>, Option<Fault>) {
    let reading = read::read(content(row.cell(column.place)), &column.read, texts);
    let fact = match reading {
        Reading::Known(raw) | Reading::NoneDropped(raw) => Fact::Known(raw),
        Reading::Blank => Fact::Blank,
        Reading::Unreadable(_) => Fact::Unreadable,
    };
    let faulty = matches!(reading, Reading::Unreadable(_) | Reading::NoneDropped(_));
    let fault = faulty.then(|| fault(row, column.place, column.read.field, reading));
    (fact, fault)
}

/// Whether a cell of a row is covered by the merged cell that begins above it in the same column.
const fn is_below(merge: Merge, row: &Row, column: u32) -> bool {
    merge.first_column == column && merge.first_row < row.number
}

/// Whether a cell repeats the one above it by a mark, to which the mapping gives no other meaning.
fn is_ditto(cell: Cell<'_>, column: &Column<'_>) -> bool {
    let Cell::Text(text) = cell else { return false };
    let text = trim(text);
    // Longer texts, which are most, cost no more than this.
    if text.len() > "ditto".len() {
        return false;
    }
    let mark = matches!(text, "\"" | "''" | "″" | "”" | "“" | "„" | "〃" | "-\"-")
        || ["do.", "ditto", "dto.", "dto"].iter().any(|word| word.eq_ignore_ascii_case(text));
    mark && column.words.and_then(|words| words.meaning(text)).is_none()
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
