//! MIL-STD-105E (1989), single sampling: Tables I, II-A, II-B and II-C cell by cell, and operating
//! characteristics.
//!
//! The tables beside this file were compared with CRAN `AQLSchemes` 1.7-2 and Planesmuestra 0.1; where the
//! latter has an arrow up in thirteen tightened cells, two sources against one have it down. The arrows of
//! Table II-C were followed in the source.

use yokecheck::sampling::acceptance::{
    Level, NoPlan, QUALITY_LEVELS, Severity, SinglePlan, letter, of_letter, plan,
};
use yokecheck::sampling::characteristic::{by_count, by_share, count_at, share_at};
use yokecheck::statistics::proportion::binomial_share;

use crate::{close, header, table};

#[test]
fn table_i_comes_out_cell_by_cell() {
    let lines = table("letters.csv");
    assert_eq!(lines.len(), 15);
    for line in lines {
        let from: u64 = line[0].parse().unwrap();
        let to: u64 = line[1].parse().unwrap_or(10_000_000);
        for (level, wanted) in Level::ALL.into_iter().zip(line.iter().skip(2)) {
            for lot in [from, u64::midpoint(from, to), to] {
                let found = letter(lot, level).unwrap().to_string();
                assert_eq!(found, wanted, "{lot} at {}", level.word());
            }
        }
    }
    let names: Vec<String> = header("letters.csv").iter().skip(2).map(str::to_owned).collect();
    assert_eq!(names, Level::ALL.map(Level::word));
    assert_eq!(letter(1, Level::II), None, "a lot of one has no row");
    assert_eq!(plan(1, 1.5, Level::II, Severity::Normal), Err(NoPlan::TooSmall(1)));
}

/// A plan as it stands in a cell.
fn numbers(cell: &str) -> (u64, u64) {
    let (accept, reject) = cell.trim().split_once(' ').unwrap();
    (accept.parse().unwrap(), reject.parse().unwrap())
}

/// Follows the arrows of a printed table.
fn check_arrows(name: &str, severity: Severity) {
    let lines = table(name);
    check_header(name, 2);
    for row in 0..16 {
        for (column, quality) in QUALITY_LEVELS.into_iter().enumerate() {
            let mut at = row;
            let cell = loop {
                match &lines[at][column + 2] {
                    "below" => at += 1,
                    "above" => at -= 1,
                    cell => break numbers(cell),
                }
            };
            let found = of_letter(lines[row][0].parse().unwrap(), quality, severity).unwrap();
            let wanted = (&lines[at][0], lines[at][1].parse().unwrap(), cell);
            let found = (&*found.used.to_string(), found.n, (found.accept, found.reject));
            assert_eq!(found, wanted, "{} at {quality}", &lines[row][0]);
        }
    }
}

fn check_header(name: &str, first: usize) {
    let levels: Vec<f64> =
        header(name).iter().skip(first).map(|one| one.parse().unwrap()).collect();
    assert_eq!(levels, QUALITY_LEVELS);
}

#[test]
fn table_ii_a_comes_out_cell_by_cell() {
    check_arrows("normal.csv", Severity::Normal);
}

#[test]
fn table_ii_b_comes_out_cell_by_cell() {
    check_arrows("tightened.csv", Severity::Tightened);
}

#[test]
fn table_ii_c_comes_out_cell_by_cell() {
    let lines = table("reduced.csv");
    assert_eq!(lines.len(), 16);
    check_header("reduced.csv", 1);
    for line in lines {
        for (column, quality) in QUALITY_LEVELS.into_iter().enumerate() {
            let (n, cell) = line[column + 1].split_once(':').unwrap();
            let plan = of_letter(line[0].parse().unwrap(), quality, Severity::Reduced).unwrap();
            let found = (plan.n, (plan.accept, plan.reject));
            assert_eq!(found, (n.parse().unwrap(), numbers(cell)), "{} at {quality}", &line[0]);
        }
    }
}

