//! Ranges of a share, of a difference of shares, and of the defective things of a finite population.

use yokecheck::statistics::hypergeometric::{Limits, limits, upper_limit};
use yokecheck::statistics::interval::{Interval, wilson_at};
use yokecheck::statistics::proportion::{
    agresti_coull, clopper_pearson, clopper_pearson_upper, jeffreys, newcombe, normal_quantile,
    student_quantile,
};

use crate::{close, table};

#[track_caller]
fn check(found: Interval, lower: f64, upper: f64, within: f64) {
    close(found.lower, lower, within);
    close(found.upper, upper, within);
}

fn coull(events: u64, trials: u64) -> Interval {
    agresti_coull(events, trials, 0.95).unwrap().0
}

fn exact(events: u64, trials: u64) -> Interval {
    clopper_pearson(events, trials, 0.95).unwrap()
}

fn equal_tailed(events: u64, trials: u64) -> Interval {
    jeffreys(events, trials, 0.95).unwrap()
}

/// R. G. Newcombe, *Stat. Med.* 17 (1998) 857-872, Table I, four decimals.
#[test]
fn wilson_at_any_confidence_gives_the_worked_shares_of_newcombe() {
    let score = |events, trials| wilson_at(events, trials, 0.95).unwrap();
    check(score(81, 263), 0.2553, 0.3662, 5e-5);
    check(score(15, 148), 0.0624, 0.1605, 5e-5);
    check(score(0, 20), 0.0, 0.1611, 5e-5);
    check(score(1, 29), 0.0061, 0.1718, 5e-5);
}

/// Manual of the R package `RSurveillance`: `binom.agresti` and `binom.jeffreys`, seven decimals.
#[test]
fn the_limits_of_rsurveillance_come_out() {
    check(coull(25, 200), 0.085_589_57, 0.178_544_4, 5.1e-8);
    check(coull(10, 200), 0.026_268_10, 0.090_692_69, 5.1e-9);
    check(coull(20, 200), 0.065_009_84, 0.150_066_42, 5.1e-9);
    check(coull(50, 200), 0.194_899_35, 0.314_523_32, 5.1e-9);
    check(equal_tailed(25, 200), 0.084_627_43, 0.176_126, 5.1e-7);
    check(equal_tailed(10, 200), 0.025_993_40, 0.086_875_09, 5.1e-9);
    check(equal_tailed(20, 200), 0.064_166_42, 0.147_298_62, 5.1e-9);
}

/// Test data of statsmodels, taken from `binom.confint` of R's package binom:
/// `statsmodels/stats/tests/results/results_proportion.py`.
#[test]
fn the_limits_of_binom_confint_come_out() {
    check(coull(18, 20), 0.686_756_1, 0.984_343_8, 5.1e-8);
    check(exact(18, 20), 0.683_017_3, 0.987_651_5, 5.1e-8);
    check(coull(4, 20), 0.074_911_5, 0.421_763_6, 5.1e-8);
    check(exact(4, 20), 0.057_334_0, 0.436_614_0, 5.1e-8);
    check(equal_tailed(4, 20), 0.071_520_1, 0.408_225_8, 5.1e-8);
    check(coull(4, 200), 0.005_992_0, 0.052_099_6, 5.1e-8);
    check(exact(4, 200), 0.005_475_6, 0.050_413_6, 5.1e-8);
    check(coull(190, 200), 0.909_307_3, 0.973_731_9, 5.1e-8);
    check(exact(190, 200), 0.909_972_5, 0.975_765_8, 5.1e-8);
    check(exact(1, 30), 0.000_843_570_9, 0.172_169_46, 5.1e-9);
    check(exact(29, 30), 0.827_830_5, 0.999_156_4, 5.1e-8);
    check(exact(0, 30), 0.0, 0.115_703_31, 5.1e-9);
    check(exact(30, 30), 0.884_296_7, 1.0, 5.1e-8);
}

