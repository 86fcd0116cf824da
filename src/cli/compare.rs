//! `yokecheck compare`: two audits of the same outlets, held against each other.

use std::path::{Path, PathBuf};

use crate::audit::Audit;
use crate::compare::{Comparison, Held, Holding, Rename, Status, hold, shifts};
use crate::ingest;
use crate::mapping::{Account, renames};
use crate::report::comparison::{ComparisonReport, changes_csv};
use crate::report::wording::{counted, grouped, rulings_told};
use crate::report::workbook::{Limits, comparison};
use crate::report::{Context, Report, Target, cautions};
use crate::rulings::Ruled;
use crate::statistics::{Paired, Statistics};

use super::arguments::CompareOptions;
use super::claims::{self, Claims};
use super::failure::Failure;
use super::job::{Job, Wants};
use super::lines::wrapped;
use super::{Outcome, complain, forms, rulings, summary};

/// Compares and says what came of it.
pub(super) fn run(options: &CompareOptions) -> Outcome {
    compared(options).unwrap_or_else(|failure| {
        failure.tell();
        Outcome::Failed
    })
}

fn compared(options: &CompareOptions) -> Result<Outcome, Failure> {
    let job = Job::new(&options.judging)?;
    let renamed = renamed(options.renamed.as_deref())?;
    let claims = options.corrected.as_deref().map(claims::open).transpose()?;
    let rulings = options.rulings.as_deref().map(rulings::open).transpose()?;
    let before = ingest::find(std::slice::from_ref(&options.before));
    let after = ingest::find(&options.after);
    let mut inputs = Job::side_files(&options.judging);
    inputs.extend(options.renamed.iter().chain(&options.rulings).cloned());
    inputs.extend(claims.iter().flat_map(|claims| claims.files.clone()));
    inputs.extend(before.inputs.iter().chain(&after.inputs).map(|input| input.path.clone()));
    let target = |path: &PathBuf| forms::target(path, &inputs);
    let workbook = options.out.as_ref().map(target).transpose()?;
    let changes = options.changes.as_ref().map(target).transpose()?;
    let targets: Vec<Target> = workbook.iter().chain(&changes).cloned().collect();
    Target::check_distinct(&targets)?;

    let Some(mut before) = audited(&job, &before)? else { return Ok(Outcome::Failed) };
    let Some(mut after) = audited(&job, &after)? else { return Ok(Outcome::Failed) };
    let ruled = rulings.map(|file| {
        // Which rulings are about nothing is told of the later side only.
        rulings::apply(file.clone(), &mut before.0, &mut Account::default(), job.date());
        let (audit, account) = &mut after;
        rulings::apply(file, audit, account, job.date())
    });
    let ruled = ruled.unwrap_or_default();
    job.progress.writing();
    let comparison = Comparison::of(&before.0, &after.0, &renamed);
    let Claims { all: claims, lists, notes, problems, .. } = claims.unwrap_or_default();
    after.1.problems.extend(problems);
    after.1.remarks.extend(notes);
    let row_of = |outlet| {
        let origin = before.0.outlet(outlet).origin;
        before.1.earlier(origin).map_or(origin.row, |(_, _, row)| row)
    };
    let holding = hold(&comparison, &before.0, &row_of, claims);
    let shifts =
        shifts(&before.0, &after.0, &comparison.pairs, &holding.worked_on(&comparison, &before.0));
    let context = job.context(spoken(options));
    // The comparison counts for itself.
    let statistics = Statistics::default();
    let report = ComparisonReport {
        before: of_side(&before, &statistics, &context, &ruled),
        after: of_side(&after, &statistics, &context, &ruled),
        comparison: &comparison,
        holding: options.corrected.is_some().then_some(&holding),
        shifts: &shifts,
    };
    let mut written = Vec::new();
    if let Some(target) = &workbook {
        target.write(|out| comparison::write(&report, Limits::default(), out))?;
        written.push(target.path().to_owned());
    }
    if let Some(target) = &changes {
        target.write(|out| changes_csv::write(&report, out))?;
        written.push(target.path().to_owned());
    }
    job.progress.done();
    if options.judging.quiet {
        anstream::println!("{}", brief(&comparison));
    } else {
        tell(&report, lists, &written);
    }
    Ok(conclude(&report))
}

fn of_side<'a>(
    (audit, account): &'a (Audit, Account),
    statistics: &'a Statistics,
    context: &'a Context,
    rulings: &'a Ruled,
) -> Report<'a> {
    Report { audit, account, statistics, context, rulings }
}

/// Audits one side, every verdict kept; none where nothing could be read, which is told.
fn audited(job: &Job<'_>, found: &ingest::Found) -> Result<Option<(Audit, Account)>, Failure> {
    let loaded = job.read(found)?;
    if loaded.outlets.is_empty() {
        job.progress.done();
        summary::nothing_read(&loaded.account);
        return Ok(None);
    }
    Ok(Some(job.audit(loaded, Wants { verdicts: true, ..Wants::default() })))
}

