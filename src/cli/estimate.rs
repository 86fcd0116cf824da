//! `yokecheck estimate`: what a sample that was inspected says of the whole.

use std::collections::HashSet;
use std::path::{Path, PathBuf};

use crate::audit::subjects::text_of;
use crate::audit::{Audit, Selection};
use crate::ingest::{self, Cell, Input, Row};
use crate::mapping::account::column_letters;
use crate::mapping::{Account, Loaded};
use crate::outlet::{Fact, Field, Origin, Outlet};
use crate::report::sampling_words::{
    AS_SCHEDULED, INTERVALS, decision, drawn, open, percent, purpose,
};
use crate::report::wording::{counted, grouped};
use crate::report::workbook::{estimate, sample};
use crate::report::{Context, Target, cautions, sampling_json};
use crate::rules::{Grade, Rule};
use crate::sampling::conclusion::{Conclusion, Decision, Line};
use crate::sampling::design::Design;
use crate::sampling::estimate::Estimate;
use crate::sampling::observe::{Measure, Observations};
use crate::sampling::ranking::{METHOD, Ranking};

use super::arguments::sampling::EstimateOptions;
use super::failure::Failure;
use super::job::{Job, Wants};
use super::lines::wrapped;
use super::{Outcome, complain, summary};

/// Estimates, writes what was asked for and says what came of it.
pub(super) fn run(options: &EstimateOptions) -> Outcome {
    estimated(options).unwrap_or_else(|failure| {
        failure.tell();
        Outcome::Failed
    })
}

/// Where the outputs go.
struct Targets {
    workbook: Option<Target>,
    json: Option<Target>,
}

fn estimated(options: &EstimateOptions) -> Result<Outcome, Failure> {
    let job = Job::new(&options.judging)?;
    let targets = targets(options)?;
    let design = design(&options.survey)?;
    let loaded = job.read(&ingest::find(std::slice::from_ref(&options.survey)))?;
    if loaded.outlets.is_empty() {
        job.progress.done();
        summary::nothing_read(&loaded.account);
        return Ok(Outcome::Failed);
    }
    let inspected = inspected(&loaded.outlets, &loaded.account);
    let undrawn = undrawn(&loaded, &design, &inspected);
    let (audit, account) = job.audit(loaded, Wants { verdicts: true, ..Wants::default() });
    let untouched = inspected.is_empty();
    let seen = |origin| untouched || inspected.contains(&origin);
    let observations = Observations::of(&audit, &design, &seen);
    let measures = measures(&audit.selection, &options.judging.rules);
    let conclusion =
        Conclusion { as_scheduled: untouched, ..Conclusion::of(&observations, &measures) };
    let context = job.context(Vec::new());
    let done = write(&context, &design, &conclusion, &targets);
    job.progress.done();
    done?;
    account.problems.iter().for_each(|problem| complain(problem));
    if !options.judging.quiet {
        tell(&design, &conclusion, &targets);
        tell_faults(&account);
        if undrawn > 0 {
            let lines = counted(undrawn, "filled-in line is", "filled-in lines are");
            let note = format!("{lines} of outlets that were not drawn, and not counted");
            anstream::println!("{}\n", wrapped("  note: ", &note));
        }
    }
    summary::print_share_decided(&audit);
    Ok(outcome(&audit, &account, &conclusion))
}

fn targets(options: &EstimateOptions) -> Result<Targets, Failure> {
    let mut inputs = Job::side_files(&options.judging);
    inputs.push(options.survey.clone());
    let target = |path: &PathBuf| Target::new(path, &inputs);
    let workbook = options.out.as_ref().map(target).transpose()?;
    let json = options.json.as_ref().map(target).transpose()?;
    let all: Vec<Target> = workbook.iter().chain(&json).cloned().collect();
    Target::check_distinct(&all)?;
    Ok(Targets { workbook, json })
}

