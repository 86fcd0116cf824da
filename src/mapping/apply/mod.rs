//! Rows to outlets, one at a time, by the plan of their sheet.
//!
//! Owns what becomes of a row: an outlet, or one of the reasons of [`Skip`], which are counted. A row
//! in which nothing is wrong takes no memory but its outlet's; every text for a person is made on the
//! way of a fault. Rows that need none above them can be read by other threads: see [`block`].

pub(super) mod block;
mod skip;

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::ingest::{Cell, Merge, Row};
use crate::mapping::account::{ColumnAccount, Fault, Sample, SheetAccount};
use crate::mapping::carried;
use crate::mapping::cell::{is_empty, tell, text_of};
use crate::mapping::clipped::clipped;
use crate::mapping::describe::rows::Descriptions;
use crate::mapping::file::Line;
use crate::mapping::footer::{Footer, footer};
use crate::mapping::plan::Plan;
use crate::mapping::read::{Reading, Why, fold, trim};
use crate::mapping::remembered::{Remembered, Told};
use crate::outlet::{Alike, Fact, Field, FieldSet, Outlet, Texts, shown};

pub(in crate::mapping) use skip::Skip;

/// A row below the first note is another note when it holds no more cells than this.
const CELLS_OF_A_NOTE: usize = 2;

/// Reads the rows of one table below its header.
pub(in crate::mapping) struct Reader<'m> {
    plan: Arc<Plan<'m>>,
    descriptions: Descriptions<'m>,
    /// For each column that gives a field, a few of its cells.
    samples: Vec<Vec<Sample>>,
    outlets: Vec<Outlet>,
    sheet: SheetAccount,
    /// Merged cells that reach over several rows, those of the last rows first.
    merges: Vec<Merge>,
    /// Those of them that reach over the row at hand.
    merged: Vec<Merge>,
    /// What each column gave further up.
    memory: Vec<Memory>,
    /// The texts of each column that were read.
    remembered: Vec<Remembered>,
    alike: Alike,
    /// The outlet of the row at hand, and what its cells say.
    draft: Outlet,
    said: Vec<(Field, Fact<i64>)>,
    skipped: [u32; Skip::ALL.len()],
    /// What a few of the rows that name no device say instead.
    unnamed: Vec<String>,
    /// Rows of things that are no devices, by what they are.
    not_devices: BTreeMap<&'static str, u32>,
    ended: bool,
    below_notes: bool,
    /// The last row, and whether another table may begin below it.
    last: u32,
    between: bool,
    /// How many of the last outlets came from rows with a single cell.
    lone: usize,
    above: Above,
}

/// The rows above those at hand.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Above {
    /// They were read.
    Read,
    /// They were not, and no row needed them so far.
    Unread,
    /// They were not, and a row needs them.
    Missed,
}

impl Above {
    /// Notes that a row may need them.
    fn need(&mut self) {
        if *self == Self::Unread {
            *self = Self::Missed;
        }
    }
}

impl<'m> Reader<'m> {
    pub(in crate::mapping) fn new(
        mut plan: Plan<'m>,
        sheet: SheetAccount,
        merges: &[Merge],
    ) -> Self {
        let mut merges: Vec<_> =
            merges.iter().copied().filter(|merge| merge.first_row < merge.last_row).collect();
        merges.sort_by_key(|merge| std::cmp::Reverse(merge.first_row));
        let descriptions = Descriptions::new(std::mem::take(&mut plan.descriptions));
        let last = sheet.header_row.unwrap_or_default();
        Self { descriptions, sheet, merges, last, ..Self::by(Arc::new(plan)) }
    }

    /// A reader that has read nothing.
    fn by(plan: Arc<Plan<'m>>) -> Self {
        Self {
            last: 0,
            descriptions: Descriptions::new(Vec::new()),
            samples: vec![Vec::new(); plan.columns.len()],
            memory: vec![Memory::default(); plan.columns.len()],
            remembered: plan.columns.iter().map(|column| Remembered::of(&column.read)).collect(),
            alike: Alike::default(),
            draft: plan.template.clone(),
            said: Vec::new(),
            plan,
            outlets: Vec::new(),
            sheet: SheetAccount::default(),
            merges: Vec::new(),
            merged: Vec::new(),
            skipped: [0; Skip::ALL.len()],
            unnamed: Vec::new(),
            not_devices: BTreeMap::new(),
            ended: false,
            below_notes: false,
            between: false,
            lone: 0,
            above: Above::Read,
        }
    }

