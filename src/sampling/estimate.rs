//! From counts of defective outlets in a sample to what they say of the population.
//!
//! * A simple sample has the exact interval of the hypergeometric distribution.
//! * A stratified one has the weighted rate `p_st` with its variance, and the exact interval of a simple
//!   sample of the same variance (the effective sample size). For that variance the rate of each stratum is
//!   drawn towards the rate of all as if four outlets of it had been added, so that strata without a defect
//!   still count as uncertain. So the interval behaves at no defects at all, is never narrower than the
//!   draw allows, has no width after a census, and is the exact one where there is one stratum. The usual
//!   interval, `p_st` +- z SE, has none of these; `tests/outside/sampling.py` measures how often each holds.
//! * Rooms drawn whole have the ratio estimator with its variance between rooms, and the same kind of
//!   interval, by Student's distribution; for it the variance is drawn towards that of rooms that are bad
//!   throughout or not at all, as if one room more had shown it. Where no room differs from another, each room
//!   counts as one outlet.
//!
//! The idea of an exact interval at an effective sample size is that of E. L. Korn and B. I. Graubard,
//! *Surv. Methodol.* 24 (1998) 193-201 (from memory); the pull towards the rate of all is ours.

use serde::Serialize;

use crate::statistics::hypergeometric::limits;
use crate::statistics::interval::Interval;
use crate::statistics::proportion::{normal_quantile, student_quantile};

use super::numbers::{floor, whole};

/// What was found in a stratum.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Counted {
    /// Its outlets.
    pub population: u64,
    /// Outlets inspected.
    pub inspected: u64,
    /// Defective ones among them.
    pub defective: u64,
}

/// What was found in the rooms of a stratum.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct CountedRooms {
    /// Its outlets.
    pub population: u64,
    /// Its rooms.
    pub rooms: u64,
    /// The rooms inspected: their outlets, and the defective ones among them.
    pub inspected: Vec<(u64, u64)>,
}

/// How an interval was made.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    /// The exact limits of the hypergeometric distribution.
    Exact,
    /// The same at the effective sample size of a stratified sample.
    Stratified,
    /// The same at the effective sample size of whole rooms.
    Rooms,
}

/// What a sample says of a population.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Estimate {
    /// Outlets of the population.
    pub population: u64,
    /// Outlets inspected.
    pub inspected: u64,
    /// Defective ones among them.
    pub defective: u64,
    /// The rate of defective outlets; none where a part of the population has no inspected outlet.
    pub rate: Option<f64>,
    /// The variance of the rate; none where a part of which not all was inspected shows no spread.
    pub variance: Option<f64>,
    /// The least and the greatest number of defective outlets of the population.
    pub projected: (u64, u64),
    /// How the interval was made.
    pub method: Method,
}

impl Method {
    /// What it is called.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Exact => "exact, hypergeometric",
            Self::Stratified => "exact at the effective sample size of the strata",
            Self::Rooms => "exact at the effective sample size of the rooms",
        }
    }
}

impl Estimate {
    /// The standard error of the rate.
    pub fn standard_error(&self) -> Option<f64> {
        self.variance.map(f64::sqrt)
    }

    /// The interval of the rate.
    pub fn interval(&self) -> Interval {
        let share =
            |count: u64| if self.population == 0 { 0.0 } else { part(count, self.population) };
        Interval { lower: share(self.projected.0), upper: share(self.projected.1) }
    }

    /// The number of defective outlets that the rate comes to, not rounded.
    pub fn projected_number(&self) -> Option<f64> {
        self.rate.map(|rate| rate * whole(self.population))
    }
}

/// The estimate from strata, or from one stratum that is the whole.
///
/// W. G. Cochran, *Sampling Techniques*, 3rd ed. (1977), 5.10: `p_st` = sum of W p, and its variance the sum
/// of W² (1 - n / N) p (1 - p) / (n - 1).
pub fn stratified(strata: &[Counted], confidence: f64) -> Estimate {
    let all = total(strata);
    let (seen, unseen): (Vec<Counted>, Vec<Counted>) =
        strata.iter().filter(|one| one.population > 0).partition(|one| one.inspected > 0);
    let unseen: u64 = unseen.iter().map(|stratum| stratum.population).sum();
    let method = if strata.len() > 1 { Method::Stratified } else { Method::Exact };
    let rest = Rest { all, unseen, method };
    if seen.is_empty() {
        return rest.with(None, None, (0, 0));
    }
    let covered = total(&seen);
    let weight = |stratum: &Counted| part(stratum.population, covered.population);
    let rate = seen.iter().map(|one| weight(one) * part(one.defective, one.inspected)).sum();
    let variance = seen.iter().map(|one| Some(weight(one).powi(2) * variance(*one)?)).sum();
    let effective = effective_size(&seen, covered, rate);
    let limits = limits_at(covered, rate, effective, confidence);
    rest.with(Some(rate), variance, limits)
}

