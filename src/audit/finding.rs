//! What an audit finds, and what it could not decide.

use std::ops::Deref;
use std::sync::Arc;

use crate::outlet::words::Edition;
use crate::outlet::{Field, Length};
use crate::rules::{
    Bound, Inferences, Missing, MissingFact, Rule, SubjectKind, Verdict, VerdictKind, Violation,
};

use super::subjects::Members;

/// A violation, or a question for the authority.
///
/// Hundreds of thousands of findings say the same of different subjects, so what they say is kept once.
#[derive(Clone)]
pub struct Finding {
    /// The members of its subject, as places in the list of outlets, in the order of their rows.
    pub members: Members<Box<[u32]>>,
    found: Arc<Found>,
}

/// What a rule found of a subject, and of all that are alike.
#[derive(Clone)]
pub struct Found {
    /// The rule.
    pub rule: &'static Rule,
    /// What it answered.
    pub answer: FindingAnswer,
    /// The recorded facts on which it rests: a member of the subject, and the field.
    pub(super) evidence: Vec<(u32, Field)>,
    /// Conclusions that were drawn on the way.
    pub inferences: Inferences,
    /// The editions that may govern the subject.
    pub editions: Arc<[Edition]>,
    /// The local amendment that had a say, as a place in the list of the run.
    pub amendment: Option<usize>,
    /// Whether a measurement of ordinary care could come out otherwise.
    pub borderline: bool,
}

/// What a rule answered where it found something.
#[derive(Clone, PartialEq, Debug)]
pub enum FindingAnswer {
    /// The rule is broken.
    Violates(Violation),
    /// The authority decides; the question.
    Authority(&'static str),
}

impl FindingAnswer {
    /// The answer of a verdict that is a finding.
    pub(super) fn of(verdict: Verdict) -> Option<Self> {
        match verdict {
            Verdict::Violates(violation) => Some(Self::Violates(violation)),
            Verdict::Authority(question) => Some(Self::Authority(question)),
            Verdict::Complies | Verdict::NotApplicable(_) | Verdict::Undetermined(_) => None,
        }
    }
}

impl Deref for Finding {
    type Target = Found;

    fn deref(&self) -> &Found {
        &self.found
    }
}

impl Finding {
    /// What was found, of the subject whose members stand at these places.
    pub(super) fn of(found: &Arc<Found>, places: &[u32]) -> Self {
        Self { members: Members::keep(places), found: Arc::clone(found) }
    }

    /// The recorded facts on which it rests: a place in the list of outlets, and the field.
    pub fn evidence(&self) -> impl Iterator<Item = (u32, Field)> {
        let place = |member: u32| self.members.get(member as usize).copied();
        self.found
            .evidence
            .iter()
            .filter_map(move |(member, field)| Some((place(*member)?, *field)))
    }

    /// Gives it another answer than its like.
    pub(super) fn answer_anew(&mut self, answer: FindingAnswer) {
        Arc::make_mut(&mut self.found).answer = answer;
    }

    /// The first member: the row that the finding is listed under.
    pub fn first(&self) -> u32 {
        self.members.first().copied().unwrap_or_default()
    }

    /// Gives its outlets other places.
    pub(super) fn move_to(&mut self, place: impl Fn(u32) -> u32) {
        self.members.iter_mut().for_each(|one| *one = place(*one));
    }
}

impl Found {
    /// Its verdict.
    pub const fn kind(&self) -> VerdictKind {
        match self.answer {
            FindingAnswer::Violates(_) => VerdictKind::Violates,
            FindingAnswer::Authority(_) => VerdictKind::Authority,
        }
    }
}

/// What is missing of one outlet: which rules wait, and for which facts.
#[derive(Clone, Debug)]
pub struct Gap {
    /// The outlet, as a place in the list.
    pub outlet: u32,
    pub(super) lack: Arc<Lack>,
}

/// Rules that wait, and for which facts: kept once for all outlets that lack the same.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub struct Lack {
    /// The rules that wait, as places in the selection.
    pub rules: Vec<u16>,
    /// The facts that would settle them.
    pub missing: Missing,
}

impl Lack {
    /// What both lack.
    pub(super) fn with(&self, other: &Self) -> Self {
        let mut both = self.clone();
        both.rules.extend(&other.rules);
        both.rules.sort_unstable();
        both.rules.dedup();
        both.missing.extend(other.missing);
        both
    }
}

impl Deref for Gap {
    type Target = Lack;

    fn deref(&self) -> &Lack {
        &self.lack
    }
}

/// How many subjects wait for the same facts under one rule.
#[derive(Clone)]
pub struct Waiting {
    /// The rule.
    pub rule: &'static Rule,
    /// The facts.
    pub missing: Missing,
    /// How many of its subjects.
    pub subjects: u64,
}

impl Waiting {
    /// Whether a fact is among those waited for.
    pub const fn waits_for(&self, fact: MissingFact) -> bool {
        self.missing.contains(fact)
    }
}

/// One verdict of one rule on one subject.
#[derive(Clone)]
pub struct VerdictRow {
    /// The rule.
    pub rule: &'static Rule,
    /// The kind of subject.
    pub subject: SubjectKind,
    /// Its first member, as a place in the list of outlets.
    pub first: u32,
    /// The verdict.
    pub kind: VerdictKind,
    /// What it waits for, when it is undetermined.
    pub missing: Missing,
    /// Whether a measurement of ordinary care could come out otherwise.
    pub borderline: bool,
}

/// A verdict that hangs on one measurement: one step of its resolution parts right from wrong.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct MeasureAgain {
    /// Place of the rule in the selection.
    pub rule: u16,
    /// The outlet, as a place in the list.
    pub outlet: u32,
    /// The length that is to be measured again.
    pub field: Field,
    /// How finely it was measured.
    pub resolution: Length,
    /// The verdict as it stands.
    pub stands: VerdictKind,
    /// The verdict one step away.
    pub otherwise: VerdictKind,
    /// What is wrong, or would be: the violation's clause or the question for the authority; empty where
    /// facts would be missing.
    pub stake: &'static str,
    /// What is allowed, where the violation says it.
    pub limit: Option<Bound>,
}

/// A rule that failed on a subject: a defect of the program, shown and never hidden.
#[derive(Clone)]
pub struct Crash {
    /// The rule.
    pub rule: &'static Rule,
    /// The first member of the subject.
    pub first: u32,
    /// What the failure said.
    pub message: String,
}
