//! Which facts of an outlet differ between two audits, whose texts are kept in stores of their own.

use crate::outlet::{Field, Kind, Text, Value as _};

use super::run::Audit;
use super::wording::value_text;

/// A fact that differs; an empty text is unknown.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct ChangedFact {
    /// The fact.
    pub field: Field,
    /// As it was.
    pub before: String,
    /// As it is.
    pub after: String,
}

impl ChangedFact {
    /// In words: `box_set_back 12.7 mm (0.5 in) became 3.175 mm (0.125 in)`.
    pub fn text(&self) -> String {
        let known =
            |text: &str| if text.is_empty() { "unknown".to_owned() } else { text.to_owned() };
        format!("{} {} became {}", self.field.name(), known(&self.before), known(&self.after))
    }

    /// Whether it was recorded, and is no longer.
    pub const fn is_lost(&self) -> bool {
        !self.before.is_empty() && self.after.is_empty()
    }
}

/// Facts that tell who saw an outlet and when, not what it is.
const OF_THE_VISIT: [Field; 3] = [Field::ObservedOn, Field::ObservedBy, Field::Evidence];

/// The facts of an outlet that differ between two audits, in the order of the model.
pub fn changed_facts(before: (&Audit, u32), after: (&Audit, u32)) -> Vec<ChangedFact> {
    let fields = Field::ALL.iter().filter(|field| !OF_THE_VISIT.contains(field));
    fields
        .filter(|field| differs(before, after, **field))
        .map(|field| ChangedFact {
            field: *field,
            before: value_text(before.0.outlet(before.1), *field, &before.0.texts),
            after: value_text(after.0.outlet(after.1), *field, &after.0.texts),
        })
        .collect()
}

fn differs(before: (&Audit, u32), after: (&Audit, u32), field: Field) -> bool {
    let raw = |(audit, outlet): (&Audit, u32)| audit.outlet(outlet).raw(field).known();
    match (raw(before), raw(after)) {
        (Some(one), Some(other)) if field.kind() == Kind::Text => {
            before.0.texts.get(Text::from_raw(one)) != after.0.texts.get(Text::from_raw(other))
        }
        (one, other) => one != other,
    }
}

/// The day on which the facts of an outlet were observed, as it is printed; empty where none is recorded.
pub fn observed_on(audit: &Audit, outlet: u32) -> String {
    value_text(audit.outlet(outlet), Field::ObservedOn, &audit.texts)
}
