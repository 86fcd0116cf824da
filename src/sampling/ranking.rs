//! Buildings ranked by their estimates, where those that do not really differ are not ranked apart.
//!
//! Every pair is compared by the interval of the difference of the two rates. So that the chance of one
//! false difference among all pairs stays what a single comparison has, the intervals of a comparison are
//! made at the confidence of Bonferroni, 1 - (1 - confidence) / pairs. A building's rank then runs from one
//! more than the buildings that are surely worse, to the last place before those that are surely better.

use crate::statistics::interval::Interval;
use crate::statistics::proportion::{Ranged, difference};

use super::estimate::Estimate;

/// A building among others.
#[derive(Clone, PartialEq, Debug)]
pub struct Ranked {
    /// The building.
    pub name: String,
    /// Its estimate at the confidence of the sample.
    pub estimate: Estimate,
    /// The first and the last place that it may hold; the first is the worst.
    pub places: (usize, usize),
}

/// A pair of buildings that really differ.
#[derive(Clone, PartialEq, Debug)]
pub struct Differs {
    /// The worse one.
    pub worse: String,
    /// The better one.
    pub better: String,
    /// The interval of the difference of their rates.
    pub by: Interval,
}

/// A comparison of buildings.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Ranking {
    /// The buildings, the highest rate first; those without a rate are left out.
    pub buildings: Vec<Ranked>,
    /// The pairs that really differ.
    pub differences: Vec<Differs>,
    /// The pairs that were compared.
    pub pairs: usize,
    /// The confidence at which each pair was compared.
    pub confidence: f64,
}

/// What the ranking is called where it is shown.
pub const METHOD: &str =
    "Newcombe's interval of the difference for every pair, at the confidence of Bonferroni";

/// A building by its name, and its estimate at any confidence.
pub type Building<'a> = (String, Box<dyn Fn(f64) -> Estimate + 'a>);

/// Compares buildings.
pub fn ranking(buildings: Vec<Building<'_>>, confidence: f64) -> Ranking {
    let mut ranked: Vec<(Ranked, Ranged)> = Vec::new();
    let known = buildings.iter().filter(|(_, of)| of(confidence).rate.is_some()).count();
    let pairs = known * known.saturating_sub(1) / 2;
    #[expect(clippy::cast_precision_loss, reason = "pairs of buildings are few")]
    let strict = 1.0 - (1.0 - confidence) / pairs.max(1) as f64;
    for (name, of) in buildings {
        let estimate = of(confidence);
        if let Some(share) = estimate.rate {
            let rate = Ranged { share, range: of(strict).interval() };
            ranked.push((Ranked { name, estimate, places: (1, 1) }, rate));
        }
    }
    ranked.sort_by(|(_, one), (_, other)| other.share.total_cmp(&one.share));
    let places: Vec<(usize, usize)> = ranked.iter().map(|one| places(one, &ranked)).collect();
    let differences = differences(&ranked);
    let buildings = ranked.into_iter().zip(places);
    Ranking {
        buildings: buildings.map(|((one, _), places)| Ranked { places, ..one }).collect(),
        differences,
        pairs,
        confidence: strict,
    }
}

fn places((_, own): &(Ranked, Ranged), all: &[(Ranked, Ranged)]) -> (usize, usize) {
    let worse = all.iter().filter(|(_, other)| difference(*other, *own).lower > 0.0).count();
    let better = all.iter().filter(|(_, other)| difference(*own, *other).lower > 0.0).count();
    (worse + 1, all.len() - better)
}

fn differences(ranked: &[(Ranked, Ranged)]) -> Vec<Differs> {
    let mut differences = Vec::new();
    for (place, (one, of_one)) in ranked.iter().enumerate() {
        for (other, of_other) in &ranked[place + 1..] {
            let by = difference(*of_one, *of_other);
            if by.lower > 0.0 {
                let (worse, better) = (one.name.clone(), other.name.clone());
                differences.push(Differs { worse, better, by });
            }
        }
    }
    differences
}
