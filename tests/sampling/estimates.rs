//! Estimates: strata and their allocation, whole rooms, rankings.

use yokecheck::sampling::allocate::{Earlier, Share, allocate, neyman, proportional};
use yokecheck::sampling::estimate::{Counted, CountedRooms, Method, rooms, stratified};
use yokecheck::sampling::ranking::ranking;
use yokecheck::statistics::hypergeometric::limits;

use crate::close;

fn strata(counts: &[(u64, u64, u64)]) -> Vec<Counted> {
    let of = |(population, inspected, defective): &(u64, u64, u64)| Counted {
        population: *population,
        inspected: *inspected,
        defective: *defective,
    };
    counts.iter().map(of).collect()
}

/// N 1550/620/930, S² 25/225/100, cost 9/9/16, n 58: a public example of optimal allocation
/// (studylib.net 5858608); N S / sqrt(c) is printed there, the whole numbers computed.
#[test]
fn the_example_with_costs_is_allocated() {
    let of = |population, weight| Share { population, weight };
    let shares = [of(1550, 2583.33), of(620, 3100.0), of(930, 2325.0)];
    assert_eq!(allocate(58, &shares), [19, 22, 17]);
}

/// STAT 854 assignment: N 500/1000/1500, variances 100/200/225, n 84; computed.
#[test]
fn the_assignment_is_allocated() {
    assert_eq!(allocate(84, &proportional(&[500, 1000, 1500])), [14, 28, 42]);
    let of = |population: u64, weight: f64, variance: f64| Share {
        population,
        weight: weight * variance.sqrt(),
    };
    let shares = [of(500, 500.0, 100.0), of(1000, 1000.0, 200.0), of(1500, 1500.0, 225.0)];
    assert_eq!(allocate(84, &shares), [10, 29, 45]);
}

/// Halls and walkers, a question in the style of the Royal Statistical Society: N 400/300/100/200, guesses
/// .9/.8/.5/.2, n 100; computed.
#[test]
fn the_halls_are_allocated() {
    let halls = [(400, 0.9), (300, 0.8), (100, 0.5), (200, 0.2)];
    assert_eq!(allocate(100, &neyman(&halls)), [32, 32, 14, 22]);
    assert_eq!(allocate(100, &proportional(&halls.map(|one| one.0))), [40, 30, 10, 20]);
}

/// What a mean or a share of these strata would vary by: the sum of W² S² / n, with its correction or without.
fn variance(strata: &[(u64, f64)], parts: &[u64], corrected: bool) -> f64 {
    let whole = |count: u64| f64::from(u32::try_from(count).unwrap());
    let all = whole(strata.iter().map(|(population, _)| population).sum());
    let terms = strata.iter().zip(parts).map(|((population, spread), part)| {
        let left = if corrected { 1.0 - whole(*part) / whole(*population) } else { 1.0 };
        (whole(*population) / all).powi(2) * left * spread / whole(*part)
    });
    terms.sum()
}

/// The same assignment and halls: the variances of their allocations, computed. An allocation that is off by
/// one outlet changes them.
#[test]
fn allocations_have_the_variances_that_they_should() {
    let assignment = [(500, 100.0), (1000, 200.0), (1500, 225.0)];
    close(variance(&assignment, &[14, 28, 42], true), 2.266_071, 5.1e-7);
    let shares: Vec<Share> = assignment
        .iter()
        .map(|(population, spread)| Share {
            population: *population,
            weight: f64::from(u32::try_from(*population).unwrap()) * spread.sqrt(),
        })
        .collect();
    close(variance(&assignment, &allocate(84, &shares), true), 2.228_784, 5.1e-7);

    let halls = [(400, 0.9), (300, 0.8), (100, 0.5), (200, 0.2)];
    let spread = halls.map(|(population, share): (u64, f64)| (population, share * (1.0 - share)));
    let unbiased = spread.map(|(population, spread)| {
        let outlets = f64::from(u32::try_from(population).unwrap());
        (population, spread * outlets / (outlets - 1.0))
    });
    let best = allocate(100, &neyman(&halls));
    let even = allocate(100, &proportional(&halls.map(|one| one.0)));
    close(variance(&spread, &best, false), 0.001_369_48, 5.1e-9);
    close(variance(&spread, &even, false), 0.001_410, 5.1e-7);
    close(variance(&unbiased, &best, true), 0.001_233_71, 5.1e-9);
    close(variance(&unbiased, &even, true), 0.001_274_98, 5.1e-9);
}

/// MATH 313, day 15: N 155/62/93 of the television survey, costs 9/9/16: weights .5011/.2170/.2819 of 63.
/// The parts 31.57/13.67/17.76 computed; they add up when the largest remainders go up.
#[test]
fn the_class_is_allocated() {
    let of = |population, weight| Share { population, weight };
    let shares = [of(155, 0.5011), of(62, 0.2170), of(93, 0.2819)];
    assert_eq!(allocate(63, &shares), [31, 14, 18]);
}

