//! Facts that are named on the command line.

use crate::outlet::Field;
use crate::rules::MissingFact;

/// A name that is no field's.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
#[error(
    "there is no fact named `{name}`; did you mean `{suggestion}`? `yokecheck fields` lists them"
)]
pub(super) struct UnknownFact {
    name: String,
    suggestion: &'static str,
}

/// The facts of these names; `wires` stands for the columns that count conductors by size.
pub(super) fn named(names: &[String]) -> Result<Vec<MissingFact>, UnknownFact> {
    names.iter().map(|name| fact(name)).collect()
}

/// The fields of these names.
pub(super) fn fields(names: &[String]) -> Result<Vec<Field>, UnknownFact> {
    let facts = named(names)?.into_iter();
    Ok(facts.flat_map(MissingFact::fields).copied().collect())
}

fn fact(name: &str) -> Result<MissingFact, UnknownFact> {
    let folded = name.trim().to_lowercase();
    if folded == MissingFact::Wires.name() {
        return Ok(MissingFact::Wires);
    }
    Field::named(&folded)
        .map(MissingFact::Field)
        .ok_or_else(|| UnknownFact { name: name.to_owned(), suggestion: nearest(&folded) })
}

fn nearest(name: &str) -> &'static str {
    let likeness = |field: &Field| strsim::jaro_winkler(field.name(), name);
    let nearest = Field::ALL.iter().max_by(|one, other| likeness(one).total_cmp(&likeness(other)));
    nearest.map_or("", |field| field.name())
}
