//! Running every rule over every subject.

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};

use rayon::prelude::*;

use crate::code::Amendment;
use crate::outlet::words::Edition;
use crate::outlet::{Fact, Field, Length, Outlet, Text, Texts, facts};
use crate::rules::{
    Explorer, Judgement, Missing, Rule, Subject, SubjectKind, Swing, Verdict, VerdictKind,
    usual_resolution,
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
    /// Local amendments; no two of one rule for one building.
    pub amendments: &'a [Amendment],
    /// A newer edition by which what is lawful as built is judged again.
    pub also_against: Option<Edition>,
    /// Whether to keep every verdict, not only the findings.
    pub keep_verdicts: bool,
    /// How finely a length of an outlet was measured.
    pub resolution: &'a (dyn Fn(&Outlet, Field) -> Length + Sync),
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
            resolution: &|_, field| usual_resolution(field),
            begin: &|_| {},
            progress: &|_| {},
        }
    }
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
    /// For each outlet, how many verdicts reach a subject of which it is the first row: all but
    /// not-applicable.
    pub reached: Vec<u32>,
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
    let amendments = Amended::of(options, &texts);
    let bench = Bench {
        outlets: &outlets,
        texts: &texts,
        subjects: &subjects,
        shared: &shared,
        amendments,
        options,
    };
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
        lawful_as_built: Vec::new(),
        also_against: options.also_against,
        amendments: options.amendments.to_vec(),
        gaps: Vec::new(),
        waiting: Vec::new(),
        tallies: Vec::new(),
        reached: Vec::new(),
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
    amendments: Amended,
    options: &'a Options<'a>,
}

/// Which amendment holds for a rule in a building.
struct Amended {
    /// For each rule of the selection, its amendments: a place in the list, and the buildings for which
    /// it holds; none where it holds for all.
    by_rule: Vec<Vec<(usize, Option<Vec<Text>>)>>,
}

impl Amended {
    fn of(options: &Options<'_>, texts: &Texts) -> Self {
        let of_rule = |rule: &&'static Rule| {
            let amendments = options.amendments.iter().enumerate();
            let named = amendments.filter(|(_, amendment)| amendment.rule == rule.name);
            named.map(|(place, amendment)| (place, buildings(amendment, texts))).collect()
        };
        Self { by_rule: options.selection.rules().iter().map(of_rule).collect() }
    }

    /// The amendment of a rule for the building of an outlet, as a place in the list.
    fn of_rule(&self, rule: u16, outlet: &Outlet) -> Option<usize> {
        let building = outlet.get(facts::BUILDING).known();
        let holds = |(_, buildings): &&(usize, Option<Vec<Text>>)| match buildings {
            None => true,
            Some(buildings) => building.is_some_and(|building| buildings.contains(&building)),
        };
        self.by_rule[usize::from(rule)].iter().find(holds).map(|(place, _)| *place)
    }
}

fn buildings(amendment: &Amendment, texts: &Texts) -> Option<Vec<Text>> {
    let names = &amendment.buildings;
    (!names.is_empty()).then(|| names.iter().filter_map(|name| texts.find(name)).collect())
}