/// R. L. Scheaffer's television survey (data from memory): N 155/62/93, n 20/8/12, shares .80/.25/.50.
/// `p_st` .600, variance 0.00454832, SE 0.067441, computed; the formula is that of Cochran, 5.10.
#[test]
fn the_television_survey_comes_out() {
    let estimate = stratified(&strata(&[(155, 20, 16), (62, 8, 2), (93, 12, 6)]), 0.95);
    close(estimate.rate.unwrap(), 0.600, 1e-12);
    close(estimate.variance.unwrap(), 0.004_548_32, 5.1e-9);
    close(estimate.standard_error().unwrap(), 0.067_441, 5.1e-7);
    assert_eq!(estimate.method, Method::Stratified);
}

/// Shares .78/.35/.52 of the same survey: `p_st` .6160, computed.
#[test]
fn the_later_survey_comes_out() {
    let estimate = stratified(&strata(&[(155, 100, 78), (62, 60, 21), (93, 50, 26)]), 0.95);
    close(estimate.rate.unwrap(), 0.6160, 5.1e-5);
}

/// A case of our own: 620/240/140 outlets, expected .05/.15/.30, n 150; found 3/65, 6/45, 10/40. Computed.
/// Without weights the rate would be 0.1267.
#[test]
fn three_kinds_of_outlets_come_out() {
    assert_eq!(allocate(150, &proportional(&[620, 240, 140])), [93, 36, 21]);
    let expected = [(620, 0.05), (240, 0.15), (140, 0.30)];
    assert_eq!(allocate(150, &neyman(&expected)), [71, 45, 34]);
    let estimate = stratified(&strata(&[(620, 65, 3), (240, 45, 6), (140, 40, 10)]), 0.95);
    close(estimate.rate.unwrap(), 0.095_615_4, 5.1e-8);
    close(estimate.variance.unwrap(), 0.000_426_913, 5.1e-10);
    close(estimate.standard_error().unwrap(), 0.020_661_9, 5.1e-8);
    let interval = estimate.interval();
    assert!(interval.lower < 0.0551 + 0.01 && interval.upper > 0.1361 - 0.01, "{interval:?}");
    close(estimate.projected_number().unwrap(), 95.6154, 5.1e-5);
}

/// By the definition: half a defective and half a good outlet more, so that no stratum is left out.
#[test]
fn an_earlier_audit_that_found_nothing_still_expects_something() {
    close(Earlier { outlets: 9, defective: 0 }.expected(), 0.05, 1e-12);
    let shares = neyman(&[(100, Earlier { outlets: 9, defective: 0 }.expected()), (100, 0.5)]);
    assert_eq!(allocate(40, &shares), [12, 28]);
}

#[test]
fn one_stratum_has_the_exact_limits_and_its_variance() {
    let estimate = stratified(&strata(&[(300, 100, 45)]), 0.95);
    assert_eq!((estimate.projected, estimate.method), ((111, 160), Method::Exact));
    // The standard error that the manual of the R package samplingbook prints: 0.0408.
    close(estimate.standard_error().unwrap(), 0.04082, 5.1e-6);
    let estimate = stratified(&strata(&[(300, 100, 2)]), 0.95);
    assert_eq!(estimate.projected, (2, 18));
    close(estimate.standard_error().unwrap(), 0.01149, 5.1e-6);
}

/// By the definition: a proportional sample without a defect is worth the simple one of its size.
#[test]
fn strata_without_a_defect_have_the_exact_upper_limit() {
    let estimate = stratified(&strata(&[(500, 50, 0), (300, 30, 0), (200, 20, 0)]), 0.95);
    let simple = limits(1000, 100, 0, 0.95).unwrap();
    assert_eq!(estimate.projected, (0, simple.upper));
    close(estimate.variance.unwrap(), 0.0, 0.0);
}

/// Nine tenths of the outlets behind two inspected ones: the sixty others say little of them.
#[test]
fn a_stratum_that_was_hardly_seen_keeps_the_interval_wide() {
    let estimate = stratified(&strata(&[(900, 2, 0), (100, 60, 0)]), 0.95);
    assert!(estimate.interval().upper > 0.6, "{:?}", estimate.projected);
}

#[test]
fn a_census_of_every_stratum_has_no_width() {
    let estimate = stratified(&strata(&[(20, 20, 3), (7, 7, 0), (1, 1, 1)]), 0.95);
    assert_eq!(estimate.projected, (4, 4));
    close(estimate.variance.unwrap(), 0.0, 0.0);
    let counted = |population, rooms, inspected| CountedRooms { population, rooms, inspected };
    let census = [counted(20, 2, vec![(12, 3), (8, 0)]), counted(5, 1, vec![(5, 1)])];
    assert_eq!(rooms(&census, 0.95).projected, (4, 4));
}

