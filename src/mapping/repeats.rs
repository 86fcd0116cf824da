//! Rows that repeat a device of another table of the same workbook: summaries, extracts, lists by
//! panel.
//!
//! Owns telling a table that repeats others from one whose numbers merely begin again. Such a table has
//! fewer columns than those it repeats, nearly all of its devices stand in them, and no fact of it
//! contradicts theirs. Its rows are not counted twice; what only they say is added to the devices that
//! they repeat. Files are never compared: two revisions in one folder are both kept.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::account::Account;
use crate::outlet::{Fact, Field, Outlet};

/// Why a row that repeats another is no outlet of its own.
const REASON: &str = "repeats a device of another table";

/// A table: the input and its place among the tables of it.
type Table = (u32, u32);

/// Takes out rows that repeat a device of a fuller table of the same workbook.
pub(super) fn take_out(outlets: &mut Vec<Outlet>, account: &mut Account) {
    let pairs = pairs(outlets, account);
    if pairs.is_empty() {
        return;
    }
    // A row that goes itself is no place for the facts of another.
    let lessers: BTreeSet<_> = pairs.values().flatten().map(|(lesser, _)| *lesser).collect();
    let mut gone = BTreeSet::new();
    for (table, pairs) in pairs {
        let (mut added, mut rows) = (0, 0);
        for (lesser, fuller) in pairs {
            // What another summary added may contradict this one.
            if lessers.contains(&fuller) || !agree(&outlets[lesser], &outlets[fuller]) {
                continue;
            }
            added += add_facts(outlets, lesser, fuller, account);
            rows += 1;
            gone.insert(lesser);
        }
        if rows > 0 {
            tell(table, rows, added, account);
        }
    }
    let mut place = 0;
    outlets.retain(|_| {
        place += 1;
        !gone.contains(&(place - 1))
    });
}

/// An `outlet_id` that stands more often in one workbook is no name of one device.
const MOST_TABLES: usize = 16;

/// For each table that repeats others the places of its rows and of those that they repeat.
fn pairs(outlets: &[Outlet], account: &Account) -> BTreeMap<Table, Vec<(usize, usize)>> {
    let columns = columns(account);
    if columns.is_empty() {
        return BTreeMap::new();
    }
    let mut by_id: HashMap<(u32, i64), Vec<usize>> = HashMap::new();
    for (place, outlet) in outlets.iter().enumerate() {
        if columns.contains_key(&table(outlet))
            && let Fact::Known(id) = outlet.raw(Field::OutletId)
        {
            by_id.entry((outlet.origin.source, id)).or_default().push(place);
        }
    }
    let mut rows: BTreeMap<Table, usize> = BTreeMap::new();
    let mut pairs: BTreeMap<Table, Vec<(usize, usize)>> = BTreeMap::new();
    for places in by_id.into_values() {
        for lesser in &places {
            *rows.entry(table(&outlets[*lesser])).or_default() += 1;
            if places.len() > MOST_TABLES {
                continue;
            }
            if let Some(fuller) = fuller(*lesser, &places, outlets, &columns) {
                pairs.entry(table(&outlets[*lesser])).or_default().push((*lesser, fuller));
            }
        }
    }
    // Nine of ten: a summary that lags a few devices behind is still one.
    pairs.retain(|table, pairs| pairs.len() * 10 >= rows.get(table).copied().unwrap_or(0) * 9);
    for pairs in pairs.values_mut() {
        pairs.sort_unstable();
    }
    pairs
}

/// How many columns give a field, for each table of the inputs that have several tables.
fn columns(account: &Account) -> BTreeMap<Table, usize> {
    let mut columns = BTreeMap::new();
    for (source, input) in (0..).zip(&account.inputs) {
        let tables = (0..).zip(&input.sheets).filter(|(_, sheet)| sheet.rows_read > 0);
        let of_input: Vec<_> = tables
            .map(|(place, sheet)| {
                let giving = sheet.columns.iter().filter(|column| column.field.is_some()).count();
                ((source, place), giving)
            })
            .collect();
        if of_input.len() > 1 {
            columns.extend(of_input);
        }
    }
    columns
}

const fn table(outlet: &Outlet) -> Table {
    (outlet.origin.source, outlet.origin.sheet)
}

/// The row with the most facts that another one repeats: of a table with more columns, and without a
/// contradiction.
fn fuller(
    lesser: usize,
    all: &[usize],
    outlets: &[Outlet],
    columns: &BTreeMap<Table, usize>,
) -> Option<usize> {
    let one = &outlets[lesser];
    let more = all.iter().copied().filter(|place| {
        let other = &outlets[*place];
        columns.get(&table(one)) < columns.get(&table(other))
            && facts(one) < facts(other)
            && agree(one, other)
    });
    // Of equally full ones the first.
    more.min_by_key(|place| (std::cmp::Reverse(facts(&outlets[*place])), *place))
}

fn facts(outlet: &Outlet) -> usize {
    Field::ALL.iter().filter(|field| outlet.raw(**field).is_known()).count()
}

/// Whether two outlets say the same wherever both say something.
fn agree(one: &Outlet, other: &Outlet) -> bool {
    Field::ALL.iter().all(|field| match (one.raw(*field), other.raw(*field)) {
        (Fact::Known(one), Fact::Known(other)) => one == other,
        (Fact::Unreadable, _) => false,
        _ => true,
    })
}

/// Adds what only the lesser of two rows says to the fuller, with the cell where it stands.
fn add_facts(outlets: &mut [Outlet], lesser: usize, fuller: usize, account: &mut Account) -> usize {
    let from = outlets[lesser].clone();
    let Some(to) = outlets.get_mut(fuller) else { return 0 };
    let mut added = 0;
    for field in Field::ALL {
        let (Fact::Known(raw), Fact::Blank | Fact::Absent) = (from.raw(*field), to.raw(*field))
        else {
            continue;
        };
        to.set_raw(*field, Fact::Known(raw));
        added += 1;
        account.moved(to.origin, *field, from.origin);
    }
    added
}

fn tell(table: Table, rows: usize, added: usize, account: &mut Account) {
    let origin = crate::outlet::Origin { source: table.0, sheet: table.1, row: 0 };
    let count = u32::try_from(rows).unwrap_or(u32::MAX);
    let Some(sheet) = account.sheet_mut(origin) else { return };
    sheet.rows_read = sheet.rows_read.saturating_sub(count);
    *sheet.rows_skipped.entry(REASON.to_owned()).or_default() += count;
    let more = if added == 0 {
        String::new()
    } else {
        format!("; {added} facts that only they give were added to those devices")
    };
    let place = match account.sheet_name(origin) {
        "" => account.path(origin).to_owned(),
        name => format!("{}, sheet {name}", account.path(origin)),
    };
    let rows = if rows == 1 {
        "1 row repeats a device".to_owned()
    } else {
        format!("{rows} rows repeat devices")
    };
    account
        .remarks
        .push(format!("{place}: {rows} of other tables and are not counted twice{more}"));
}
