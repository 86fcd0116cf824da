//! Whether groups really differ: tests of independence of a table of counts.
//!
//! A table has one line a group (a floor, a trade) and one column an outcome. Lines and columns that are
//! empty say nothing and are left out. Where the chi-square approximation is too rough by Cochran's rule
//! (a cell expects fewer than [`NEVER_BELOW`], or more than [`SHARE_BELOW`] of the cells fewer than
//! [`RATHER_ABOVE`]), the smallest lines or columns are counted as one until it is not. That choice looks
//! at the margins of the table alone, never at how its cells fall, so it does not favour an answer. A
//! table of two by two is put to Fisher's exact test, which needs no such care.
//!
//! The rule: W. G. Cochran, *Biometrics* 10 (1954) 417-451, from memory.
//!
//! Both tests take each thing counted as independent of the others; whoever shows their outcome says so.

use statrs::distribution::{ChiSquared, ContinuousCDF as _, Discrete as _, Hypergeometric};

/// No cell of a chi-square test expects fewer.
pub const NEVER_BELOW: f64 = 1.0;
/// Most cells of a chi-square test expect as many.
pub const RATHER_ABOVE: f64 = 5.0;
/// The share of cells that may expect fewer than [`RATHER_ABOVE`].
pub const SHARE_BELOW: f64 = 0.2;

/// Below this probability a difference is told as one.
pub const LEVEL: f64 = 0.05;

/// What can be said of a table of counts.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Association {
    /// A chi-square test of independence.
    ChiSquare(ChiSquare),
    /// Fisher's exact test of a table of two by two.
    Fisher(Fisher),
    /// No test says anything.
    Nothing(Why),
}

/// Why no test says anything.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Why {
    /// There are not two groups to compare.
    OneGroup,
    /// Every group had the same single outcome.
    OneOutcome,
    /// So few were counted that not even the most lopsided table would tell.
    TooFew,
}

/// The outcome of a chi-square test of independence (Pearson's statistic, without correction).
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct ChiSquare {
    /// The statistic.
    pub statistic: f64,
    /// Its degrees of freedom.
    pub degrees: u64,
    /// The probability of so great a statistic when group and outcome are independent.
    pub p: f64,
    /// Cramér's V: 0 when independent, 1 when the group decides the outcome.
    pub cramers_v: f64,
    /// How many groups were counted as one.
    pub joined: Joined,
}

/// The outcome of Fisher's exact test, two-sided.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Fisher {
    /// The probability of so unlikely a table, or a less likely one, with the same margins when group
    /// and outcome are independent.
    pub p: f64,
    /// How many groups were counted as one.
    pub joined: Joined,
}

/// How many lines and columns were counted as one because they were small; 0 where none was.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Joined {
    /// Groups.
    pub lines: u64,
    /// Outcomes.
    pub columns: u64,
}

impl Association {
    /// The probability under independence; none where nothing can be said.
    pub const fn p(&self) -> Option<f64> {
        match self {
            Self::ChiSquare(test) => Some(test.p),
            Self::Fisher(test) => Some(test.p),
            Self::Nothing(_) => None,
        }
    }
}

/// Tests whether the outcomes differ between the groups of a table, one line a group, all lines of the
/// same length.
pub fn association(lines: &[Vec<u64>]) -> Association {
    let mut table = Table::of(lines);
    if table.lines.len() < 2 {
        return Association::Nothing(Why::OneGroup);
    }
    if table.width() < 2 {
        return Association::Nothing(Why::OneOutcome);
    }
    table.join_small();
    let joined = table.joined;
    if let ([top, bottom], 2) = (table.lines.as_slice(), table.width()) {
        return match fisher([[top[0], top[1]], [bottom[0], bottom[1]]]) {
            Some(p) => Association::Fisher(Fisher { p, joined }),
            None => Association::Nothing(Why::TooFew),
        };
    }
    let statistic = table.chi_square();
    let degrees = (table.lines.len() as u64 - 1) * (table.width() as u64 - 1);
    let Some(p) = chi_square_tail(statistic, degrees) else {
        return Association::Nothing(Why::TooFew);
    };
    let cramers_v = table.cramers_v(statistic);
    Association::ChiSquare(ChiSquare { statistic, degrees, p, cramers_v, joined })
}

