//! What a sample comes to: the estimates of every measure and stratum, each with its bounds, the decision
//! of its plan, and the ranking of buildings.

use std::collections::BTreeMap;

use serde::Serialize;

use super::design::{By, Design, Plan};
use super::estimate::{Counted, CountedRooms, Estimate, rooms, stratified};
use super::observe::{Found, Measure, Observations, Observed, Reading, Tally};
use super::ranking::{Building, Ranking, ranking};
use super::size::most_missed;

/// The estimate of one measure for a part of the population, or for all of it.
#[derive(Clone, PartialEq, Debug)]
pub struct Line {
    /// The measure.
    pub measure: String,
    /// The stratum; none for all of them together.
    pub stratum: Option<String>,
    /// Outlets that were drawn.
    pub drawn: u64,
    /// Inspected outlets with no violation of which something could not be decided.
    pub undetermined: u64,
    /// Drawn outlets that were not inspected.
    pub uninspected: u64,
    /// The estimate from what was found: undetermined outlets have no defect that was found, uninspected
    /// ones are left out.
    pub found: Estimate,
    /// The estimate if every undetermined and every uninspected outlet were good.
    pub all_good: Estimate,
    /// The estimate if every one of them were defective.
    pub all_defective: Estimate,
}

/// What becomes of a plan that decides.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Decision {
    /// The lot is accepted.
    Accept,
    /// The lot is accepted, and reduced inspection ends: the count lies in the gap.
    AcceptAndReturnToNormal,
    /// The lot is rejected.
    Reject,
    /// A defective outlet was found.
    DefectiveFound,
    /// None was found, and every drawn outlet was inspected and decided.
    NoneFound,
    /// Outlets that were not inspected, or not decided, can still change it.
    Undecided,
}

/// What a sample comes to.
#[derive(Clone, PartialEq, Debug)]
pub struct Conclusion {
    /// The estimates: the first measure first, in all and then by stratum.
    pub lines: Vec<Line>,
    /// The decision by the first measure; none for a plan that only estimates.
    pub decision: Option<Decision>,
    /// After a search that found nothing, the most defective outlets that it leaves possible at its
    /// confidence, on one side, in whatever strata they lie.
    pub at_most: Option<u64>,
    /// Whether nobody filled in a line of the survey, so that all of it rests on what the schedule says.
    pub as_scheduled: bool,
    /// Buildings by the first measure, where the strata tell them apart and there are several.
    pub ranking: Option<Ranking>,
}

impl Decision {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Accept => "accept",
            Self::AcceptAndReturnToNormal => "accept-and-return-to-normal",
            Self::Reject => "reject",
            Self::DefectiveFound => "defective-found",
            Self::NoneFound => "none-found",
            Self::Undecided => "undecided",
        }
    }
}

impl Conclusion {
    /// Concludes from observations; the first measure decides.
    pub fn of(observations: &Observations<'_>, measures: &[Measure]) -> Self {
        let design = observations.design();
        let observed: Vec<Observed> = measures.iter().map(|one| observations.by(one)).collect();
        let counts: Vec<Counts<'_>> =
            observed.iter().map(|observed| Counts::of(design, observed)).collect();
        let all: Vec<usize> = (0..design.strata.len()).collect();
        let mut lines = Vec::new();
        for (measure, counts) in measures.iter().zip(&counts) {
            lines.push(counts.line(measure, None, &all));
            if all.len() > 1 {
                lines.extend(all.iter().map(|place| counts.line(measure, Some(*place), &[*place])));
            }
        }
        let decision = observed.first().and_then(|observed| decide(&design.plan, observed));
        let none = decision == Some(Decision::NoneFound);
        let ranking = counts.first().and_then(Counts::ranked);
        let at_most = none.then(|| most_left(design));
        Self { lines, decision, at_most, as_scheduled: false, ranking }
    }

    /// The estimate of the first measure for the whole population.
    pub fn whole(&self) -> Option<&Line> {
        self.lines.first()
    }
}

