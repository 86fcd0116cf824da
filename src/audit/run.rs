//! Running every rule over every subject.

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};

use rayon::prelude::*;

use crate::outlet::words::Edition;
use crate::outlet::{Fact, Field, Length, Outlet, Texts, facts};
use crate::rules::{
    Explorer, Judgement, Missing, Rule, Subject, SubjectKind, Swing, Verdict, VerdictKind,
};

use super::finding::{Crash, Finding, FindingAnswer, Gap, MeasureAgain, VerdictRow, Waiting};
use super::selection::Selection;
use super::share::{Disagreement, Shared, share};
use super::subjects::{Subjects, editions};
use super::tally::Tally;

/// How an audit is run.
pub struct Options<'a> {
    /// The rules.
    pub selection: &'a Selection,
    /// The edition for rows that record none that can be read.
    pub edition: Option<Edition>,
    /// Whether to keep every verdict, not only the findings.
    pub keep_verdicts: bool,
    /// How finely a length of an outlet was measured.
    pub resolution: &'a (dyn Fn(&Outlet, Field) -> Length + Sync),
    /// Called once, with the number of subjects that will be judged.
    pub begin: &'a (dyn Fn(u64) + Sync),
    /// Called with the number of subjects judged since the last call.
    pub progress: &'a (dyn Fn(u64) + Sync),
}

/// What an audit found.
pub struct Audit {
    /// The outlets in the order of their rows, with the facts that rows share filled in.
    pub outlets: Vec<Outlet>,
    /// Their texts.
    pub texts: Texts,
    /// The rules that ran.
    pub selection: Selection,
    /// The groups that the outlets form.
    pub subjects: Subjects,
    /// Violations and questions for the authority, by row and rule.
    pub findings: Vec<Finding>,
    /// What is missing, one entry an outlet, by row.
    pub gaps: Vec<Gap>,
    /// How many subjects wait for the same facts, by rule.
    pub waiting: Vec<Waiting>,
    /// The verdicts of each rule, counted.
    pub tallies: Vec<Tally>,
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

/// Subjects that one task judges before it reports: enough to make the hand-over cheap.
const CHUNK: usize = 512;

/// Audits the outlets. The result does not depend on the number of threads.
pub fn run(mut outlets: Vec<Outlet>, texts: Texts, options: &Options<'_>) -> Audit {
    outlets.sort_by_key(|outlet| outlet.origin);
    if let Some(edition) = options.edition {
        for outlet in outlets.iter_mut().filter(|outlet| !outlet.get(facts::EDITION).is_known()) {
            outlet.set(facts::EDITION, Fact::Known(edition));
        }
    }
    let (shared, disagreements) = share(&mut outlets);
    let subjects = Subjects::of(&outlets);
    let bench =
        Bench { outlets: &outlets, texts: &texts, subjects: &subjects, shared: &shared, options };
    let chunks = bench.chunks();
    (options.begin)(chunks.iter().map(|chunk| (chunk.to - chunk.from) as u64).sum());
    let parts: Vec<Part> = chunks
        .into_par_iter()
        .map_init(Explorer::default, |explorer, chunk| bench.judge_chunk(chunk, explorer))
        .collect();
    let whole = Part::join(parts, options.selection);
    whole.into_audit(Audit {
        outlets,
        texts,
        selection: options.selection.clone(),
        subjects,
        findings: Vec::new(),
        gaps: Vec::new(),
        waiting: Vec::new(),
        tallies: Vec::new(),
        verdicts: Vec::new(),
        measure_again: Vec::new(),
        shared,
        disagreements,
        crashes: Vec::new(),
    })
}

/// Subjects of one kind, from one place to another.
#[derive(Clone, Copy)]
struct Chunk {
    kind: SubjectKind,
    from: usize,
    to: usize,
}

/// What every task reads.
struct Bench<'a> {
    outlets: &'a [Outlet],
    texts: &'a Texts,
    subjects: &'a Subjects,
    shared: &'a Shared,
    options: &'a Options<'a>,
}

/// What the tasks found.
struct Part {
    findings: Vec<Finding>,
    gaps: BTreeMap<u32, Gap>,
    waiting: BTreeMap<(u16, Missing), u64>,
    tallies: Vec<Tally>,
    verdicts: Vec<VerdictRow>,
    measure_again: Vec<MeasureAgain>,
    crashes: Vec<Crash>,
}

