//! Faults that only all rows together show.

use std::collections::hash_map::Entry;
use std::collections::{BTreeMap, HashMap};

use super::account::{Account, Fault};
use crate::outlet::words::Edition;
use crate::outlet::{Fact, Field, Origin, Outlet, Text, Texts, Value};

/// Enters a fault for each row whose `outlet_id` an earlier row of the same building has.
///
/// Rows without a building are those of one building of its own.
pub(super) fn repeated_ids(outlets: &[Outlet], texts: &Texts, account: &mut Account) {
    let mut first: HashMap<(Option<i64>, i64), usize> = HashMap::with_capacity(outlets.len());
    let observed = account.observed_sheets();
    for (place, outlet) in outlets.iter().enumerate() {
        let Fact::Known(id) = outlet.raw(Field::OutletId) else { continue };
        if observed.contains(&(outlet.origin.source, outlet.origin.sheet)) {
            continue;
        }
        match first.entry((outlet.raw(Field::Building).known(), id)) {
            Entry::Vacant(entry) => {
                entry.insert(place);
            }
            Entry::Occupied(entry) => {
                enter(outlet, &outlets[*entry.get()], texts.get(Text::from_raw(id)), account);
            }
        }
    }
}

/// Remarks on each sheet most of whose circuits are of voltages that NFPA 70 does not know, and whose
/// rows do not say that another code governs.
pub(super) fn other_codes(outlets: &[Outlet], account: &mut Account) {
    let mut counts: BTreeMap<(u32, u32), [u64; 2]> = BTreeMap::new();
    for outlet in outlets {
        let Fact::Known(volts) = outlet.raw(Field::Volts) else { continue };
        let other = outlet.raw(Field::Edition) == Fact::Known(Edition::Other.raw());
        let [foreign, all] = counts.entry((outlet.origin.source, outlet.origin.sheet)).or_default();
        *all += 1;
        *foreign += u64::from(!other && OTHER_VOLTS.contains(&(volts / 1000)));
    }
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

fn enter(outlet: &Outlet, earlier: &Outlet, id: &str, account: &mut Account) {
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
        text: id.to_owned(),
        why,
    });
}
