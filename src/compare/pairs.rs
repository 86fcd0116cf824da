//! Which outlets of two audits are the same: those of one building and one `outlet_id`, and those of which
//! somebody says so. A new name in an old place is proposed, never taken for granted.

use std::collections::{BTreeSet, HashMap};

use crate::audit::subjects::{subject_name, text_of};
use crate::audit::{Audit, Field, SubjectKind};

/// An outlet under another name.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Rename {
    /// Its building.
    pub building: String,
    /// Its name in the earlier audit.
    pub before: String,
    /// Its name in the later one.
    pub after: String,
}

/// Which outlets are the same.
pub struct Pairs {
    /// For each outlet of the earlier audit its place in the later one.
    later: Vec<Option<u32>>,
    /// For each outlet of the later audit its place in the earlier one.
    earlier: Vec<Option<u32>>,
    /// Outlets of the earlier audit whose name does not say which they are: several have it on a side.
    ambiguous: BTreeSet<u32>,
    /// Outlets that may be the same under another name: a place before, a place after.
    pub proposed: Vec<(u32, u32)>,
    /// Outlets without an `outlet_id`, before and after: they are like no other.
    pub nameless: [u64; 2],
    /// Renames that are about no outlet, or about one that has a pair already.
    pub unused: Vec<Rename>,
}

impl Pairs {
    /// Pairs the outlets of two audits.
    pub(super) fn of(before: &Audit, after: &Audit, renamed: &[Rename]) -> Self {
        let (old, new) = (by_name(before), by_name(after));
        let mut pairs = Self {
            later: vec![None; before.outlets.len()],
            earlier: vec![None; after.outlets.len()],
            ambiguous: BTreeSet::new(),
            proposed: Vec::new(),
            nameless: [before, after].map(nameless),
            unused: Vec::new(),
        };
        for (name, outlets) in &old {
            match (outlets.as_slice(), new.get(name).map(Vec::as_slice)) {
                (_, None) => {}
                ([before], Some([after])) => pairs.tie(*before, *after),
                _ => pairs.ambiguous.extend(outlets),
            }
        }
        for rename in renamed {
            let one = |audit: &HashMap<Name<'_>, Vec<u32>>, id: &str| {
                let named = audit.iter().filter(|((building, name), _)| {
                    *name == id && (rename.building.is_empty() || *building == rename.building)
                });
                let outlets: Vec<u32> = named.flat_map(|(_, outlets)| outlets).copied().collect();
                <[u32; 1]>::try_from(outlets).ok().map(|[outlet]| outlet)
            };
            match (one(&old, &rename.before), one(&new, &rename.after)) {
                (Some(before), Some(after))
                    if pairs.later(before).is_none() && pairs.earlier(after).is_none() =>
                {
                    pairs.tie(before, after);
                }
                _ => pairs.unused.push(rename.clone()),
            }
        }
        pairs.proposed = pairs.proposals(before, after);
        pairs
    }

    fn tie(&mut self, before: u32, after: u32) {
        self.later[before as usize] = Some(after);
        self.earlier[after as usize] = Some(before);
    }

    /// Where an outlet of the earlier audit stands in the later one.
    pub fn later(&self, before: u32) -> Option<u32> {
        self.later[before as usize]
    }

    /// Where an outlet of the later audit stands in the earlier one.
    pub fn earlier(&self, after: u32) -> Option<u32> {
        self.earlier[after as usize]
    }

    /// Whether the name of an outlet of the earlier audit does not say which one it is.
    pub fn is_ambiguous(&self, before: u32) -> bool {
        self.ambiguous.contains(&before)
    }

    /// How many outlets of the earlier audit have no name of their own on both sides.
    pub fn ambiguous_count(&self) -> usize {
        self.ambiguous.len()
    }

    /// The outlets that stand on both sides.
    pub fn both(&self) -> impl Iterator<Item = (u32, u32)> {
        (0..).zip(&self.later).filter_map(|(before, after)| Some((before, (*after)?)))
    }

    /// Outlets that stand on one side only and are the only such one of their room and circuit there.
    fn proposals(&self, before: &Audit, after: &Audit) -> Vec<(u32, u32)> {
        let old = by_place(before, &self.later);
        let new = by_place(after, &self.earlier);
        let mut proposed: Vec<(u32, u32)> = old
            .into_iter()
            .filter_map(|(place, outlets)| {
                match (outlets.as_slice(), new.get(&place)?.as_slice()) {
                    ([before], [after]) => Some((*before, *after)),
                    _ => None,
                }
            })
            .collect();
        proposed.sort_unstable();
        proposed
    }
}

fn outlets(audit: &Audit) -> impl Iterator<Item = u32> {
    0..u32::try_from(audit.outlets.len()).unwrap_or(u32::MAX)
}

/// Building and `outlet_id`; each empty where it is not recorded.
type Name<'a> = (&'a str, &'a str);

/// The outlets that have a name, by that name.
fn by_name(audit: &Audit) -> HashMap<Name<'_>, Vec<u32>> {
    let mut names: HashMap<Name<'_>, Vec<u32>> = HashMap::with_capacity(audit.outlets.len());
    for outlet in outlets(audit) {
        let name = name(audit, outlet);
        if !name.1.is_empty() {
            names.entry(name).or_default().push(outlet);
        }
    }
    names
}

fn name(audit: &Audit, outlet: u32) -> Name<'_> {
    let id = text_of(audit.outlet(outlet), Field::OutletId, &audit.texts);
    (audit.place(outlet).building, id)
}

fn nameless(audit: &Audit) -> u64 {
    outlets(audit).filter(|outlet| name(audit, *outlet).1.is_empty()).count() as u64
}

/// Building, floor, room and circuit.
type Spot<'a> = (&'a str, &'a str, &'a str, String);

/// The outlets without a pair, by where they stand; only those whose room and circuit are recorded.
fn by_place<'a>(audit: &'a Audit, pairs: &[Option<u32>]) -> HashMap<Spot<'a>, Vec<u32>> {
    let mut places: HashMap<Spot<'a>, Vec<u32>> = HashMap::new();
    for outlet in outlets(audit).filter(|outlet| pairs[*outlet as usize].is_none()) {
        let place = audit.place(outlet);
        let circuit = subject_name(SubjectKind::Circuit, audit.outlet(outlet), &audit.texts);
        let named = !name(audit, outlet).1.is_empty();
        let known =
            named && !place.room.is_empty() && circuit.split('/').all(|part| !part.is_empty());
        if known {
            let spot = (place.building, place.floor, place.room, circuit.into_owned());
            places.entry(spot).or_default().push(outlet);
        }
    }
    places
}
