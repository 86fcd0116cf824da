//! One round of collecting: which outlets to see, and which facts of each, so that a walk through the
//! building decides as much as it can.

use std::collections::HashMap;

use crate::audit::Audit;
use crate::outlet::{Field, FieldSet, Outlet};
use crate::rules::{Missing, MissingFact};

use super::collect::Survey;
use super::name::{Name, name};

/// Facts that one round asks for unless it is told otherwise: as many as fit beside each other on a page.
pub const MOST_FACTS: usize = 12;

/// What a round is to ask for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Wish {
    /// The facts that decide the most, at most so many.
    Most(usize),
    /// These facts, in this order.
    Facts(Vec<MissingFact>),
}

/// A round of collecting.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Round {
    /// The facts, as columns from left to right.
    pub fields: Vec<Field>,
    /// The outlets to see, in the order of their rows.
    pub stops: Vec<Stop>,
    /// Outlets with undetermined verdicts that wait for other facts only.
    pub waiting_for_others: u64,
    /// Outlets that wait for these facts and have no name by which an observation could be joined: no
    /// `outlet_id`, or one that another row of the building has as well.
    pub nameless: u64,
}

/// An outlet to see.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Stop {
    /// The outlet, as a place in the list.
    pub outlet: u32,
    /// The facts that are asked for.
    pub asked: FieldSet,
}

/// Sizes of conductors that branch circuits of receptacles have; others are asked for by name.
const USUAL_WIRES: [Field; 3] = [Field::Wires14, Field::Wires12, Field::Wires10];

impl Round {
    /// The round that an audit calls for.
    pub fn of(audit: &Audit, wish: &Wish) -> Self {
        let facts = match wish {
            Wish::Facts(facts) => facts.clone(),
            Wish::Most(most) => {
                let steps = Survey::of(audit).steps;
                steps.into_iter().flat_map(|step| step.facts).take(*most).collect()
            }
        };
        let mut round = Self { fields: columns(&facts), ..Self::default() };
        let names = names(audit);
        for gap in &audit.gaps {
            let asked = asked(audit.outlet(gap.outlet), gap.missing, &facts);
            if asked.is_empty() {
                round.waiting_for_others += 1;
            } else if name(audit.outlet(gap.outlet)).is_none_or(|name| names[&name] > 1) {
                round.nameless += 1;
            } else {
                round.stops.push(Stop { outlet: gap.outlet, asked });
            }
        }
        round
    }
}

fn columns(facts: &[MissingFact]) -> Vec<Field> {
    let mut fields = Vec::new();
    for fact in facts {
        for field in fields_of(*fact) {
            if !fields.contains(&field) {
                fields.push(field);
            }
        }
    }
    fields
}

fn fields_of(fact: MissingFact) -> Vec<Field> {
    match fact {
        MissingFact::Field(field) => vec![field],
        MissingFact::Wires => USUAL_WIRES.to_vec(),
    }
}

/// What is asked of an outlet: what its verdicts wait for, and it does not record; where all of it is
/// recorded and in conflict, all of it.
fn asked(outlet: &Outlet, missing: Missing, facts: &[MissingFact]) -> FieldSet {
    let wanted = facts.iter().filter(|fact| missing.contains(**fact));
    let wanted: Vec<Field> = wanted.flat_map(|fact| fields_of(*fact)).collect();
    let open: FieldSet =
        wanted.iter().copied().filter(|field| !outlet.raw(*field).is_known()).collect();
    if open.is_empty() { wanted.into_iter().collect() } else { open }
}

fn names(audit: &Audit) -> HashMap<Name, u32> {
    let mut names = HashMap::new();
    for name in audit.outlets.iter().filter_map(name) {
        *names.entry(name).or_default() += 1;
    }
    names
}