fn renamed(path: Option<&Path>) -> Result<Vec<Rename>, Failure> {
    let lines = path.map(renames::open).transpose()?.unwrap_or_default();
    Ok(lines
        .into_iter()
        .map(|[building, before, after]| Rename { building, before, after })
        .collect())
}

fn spoken(options: &CompareOptions) -> Vec<String> {
    let paths = [("--corrected", &options.corrected), ("--renamed", &options.renamed)];
    let given = paths.into_iter().filter_map(|(option, path)| Some((option, path.as_ref()?)));
    given.map(|(option, path)| format!("{option} {}", path.display())).collect()
}

fn tell(report: &ComparisonReport<'_>, lists: usize, written: &[PathBuf]) {
    let ComparisonReport { before, after, comparison, .. } = report;
    let side = |report: &Report<'_>| counted(report.audit.outlets.len() as u64, "row", "rows");
    anstream::println!(
        "yokecheck {}: {} before, {} after, {} on both sides, {}\n",
        before.context.version,
        side(before),
        side(after),
        grouped(comparison.pairs.both().count() as u64),
        before.context.date
    );
    let listed = if written.is_empty() { "which a workbook would list" } else { LISTED };
    for (name, side) in [("Before", before), ("After", after)] {
        anstream::println!("{name}:");
        summary::print_inputs(side.account, listed);
    }
    for status in Status::ALL {
        let count = grouped(comparison.count(status) as u64);
        anstream::println!("{count:>8} {:<12}  {}", status.word(), report.meaning(status));
    }
    anstream::println!();
    anstream::println!("{}\n", wrapped("Outlets: ", &report.change_told(all_pairs(report))));
    if let Some(holding) = report.holding {
        tell_claims(holding, lists);
    }
    if !after.rulings.rulings.is_empty() {
        anstream::println!("{}\n", wrapped("Rulings: ", &rulings_told(after.rulings)));
    }
    for note in notes(comparison) {
        anstream::println!("{}\n", wrapped("  note: ", &note));
    }
    if !written.is_empty() {
        let paths: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
        anstream::println!("{}\n", wrapped("Written: ", &paths.join(", ")));
    }
    anstream::println!("{}\n", wrapped("", cautions::FIRST));
}

const LISTED: &str = "listed on the sheets Sources before and Sources after";

/// What a person should know of the pairs.
fn notes(comparison: &Comparison) -> Vec<String> {
    let pairs = &comparison.pairs;
    let mut notes = Vec::new();
    let proposed = pairs.proposed.len() as u64;
    if proposed > 0 {
        let outlets = counted(proposed, "outlet", "outlets");
        notes.push(format!(
            "{outlets} may go by another name now (the sheet Other names): confirm with --renamed"
        ));
    }
    for rename in &pairs.unused {
        notes.push(format!(
            "--renamed: {} to {} is about no outlet, about several, or about one that has a pair already",
            rename.before, rename.after
        ));
    }
    let nameless: u64 = pairs.nameless.iter().sum();
    if nameless > 0 {
        let rows = counted(nameless, "row has", "rows have");
        notes.push(format!("{rows} no outlet_id and cannot be paired: gone before, new after"));
    }
    let ambiguous = pairs.ambiguous_count() as u64;
    if ambiguous > 0 {
        let rows = counted(ambiguous, "row before shares its", "rows before share their");
        notes.push(format!(
            "{rows} outlet_id with another one: unknown now, since nobody can tell which it is"
        ));
    }
    notes
}

/// How many violations have which fate, in a line.
fn brief(comparison: &Comparison) -> String {
    let count =
        |status: Status| format!("{} {}", grouped(comparison.count(status) as u64), status.word());
    Status::ALL.map(count).join(", ")
}

fn all_pairs(report: &ComparisonReport<'_>) -> Paired {
    report.paired(&|_| true)
}

fn tell_claims(holding: &Holding, lists: usize) {
    let mut told: Vec<String> = Held::ALL
        .into_iter()
        .map(|held| (holding.count(held) as u64, held.words()))
        .filter(|(count, _)| *count > 0)
        .map(|(count, words)| format!("{} {words}", grouped(count)))
        .collect();
    let unclaimed = grouped(holding.unclaimed.len() as u64);
    let lists = counted(lists as u64, "list", "lists");
    told.push(format!("{unclaimed} corrected without a claim"));
    let text = format!("{lists}; {}", told.join("; "));
    anstream::println!("{}\n", wrapped("Claims: ", &text));
}

/// The problems of both sides, what share was decided, and the exit code.
fn conclude(report: &ComparisonReport<'_>) -> Outcome {
    let sides = [&report.before, &report.after];
    let problems = sides.iter().flat_map(|side| &side.account.problems);
    problems.for_each(|problem| complain(problem));
    summary::print_share_decided(report.after.audit);
    let failed =
        |side: &&Report<'_>| !side.account.problems.is_empty() || !side.audit.crashes.is_empty();
    if sides.iter().any(failed) {
        Outcome::Failed
    } else if report.comparison.is_unfinished() {
        Outcome::Found
    } else {
        Outcome::Clean
    }
}