impl Bench<'_> {
    fn chunks(&self) -> Vec<Chunk> {
        let mut chunks = Vec::new();
        for kind in SubjectKind::ALL {
            let count = self.subjects.count(kind);
            for from in (0..count).step_by(CHUNK) {
                chunks.push(Chunk { kind, from, to: (from + CHUNK).min(count) });
            }
        }
        chunks
    }

    fn judge_chunk(&self, chunk: Chunk, explorer: &mut Explorer) -> Part {
        let mut part = Part::new(self.options.selection);
        let mut governing = Vec::new();
        for place in chunk.from..chunk.to {
            let places = self.subjects.members(chunk.kind, place);
            let members: Vec<&Outlet> =
                places.iter().map(|place| &self.outlets[*place as usize]).collect();
            editions(&members, &mut governing);
            let subject = Subject { members: &members, editions: &governing, texts: self.texts };
            for (rule, index) in self.options.selection.rules().iter().zip(0..) {
                if rule.subject == chunk.kind {
                    self.judge(rule, index, subject, &places, explorer, &mut part);
                }
            }
        }
        (self.options.progress)((chunk.to - chunk.from) as u64);
        part
    }

    fn judge(
        &self,
        rule: &'static Rule,
        index: u16,
        subject: Subject<'_>,
        places: &[u32],
        explorer: &mut Explorer,
        part: &mut Part,
    ) {
        let first = places[0];
        let resolution = |field| {
            let recorded_by = self.shared.recorded_by(first, field);
            (self.options.resolution)(&self.outlets[recorded_by as usize], field)
        };
        let judged = catch_unwind(AssertUnwindSafe(|| rule.judge(subject, explorer, &resolution)));
        let judgement = match judged {
            Ok(judgement) => judgement,
            Err(panic) => {
                *explorer = Explorer::default();
                part.crashes.push(Crash { rule, first, message: panic_message(&*panic) });
                return;
            }
        };
        part.tallies[usize::from(index)].add(judgement.verdict.kind());
        if self.options.keep_verdicts {
            part.verdicts.push(verdict_row(rule, first, &judgement));
        }
        if let Some(swing) = judgement.to_measure_again() {
            part.measure_again.push(measure_again(index, first, &judgement.verdict, swing));
        }
        let borderline = judgement.is_borderline();
        match judgement.verdict {
            Verdict::Complies | Verdict::NotApplicable(_) => {}
            Verdict::Undetermined(missing) => {
                *part.waiting.entry((index, missing)).or_default() += 1;
                self.note_gap(index, missing, places, part);
            }
            Verdict::Violates(violation) => {
                let answer = FindingAnswer::Violates(violation);
                part.findings.push(finding(rule, answer, borderline, subject, places, explorer));
            }
            Verdict::Authority(question) => {
                let answer = FindingAnswer::Authority(question);
                part.findings.push(finding(rule, answer, borderline, subject, places, explorer));
            }
        }
    }

    /// A gap belongs to the members that lack one of the facts; a conflict to the first.
    fn note_gap(&self, index: u16, missing: Missing, places: &[u32], part: &mut Part) {
        let lacks = |place: &&u32| {
            let outlet = &self.outlets[**place as usize];
            missing
                .facts()
                .any(|fact| fact.fields().iter().all(|field| !outlet.raw(*field).is_known()))
        };
        let mut owners: Vec<u32> = places.iter().filter(lacks).copied().collect();
        if owners.is_empty() {
            owners.push(places[0]);
        }
        for outlet in owners {
            let gap = part.gaps.entry(outlet).or_insert_with(|| Gap {
                outlet,
                rules: Vec::new(),
                missing: Missing::default(),
            });
            gap.rules.push(index);
            gap.missing.extend(missing);
        }
    }
}

fn verdict_row(rule: &'static Rule, first: u32, judgement: &Judgement) -> VerdictRow {
    let missing = match judgement.verdict {
        Verdict::Undetermined(missing) => missing,
        _ => Missing::default(),
    };
    VerdictRow {
        rule,
        subject: rule.subject,
        first,
        kind: judgement.verdict.kind(),
        missing,
        borderline: judgement.is_borderline(),
    }
}

