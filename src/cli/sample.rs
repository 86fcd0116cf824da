//! `yokecheck sample`: which outlets to inspect, as a survey that carries its own design.

use std::collections::{BTreeMap, HashSet};
use std::hash::{BuildHasher as _, Hasher as _, RandomState};
use std::path::PathBuf;

use crate::audit::Audit;
use crate::audit::subjects::text_of;
use crate::ingest;
use crate::mapping::{Account, Loaded};
use crate::outlet::{Field, FieldSet};
use crate::report::sampling_words::{drawn, purpose, remarks};
use crate::report::workbook::Limits;
use crate::report::workbook::sample::{Sampled, write};
use crate::report::{Report, Target, sampling_json};
use crate::sampling::acceptance::{self, SinglePlan};
use crate::sampling::allocate::{Earlier, allocate, neyman};
use crate::sampling::design::{Allocation, By, Design, Plan};
use crate::sampling::frame::{Order, Sample};
use crate::sampling::{Frame, observe, size};
use crate::statistics::Statistics;
use crate::statistics::proportion::normal_quantile;
use crate::survey::round::Stop;
use crate::survey::{Round, Wish};

use super::arguments::sampling::SampleOptions;
use super::failure::Failure;
use super::job::{Job, Wants};
use super::lines::wrapped;
use super::{Outcome, collecting, complain, forms, summary};

/// Draws the sample, writes its survey and says what it holds.
pub(super) fn run(options: &SampleOptions) -> Outcome {
    written(options).unwrap_or_else(|failure| {
        failure.tell();
        Outcome::Failed
    })
}

/// Where the outputs go.
struct Targets {
    survey: Target,
    json: Option<Target>,
}

fn written(options: &SampleOptions) -> Result<Outcome, Failure> {
    if options.rooms && options.by.contains(&By::Trade) {
        return Err(Failure::RoomsByTrade);
    }
    let wish = collecting::wish(&options.collecting)?;
    let job = Job::new(&options.judging)?;
    let found = ingest::find(&options.inputs);
    let targets = targets(options, &found)?;
    let loaded = job.read(&found)?;
    if loaded.outlets.is_empty() {
        job.progress.done();
        summary::nothing_read(&loaded.account);
        return Ok(Outcome::Failed);
    }
    let (population, account) = job.audit(loaded, Wants::default());
    let frame = Frame::of(&population, &options.by);
    let expected = options.earlier.as_ref().map(|path| expected(options, path, &job, &frame));
    let sample = frame.draw(&order(options, &frame, expected.transpose()?)?);
    let Sample { design, outlets, texts } = sample;
    let loaded =
        Loaded { outlets, texts, account, resolutions: crate::mapping::Resolutions::default() };
    let (audit, account) = job.audit(loaded, Wants::default());
    let context = job.context(Vec::new());
    let report = Report {
        audit: &audit,
        account: &account,
        statistics: &Statistics::default(),
        context: &context,
        rulings: &crate::rulings::Ruled::default(),
    };
    let done = write_all(options, &report, &design, &wish, &targets);
    job.progress.done();
    done?;
    account.problems.iter().for_each(|problem| complain(problem));
    if !options.judging.quiet {
        tell(&design, &account, &targets);
    }
    let sound = account.problems.is_empty() && population.crashes.is_empty();
    Ok(if sound { Outcome::Clean } else { Outcome::Failed })
}

fn targets(options: &SampleOptions, found: &ingest::Found) -> Result<Targets, Failure> {
    let mut inputs = Job::side_files(&options.judging);
    inputs.extend(found.inputs.iter().map(|input| input.path.clone()));
    inputs.extend(options.earlier.clone());
    let target = |path: &PathBuf| forms::target(path, &inputs);
    let survey = target(&options.out)?;
    let json = options.json.as_ref().map(target).transpose()?;
    let all: Vec<Target> = std::iter::once(&survey).chain(&json).cloned().collect();
    Target::check_distinct(&all)?;
    Ok(Targets { survey, json })
}

/// The rate that an earlier audit lets expect in each stratum; a stratum that it does not know is expected
/// to be as all of it.
fn expected(
    options: &SampleOptions,
    path: &PathBuf,
    job: &Job<'_>,
    frame: &Frame<'_>,
) -> Result<Vec<f64>, Failure> {
    let loaded = job.read(&ingest::find(std::slice::from_ref(path)))?;
    if loaded.outlets.is_empty() {
        return Err(Failure::NoEarlier(path.display().to_string()));
    }
    let (audit, _) = job.audit(loaded, Wants::default());
    let strata: BTreeMap<String, Earlier> = observe::earlier(&audit, &options.by);
    let of_all = strata.get("").copied();
    let rate = |name: &str| strata.get(name).copied().or(of_all).map_or(0.5, Earlier::expected);
    Ok(frame.names().map(rate).collect())
}

