//! `yokecheck audit`: schedules in, reports out.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::audit::tally::Totals;
use crate::audit::{Audit, Crash};
use crate::ingest;
use crate::mapping::Account;
use crate::outlet::Word as _;
use crate::report::unfinished::MadeFolder;
use crate::report::wording::counted;
use crate::report::{
    FolderTarget, Report, Target, findings_csv, findings_jsonl, html, parquet, verdicts_csv,
    workbook,
};
use crate::statistics::Statistics;

use super::arguments::AuditOptions;
use super::corrections::{Outbox, Sent};
use super::failure::Failure;
use super::job::{Job, Wants};
use super::{Outcome, complain, explain, rulings, summary};

/// Runs the audit and says what came of it.
pub(super) fn run(options: &AuditOptions) -> Outcome {
    match prepared(options) {
        Ok(outcome) => outcome,
        Err(failure) => {
            failure.tell();
            Outcome::Failed
        }
    }
}

/// Where the reports go.
struct Targets {
    workbook: Option<Target>,
    findings: Option<Target>,
    verdicts: Option<Target>,
    html: Option<Target>,
    jsonl: Option<Target>,
    parquet: Option<FolderTarget>,
    corrections: Option<Outbox>,
    /// Kept until the run ends.
    _folder: Option<MadeFolder>,
}

fn prepared(options: &AuditOptions) -> Result<Outcome, Failure> {
    let job = Job::new(&options.judging)?;
    let rulings = options.rulings.as_deref().map(rulings::open).transpose()?;
    let found = ingest::find(&options.inputs);
    let targets = targets(options, &found)?;
    let (mut audit, mut account) = match audited(&job, options, &found)? {
        Ok(audited) => audited,
        Err(account) => {
            job.progress.done();
            summary::nothing_read(&account);
            return Ok(Outcome::Failed);
        }
    };
    let ruled = rulings.map(|file| rulings::apply(file, &mut audit, &mut account, job.date()));
    let ruled = ruled.unwrap_or_default();
    job.progress.writing();
    // Lists of findings show no figures, and over millions of outlets these take their time.
    let statistics = if targets.workbook.is_some() || targets.html.is_some() {
        Statistics::of(&audit)?.weighed(options.weights.unwrap_or_default())
    } else {
        Statistics::default()
    };
    let context = job.context(spoken(options));
    let report = Report {
        audit: &audit,
        account: &account,
        statistics: &statistics,
        context: &context,
        rulings: &ruled,
    };
    let written = write(&report, &targets);
    job.progress.done();
    let written = written?;
    let outcome = conclude(options, &report, &written);
    // The process ends now: giving back millions of outlets one by one would only take its time.
    std::mem::forget(audit);
    Ok(outcome)
}

/// Reads and audits the schedules; the account alone where no outlet was read.
fn audited(
    job: &Job<'_>,
    options: &AuditOptions,
    found: &ingest::Found,
) -> Result<Result<(Audit, Account), Account>, Failure> {
    let wants = Wants { also_against: options.also_against, verdicts: options.verdicts.is_some() };
    if found.inputs.len() > 1
        && wants_findings_alone(options)
        && let Some((audit, account)) = job.audit_each(found, wants)?
    {
        return Ok(if audit.rows == 0 { Err(account) } else { Ok((audit, account)) });
    }
    let loaded = job.read(found)?;
    if options.explain_mapping {
        job.progress.done();
        explain::print(&loaded.account);
    }
    if loaded.outlets.is_empty() {
        return Ok(Err(loaded.account));
    }
    Ok(Ok(job.audit(loaded, wants)))
}

/// Whether all outputs tell of findings only, so that the other outlets need not be kept.
const fn wants_findings_alone(options: &AuditOptions) -> bool {
    options.no_workbook
        && options.html.is_none()
        && options.parquet.is_none()
        && options.verdicts.is_none()
        && options.corrections.is_none()
        && options.rulings.is_none()
        && !options.explain_mapping
}

