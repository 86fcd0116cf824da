//! Chance: which things of a list are drawn.
//!
//! Every thing, in the order of the list, gets the next 64-bit number of the stream of `ChaCha` with 20
//! rounds, keyed by the seed in its first eight bytes, little end first, and zeros; those with the least
//! numbers are drawn. So the draw is the same on every machine, anyone can repeat it, and a larger
//! sample holds the smaller one.

use rand_chacha::ChaCha20Rng;
use rand_chacha::rand_core::{Rng as _, SeedableRng as _};

/// The generator, as designs name it.
pub const GENERATOR: &str = "ChaCha20, seed in the first 8 key bytes, least 64-bit numbers drawn";

/// The numbers of things, in the order of their list.
pub fn numbers(seed: u64, things: usize) -> Vec<u64> {
    let mut key = [0; 32];
    key[..8].copy_from_slice(&seed.to_le_bytes());
    let mut stream = ChaCha20Rng::from_seed(key);
    (0..things).map(|_| stream.next_u64()).collect()
}

/// The `sample` things of a list with the least numbers, in the order of the list; of equal numbers the
/// earlier thing.
pub fn least(things: &[usize], numbers: &[u64], sample: u64) -> Vec<usize> {
    let mut things = things.to_vec();
    things.sort_by_key(|thing| (numbers[*thing], *thing));
    things.truncate(usize::try_from(sample).unwrap_or(usize::MAX));
    things.sort_unstable();
    things
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 8439, A.1, first vector: the stream of the key of zeros begins 76 b8 e0 ad a0 f1 3d 90, then
    /// 40 5d 6a e5 53 86 bd 28.
    #[test]
    fn the_stream_is_that_of_the_published_vector() {
        let first = u64::from_le_bytes([0x76, 0xb8, 0xe0, 0xad, 0xa0, 0xf1, 0x3d, 0x90]);
        let second = u64::from_le_bytes([0x40, 0x5d, 0x6a, 0xe5, 0x53, 0x86, 0xbd, 0x28]);
        assert_eq!(numbers(0, 2), [first, second]);
    }

    #[test]
    fn a_larger_sample_holds_the_smaller() {
        let things: Vec<usize> = (0..200).collect();
        let numbers = numbers(7, 200);
        let small = least(&things, &numbers, 20);
        let large = least(&things, &numbers, 60);
        assert_eq!((small.len(), large.len()), (20, 60));
        assert!(small.iter().all(|thing| large.contains(thing)));
        assert_eq!(least(&things, &numbers, 500), things);
    }

    /// Each of ten things is drawn about as often as another: the statistic of the chi-squared test over
    /// 2,000 seeds stays below its 99.9th percentile for nine degrees of freedom, 27.88 (any table).
    #[test]
    fn every_thing_has_the_same_chance() {
        let things: Vec<usize> = (0..10).collect();
        let mut drawn = [0_u32; 10];
        for seed in 0..2000 {
            for thing in least(&things, &numbers(seed, 10), 3) {
                drawn[thing] += 1;
            }
        }
        let statistic: f64 =
            drawn.iter().map(|count| (f64::from(*count) - 600.0).powi(2) / 600.0).sum();
        assert!(statistic < 27.88, "{drawn:?}");
    }
}