/// The variance of the rate of a stratum; none where one outlet of several was inspected.
fn variance(stratum: Counted) -> Option<f64> {
    if stratum.inspected == stratum.population {
        return Some(0.0);
    }
    let rate = part(stratum.defective, stratum.inspected);
    let spread = rate * (1.0 - rate) / (whole(stratum.inspected) - 1.0);
    (stratum.inspected > 1).then(|| (1.0 - part(stratum.inspected, stratum.population)) * spread)
}

/// Outlets by which the rate of a stratum is drawn towards that of all.
const PULL: f64 = 4.0;

/// The size of the simple sample whose rate is as uncertain.
fn effective_size(strata: &[Counted], covered: Counted, rate: f64) -> f64 {
    let population = whole(covered.population);
    let rarity = |stratum: &Counted| {
        part(stratum.population, covered.population).powi(2)
            * (1.0 / whole(stratum.inspected) - 1.0 / whole(stratum.population))
    };
    let even = 1.0 / (strata.iter().map(rarity).sum::<f64>() + 1.0 / population);
    let pulled_to = (rate * even + PULL / 2.0) / (even + PULL);
    let pulled = |stratum: &Counted| {
        (whole(stratum.defective) + PULL * pulled_to) / (whole(stratum.inspected) + PULL)
    };
    let rate_of_all: f64 = strata
        .iter()
        .map(|stratum| part(stratum.population, covered.population) * pulled(stratum))
        .sum();
    let spread = |rate: f64| rate * (1.0 - rate);
    let variance: f64 = strata.iter().map(|one| rarity(one) * spread(pulled(one))).sum();
    1.0 / (variance / spread(rate_of_all) + 1.0 / population)
}

/// The exact limits of a simple sample of this size and rate: numbers that are not whole are rounded to
/// the wider side, and what was seen is never contradicted.
fn limits_at(covered: Counted, rate: f64, size: f64, confidence: f64) -> (u64, u64) {
    let population = covered.population;
    let size = floor(size + 1e-9).clamp(1, population);
    let events = rate * whole(size);
    let of = |events: u64| limits(population, size, events.min(size), confidence);
    let good = covered.inspected - covered.defective;
    let lower = of(floor(events + 1e-9)).map_or(0, |limits| limits.lower);
    let upper = of(floor((events - 1e-9).ceil())).map_or(population, |limits| limits.upper);
    (lower.max(covered.defective), upper.min(population - good))
}

/// The estimate from rooms that were drawn whole: the ratio of defective to all outlets, each stratum
/// scaled up by its rooms, with the variance between rooms.
///
/// W. G. Cochran, *Sampling Techniques*, 3rd ed. (1977), 6.11 and 9A.1: the combined ratio estimator.
pub fn rooms(strata: &[CountedRooms], confidence: f64) -> Estimate {
    let counts: Vec<Counted> = strata.iter().map(CountedRooms::counted).collect();
    let (seen, unseen): (Vec<&CountedRooms>, Vec<&CountedRooms>) =
        strata.iter().partition(|stratum| stratum.outlets() > 0);
    let unseen = unseen.iter().map(|stratum| stratum.population).sum();
    let rest = Rest { all: total(&counts), unseen, method: Method::Rooms };
    if seen.is_empty() {
        return rest.with(None, None, (0, 0));
    }
    let covered = total(&seen.iter().map(|stratum| stratum.counted()).collect::<Vec<_>>());
    let outlets: f64 = seen.iter().map(|one| one.scale() * whole(one.outlets())).sum();
    let defective: f64 = seen.iter().map(|one| one.scale() * whole(one.defective())).sum();
    let rate = defective / outlets;
    let variance: Option<f64> = seen.iter().map(|stratum| stratum.variance(rate)).sum();
    let variance = variance.map(|variance| variance / outlets.powi(2));
    let effective = effective_rooms(&seen, covered, rate, variance, confidence);
    let limits = limits_at(covered, rate, effective, confidence);
    rest.with(Some(rate), variance, limits)
}

