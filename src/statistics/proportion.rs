//! Ranges of a share beside the score interval of [`super::interval`], and of the difference of two.
//!
//! All take plain counts and a confidence between 0 and 1, and give none without a trial or with more
//! events than trials. They are for draws from a population without end; [`super::hypergeometric`] has the
//! exact limits of a finite one.

use statrs::distribution::{Beta, ContinuousCDF as _, Normal, StudentsT};
use statrs::function::beta::beta_reg;

use super::interval::{Interval, wilson_at};

/// The exact interval of Clopper and Pearson: the tails of the binomial distribution, inverted.
///
/// C. J. Clopper, E. S. Pearson, *Biometrika* 26 (1934) 404-413.
pub fn clopper_pearson(events: u64, trials: u64, confidence: f64) -> Option<Interval> {
    let (x, n) = counts(events, trials)?;
    let tail = (1.0 - confidence) / 2.0;
    let lower = if events == 0 { 0.0 } else { beta_quantile(tail, x, n - x + 1.0) };
    let upper = if events == trials { 1.0 } else { beta_quantile(1.0 - tail, x + 1.0, n - x) };
    Some(Interval { lower, upper })
}

/// The exact upper limit on one side.
pub fn clopper_pearson_upper(events: u64, trials: u64, confidence: f64) -> Option<f64> {
    let (x, n) = counts(events, trials)?;
    let all = events == trials;
    Some(if all { 1.0 } else { beta_quantile(confidence, x + 1.0, n - x) })
}

/// The interval of Agresti and Coull, and whether it was clipped: near 0 and 1 it reaches beyond them.
///
/// A. Agresti, B. A. Coull, *Am. Stat.* 52 (1998) 119-126.
pub fn agresti_coull(events: u64, trials: u64, confidence: f64) -> Option<(Interval, bool)> {
    let (x, n) = counts(events, trials)?;
    let z = normal_quantile(f64::midpoint(1.0, confidence));
    let trials = n + z * z;
    let centre = (x + z * z / 2.0) / trials;
    let half = z * (centre * (1.0 - centre) / trials).sqrt();
    let clipped = centre - half < 0.0 || centre + half > 1.0;
    Some((Interval { lower: (centre - half).max(0.0), upper: (centre + half).min(1.0) }, clipped))
}

/// The equal-tailed interval of Jeffreys: the quantiles of the posterior of the prior Beta(1/2, 1/2), at
/// 0 and at all events too. The variant of highest density differs from it.
pub fn jeffreys(events: u64, trials: u64, confidence: f64) -> Option<Interval> {
    let (x, n) = counts(events, trials)?;
    let tail = (1.0 - confidence) / 2.0;
    let quantile = |at| beta_quantile(at, x + 0.5, n - x + 0.5);
    Some(Interval { lower: quantile(tail), upper: quantile(1.0 - tail) })
}

/// The score interval of Newcombe for the difference of two shares, the first less the second (his
/// method 10): the score intervals of both, put together by squares.
///
/// R. G. Newcombe, *Stat. Med.* 17 (1998) 873-890.
pub fn newcombe(one: (u64, u64), other: (u64, u64), confidence: f64) -> Option<Interval> {
    let of = |(events, trials)| -> Option<Ranged> {
        let (x, n) = counts(events, trials)?;
        Some(Ranged { share: x / n, range: wilson_at(events, trials, confidence)? })
    };
    Some(difference(of(one)?, of(other)?))
}

/// A share with its range.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Ranged {
    /// The share.
    pub share: f64,
    /// Its range.
    pub range: Interval,
}

/// The range of a difference of two shares that were estimated apart: on each side the square root of the
/// sum of the squares of the two margins that lead there. It is Newcombe's method with any intervals.
pub fn difference(one: Ranged, other: Ranged) -> Interval {
    let between = one.share - other.share;
    let below = (one.share - one.range.lower).hypot(other.range.upper - other.share);
    let above = (one.range.upper - one.share).hypot(other.share - other.range.lower);
    Interval { lower: between - below, upper: between + above }
}

/// The probability of at most `most` events in so many trials of a share.
pub fn binomial_at_most(most: u64, trials: u64, share: f64) -> f64 {
    if most >= trials || share <= 0.0 {
        return 1.0;
    }
    if share >= 1.0 {
        return 0.0;
    }
    let (most, trials) = (exact(most), exact(trials));
    beta_reg(trials - most, most + 1.0, 1.0 - share)
}

/// The share at which at most `most` events in so many trials have this probability.
pub fn binomial_share(most: u64, trials: u64, probability: f64) -> f64 {
    if most >= trials {
        return 1.0;
    }
    beta_quantile(1.0 - probability, exact(most) + 1.0, exact(trials - most))
}

/// The quantile of the standard normal distribution.
pub fn normal_quantile(at: f64) -> f64 {
    Normal::standard().inverse_cdf(at)
}

/// The quantile of Student's distribution with so many degrees of freedom, at least one.
pub fn student_quantile(at: f64, freedom: u64) -> f64 {
    let freedom = exact(freedom.max(1));
    StudentsT::new(0.0, 1.0, freedom).map_or(f64::NAN, |student| student.inverse_cdf(at))
}

/// The quantile of a beta distribution, both shapes above 0: the library's, made sharper by bisection of
/// what it leaves.
fn beta_quantile(at: f64, a: f64, b: f64) -> f64 {
    let start = Beta::new(a, b).map_or(0.5, |beta| beta.inverse_cdf(at));
    let below = |share: f64| beta_reg(a, b, share) < at;
    let mut width = (start * 1e-6).max(1e-12);
    let (mut low, mut high) = (start, start);
    while low > 0.0 && !below(low) {
        low = (low - width).max(0.0);
        width *= 4.0;
    }
    while high < 1.0 && below(high) {
        high = (high + width).min(1.0);
        width *= 4.0;
    }
    loop {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            return middle;
        }
        if below(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
}

fn counts(events: u64, trials: u64) -> Option<(f64, f64)> {
    (trials > 0 && events <= trials).then(|| (exact(events), exact(trials)))
}

#[expect(clippy::cast_precision_loss, reason = "counts of outlets are far below 2^52")]
const fn exact(count: u64) -> f64 {
    count as f64
}