/// The probability of a chi-square statistic of at least this; none for no degree of freedom.
#[expect(clippy::cast_precision_loss, reason = "degrees of freedom are few")]
pub fn chi_square_tail(statistic: f64, degrees: u64) -> Option<f64> {
    ChiSquared::new(degrees as f64).ok().map(|distribution| distribution.sf(statistic))
}

/// Fisher's exact test of a table of two by two, two-sided: the sum of the probabilities of all tables
/// with its margins that are no likelier than it. None where no table with these margins could come
/// below [`LEVEL`].
pub fn fisher(table: [[u64; 2]; 2]) -> Option<f64> {
    // Tables as likely as the one at hand must count, whatever the rounding.
    const TIE: f64 = 1.0 + 1e-7;
    let [[a, b], [c, d]] = table;
    let (line, column, all) = (a + b, a + c, a + b + c + d);
    let distribution = Hypergeometric::new(all, column, line).ok()?;
    let least = (line + column).saturating_sub(all);
    let chances: Vec<f64> =
        (least..=line.min(column)).map(|count| distribution.pmf(count)).collect();
    let sum_up_to = |bound: f64| -> f64 {
        chances.iter().filter(|chance| **chance <= bound * TIE).sum::<f64>().min(1.0)
    };
    let rarest = chances.iter().copied().fold(f64::INFINITY, f64::min);
    (sum_up_to(rarest) < LEVEL).then(|| sum_up_to(distribution.pmf(a)))
}

/// A table while it is made fit for a test: lines and columns from the smallest to the largest.
struct Table {
    lines: Vec<Vec<u64>>,
    joined: Joined,
}

impl Table {
    fn of(lines: &[Vec<u64>]) -> Self {
        let lines = transposed(&from_the_smallest(lines));
        let lines = transposed(&from_the_smallest(&lines));
        Self { lines, joined: Joined::default() }
    }

    fn width(&self) -> usize {
        self.lines.first().map_or(0, Vec::len)
    }

    fn line_totals(&self) -> Vec<u64> {
        self.lines.iter().map(|line| line.iter().sum()).collect()
    }

    fn column_totals(&self) -> Vec<u64> {
        (0..self.width()).map(|column| self.lines.iter().map(|line| line[column]).sum()).collect()
    }

    /// Counts the smallest lines or columns as one until the cells expect enough, or the table is of two
    /// by two. The longer axis gives way first.
    fn join_small(&mut self) {
        while (self.lines.len() > 2 || self.width() > 2) && !self.expects_enough() {
            if self.lines.len() >= self.width() {
                join_first(&mut self.lines);
                self.joined.lines = (self.joined.lines + 1).max(2);
            } else {
                self.lines = transposed(&self.lines);
                join_first(&mut self.lines);
                self.lines = transposed(&self.lines);
                self.joined.columns = (self.joined.columns + 1).max(2);
            }
        }
    }

    /// What each cell expects when line and column are independent, line by line.
    #[expect(clippy::cast_precision_loss, reason = "counts of outlets are far below 2^52")]
    fn expected(&self) -> Vec<Vec<f64>> {
        let (lines, columns) = (self.line_totals(), self.column_totals());
        let all = lines.iter().sum::<u64>() as f64;
        let cell = |line: u64, column: &u64| line as f64 * *column as f64 / all;
        lines.iter().map(|line| columns.iter().map(|one| cell(*line, one)).collect()).collect()
    }

    #[expect(clippy::cast_precision_loss, reason = "cells are few")]
    fn expects_enough(&self) -> bool {
        let cells: Vec<f64> = self.expected().into_iter().flatten().collect();
        let below = |bound: f64| cells.iter().filter(|cell| **cell < bound).count();
        let share = below(RATHER_ABOVE) as f64 / cells.len() as f64;
        below(NEVER_BELOW) == 0 && share <= SHARE_BELOW
    }

