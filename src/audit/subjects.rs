//! What the rules answer for: outlets, and the groups that rows form within a building.

use std::borrow::Cow;
use std::hash::Hash;
use std::ops::{Deref, DerefMut};

use hashbrown::HashMap;

use crate::code::EDITIONS;
use crate::outlet::words::Edition;
use crate::outlet::{Field, Key, Outlet, Text, Texts, facts};
use crate::rules::SubjectKind;

/// Groups of outlets in the order of their first members: places in the list of outlets, the members of
/// each in the order of their rows.
#[derive(Clone, Debug, Default)]
pub(super) struct Groups {
    /// The members of all groups, one after the other.
    members: Vec<u32>,
    /// Where the members of each group end.
    ends: Vec<u32>,
}

/// To which group an outlet belongs.
enum Belongs<K> {
    /// To that of all outlets of its building with the same key.
    With(K),
    /// To one of its own.
    Alone,
    /// To none.
    Nowhere,
}

impl Groups {
    /// Rows of a building that share a key; rows without it belong to no group.
    pub(super) fn of<K: Hash + Eq>(outlets: &[Outlet], key: impl Fn(&Outlet) -> Option<K>) -> Self {
        Self::by(outlets, |outlet| key(outlet).map_or(Belongs::Nowhere, Belongs::With))
    }

    fn by<K: Hash + Eq>(outlets: &[Outlet], belongs: impl Fn(&Outlet) -> Belongs<K>) -> Self {
        const NOWHERE: u32 = u32::MAX;
        let mut ends: Vec<u32> = Vec::new();
        let mut known = HashMap::new();
        let mut group_of = Vec::with_capacity(outlets.len());
        for outlet in outlets {
            let next = u32::try_from(ends.len()).unwrap_or(NOWHERE);
            let group = match belongs(outlet) {
                Belongs::Nowhere => NOWHERE,
                Belongs::Alone => next,
                Belongs::With(key) => {
                    *known.entry((text(outlet, facts::BUILDING), key)).or_insert(next)
                }
            };
            if group == next {
                ends.push(0);
            }
            if let Some(size) = ends.get_mut(group as usize) {
                *size += 1;
            }
            group_of.push(group);
        }
        // Where each group begins; every member that is put in its place moves it on, to the end.
        let mut all = 0;
        for end in &mut ends {
            all += std::mem::replace(end, all);
        }
        let mut members = vec![0; all as usize];
        for (group, place) in group_of.into_iter().zip(0..) {
            if let Some(end) = ends.get_mut(group as usize) {
                members[*end as usize] = place;
                *end += 1;
            }
        }
        Self { members, ends }
    }

    /// How many groups there are.
    pub(super) const fn len(&self) -> usize {
        self.ends.len()
    }

    /// The members of a group.
    pub(super) fn members(&self, group: usize) -> &[u32] {
        let begin = group.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.members[begin as usize..self.ends[group] as usize]
    }

    /// The members of each group.
    pub(super) fn iter(&self) -> impl Iterator<Item = &[u32]> {
        (0..self.len()).map(|group| self.members(group))
    }
}

/// Members of a subject, as places in the list of outlets, in the order of their rows; those of a group are
/// borrowed or owned.
#[derive(Clone, Copy, Debug)]
pub enum Members<G> {
    /// An outlet by itself.
    One([u32; 1]),
    /// A group.
    Group(G),
}

impl Members<Box<[u32]>> {
    /// Keeps members.
    pub(super) fn keep(places: &[u32]) -> Self {
        match places {
            [one] => Self::One([*one]),
            group => Self::Group(group.into()),
        }
    }
}

impl<G: Deref<Target = [u32]>> Deref for Members<G> {
    type Target = [u32];

    fn deref(&self) -> &[u32] {
        match self {
            Self::One(outlet) => outlet,
            Self::Group(members) => members,
        }
    }
}

