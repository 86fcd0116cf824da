//! The tables of one sheet: below each other, beside each other, each with its own header.
//!
//! Owns which rows and columns belong to which table. A table is entered in the account like a sheet
//! of its own, under the name of its sheet, so that a column gives one field wherever it stands. The
//! header of a table below another is looked for where the one above may have ended: below a row
//! that is no device, such as a gap, a total or a title.

use std::ops::Range;

use super::account::{Resolutions, SheetAccount, SheetReading};
use super::apply::block::{Ahead, Block};
use super::apply::{Reader, Skip};
use super::file::MappingFile;
use super::header::HeaderRow;
use super::plan::{KnownBuilding, Maker};
use super::recognise::{Choice, Names, another_header, is_header};
use crate::ingest::{Merge, Row};
use crate::outlet::{Origin, Outlet, Texts};

/// What all tables of a sheet have in common.
pub(super) struct Common<'a, 'm> {
    pub(super) mapping: Option<&'m MappingFile>,
    pub(super) names: Names<'a>,
    /// The facts of buildings.
    pub(super) buildings: Vec<KnownBuilding<'m>>,
    pub(super) merges: Vec<Merge>,
    /// Whether a row without cells is left out of the rows, so that their numbers tell of it.
    pub(super) leaves_gaps: bool,
    pub(super) texts: &'a mut Texts,
    pub(super) resolutions: &'a mut Resolutions,
    /// The account of the sheet, before any table of it.
    pub(super) account: SheetAccount,
    /// The origin of the first table; each table more is the next sheet.
    pub(super) origin: Origin,
}

/// The tables of a sheet while its rows are read.
pub(super) struct Tables<'a, 'm> {
    common: Common<'a, 'm>,
    /// How many bytes of the rows were not of the encoding of their file.
    pub(super) mended: u64,
    /// How many tables have begun.
    begun: u32,
    /// The tables that the next row may belong to, by their columns.
    open: Vec<Lane<'m>>,
    done: Vec<Lane<'m>>,
}

/// A table and the columns of the sheet that it takes.
struct Lane<'m> {
    place: u32,
    columns: Range<u32>,
    reader: Reader<'m>,
}

impl<'a, 'm> Tables<'a, 'm> {
    /// The tables that begin with a header.
    pub(super) fn begin(common: Common<'a, 'm>, header: &HeaderRow, why: &str, above: u32) -> Self {
        let mut tables = Self { common, mended: 0, begun: 0, open: Vec::new(), done: Vec::new() };
        tables.open = tables.lanes(header, &(0..u32::MAX), why);
        if let Some(first) = tables.open.first_mut() {
            first.reader.skip(Skip::AboveHeader, above);
        }
        tables
    }

    /// The tables under a header, which take these columns together.
    fn lanes(&mut self, header: &HeaderRow, columns: &Range<u32>, why: &str) -> Vec<Lane<'m>> {
        let mapping = self.common.mapping;
        let blocks = header.side_by_side(&|block| is_header(mapping, block));
        let start = |block: &HeaderRow| block.headers.first().map(|header| header.column);
        let mut lanes = Vec::new();
        for (place, block) in blocks.iter().enumerate() {
            let from = if place == 0 { Some(columns.start) } else { start(block) };
            let to = blocks.get(place + 1).map_or(Some(columns.end), start);
            let (Some(from), Some(to)) = (from, to) else { continue };
            lanes.push(self.lane(block, from..to, why));
        }
        lanes
    }

    fn lane(&mut self, header: &HeaderRow, columns: Range<u32>, why: &str) -> Lane<'m> {
        let common = &mut self.common;
        let mut account = common.account.clone();
        account.header_row = Some(header.number);
        if let SheetReading::Mapped { why: told, .. } = &mut account.reading {
            why.clone_into(told);
        }
        let place = self.begun;
        self.begun += 1;
        let choice = Choice {
            mapping: common.mapping,
            header: header.clone(),
            why: String::new(),
            rivals: Vec::new(),
        };
        let maker = Maker {
            choice: &choice,
            names: common.names,
            origin: Origin { sheet: common.origin.sheet + place, ..common.origin },
            texts: &mut *common.texts,
            sheet: &mut account,
            resolutions: &mut *common.resolutions,
        };
        let plan = maker.plan(&common.buildings);
        Lane { place, columns, reader: Reader::new(plan, account, &common.merges) }
    }

    /// What other threads begin with to read the rows from here on; see [`super::apply::block`].
    pub(super) fn ahead(&self) -> Option<Ahead<'m>> {
        self.only()?.reader.ahead(self.common.texts, self.common.leaves_gaps)
    }

    /// Reads rows below the header, of which another thread may have read what they come to by themselves;
    /// whether that could be joined.
    pub(super) fn block(&mut self, rows: &[Row], read: Option<Block<'m>>) -> bool {
        self.mended += rows.iter().map(|row| u64::from(row.mended)).sum::<u64>();
        let only = self.only().is_some();
        let joined = read.filter(|_| only).is_some_and(|block| {
            self.open.first_mut().is_some_and(|lane| lane.reader.join(block, self.common.texts))
        });
        if !joined {
            for row in rows {
                self.row(row);
            }
        }
        joined
    }

    /// The table that takes all columns of the next row.
    fn only(&self) -> Option<&Lane<'m>> {
        match self.open.as_slice() {
            [lane] if lane.columns == (0..u32::MAX) => Some(lane),
            _ => None,
        }
    }

    /// Reads a row below the header.
    pub(super) fn row(&mut self, row: &Row) {
        if self.only().is_some() {
            return self.row_of(0, row);
        }
        for place in (0..self.open.len()).rev() {
            let columns = self.open[place].columns.clone();
            let cells = row.cells().filter(|(column, _)| columns.contains(column));
            self.row_of(place, &Row::with(row.number, cells));
        }
    }

    /// Reads the part of a row that belongs to an open table, or begins another table with it.
    fn row_of(&mut self, place: usize, row: &Row) {
        let lane = &mut self.open[place];
        // A workbook leaves rows without cells out; a text file counts lines, not rows.
        lane.reader.skip_to(row, self.common.leaves_gaps);
        let header = lane
            .reader
            .may_end_before(row)
            .then(|| another_header(self.common.mapping, row))
            .flatten();
        let Some(header) = header else {
            return lane.reader.row(row, self.common.texts);
        };
        lane.reader.take_back_titles();
        let columns = lane.columns.clone();
        let lanes =
            self.lanes(&header, &columns, "another table of the sheet, with its own header");
        self.done.extend(self.open.splice(place..=place, lanes));
    }

    /// The account and the outlets of each table, in the order in which they began.
    pub(super) fn finish(mut self) -> Vec<(SheetAccount, Vec<Outlet>)> {
        let mut all = std::mem::take(&mut self.done);
        all.append(&mut self.open);
        all.sort_by_key(|lane| lane.place);
        all.into_iter().map(|lane| lane.reader.finish()).collect()
    }
}