/// What the tasks found.
struct Part {
    findings: Vec<Finding>,
    lawful_as_built: Vec<Finding>,
    gaps: BTreeMap<u32, Gap>,
    waiting: BTreeMap<(u16, Missing), u64>,
    tallies: Vec<Tally>,
    /// First rows of subjects, each with the verdicts that reach it.
    reached: Vec<(u32, u32)>,
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
            let subject = Subject {
                members: &members,
                editions: &governing,
                texts: self.texts,
                amended: None,
            };
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
        let amendment = self.amendments.of_rule(index, &self.outlets[first as usize]);
        let change = amendment.map(|place| &self.options.amendments[place].change);
        let subject = Subject { amended: change, ..subject };
        let Some(judgement) = self.judged(rule, subject, first, explorer, part) else { return };
        part.tallies[usize::from(index)].add(judgement.verdict.kind());
        part.note_reached(first, judgement.verdict.kind());
        if self.options.keep_verdicts {
            part.verdicts.push(verdict_row(rule, first, &judgement));
        }
        let kind = judgement.verdict.kind();
        if let Some(swing) = judgement.to_measure_again() {
            part.measure_again.push(measure_again(index, first, &judgement.verdict, swing));
        }
        let borderline = judgement.is_borderline();
        if let Verdict::Undetermined(missing) = judgement.verdict {
            *part.waiting.entry((index, missing)).or_default() += 1;
            self.note_gap(index, missing, places, part);
        } else if let Some(answer) = FindingAnswer::of(judgement.verdict) {
            let amendment =
                amendment.filter(|_| change.is_some_and(|change| change.reaches(subject.editions)));
            let found = finding(rule, answer, borderline, subject, places, explorer);
            part.findings.push(Finding { amendment, ..found });
        }
        let lawful = matches!(kind, VerdictKind::Complies | VerdictKind::NotApplicable);
        if let Some(newer) = self.options.also_against.filter(|_| lawful) {
            self.judge_by_newer(rule, newer, subject, places, explorer, part);
        }
    }

    /// The verdict of a rule; none where the rule fails, which is noted.
    fn judged(
        &self,
        rule: &'static Rule,
        subject: Subject<'_>,
        first: u32,
        explorer: &mut Explorer,
        part: &mut Part,
    ) -> Option<Judgement> {
        let resolution = |field| {
            let recorded_by = self.shared.recorded_by(first, field);
            (self.options.resolution)(&self.outlets[recorded_by as usize], field)
        };
        let judged = catch_unwind(AssertUnwindSafe(|| rule.judge(subject, explorer, &resolution)));
        match judged {
            Ok(judgement) => Some(judgement),
            Err(panic) => {
                *explorer = Explorer::default();
                part.crashes.push(Crash { rule, first, message: panic_message(&*panic) });
                None
            }
        }
    }

    /// What is lawful under its own edition, judged again by a newer one.
    fn judge_by_newer(
        &self,
        rule: &'static Rule,
        newer: Edition,
        subject: Subject<'_>,
        places: &[u32],
        explorer: &mut Explorer,
        part: &mut Part,
    ) {
        let older = |edition: &Edition| *edition != Edition::Other && *edition < newer;
        if !subject.editions.iter().all(older) {
            return;
        }
        let subject = Subject { editions: &[newer], ..subject };
        let Some(judgement) = self.judged(rule, subject, places[0], explorer, part) else { return };
        let borderline = judgement.is_borderline();
        if let Verdict::Violates(violation) = judgement.verdict {
            let answer = FindingAnswer::Violates(violation);
            let found = finding(rule, answer, borderline, subject, places, explorer);
            part.lawful_as_built.push(found);
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
        amendment: None,
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
            lawful_as_built: Vec::new(),
            gaps: BTreeMap::new(),
            waiting: BTreeMap::new(),
            tallies: selection.rules().iter().map(|rule| Tally::new(rule)).collect(),
            reached: Vec::new(),
            verdicts: Vec::new(),
            measure_again: Vec::new(),
            crashes: Vec::new(),
        }
    }

    fn note_reached(&mut self, first: u32, kind: VerdictKind) {
        if kind == VerdictKind::NotApplicable {
            return;
        }
        match self.reached.last_mut() {
            Some((outlet, count)) if *outlet == first => *count += 1,
            _ => self.reached.push((first, 1)),
        }
    }

    fn join(parts: Vec<Self>, selection: &Selection) -> Self {
        let mut whole = Self::new(selection);
        for part in parts {
            whole.findings.extend(part.findings);
            whole.lawful_as_built.extend(part.lawful_as_built);
            whole.reached.extend(part.reached);
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
        self.lawful_as_built.sort_by_key(|finding| (finding.first(), finding.rule.name));
        self.verdicts.sort_by_key(|row| (row.first, row.rule.name));
        self.measure_again.sort_by_key(|again| (again.outlet, again.rule));
        self.crashes.sort_by_key(|crash| (crash.first, crash.rule.name));
        for gap in self.gaps.values_mut() {
            gap.rules.sort_unstable();
            gap.rules.dedup();
        }
        let mut reached = vec![0; empty.outlets.len()];
        for (outlet, count) in self.reached {
            reached[outlet as usize] += count;
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
            lawful_as_built: self.lawful_as_built,
            gaps: self.gaps.into_values().collect(),
            tallies: self.tallies,
            reached,
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
