//! A sample, or what it came to, as one JSON object.
//!
//! Owns the names of its fields. Shares are from 0 to 1 and not rounded; what cannot be told is `null`.

use std::io::{self, Write};

use serde::Serialize;

use crate::sampling::acceptance::SinglePlan;
use crate::sampling::characteristic::{PROBABILITIES, count_at, share_at};
use crate::sampling::conclusion::{Conclusion, Decision, Line};
use crate::sampling::design::{Design, Plan, Stratum};
use crate::sampling::estimate::Estimate;
use crate::sampling::ranking::Ranking;
use crate::sampling::size::FORMULA;

/// A whole file.
#[derive(Serialize)]
struct File<'a> {
    plan: PlanObject,
    seed: u64,
    generator: &'a str,
    by: Vec<&'static str>,
    allocation: &'static str,
    rooms: bool,
    confidence: f64,
    strata: Vec<StratumObject<'a>>,
    #[serde(flatten)]
    came_of_it: Option<CameOfIt<'a>>,
}

/// What the sample came to.
#[derive(Serialize)]
struct CameOfIt<'a> {
    /// Whether nobody filled in the survey, so that all of it rests on what the schedule says.
    as_scheduled: bool,
    results: Vec<ResultObject<'a>>,
    decision: Option<&'static str>,
    /// After a search that found nothing: the most defective outlets that are left possible, on one side.
    #[serde(skip_serializing_if = "Option::is_none")]
    at_most: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    ranking: Option<RankingObject<'a>>,
}

#[derive(Serialize)]
struct PlanObject {
    kind: &'static str,
    population: u64,
    n: u64,
    accept: Option<u64>,
    reject: Option<u64>,
    letter: Option<char>,
    drawn: u64,
    #[serde(flatten)]
    own: Own,
}

/// What only one kind of plan has.
#[derive(Serialize)]
#[serde(untagged)]
enum Own {
    Estimate {
        formula: &'static str,
        margin: f64,
        expected: f64,
    },
    Detect {
        rate: f64,
        at_least_defective: u64,
    },
    Accept {
        aql: f64,
        level: &'static str,
        severity: &'static str,
        letter_used: char,
        characteristic: Vec<Point>,
    },
}

/// A point of an operating characteristic.
#[derive(Serialize)]
struct Point {
    probability: f64,
    /// The share of defective outlets of a process whose lots are accepted with this probability.
    process_rate: f64,
    /// The most defective outlets with which this lot is accepted at least with this probability.
    lot_defective: u64,
}

#[derive(Serialize)]
struct StratumObject<'a> {
    name: &'a str,
    population: u64,
    n: u64,
    weight: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    expected: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rooms: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rooms_drawn: Option<u64>,
}

#[derive(Serialize)]
struct ResultObject<'a> {
    name: String,
    measure: &'a str,
    stratum: Option<&'a str>,
    drawn: u64,
    undetermined: u64,
    uninspected: u64,
    #[serde(flatten)]
    found: Figures,
    variance: Option<f64>,
    standard_error: Option<f64>,
    method: &'static str,
    all_good: Figures,
    all_defective: Figures,
}

#[derive(Serialize)]
struct Figures {
    inspected: u64,
    defective: u64,
    rate: Option<f64>,
    lower: f64,
    upper: f64,
    projected: Option<f64>,
    projected_lower: u64,
    projected_upper: u64,
}

#[derive(Serialize)]
struct RankingObject<'a> {
    pair_confidence: f64,
    pairs: usize,
    buildings: Vec<BuildingObject<'a>>,
    differences: Vec<DifferenceObject<'a>>,
}

#[derive(Serialize)]
struct BuildingObject<'a> {
    name: &'a str,
    first_place: usize,
    last_place: usize,
    #[serde(flatten)]
    figures: Figures,
}

#[derive(Serialize)]
struct DifferenceObject<'a> {
    worse: &'a str,
    better: &'a str,
    lower: f64,
    upper: f64,
}

