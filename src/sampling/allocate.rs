//! How many outlets of a sample fall to each stratum.
//!
//! The numbers are whole, add up to the sample, are never above the outlets of a stratum, and are at least
//! two where a stratum has two: one outlet shows no spread.

use super::numbers::{floor, whole};

/// What a stratum brings.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Share {
    /// Its outlets.
    pub population: u64,
    /// What the sample is shared by, not negative.
    pub weight: f64,
}

/// What an earlier audit found in a stratum.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Earlier {
    /// Outlets that it judged.
    pub outlets: u64,
    /// Defective ones among them.
    pub defective: u64,
}

/// Outlets of a stratum at least, where it has so many.
pub const LEAST: u64 = 2;

/// The shares of proportional allocation: the outlets of the strata.
pub fn proportional(populations: &[u64]) -> Vec<Share> {
    let share = |population: &u64| Share { population: *population, weight: whole(*population) };
    populations.iter().map(share).collect()
}

/// The shares of Neyman's optimal allocation: the outlets of each stratum times the spread
/// sqrt(p (1 - p)) of its expected rate.
///
/// J. Neyman, *J. R. Stat. Soc.* 97 (1934) 558-625.
pub fn neyman(strata: &[(u64, f64)]) -> Vec<Share> {
    let share = |(population, rate): &(u64, f64)| Share {
        population: *population,
        weight: whole(*population) * (rate * (1.0 - rate)).sqrt(),
    };
    strata.iter().map(share).collect()
}

impl Earlier {
    /// The rate that it lets expect: half a defective and half a good outlet are added, so that a stratum
    /// in which nothing was found is not left out.
    pub fn expected(self) -> f64 {
        (whole(self.defective) + 0.5) / (whole(self.outlets) + 1.0)
    }
}

/// Parts a sample among strata by their weights, the largest remainders up. A sample that is too small for
/// the least numbers is raised to them, one that is larger than the population is all of it.
pub fn allocate(sample: u64, strata: &[Share]) -> Vec<u64> {
    let least: Vec<u64> = strata.iter().map(|stratum| stratum.population.min(LEAST)).collect();
    let sample =
        sample.max(least.iter().sum()).min(strata.iter().map(|stratum| stratum.population).sum());
    let mut fixed: Vec<Option<u64>> = vec![None; strata.len()];
    loop {
        let ideal = ideal(sample, strata, &fixed);
        let free = || (0..strata.len()).filter(|place| fixed[*place].is_none());
        let above: Vec<usize> =
            free().filter(|place| ideal[*place] > whole(strata[*place].population)).collect();
        let below: Vec<usize> =
            free().filter(|place| ideal[*place] < whole(least[*place])).collect();
        // Those with the larger excess are fixed first: the others may come right by themselves.
        let over: f64 =
            above.iter().map(|place| ideal[*place] - whole(strata[*place].population)).sum();
        let under: f64 = below.iter().map(|place| whole(least[*place]) - ideal[*place]).sum();
        if above.is_empty() && below.is_empty() {
            return rounded(sample, strata, &ideal, &fixed);
        } else if over > under {
            for place in above {
                fixed[place] = Some(strata[place].population);
            }
        } else {
            for place in below {
                fixed[place] = Some(least[place]);
            }
        }
    }
}

/// What is left of the sample, parted among the strata that are not fixed.
fn ideal(sample: u64, strata: &[Share], fixed: &[Option<u64>]) -> Vec<f64> {
    let free = || strata.iter().zip(fixed).filter(|(_, fixed)| fixed.is_none());
    let left = whole(sample) - whole(fixed.iter().flatten().sum());
    let weights: f64 = free().map(|(stratum, _)| stratum.weight).sum();
    let outlets = whole(free().map(|(stratum, _)| stratum.population).sum());
    let part = |(stratum, fixed): (&Share, &Option<u64>)| match fixed {
        Some(fixed) => whole(*fixed),
        None if weights > 0.0 => left * stratum.weight / weights,
        None => left * whole(stratum.population) / outlets,
    };
    strata.iter().zip(fixed).map(part).collect()
}

fn rounded(sample: u64, strata: &[Share], ideal: &[f64], fixed: &[Option<u64>]) -> Vec<u64> {
    let mut parts: Vec<u64> =
        ideal.iter().zip(fixed).map(|(part, fixed)| fixed.unwrap_or(floor(part + 1e-9))).collect();
    let mut order: Vec<usize> = (0..parts.len()).filter(|place| fixed[*place].is_none()).collect();
    let remainder = |place: &usize| ideal[*place] - whole(parts[*place]);
    order.sort_by(|one, other| remainder(other).total_cmp(&remainder(one)));
    let mut left = sample - parts.iter().sum::<u64>().min(sample);
    for place in order.iter().cycle().take(order.len() * 2) {
        if left > 0 && parts[*place] < strata[*place].population {
            parts[*place] += 1;
            left -= 1;
        }
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #[test]
        fn parts_add_up_within_their_bounds(
            strata in proptest::collection::vec((1_u64..400, 0.0_f64..10.0), 1..40),
            sample in 0_u64..4000,
        ) {
            let shares: Vec<Share> =
                strata.iter().map(|(population, weight)| Share { population: *population, weight: *weight }).collect();
            let parts = allocate(sample, &shares);
            let (least, most): (u64, u64) = (
                shares.iter().map(|one| one.population.min(LEAST)).sum(),
                shares.iter().map(|one| one.population).sum(),
            );
            assert_eq!(parts.iter().sum::<u64>(), sample.clamp(least, most));
            for (part, share) in parts.iter().zip(&shares) {
                assert!((share.population.min(LEAST)..=share.population).contains(part));
            }
        }
    }
}
