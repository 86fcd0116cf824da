//! How many outlets to inspect: to estimate a rate to within a margin, or to find a defect if there are
//! enough of them.

use crate::statistics::hypergeometric::{Draw, detects};

use super::numbers::{floor, whole};

/// A sample size for estimating a rate, with what it came from.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct EstimateSize {
    /// The size for a population without end: z² p (1 - p) / e².
    pub unlimited: f64,
    /// The size for this population, n0 / (1 + (n0 - 1) / N), not rounded.
    pub corrected: f64,
    /// The same, rounded up, and at most the population.
    pub n: u64,
}

/// The formula of [`estimate`], as reports name it.
pub const FORMULA: &str = "Cochran: n0 = z^2 p (1 - p) / e^2, n = n0 / (1 + (n0 - 1) / N), z and n0 not rounded, n rounded up";

/// The sample size of Cochran with the correction for a finite population, n0 / (1 + (n0 - 1) / N), with
/// z and n0 unrounded, then rounded up.
///
/// `z` is the normal quantile of the confidence, `expected` the rate that is thought likely (a half is the
/// most cautious), `margin` the half-width; both are shares.
///
/// W. G. Cochran, *Sampling Techniques*, 3rd ed. (1977), 4.4.
pub fn estimate(population: u64, z: f64, expected: f64, margin: f64) -> EstimateSize {
    let unlimited = z * z * expected * (1.0 - expected) / (margin * margin);
    let corrected = unlimited / (1.0 + (unlimited - 1.0) / whole(population));
    EstimateSize { unlimited, corrected, n: rounded_up(corrected).clamp(1, population.max(1)) }
}

/// How many defective outlets a share of the population is: rounded, with ties to even, and at least one.
pub fn defective(population: u64, rate: f64) -> u64 {
    floor((whole(population) * rate).round_ties_even()).clamp(1, population.max(1))
}

/// The smallest sample that finds at least one of so many defective outlets with this confidence, by the
/// hypergeometric distribution. The whole population where nothing less does.
pub fn detect(population: u64, defective: u64, confidence: f64) -> u64 {
    let risk = 1.0 - confidence;
    let finds = |sample| detects(Draw { population, defective, sample }, risk);
    let (mut low, mut high) = (1, population.max(1));
    while low < high {
        let middle = u64::midpoint(low, high);
        if finds(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    low
}

/// The least probability with which a sample from strata, each with its outlets and those drawn, finds one
/// of so many defective outlets, in whatever strata they lie.
///
/// Each further defective outlet of a stratum makes a miss less likely by a greater factor than the one
/// before it, so the worst case is found by putting one after the other where it does the least.
pub fn least_chance(strata: &[(u64, u64)], defective: u64) -> f64 {
    let mut lying: Vec<u64> = vec![0; strata.len()];
    let factor = |place: usize, lying: u64| {
        let (population, drawn) = strata[place];
        let left = population.saturating_sub(lying);
        if left == 0 { 0.0 } else { whole(left.saturating_sub(drawn)) / whole(left) }
    };
    let mut factors: Vec<f64> = (0..strata.len()).map(|place| factor(place, 0)).collect();
    let mut missed = 1.0;
    for _ in 0..defective {
        let places = 0..strata.len();
        let mildest = places.max_by(|one, other| factors[*one].total_cmp(&factors[*other]));
        let Some(place) = mildest.filter(|place| factors[*place] > 0.0) else { return 1.0 };
        missed *= factors[place];
        lying[place] += 1;
        factors[place] = factor(place, lying[place]);
    }
    1.0 - missed
}

/// The most defective outlets that a sample from strata which found none leaves possible at a confidence, in
/// whatever strata they lie: the last number whose least chance of being found is not above it.
pub fn most_missed(strata: &[(u64, u64)], confidence: f64) -> u64 {
    let slack = (1.0 - confidence) * 1e-9;
    let left = strata.iter().map(|(population, drawn)| population - drawn.min(population)).sum();
    let (mut low, mut high) = (0_u64, left);
    while low < high {
        let middle = (low + high).div_ceil(2);
        if least_chance(strata, middle) <= confidence + slack {
            low = middle;
        } else {
            high = middle - 1;
        }
    }
    low
}

/// Up to the next whole number; what rounding alone put above one does not count.
fn rounded_up(size: f64) -> u64 {
    floor((size - 1e-9).ceil())
}
