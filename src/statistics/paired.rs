//! Whether a share changed between two looks at the same things: McNemar's test and the range of the
//! difference.
//!
//! Only things that changed tell of a change: those that were wrong and are right, against those that were
//! right and are wrong. Both take each thing as independent of the others; whoever shows them says so.

use statrs::distribution::{Binomial, ChiSquared, ContinuousCDF as _, DiscreteCDF as _};

use super::interval::{Interval, wilson};

/// Up to so many changed things the exact test is used.
pub const EXACT_UP_TO: u64 = 25;

/// Things counted twice, by what they were and what they are.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Paired {
    /// Wrong before and after.
    pub both: u64,
    /// Wrong before only.
    pub before_only: u64,
    /// Wrong after only.
    pub after_only: u64,
    /// Wrong neither before nor after.
    pub neither: u64,
}

/// McNemar's test of no change in the share.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct McNemar {
    /// The probability of so uneven a change, or a more uneven one, when either way is equally likely.
    pub p: f64,
    /// Pearson's statistic on one degree of freedom without correction; none for the exact test.
    pub statistic: Option<f64>,
}

impl Paired {
    /// From the counts: both, before only, after only, neither.
    pub const fn of([both, before_only, after_only, neither]: [u64; 4]) -> Self {
        Self { both, before_only, after_only, neither }
    }

    /// All things.
    pub const fn all(self) -> u64 {
        self.both + self.before_only + self.after_only + self.neither
    }

    /// Things wrong before.
    pub const fn before(self) -> u64 {
        self.both + self.before_only
    }

    /// Things wrong after.
    pub const fn after(self) -> u64 {
        self.both + self.after_only
    }

    /// The test; none where nothing changed. Exact (binomial, two-sided) up to [`EXACT_UP_TO`] changed
    /// things, chi-square without correction beyond.
    ///
    /// Q. McNemar, *Psychometrika* 12 (1947) 153-157.
    #[expect(clippy::cast_precision_loss, reason = "counts of outlets are far below 2^52")]
    pub fn mcnemar(self) -> Option<McNemar> {
        let (more, fewer) =
            (self.before_only.max(self.after_only), self.before_only.min(self.after_only));
        let changed = more + fewer;
        if changed == 0 {
            return None;
        }
        if changed <= EXACT_UP_TO {
            let tail = Binomial::new(0.5, changed).ok()?.cdf(fewer);
            return Some(McNemar { p: (2.0 * tail).min(1.0), statistic: None });
        }
        let difference = (more - fewer) as f64;
        let statistic = difference * difference / changed as f64;
        let p = ChiSquared::new(1.0).ok()?.sf(statistic);
        Some(McNemar { p, statistic: Some(statistic) })
    }

    /// How much lower the share is after than before, with its range at 95 %: Newcombe's interval of
    /// squared and added score intervals, with his correction for the correlation of the pairs; none
    /// without a thing.
    ///
    /// R. G. Newcombe, *Stat. Med.* 17 (1998) 2635-2650, method 10.
    #[expect(clippy::cast_precision_loss, reason = "counts of outlets are far below 2^52")]
    pub fn difference(self) -> Option<(f64, Interval)> {
        let all = self.all();
        let (one, other) = (wilson(self.before(), all)?, wilson(self.after(), all)?);
        let n = all as f64;
        let (p1, p2) = (self.before() as f64 / n, self.after() as f64 / n);
        let phi = self.correlation();
        let squared = |down: f64, up: f64| down.mul_add(down, up * up) - 2.0 * phi * down * up;
        let below = squared(p1 - one.lower, other.upper - p2).max(0.0).sqrt();
        let above = squared(one.upper - p1, p2 - other.lower).max(0.0).sqrt();
        let difference = p1 - p2;
        Some((difference, Interval { lower: difference - below, upper: difference + above }))
    }

    /// The correlation of the pairs, a positive one corrected for continuity.
    #[expect(clippy::cast_precision_loss, reason = "counts of outlets are far below 2^52")]
    fn correlation(self) -> f64 {
        let [a, b, c, d] =
            [self.both, self.before_only, self.after_only, self.neither].map(|count| count as f64);
        let margins = (a + b) * (c + d) * (a + c) * (b + d);
        if margins <= 0.0 {
            return 0.0;
        }
        let (product, half) = (a * d - b * c, (a + b + c + d) / 2.0);
        let corrected = if product > half { product - half } else { product.min(0.0) };
        corrected / margins.sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, wanted: f64, within: f64) {
        assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
    }

    /// The table of approval ratings of A. Agresti, *Categorical Data Analysis* (1990) p. 350, as in the
    /// manual of R's `mcnemar.test`; statistic without correction by scipy and statsmodels.
    #[test]
    fn approval_ratings_come_out() {
        let test = Paired::of([794, 150, 86, 570]).mcnemar().unwrap();
        near(test.statistic.unwrap(), 17.3559, 5e-5);
        near(test.p, 3.10e-5, 5e-8);
        let test = Paired::of([101, 121, 59, 33]).mcnemar().unwrap();
        near(test.statistic.unwrap(), 21.3556, 5e-5);
    }

    /// `statsmodels.stats.contingency_tables.mcnemar(table, exact=True)` of statsmodels 0.15.0.
    #[test]
    fn few_changes_are_tested_exactly() {
        let exact = |table| Paired::of(table).mcnemar().unwrap();
        near(exact([40, 12, 3, 25]).p, 0.035_156_25, 1e-9);
        near(exact([50, 8, 1, 11]).p, 0.039_062_5, 1e-9);
        assert_eq!(exact([50, 8, 1, 11]).statistic, None);
        assert_eq!(Paired::of([5, 0, 0, 7]).mcnemar(), None);
        near(exact([0, 3, 3, 0]).p, 1.0, 0.0);
    }

    /// The airway data of Bentur and others (2009), from memory of M. W. Fagerland, S. Lydersen and P.
    /// Laake, *Statistical Analysis of Contingency Tables* (2017) chapter 8: -0.507 to -0.026; and table
    /// 6.2 of D. G. Altman and others, *Statistics with Confidence* (2000), whose counts stand in the
    /// manual of the R package biostatUZH, with limits computed by the formula of that package.
    #[test]
    fn published_pairs_come_out() {
        let (difference, range) = Paired::of([1, 1, 7, 12]).difference().unwrap();
        near(difference, -6.0 / 21.0, 1e-12);
        near(range.lower, -0.507, 5e-4);
        near(range.upper, -0.026, 5e-4);
        let (_, range) = Paired::of([14, 5, 0, 22]).difference().unwrap();
        near(range.lower, 0.011_483, 5e-7);
        near(range.upper, 0.226_493, 5e-7);
    }

    /// Where the pairs tell nothing of each other it is Newcombe's interval for two samples, *Stat. Med.*
    /// 17 (1998) 873-890: here of equal size.
    #[test]
    fn without_correlation_it_is_the_interval_of_two_samples() {
        let table = Paired::of([20, 30, 20, 30]);
        let (difference, range) = table.difference().unwrap();
        let (one, other) = (wilson(50, 100).unwrap(), wilson(40, 100).unwrap());
        let below = (0.5 - one.lower).hypot(other.upper - 0.4);
        near(range.lower, difference - below, 1e-12);
        assert_eq!(Paired::default().difference(), None);
    }
}
