//! The order of a Pareto chart: the most frequent first, the small ones folded into one at the end.
//!
//! The convention as taught: sorted from the most to the least, small ones folded into "other", which
//! stands at the far right whatever its size (course notes on Pareto charts, University of Alberta,
//! `sites.ualberta.ca/~yreshef/orga432/tools/pareto2.htm`).

/// Name of what is folded.
pub const OTHER: &str = "other";

/// Share of all below which one is small.
const SMALL: f64 = 0.03;

/// One bar.
#[derive(Clone, PartialEq, Debug)]
pub struct Bar {
    /// Its name.
    pub name: String,
    /// Its count.
    pub count: u64,
    /// The share of it and all before it, from 0 to 1.
    pub cumulative: f64,
}

/// The bars of named counts. Those without a count are left out; two or more that each hold less than
/// 3 % of all become one. Equal counts keep their order.
#[expect(clippy::cast_precision_loss, reason = "a share for people")]
pub fn pareto<'a>(counts: impl IntoIterator<Item = (&'a str, u64)>) -> Vec<Bar> {
    let mut counts: Vec<(&str, u64)> = counts.into_iter().filter(|(_, count)| *count > 0).collect();
    counts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let all: u64 = counts.iter().map(|(_, count)| count).sum();
    let large = counts.partition_point(|(_, count)| *count as f64 >= SMALL * all as f64);
    if counts.len() - large > 1 {
        let rest = counts.drain(large..).map(|(_, count)| count).sum();
        counts.push((OTHER, rest));
    }
    let mut sum = 0;
    let mut bar = |(name, count): (&str, u64)| {
        sum += count;
        Bar { name: name.to_owned(), count, cumulative: sum as f64 / all as f64 }
    };
    counts.into_iter().map(&mut bar).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Counts and cumulative shares of our own, computed with numpy 2.4.6 (`cumsum`): the four small ones
    /// make 8 of 120 together and stand last, although one large count is smaller.
    #[test]
    fn small_ones_are_folded_and_stand_last() {
        let names = ["g", "c", "b", "a", "e", "h", "d", "i", "f", "j"];
        let counts = [2, 18, 31, 42, 7, 3, 9, 2, 5, 1];
        let bars = pareto(names.into_iter().zip(counts));
        let order: Vec<(&str, u64)> =
            bars.iter().map(|bar| (bar.name.as_str(), bar.count)).collect();
        let wanted = [("a", 42), ("b", 31), ("c", 18), ("d", 9), ("e", 7), ("f", 5), (OTHER, 8)];
        assert_eq!(order, wanted);
        let shares = [35.00, 60.83, 75.83, 83.33, 89.17, 93.33, 100.00];
        for (bar, share) in bars.iter().zip(shares) {
            assert!((bar.cumulative * 100.0 - share).abs() < 0.005, "{bar:?}");
        }
    }

    #[test]
    fn one_small_count_keeps_its_name_and_nothing_gives_nothing() {
        let bars = pareto([("a", 99), ("b", 1), ("c", 0)]);
        assert_eq!(bars[1].name, "b");
        assert_eq!(bars.len(), 2);
        assert_eq!(pareto([("a", 0)]), []);
    }
}