    #[expect(clippy::cast_precision_loss, reason = "counts of outlets are far below 2^52")]
    fn chi_square(&self) -> f64 {
        let expected = self.expected();
        let cells = self.lines.iter().flatten().zip(expected.iter().flatten());
        cells.map(|(count, expected)| (*count as f64 - expected).powi(2) / expected).sum()
    }

    #[expect(clippy::cast_precision_loss, reason = "counts of outlets are far below 2^52")]
    fn cramers_v(&self, statistic: f64) -> f64 {
        let all = self.line_totals().iter().sum::<u64>() as f64;
        let smaller = self.lines.len().min(self.width()) as f64;
        (statistic / (all * (smaller - 1.0))).sqrt()
    }
}

/// The lines that hold anything, from the smallest total to the largest.
fn from_the_smallest(lines: &[Vec<u64>]) -> Vec<Vec<u64>> {
    let total = |line: &Vec<u64>| line.iter().sum::<u64>();
    let mut lines: Vec<Vec<u64>> = lines.iter().filter(|line| total(line) > 0).cloned().collect();
    lines.sort_by_key(total);
    lines
}

fn transposed(lines: &[Vec<u64>]) -> Vec<Vec<u64>> {
    let width = lines.first().map_or(0, Vec::len);
    (0..width).map(|column| lines.iter().map(|line| line[column]).collect()).collect()
}

