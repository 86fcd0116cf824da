//! The operating characteristic of an acceptance plan: how probable it is that a lot of a quality is
//! accepted.
//!
//! A lot is accepted below the rejection number: what falls into the gap of reduced inspection is accepted
//! too. The binomial figures are those of a stream of lots from one process, the hypergeometric ones of
//! this lot.

use crate::statistics::hypergeometric::Draw;
use crate::statistics::proportion::{binomial_at_most, binomial_share};

use super::acceptance::SinglePlan;

/// The probabilities of acceptance at which a plan is described.
pub const PROBABILITIES: [f64; 3] = [0.95, 0.50, 0.10];

/// The probability that a lot from a process with this share of defective outlets is accepted.
pub fn by_share(plan: &SinglePlan, share: f64) -> f64 {
    binomial_at_most(plan.reject - 1, plan.n, share)
}

/// The probability that a lot with so many defective outlets is accepted.
pub fn by_count(plan: &SinglePlan, lot: u64, defective: u64) -> f64 {
    Draw { population: lot, defective, sample: plan.n }.tails(plan.reject - 1).at_most
}

/// The share of defective outlets at which lots of a process are accepted with this probability.
pub fn share_at(plan: &SinglePlan, probability: f64) -> f64 {
    binomial_share(plan.reject - 1, plan.n, probability)
}

/// The most defective outlets with which this lot is accepted at least with this probability.
pub fn count_at(plan: &SinglePlan, lot: u64, probability: f64) -> u64 {
    let (mut low, mut high) = (0, lot);
    while low < high {
        let middle = (low + high).div_ceil(2);
        if by_count(plan, lot, middle) >= probability {
            low = middle;
        } else {
            high = middle - 1;
        }
    }
    low
}
