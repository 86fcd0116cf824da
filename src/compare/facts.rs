//! Facts that changed between two revisions, on how many outlets alike: forty set-backs of one floor that
//! became right on one day, though nobody says that anybody worked there, are worth a question.

use std::collections::{BTreeMap, BTreeSet};

use crate::audit::Audit;
use crate::audit::difference::{ChangedFact, changed_facts, observed_on};

use super::pairs::Pairs;

/// One change of one fact, on outlets of one floor on one day.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct FactShift {
    /// The building.
    pub building: String,
    /// The storey.
    pub floor: String,
    /// What changed.
    pub fact: ChangedFact,
    /// The day on which it was observed, as it is printed; empty where none is recorded.
    pub observed_on: String,
    /// The outlets, as places in the later audit.
    pub outlets: Vec<u32>,
}

/// The changes of facts on outlets on which nobody claims to have worked, those on most outlets first.
pub fn shifts(
    before: &Audit,
    after: &Audit,
    pairs: &Pairs,
    worked_on: &BTreeSet<u32>,
) -> Vec<FactShift> {
    let mut shifts: BTreeMap<(String, String, ChangedFact, String), Vec<u32>> = BTreeMap::new();
    for (earlier, later) in pairs.both().filter(|(_, later)| !worked_on.contains(later)) {
        let place = after.place(later);
        for fact in changed_facts((before, earlier), (after, later)) {
            let day = observed_on(after, later);
            let key = (place.building.to_owned(), place.floor.to_owned(), fact, day);
            shifts.entry(key).or_default().push(later);
        }
    }
    let mut shifts: Vec<FactShift> = shifts
        .into_iter()
        .map(|((building, floor, fact, observed_on), outlets)| FactShift {
            building,
            floor,
            fact,
            observed_on,
            outlets,
        })
        .collect();
    shifts.sort_by_key(|shift| std::cmp::Reverse(shift.outlets.len()));
    shifts
}