/// What is drawn.
fn order(
    options: &SampleOptions,
    frame: &Frame<'_>,
    expected: Option<Vec<f64>>,
) -> Result<Order, Failure> {
    let plan = plan(options, frame.population())?;
    let sizes = match &expected {
        None => proportional(frame, &plan),
        Some(rates) => {
            let strata: Vec<(u64, f64)> =
                frame.populations().into_iter().zip(rates.iter().copied()).collect();
            allocate(plan.size(), &neyman(&strata))
        }
    };
    Ok(Order {
        plan,
        seed: options.seed.unwrap_or_else(by_chance),
        allocation: if expected.is_some() { Allocation::Neyman } else { Allocation::Proportional },
        sizes,
        expected,
        rooms: options.rooms,
    })
}

/// Proportional sizes; those of a search grow until it finds one in whatever strata they lie.
fn proportional(frame: &Frame<'_>, plan: &Plan) -> Vec<u64> {
    let populations = frame.populations();
    let mut sizes = frame.proportional(plan.size());
    if let Plan::Detect { confidence, defective, n, .. } = *plan
        && populations.len() > 1
    {
        for sample in n..=frame.population() {
            sizes = frame.proportional(sample);
            let strata: Vec<(u64, u64)> =
                populations.iter().copied().zip(sizes.iter().copied()).collect();
            if size::least_chance(&strata, defective) >= confidence - 1e-9 {
                break;
            }
        }
    }
    sizes
}

fn plan(options: &SampleOptions, population: u64) -> Result<Plan, Failure> {
    let confidence = options.confidence;
    if let (true, Some(rate)) = (options.detect, options.rate) {
        let defective = size::defective(population, rate);
        let n = size::detect(population, defective, confidence);
        return Ok(Plan::Detect { confidence, rate, defective, n });
    }
    if let (true, Some(aql)) = (options.accept, options.aql) {
        let (level, severity) = (options.level, options.severity);
        let plan = acceptance::plan(population, aql, level, severity)?;
        let SinglePlan { letter, used, n, accept, reject, .. } = plan;
        return Ok(Plan::Accept { aql, level, severity, letter, used, n, accept, reject });
    }
    let (margin, expected) = (options.margin, options.expected);
    let z = normal_quantile(f64::midpoint(1.0, confidence));
    let n = size::estimate(population, z, expected, margin).n;
    Ok(Plan::Estimate { confidence, margin, expected, n })
}

/// A seed that nobody chose, short enough to be typed.
fn by_chance() -> u64 {
    RandomState::new().build_hasher().finish() % 1_000_000_000
}

fn write_all(
    options: &SampleOptions,
    report: &Report<'_>,
    design: &Design,
    wish: &Wish,
    targets: &Targets,
) -> Result<(), Failure> {
    let (round, beside) = rounds(report.audit, design, wish);
    let sampled = Sampled { design, round: &round, beside: &beside };
    let sheets = collecting::sheets(&options.collecting);
    targets.survey.write(|out| write(report, &sampled, sheets, Limits::default(), out))?;
    if let Some(target) = &targets.json {
        target.write(|out| sampling_json::write(design, None, out))?;
    }
    Ok(())
}

/// Every drawn outlet is a stop, whether something of it is missing or not; the others come along.
fn rounds(audit: &Audit, design: &Design, wish: &Wish) -> (Round, Round) {
    let round = Round::of(audit, wish);
    let asked: BTreeMap<u32, FieldSet> =
        round.stops.iter().map(|stop| (stop.outlet, stop.asked)).collect();
    let names: HashSet<(&str, &str)> =
        design.drawn.iter().map(|one| (one.building.as_str(), one.outlet.as_str())).collect();
    let (mut drawn, mut beside) = (Vec::new(), Vec::new());
    for (outlet, place) in audit.outlets.iter().zip(0..) {
        let get = |field| text_of(outlet, field, &audit.texts);
        let asked = asked.get(&place).copied().unwrap_or_default();
        if names.contains(&(get(Field::Building), get(Field::OutletId))) {
            drawn.push(Stop { outlet: place, asked });
        } else {
            beside.push(Stop { outlet: place, asked: FieldSet::default() });
        }
    }
    let of = |stops| Round { fields: round.fields.clone(), stops, ..Round::default() };
    (of(drawn), of(beside))
}

fn tell(design: &Design, account: &Account, targets: &Targets) {
    anstream::println!("{}", wrapped("Plan:   ", &purpose(design)));
    anstream::println!("{}", wrapped("Sample: ", &drawn(design)));
    for remark in remarks(design).iter().chain(&account.remarks) {
        anstream::println!("{}", wrapped("  note: ", remark));
    }
    if design.strata.len() > 1 {
        let width = design.strata.iter().map(|one| one.name.chars().count()).max().unwrap_or(0);
        for stratum in &design.strata {
            let (name, n, of) = (&stratum.name, stratum.n, stratum.population);
            anstream::println!("  {name:width$}  {n:>6} of {of:>7}");
        }
    }
    let paths = std::iter::once(&targets.survey).chain(&targets.json);
    let paths: Vec<String> = paths.map(|target| target.path().display().to_string()).collect();
    anstream::println!("\n{}", wrapped("Written: ", &paths.join(", ")));
}
