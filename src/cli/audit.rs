//! `yokecheck audit`: schedules in, reports out.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

use jiff::civil::Date;

use crate::audit::tally::Totals;
use crate::audit::{self, Audit, Crash, Selection};
use crate::code::{Amendment, Change};
use crate::ingest;
use crate::mapping::amendments::{self, AmendableRule, AmendmentLine};
use crate::mapping::{self, Account, LoadOptions, Loaded, editions};
use crate::outlet::Word as _;
use crate::report::wording::counted;
use crate::report::{
    Context, FolderTarget, Report, Target, findings_csv, findings_jsonl, html, parquet,
    verdicts_csv, workbook,
};
use crate::rules::{RULES, usual_resolution};
use crate::statistics::Statistics;

use super::arguments::AuditOptions;
use super::corrections::{Outbox, Sent};
use super::failure::Failure;
use super::progress::Progress;
use super::{Outcome, complain, explain, summary};

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

/// A folder that this run made: it goes again when nothing was written into it.
struct MadeFolder(&'static Path);

impl Drop for MadeFolder {
    fn drop(&mut self) {
        // A folder that is not empty is refused, and stays.
        let _ = std::fs::remove_dir(self.0);
    }
}

fn prepared(options: &AuditOptions) -> Result<Outcome, Failure> {
    use_threads(options.threads)?;
    let selection = Selection::new(&options.rules, &options.without)?;
    let found = ingest::find(&options.inputs);
    let targets = targets(options, &found)?;
    let amendments = amendments(options)?;
    let editions = options.editions.as_deref().map(editions::open).transpose()?;
    let editions = editions.unwrap_or_default();
    let progress = Progress::new(options.quiet);
    let mut loaded = load(options, &found, &progress)?;
    let unknown = editions::apply(&editions, &mut loaded.outlets, &loaded.texts);
    loaded.account.remarks.extend(unknown.iter().map(|building| {
        format!("--editions names the building {building}, in which no outlet stands")
    }));
    if options.explain_mapping {
        progress.done();
        explain::print(&loaded.account);
    }
    if loaded.outlets.is_empty() {
        progress.done();
        summary::nothing_read(&loaded.account);
        return Ok(Outcome::Failed);
    }
    let (audit, account) = audited(options, loaded, &selection, &amendments, &progress);
    progress.writing();
    let statistics = Statistics::of(&audit)?.weighed(options.weights.unwrap_or_default());
    let context = context(options);
    let report =
        Report { audit: &audit, account: &account, statistics: &statistics, context: &context };
    let written = write(&report, &targets);
    progress.done();
    let written = written?;
    Ok(conclude(options, &report, &written))
}

fn use_threads(threads: Option<u16>) -> Result<(), Failure> {
    let threads = usize::from(threads.unwrap_or(0));
    Ok(rayon::ThreadPoolBuilder::new().num_threads(threads).build_global()?)
}

fn targets(options: &AuditOptions, found: &ingest::Found) -> Result<Targets, Failure> {
    let mut inputs: Vec<PathBuf> = found.inputs.iter().map(|input| input.path.clone()).collect();
    inputs.extend(options.mapping.iter().cloned());
    inputs.extend(options.editions.iter().chain(&options.amendments).cloned());
    let target = |path: &PathBuf| Target::new(path, &inputs);
    let tables = |path: &Path| FolderTarget::new(path, parquet::NAMES);
    let mut folder = None;
    let workbook = match (&options.out, options.no_workbook) {
        (_, true) => None,
        (Some(path), _) => Some(target(path)?),
        (None, _) => {
            // A folder that cannot be made is told by the check of the target.
            folder = std::fs::create_dir(REPORTS).ok().map(|()| MadeFolder(Path::new(REPORTS)));
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

/// The local amendments of the run, or all the errors of their file.
fn amendments(options: &AuditOptions) -> Result<Vec<Amendment>, Failure> {
    let Some(path) = &options.amendments else { return Ok(Vec::new()) };
    let rules: Vec<AmendableRule> = RULES
        .iter()
        .map(|rule| AmendableRule {
            name: rule.name,
            limits: rule.amendable.iter().map(|limit| limit.name).collect(),
        })
        .collect();
    let lines = amendments::open(path, &rules).map_err(Failure::Mappings)?;
    Ok(lines.into_iter().map(amendment).collect())
}

fn amendment(line: AmendmentLine) -> Amendment {
    let as_in = line.as_in.into_iter();
    let as_in = as_in.flat_map(|to| line.editions.iter().map(move |from| (*from, to))).collect();
    Amendment {
        rule: line.rule,
        citation: line.citation,
        buildings: line.buildings,
        change: Change { off: line.off, as_in, limits: line.limits },
    }
}

fn load(
    options: &AuditOptions,
    found: &ingest::Found,
    progress: &Progress,
) -> Result<Loaded, Failure> {
    progress.reading();
    let read = AtomicU64::new(0);
    let told = |step: mapping::Progress| {
        let before = if step.done {
            read.fetch_add(step.rows, Ordering::Relaxed)
        } else {
            read.load(Ordering::Relaxed)
        };
        progress.rows(before + step.rows);
    };
    let load_options = LoadOptions { mappings: &options.mapping, progress: &told };
    mapping::load(found, &load_options).map_err(Failure::Mappings)
}

fn audited(
    options: &AuditOptions,
    loaded: Loaded,
    selection: &Selection,
    amendments: &[Amendment],
    progress: &Progress,
) -> (Audit, Account) {
    let Loaded { outlets, texts, account, resolutions } = loaded;
    let audit_options = audit::Options {
        selection,
        edition: options.edition,
        amendments,
        also_against: options.also_against,
        keep_verdicts: options.verdicts.is_some(),
        resolution: &|outlet, field| {
            resolutions.get(outlet.origin, field).unwrap_or_else(|| usual_resolution(field))
        },
        begin: &|subjects| progress.judging(subjects),
        progress: &|subjects| progress.judged(subjects),
    };
    (audit::run(outlets, texts, &audit_options), account)
}

fn context(options: &AuditOptions) -> Context {
    Context {
        project: options.project.clone().unwrap_or_default(),
        date: options.as_of.unwrap_or_else(today),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        options: spoken(options),
    }
}

/// The one place where the clock is read.
#[expect(clippy::disallowed_methods, reason = "an audit without --as-of is of today")]
fn today() -> Date {
    jiff::ZonedDateTime::now().date()
}

/// The options that shape the answer, as a person would type them.
fn spoken(options: &AuditOptions) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(edition) = options.edition {
        lines.push(format!("--edition {}", edition.word()));
    }
    if let Some(newer) = options.also_against {
        lines.push(format!("--also-against {}", newer.word()));
    }
    for (option, path) in [("--editions", &options.editions), ("--amendments", &options.amendments)]
    {
        if let Some(path) = path {
            lines.push(format!("{option} {}", path.display()));
        }
    }
    for mapping in &options.mapping {
        lines.push(format!("--mapping {}", mapping.display()));
    }
    if !options.rules.is_empty() {
        lines.push(format!("--rules {}", options.rules.join(",")));
    }
    if !options.without.is_empty() {
        lines.push(format!("--without {}", options.without.join(",")));
    }
    if let Some(weights) = options.weights {
        lines.push(format!("--weights {weights}"));
    }
    if let Some(share) = options.require_decided {
        lines.push(format!("--require-decided {share}"));
    }
    lines
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
    if !options.quiet {
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
