//! What a sample comes to: the estimates of every measure and stratum, each with its bounds, the decision
//! of its plan, and the ranking of buildings.

use std::collections::BTreeMap;

use serde::Serialize;

use super::design::{By, Design, Plan};
use super::estimate::{Estimate, rooms, stratified};
use super::observe::{Found, Measure, Observations, Observed, Reading};
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
        let mut lines = Vec::new();
        for (measure, observed) in measures.iter().zip(&observed) {
            lines.push(line(design, measure, observed, None));
            if design.strata.len() > 1 {
                let strata = 0..design.strata.len();
                lines.extend(strata.map(|place| line(design, measure, observed, Some(place))));
            }
        }
        let first = observed.first();
        let decision = first.and_then(|observed| decide(&design.plan, observed));
        let none = decision == Some(Decision::NoneFound);
        Self {
            decision,
            at_most: none.then(|| most_left(design)),
            ranking: first.and_then(|observed| ranked(design, observed)),
            lines,
        }
    }

    /// The estimate of the first measure for the whole population.
    pub fn whole(&self) -> Option<&Line> {
        self.lines.first()
    }
}

fn line(design: &Design, measure: &Measure, observed: &Observed, stratum: Option<usize>) -> Line {
    let count = |what| observed.count(design, stratum, what);
    let places: Vec<usize> = match stratum {
        Some(place) => vec![place],
        None => (0..design.strata.len()).collect(),
    };
    let read = |reading| estimate(design, observed, reading, &places, design.confidence());
    let kinds = [Found::Good, Found::Defective, Found::Undetermined, Found::Uninspected];
    Line {
        measure: measure.name.clone(),
        stratum: stratum.map(|place| design.strata[place].name.clone()),
        drawn: kinds.into_iter().map(count).sum(),
        undetermined: count(Found::Undetermined),
        uninspected: count(Found::Uninspected),
        found: read(Reading::AsFound),
        all_good: read(Reading::AllGood),
        all_defective: read(Reading::AllDefective),
    }
}

/// The estimate for some of the strata.
fn estimate(
    design: &Design,
    observed: &Observed,
    reading: Reading,
    places: &[usize],
    confidence: f64,
) -> Estimate {
    if design.rooms {
        let all = observed.rooms(design, reading);
        let chosen: Vec<_> = places.iter().map(|place| all[*place].clone()).collect();
        rooms(&chosen, confidence)
    } else {
        let all = observed.strata(design, reading);
        let chosen: Vec<_> = places.iter().map(|place| all[*place]).collect();
        stratified(&chosen, confidence)
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

fn ranked(design: &Design, observed: &Observed) -> Option<Ranking> {
    if !design.by.contains(&By::Building) {
        return None;
    }
    let mut buildings: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (place, stratum) in design.strata.iter().enumerate() {
        let building = stratum.building.as_deref().unwrap_or_default();
        buildings.entry(building).or_default().push(place);
    }
    if buildings.len() < 2 {
        return None;
    }
    let building = |(name, places): (&str, Vec<usize>)| -> Building<'_> {
        let of =
            move |confidence| estimate(design, observed, Reading::AsFound, &places, confidence);
        (name.to_owned(), Box::new(of))
    };
    Some(ranking(buildings.into_iter().map(building).collect(), design.confidence()))
}