#[track_caller]
fn check(lot: u64, quality: f64, severity: Severity, wanted: (char, char, u64, u64, u64, bool)) {
    let plan = plan(lot, quality, Level::II, severity).unwrap();
    let found = (plan.letter, plan.used, plan.n, plan.accept, plan.reject, plan.whole);
    assert_eq!(found, wanted);
}

/// The lot of 3,201 to 10,000: vignette of CRAN `AQLSchemes`. The others follow from the tables above.
#[test]
fn worked_look_ups_come_out() {
    check(5000, 1.5, Severity::Normal, ('L', 'L', 200, 7, 8, false));
    check(5000, 1.5, Severity::Tightened, ('L', 'L', 200, 5, 6, false));
    check(240, 2.5, Severity::Normal, ('G', 'G', 32, 2, 3, false));
    check(240, 1.0, Severity::Normal, ('G', 'H', 50, 1, 2, false));
    check(240, 0.65, Severity::Normal, ('G', 'F', 20, 0, 1, false));
    check(240, 0.40, Severity::Normal, ('G', 'G', 32, 0, 1, false));
    check(5, 2.5, Severity::Normal, ('A', 'C', 5, 0, 1, true));
    // Two arrows down, to the letter that only this cell has.
    check(600_000, 0.025, Severity::Tightened, ('Q', 'S', 3150, 1, 2, false));
    let none = plan(240, 3.0, Level::II, Severity::Normal);
    assert_eq!(none, Err(NoPlan::NoLevel(3.0)));
    assert!(none.unwrap_err().to_string().contains("1.5, 2.5, 4, 6.5"));
}

fn single(n: u64, accept: u64) -> SinglePlan {
    SinglePlan { letter: 'A', used: 'A', n, accept, reject: accept + 1, whole: false }
}

/// 7 CFR 42.140: n 500, Ac 3 (curve 6): "26 percent" at 1.0 defect a hundred units, "about 99 percent" at
/// 0.10; the regulation reckons with Poisson (0.2650 and 0.9982).
#[test]
fn the_regulation_comes_out() {
    let plan = single(500, 3);
    close(by_share(&plan, 0.01), 0.26, 5e-3);
    close(by_share(&plan, 0.001), 0.9982, 5e-4);
    // 42.141: n 168 at 6.5 defects a hundred units is accepted with 95 % (Ac 16 is inferred, not printed).
    close(by_share(&single(168, 16), 0.065), 0.95, 0.01);
}

/// CRAN `AQLSchemes`, vignette: n 200, c 7 at 6.4 %: .054; with the switching scheme of Stephens and Larson
/// .95 at 1.9296 % and .10 at 4.5884 %. The last two computed with `scipy.stats.binom.cdf`.
#[test]
fn the_plans_of_the_vignette_come_out() {
    close(by_share(&single(200, 7), 0.064), 0.05419, 5.1e-6);
    let scheme = |share: f64| {
        let normal = by_share(&single(200, 7), share);
        let tightened = by_share(&single(200, 5), share);
        let a = (2.0 - normal.powi(4)) / ((1.0 - normal) * (1.0 - normal.powi(4)));
        let b = (1.0 - tightened.powi(5)) / ((1.0 - tightened) * tightened.powi(5));
        (a * normal + b * tightened) / (a + b)
    };
    close(scheme(0.019_296), 0.95054, 5.1e-6);
    close(scheme(0.045_884), 0.09995, 5.1e-6);
    close(scheme(0.015), 0.98852, 5.1e-6);
    close(scheme(0.03), 0.46912, 5.1e-6);
}

/// A. Birolini, *Reliability Engineering* (2007), 7.1: 3.9 / 0.02 = 195 by Poisson with c 1; the exact 194.49
/// is that of the limit of many samples of a small share.
#[test]
fn birolini_comes_out() {
    close(binomial_share(1, 1_000_000, 0.10) * 1e6, 3.88972, 1.5e-5);
}

