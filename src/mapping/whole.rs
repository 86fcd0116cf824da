//! Faults that only all rows together show.

use std::collections::{BTreeMap, BTreeSet};
use std::hash::BuildHasher as _;

use hashbrown::hash_table::Entry;
use hashbrown::{DefaultHashBuilder, HashTable};
use rayon::prelude::*;

use super::account::{Account, Fault};
use crate::outlet::words::Edition;
use crate::outlet::{Fact, Field, Origin, Outlet, Texts, Value as _, shown};

/// Enters a fault for each row whose `outlet_id` an earlier row of the same building has, and remarks on
/// inputs that share most of their devices, and on sheets that another code may govern.
///
/// Rows without a building are those of one building of its own.
pub(super) fn look_at(outlets: &[Outlet], texts: &Texts, account: &mut Account) {
    let observed = account.observed_sheets();
    let (parts, hasher) = (rayon::current_num_threads() as u64, DefaultHashBuilder::default());
    let of_part = |part| named_again(outlets, &observed, &hasher, part, parts);
    let of_all = || (0..parts).into_par_iter().map(of_part).collect();
    let (named, other): (Vec<Named>, _) = rayon::join(of_all, || other_codes(outlets));
    let mut met = Met::default();
    let mut pairs = Vec::new();
    for part in named {
        part.first.into_iter().for_each(|(source, devices)| met.first(source, devices));
        pairs.extend(part.again);
    }
    pairs.sort_unstable();
    for (here, there) in pairs {
        let (here, earlier) = (&outlets[here as usize], &outlets[there as usize]);
        met.again(there, earlier.origin.source, here.origin.source);
        enter(here, earlier, texts, account);
    }
    met.remark(account);
    remark_on_codes(other, account);
}

/// Devices by the input in which their names stand first, and the rows whose names stood before, each with
/// the row where it did.
#[derive(Default)]
struct Named {
    first: BTreeMap<u32, usize>,
    again: Vec<(u32, u32)>,
}

/// The names of devices that fall to one of so many parts, by their hashes.
fn named_again(
    outlets: &[Outlet],
    observed: &BTreeSet<(u32, u32)>,
    hasher: &DefaultHashBuilder,
    part: u64,
    parts: u64,
) -> Named {
    let name = |place: u32| {
        let outlet = &outlets[place as usize];
        (outlet.raw(Field::Building).known(), outlet.raw(Field::OutletId))
    };
    let hash = |place: &u32| hasher.hash_one(name(*place));
    // Room at once: to look all names up again as the table grows takes longer than to fill it.
    let room = outlets.len() / usize::try_from(parts).unwrap_or(1);
    let mut first: HashTable<u32> = HashTable::with_capacity(room + room / 16);
    let mut named = Named::default();
    for (place, outlet) in (0..).zip(outlets) {
        let hash_here = hash(&place);
        // The table goes by the lower half of the hash.
        if (hash_here >> 32) % parts != part
            || !outlet.raw(Field::OutletId).is_known()
            || observed.contains(&(outlet.origin.source, outlet.origin.sheet))
        {
            continue;
        }
        match first.entry(hash_here, |other| name(*other) == name(place), hash) {
            Entry::Vacant(entry) => {
                entry.insert(place);
                *named.first.entry(outlet.origin.source).or_default() += 1;
            }
            Entry::Occupied(entry) => named.again.push((place, *entry.get())),
        }
    }
    named
}

/// In which inputs devices were met.
#[derive(Default)]
struct Met {
    /// Devices by the input in which they stand first.
    first: BTreeMap<u32, usize>,
    /// Devices by where they stand first, with their input there, and other inputs that have them.
    again: BTreeMap<u32, (u32, BTreeSet<u32>)>,
}

impl Met {
    fn first(&mut self, source: u32, devices: usize) {
        *self.first.entry(source).or_default() += devices;
    }

    fn again(&mut self, place: u32, there: u32, here: u32) {
        if here != there {
            self.again.entry(place).or_insert((there, BTreeSet::new())).1.insert(here);
        }
    }