    /// Counts rows that are no outlets.
    pub(in crate::mapping) fn skip(&mut self, skip: Skip, rows: u32) {
        self.skipped[skip as usize] += rows;
    }

    /// Notes a gap before a row: the rows that a workbook leaves out since nothing stands in them,
    /// which are counted, or lines of a text file, which are not all rows.
    pub(in crate::mapping) fn skip_to(&mut self, row: &Row, counted: bool) {
        let rows = row.number.saturating_sub(self.last + 1);
        if rows > 0 && counted {
            self.skip(Skip::Empty, rows);
        }
        self.between |= rows > 0;
    }

    /// Whether another table may begin at a row: not amid devices, and not below the end that the
    /// mapping names.
    pub(in crate::mapping) fn may_end_before(&self, row: &Row) -> bool {
        (self.between || self.lone > 0) && !self.ended && !self.is_header_again(row)
    }

    /// Reads a row below the header.
    pub(in crate::mapping) fn row(&mut self, row: &Row, texts: &mut Texts) {
        self.last = row.number;
        while let Some(merge) = self.merges.pop_if(|merge| merge.first_row <= row.number) {
            self.merged.push(merge);
        }
        self.merged.retain(|merge| merge.last_row >= row.number);
        let before = self.outlets.len();
        let skip = self.skipped_before_reading(row).or_else(|| self.read(row, texts));
        if let Some(skip) = skip {
            self.skip(skip, 1);
            self.above.need();
        }
        self.between = skip.is_some();
        let lone = self.outlets.len() > before && row.cells().nth(1).is_none();
        if lone {
            self.lone += 1;
            self.above.need();
        } else if skip != Some(Skip::Empty) {
            self.lone = 0;
        }
    }

