//! What the audit of a survey says of each drawn outlet, counted by stratum.
//!
//! An outlet is defective by a measure when one of the measure's rules is violated by it, or by a group of
//! which it is a member. It is undetermined when none is, and one could not be decided. Whether
//! anybody was there is for whoever reads the survey to tell.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use crate::audit::Audit;
use crate::audit::finding::FindingAnswer;
use crate::audit::run::devices;
use crate::audit::subjects::text_of;
use crate::outlet::{Field, Origin};

use super::allocate::Earlier;
use super::design::{By, Design};
use super::estimate::{Counted, CountedRooms};
use super::frame::stratum_name;

/// Rules whose violation makes an outlet defective.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Measure {
    /// What it is called.
    pub name: String,
    /// The names of the rules.
    pub rules: BTreeSet<&'static str>,
}

/// What came of a drawn outlet.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Found {
    /// It was not inspected, or its row is not in the survey.
    Uninspected,
    /// A rule is violated.
    Defective,
    /// None is, and one waits for facts.
    Undetermined,
    /// None is, and all are decided.
    Good,
}

/// Which of the outlets that are not decided count as defective.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Reading {
    /// What was found: an undetermined outlet has no defect that was found, an uninspected one is left out.
    AsFound,
    /// Every undetermined and every uninspected outlet is good.
    AllGood,
    /// Every one of them is defective.
    AllDefective,
}

/// The drawn outlets of an audit by one measure.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Observed {
    /// What came of each drawn outlet, in the order of the design.
    pub found: Vec<Found>,
}

/// The drawn outlets of a stratum, and how many of them are not decided.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Tally {
    /// All of them.
    pub drawn: u64,
    /// Inspected ones with no violation of which something could not be decided.
    pub undetermined: u64,
    /// Those that were not inspected.
    pub uninspected: u64,
}

/// The rows of a survey, and what the rules said of each.
pub struct Observations<'a> {
    design: &'a Design,
    /// For each drawn outlet its row, when it was inspected.
    rows: Vec<Option<u32>>,
    violated: HashMap<u32, BTreeSet<&'static str>>,
    waiting: HashMap<u32, BTreeSet<&'static str>>,
}

impl<'a> Observations<'a> {
    /// Reads the audit of a survey, which must have kept its verdicts; `inspected` tells whether a row
    /// was filled in.
    pub fn of(audit: &Audit, design: &'a Design, inspected: &dyn Fn(Origin) -> bool) -> Self {
        let mut by_name: HashMap<(&str, &str), u32> = HashMap::new();
        for (outlet, row) in audit.outlets.iter().zip(0..) {
            let get = |field| text_of(outlet, field, &audit.texts);
            by_name.entry((get(Field::Building), get(Field::OutletId))).or_insert(row);
        }
        let rows = design.drawn.iter().map(|drawn| {
            let row = *by_name.get(&(drawn.building.as_str(), drawn.outlet.as_str()))?;
            Some(row).filter(|row| inspected(audit.outlet(*row).origin))
        });
        Self { design, rows: rows.collect(), violated: violated(audit), waiting: waiting(audit) }
    }

    /// What came of the drawn outlets by a measure.
    pub fn by(&self, measure: &Measure) -> Observed {
        let has = |of: &HashMap<u32, BTreeSet<&'static str>>, row: u32| {
            of.get(&row).is_some_and(|rules| !rules.is_disjoint(&measure.rules))
        };
        let found = |row: &Option<u32>| match row {
            None => Found::Uninspected,
            Some(row) if has(&self.violated, *row) => Found::Defective,
            Some(row) if has(&self.waiting, *row) => Found::Undetermined,
            Some(_) => Found::Good,
        };
        Observed { found: self.rows.iter().map(found).collect() }
    }

    /// The design that they are of.
    pub const fn design(&self) -> &'a Design {
        self.design
    }
}

impl Observed {
    /// What is not decided of the drawn outlets of each stratum.
    pub fn tallies(&self, design: &Design) -> Vec<Tally> {
        let mut tallies = vec![Tally::default(); design.strata.len()];
        for (drawn, found) in design.drawn.iter().zip(&self.found) {
            if let Some(tally) = tallies.get_mut(drawn.stratum as usize) {
                tally.drawn += 1;
                tally.undetermined += u64::from(*found == Found::Undetermined);
                tally.uninspected += u64::from(*found == Found::Uninspected);
            }
        }
        tallies
    }