/// The drawn outlets by one measure, counted by stratum once and for all.
struct Counts<'a> {
    design: &'a Design,
    tallies: Vec<Tally>,
    /// The counts of each reading.
    read: [Read; 3],
}

/// Counts by stratum, of outlets or of rooms.
enum Read {
    Outlets(Vec<Counted>),
    Rooms(Vec<CountedRooms>),
}

impl<'a> Counts<'a> {
    fn of(design: &'a Design, observed: &Observed) -> Self {
        let read = Reading::ALL.map(|reading| {
            if design.rooms {
                Read::Rooms(observed.rooms(design, reading))
            } else {
                Read::Outlets(observed.strata(design, reading))
            }
        });
        Self { design, tallies: observed.tallies(design), read }
    }

    fn line(&self, measure: &Measure, stratum: Option<usize>, places: &[usize]) -> Line {
        let tally = places.iter().fold(Tally::default(), |sum, place| sum + self.tallies[*place]);
        let confidence = self.design.confidence();
        let [found, all_good, all_defective] =
            self.read.each_ref().map(|read| read.estimate(places, confidence));
        Line {
            measure: measure.name.clone(),
            stratum: stratum.map(|place| self.design.strata[place].name.clone()),
            drawn: tally.drawn,
            undetermined: tally.undetermined,
            uninspected: tally.uninspected,
            found,
            all_good,
            all_defective,
        }
    }

    /// The buildings compared by what was found, where the strata tell several apart.
    fn ranked(&self) -> Option<Ranking> {
        if !self.design.by.contains(&By::Building) {
            return None;
        }
        let mut buildings: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (place, stratum) in self.design.strata.iter().enumerate() {
            let building = stratum.building.as_deref().unwrap_or_default();
            buildings.entry(building).or_default().push(place);
        }
        if buildings.len() < 2 {
            return None;
        }
        let [found, ..] = &self.read;
        let building = |(name, places): (&str, Vec<usize>)| -> Building<'_> {
            (name.to_owned(), Box::new(move |confidence| found.estimate(&places, confidence)))
        };
        let buildings = buildings.into_iter().map(building).collect();
        Some(ranking(buildings, self.design.confidence()))
    }
}

impl Read {
    /// The estimate for some of the strata.
    fn estimate(&self, places: &[usize], confidence: f64) -> Estimate {
        match self {
            Self::Outlets(all) => {
                let chosen: Vec<Counted> = places.iter().map(|place| all[*place]).collect();
                stratified(&chosen, confidence)
            }
            Self::Rooms(all) => {
                let chosen: Vec<CountedRooms> =
                    places.iter().map(|place| all[*place].clone()).collect();
                rooms(&chosen, confidence)
            }
        }
    }
}

/// What becomes of a plan: decided once the outlets that are not decided can change nothing.
pub fn decide(plan: &Plan, observed: &Observed) -> Option<Decision> {
    let count = |what| observed.found.iter().filter(|found| **found == what).count() as u64;
    let least = count(Found::Defective);
    let most = least + count(Found::Undetermined) + count(Found::Uninspected);
    match *plan {
        Plan::Estimate { .. } => None,
        Plan::Detect { .. } if least > 0 => Some(Decision::DefectiveFound),
        Plan::Detect { .. } if most == 0 => Some(Decision::NoneFound),
        Plan::Accept { reject, .. } if least >= reject => Some(Decision::Reject),
        Plan::Accept { accept, .. } if most <= accept => Some(Decision::Accept),
        Plan::Accept { accept, reject, .. } if least > accept && most < reject => {
            Some(Decision::AcceptAndReturnToNormal)
        }
        Plan::Detect { .. } | Plan::Accept { .. } => Some(Decision::Undecided),
    }
}

fn most_left(design: &Design) -> u64 {
    let strata: Vec<(u64, u64)> =
        design.strata.iter().map(|stratum| (stratum.population, stratum.n)).collect();
    most_missed(&strata, design.confidence())
}
