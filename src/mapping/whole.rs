//! Faults that only all rows together show.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use super::account::{Account, Fault};
use crate::outlet::{Fact, Field, Outlet, Text, Texts, Value};

/// Enters a fault for each row whose `outlet_id` an earlier row of the same building has.
///
/// Rows without a building are those of one building of its own.
pub(super) fn repeated_ids(outlets: &[Outlet], texts: &Texts, account: &mut Account) {
    let mut first: HashMap<(Option<i64>, i64), usize> = HashMap::with_capacity(outlets.len());
    for (place, outlet) in outlets.iter().enumerate() {
        let Fact::Known(id) = outlet.raw(Field::OutletId) else { continue };
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
