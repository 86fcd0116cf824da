//! Draws without replacement: the tails of the hypergeometric distribution, and the exact limits on how
//! many things of a finite population are defective.
//!
//! The library's tails are sums of exponentials of differences of logarithms of factorials, whose error
//! grows with the population; here every term comes from its neighbour by one exact ratio, outwards from
//! the greatest, so that the tails keep a relative error of some 1e-12 for any population (a test
//! compares both). Nothing here knows of outlets.

/// Two probabilities this close are taken as equal: ties are decided by the definition, not by rounding.
const TIE: f64 = 1e-9;

/// A sample drawn without replacement from a population of which some are defective.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Draw {
    /// Things in the population.
    pub population: u64,
    /// Defective ones among them, at most the population.
    pub defective: u64,
    /// Things drawn, at most the population.
    pub sample: u64,
}

/// How probable a count and what lies on both sides of it are.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Tails {
    /// So many or fewer.
    pub at_most: f64,
    /// So many or more.
    pub at_least: f64,
}

/// The least and the greatest number of defective things that a sample leaves possible.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Limits {
    /// The least.
    pub lower: u64,
    /// The greatest.
    pub upper: u64,
}

impl Draw {
    /// The probabilities of finding at most and at least `found` defective things.
    pub fn tails(self, found: u64) -> Tails {
        let least = (self.sample + self.defective).saturating_sub(self.population);
        let most = self.sample.min(self.defective);
        if found < least {
            return Tails { at_most: 0.0, at_least: 1.0 };
        }
        if found > most {
            return Tails { at_most: 1.0, at_least: 0.0 };
        }
        let mode = self.mode().clamp(least, most);
        let mut sums = Sums { found, ..Sums::default() };
        sums.add(mode, 1.0);
        let mut weight = 1.0;
        for count in (least..mode).rev() {
            weight /= self.ratio(count);
            if !sums.add(count, weight) {
                break;
            }
        }
        weight = 1.0;
        for count in mode..most {
            weight *= self.ratio(count);
            if !sums.add(count + 1, weight) {
                break;
            }
        }
        sums.tails()
    }

    fn mode(self) -> u64 {
        let product = u128::from(self.sample + 1) * u128::from(self.defective + 1);
        u64::try_from(product / u128::from(self.population + 2)).unwrap_or(u64::MAX)
    }

    /// The probability of one more than `count`, over that of `count`.
    #[expect(clippy::cast_precision_loss, reason = "counts of outlets are far below 2^52")]
    fn ratio(self, count: u64) -> f64 {
        let good_left_out = self.population + count + 1 - self.defective - self.sample;
        let above = (self.defective - count) as f64 * (self.sample - count) as f64;
        above / ((count + 1) as f64 * good_left_out as f64)
    }
}

/// Weights relative to the greatest, added up by where they stand.
#[derive(Default)]
struct Sums {
    found: u64,
    below: f64,
    at: f64,
    above: f64,
}

impl Sums {
    /// Whether there is any use in going on.
    fn add(&mut self, count: u64, weight: f64) -> bool {
        match count.cmp(&self.found) {
            std::cmp::Ordering::Less => self.below += weight,
            std::cmp::Ordering::Equal => self.at += weight,
            std::cmp::Ordering::Greater => self.above += weight,
        }
        weight > 0.0
    }

    fn tails(&self) -> Tails {
        let all = self.below + self.at + self.above;
        Tails { at_most: (self.below + self.at) / all, at_least: (self.at + self.above) / all }
    }
}

/// The exact limits on the defective things of a population, by inverting the test on each side: every
/// number under which `found` or more, and `found` or fewer, are both more probable than half of what
/// the confidence leaves. A census has equal limits. None when the counts contradict each other.
pub fn limits(population: u64, sample: u64, found: u64, confidence: f64) -> Option<Limits> {
    let possible = possible(population, sample, found)?;
    let level = (1.0 - confidence) / 2.0 * (1.0 + TIE);
    let draw = |defective| Draw { population, defective, sample }.tails(found);
    let lower = first(possible, |defective| draw(defective).at_least > level);
    let upper = last(possible, |defective| draw(defective).at_most > level);
    Some(Limits { lower, upper })
}

