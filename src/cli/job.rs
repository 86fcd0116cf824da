//! From what was typed to a finished audit: shared by every command that audits.
//!
//! Owns the order of the work: what can go wrong with the arguments is told before a schedule is read.

use std::collections::HashSet;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Mutex, PoisonError};

use jiff::civil::Date;

use crate::audit::{self, Audit, Selection};
use crate::code::{Amendment, Change};
use crate::ingest::{Found, Watch};
use crate::mapping::amendments::{self, AmendableRule, AmendmentLine};
use crate::mapping::editions::{self, Editions};
use crate::mapping::{self, Account, LoadOptions, Loaded};
use crate::outlet::words::Edition;
use crate::outlet::{Outlet, Text, Word as _, facts};
use crate::report::Context;
use crate::rules::RULES;

use super::arguments::Judging;
use super::failure::Failure;
use super::observations;
use super::progress::Progress;

/// Everything that judges the schedules of a run.
pub(super) struct Job<'a> {
    options: &'a Judging,
    selection: Selection,
    amendments: Vec<Amendment>,
    editions: Editions,
    /// What is shown while it runs.
    pub(super) progress: Progress,
}

/// What a command wants of an audit beyond its findings.
#[derive(Clone, Copy, Default)]
pub(super) struct Wants {
    /// A newer edition by which what is lawful as built is judged again.
    pub(super) also_against: Option<Edition>,
    /// Every verdict, not only the findings.
    pub(super) verdicts: bool,
}

impl<'a> Job<'a> {
    /// Checks what was typed, and reads all files but the schedules.
    pub(super) fn new(options: &'a Judging) -> Result<Self, Failure> {
        use_threads(options.threads)?;
        let selection = Selection::new(&options.rules, &options.without)?;
        let amendments = amendments(options)?;
        let editions = options.editions.as_deref().map(editions::open).transpose()?;
        Ok(Self {
            options,
            selection,
            amendments,
            editions: editions.unwrap_or_default(),
            progress: Progress::new(options.quiet),
        })
    }

    /// The files that are read beside the schedules: no output takes their place.
    pub(super) fn side_files(options: &Judging) -> Vec<PathBuf> {
        let tables = options.editions.iter().chain(&options.amendments);
        options.mapping.iter().chain(tables).cloned().collect()
    }

    /// Reads the schedules, and joins to them what was observed.
    pub(super) fn read(&self, found: &Found) -> Result<Loaded, Failure> {
        self.progress.reading();
        let told = self.rows_told();
        let options = LoadOptions { mappings: &self.options.mapping, progress: &told };
        let watch = Watch::over(found);
        let mut loaded = mapping::load(found, &options).map_err(Failure::Mappings)?;
        watch.check().inspect_err(|_| self.progress.done())?;
        observations::join(&mut loaded);
        let unknown = editions::apply(&self.editions, &mut loaded.outlets, &loaded.texts);
        tell_unknown_buildings(&unknown, &mut loaded.account);
        Ok(loaded)
    }

    /// Tells the progress of the rows of all inputs together.
    fn rows_told(&self) -> impl Fn(mapping::Progress) + Sync {
        let read = AtomicU64::new(0);
        move |step: mapping::Progress| {
            let before = if step.done {
                read.fetch_add(step.rows, Ordering::Relaxed)
            } else {
                read.load(Ordering::Relaxed)
            };
            self.progress.rows(before + step.rows);
        }
    }

    /// Runs the rules.
    pub(super) fn audit(&self, loaded: Loaded, wants: Wants) -> (Audit, Account) {
        let begin = |subjects| self.progress.judging(subjects);
        let judged = |subjects| self.progress.judged(subjects);
        self.judge(loaded, wants, &begin, &judged)
    }