/// The design that travels in a survey.
fn design(path: &Path) -> Result<Design, Failure> {
    let display = path.display().to_string();
    let input = Input { path: path.to_owned(), display: display.clone(), bytes: 0 };
    let mut lines = Vec::new();
    ingest::read(&input, &mut |sheet, rows| {
        if sheet.name.as_deref() == Some(sample::DESIGN) {
            let mut row = Row::default();
            while rows.next(&mut row)? {
                let text = |column| match row.cell(column) {
                    Cell::Text(text) => text.to_owned(),
                    _ => String::new(),
                };
                lines.push((text(0), text(1)));
            }
        }
        Ok(())
    })?;
    match sample::read_design(&lines) {
        Ok(Some(design)) => match design.check() {
            Ok(()) => Ok(design),
            Err(why) => Err(Failure::BrokenDesign { path: display, why }),
        },
        Ok(None) => Err(Failure::NoDesign(display)),
        Err((line, source)) => Err(Failure::Design { path: display, line, source }),
    }
}

/// The rows that say more than the schedule did: a fact, a day, a person, or something that cannot be read.
fn inspected(outlets: &[Outlet], account: &Account) -> HashSet<Origin> {
    let says_more = |outlet: &&Outlet| {
        let observations = account.sheet(outlet.origin).and_then(|one| one.observations.as_ref());
        let repeated = observations.and_then(|rows| rows.get(&outlet.origin.row).copied());
        let repeated = repeated.unwrap_or_default();
        let says = |field: Field| !matches!(outlet.raw(field), Fact::Blank | Fact::Absent);
        Field::ALL.iter().any(|field| says(*field) && !repeated.contains(*field))
    };
    outlets.iter().filter(says_more).map(|outlet| outlet.origin).collect()
}

/// Rows that were filled in and are of no drawn outlet: beside the sample, or under a name that was changed.
fn undrawn(loaded: &Loaded, design: &Design, inspected: &HashSet<Origin>) -> u64 {
    let names: HashSet<(&str, &str)> =
        design.drawn.iter().map(|one| (one.building.as_str(), one.outlet.as_str())).collect();
    let get = |outlet, field| text_of(outlet, field, &loaded.texts);
    let name = |outlet| (get(outlet, Field::Building), get(outlet, Field::OutletId));
    let rows = loaded.outlets.iter().filter(|outlet| inspected.contains(&outlet.origin));
    rows.filter(|outlet| !names.contains(&name(outlet))).count() as u64
}

/// All rules of the audit, those of each grade, and each rule that was named.
fn measures(selection: &Selection, named: &[String]) -> Vec<Measure> {
    let of = |name: &str, wanted: &dyn Fn(&Rule) -> bool| Measure {
        name: name.to_owned(),
        rules: selection.rules().iter().filter(|rule| wanted(rule)).map(|rule| rule.name).collect(),
    };
    let mut measures = vec![of("all", &|_| true)];
    measures.extend(Grade::ALL.map(|grade| of(grade.word(), &|rule: &Rule| rule.grade == grade)));
    if !named.is_empty() {
        let each = selection.rules().iter();
        measures.extend(each.map(|rule| of(rule.name, &|one: &Rule| one.name == rule.name)));
    }
    measures.retain(|measure| !measure.rules.is_empty());
    measures
}

fn write(
    context: &Context,
    design: &Design,
    conclusion: &Conclusion,
    targets: &Targets,
) -> Result<(), Failure> {
    if let Some(target) = &targets.workbook {
        target.write(|out| estimate::write(context, design, conclusion, out))?;
    }
    if let Some(target) = &targets.json {
        target.write(|out| sampling_json::write(design, Some(conclusion), out))?;
    }
    Ok(())
}

