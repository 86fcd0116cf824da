//! `yokecheck compare`: two audits of the same outlets, held against each other.

use std::path::{Path, PathBuf};

use crate::audit::Audit;
use crate::compare::{Comparison, Held, Holding, Rename, Status, hold, shifts};
use crate::ingest;
use crate::mapping::{Account, renames};
use crate::report::comparison::{ComparisonReport, changes_csv};
use crate::report::wording::{counted, grouped};
use crate::report::workbook::{Limits, comparison};
use crate::report::{Context, Report, Target, cautions};
use crate::rulings::Ruled;
use crate::statistics::{Paired, Statistics};

use super::arguments::CompareOptions;
use super::claims::{self, Claims};
use super::failure::Failure;
use super::job::{Job, Wants};
use super::lines::wrapped;
use super::{Outcome, complain, summary};

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
    let [before, after] =
        [&options.before, &options.after].map(|side| ingest::find(std::slice::from_ref(side)));
    let mut inputs = Job::side_files(&options.judging);
    inputs.extend(options.renamed.clone());
    inputs.extend(before.inputs.iter().chain(&after.inputs).map(|input| input.path.clone()));
    let target = |path: &PathBuf| Target::new(path, &inputs);
    let workbook = options.out.as_ref().map(target).transpose()?;
    let changes = options.changes.as_ref().map(target).transpose()?;
    let targets: Vec<Target> = workbook.iter().chain(&changes).cloned().collect();
    Target::check_distinct(&targets)?;

    let Some(before) = audited(&job, &before)? else { return Ok(Outcome::Failed) };
    let Some(after) = audited(&job, &after)? else { return Ok(Outcome::Failed) };
    job.progress.writing();
    let comparison = Comparison::of(&before.0, &after.0, &renamed);
    let Claims { claims, lists } = claims.unwrap_or_default();
    let holding = hold(&comparison, &before.0, claims);
    let shifts =
        shifts(&before.0, &after.0, &comparison.pairs, &holding.worked_on(&comparison, &before.0));
    let context = job.context(spoken(options));
    let statistics = [Statistics::of(&before.0)?, Statistics::of(&after.0)?];
    let ruled = Ruled::default();
    let report = ComparisonReport {
        before: of_side(&before, &statistics[0], &context, &ruled),
        after: of_side(&after, &statistics[1], &context, &ruled),
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
    if !options.judging.quiet {
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
    for status in Status::ALL {
        let count = grouped(comparison.count(status) as u64);
        anstream::println!("{count:>8} {:<12}  {}", status.word(), report.meaning(status));
    }
    anstream::println!();
    anstream::println!("{}\n", wrapped("Outlets: ", &report.change_told(all_pairs(report))));
    if let Some(holding) = report.holding {
        tell_claims(holding, lists);
    }
    let proposed = comparison.pairs.proposed.len() as u64;
    if proposed > 0 {
        let outlets = counted(proposed, "outlet", "outlets");
        let note = format!(
            "{outlets} may go by another name now (the sheet Other names): confirm with --renamed"
        );
        anstream::println!("{}\n", wrapped("  note: ", &note));
    }
    let unused = comparison.pairs.unused.len() as u64;
    if unused > 0 {
        let lines = counted(unused, "line", "lines");
        let verb = if unused == 1 { "matches" } else { "match" };
        anstream::println!(
            "{}\n",
            wrapped("  note: ", &format!("{lines} of --renamed {verb} nothing"))
        );
    }
    let nameless: u64 = comparison.pairs.nameless.iter().sum();
    if nameless > 0 {
        let rows = counted(nameless, "row has", "rows have");
        let note = format!("{rows} no outlet_id and cannot be paired: gone before, new after");
        anstream::println!("{}\n", wrapped("  note: ", &note));
    }
    if !written.is_empty() {
        let paths: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
        anstream::println!("{}\n", wrapped("Written: ", &paths.join(", ")));
    }
    anstream::println!("{}\n", wrapped("", cautions::FIRST));
}

fn all_pairs(report: &ComparisonReport<'_>) -> Paired {
    report.paired(&|_| true)
}

fn tell_claims(holding: &Holding, lists: usize) {
    let told: Vec<String> = Held::ALL
        .into_iter()
        .map(|held| (holding.count(held) as u64, held.words()))
        .filter(|(count, _)| *count > 0)
        .map(|(count, words)| format!("{} {words}", grouped(count)))
        .collect();
    let unclaimed = grouped(holding.unclaimed.len() as u64);
    let lists = counted(lists as u64, "list", "lists");
    let text = format!("{lists}; {}; {unclaimed} corrected without a claim", told.join("; "));
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