    /// Reads and audits the inputs one by one, of which no more is kept than what the findings name.
    ///
    /// None where two inputs have rows of one building, or what was observed is among them: these have to
    /// be read together.
    pub(super) fn audit_each(
        &self,
        found: &Found,
        wants: Wants,
    ) -> Result<Option<(Audit, Account)>, Failure> {
        self.progress.reading();
        let told = self.rows_told();
        let options = LoadOptions { mappings: &self.options.mapping, progress: &told };
        let apart = Apart::default();
        let each = |mut loaded: Loaded| {
            if !apart.admits(&loaded) {
                return (None, Account::default());
            }
            let unknown = editions::apply(&self.editions, &mut loaded.outlets, &loaded.texts);
            let (audit, account) = self.judge(loaded, wants, &|_| {}, &|_| {});
            (Some((audit.findings_alone(), unknown)), account)
        };
        let watch = Watch::over(found);
        let (parts, mut account) =
            mapping::load_each(found, &options, each).map_err(Failure::Mappings)?;
        watch.check().inspect_err(|_| self.progress.done())?;
        let Some(parts) = parts.into_iter().collect::<Option<Vec<_>>>() else { return Ok(None) };
        let (audits, unknown): (Vec<_>, Vec<_>) = parts.into_iter().unzip();
        let nowhere = |building: &&String| unknown.iter().all(|names| names.contains(building));
        let unknown: Vec<_> =
            unknown.first().into_iter().flatten().filter(nowhere).cloned().collect();
        tell_unknown_buildings(&unknown, &mut account);
        Ok(Audit::together(audits).map(|audit| (audit, account)))
    }

    fn judge(
        &self,
        loaded: Loaded,
        wants: Wants,
        begin: &(dyn Fn(u64) + Sync),
        progress: &(dyn Fn(u64) + Sync),
    ) -> (Audit, Account) {
        let Loaded { outlets, texts, account, resolutions } = loaded;
        let resolution =
            |outlet: &Outlet, field| resolutions.get(account.row_of(outlet.origin, field), field);
        let resolution: Option<&audit::Resolution<'_>> =
            if resolutions.is_empty() { None } else { Some(&resolution) };
        let options = audit::Options {
            selection: &self.selection,
            edition: self.options.edition,
            amendments: &self.amendments,
            also_against: wants.also_against,
            keep_verdicts: wants.verdicts,
            resolution,
            begin,
            progress,
        };
        let audit = audit::run(outlets, texts, &options);
        (audit, account)
    }

    /// The day of the audit.
    pub(super) fn date(&self) -> Date {
        self.options.as_of.unwrap_or_else(today)
    }

    /// The run, as reports tell of it; `own` are the command's own options.
    pub(super) fn context(&self, own: Vec<String>) -> Context {
        let mut options = spoken(self.options);
        options.extend(own);
        Context {
            project: self.options.project.clone().unwrap_or_default(),
            date: self.date(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            options,
        }
    }
}

fn tell_unknown_buildings(unknown: &[String], account: &mut Account) {
    account.remarks.extend(unknown.iter().map(|building| {
        format!("--editions names the building {building}, in which no outlet stands")
    }));
}

/// The buildings of inputs that are audited one by one: as long as each is in one input, rows of two
/// inputs form no group and share no fact.
#[derive(Default)]
struct Apart {
    buildings: Mutex<HashSet<Option<String>>>,
    failed: AtomicBool,
}

impl Apart {
    /// Whether an input, and all before it, can be audited by itself. Rows without a building are those
    /// of one building of its own.
    fn admits(&self, loaded: &Loaded) -> bool {
        let named: HashSet<_> =
            loaded.outlets.iter().map(|outlet| outlet.get(facts::BUILDING).known()).collect();
        let name = |text: Option<Text>| text.map(|text| loaded.texts.get(text).to_owned());
        let together = || {
            let mut known = self.buildings.lock().unwrap_or_else(PoisonError::into_inner);
            named.into_iter().any(|building| !known.insert(name(building)))
        };
        if !loaded.account.observed_sheets().is_empty() || together() {
            self.failed.store(true, Ordering::Relaxed);
        }
        !self.failed.load(Ordering::Relaxed)
    }
}

fn use_threads(threads: Option<u16>) -> Result<(), Failure> {
    let threads = usize::from(threads.unwrap_or(0));
    Ok(rayon::ThreadPoolBuilder::new().num_threads(threads).build_global()?)
}

/// The local amendments of the run, or all the errors of their file.
fn amendments(options: &Judging) -> Result<Vec<Amendment>, Failure> {
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

/// The one place where the clock is read.
#[expect(clippy::disallowed_methods, reason = "an audit without --as-of is of today")]
fn today() -> Date {
    jiff::ZonedDateTime::now().date()
}

/// The options that shape the answer, as a person would type them.
fn spoken(options: &Judging) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(edition) = options.edition {
        lines.push(format!("--edition {}", edition.word()));
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
    lines
}