/// The greatest number of defective things under which `found` or fewer are at least as probable as what
/// the confidence leaves: a bound on one side.
pub fn upper_limit(population: u64, sample: u64, found: u64, confidence: f64) -> Option<u64> {
    let possible = possible(population, sample, found)?;
    let level = (1.0 - confidence) * (1.0 - TIE);
    let draw = |defective| Draw { population, defective, sample }.tails(found);
    Some(last(possible, |defective| draw(defective).at_most >= level))
}

/// Whether the probability that a sample misses every defective thing is at most `risk`.
#[expect(clippy::cast_precision_loss, reason = "counts of outlets are far below 2^52")]
pub fn detects(draw: Draw, risk: f64) -> bool {
    let Draw { population, defective, sample } = draw;
    // One after the other is drawn past all of the other kind: the fewer of both are gone through.
    let (passing, passed) = (sample.min(defective), sample.max(defective));
    let mut missed = 1.0;
    for gone in 0..passing {
        missed *= population.saturating_sub(passed + gone) as f64 / (population - gone) as f64;
        if missed <= risk * (1.0 + TIE) {
            return true;
        }
    }
    missed <= risk * (1.0 + TIE)
}

/// What the sample itself leaves possible: those found, to all but those seen to be good.
fn possible(population: u64, sample: u64, found: u64) -> Option<Limits> {
    let holds = found <= sample && sample <= population;
    holds.then(|| Limits { lower: found, upper: population - (sample - found) })
}

/// The first number of a range that passes, where all after it pass too; the last when none does.
fn first(range: Limits, passes: impl Fn(u64) -> bool) -> u64 {
    let (mut low, mut high) = (range.lower, range.upper);
    while low < high {
        let middle = u64::midpoint(low, high);
        if passes(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    low
}

/// The last number of a range that passes, where all before it pass too; the first when none does.
fn last(range: Limits, passes: impl Fn(u64) -> bool) -> u64 {
    let fails = first(Limits { upper: range.upper + 1, ..range }, |number| {
        number > range.upper || !passes(number)
    });
    fails.saturating_sub(1).max(range.lower)
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{DiscreteCDF as _, Hypergeometric};

    fn draw(population: u64, defective: u64, sample: u64) -> Draw {
        Draw { population, defective, sample }
    }

    /// `scipy.stats.hypergeom(N, D, n).cdf(x)` of scipy 1.17.1 and the library, on a population of a
    /// size that a campus has: both agree with ours.
    #[test]
    fn the_library_agrees_on_small_populations() {
        for (population, defective, sample) in [(100, 5, 20), (200, 20, 32), (2000, 100, 58)] {
            let library = Hypergeometric::new(population, defective, sample).unwrap();
            for found in 0..sample.min(defective) {
                let ours = draw(population, defective, sample).tails(found);
                assert!((ours.at_most - library.cdf(found)).abs() < 1e-11, "{found}");
                if found > 0 {
                    assert!((ours.at_least - library.sf(found - 1)).abs() < 1e-11, "{found}");
                }
            }
        }
    }

    /// With one thing drawn the chance of a defect is the share itself, with two it is a fraction of
    /// whole numbers: the library is off by more than 1e-9 where the population is large, ours is not.
    #[test]
    fn the_library_loses_digits_on_large_populations_and_ours_does_not() {
        let (population, defective) = (1_000_000_000_u64, 300_000_000_u64);
        let exact = 0.7 * (699_999_999.0 / 999_999_999.0);
        let ours = draw(population, defective, 2).tails(0).at_most;
        let library = Hypergeometric::new(population, defective, 2).unwrap().cdf(0);
        assert!((ours - exact).abs() < 1e-15, "{ours} {exact}");
        assert!((library - exact).abs() > 1e-9, "{library} {exact}");
    }

    #[test]
    fn the_ends_of_the_support_are_certain() {
        let census = draw(10, 4, 10);
        assert_eq!(census.tails(4), Tails { at_most: 1.0, at_least: 1.0 });
        assert_eq!(census.tails(3), Tails { at_most: 0.0, at_least: 1.0 });
        assert_eq!(census.tails(5), Tails { at_most: 1.0, at_least: 0.0 });
        assert_eq!(draw(10, 0, 3).tails(0), Tails { at_most: 1.0, at_least: 1.0 });
        assert_eq!(limits(10, 11, 0, 0.95), None);
        assert_eq!(limits(10, 3, 4, 0.95), None);
    }
}