    /// Takes back the rows with a single cell above the header of another table: they are its title.
    pub(in crate::mapping) fn take_back_titles(&mut self) {
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
    pub(in crate::mapping) fn finish(mut self) -> (SheetAccount, Vec<Outlet>) {
        self.tell_words();
        for skip in Skip::ALL {
            let count = self.skipped[skip as usize];
            if count > 0 {
                let mut reason = skip.reason().to_owned();
                if skip == Skip::NoDevice && !self.unnamed.is_empty() {
                    reason = format!("{reason} ({})", self.unnamed.join(", "));
                }
                self.sheet.rows_skipped.insert(reason, count);
            }
        }
        for (what, count) in self.not_devices {
            self.sheet.rows_skipped.insert(format!("no device: {what}"), count);
        }
        for (column, samples) in self.plan.columns.iter().zip(self.samples) {
            let is_it = |account: &&mut ColumnAccount| {
                (account.column, account.field) == (column.place, Some(column.read.field))
            };
            if let Some(account) = self.sheet.columns.iter_mut().find(is_it) {
                account.samples = samples;
            }
        }
        self.sheet.columns.extend(self.descriptions.accounts());
        self.sheet.columns.sort_by_key(|column| column.column);
        (self.sheet, self.outlets)
    }

    /// Tells the mapping which of its words were met.
    fn tell_words(&self) {
        for (column, remembered) in self.plan.columns.iter().zip(&self.remembered) {
            if let Some(words) = column.read.words {
                words.mark_met(&remembered.met());
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
            if let Some(line) = begins(row, &mapping.table.stop_at) {
                self.mark_used(line);
                self.ended = true;
                return Some(Skip::BelowEnd);
            }
            if let Some(line) = begins(row, &mapping.table.skip) {
                self.mark_used(line);
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

    /// Notes that a line of the mapping was of use, unless the row may turn out to be none of the table.
    fn mark_used(&self, line: &Line<String>) {
        if self.above == Above::Read {
            line.mark_used();
        }
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
        self.draft.restart(&self.plan.template);
        self.draft.origin.row = row.number;
        let faults_before = self.sheet.faults.len();
        let cells = self.cells(row, texts);
        let outlet = &self.draft;
        // A cell at fault is one that holds something, so that no fault is of a row left out; but one
        // in a heading is told, since the rows below take it over.
        if cells.held == 0 {
            let nothing = row.cells().all(|(_, cell)| is_empty(cell));
            return Some(match (cells.filled, nothing) {
                (1.., _) => Skip::OnlyFilledDown,
                (0, true) => Skip::Empty,
                (0, false) => Skip::NothingMapped,
            });
        }
        if let Some(what) = cells.not_a_device {
            // What is wrong with the row of a thing that is not audited is nobody's business here.
            self.sheet.faults.truncate(faults_before);
            *self.not_devices.entry(what).or_default() += 1;
            return None;
        }
        if self.plan.devices_only
            && !cells.doubtful
            && ![Field::Device, Field::Configuration]
                .iter()
                .any(|field| outlet.raw(*field).is_known())
        {
            self.sheet.faults.truncate(faults_before);
            if self.unnamed.len() < SAMPLES
                && let Some(text) = self.descriptions.text(row)
                && !self.unnamed.contains(&text)
            {
                self.unnamed.push(text);
            }
            return Some(Skip::NoDevice);
        }
        self.check_row(row);
        self.add_facts_of_building();
        self.add_known_before(row, texts);
        self.tell_earlier(row);
        self.outlets.push(self.alike.shared(&self.draft));
        self.sheet.rows_read += 1;
        None
    }

    /// Reads the cells of a row into the draft of its outlet.
    fn cells(&mut self, row: &Row, texts: &mut Texts) -> Cells {
        let mut cells = Cells::default();
        self.said.clear();
        let columns = self.plan.columns.iter().zip(&mut self.memory).zip(&mut self.remembered);
        for (place, ((column, memory), remembered)) in columns.enumerate() {
            let cell = row.cell(column.place);
            let field = column.read.field;
            let empty = is_empty(cell);
            let told = if empty {
                let merged = field != Field::Quantity
                    && self.merged.iter().any(|merge| is_below(*merge, row, column.place));
                let filled = column.fill_down || merged;
                Told::Read(if filled {
                    self.above.need();
                    memory.said
                } else {
                    Reading::Blank
                })
            } else {
                tell(cell, &column.read, remembered, texts)
            };
            let (reading, ditto) = match told {
                Told::Ditto => {
                    self.above.need();
                    (memory.before, true)
                }
                Told::Read(reading) => (reading, false),
            };
            memory.before = reading;
            let fact = fact(reading);
            if fact != Fact::Blank {
                self.said.push((field, fact));
            }
            if let Reading::NotADevice(what) = reading {
                cells.not_a_device = Some(what);
            }
            cells.doubtful |= matches!(reading, Reading::Unreadable(Why::MayBeADevice(_)));
            if empty {
                continue;
            }
            if fact != Fact::Blank {
                *(if column.fill_down { &mut cells.filled } else { &mut cells.held }) += 1;
            }
            if fact != Fact::Blank || column.fill_down {
                memory.said = reading;
            }
            if ditto {
                continue;
            }
            if self.sheet.rows_read < ROWS_OF_SAMPLES {
                sample(&mut self.samples[place], cell, field, reading, texts);
            }
            if matches!(reading, Reading::Unreadable(_) | Reading::NoneDropped(_)) {
                self.sheet.faults.push(fault(row, column.place, field, reading));
            }
        }
        self.draft.set_all(&self.said);
        let faults = &mut self.sheet.faults;
        let described = self.descriptions.complete(row, &mut self.draft, texts, faults);
        cells.held += described.held;
        cells.doubtful |= described.doubtful;
        cells.not_a_device = cells.not_a_device.or(described.not_a_device);
        cells
    }

    /// Faults of a row as a whole.
    fn check_row(&mut self, row: &Row) {
        if self.draft.raw(Field::OutletId) == Fact::Blank {
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
                text: clipped(&text_of(cell)),
                why: "stands beyond the last header and is not read; the cells of the row may have moved"
                    .to_owned(),
            });
        }
    }

    /// In the row of a survey: adds what was known before it, and notes which facts the row only repeats.
    fn add_known_before(&mut self, row: &Row, texts: &mut Texts) {
        let (Some(place), Some(observations)) =
            (self.plan.known_before, &mut self.sheet.observations)
        else {
            return;
        };
        let outlet = &mut self.draft;
        let record = text_of(row.cell(place));
        let repeated = carried::add_known(&record, outlet, texts).unwrap_or_else(|other| {
            let id = self.plan.columns.iter().find(|column| column.read.field == Field::OutletId);
            self.sheet.faults.push(Fault {
                row: row.number,
                column: id.map(|column| column.place),
                field: Some(Field::OutletId),
                text: id.map_or_else(String::new, |column| text_of(row.cell(column.place))),
                why: format!(
                    "what was known before is of {other}, so the row was copied or its name changed; only \
                     what stands in its other cells is read"
                ),
            });
            FieldSet::default()
        });
        observations.insert(row.number, repeated);
    }

    /// In a table of an earlier audit: notes where the row stood, and a fact that is unknown is so in the way
    /// in which it was then.
    fn tell_earlier(&mut self, row: &Row) {
        let Some(columns) = self.plan.earlier else { return };
        let [source, sheet, number] = columns.place.map(|column| text_of(row.cell(column)));
        let number = number.parse().unwrap_or(row.number);
        self.sheet.earlier.note(row.number, [source, sheet], number);
        let unknown = [columns.blank, columns.unreadable].map(|column| text_of(row.cell(column)));
        let fields = self.plan.columns.iter().map(|column| column.read.field);
        carried::tell_unknown_apart(fields, &unknown, &mut self.draft);
    }

    fn add_facts_of_building(&mut self) {
        if self.plan.buildings.is_empty() {
            return;
        }
        let outlet = &mut self.draft;
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

/// What the cells of a row hold.
#[derive(Default)]
struct Cells {
    /// How many say something, apart from those of columns that are filled down.
    held: u32,
    /// How many of those do.
    filled: u32,
    /// What the row is, where it is no device.
    not_a_device: Option<&'static str>,
    /// Whether it may be one or not.
    doubtful: bool,
}

/// What a column gave further up.
#[derive(Clone, Copy, Debug)]
struct Memory {
    /// The last that it said.
    said: Reading,
    /// What it gave in the row before.
    before: Reading,
}

impl Default for Memory {
    fn default() -> Self {
        Self { said: Reading::Blank, before: Reading::Blank }
    }
}

pub(in crate::mapping) const fn fact(reading: Reading) -> Fact<i64> {
    match reading {
        Reading::Known(raw) | Reading::NoneDropped(raw) => Fact::Known(raw),
        Reading::Blank => Fact::Blank,
        Reading::Unreadable(_) | Reading::NotADevice(_) => Fact::Unreadable,
    }
}

/// Whether a cell of a row is covered by the merged cell that begins above it in the same column.
const fn is_below(merge: Merge, row: &Row, column: u32) -> bool {
    merge.first_column == column && merge.first_row < row.number
}

/// Samples are looked for in so many rows.
const ROWS_OF_SAMPLES: u32 = 500;

/// Samples of a column at most.
const SAMPLES: usize = 3;

/// Keeps a cell and how it was read, while there are few.
fn sample(
    samples: &mut Vec<Sample>,
    cell: Cell<'_>,
    field: Field,
    reading: Reading,
    texts: &Texts,
) {
    if samples.len() == SAMPLES {
        return;
    }
    let text = clipped(&text_of(cell));
    if samples.iter().any(|sample| sample.text == text) {
        return;
    }
    let read = match reading {
        Reading::Known(raw) | Reading::NoneDropped(raw) => shown(field, raw, texts),
        Reading::Blank => "unknown".to_owned(),
        Reading::Unreadable(why) => format!("not read: {why}"),
        Reading::NotADevice(what) => format!("no device: {what}"),
    };
    samples.push(Sample { text, read });
}

/// With which of these texts, which are folded, the first cell of a row begins.
fn begins<'l>(row: &Row, lines: &'l [Line<String>]) -> Option<&'l Line<String>> {
    if lines.is_empty() {
        return None;
    }
    let first = row.cells().find(|(_, cell)| !is_empty(*cell));
    let Some((_, Cell::Text(text))) = first else { return None };
    let begins = |line: &&Line<String>| {
        let mut folded = fold(text);
        line.says.chars().all(|expected| folded.next() == Some(expected))
    };
    lines.iter().find(begins)
}

/// The fault of a cell that could not be read, or not as it stands.
fn fault(row: &Row, column: u32, field: Field, reading: Reading) -> Fault {
    let why = match reading {
        Reading::Unreadable(why) if field == Field::Quantity => format!("{why}; counted as 1"),
        Reading::Unreadable(why) => why.to_string(),
        _ => "`none` stands beside another word and is dropped".to_owned(),
    };
    let text = clipped(&text_of(row.cell(column)));
    Fault { row: row.number, column: Some(column), field: Some(field), text, why }
}
