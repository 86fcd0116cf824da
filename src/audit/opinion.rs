//! What the rules say of one subject: an opinion, which holds for every subject that is alike.
//!
//! Owns asking the rules of a kind, one after the other, and what their answers mean: verdicts, findings,
//! what is missing, what to measure again. An opinion names members by their place in the subject, so
//! that it can be told of another one. It counts nothing: that is the business of [`super::judge`].

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

use crate::code::{Amendment, Change};
use crate::outlet::words::Edition;
use crate::outlet::{Field, Length, Outlet, Text, Texts, facts};
use crate::rules::{
    Explorer, Judgement, Missing, Rule, Subject, SubjectKind, Swing, Verdict, VerdictKind,
    usual_resolution,
};

use super::finding::{Crash, FindingAnswer, Found, Lack, MeasureAgain, VerdictRow};
use super::options::Options;
use super::share::Shared;
use super::tally::Reached;

/// What the rules of a kind say of a subject.
#[derive(Default)]
pub(super) struct Opinion {
    /// One a rule, those that failed left out.
    pub(super) lines: Vec<Line>,
    /// Verdicts that reach the subject.
    pub(super) reached: Reached,
    /// Places of what members lack, by member.
    pub(super) lacks: Vec<(u16, u32)>,
    /// The same before it is kept in one place.
    pub(super) lack_of: BTreeMap<u16, Lack>,
    pub(super) findings: Vec<Arc<Found>>,
    pub(super) lawful_as_built: Vec<Arc<Found>>,
    /// Without its outlet.
    pub(super) measure_again: Vec<MeasureAgain>,
    pub(super) crashes: Vec<Crash>,
    /// How many subjects share the opinion.
    pub(super) subjects: u64,
}

/// The verdict of one rule.
pub(super) struct Line {
    rule: &'static Rule,
    pub(super) index: u16,
    pub(super) kind: VerdictKind,
    pub(super) missing: Missing,
    borderline: bool,
}

impl Line {
    /// The verdict on the subject whose first member stands at a place.
    pub(super) const fn verdict_row(&self, first: u32) -> VerdictRow {
        VerdictRow {
            rule: self.rule,
            subject: self.rule.subject,
            first,
            kind: self.kind,
            missing: self.missing,
            borderline: self.borderline,
        }
    }
}

/// What the rules are asked with.
pub(super) struct Panel<'a> {
    pub(super) outlets: &'a [Outlet],
    pub(super) texts: &'a Texts,
    pub(super) shared: &'a Shared,
    pub(super) options: &'a Options<'a>,
    pub(super) amended: Amended,
}

/// Which amendment holds for a rule in a building.
pub(super) struct Amended {
    /// For each rule of the selection, its amendments: a place in the list, and the buildings for which
    /// it holds; none where it holds for all.
    by_rule: Vec<Vec<(usize, Option<Vec<Text>>)>>,
}

impl Amended {
    pub(super) fn of(options: &Options<'_>, texts: &Texts) -> Self {
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

/// A subject whose rules are being asked: its first member, and what they said so far.
struct Asked<'a> {
    subject: Subject<'a>,
    first: u32,
    explorer: &'a mut Explorer,
    opinion: Opinion,
}

impl Panel<'_> {
    /// The building of an outlet, where amendments let it have a say.
    pub(super) fn building(&self, outlet: &Outlet) -> Option<i64> {
        let building = || outlet.raw(Field::Building).known().unwrap_or(-1);
        (!self.options.amendments.is_empty()).then(building)
    }

    /// How finely a length of the subject with this first outlet was measured.
    pub(super) fn resolution(&self, first: u32, field: Field) -> Length {
        let told = self.options.resolution.and_then(|resolution| {
            let recorded_by = self.shared.recorded_by(first, field);
            resolution(&self.outlets[recorded_by as usize], field)
        });
        told.unwrap_or_else(|| usual_resolution(field))
    }

    /// Asks all rules of a kind.
    pub(super) fn opinion(
        &self,
        kind: SubjectKind,
        subject: Subject<'_>,
        places: &[u32],
        explorer: &mut Explorer,
    ) -> Opinion {
        let mut asked = Asked { subject, first: places[0], explorer, opinion: Opinion::default() };
        for (rule, index) in self.options.selection.rules().iter().zip(0..) {
            if rule.subject == kind {
                self.ask(rule, index, &mut asked);
            }
        }
        asked.opinion
    }

