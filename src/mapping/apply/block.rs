//! Blocks of rows read by themselves, on other threads, without a look at the rows above them.
//!
//! Owns when that gives the same: where every row of a block became an outlet, or a thing that is none,
//! without a look upwards, and nothing above ended the table. Such a block is joined to the rest; any other
//! is read again in its turn. So a table of plain rows is read by all threads, and what is not plain is read
//! as if by one.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};

use super::{Above, Memory, ROWS_OF_SAMPLES, Reader, Skip};
use crate::ingest::Row;
use crate::mapping::account::Fault;
use crate::mapping::plan::Plan;
use crate::mapping::read::Reading;
use crate::mapping::recognise::another_header;
use crate::mapping::remembered::Remembered;
use crate::outlet::{Kind, LaterTexts, Outlet, Renamed, Text, Texts, Value as _};

/// When so many blocks more were read in vain than were joined, no more are tried.
const MOST_IN_VAIN: u32 = 16;

/// What all readers of blocks of a table begin with.
pub(in crate::mapping) struct Ahead<'m> {
    plan: Arc<Plan<'m>>,
    /// No texts, with handles behind those of the table.
    texts: Texts,
    leaves_gaps: bool,
    /// How many blocks more were read in vain than were joined.
    in_vain: AtomicU32,
}

/// Reads blocks, each by itself.
pub(in crate::mapping) struct BlockReader<'a, 'm> {
    ahead: &'a Ahead<'m>,
    reader: Reader<'m>,
    texts: Texts,
}

/// What a block came to.
pub(in crate::mapping) struct Block<'m> {
    plan: Arc<Plan<'m>>,
    first: u32,
    last: u32,
    outlets: Vec<Outlet>,
    texts: LaterTexts,
    faults: Vec<Fault>,
    skipped: [u32; Skip::ALL.len()],
    not_devices: BTreeMap<&'static str, u32>,
    /// What the columns gave in its last row.
    memory: Vec<Memory>,
    /// For each column the words of the mapping that it met.
    words: Vec<Vec<usize>>,
}

impl<'m> Ahead<'m> {
    /// A reader for one thread.
    pub(in crate::mapping) fn reader(&self) -> BlockReader<'_, 'm> {
        BlockReader { ahead: self, reader: self.fresh(), texts: self.texts.clone() }
    }

    /// Counts a block that was joined, or had to be read in its turn.
    pub(in crate::mapping) fn count(&self, joined: bool) {
        let in_vain = self.in_vain.load(Ordering::Relaxed);
        let counted = if joined { in_vain.saturating_sub(1) } else { in_vain + 1 };
        if !self.is_in_vain() {
            self.in_vain.store(counted, Ordering::Relaxed);
        }
    }

    /// Whether too little came of it so far.
    fn is_in_vain(&self) -> bool {
        self.in_vain.load(Ordering::Relaxed) >= MOST_IN_VAIN
    }

    fn fresh(&self) -> Reader<'m> {
        let mut reader = Reader::by(Arc::clone(&self.plan));
        reader.above = Above::Unread;
        // Samples are of the first rows of a table.
        reader.sheet.rows_read = ROWS_OF_SAMPLES;
        reader
    }
}

impl<'m> BlockReader<'_, 'm> {
    /// Reads a block; nothing comes of it where a row needs those above.
    pub(in crate::mapping) fn read(&mut self, rows: &[Row]) -> Option<Block<'m>> {
        let (first, last) = (rows.first()?.number, rows.last()?.number);
        if self.ahead.is_in_vain() {
            return None;
        }
        self.reader.remembered.iter_mut().for_each(Remembered::forget_texts);
        self.reader.last = first.saturating_sub(1);
        if !rows.iter().all(|row| self.row(row)) {
            self.reader = self.ahead.fresh();
            self.texts.take();
            return None;
        }
        let reader = &mut self.reader;
        Some(Block {
            plan: Arc::clone(&reader.plan),
            first,
            last,
            outlets: std::mem::take(&mut reader.outlets),
            texts: self.texts.take(),
            faults: std::mem::take(&mut reader.sheet.faults),
            skipped: std::mem::take(&mut reader.skipped),
            not_devices: std::mem::take(&mut reader.not_devices),
            memory: reader.memory.clone(),
            words: reader.remembered.iter().map(Remembered::met).collect(),
        })
    }

    /// Reads a row; false where it needs those above.
    fn row(&mut self, row: &Row) -> bool {
        let reader = &mut self.reader;
        reader.skip_to(row, self.ahead.leaves_gaps);
        if reader.may_end_before(row) && another_header(reader.plan.mapping, row).is_some() {
            return false;
        }
        reader.row(row, &mut self.texts);
        reader.above == Above::Unread
    }
}

impl<'m> Reader<'m> {
    /// What other threads begin with to read the rows from here on by themselves; none where their plan
    /// looks upwards or beyond the row, or where samples are still wanted.
    pub(in crate::mapping) fn ahead(&self, texts: &Texts, leaves_gaps: bool) -> Option<Ahead<'m>> {
        let plan = &self.plan;
        let by_themselves = self.sheet.rows_read >= ROWS_OF_SAMPLES
            && self.merges.is_empty()
            && self.merged.is_empty()
            && self.descriptions.is_empty()
            && plan.buildings.is_empty()
            && plan.known_before.is_none()
            && plan.earlier.is_none();
        by_themselves.then(|| Ahead {
            plan: Arc::clone(plan),
            texts: texts.behind(),
            leaves_gaps,
            in_vain: AtomicU32::new(0),
        })
    }

    /// Joins a block to the rows above it; false where they have a say in it.
    pub(in crate::mapping) fn join(&mut self, block: Block<'m>, texts: &mut Texts) -> bool {
        let goes_on = !(self.ended || self.below_notes || self.between || self.lone > 0);
        let follows = self.last.checked_add(1) == Some(block.first);
        if !goes_on || !follows || !Arc::ptr_eq(&block.plan, &self.plan) {
            return false;
        }
        let names = texts.absorb_later(&block.texts);
        self.last = block.last;
        self.sheet.rows_read += u32::try_from(block.outlets.len()).unwrap_or(u32::MAX);
        self.outlets.extend(block.outlets.into_iter().map(|mut outlet| {
            outlet.rename(|text| names.get(text));
            outlet
        }));
        self.sheet.faults.extend(block.faults);
        for (count, more) in self.skipped.iter_mut().zip(block.skipped) {
            *count += more;
        }
        for (what, more) in block.not_devices {
            *self.not_devices.entry(what).or_default() += more;
        }
        for ((memory, column), last) in
            self.memory.iter_mut().zip(&self.plan.columns).zip(block.memory)
        {
            let kind = column.read.field.kind();
            memory.before = renamed(last.before, kind, &names);
            // A column that is filled down has said something in the block: else a row would need those
            // above. In any other one the last that it said is of no use.
            memory.said = renamed(last.said, kind, &names);
        }
        for (column, met) in self.plan.columns.iter().zip(&block.words) {
            if let Some(words) = column.read.words {
                words.mark_met(met);
            }
        }
        true
    }
}

/// A reading with the handle that its text has among those of the table.
fn renamed(reading: Reading, kind: Kind, names: &Renamed) -> Reading {
    match reading {
        Reading::Known(raw) if kind == Kind::Text => {
            Reading::Known(names.get(Text::from_raw(raw)).raw())
        }
        other => other,
    }
}
