//! Running an audit: how it is asked for, the order of its steps, what comes of it.

use crate::code::Amendment;
use crate::outlet::words::Edition;
use crate::outlet::{Alike, Fact, Field, Length, Outlet, Texts, facts};
use crate::rules::VerdictKind;

use super::finding::{Crash, Finding, Gap, MeasureAgain, VerdictRow, Waiting};
use super::judge::judge;
use super::selection::Selection;
use super::share::{Disagreement, Shared, share};
use super::subjects::Subjects;
use super::tally::Tally;

/// How finely a length of an outlet was measured, where it is not as usual.
pub type Resolution<'a> = dyn Fn(&Outlet, Field) -> Option<Length> + Sync + 'a;

/// How an audit is run.
pub struct Options<'a> {
    /// The rules.
    pub selection: &'a Selection,
    /// The edition for rows that record none that can be read.
    pub edition: Option<Edition>,
    /// Local amendments; no two of one rule for one building.
    pub amendments: &'a [Amendment],
    /// A newer edition by which what is lawful as built is judged again.
    pub also_against: Option<Edition>,
    /// Whether to keep every verdict, not only the findings.
    pub keep_verdicts: bool,
    /// How finely a length of an outlet was measured, where that is said of any.
    pub resolution: Option<&'a Resolution<'a>>,
    /// Called once, with the number of subjects that will be judged.
    pub begin: &'a (dyn Fn(u64) + Sync),
    /// Called with the number of subjects judged since the last call.
    pub progress: &'a (dyn Fn(u64) + Sync),
}

impl<'a> Options<'a> {
    /// The plainest audit: the adopted code as it is, the findings alone, lengths measured as usual.
    pub fn of(selection: &'a Selection) -> Self {
        Self {
            selection,
            edition: None,
            amendments: &[],
            also_against: None,
            keep_verdicts: false,
            resolution: None,
            begin: &|_| {},
            progress: &|_| {},
        }
    }
}

/// What an audit found.
pub struct Audit {
    /// The outlets in the order of their rows, with the facts that rows share filled in.
    pub outlets: Vec<Outlet>,
    /// How many rows were audited: all outlets, unless most were let go.
    pub rows: u64,
    pub(super) devices: u64,
    /// Their texts.
    pub texts: Texts,
    /// The rules that ran.
    pub selection: Selection,
    /// The groups that the outlets form.
    pub subjects: Subjects,
    /// Violations and questions for the authority, by row and rule.
    pub findings: Vec<Finding>,
    /// What is lawful as built and would be a violation under the newer edition that was asked for, by
    /// row and rule. None of it is a violation.
    pub lawful_as_built: Vec<Finding>,
    /// The newer edition that was asked for.
    pub also_against: Option<Edition>,
    /// The local amendments of the run.
    pub amendments: Vec<Amendment>,
    /// What is missing, one entry an outlet, by row.
    pub gaps: Vec<Gap>,
    /// How many subjects wait for the same facts, by rule.
    pub waiting: Vec<Waiting>,
    /// The verdicts of each rule, counted.
    pub tallies: Vec<Tally>,
    /// For each outlet, the verdicts that reach a subject of which it is the first row.
    pub reached: Vec<Reached>,
    /// Every verdict by row and rule, when asked for.
    pub verdicts: Vec<VerdictRow>,
    /// Verdicts that hang on one measurement, by row and rule.
    pub measure_again: Vec<MeasureAgain>,
    /// Which facts were filled in, and from which rows.
    pub shared: Shared,
    /// Rows that share a box, a panel or a supply and disagree on it.
    pub disagreements: Vec<Disagreement>,
    /// Rules that failed.
    pub crashes: Vec<Crash>,
}

/// Audits the outlets. The result does not depend on the number of threads.
pub fn run(mut outlets: Vec<Outlet>, texts: Texts, options: &Options<'_>) -> Audit {
    outlets.sort_by_key(|outlet| outlet.origin);
    if let Some(edition) = options.edition {
        let mut alike = Alike::default();
        for outlet in outlets.iter_mut().filter(|outlet| !outlet.get(facts::EDITION).is_known()) {
            outlet.set(facts::EDITION, Fact::Known(edition));
            alike.share(outlet);
        }
    }
    let (subjects, sharing) = Subjects::and_sharing(&outlets);
    let (shared, disagreements) = share(&mut outlets, &sharing);
    let found = judge(&outlets, &texts, &subjects, &shared, options);
    Audit {
        rows: outlets.len() as u64,
        devices: outlets.iter().map(devices).sum(),
        outlets,
        texts,
        selection: options.selection.clone(),
        subjects,
        findings: found.findings,
        lawful_as_built: found.lawful_as_built,
        also_against: options.also_against,
        amendments: options.amendments.to_vec(),
        gaps: found.gaps,
        waiting: found.waiting,
        tallies: found.tallies,
        reached: found.reached,
        verdicts: found.verdicts,
        measure_again: found.measure_again,
        shared,
        disagreements,
        crashes: found.crashes,
    }
}

/// Verdicts that reach the subjects of a first row, counted: all but not-applicable.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Reached {
    /// All of them.
    pub all: u32,
    /// Those that wait for facts.
    pub undetermined: u32,
}

impl Audit {
    /// Whether any rule was violated.
    pub fn has_violations(&self) -> bool {
        self.findings.iter().any(|finding| finding.kind() == VerdictKind::Violates)
    }

    /// The outlet at a place of the list.
    pub fn outlet(&self, place: u32) -> &Outlet {
        &self.outlets[place as usize]
    }

    /// How many devices the rows stand for, rows with a quantity counted as often.
    pub const fn device_count(&self) -> u64 {
        self.devices
    }
}

/// How many devices a row stands for: one unless it says otherwise.
pub fn devices(outlet: &Outlet) -> u64 {
    u64::from(outlet.get(facts::QUANTITY).known().unwrap_or(1))
}