    fn ask(&self, rule: &'static Rule, index: u16, asked: &mut Asked<'_>) {
        let amendment = self.amended.of_rule(index, asked.subject.members[0]);
        let change = amendment.map(|place| &self.options.amendments[place].change);
        let subject = Subject { amended: change, ..asked.subject };
        let Some(judgement) = self.judged(rule, subject, asked) else { return };
        let kind = judgement.verdict.kind();
        let missing = match judgement.verdict {
            Verdict::Undetermined(missing) => missing,
            _ => Missing::default(),
        };
        let borderline = judgement.is_borderline();
        let opinion = &mut asked.opinion;
        opinion.lines.push(Line { rule, index, kind, missing, borderline });
        opinion.reached.all += u32::from(kind != VerdictKind::NotApplicable);
        opinion.reached.undetermined += u32::from(kind == VerdictKind::Undetermined);
        if let Some(swing) = judgement.to_measure_again() {
            opinion.measure_again.push(measure_again(index, &judgement.verdict, swing));
        }
        if kind == VerdictKind::Undetermined {
            note_gap(index, missing, subject, opinion);
        } else if let Some(answer) = FindingAnswer::of(judgement.verdict) {
            let heard = |change: &Change| change.reaches(subject.editions);
            let amendment = amendment.filter(|_| change.is_some_and(heard));
            let found = found(rule, answer, borderline, subject, asked.explorer);
            opinion.findings.push(Arc::new(Found { amendment, ..found }));
        }
        let lawful = matches!(kind, VerdictKind::Complies | VerdictKind::NotApplicable);
        if let Some(newer) = self.options.also_against.filter(|_| lawful) {
            self.ask_by_newer(rule, newer, subject, asked);
        }
    }

    /// The verdict of a rule; none where the rule fails, which is noted.
    fn judged(
        &self,
        rule: &'static Rule,
        subject: Subject<'_>,
        asked: &mut Asked<'_>,
    ) -> Option<Judgement> {
        let first = asked.first;
        let resolution = |field| self.resolution(first, field);
        let explorer = &mut *asked.explorer;
        let judged = catch_unwind(AssertUnwindSafe(|| rule.judge(subject, explorer, &resolution)));
        match judged {
            Ok(judgement) => Some(judgement),
            Err(panic) => {
                *asked.explorer = Explorer::default();
                let message = panic_message(&*panic);
                asked.opinion.crashes.push(Crash { rule, first, message });
                None
            }
        }
    }

    /// What is lawful under its own edition, judged again by a newer one.
    fn ask_by_newer(
        &self,
        rule: &'static Rule,
        newer: Edition,
        subject: Subject<'_>,
        asked: &mut Asked<'_>,
    ) {
        let older = |edition: &Edition| *edition != Edition::Other && *edition < newer;
        if !subject.editions.iter().all(older) {
            return;
        }
        let subject = Subject { editions: &[newer], ..subject };
        let Some(judgement) = self.judged(rule, subject, asked) else { return };
        let borderline = judgement.is_borderline();
        if let Verdict::Violates(violation) = judgement.verdict {
            let answer = FindingAnswer::Violates(violation);
            let found = found(rule, answer, borderline, subject, asked.explorer);
            asked.opinion.lawful_as_built.push(Arc::new(found));
        }
    }
}

/// A gap belongs to the members that lack one of the facts; a conflict to the first.
fn note_gap(index: u16, missing: Missing, subject: Subject<'_>, opinion: &mut Opinion) {
    let lacks = |outlet: &Outlet| {
        missing.facts().any(|fact| fact.fields().iter().all(|field| !outlet.raw(*field).is_known()))
    };
    let members = subject.members.iter().zip(0..);
    let mut owners: Vec<u16> =
        members.filter(|(outlet, _)| lacks(outlet)).map(|(_, member)| member).collect();
    if owners.is_empty() {
        owners.push(0);
    }
    for member in owners {
        let lack = opinion.lack_of.entry(member).or_default();
        lack.rules.push(index);
        lack.missing.extend(missing);
    }
}

/// What is at stake is the violation, whether it stands or is one step away.
fn measure_again(rule: u16, stands: &Verdict, swing: &Swing) -> MeasureAgain {
    let (stake, limit) = match (stands, &swing.otherwise) {
        (Verdict::Violates(violation), _) | (_, Verdict::Violates(violation)) => {
            (violation.what, violation.limit)
        }
        (_, Verdict::Authority(question)) => (*question, None),
        _ => ("", None),
    };
    MeasureAgain {
        rule,
        outlet: 0,
        field: swing.field,
        resolution: swing.resolution,
        stands: stands.kind(),
        otherwise: swing.otherwise.kind(),
        stake,
        limit,
    }
}

/// What a rule found of a subject.
fn found(
    rule: &'static Rule,
    answer: FindingAnswer,
    borderline: bool,
    subject: Subject<'_>,
    explorer: &Explorer,
) -> Found {
    let evidence = explorer.evidence().iter();
    Found {
        rule,
        answer,
        evidence: evidence.map(|fact| (u32::from(fact.member), fact.field)).collect(),
        inferences: explorer.inferences(),
        amendment: None,
        editions: subject.editions.into(),
        borderline,
    }
}

fn panic_message(panic: &(dyn std::any::Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().map(|text| (*text).to_owned());
    text.or_else(|| panic.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "no message".to_owned())
}