fn targets(options: &AuditOptions, found: &ingest::Found) -> Result<Targets, Failure> {
    let mut inputs: Vec<PathBuf> = found.inputs.iter().map(|input| input.path.clone()).collect();
    inputs.extend(Job::side_files(&options.judging));
    inputs.extend(options.rulings.clone());
    let target = |path: &PathBuf| Target::new(path, &inputs);
    let tables = |path: &Path| FolderTarget::new(path, parquet::NAMES);
    let mut folder = None;
    let workbook = match (&options.out, options.no_workbook) {
        (_, true) => None,
        (Some(path), _) => Some(target(path)?),
        (None, _) => {
            // A folder that cannot be made is told by the check of the target.
            folder = MadeFolder::new(Path::new(REPORTS)).ok();
            Some(target(&usual_workbook(&options.inputs))?)
        }
    };
    let targets = Targets {
        workbook,
        findings: options.findings.as_ref().map(target).transpose()?,
        verdicts: options.verdicts.as_ref().map(target).transpose()?,
        html: options.html.as_ref().map(target).transpose()?,
        jsonl: options.jsonl.as_ref().map(target).transpose()?,
        parquet: options.parquet.as_deref().map(tables).transpose()?,
        corrections: outbox(options, &inputs)?,
        _folder: folder,
    };
    let files = [&targets.workbook, &targets.findings, &targets.verdicts];
    let files = files.into_iter().chain([&targets.html, &targets.jsonl]);
    let files: Vec<Target> = files.flatten().cloned().collect();
    Target::check_distinct(&files)?;
    if let Some(outbox) = &targets.corrections {
        outbox.check_apart(&files)?;
    }
    targets.parquet.as_ref().map_or(Ok(()), |folder| folder.check_apart(&files))?;
    Ok(targets)
}

fn outbox(options: &AuditOptions, inputs: &[PathBuf]) -> Result<Option<Outbox>, Failure> {
    let open = |folder: &PathBuf| Outbox::open(folder, options.by, inputs);
    options.corrections.as_ref().map(open).transpose()
}

const REPORTS: &str = "reports";

/// `reports/<input>-audit.xlsx`, named after the first input.
fn usual_workbook(inputs: &[PathBuf]) -> PathBuf {
    let name = inputs
        .first()
        .and_then(|input| input.canonicalize().ok())
        .and_then(|input| {
            let name = if input.is_dir() { input.file_name() } else { input.file_stem() };
            name.map(|name| name.to_string_lossy().into_owned())
        })
        .unwrap_or_else(|| "schedule".to_owned());
    Path::new(REPORTS).join(format!("{name}-audit.xlsx"))
}

/// The command's own options that shape the answer, as a person would type them.
fn spoken(options: &AuditOptions) -> Vec<String> {
    let newer = options.also_against.map(|newer| format!("--also-against {}", newer.word()));
    let rulings = options.rulings.as_ref().map(|path| format!("--rulings {}", path.display()));
    let weights = options.weights.map(|weights| format!("--weights {weights}"));
    let share = options.require_decided.map(|share| format!("--require-decided {share}"));
    [newer, rulings, weights, share].into_iter().flatten().collect()
}

/// What was written.
struct Written {
    files: Vec<PathBuf>,
    sent: Option<Sent>,
}

/// Writes the reports; each is whole or not there. Returns what was written.
fn write(report: &Report<'_>, targets: &Targets) -> Result<Written, Failure> {
    let mut written = Vec::new();
    if let Some(target) = &targets.workbook {
        let limits = workbook::Limits::default();
        target.write(|out| workbook::write(report, limits, out))?;
        written.push(target.path().to_owned());
    }
    if let Some(target) = &targets.findings {
        target.write(|out| findings_csv::write(report, out))?;
        written.push(target.path().to_owned());
    }
    if let Some(target) = &targets.verdicts {
        target.write(|out| verdicts_csv::write(report, out))?;
        written.push(target.path().to_owned());
    }
    if let Some(target) = &targets.html {
        let limits = html::Limits::default();
        target.write(|out| html::write(report, limits, out))?;
        written.push(target.path().to_owned());
    }
    if let Some(target) = &targets.jsonl {
        target.write(|out| findings_jsonl::write(report, out))?;
        written.push(target.path().to_owned());
    }
    if let Some(target) = &targets.parquet {
        target.write(|folder| parquet::write(report, &folder))?;
        written.push(target.path().to_owned());
    }
    let sent = targets.corrections.as_ref().map(|outbox| outbox.write(report)).transpose()?;
    Ok(Written { files: written, sent })
}

/// The summary, the problems, and the exit code.
fn conclude(options: &AuditOptions, report: &Report<'_>, written: &Written) -> Outcome {
    if !options.judging.quiet {
        summary::print(report, &written.files, !options.no_workbook);
        if let Some(sent) = &written.sent {
            sent.tell();
        }
    }
    for problem in &report.account.problems {
        complain(problem);
    }
    complain_of_crashes(report);
    summary::print_share_decided(report.audit);
    outcome(report.audit, report.account, options.require_decided)
}

