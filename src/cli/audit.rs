//! `yokecheck audit`: schedules in, reports out.

use std::path::{Path, PathBuf};

use jiff::civil::Date;

use crate::audit::{self, Audit, Selection};
use crate::code::{Amendment, Change};
use crate::ingest;
use crate::mapping::amendments::{self, AmendableRule, AmendmentLine};
use crate::mapping::{self, Account, LoadOptions, Loaded, MappingError, editions};
use crate::report::target::{TargetError, WriteError};
use crate::report::{
    Context, FolderTarget, Report, Target, findings_csv, findings_jsonl, html, parquet,
    verdicts_csv, workbook,
};
use crate::rules::{RULES, usual_resolution};
use crate::statistics::Statistics;

use super::arguments::AuditOptions;
use super::progress::Progress;
use super::{Outcome, complain, summary};

/// Runs the audit and says what came of it.
pub(super) fn run(options: &AuditOptions) -> Outcome {
    match prepared(options) {
        Ok(outcome) => outcome,
        Err(problem) => {
            complain(&problem);
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
}

fn prepared(options: &AuditOptions) -> Result<Outcome, String> {
    use_threads(options.threads)?;
    let selection =
        Selection::new(&options.rules, &options.without).map_err(|error| error.to_string())?;
    let found = ingest::find(&options.inputs);
    let targets = targets(options, &found).map_err(|error| error.to_string())?;
    let amendments = amendments(options)?;
    let editions = options.editions.as_deref().map(editions::open).transpose();
    let editions = editions.map_err(|error| error.to_string())?.unwrap_or_default();
    let progress = Progress::new(options.quiet);
    let mut loaded = load(options, &found, &progress)?;
    let unknown = editions::apply(&editions, &mut loaded.outlets, &loaded.texts);
    loaded.account.remarks.extend(unknown.iter().map(|building| {
        format!("--editions names the building {building}, in which no outlet stands")
    }));
    if loaded.outlets.is_empty() {
        progress.done();
        summary::nothing_read(&loaded.account);
        return Ok(Outcome::Failed);
    }
    let (audit, account) = audited(options, loaded, &selection, &amendments, &progress);
    progress.writing();
    let statistics = Statistics::of(&audit).map_err(|error| error.to_string())?;
    let context = context(options);
    let report =
        Report { audit: &audit, account: &account, statistics: &statistics, context: &context };
    let written = write(&report, &targets);
    progress.done();
    let written = written?;
    Ok(conclude(options, &report, &written))
}

fn use_threads(threads: Option<u16>) -> Result<(), String> {
    let threads = usize::from(threads.unwrap_or(0));
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
    pool.build_global().map_err(|error| format!("the threads could not be started: {error}"))
}

fn targets(options: &AuditOptions, found: &ingest::Found) -> Result<Targets, TargetError> {
    let mut inputs: Vec<PathBuf> = found.inputs.iter().map(|input| input.path.clone()).collect();
    inputs.extend(options.mapping.iter().cloned());
    inputs.extend(options.editions.iter().chain(&options.amendments).cloned());
    let target = |path: &PathBuf| Target::new(path, &inputs);
    let tables = |path: &Path| FolderTarget::new(path, parquet::NAMES);
    let workbook = match (&options.out, options.no_workbook) {
        (_, true) => None,
        (Some(path), _) => Some(target(path)?),
        (None, _) => Some(target(&usual_workbook(&options.inputs))?),
    };
    let targets = Targets {
        workbook,
        findings: options.findings.as_ref().map(target).transpose()?,
        verdicts: options.verdicts.as_ref().map(target).transpose()?,
        html: options.html.as_ref().map(target).transpose()?,
        jsonl: options.jsonl.as_ref().map(target).transpose()?,
        parquet: options.parquet.as_deref().map(tables).transpose()?,
    };
    let files = [&targets.workbook, &targets.findings, &targets.verdicts];
    let files = files.into_iter().chain([&targets.html, &targets.jsonl]);
    let files: Vec<Target> = files.flatten().cloned().collect();
    Target::check_distinct(&files)?;
    targets.parquet.as_ref().map_or(Ok(()), |folder| folder.check_apart(&files))?;
    Ok(targets)
}

/// `reports/<input>-audit.xlsx`, named after the first input.
fn usual_workbook(inputs: &[PathBuf]) -> PathBuf {
    let folder = Path::new("reports");
    // The folder may be there already, or be refused: the check of the target tells.
    let _ = std::fs::create_dir(folder);
    let name = inputs
        .first()
        .and_then(|input| input.canonicalize().ok())
        .and_then(|input| {
            let name = if input.is_dir() { input.file_name() } else { input.file_stem() };
            name.map(|name| name.to_string_lossy().into_owned())
        })
        .unwrap_or_else(|| "schedule".to_owned());
    folder.join(format!("{name}-audit.xlsx"))
}

/// The local amendments of the run, or all the errors of their file.
fn amendments(options: &AuditOptions) -> Result<Vec<Amendment>, String> {
    let Some(path) = &options.amendments else { return Ok(Vec::new()) };
    let rules: Vec<AmendableRule> = RULES
        .iter()
        .map(|rule| AmendableRule {
            name: rule.name,
            limits: rule.amendable.iter().map(|limit| limit.name).collect(),
        })
        .collect();
    let lines = amendments::open(path, &rules).map_err(|errors| joined(&errors))?;
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

fn joined(errors: &[MappingError]) -> String {
    errors.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn load(
    options: &AuditOptions,
    found: &ingest::Found,
    progress: &Progress,
) -> Result<Loaded, String> {
    progress.reading();
    let told = |step: mapping::Progress| progress.rows(step.rows);
    let load_options = LoadOptions { mappings: &options.mapping, progress: &told };
    mapping::load(found, &load_options).map_err(|errors| joined(&errors))
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
        edition: options.edition.map(Into::into),
        amendments,
        also_against: options.also_against.map(Into::into),
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
        use crate::outlet::Word as _;
        lines.push(format!("--edition {}", crate::outlet::words::Edition::from(edition).word()));
    }
    if let Some(newer) = options.also_against {
        use crate::outlet::Word as _;
        lines.push(format!("--also-against {}", crate::outlet::words::Edition::from(newer).word()));
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
    if let Some(share) = options.require_decided {
        lines.push(format!("--require-decided {share}"));
    }
    lines
}

/// Writes the reports; each is whole or not there. Returns what was written.
fn write(report: &Report<'_>, targets: &Targets) -> Result<Vec<PathBuf>, String> {
    let mut written = Vec::new();
    if let Some(target) = &targets.workbook {
        let limits = workbook::Limits::default();
        told(target.write(|out| workbook::write(report, limits, out)))?;
        written.push(target.path().to_owned());
    }
    if let Some(target) = &targets.findings {
        told(target.write(|out| findings_csv::write(report, out)))?;
        written.push(target.path().to_owned());
    }
    if let Some(target) = &targets.verdicts {
        told(target.write(|out| verdicts_csv::write(report, out)))?;
        written.push(target.path().to_owned());
    }
    if let Some(target) = &targets.html {
        let limits = html::Limits::default();
        told(target.write(|out| html::write(report, limits, out)))?;
        written.push(target.path().to_owned());
    }
    if let Some(target) = &targets.jsonl {
        told(target.write(|out| findings_jsonl::write(report, out)))?;
        written.push(target.path().to_owned());
    }
    if let Some(target) = &targets.parquet {
        told(target.write(|folder| parquet::write(report, &folder)))?;
        written.push(target.path().to_owned());
    }
    Ok(written)
}

fn told<E: std::error::Error + 'static>(written: Result<(), WriteError<E>>) -> Result<(), String> {
    written.map_err(|error| error.to_string())
}

/// The summary, the problems, and the exit code.
fn conclude(options: &AuditOptions, report: &Report<'_>, written: &[PathBuf]) -> Outcome {
    if !options.quiet {
        summary::print(report, written);
    }
    for problem in &report.account.problems {
        complain(problem);
    }
    for crash in &report.audit.crashes {
        let row = report.audit.outlet(crash.first).origin.row;
        complain(&format!(
            "the rule {} failed on row {row}: {}; this is a defect of the program, please report it",
            crash.rule.name, crash.message
        ));
    }
    let decided = summary::print_share_decided(report.audit);
    if !report.account.problems.is_empty() || !report.audit.crashes.is_empty() {
        return Outcome::Failed;
    }
    let too_little =
        options.require_decided.is_some_and(|wanted| decided.is_none_or(|share| share < wanted));
    if report.audit.has_violations() || too_little { Outcome::Found } else { Outcome::Clean }
}