fn tell(design: &Design, conclusion: &Conclusion, targets: &Targets) {
    anstream::println!("{}", wrapped("Plan:   ", &purpose(design)));
    anstream::println!("{}\n", wrapped("Sample: ", &drawn(design)));
    if conclusion.as_scheduled {
        anstream::println!("{}\n", wrapped("", AS_SCHEDULED));
    }
    anstream::println!(
        "Defective outlets: found among those inspected; rate; number in the population"
    );
    print_lines(&conclusion.lines);
    if let Some(line) = conclusion.whole() {
        let method = format!("{INTERVALS} Method: {}.", line.found.method.name());
        anstream::println!("{}", wrapped("  note: ", &method));
        for note in open(line) {
            anstream::println!("{}", wrapped("  note: ", &note));
        }
    }
    if let Some(ranking) = &conclusion.ranking {
        print_ranking(ranking);
    }
    if let Some(decision) = decision(design, conclusion) {
        anstream::println!("\n{decision}");
    }
    let paths = targets.workbook.iter().chain(&targets.json);
    let paths: Vec<String> = paths.map(|target| target.path().display().to_string()).collect();
    if !paths.is_empty() {
        anstream::println!("\n{}", wrapped("Written: ", &paths.join(", ")));
    }
    anstream::println!("\n{}\n", wrapped("", cautions::FIRST));
}

/// Faults told at most.
const MOST_FAULTS: usize = 12;

/// Cells of the survey that could not be read, and count as missing.
fn tell_faults(account: &Account) {
    let faults: Vec<String> = account
        .sheets()
        .flat_map(|sheet| sheet.faults.iter().map(move |fault| (sheet, fault)))
        .map(|(sheet, fault)| {
            let cell = match fault.column {
                Some(column) => format!("{}{}", column_letters(column), fault.row),
                None => format!("row {}", fault.row),
            };
            let name = sheet.name.as_deref().unwrap_or_default();
            format!("{name}!{cell}, `{}`: {}", fault.text, fault.why)
        })
        .collect();
    for fault in faults.iter().take(MOST_FAULTS) {
        anstream::println!("{}", wrapped("  not read: ", fault));
    }
    if let Some(more @ 1..) = faults.len().checked_sub(MOST_FAULTS) {
        anstream::println!("  not read: {more} more cells, which count as missing");
    }
    if !faults.is_empty() {
        anstream::println!();
    }
}

/// The first measure in all and by stratum, the others in all.
fn print_lines(lines: &[Line]) {
    let first = lines.first().map(|line| &line.measure);
    let shown = lines.iter().filter(|line| line.stratum.is_none() || Some(&line.measure) == first);
    let named = |line: &'_ Line| match &line.stratum {
        Some(stratum) => format!("  {stratum}"),
        None => line.measure.clone(),
    };
    let rows: Vec<(String, &Line)> = shown.map(|line| (named(line), line)).collect();
    let width = rows.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0);
    for (name, line) in rows {
        let found = &line.found;
        let count = format!("{} of {}", grouped(found.defective), grouped(found.inspected));
        anstream::println!("  {name:width$}  {count:>10}  {}", range(found));
    }
    anstream::println!();
}

fn range(found: &Estimate) -> String {
    let interval = found.interval();
    let rate = found.rate.map_or_else(|| "no rate".to_owned(), percent);
    format!(
        "{rate} ({} to {}); {} to {} of {}",
        percent(interval.lower),
        percent(interval.upper),
        grouped(found.projected.0),
        grouped(found.projected.1),
        grouped(found.population)
    )
}

fn print_ranking(ranking: &Ranking) {
    anstream::println!(
        "\nBuildings, the worst first; those that share places do not really differ"
    );
    let names = ranking.buildings.iter().map(|one| one.name.chars().count());
    let width = names.max().unwrap_or(0);
    for one in &ranking.buildings {
        let (first, last) = one.places;
        let places = if first == last { first.to_string() } else { format!("{first}-{last}") };
        anstream::println!("  {places:>5}  {:width$}  {}", one.name, range(&one.estimate));
    }
    let method = format!(
        "{METHOD}: {} a pair. Outlets that are not decided count as good here.",
        percent(ranking.confidence)
    );
    anstream::println!("{}", wrapped("  note: ", &method));
}

fn outcome(audit: &Audit, account: &Account, conclusion: &Conclusion) -> Outcome {
    if !account.problems.is_empty() || !audit.crashes.is_empty() {
        return Outcome::Failed;
    }
    match conclusion.decision {
        None | Some(Decision::Accept | Decision::AcceptAndReturnToNormal | Decision::NoneFound) => {
            Outcome::Clean
        }
        Some(Decision::Reject | Decision::DefectiveFound | Decision::Undecided) => Outcome::Found,
    }
}