impl<G: DerefMut<Target = [u32]>> DerefMut for Members<G> {
    fn deref_mut(&mut self) -> &mut [u32] {
        match self {
            Self::One(outlet) => outlet,
            Self::Group(members) => members,
        }
    }
}

/// Rows that share facts: those of one box, of one panel.
pub(super) struct Sharing {
    pub(super) enclosures: Groups,
    pub(super) panels: Groups,
}

/// All groups of an audit, each list in the order of its first members.
#[derive(Clone, Debug, Default)]
pub struct Subjects {
    outlets: usize,
    enclosures: Groups,
    circuits: Groups,
    bed_locations: Groups,
}

impl Subjects {
    /// Finds the groups, and those by which rows share facts: the texts that name them are never shared.
    /// The outlets stand in the order of their rows.
    pub(super) fn and_sharing(outlets: &[Outlet]) -> (Self, Sharing) {
        let by = |key: Key<Text>| move || Groups::of(outlets, |outlet| text(outlet, key));
        let (subjects, (enclosures, panels)) = rayon::join(
            || Self::of(outlets),
            || rayon::join(by(facts::ENCLOSURE_ID), by(facts::PANEL)),
        );
        (subjects, Sharing { enclosures, panels })
    }

    /// Finds the groups. The outlets stand in the order of their rows.
    pub fn of(outlets: &[Outlet]) -> Self {
        let box_of = |outlet: &Outlet| {
            text(outlet, facts::ENCLOSURE_ID).map_or(Belongs::Alone, Belongs::With)
        };
        let circuit_of =
            |outlet: &Outlet| text(outlet, facts::PANEL).zip(text(outlet, facts::CIRCUIT));
        let (circuits, (enclosures, bed_locations)) = rayon::join(
            || Groups::of(outlets, circuit_of),
            || {
                let bed_location_of = |outlet: &Outlet| text(outlet, facts::BED_LOCATION);
                (Groups::by(outlets, box_of), Groups::of(outlets, bed_location_of))
            },
        );
        Self { outlets: outlets.len(), enclosures, circuits, bed_locations }
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
    pub fn members(&self, kind: SubjectKind, place: usize) -> Members<&[u32]> {
        match kind {
            SubjectKind::Outlet => Members::One([place as u32]),
            SubjectKind::Enclosure => Members::Group(self.enclosures.members(place)),
            SubjectKind::Circuit => Members::Group(self.circuits.members(place)),
            SubjectKind::BedLocation => Members::Group(self.bed_locations.members(place)),
        }
    }
}

/// The recorded text of a fact.
pub fn text(outlet: &Outlet, key: Key<Text>) -> Option<Text> {
    outlet.get(key).known()
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
pub fn subject_name<'a>(kind: SubjectKind, first: &Outlet, texts: &'a Texts) -> Cow<'a, str> {
    let get = |key| text(first, key).map(|text| texts.get(text));
    let own = || match get(facts::OUTLET_ID) {
        Some(id) => id.into(),
        None => format!("row {}", first.origin.row).into(),
    };
    match kind {
        SubjectKind::Outlet => own(),
        SubjectKind::Enclosure => get(facts::ENCLOSURE_ID).map_or_else(own, Cow::from),
        SubjectKind::Circuit => {
            let [panel, circuit] = [facts::PANEL, facts::CIRCUIT].map(get);
            format!("{}/{}", panel.unwrap_or_default(), circuit.unwrap_or_default()).into()
        }
        SubjectKind::BedLocation => get(facts::BED_LOCATION).unwrap_or_default().into(),
    }
}

/// A text field of an outlet as people read it; empty when nothing is recorded.
pub fn text_of<'a>(outlet: &Outlet, field: Field, texts: &'a Texts) -> &'a str {
    use crate::outlet::Value as _;
    outlet.raw(field).known().map_or("", |raw| texts.get(Text::from_raw(raw)))
}