    /// Remarks on pairs of inputs that share most of their devices: two revisions of one schedule.
    fn remark(self, account: &mut Account) {
        let mut devices = self.first;
        let mut shared: BTreeMap<(u32, u32), usize> = BTreeMap::new();
        for (first, others) in self.again.into_values() {
            for other in &others {
                *devices.entry(*other).or_default() += 1;
            }
            let sources: BTreeSet<u32> = others.into_iter().chain([first]).collect();
            for one in &sources {
                for other in sources.iter().filter(|other| *other > one) {
                    *shared.entry((*one, *other)).or_default() += 1;
                }
            }
        }
        for ((one, other), count) in shared {
            let of = |source| devices.get(&source).copied().unwrap_or_default();
            if count * 2 > of(one).min(of(other)) && count > 1 {
                let path = |source: u32| account.inputs[source as usize].path.clone();
                account.remarks.push(format!(
                    "{} and {} share {count} devices: if they are revisions of one schedule, leave one out; both were read",
                    path(one),
                    path(other),
                ));
            }
        }
    }
}

/// The circuits of each sheet: those of voltages that NFPA 70 does not know and whose rows do not say that
/// another code governs, and all.
type Circuits = BTreeMap<(u32, u32), [u64; 2]>;

fn other_codes(outlets: &[Outlet]) -> Circuits {
    let mut counts = Circuits::new();
    for outlet in outlets {
        let Fact::Known(volts) = outlet.raw(Field::Volts) else { continue };
        let other = outlet.raw(Field::Edition) == Fact::Known(Edition::Other.raw());
        let [foreign, all] = counts.entry((outlet.origin.source, outlet.origin.sheet)).or_default();
        *all += 1;
        *foreign += u64::from(!other && OTHER_VOLTS.contains(&(volts / 1000)));
    }
    counts
}

/// Remarks on each sheet most of whose circuits are of such voltages.
fn remark_on_codes(counts: Circuits, account: &mut Account) {
    for ((source, sheet), [foreign, all]) in counts {
        if foreign * 2 <= all {
            continue;
        }
        let origin = Origin { source, sheet, row: 0 };
        let names = [account.path(origin), account.sheet_name(origin)];
        let names: Vec<_> = names.into_iter().filter(|name| !name.is_empty()).collect();
        let remark = format!(
            "{}: {foreign} of {all} circuits are of 220, 230, 380, 400 or 415 V, so another code than NFPA 70 may govern; \
             where it does, write `edition = \"other\"` in the mapping",
            names.join(", sheet ")
        );
        account.remarks.push(remark);
    }
}

/// Nominal voltages of other codes, none of NFPA 70.
const OTHER_VOLTS: &[i64] = &[220, 230, 380, 400, 415];

fn enter(outlet: &Outlet, earlier: &Outlet, texts: &Texts, account: &mut Account) {
    let (here, there) = (outlet.origin, earlier.origin);
    let place = if (here.source, here.sheet) == (there.source, there.sheet) {
        String::new()
    } else {
        let names = [account.path(there), account.sheet_name(there)];
        let names: Vec<_> = names.into_iter().filter(|name| !name.is_empty()).collect();
        format!(" of {}", names.join(", sheet "))
    };
    let why =
        format!("used twice in a building: by row {}{place} and by row {}", there.row, here.row);
    let inputs = &mut account.inputs;
    let sheets = inputs.get_mut(here.source as usize).map(|input| &mut input.sheets);
    let Some(sheet) = sheets.and_then(|sheets| sheets.get_mut(here.sheet as usize)) else { return };
    let gives_it = |column: &&super::account::ColumnAccount| column.field == Some(Field::OutletId);
    sheet.faults.push(Fault {
        row: here.row,
        column: sheet.columns.iter().find(gives_it).map(|column| column.column),
        field: Some(Field::OutletId),
        text: shown(
            Field::OutletId,
            outlet.raw(Field::OutletId).known().unwrap_or_default(),
            texts,
        ),
        why,
    });
}
