//! Surveys that came back filled in: joined to the schedule, with what a person should know of it.

use std::collections::HashSet;

use crate::mapping::{Account, Loaded};
use crate::outlet::{Field, Origin, Texts, written};
use crate::report::wording::counted;
use crate::survey::join::{Conflict, Moved};
use crate::survey::{self, Joined};

/// Joins observations to the outlets of schedules, and enters in the account what came of it.
pub(super) fn join(loaded: &mut Loaded) {
    if loaded.account.observed_sheets().is_empty() {
        return;
    }
    let Loaded { outlets, texts, account, .. } = loaded;
    let joined = survey::join(outlets, &|origin| {
        let observations = account.sheet(origin)?.observations.as_ref()?;
        Some(observations.get(&origin.row).copied().unwrap_or_default())
    });
    for moved in &joined.moved {
        account.moved(moved.to, moved.field, moved.from);
    }
    tell(&joined, account, texts);
}

fn tell(joined: &Joined, account: &mut Account, texts: &Texts) {
    for conflict in &joined.conflicts {
        enter(conflict, account, texts);
    }
    for (observation, rows) in &joined.ambiguous {
        let rows = rows.map(|row| place(account, row)).join(" and ");
        let why = format!("the observation could be of {rows}; it is not used");
        account.fault(*observation, Field::OutletId, String::new(), why);
    }
    let in_conflict: HashSet<(Origin, Field)> =
        joined.conflicts.iter().map(|one| (one.outlet, one.field)).collect();
    let stands = |moved: &&Moved| !in_conflict.contains(&(moved.to, moved.field));
    let replaced = joined.moved.iter().filter(|moved| moved.replaced).filter(stands).count();
    let mut said = format!(
        "{} joined: {} filled in, {} replaced",
        counted(joined.joined, "observation was", "observations were"),
        counted(filled(joined, &stands), "fact", "facts"),
        replaced
    );
    if !in_conflict.is_empty() {
        let facts = counted(in_conflict.len() as u64, "fact", "facts");
        said = format!("{said}; contradictions leave {facts} unknown (see the faults)");
    }
    if joined.strangers > 0 {
        let stand = counted(joined.strangers, "outlet stands", "outlets stand");
        let itself = if joined.strangers == 1 { "itself" } else { "themselves" };
        said = format!("{said}; {stand} by {itself}, being on no schedule");
    }
    if !joined.ambiguous.is_empty() {
        let count = counted(joined.ambiguous.len() as u64, "observation", "observations");
        said = format!("{said}; {count} could be of several rows: not used");
    }
    account.remarks.push(said);
}

fn filled(joined: &Joined, stands: &dyn Fn(&&Moved) -> bool) -> u64 {
    let of_the_row = [Field::ObservedOn, Field::ObservedBy, Field::Evidence];
    let facts = joined.moved.iter().filter(|moved| !moved.replaced);
    facts.filter(|moved| !of_the_row.contains(&moved.field)).filter(|moved| stands(moved)).count()
        as u64
}

/// A contradiction is a fault of the later row, and leaves the fact unknown.
fn enter(conflict: &Conflict, account: &mut Account, texts: &Texts) {
    let [(first, one), (second, other)] = conflict.rows;
    let value = |raw| written(conflict.field, raw, texts);
    let why = format!(
        "contradicts {}, which says {}; none is known to be the later, so the fact counts as unknown: \
         give both their observed_on",
        place(account, first),
        value(one)
    );
    account.fault(second, conflict.field, value(other), why);
}

fn place(account: &Account, row: Origin) -> String {
    match account.sheet_name(row) {
        "" => format!("row {} of {}", row.row, account.path(row)),
        sheet => format!("row {} of {}, sheet {sheet}", row.row, account.path(row)),
    }
}
