//! What the program's own tables carry beside the facts: the record of a survey, the ways of being unknown of
//! an earlier audit.

use super::apply::fact;
use super::read::{self, Column, Content};
use crate::outlet::{Fact, Field, FieldSet, Outlet, Texts, written};

/// Adds what a record tells to an outlet, and returns the facts that the outlet's own cells only repeat from
/// it. A record of another outlet adds nothing: its name is returned instead.
pub(super) fn add_known(
    record: &str,
    outlet: &mut Outlet,
    texts: &mut Texts,
) -> Result<FieldSet, String> {
    let mut value = |field, text| fact(read::read(Content::Text(text), &Column::of(field), texts));
    let facts: Vec<(Field, &str, Fact<i64>)> = written::facts_of(record)
        .map(|(field, text)| (field, text, value(field, text)))
        .filter(|(.., known)| known.is_known())
        .collect();
    let names = [Field::OutletId, Field::Building];
    for (field, text, known) in facts.iter().filter(|(field, ..)| names.contains(field)) {
        let own = outlet.raw(*field);
        if own.is_known() && own != *known {
            return Err((*text).to_owned());
        }
    }
    let mut repeated = FieldSet::default();
    for (field, _, known) in facts {
        if !outlet.raw(field).is_known() && outlet.raw(field) != Fact::Unreadable {
            outlet.set_raw(field, known);
        }
        if outlet.raw(field) == known {
            repeated.add(field);
        }
    }
    Ok(repeated)
}

/// Tells apart in which way the facts of these fields are unknown: their names stand among the blank, among
/// the unreadable, or they had no column.
pub(super) fn tell_unknown_apart(
    fields: impl Iterator<Item = Field>,
    [blank, unreadable]: &[String; 2],
    outlet: &mut Outlet,
) {
    let named = |names: &str| names.split(", ").filter_map(Field::named).collect::<FieldSet>();
    let (blank, unreadable) = (named(blank), named(unreadable));
    for field in fields {
        if outlet.raw(field) != Fact::Blank || blank.contains(field) {
            continue;
        }
        let unknown = if unreadable.contains(field) { Fact::Unreadable } else { Fact::Absent };
        outlet.set_raw(field, unknown);
    }
}