/// Adds the first line to the second.
fn join_first(lines: &mut Vec<Vec<u64>>) {
    let first = lines.remove(0);
    for (count, more) in lines[0].iter_mut().zip(first) {
        *count += more;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, wanted: f64, within: f64) {
        assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
    }

    fn chi_square(lines: &[&[u64]]) -> ChiSquare {
        let lines: Vec<Vec<u64>> = lines.iter().map(|line| line.to_vec()).collect();
        match association(&lines) {
            Association::ChiSquare(test) => test,
            other => panic!("no chi-square test: {other:?}"),
        }
    }

    /// The expected counts of the same example, as R prints them.
    #[test]
    fn the_expected_counts_of_party_and_gender_come_out() {
        let table = Table::of(&[vec![762, 327, 468], vec![484, 239, 477]]);
        let wanted = [[246.3547, 411.3166, 542.3286], [319.6453, 533.6834, 703.6714]];
        for (found, wanted) in table.expected().iter().flatten().zip(wanted.iter().flatten()) {
            near(*found, *wanted, 5e-5);
        }
    }

    /// A. Agresti, *An Introduction to Categorical Data Analysis*, 2nd ed. (2007), p. 39; the figures as
    /// the documentation of `chiSquareTest` of `DolphinDB` and `chisq.test` of R print them.
    #[test]
    fn the_table_of_party_and_gender_comes_out() {
        let test = chi_square(&[&[762, 327, 468], &[484, 239, 477]]);
        near(test.statistic, 30.070_149, 5e-7);
        assert_eq!(test.degrees, 2);
        near(test.p, 2.953_589e-7, 5e-14);
        assert_eq!(test.joined, Joined::default());
    }

    /// Smokers among the patients of four hospitals (J. L. Fleiss; the example of `prop.test` in R, from
    /// memory); the figures by scipy 1.17.1, `chi2_contingency`.
    #[test]
    fn four_shares_are_a_table_of_four_lines() {
        let test = chi_square(&[&[83, 3], &[90, 3], &[129, 7], &[70, 12]]);
        near(test.statistic, 12.6004, 5e-5);
        assert_eq!(test.degrees, 3);
        near(test.p, 0.005_585, 5e-7);
    }

    /// Counts of our own; the figures by scipy 1.17.1, `chi2_contingency`, and V from them.
    #[test]
    fn three_defect_types_on_three_floors_have_their_cramers_v() {
        let test = chi_square(&[&[12, 5, 9], &[7, 14, 6], &[3, 4, 15]]);
        near(test.statistic, 17.331_08, 5e-6);
        assert_eq!(test.degrees, 4);
        near(test.p, 0.001_666_6, 5e-8);
        near(test.cramers_v, 0.339_91, 5e-6);
    }

    /// Critical values as every handbook prints them; scipy 1.17.1, `chi2.ppf`.
    #[test]
    fn the_tail_meets_the_critical_values() {
        for (degrees, level, value) in [
            (1, 0.05, 3.841_459),
            (1, 0.001, 10.827_566),
            (2, 0.05, 5.991_465),
            (2, 0.001, 13.815_511),
        ] {
            near(chi_square_tail(value, degrees).unwrap(), level, 1e-7);
        }
    }

    /// Counts of our own; the figures by scipy 1.17.1, `fisher_exact`.
    #[test]
    fn two_shares_go_to_the_exact_test() {
        near(fisher([[31, 169], [19, 181]]).unwrap(), 0.095_55, 5e-6);
        near(fisher([[24, 96], [9, 111]]).unwrap(), 0.007_93, 5e-6);
        let same = association(&[vec![31, 169], vec![19, 181]]);
        near(same.p().unwrap(), 0.095_55, 5e-6);
    }

    /// R. A. Fisher's tea: 3 of 4 and 1 of 4 guessed, p 34/70 (*The Design of Experiments*, 1935, from
    /// memory); the arithmetic is 2 x (16 + 1) / 70.
    #[test]
    fn the_tea_is_no_proof() {
        near(fisher([[3, 1], [1, 3]]).unwrap(), 34.0 / 70.0, 1e-12);
    }

    #[test]
    fn nothing_is_said_where_nothing_can_be() {
        let of = |lines: &[[u64; 2]]| {
            association(&lines.iter().map(|line| line.to_vec()).collect::<Vec<_>>())
        };
        assert_eq!(of(&[]), Association::Nothing(Why::OneGroup));
        assert_eq!(of(&[[3, 9], [0, 0]]), Association::Nothing(Why::OneGroup));
        assert_eq!(of(&[[0, 9], [0, 7]]), Association::Nothing(Why::OneOutcome));
        assert_eq!(of(&[[1, 9], [0, 7]]), Association::Nothing(Why::TooFew));
        assert_eq!(of(&[[2, 0], [0, 2]]), Association::Nothing(Why::TooFew));
    }

    #[test]
    fn small_groups_are_counted_as_one() {
        // Lines of 10 expect 2.3 violations each, 4.7 by twos: too many cells below five until all three
        // stand together.
        let test = association(&[vec![20, 80], vec![1, 9], vec![30, 70], vec![2, 8], vec![1, 9]]);
        let Association::ChiSquare(test) = test else { panic!("{test:?}") };
        let same = chi_square(&[&[20, 80], &[30, 70], &[4, 26]]);
        assert_eq!(same.joined, Joined::default());
        assert_eq!(test.joined, Joined { lines: 3, columns: 0 });
        near(test.statistic, same.statistic, 1e-12);
        assert_eq!(test.degrees, 2);
    }

    #[test]
    fn rare_outcomes_are_counted_as_one() {
        let test = association(&[vec![40, 1, 9], vec![30, 2, 18]]);
        let Association::Fisher(test) = test else { panic!("{test:?}") };
        assert_eq!(test.joined, Joined { lines: 0, columns: 2 });
        near(test.p, fisher([[40, 10], [30, 20]]).unwrap(), 1e-12);
    }

    #[test]
    fn what_is_joined_to_two_by_two_goes_to_the_exact_test() {
        let test = association(&[vec![1, 19], vec![6, 24], vec![0, 5]]);
        let Association::Fisher(test) = test else { panic!("{test:?}") };
        assert_eq!(test.joined, Joined { lines: 2, columns: 0 });
        near(test.p, fisher([[1, 24], [6, 24]]).unwrap(), 1e-12);
    }
}
