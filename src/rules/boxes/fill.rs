//! What is in a box and what it holds: the sums of box-fill.
//!
//! A missing fact counts nothing in a sum and is noted; rows that disagree on a fact that is used are
//! noted as a conflict. Volumes are compared as whole numbers: nothing is rounded.

use crate::outlet::box_size::{SizeKind, TRADE_SIZES, TradeSize, WrittenSize};
use crate::outlet::words::{Barrier, BoxKind, Edition, Material};
use crate::outlet::{Fact, Field, Gauge, Key, Outlet, Value, Volume, VolumeUnit, Word as _, facts};
use crate::rules::subject::Subject;
use crate::rules::verdict::{Missing, MissingFact};

/// Allowances of Table 314.16(B) from 18 to 6 AWG, in ten-thousandths of a cubic inch.
const ALLOWANCE_IN3: [i64; 7] = [15_000, 17_500, 20_000, 22_500, 25_000, 30_000, 50_000];
/// The same in ten-thousandths of a cubic centimetre, as printed.
const ALLOWANCE_CM3: [i64; 7] = [246_000, 287_000, 328_000, 369_000, 410_000, 492_000, 819_000];
/// One cubic inch in millionths of a cubic centimetre, exactly.
const IN3: i128 = 16_387_064;
/// One cubic centimetre in the same.
const CM3: i128 = 1_000_000;

/// What is missing or in conflict.
#[derive(Default)]
pub(super) struct Account {
    /// Facts that are asked for, or heeded and unreadable.
    pub(super) missing: Missing,
    /// Facts on which rows of the box disagree.
    pub(super) conflicts: Missing,
}

/// A sum of allowances, in ten-thousandths of both units as printed.
#[derive(Clone, Copy, Default)]
pub(super) struct Fill {
    in3: i64,
    cm3: i64,
}

impl Fill {
    /// Adds so many quarters of the allowance of a gauge.
    fn add(&mut self, quarters: i64, gauge: Gauge) {
        if let Some(place) = (gauge != Gauge::Larger).then(|| gauge.index()) {
            self.in3 += quarters * ALLOWANCE_IN3[place] / 4;
            self.cm3 += quarters * ALLOWANCE_CM3[place] / 4;
        }
    }

    /// Both sums together.
    pub(super) const fn plus(self, other: Self) -> Self {
        Self { in3: self.in3 + other.in3, cm3: self.cm3 + other.cm3 }
    }

    /// The sum in a unit, for people.
    pub(super) const fn shown(self, unit: VolumeUnit) -> Volume {
        let amount = match unit {
            VolumeUnit::CubicInches => self.in3,
            VolumeUnit::CubicCentimetres => self.cm3,
        };
        Volume { amount, unit }
    }
}

/// The volume of a box.
#[derive(Clone, Copy)]
pub(super) struct Room {
    /// In millionths of ten-thousandths of a cubic centimetre.
    exact: i128,
    /// The same with the cubic inches of the table's row, where the marking is that row's metric figure.
    of_table: Option<i128>,
    /// The unit in which it is recorded.
    pub(super) unit: VolumeUnit,
}

impl Room {
    /// Whether it holds what is in it, by either system of units. Exactly full is full enough.
    pub(super) fn holds(self, fill: Fill) -> bool {
        let by_inches = |room: i128| room >= i128::from(fill.in3) * IN3;
        let by_metric =
            self.unit == VolumeUnit::CubicCentimetres && self.exact >= i128::from(fill.cm3) * CM3;
        by_inches(self.exact) || self.of_table.is_some_and(by_inches) || by_metric
    }

    /// The volume in its unit, for people.
    pub(super) fn shown(self) -> Volume {
        let scale = match self.unit {
            VolumeUnit::CubicInches => IN3,
            VolumeUnit::CubicCentimetres => CM3,
        };
        let amount = i64::try_from((self.exact + scale / 2) / scale).unwrap_or(i64::MAX);
        Volume { amount, unit: self.unit }
    }
}

/// A volume in millionths of ten-thousandths of a cubic centimetre.
fn exact(volume: Volume) -> i128 {
    let scale = match volume.unit {
        VolumeUnit::CubicInches => IN3,
        VolumeUnit::CubicCentimetres => CM3,
    };
    i128::from(volume.amount) * scale
}

