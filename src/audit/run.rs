//! Running an audit: the order of its steps, what comes of it.

use crate::code::Amendment;
use crate::outlet::words::Edition;
use crate::outlet::{Alike, Fact, Outlet, Texts, facts};
use crate::rules::VerdictKind;

use super::finding::{Crash, Finding, Gap, MeasureAgain, VerdictRow, Waiting};
use super::judge::judge;
use super::options::Options;
use super::selection::Selection;
use super::share::{Disagreement, Shared, share};
use super::subjects::Subjects;
use super::tally::{Reached, Tally};

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
