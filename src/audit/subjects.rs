//! What the rules answer for: outlets, and the groups that rows form within a building.

use std::collections::HashMap;

use crate::code::EDITIONS;
use crate::outlet::words::Edition;
use crate::outlet::{Field, Key, Outlet, Text, Texts, facts};
use crate::rules::SubjectKind;

/// Members of a group, as places in the list of outlets, in the order of their rows.
pub type Members = Vec<u32>;

/// All groups of an audit, each list in the order of its first members.
#[derive(Clone, Debug, Default)]
pub struct Subjects {
    outlets: usize,
    enclosures: Vec<Members>,
    circuits: Vec<Members>,
    bed_locations: Vec<Members>,
}

impl Subjects {
    /// Finds the groups. The outlets stand in the order of their rows.
    pub fn of(outlets: &[Outlet]) -> Self {
        Self {
            outlets: outlets.len(),
            enclosures: enclosures(outlets),
            circuits: grouped(outlets, |outlet| {
                text(outlet, facts::PANEL).zip(text(outlet, facts::CIRCUIT))
            }),
            bed_locations: grouped(outlets, |outlet| text(outlet, facts::BED_LOCATION)),
        }
    }

    /// How many subjects of a kind there are.
    pub const fn count(&self, kind: SubjectKind) -> usize {
        match kind {
            SubjectKind::Outlet => self.outlets,
            SubjectKind::Enclosure => self.enclosures.len(),
            SubjectKind::Circuit => self.circuits.len(),
            SubjectKind::BedLocation => self.bed_locations.len(),
        }
    }

    /// The members of a subject.
    #[expect(clippy::cast_possible_truncation, reason = "outlets are counted in 32 bits")]
    pub fn members(&self, kind: SubjectKind, place: usize) -> std::borrow::Cow<'_, [u32]> {
        match kind {
            SubjectKind::Outlet => vec![place as u32].into(),
            SubjectKind::Enclosure => self.enclosures[place].as_slice().into(),
            SubjectKind::Circuit => self.circuits[place].as_slice().into(),
            SubjectKind::BedLocation => self.bed_locations[place].as_slice().into(),
        }
    }
}

/// The recorded text of a fact.
pub fn text(outlet: &Outlet, key: Key<Text>) -> Option<Text> {
    outlet.get(key).known()
}

/// Rows that share an enclosure; a row without one is alone.
fn enclosures(outlets: &[Outlet]) -> Vec<Members> {
    let mut groups: Vec<Members> = Vec::new();
    let mut known = HashMap::new();
    for (outlet, place) in outlets.iter().zip(0..) {
        let Some(id) = text(outlet, facts::ENCLOSURE_ID) else {
            groups.push(vec![place]);
            continue;
        };
        let key = (text(outlet, facts::BUILDING), id);
        let group = *known.entry(key).or_insert_with(|| {
            groups.push(Vec::new());
            groups.len() - 1
        });
        groups[group].push(place);
    }
    groups
}

/// Rows of a building that share a key; rows without it belong to no group.
pub(super) fn grouped<K: std::hash::Hash + Eq>(
    outlets: &[Outlet],
    key: impl Fn(&Outlet) -> Option<K>,
) -> Vec<Members> {
    let mut groups: Vec<Members> = Vec::new();
    let mut known = HashMap::new();
    for (outlet, place) in outlets.iter().zip(0..) {
        let Some(key) = key(outlet) else { continue };
        let group = *known.entry((text(outlet, facts::BUILDING), key)).or_insert_with(|| {
            groups.push(Vec::new());
            groups.len() - 1
        });
        groups[group].push(place);
    }
    groups
}

/// The editions that may govern a subject: those that its rows record, a blank not widening them; all
/// four where none records one.
pub fn editions(members: &[&Outlet], into: &mut Vec<Edition>) {
    into.clear();
    for member in members {
        if let Some(edition) = member.get(facts::EDITION).known()
            && !into.contains(&edition)
        {
            into.push(edition);
        }
    }
    if into.is_empty() {
        into.extend(EDITIONS);
    }
    into.sort_unstable();
}

/// The name of a subject in files and reports.
pub fn subject_name(kind: SubjectKind, first: &Outlet, texts: &Texts) -> String {
    let get = |key| text(first, key).map(|text| texts.get(text));
    let own = || match get(facts::OUTLET_ID) {
        Some(id) => id.to_owned(),
        None => format!("row {}", first.origin.row),
    };
    match kind {
        SubjectKind::Outlet => own(),
        SubjectKind::Enclosure => get(facts::ENCLOSURE_ID).map_or_else(own, str::to_owned),
        SubjectKind::Circuit => format!(
            "{}/{}",
            get(facts::PANEL).unwrap_or_default(),
            get(facts::CIRCUIT).unwrap_or_default()
        ),
        SubjectKind::BedLocation => get(facts::BED_LOCATION).unwrap_or_default().to_owned(),
    }
}

/// A text field of an outlet as people read it; empty when nothing is recorded.
pub fn text_of<'a>(outlet: &Outlet, field: Field, texts: &'a Texts) -> &'a str {
    use crate::outlet::Value as _;
    outlet.raw(field).known().map_or("", |raw| texts.get(Text::from_raw(raw)))
}

/// The editions that govern the subject of a finding, as its rows record them.
pub fn governing(finding: &super::finding::Finding, audit: &super::run::Audit) -> Vec<Edition> {
    let members: Vec<&Outlet> = finding.members.iter().map(|place| audit.outlet(*place)).collect();
    let mut governing = Vec::new();
    editions(&members, &mut governing);
    governing
}
