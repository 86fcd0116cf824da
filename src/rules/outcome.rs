//! What the worlds of a subject answered, and the verdict when they agree.
//!
//! Owns no exploring: that is the business of [`super::world`].

use super::verdict::{Verdict, Violation};
use super::world::Answer;

/// What the worlds below a leaf have in common. That a rule is kept and that it does not reach count
/// as one here: neither is a fault.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(super) enum Leaf {
    Fine,
    Violates,
    Authority,
    Unsettled,
    Impossible,
}

/// What the worlds answered so far.
#[derive(Default, Debug)]
pub(super) struct Outcome {
    complies: bool,
    unsettled: bool,
    not_applicable: Option<&'static str>,
    authority: Option<&'static str>,
    violation: Option<Violation>,
    evidence_of: Option<Leaf>,
    begun: bool,
}

impl Outcome {
    /// Whether any world has answered.
    pub(super) const fn has_begun(&self) -> bool {
        self.begun
    }

    pub(super) fn note(&mut self, answer: Answer) -> Leaf {
        self.begun = true;
        match answer {
            Answer::Complies => {
                self.complies = true;
                Leaf::Fine
            }
            Answer::NotApplicable(reason) => {
                self.not_applicable.get_or_insert(reason);
                Leaf::Fine
            }
            Answer::Violates(violation) => {
                self.violation.get_or_insert(violation);
                Leaf::Violates
            }
            Answer::Authority(question) => {
                self.authority.get_or_insert(question);
                Leaf::Authority
            }
            Answer::Unsettled => {
                self.unsettled = true;
                Leaf::Unsettled
            }
            Answer::Impossible => Leaf::Impossible,
        }
    }

    /// The evidence of a finding is what its first violating (or authority's) world read.
    pub(super) fn takes_evidence(&mut self, leaf: Leaf) -> bool {
        let first = self.evidence_of.is_none_or(|known| known == Leaf::Fine && leaf != Leaf::Fine);
        let takes = first && leaf != Leaf::Impossible;
        if takes {
            self.evidence_of = Some(leaf);
        }
        takes
    }

    pub(super) const fn only_impossible(&self) -> bool {
        !self.complies
            && !self.unsettled
            && self.not_applicable.is_none()
            && self.authority.is_none()
            && self.violation.is_none()
    }

    /// The verdict of all possible worlds, when they agree.
    pub(super) fn agreed(&self) -> Option<Verdict> {
        let fine = self.complies || self.not_applicable.is_some();
        match (fine, &self.violation, self.authority, self.unsettled) {
            (true, None, None, false) => Some(match self.not_applicable {
                Some(reason) if !self.complies => Verdict::NotApplicable(reason),
                _ => Verdict::Complies,
            }),
            (false, Some(violation), None, false) => Some(Verdict::Violates(violation.clone())),
            (false, None, Some(question), false) => Some(Verdict::Authority(question)),
            _ => None,
        }
    }
}