/// Rooms by which the variance between rooms is drawn towards that of rooms that are bad throughout or not
/// at all: few rooms show it too small when few are bad.
const PULL_OF_ROOMS: f64 = 1.0;

/// The size of the simple sample of outlets whose rate is as uncertain: never more than the outlets that
/// were seen are worth, and each room as one outlet where the variance says nothing.
fn effective_rooms(
    strata: &[&CountedRooms],
    covered: Counted,
    rate: f64,
    variance: Option<f64>,
    confidence: f64,
) -> f64 {
    let population = whole(covered.population);
    let weight = |stratum: &CountedRooms| part(stratum.population, covered.population).powi(2);
    let worth = |rarity: f64| 1.0 / (rarity + 1.0 / population);
    let rarity = |one: &&CountedRooms| {
        weight(one) * (1.0 / whole(one.outlets()) - 1.0 / whole(one.population)).max(0.0)
    };
    let as_outlets = worth(strata.iter().map(rarity).sum());
    let rarity = |one: &&CountedRooms| weight(one) * (1.0 / one.drawn() - 1.0 / whole(one.rooms));
    let alike = strata.iter().map(rarity).sum();
    let freedom: u64 = strata
        .iter()
        .filter(|stratum| stratum.drawn() < whole(stratum.rooms))
        .map(|stratum| stratum.inspected.len() as u64 - 1)
        .sum();
    let spread = rate * (1.0 - rate);
    match variance.filter(|variance| *variance > 0.0 && freedom > 0) {
        Some(variance) => {
            let tail = f64::midpoint(1.0, confidence);
            let wider = (student_quantile(tail, freedom) / normal_quantile(tail)).powi(2);
            let (seen, freedom) = (variance / spread, whole(freedom));
            let pulled = (freedom * seen + PULL_OF_ROOMS * alike) / (freedom + PULL_OF_ROOMS);
            worth(pulled * wider).min(as_outlets)
        }
        None => worth(alike).min(as_outlets),
    }
}

impl CountedRooms {
    fn outlets(&self) -> u64 {
        self.inspected.iter().map(|(outlets, _)| outlets).sum()
    }

    fn defective(&self) -> u64 {
        self.inspected.iter().map(|(_, defective)| defective).sum()
    }

    fn counted(&self) -> Counted {
        Counted {
            population: self.population,
            inspected: self.outlets(),
            defective: self.defective(),
        }
    }

    fn drawn(&self) -> f64 {
        whole(self.inspected.len() as u64)
    }

    fn scale(&self) -> f64 {
        whole(self.rooms) / self.drawn()
    }

    /// The variance of the scaled-up defective outlets about a rate; none where one room of several shows
    /// no spread.
    fn variance(&self, rate: f64) -> Option<f64> {
        let drawn = self.drawn();
        if drawn >= whole(self.rooms) {
            return Some(0.0);
        }
        let residuals: Vec<f64> = self
            .inspected
            .iter()
            .map(|(outlets, defective)| whole(*defective) - rate * whole(*outlets))
            .collect();
        let mean = residuals.iter().sum::<f64>() / drawn;
        let squares: f64 = residuals.iter().map(|residual| (residual - mean).powi(2)).sum();
        let rooms = whole(self.rooms);
        (drawn > 1.0)
            .then(|| rooms.powi(2) * (1.0 - drawn / rooms) / drawn * squares / (drawn - 1.0))
    }
}

/// The whole of which a part was seen.
struct Rest {
    all: Counted,
    /// Outlets of parts in which none was inspected.
    unseen: u64,
    method: Method,
}

impl Rest {
    /// The estimate of the seen part for the whole: of the rest anything is possible.
    fn with(self, rate: Option<f64>, variance: Option<f64>, limits: (u64, u64)) -> Estimate {
        let Self { all, unseen, method } = self;
        Estimate {
            population: all.population,
            inspected: all.inspected,
            defective: all.defective,
            rate: rate.filter(|_| unseen == 0),
            variance: variance.filter(|_| unseen == 0 && all.inspected > 0),
            projected: (limits.0, limits.1 + unseen),
            method,
        }
    }
}

fn total(strata: &[Counted]) -> Counted {
    strata.iter().fold(Counted::default(), |sum, one| Counted {
        population: sum.population + one.population,
        inspected: sum.inspected + one.inspected,
        defective: sum.defective + one.defective,
    })
}

fn part(count: u64, of: u64) -> f64 {
    whole(count) / whole(of)
}