/// The same data before they are clipped: 1/30 reaches below 0, 29/30 above 1, 4/20 neither. Jeffreys there
/// is of highest density at the ends, and ours is equal-tailed: 0/30 ends at 0.0797, not at 0.0615.
#[test]
fn what_reaches_beyond_is_clipped_and_said_and_jeffreys_is_equal_tailed() {
    let clipped = |events, trials| agresti_coull(events, trials, 0.95).unwrap().1;
    assert!(clipped(1, 30) && clipped(29, 30) && !clipped(4, 20));
    check(equal_tailed(0, 30), 0.000_016, 0.079_678, 5.1e-7);
    check(equal_tailed(1, 30), 0.003_620, 0.145_418, 5.1e-7);
}

/// Computed, six decimals: `scipy.stats.binomtest(x, n).proportion_ci(1 - alpha, method)` for Wilson and the
/// exact interval, `statsmodels.stats.proportion.proportion_confint(x, n, alpha, method)` for the others.
#[test]
fn the_grid_of_scipy_and_statsmodels_comes_out() {
    let lines = table("intervals.csv");
    assert_eq!(lines.len(), 26);
    for line in lines {
        let number = |column: usize| line[column].parse::<f64>().unwrap();
        let (events, trials) = (line[0].parse().unwrap(), line[1].parse().unwrap());
        let confidence = 1.0 - number(2);
        let found = [
            wilson_at(events, trials, confidence).unwrap(),
            clopper_pearson(events, trials, confidence).unwrap(),
            jeffreys(events, trials, confidence).unwrap(),
            agresti_coull(events, trials, confidence).unwrap().0,
        ];
        for (interval, column) in found.into_iter().zip([3, 5, 7, 9]) {
            check(interval, number(column), number(column + 1), 5.1e-7);
        }
    }
}

/// NIST/SEMATECH e-Handbook, 7.2.4.1, which prints this case (from memory); computed, six decimals.
#[test]
fn four_of_twenty_at_ninety_per_cent() {
    check(clopper_pearson(4, 20, 0.9).unwrap(), 0.071_354, 0.401_028, 5.1e-7);
}

/// L. D. Brown, T. T. Cai, A. `DasGupta`, *Stat. Sci.* 16 (2001) 101-133, print .410 for no event in seven
/// (from memory): 1 - 0.025^(1/7).
#[test]
fn no_event_in_seven() {
    close(exact(0, 7).upper, 1.0 - 0.025_f64.powf(1.0 / 7.0), 1e-12);
}

/// 0/93 at 99 %: *Case Studies in Reliability and Maintenance*, p. 323, 0.0483. The others computed:
/// `scipy.stats.beta.ppf(c, x + 1, n - x)`.
#[test]
fn limits_on_one_side() {
    let upper =
        |events, trials, confidence| clopper_pearson_upper(events, trials, confidence).unwrap();
    close(upper(0, 93, 0.99), 0.0483, 5e-5);
    close(upper(0, 20, 0.95), 0.139_108, 5.1e-7);
    close(upper(0, 30, 0.95), 0.095_034, 5.1e-7);
    close(upper(0, 59, 0.95), 0.049_508, 5.1e-7);
    close(upper(0, 299, 0.95), 0.009_969, 5.1e-7);
    close(upper(1, 30, 0.95), 0.148_596, 5.1e-7);
    close(upper(2, 50, 0.90), 0.102_959, 5.1e-7);
}

/// B. D. Jovanovic, P. S. Levy, *Am. Stat.* 51 (1997) 137-139: nothing in n leaves about 3/n. The exact
/// limits computed, six decimals: on one side 1 - 0.05^(1/n), and on both.
#[test]
fn the_rule_of_three() {
    for (trials, one_side, both) in [
        (10, 0.258_866, 0.308_497),
        (14, 0.192_636, 0.231_636),
        (20, 0.139_108, 0.168_433),
        (30, 0.095_034, 0.115_703),
        (50, 0.058_155, 0.071_122),
        (59, 0.049_508, 0.060_609),
        (60, 0.048_703, 0.059_629),
        (100, 0.029_513, 0.036_217),
        (299, 0.009_969, 0.012_262),
        (300, 0.009_936, 0.012_221),
    ] {
        let upper = clopper_pearson_upper(0, trials, 0.95).unwrap();
        close(upper, one_side, 5.1e-7);
        close(exact(0, trials).upper, both, 5.1e-7);
        let three = 3.0 / f64::from(u32::try_from(trials).unwrap());
        assert!(upper < three && three - upper < 0.16 * three);
    }
}

