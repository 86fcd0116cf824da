//! Answers to the questions of `tests/outside/sampling.py`, which asks for a random grid and compares it to
//! general-purpose libraries.
//!
//! A question is one JSON array a line: its kind, then its numbers. The answer is an array of numbers.

use std::io::{BufRead as _, BufWriter, Write as _};

use serde_json::Value;
use yokecheck::sampling::estimate::{Counted, CountedRooms, rooms, stratified};
use yokecheck::sampling::size;
use yokecheck::statistics::hypergeometric::{Draw, limits, upper_limit};
use yokecheck::statistics::interval::{Interval, wilson_at};
use yokecheck::statistics::proportion::{
    agresti_coull, binomial_at_most, binomial_share, clopper_pearson, clopper_pearson_upper,
    jeffreys, newcombe, normal_quantile, student_quantile,
};

#[test]
#[ignore = "answers the questions of tests/outside/sampling.py, which runs it"]
#[expect(clippy::disallowed_methods, reason = "the questions come in a file")]
fn answers() {
    let asked = std::env::var("YOKECHECK_QUESTIONS").expect("the path of the questions");
    let answers = std::env::var("YOKECHECK_ANSWERS").expect("the path of the answers");
    let asked = std::io::BufReader::new(std::fs::File::open(asked).unwrap());
    let mut out = BufWriter::new(std::fs::File::create(answers).unwrap());
    for line in asked.lines() {
        let question: Vec<Value> = serde_json::from_str(&line.unwrap()).unwrap();
        writeln!(out, "{}", serde_json::to_string(&answer(&question)).unwrap()).unwrap();
    }
    out.flush().unwrap();
}

fn answer(question: &[Value]) -> Vec<f64> {
    let count = |place: usize| question[place].as_u64().unwrap();
    let share = |place: usize| question[place].as_f64().unwrap();
    let ends = |interval: Interval| vec![interval.lower, interval.upper];
    let whole = |count: u64| f64::from(u32::try_from(count).unwrap());
    match question[0].as_str().unwrap() {
        "wilson" => ends(wilson_at(count(1), count(2), share(3)).unwrap()),
        "exact" => ends(clopper_pearson(count(1), count(2), share(3)).unwrap()),
        "exact upper" => vec![clopper_pearson_upper(count(1), count(2), share(3)).unwrap()],
        "agresti-coull" => ends(agresti_coull(count(1), count(2), share(3)).unwrap().0),
        "jeffreys" => ends(jeffreys(count(1), count(2), share(3)).unwrap()),
        "newcombe" => ends(newcombe((count(1), count(2)), (count(3), count(4)), share(5)).unwrap()),
        "tails" => {
            let draw = Draw { population: count(1), defective: count(2), sample: count(3) };
            let tails = draw.tails(count(4));
            vec![tails.at_most, tails.at_least]
        }
        "limits" => {
            let limits = limits(count(1), count(2), count(3), share(4)).unwrap();
            vec![whole(limits.lower), whole(limits.upper)]
        }
        "upper limit" => {
            vec![whole(upper_limit(count(1), count(2), count(3), share(4)).unwrap())]
        }
        "detect" => vec![whole(size::detect(count(1), count(2), share(3)))],
        "defective" => vec![whole(size::defective(count(1), share(2)))],
        "estimate size" => {
            let size = size::estimate(count(1), share(2), share(3), share(4));
            vec![size.corrected, whole(size.n)]
        }
        "binomial" => vec![binomial_at_most(count(1), count(2), share(3))],
        "binomial share" => vec![binomial_share(count(1), count(2), share(3))],
        "normal" => vec![normal_quantile(share(1))],
        "student" => vec![student_quantile(share(1), count(2))],
        "stratified" => {
            let estimate = stratified(&strata(&question[1]), share(2));
            let (lower, upper) = estimate.projected;
            vec![estimate.rate.unwrap(), estimate.variance.unwrap(), whole(lower), whole(upper)]
        }
        "rooms" => {
            let room = |value: &Value| (value[0].as_u64().unwrap(), value[1].as_u64().unwrap());
            let inspected = question[3].as_array().unwrap().iter().map(room).collect();
            let counted = CountedRooms { population: count(1), rooms: count(2), inspected };
            let estimate = rooms(&[counted], share(4));
            let (lower, upper) = estimate.projected;
            vec![estimate.rate.unwrap(), estimate.variance.unwrap(), whole(lower), whole(upper)]
        }
        kind => panic!("there is no question `{kind}`"),
    }
}

/// Strata as arrays of their outlets, inspected and defective ones.
fn strata(value: &Value) -> Vec<Counted> {
    let stratum = |value: &Value| {
        let count = |place: usize| value[place].as_u64().unwrap();
        Counted { population: count(0), inspected: count(1), defective: count(2) }
    };
    value.as_array().unwrap().iter().map(stratum).collect()
}