#[test]
fn a_stratum_without_an_inspected_outlet_leaves_everything_possible_in_it() {
    let estimate = stratified(&strata(&[(50, 50, 5), (30, 0, 0)]), 0.95);
    assert_eq!((estimate.rate, estimate.variance), (None, None));
    assert_eq!(estimate.projected, (5, 35));
    let nothing = stratified(&strata(&[(50, 0, 0)]), 0.95);
    assert_eq!((nothing.rate, nothing.projected), (None, (0, 50)));
}

#[test]
fn one_outlet_of_several_shows_no_spread() {
    let estimate = stratified(&strata(&[(50, 10, 1), (30, 1, 0)]), 0.95);
    assert!(estimate.rate.is_some());
    assert_eq!(estimate.variance, None);
}

proptest::proptest! {
    /// What was seen is never contradicted, and a census of all strata is certain.
    #[test]
    fn limits_keep_to_what_was_seen(
        counts in proptest::collection::vec((1_u64..60, 0.0_f64..1.0, 0.0_f64..1.0), 1..8),
    ) {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "small counts")]
        let part = |of: u64, share: f64| (of as f64 * share).round() as u64;
        let strata: Vec<Counted> = counts
            .iter()
            .map(|(population, seen, bad)| {
                let inspected = part(*population, *seen);
                Counted { population: *population, inspected, defective: part(inspected, *bad) }
            })
            .collect();
        let estimate = stratified(&strata, 0.95);
        let good = estimate.inspected - estimate.defective;
        let (lower, upper) = estimate.projected;
        assert!(estimate.defective <= lower && lower <= upper && upper <= estimate.population - good);
        if let Some(rate) = estimate.rate {
            let interval = estimate.interval();
            assert!(interval.lower <= rate + 1e-9 && rate <= interval.upper + 1e-9);
        }
    }
}

/// Computed by hand from Cochran, 6.11: 10 of 40 rooms, all outlets in them. Ratio 12/60; the residuals are
/// the defects less a fifth of the outlets, their mean square over nine degrees of freedom 17.92 / 9.
#[test]
fn rooms_have_the_ratio_and_its_variance_between_rooms() {
    let seen = vec![(4, 0), (6, 3), (8, 0), (5, 1), (7, 4), (6, 0), (4, 2), (8, 1), (6, 0), (6, 1)];
    let estimate =
        rooms(&[CountedRooms { population: 240, rooms: 40, inspected: seen.clone() }], 0.95);
    close(estimate.rate.unwrap(), 0.2, 1e-12);
    let variance = (1.0 - 10.0 / 40.0) / (10.0 * 36.0) * 17.92 / 9.0;
    close(estimate.variance.unwrap(), variance, 1e-12);
    let simple = limits(240, 60, 12, 0.95).unwrap();
    assert!(estimate.projected.0 < simple.lower && estimate.projected.1 > simple.upper);
}

/// Ten rooms without a defect are ten looks, not sixty: the limit is that of ten of forty.
#[test]
fn rooms_without_a_defect_count_as_one_outlet_each() {
    let seen = vec![(6, 0); 10];
    let estimate = rooms(&[CountedRooms { population: 240, rooms: 40, inspected: seen }], 0.95);
    let upper = estimate.interval().upper;
    let of_rooms = limits(40, 10, 0, 0.95).unwrap().upper;
    close(upper, f64::from(u32::try_from(of_rooms).unwrap()) / 40.0, 0.02);
    assert!(upper > 0.2);
}

/// By the definition: pairs whose intervals of the difference hold 0 share their places.
#[test]
fn buildings_that_do_not_really_differ_are_not_ranked_apart() {
    let building = |name: &str, counts: (u64, u64, u64)| {
        let estimate: Box<dyn Fn(f64) -> _> =
            Box::new(move |confidence| stratified(&strata(&[counts]), confidence));
        (name.to_owned(), estimate)
    };
    let buildings = vec![
        building("clean", (400, 100, 1)),
        building("bad", (300, 100, 45)),
        building("as clean", (500, 100, 4)),
        building("unseen", (50, 0, 0)),
    ];
    let ranking = ranking(buildings, 0.95);
    let told: Vec<_> =
        ranking.buildings.iter().map(|one| (one.name.as_str(), one.places)).collect();
    assert_eq!(told, [("bad", (1, 1)), ("as clean", (2, 3)), ("clean", (2, 3))]);
    assert_eq!((ranking.pairs, ranking.differences.len()), (3, 2));
    close(ranking.confidence, 1.0 - 0.05 / 3.0, 1e-12);
}
