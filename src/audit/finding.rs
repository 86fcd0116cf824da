//! What an audit finds, and what it could not decide.

use std::ops::Deref;
use std::sync::Arc;

use crate::outlet::words::Edition;
use crate::outlet::{Field, Length};
use crate::rules::{
    Bound, Inferences, Missing, MissingFact, Rule, SubjectKind, Verdict, VerdictKind, Violation,
};

/// A violation, or a question for the authority.
#[derive(Clone)]
pub struct Finding {
    /// The rule.
    pub rule: &'static Rule,
    /// What it answered.
    pub answer: FindingAnswer,
    /// The members of its subject, as places in the list of outlets, in the order of their rows.
    pub members: Vec<u32>,
    /// The recorded facts on which it rests: a place in the list of outlets, and the field.
    pub evidence: Vec<(u32, Field)>,
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

impl Finding {
    /// The first member: the row that the finding is listed under.
    pub fn first(&self) -> u32 {
        self.members.first().copied().unwrap_or_default()
    }

    /// The finding of another subject that is alike: from places in a subject to places in the list of
    /// outlets.
    pub(super) fn at(&self, places: &[u32]) -> Self {
        let mut finding = self.clone();
        finding.move_to(|member| places[member as usize]);
        finding
    }

    /// Gives its outlets other places.
    pub(super) fn move_to(&mut self, place: impl Fn(u32) -> u32) {
        let members = self.members.iter_mut();
        for one in members.chain(self.evidence.iter_mut().map(|(outlet, _)| outlet)) {
            *one = place(*one);
        }
    }

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
