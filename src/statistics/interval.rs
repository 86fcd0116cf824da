//! How far a share could move by chance: the score interval of Wilson.
//!
//! The range assumes that each of the things counted was right or wrong by itself. Work that one hand
//! did in one go is not, so the true range is wider: whoever shows a range says so.

use super::proportion::normal_quantile;

/// Confidence of the ranges.
pub const CONFIDENCE: f64 = 0.95;

/// The 97.5th percentile of the standard normal distribution, to the last bit of a double.
const Z: f64 = 1.959_963_984_540_054;

/// A range of shares, each from 0 to 1.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Interval {
    /// Its lower end.
    pub lower: f64,
    /// Its upper end.
    pub upper: f64,
}

/// The Wilson score interval of `events` among `trials` at [`CONFIDENCE`]; none without a trial, or with
/// more events than trials.
///
/// E. B. Wilson, *J. Am. Stat. Assoc.* 22 (1927) 209-212.
pub fn wilson(events: u64, trials: u64) -> Option<Interval> {
    score(events, trials, Z)
}

/// The same interval at any confidence between 0 and 1.
pub fn wilson_at(events: u64, trials: u64, confidence: f64) -> Option<Interval> {
    score(events, trials, normal_quantile(f64::midpoint(1.0, confidence)))
}

#[expect(clippy::cast_precision_loss, reason = "counts of outlets are far below 2^52")]
fn score(events: u64, trials: u64, z: f64) -> Option<Interval> {
    if trials == 0 || events > trials {
        return None;
    }
    let (x, n) = (events as f64, trials as f64);
    let square = z * z;
    let centre = (x + square / 2.0) / (n + square);
    let half = z / (n + square) * (x * (n - x) / n + square / 4.0).sqrt();
    // Rounding must not move the ends that are 0 and 1 exactly.
    let lower = if events == 0 { 0.0 } else { (centre - half).max(0.0) };
    let upper = if events == trials { 1.0 } else { (centre + half).min(1.0) };
    Some(Interval { lower, upper })
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{ContinuousCDF as _, Normal};

    #[track_caller]
    fn check(events: u64, trials: u64, lower: f64, upper: f64, within: f64) {
        let found = wilson(events, trials).unwrap();
        assert!((found.lower - lower).abs() <= within, "{events}/{trials}: {found:?}");
        assert!((found.upper - upper).abs() <= within, "{events}/{trials}: {found:?}");
    }

    #[test]
    fn the_percentile_is_that_of_the_normal_distribution() {
        let normal = Normal::new(0.0, 1.0).unwrap();
        assert!((normal.cdf(Z) - f64::midpoint(1.0, CONFIDENCE)).abs() < 1e-9);
    }

    /// R. G. Newcombe, *Stat. Med.* 17 (1998) 857-872, table I: four worked shares, four decimals.
    #[test]
    fn the_worked_shares_of_newcombe_come_out() {
        check(81, 263, 0.2553, 0.3662, 5e-5);
        check(15, 148, 0.0624, 0.1605, 5e-5);
        check(0, 20, 0.0000, 0.1611, 5e-5);
        check(1, 29, 0.0061, 0.1718, 5e-5);
    }

    /// The test data of statsmodels, taken from `binom.confint` of R's package binom:
    /// `statsmodels/stats/tests/results/results_proportion.py`.
    #[test]
    fn the_limits_of_binom_confint_come_out() {
        check(18, 20, 0.698_966_4, 0.972_133_5, 5e-8);
        check(4, 20, 0.080_657_7, 0.416_017_4, 5e-8);
        check(4, 200, 0.007_804_4, 0.050_287_1, 5e-8);
        check(190, 200, 0.910_421_9, 0.972_617_4, 5e-8);
        check(1, 30, 0.005_908_59, 0.166_703_91, 5e-8);
        check(0, 30, 0.0, 0.113_513_39, 5e-8);
    }

    /// `scipy.stats.binomtest(x, n).proportion_ci(0.95, "wilson")` of scipy 1.17.1, six decimals.
    #[test]
    fn the_grid_of_scipy_comes_out() {
        for (events, trials, lower, upper) in [
            (26, 200, 0.090_282, 0.183_664),
            (29, 30, 0.833_296, 0.994_091),
            (30, 30, 0.886_487, 1.0),
            (25, 200, 0.086_120, 0.178_014),
            (10, 200, 0.027_383, 0.089_578),
            (20, 200, 0.065_670, 0.149_406),
            (0, 10, 0.0, 0.277_533),
            (1, 10, 0.017_876, 0.404_150),
            (10, 10, 0.722_467, 1.0),
            (0, 59, 0.0, 0.061_129),
            (3, 60, 0.017_150, 0.137_005),
            (5, 100, 0.021_544, 0.111_750),
            (12, 240, 0.028_830, 0.085_348),
            (0, 7, 0.0, 0.354_330),
            (1, 7, 0.025_680, 0.513_128),
        ] {
            check(events, trials, lower, upper, 5.1e-7);
        }
    }

    #[test]
    fn nothing_counted_has_no_range_and_the_ends_are_exact() {
        assert_eq!(wilson(0, 0), None);
        assert_eq!(wilson(3, 2), None);
        for trials in 1..500 {
            assert!(wilson(0, trials).unwrap().lower.abs() < f64::EPSILON);
            assert!((wilson(trials, trials).unwrap().upper - 1.0).abs() < f64::EPSILON);
        }
    }
}