/// The row of the table whose metric figure a marking is.
fn row_of_figure(volume: Volume) -> Option<&'static TradeSize> {
    let metric = volume.unit == VolumeUnit::CubicCentimetres;
    TRADE_SIZES.iter().find(|row| metric && volume.amount == i64::from(row.cm3) * Volume::SCALE)
}

/// The volume of a row of the table, in ten-thousandths of a cubic inch.
fn table_volume(row: &TradeSize) -> Volume {
    let amount = i64::from(row.tenths_in3) * Volume::SCALE / 10;
    Volume { amount, unit: VolumeUnit::CubicInches }
}

/// What the rows of a box say of one fact of the box.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Said<T> {
    Known(T),
    Blank,
    Unreadable,
    Conflict,
}

/// The contents of one box.
pub(super) struct Contents<'a> {
    subject: Subject<'a>,
}

impl<'a> Contents<'a> {
    /// The contents of the box of these rows.
    pub(super) const fn of(subject: Subject<'a>) -> Self {
        Self { subject }
    }

    fn rows(&self) -> impl Iterator<Item = &'a Outlet> {
        self.subject.members.iter().copied()
    }

    fn said<T: Value>(&self, key: Key<T>) -> Said<T> {
        let mut said = Said::Blank;
        for row in self.rows() {
            said = match (row.get(key), said) {
                (Fact::Known(value), Said::Known(known)) if value != known => {
                    return Said::Conflict;
                }
                (Fact::Known(value), _) => Said::Known(value),
                (Fact::Unreadable, Said::Blank) => Said::Unreadable,
                (_, said) => said,
            };
        }
        said
    }

    /// A fact that is asked for.
    fn asked<T: Value>(&self, key: Key<T>, account: &mut Account) -> Option<T> {
        match self.said(key) {
            Said::Known(value) => return Some(value),
            Said::Blank | Said::Unreadable => account.missing.add_field(key.field),
            Said::Conflict => account.conflicts.add_field(key.field),
        }
        None
    }

    /// A fact that is heeded, with its ordinary value; none where it cannot be read or is in conflict.
    fn heeded<T: Value>(&self, key: Key<T>, ordinary: T, account: &mut Account) -> Option<T> {
        match self.said(key) {
            Said::Known(value) => return Some(value),
            Said::Blank => return Some(ordinary),
            Said::Unreadable => account.missing.add_field(key.field),
            Said::Conflict => account.conflicts.add_field(key.field),
        }
        None
    }

    /// Whether a device wire or a ground is larger than the table goes.
    pub(super) fn has_wire_above_6(&self) -> bool {
        let larger = |row: &Outlet, key| row.get(key) == Fact::Known(Gauge::Larger);
        self.rows()
            .any(|row| larger(row, facts::DEVICE_WIRE) || larger(row, facts::GROUND_WIRE_SIZE))
    }

    /// Whether all that is recorded says that there is no box, or that it is an assembly.
    pub(super) fn is_no_box(&self) -> bool {
        matches!(self.said(facts::BOX), Said::Known(BoxKind::None | BoxKind::Assembly))
    }

    /// The volume of the box: marked, else of the table; with rings, extensions and raised covers.
    pub(super) fn volume(&self, account: &mut Account) -> Option<Room> {
        self.note_box(account);
        let extra = self.extra(account);
        let marked = self.marked(account);
        let (base, row) = match marked {
            Said::Known(volume) => (volume, row_of_figure(volume)),
            Said::Conflict => return None,
            Said::Blank | Said::Unreadable => (self.of_table(account)?, None),
        };
        let extra = extra?;
        Some(Room {
            exact: exact(base) + extra,
            of_table: row.map(|row| exact(table_volume(row)) + extra),
            unit: base.unit,
        })
    }

    /// Whether there is a box at all: one that cannot be read may be none, and rows may disagree on it.
    fn note_box(&self, account: &mut Account) {
        let none = |row: &Outlet| {
            matches!(row.get(facts::BOX), Fact::Known(BoxKind::None | BoxKind::Assembly))
        };
        match self.said(facts::BOX) {
            Said::Unreadable => account.missing.add_field(Field::Box),
            Said::Conflict if self.rows().any(none) => account.conflicts.add_field(Field::Box),
            Said::Known(_) | Said::Blank | Said::Conflict => {}
        }
    }

    /// The marked volume. Two markings that are one pair of the table agree.
    fn marked(&self, account: &mut Account) -> Said<Volume> {
        let said = self.said(facts::BOX_VOLUME);
        if said != Said::Conflict {
            return said;
        }
        let markings = || self.rows().filter_map(|row| row.get(facts::BOX_VOLUME).known());
        let metric = markings().find(|volume| row_of_figure(*volume).is_some());
        let one_pair = metric.filter(|metric| {
            markings().all(|volume| volume == *metric || is_pair(*metric, volume))
        });
        if let Some(volume) = one_pair {
            return Said::Known(volume);
        }
        account.conflicts.add_field(Field::BoxVolume);
        Said::Conflict
    }

    /// Rings, extensions and raised covers, exactly.
    fn extra(&self, account: &mut Account) -> Option<i128> {
        let none = Volume { amount: 0, unit: VolumeUnit::CubicInches };
        self.heeded(facts::EXTRA_VOLUME, none, account).map(exact)
    }

    /// The volume that the table gives the trade size; `box_volume` is missing where it gives none, unless
    /// a fact that cannot be read is the reason.
    fn of_table(&self, account: &mut Account) -> Option<Volume> {
        let size = self.size(account).unwrap_or_else(|| WrittenSize::read(""));
        let kind = size.kind.or_else(|| self.kind(account));
        let per_gang = kind.is_some_and(SizeKind::per_gang);
        let gangs = if per_gang { self.gangs(account) } else { Some(1) };
        let Some(row) = size.row(kind, gangs.unwrap_or(1)) else {
            account.missing.add_field(Field::BoxVolume);
            return None;
        };
        let material = self.heeded(facts::BOX_MATERIAL, Material::Metal, account)?;
        if material == Material::Nonmetallic {
            account.missing.add_field(Field::BoxVolume);
            return None;
        }
        let one = table_volume(row);
        gangs.map(|gangs| Volume {
            amount: if per_gang { one.amount * i64::from(gangs) } else { one.amount },
            ..one
        })
    }

    /// The kind of box that a trade size without its own kind has.
    fn kind(&self, account: &mut Account) -> Option<SizeKind> {
        match self.said(facts::BOX) {
            Said::Known(kind) => size_kind(kind),
            Said::Conflict => {
                account.conflicts.add_field(Field::Box);
                None
            }
            Said::Blank | Said::Unreadable => None,
        }
    }

    /// The trade size.
    fn size(&self, account: &mut Account) -> Option<WrittenSize> {
        match self.said(facts::BOX_SIZE) {
            Said::Known(text) => Some(WrittenSize::read(self.subject.texts.get(text))),
            Said::Conflict => {
                account.conflicts.add_field(Field::BoxSize);
                None
            }
            Said::Blank | Said::Unreadable => None,
        }
    }

    /// The gangs of the box: recorded, else those of its devices added.
    fn gangs(&self, account: &mut Account) -> Option<u16> {
        if self.said(facts::BOX_GANGS) != Said::Blank {
            return self.heeded(facts::BOX_GANGS, 1, account);
        }
        self.rows().try_fold(0_u16, |sum, row| {
            let gangs = self.device_gangs(row, account)?;
            Some(sum.saturating_add(gangs))
        })
    }

    /// The gangs of a device; none where they cannot be read.
    #[expect(clippy::unused_self, reason = "reads as the other facts of the contents")]
    fn device_gangs(&self, row: &Outlet, account: &mut Account) -> Option<u16> {
        match row.get(facts::DEVICE_GANGS) {
            Fact::Known(gangs) => Some(gangs),
            Fact::Blank | Fact::Absent => Some(1),
            Fact::Unreadable => {
                account.missing.add_field(Field::DeviceGangs);
                None
            }
        }
    }

    /// All that takes volume under an edition.
    pub(super) fn fill(&self, edition: Edition, account: &mut Account) -> Fill {
        let mut fill = Fill::default();
        let mut largest = None;
        self.add_conductors(&mut fill, &mut largest, account);
        self.add_yokes(&mut fill, &mut largest, account);
        self.add_grounds(edition, &mut fill, &mut largest, account);
        if edition >= Edition::E2023 {
            self.add_terminal_blocks(&mut fill, &mut largest, account);
        }
        self.add_clamps_and_fittings(&mut fill, largest, account);
        fill
    }

    fn add_conductors(&self, fill: &mut Fill, largest: &mut Option<Gauge>, account: &mut Account) {
        let mut recorded = false;
        let mut unreadable = Missing::default();
        for (key, gauge) in WIRES.into_iter().zip(Gauge::of_table()) {
            match self.said(key) {
                Said::Known(count) => {
                    recorded = true;
                    fill.add(i64::from(count) * 4, gauge);
                    if count > 0 {
                        *largest = (*largest).max(Some(gauge));
                    }
                }
                Said::Blank => {}
                Said::Unreadable => unreadable.add_field(key.field),
                Said::Conflict => {
                    recorded = true;
                    account.conflicts.add_field(key.field);
                }
            }
        }
        if recorded {
            account.missing.extend(unreadable);
        } else {
            account.missing.add(MissingFact::Wires);
        }
    }

    /// Two allowances of its wire for each gang of each yoke.
    fn add_yokes(&self, fill: &mut Fill, largest: &mut Option<Gauge>, account: &mut Account) {
        for row in self.rows() {
            let gangs = self.device_gangs(row, account).unwrap_or(0);
            match row.get(facts::DEVICE_WIRE) {
                Fact::Known(gauge) => {
                    fill.add(i64::from(gangs) * 8, gauge);
                    *largest = (*largest).max(Some(gauge));
                }
                _ => account.missing.add_field(Field::DeviceWire),
            }
        }
    }

    fn add_grounds(
        &self,
        edition: Edition,
        fill: &mut Fill,
        largest: &mut Option<Gauge>,
        account: &mut Account,
    ) {
        let grounds = self.asked(facts::GROUND_WIRES, account).unwrap_or(0);
        let isolated = self.heeded(facts::ISOLATED_GROUND_WIRES, 0, account).unwrap_or(0);
        if grounds == 0 && isolated == 0 {
            return;
        }
        let Some(size) = self.asked(facts::GROUND_WIRE_SIZE, account) else { return };
        *largest = (*largest).max(Some(size));
        let quarters = if edition < Edition::E2020 {
            4 * (i64::from(grounds > 0) + i64::from(isolated > 0))
        } else {
            4 + (i64::from(grounds) + i64::from(isolated) - 4).max(0)
        };
        fill.add(quarters, size);
    }

    fn add_terminal_blocks(
        &self,
        fill: &mut Fill,
        largest: &mut Option<Gauge>,
        account: &mut Account,
    ) {
        let blocks = self.heeded(facts::TERMINAL_BLOCKS, 0, account).unwrap_or(0);
        if blocks == 0 {
            return;
        }
        match self.asked(facts::TERMINAL_BLOCK_WIRE, account) {
            None => {}
            Some(Gauge::Larger) => account.missing.add_field(Field::TerminalBlockWire),
            Some(size) => {
                *largest = (*largest).max(Some(size));
                fill.add(i64::from(blocks) * 4, size);
            }
        }
    }

    fn add_clamps_and_fittings(
        &self,
        fill: &mut Fill,
        largest: Option<Gauge>,
        account: &mut Account,
    ) {
        let clamps = self.asked(facts::CLAMPS, account).unwrap_or(false);
        let fittings = self.heeded(facts::FITTINGS, 0, account).unwrap_or(0);
        if let Some(largest) = largest {
            fill.add(4 * (i64::from(clamps) + i64::from(fittings)), largest);
        }
    }

    /// What the dividers of the box take, at the least and at the most: half a cubic inch for each in a
    /// metal box, one in a nonmetallic one.
    pub(super) fn dividers(&self, account: &mut Account) -> [Fill; 2] {
        let counts = self.divider_counts(account);
        if counts[1] == 0 {
            return [Fill::default(); 2];
        }
        let (in3, cm3) = match self.asked(facts::BOX_MATERIAL, account) {
            Some(Material::Nonmetallic) => (10_000, 164_000),
            Some(Material::Metal) => (5_000, 82_000),
            None => (0, 0),
        };
        counts.map(|count| Fill { in3: count * in3, cm3: count * cm3 })
    }

    /// How many dividers the box has: a range where the order is unknown and one of those that record a
    /// divider may stand at the end of the box.
    fn divider_counts(&self, account: &mut Account) -> [i64; 2] {
        let rows: Vec<&Outlet> = self.rows().collect();
        if rows.len() < 2 {
            return [0; 2];
        }
        let unreadable = |row: &Outlet| row.get(facts::BARRIER) == Fact::Unreadable;
        let secured: Vec<&Outlet> = rows.iter().copied().filter(|row| is_secured(row)).collect();
        let count = i64::try_from(secured.len()).unwrap_or(i64::MAX);
        if rows.len() == 2 {
            if count > 0 && rows.iter().any(|row| is_unsecured(row)) {
                account.conflicts.add_field(Field::Barrier);
                return [0; 2];
            }
            let recorded = rows.iter().any(|row| row.get(facts::BARRIER).is_known());
            if !recorded && rows.iter().any(|row| unreadable(row)) {
                account.missing.add_field(Field::Barrier);
            }
            return [count.min(1); 2];
        }
        let mut gangs: Vec<Option<u16>> = rows.iter().map(|row| gang(row)).collect();
        gangs.sort_unstable();
        let ordered = gangs[0].is_some() && gangs.windows(2).all(|pair| pair[0] != pair[1]);
        if ordered {
            let next = |row: &Outlet| gang(row).and_then(|gang| gang.checked_add(1));
            let has_next = |row: &&&Outlet| gangs.contains(&next(row));
            if rows.iter().filter(has_next).any(|row| unreadable(row)) {
                account.missing.add_field(Field::Barrier);
            }
            let dividers = secured.iter().filter(has_next).count();
            return [i64::try_from(dividers).unwrap_or(i64::MAX); 2];
        }
        if rows.iter().any(|row| unreadable(row)) {
            account.missing.add_field(Field::Barrier);
        }
        let highest = gangs[gangs.len() - 1];
        let may_be_last = |row: &&Outlet| gang(row).is_none() || gang(row) == highest;
        if secured.len() == rows.len() {
            [count - 1; 2]
        } else if secured.iter().any(may_be_last) {
            [count - 1, count]
        } else {
            [count; 2]
        }
    }
}