/// n 52, c 3: computed with `scipy.stats.binom.cdf`; NIST/SEMATECH e-Handbook 6.2.3.2 prints the same with
/// .845 and .739 (from memory).
#[test]
fn the_curve_of_fifty_two_comes_out() {
    let wanted =
        [0.998, 0.980, 0.930, 0.846, 0.738, 0.620, 0.502, 0.394, 0.300, 0.223, 0.162, 0.115];
    for (percent, wanted) in (1..=12).zip(wanted) {
        close(by_share(&single(52, 3), f64::from(percent) / 100.0), wanted, 5.1e-4);
    }
}

/// The question of the lot of 100 is public (tutorsglobe.com, 52265299); answers computed with
/// `scipy.stats.hypergeom.cdf` and `scipy.stats.binom.cdf`, five decimals.
#[test]
fn lots_of_their_own_size_differ_from_a_process() {
    let plan = single(20, 2);
    close(by_count(&plan, 100, 5), 0.94680, 5.1e-6);
    close(by_share(&plan, 0.05), 0.92452, 5.1e-6);
    let plan = single(32, 2);
    close(by_count(&plan, 200, 5), 0.97010, 5.1e-6);
    close(by_count(&plan, 200, 20), 0.34557, 5.1e-6);
    close(by_share(&plan, 0.025), 0.95478, 5.1e-6);
    close(by_share(&plan, 0.10), 0.36668, 5.1e-6);
}

/// Computed: `scipy.stats.beta.ppf(1 - Pa, c + 1, n - c)`, per cent, three decimals.
#[test]
fn qualities_at_nine_probabilities_come_out() {
    const AT: [f64; 9] = [0.99, 0.95, 0.90, 0.75, 0.50, 0.25, 0.10, 0.05, 0.01];
    const PLANS: [(u64, u64, [f64; 9]); 8] = [
        (20, 0, [0.050, 0.256, 0.525, 1.428, 3.406, 6.697, 10.875, 13.911, 20.567]),
        (32, 2, [1.397, 2.604, 3.494, 5.422, 8.269, 11.887, 15.787, 18.394, 23.773]),
        (50, 3, [1.684, 2.779, 3.535, 5.095, 7.295, 10.004, 12.876, 14.784, 18.721]),
        (80, 2, [0.550, 1.030, 1.385, 2.163, 3.329, 4.842, 6.516, 7.661, 10.095]),
        (80, 5, [2.278, 3.317, 3.987, 5.301, 7.058, 9.138, 11.285, 12.693, 15.571]),
        (125, 3, [0.664, 1.100, 1.403, 2.032, 2.930, 4.053, 5.266, 6.086, 7.813]),
        (200, 7, [1.468, 2.006, 2.342, 2.986, 3.828, 4.810, 5.815, 6.473, 7.821]),
        (13, 2, [3.578, 6.605, 8.800, 13.448, 20.045, 27.979, 35.978, 41.010, 50.617]),
    ];
    for (n, accept, wanted) in PLANS {
        for (probability, wanted) in AT.into_iter().zip(wanted) {
            close(share_at(&single(n, accept), probability) * 100.0, wanted, 5.1e-4);
        }
    }
}

/// By the definition: one defective outlet more and the lot is accepted less often than that.
#[test]
fn the_count_at_a_probability_is_the_last_that_holds() {
    for (lot, n, accept) in [(240, 32, 2), (100, 20, 2), (50, 50, 1), (600, 80, 5)] {
        let plan = single(n, accept);
        for probability in [0.95, 0.5, 0.1] {
            let count = count_at(&plan, lot, probability);
            assert!(by_count(&plan, lot, count) >= probability);
            assert!(count == lot || by_count(&plan, lot, count + 1) < probability);
        }
    }
}

/// The standard: a count in the gap of reduced inspection accepts the lot.
#[test]
fn the_gap_of_reduced_inspection_is_accepted() {
    let plan = plan(5000, 1.5, Level::II, Severity::Reduced).unwrap();
    assert_eq!((plan.n, plan.accept, plan.reject), (80, 3, 6));
    close(by_share(&plan, 0.05), by_share(&single(80, 5), 0.05), 0.0);
}