/// What is at stake is the violation, whether it stands or is one step away.
fn measure_again(rule: u16, outlet: u32, stands: &Verdict, swing: &Swing) -> MeasureAgain {
    let (stake, limit) = match (stands, &swing.otherwise) {
        (Verdict::Violates(violation), _) | (_, Verdict::Violates(violation)) => {
            (violation.what, violation.limit)
        }
        (_, Verdict::Authority(question)) => (*question, None),
        _ => ("", None),
    };
    MeasureAgain {
        rule,
        outlet,
        field: swing.field,
        resolution: swing.resolution,
        stands: stands.kind(),
        otherwise: swing.otherwise.kind(),
        stake,
        limit,
    }
}

fn finding(
    rule: &'static Rule,
    answer: FindingAnswer,
    borderline: bool,
    subject: Subject<'_>,
    places: &[u32],
    explorer: &Explorer,
) -> Finding {
    let evidence = explorer.evidence().iter();
    Finding {
        rule,
        answer,
        members: places.to_vec(),
        evidence: evidence.map(|fact| (places[usize::from(fact.member)], fact.field)).collect(),
        inferences: explorer.inferences(),
        editions: subject.editions.to_vec(),
        borderline,
    }
}

fn panic_message(panic: &(dyn std::any::Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().map(|text| (*text).to_owned());
    text.or_else(|| panic.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "no message".to_owned())
}

impl Part {
    fn new(selection: &Selection) -> Self {
        Self {
            findings: Vec::new(),
            gaps: BTreeMap::new(),
            waiting: BTreeMap::new(),
            tallies: selection.rules().iter().map(|rule| Tally::new(rule)).collect(),
            verdicts: Vec::new(),
            measure_again: Vec::new(),
            crashes: Vec::new(),
        }
    }

    fn join(parts: Vec<Self>, selection: &Selection) -> Self {
        let mut whole = Self::new(selection);
        for part in parts {
            whole.findings.extend(part.findings);
            whole.verdicts.extend(part.verdicts);
            whole.measure_again.extend(part.measure_again);
            whole.crashes.extend(part.crashes);
            for (known, more) in whole.tallies.iter_mut().zip(&part.tallies) {
                known.merge(more);
            }
            for (key, count) in part.waiting {
                *whole.waiting.entry(key).or_default() += count;
            }
            for (outlet, gap) in part.gaps {
                let known = whole.gaps.entry(outlet).or_insert_with(|| Gap {
                    outlet,
                    rules: Vec::new(),
                    missing: Missing::default(),
                });
                known.rules.extend(gap.rules);
                known.missing.extend(gap.missing);
            }
        }
        whole
    }

    /// Puts what was found, in its order, into an audit that has nothing of it yet.
    fn into_audit(mut self, empty: Audit) -> Audit {
        self.findings.sort_by_key(|finding| (finding.first(), finding.rule.name));
        self.verdicts.sort_by_key(|row| (row.first, row.rule.name));
        self.measure_again.sort_by_key(|again| (again.outlet, again.rule));
        self.crashes.sort_by_key(|crash| (crash.first, crash.rule.name));
        for gap in self.gaps.values_mut() {
            gap.rules.sort_unstable();
            gap.rules.dedup();
        }
        let rules = empty.selection.rules();
        let waiting = self.waiting.into_iter().map(|((rule, missing), subjects)| Waiting {
            rule: rules[usize::from(rule)],
            missing,
            subjects,
        });
        Audit {
            waiting: waiting.collect(),
            findings: self.findings,
            gaps: self.gaps.into_values().collect(),
            tallies: self.tallies,
            verdicts: self.verdicts,
            measure_again: self.measure_again,
            crashes: self.crashes,
            ..empty
        }
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

    /// How many devices the outlets stand for, rows with a quantity counted as often.
    pub fn device_count(&self) -> u64 {
        self.outlets.iter().map(devices).sum()
    }
}

/// How many devices a row stands for: one unless it says otherwise.
pub fn devices(outlet: &Outlet) -> u64 {
    u64::from(outlet.get(facts::QUANTITY).known().unwrap_or(1))
}