/// R. G. Newcombe, *Stat. Med.* 17 (1998) 873-890, Table II, method 10, cases (a), (b) and (d), four
/// decimals. The last two computed: `confint_proportions_2indep(..., method="newcomb")`, five decimals.
#[test]
fn the_differences_of_newcombe_come_out() {
    let difference = |one, other| newcombe(one, other, 0.95).unwrap();
    check(difference((56, 70), (48, 80)), 0.0524, 0.3339, 5.1e-5);
    check(difference((9, 10), (3, 10)), 0.1705, 0.8090, 5.1e-5);
    check(difference((5, 56), (0, 29)), -0.0381, 0.1926, 5.1e-5);
    check(difference((31, 200), (19, 200)), -0.00529, 0.12569, 5.1e-6);
    check(difference((24, 120), (9, 120)), 0.03791, 0.21267, 5.1e-6);
}

/// Finite populations: every number of defective things kept whose both tails exceed half of what the
/// confidence leaves. Computed with `scipy.stats.hypergeom`. The first two lots are those of the manual of
/// the R package samplingbook, whose `Sprop` prints the first rejected numbers: 110 to 161 and 2 to 19.
#[test]
fn the_exact_limits_of_finite_populations_come_out() {
    for (population, sample, found, confidence, lower, upper) in [
        (300, 100, 45, 0.95, 111, 160),
        (300, 100, 2, 0.95, 2, 18),
        (50, 10, 3, 0.95, 5, 31),
        (100, 20, 0, 0.95, 0, 15),
        (100, 20, 1, 0.95, 1, 22),
        (60, 15, 0, 0.95, 0, 11),
        (200, 32, 0, 0.95, 0, 20),
        (200, 32, 3, 0.95, 5, 47),
        (500, 50, 0, 0.95, 0, 33),
        (500, 50, 2, 0.95, 3, 66),
        (1000, 80, 4, 0.95, 15, 120),
        (40, 20, 2, 0.90, 2, 9),
        (120, 120, 7, 0.95, 7, 7),
        (120, 120, 7, 0.50, 7, 7),
    ] {
        let limits = limits(population, sample, found, confidence).unwrap();
        assert_eq!(limits, Limits { lower, upper }, "{found} of {sample} of {population}");
    }
}

/// The same on one side: the greatest number whose lower tail is still what the confidence leaves. The last
/// line is the question of <https://stats.stackexchange.com/questions/193103>, which guessed 5.
#[test]
fn the_upper_limits_of_finite_populations_come_out() {
    for (population, sample, found, confidence, upper) in [
        (100, 20, 0, 0.95, 12),
        (100, 20, 1, 0.95, 19),
        (60, 15, 0, 0.95, 9),
        (200, 32, 0, 0.95, 16),
        (200, 32, 3, 0.95, 42),
        (500, 50, 0, 0.95, 27),
        (500, 50, 2, 0.95, 58),
        (1000, 80, 4, 0.95, 108),
        (500, 100, 3, 0.99, 45),
    ] {
        assert_eq!(upper_limit(population, sample, found, confidence), Some(upper));
    }
}

/// Any table of the normal and of Student's distribution; the digits computed with `scipy.stats.norm.ppf`
/// and `scipy.stats.t.ppf`.
#[test]
fn quantiles_are_those_of_the_tables() {
    close(normal_quantile(0.95), 1.644_853_626_951_472_2, 1e-12);
    close(normal_quantile(0.975), 1.959_963_984_540_054, 1e-12);
    close(normal_quantile(0.995), 2.575_829_303_548_900_4, 1e-12);
    close(student_quantile(0.975, 1), 12.706_204_736_432_095, 1e-8);
    close(student_quantile(0.975, 9), 2.262_157_162_740_992, 1e-9);
    close(student_quantile(0.975, 120), 1.979_930_405_052_777, 1e-9);
}