/// Writes a sample as it was drawn, and what it came to once there is something.
pub fn write(
    design: &Design,
    conclusion: Option<&Conclusion>,
    mut out: impl Write,
) -> io::Result<()> {
    let file = File {
        plan: plan(design),
        seed: design.seed,
        generator: &design.generator,
        by: design.by.iter().map(|by| by.word()).collect(),
        allocation: design.allocation.word(),
        rooms: design.rooms,
        confidence: design.confidence(),
        strata: design.strata.iter().map(stratum).collect(),
        came_of_it: conclusion.map(|one| CameOfIt {
            as_scheduled: one.as_scheduled,
            results: one.lines.iter().map(result).collect(),
            decision: one.decision.map(Decision::word),
            at_most: one.at_most,
            ranking: one.ranking.as_ref().map(ranking),
        }),
    };
    serde_json::to_writer_pretty(&mut out, &file)?;
    writeln!(out)
}

/// The name of a result: its measure, and its stratum.
pub fn name(line: &Line) -> String {
    match &line.stratum {
        Some(stratum) => format!("{}: {stratum}", line.measure),
        None => line.measure.clone(),
    }
}

fn plan(design: &Design) -> PlanObject {
    let (mut accept, mut reject, mut letter) = (None, None, None);
    let own = match design.plan {
        Plan::Estimate { margin, expected, .. } => {
            Own::Estimate { formula: FORMULA, margin, expected }
        }
        Plan::Detect { rate, defective, .. } => Own::Detect { rate, at_least_defective: defective },
        Plan::Accept {
            aql, level, severity, letter: of_lot, used, accept: ac, reject: re, ..
        } => {
            (accept, reject, letter) = (Some(ac), Some(re), Some(of_lot));
            let point = |plan: &SinglePlan, probability| Point {
                probability,
                process_rate: share_at(plan, probability),
                lot_defective: count_at(plan, design.population, probability),
            };
            Own::Accept {
                aql,
                level: level.word(),
                severity: severity.word(),
                letter_used: used,
                characteristic: design.inspected_plan().map_or_else(Vec::new, |plan| {
                    PROBABILITIES.map(|probability| point(&plan, probability)).into()
                }),
            }
        }
    };
    PlanObject {
        kind: design.plan.kind(),
        population: design.population,
        n: design.plan.size(),
        accept,
        reject,
        letter,
        drawn: design.drawn.len() as u64,
        own,
    }
}

fn stratum(stratum: &Stratum) -> StratumObject<'_> {
    StratumObject {
        name: &stratum.name,
        population: stratum.population,
        n: stratum.n,
        weight: stratum.weight,
        expected: stratum.expected,
        rooms: stratum.rooms.map(|rooms| rooms.population),
        rooms_drawn: stratum.rooms.map(|rooms| rooms.n),
    }
}

fn result(line: &Line) -> ResultObject<'_> {
    ResultObject {
        name: name(line),
        measure: &line.measure,
        stratum: line.stratum.as_deref(),
        drawn: line.drawn,
        undetermined: line.undetermined,
        uninspected: line.uninspected,
        found: figures(&line.found),
        variance: line.found.variance,
        standard_error: line.found.standard_error(),
        method: line.found.method.name(),
        all_good: figures(&line.all_good),
        all_defective: figures(&line.all_defective),
    }
}

fn figures(estimate: &Estimate) -> Figures {
    let interval = estimate.interval();
    Figures {
        inspected: estimate.inspected,
        defective: estimate.defective,
        rate: estimate.rate,
        lower: interval.lower,
        upper: interval.upper,
        projected: estimate.projected_number(),
        projected_lower: estimate.projected.0,
        projected_upper: estimate.projected.1,
    }
}

fn ranking(ranking: &Ranking) -> RankingObject<'_> {
    let buildings = ranking.buildings.iter().map(|one| BuildingObject {
        name: &one.name,
        first_place: one.places.0,
        last_place: one.places.1,
        figures: figures(&one.estimate),
    });
    let differences = ranking.differences.iter().map(|one| DifferenceObject {
        worse: &one.worse,
        better: &one.better,
        lower: one.by.lower,
        upper: one.by.upper,
    });
    RankingObject {
        pair_confidence: ranking.confidence,
        pairs: ranking.pairs,
        buildings: buildings.collect(),
        differences: differences.collect(),
    }
}