    /// The counts of each stratum.
    pub fn strata(&self, design: &Design, reading: Reading) -> Vec<Counted> {
        let population = |stratum: &super::Stratum| stratum.population;
        let empty = |population| Counted { population, ..Counted::default() };
        let mut strata: Vec<Counted> = design.strata.iter().map(population).map(empty).collect();
        for (drawn, found) in design.drawn.iter().zip(&self.found) {
            if let (Some(stratum), Some(defective)) =
                (strata.get_mut(drawn.stratum as usize), found.read(reading))
            {
                stratum.inspected += 1;
                stratum.defective += u64::from(defective);
            }
        }
        strata
    }

    /// The counts of each room that was drawn, by stratum. Of a room in which no outlet counts nothing is
    /// known, and it is left out.
    pub fn rooms(&self, design: &Design, reading: Reading) -> Vec<CountedRooms> {
        let mut rooms: BTreeMap<(u32, u32), (u64, u64)> = BTreeMap::new();
        for (drawn, found) in design.drawn.iter().zip(&self.found) {
            if let (Some(room), Some(defective)) = (drawn.room, found.read(reading)) {
                let counts = rooms.entry((drawn.stratum, room)).or_default();
                counts.0 += 1;
                counts.1 += u64::from(defective);
            }
        }
        let of = |(stratum, place): (&super::Stratum, u32)| CountedRooms {
            population: stratum.population,
            rooms: stratum.rooms.map_or(0, |rooms| rooms.population),
            inspected: rooms.range((place, 0)..=(place, u32::MAX)).map(|(_, one)| *one).collect(),
        };
        design.strata.iter().zip(0..).map(of).collect()
    }
}

impl Reading {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::AsFound, Self::AllGood, Self::AllDefective];
}

impl std::ops::Add for Tally {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            drawn: self.drawn + other.drawn,
            undetermined: self.undetermined + other.undetermined,
            uninspected: self.uninspected + other.uninspected,
        }
    }
}

impl Found {
    /// Whether it counts as defective; none where it is left out.
    const fn read(self, reading: Reading) -> Option<bool> {
        match (self, reading) {
            (Self::Defective, _) => Some(true),
            (Self::Good, _) => Some(false),
            (Self::Uninspected, Reading::AsFound) => None,
            (_, reading) => Some(matches!(reading, Reading::AllDefective)),
        }
    }
}

/// What an earlier audit found in each stratum, by the names of the strata, and in all of them together
/// under no name.
pub fn earlier(audit: &Audit, by: &[By]) -> BTreeMap<String, Earlier> {
    let violated = violated(audit);
    let by: Vec<By> = By::ALL.into_iter().filter(|one| by.contains(one)).collect();
    let mut strata: BTreeMap<String, Earlier> = BTreeMap::new();
    for (outlet, row) in audit.outlets.iter().zip(0..) {
        let outlets = devices(outlet);
        let defective = if violated.contains_key(&row) { outlets } else { 0 };
        for name in [stratum_name(audit.place(row), &by), String::new()] {
            let earlier = strata.entry(name).or_insert(Earlier { outlets: 0, defective: 0 });
            earlier.outlets += outlets;
            earlier.defective += defective;
        }
    }
    strata
}

/// The rules that each row violates, by itself or as a member of a group.
fn violated(audit: &Audit) -> HashMap<u32, BTreeSet<&'static str>> {
    let mut rows: HashMap<u32, BTreeSet<&'static str>> = HashMap::new();
    for finding in &audit.findings {
        if matches!(finding.answer, FindingAnswer::Violates(_)) {
            for row in &*finding.members {
                rows.entry(*row).or_default().insert(finding.rule.name);
            }
        }
    }
    rows
}

/// The rules that wait for facts at each row, or at a group of which it is a member. A rule that failed
/// decided nothing either.
fn waiting(audit: &Audit) -> HashMap<u32, BTreeSet<&'static str>> {
    let mut members: HashMap<(u8, u32), Vec<u32>> = HashMap::new();
    for rule in audit.selection.rules() {
        for place in 0..audit.subjects.count(rule.subject) {
            let of = audit.subjects.members(rule.subject, place);
            members.entry((rule.subject as u8, of[0])).or_insert_with(|| of.to_vec());
        }
    }
    let undecided = audit.verdicts.iter().filter(|verdict| !verdict.missing.is_empty());
    let undecided = undecided.map(|verdict| (verdict.rule, verdict.first));
    let crashed = audit.crashes.iter().map(|crash| (crash.rule, crash.first));
    let mut rows: HashMap<u32, BTreeSet<&'static str>> = HashMap::new();
    for (rule, first) in undecided.chain(crashed) {
        for row in members.get(&(rule.subject as u8, first)).into_iter().flatten() {
            rows.entry(*row).or_default().insert(rule.name);
        }
    }
    rows
}