/// One line a rule that failed, however often it did.
fn complain_of_crashes(report: &Report<'_>) {
    let mut failed: BTreeMap<&str, Vec<&Crash>> = BTreeMap::new();
    for crash in &report.audit.crashes {
        failed.entry(crash.rule.name).or_default().push(crash);
    }
    for (rule, crashes) in failed {
        let origin = report.audit.outlet(crashes[0].first).origin;
        complain(&format!(
            "the rule {rule} failed, first at row {} of {}, {} in all: {}; nothing is said of these \
             by this rule. It is a defect of the program: please report it",
            origin.row,
            report.account.path(origin),
            counted(crashes.len() as u64, "subject", "subjects"),
            crashes[0].message
        ));
    }
}

/// What the run comes to. What could not be read or judged outweighs what was found.
fn outcome(audit: &Audit, account: &Account, require_decided: Option<f64>) -> Outcome {
    if !account.problems.is_empty() || !audit.crashes.is_empty() {
        return Outcome::Failed;
    }
    let decided = Totals::of(&audit.tallies).decided_share();
    let too_little =
        require_decided.is_some_and(|wanted| decided.is_none_or(|share| share < wanted));
    if audit.has_violations() || too_little { Outcome::Found } else { Outcome::Clean }
}

#[cfg(test)]
mod tests {
    use crate::audit::{self, Selection};
    use crate::code::{Citation, Confidence};
    use crate::outlet::{Fact, Origin, Outlet, Texts, facts};
    use crate::rules::{
        Answer, Check, CorrectingTrade, DefectType, Grade, Rule, SubjectKind, World, rule_named,
    };

    use super::*;

    static FAILING: Rule = Rule {
        name: "failing",
        subject: SubjectKind::Outlet,
        defect: DefectType::Box,
        grade: Grade::Latent,
        corrects: CorrectingTrade::Electrical,
        citation: Citation::all("0.0", Confidence::Memory),
        asks: &[],
        heeds: &[],
        limits: &[],
        amendable: &[],
        on_request: false,
        manual: "",
        check: Check::Outlet(fail),
    };

    fn fail(_: &mut World<'_>) -> Answer {
        panic!("a rule of this test fails on purpose")
    }

    /// One outlet, with or without its faceplate, or with nothing said of it.
    fn audit(rules: Vec<&'static Rule>, faceplate: Fact<bool>) -> Audit {
        let mut outlet = Outlet::absent(Origin { source: 0, sheet: 0, row: 2 });
        outlet.set(facts::FACEPLATE, faceplate);
        let selection = Selection::of(rules);
        audit::run(vec![outlet], Texts::default(), &audit::Options::of(&selection))
    }

    fn cover() -> &'static Rule {
        rule_named("box-cover").unwrap()
    }

    #[test]
    fn the_outcome_tells_clean_found_and_failed_apart() {
        let sound = Account::default();
        let clean = audit(vec![cover()], Fact::Known(true));
        let broken = audit(vec![cover()], Fact::Known(false));
        assert_eq!(outcome(&clean, &sound, None), Outcome::Clean);
        assert_eq!(outcome(&broken, &sound, None), Outcome::Found);
        let unread = Account { problems: vec!["unread".to_owned()], ..Account::default() };
        assert_eq!(outcome(&clean, &unread, None), Outcome::Failed);
        assert_eq!(outcome(&broken, &unread, None), Outcome::Failed);
    }

    #[test]
    fn a_rule_that_failed_fails_the_run_whatever_the_others_found() {
        let sound = Account::default();
        let failed = audit(vec![&FAILING, cover()], Fact::Known(false));
        assert_eq!(failed.crashes.len(), 1);
        assert_eq!(failed.violation_count(), 1);
        assert_eq!(outcome(&failed, &sound, None), Outcome::Failed);
    }

    #[test]
    fn too_little_decided_is_found_only_when_a_share_is_required() {
        let sound = Account::default();
        let thin = audit(vec![cover()], Fact::Blank);
        assert_eq!(outcome(&thin, &sound, None), Outcome::Clean);
        assert_eq!(outcome(&thin, &sound, Some(0.0)), Outcome::Clean);
        assert_eq!(outcome(&thin, &sound, Some(0.5)), Outcome::Found);
        let nothing = audit(Vec::new(), Fact::Blank);
        assert_eq!(outcome(&nothing, &sound, Some(0.0)), Outcome::Found, "nothing was judged");
    }
}