fn gang(row: &Outlet) -> Option<u16> {
    row.get(facts::GANG).known()
}

fn is_secured(row: &Outlet) -> bool {
    row.get(facts::BARRIER) == Fact::Known(Barrier::Secured)
}

fn is_unsecured(row: &Outlet) -> bool {
    matches!(row.get(facts::BARRIER), Fact::Known(Barrier::None | Barrier::Unsecured))
}

/// Whether two markings are the two figures of one row of the table.
fn is_pair(metric: Volume, inches: Volume) -> bool {
    inches.unit == VolumeUnit::CubicInches
        && TRADE_SIZES.iter().any(|row| {
            metric.amount == i64::from(row.cm3) * Volume::SCALE
                && inches.amount == table_volume(row).amount
        })
}

const fn size_kind(kind: BoxKind) -> Option<SizeKind> {
    match kind {
        BoxKind::DeviceBox => Some(SizeKind::Device),
        BoxKind::Square => Some(SizeKind::Square),
        BoxKind::Octagon => Some(SizeKind::Octagon),
        BoxKind::Masonry => Some(SizeKind::Masonry),
        BoxKind::Fs => Some(SizeKind::Fs),
        BoxKind::Fd => Some(SizeKind::Fd),
        BoxKind::FloorBox | BoxKind::Raceway | BoxKind::Assembly | BoxKind::None => None,
    }
}

/// The columns that count conductors, from 18 to 6 AWG.
const WIRES: [Key<u16>; 7] = [
    facts::WIRES_18,
    facts::WIRES_16,
    facts::WIRES_14,
    facts::WIRES_12,
    facts::WIRES_10,
    facts::WIRES_8,
    facts::WIRES_6,
];
