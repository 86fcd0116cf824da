//! What the answer of an authority does to an audit: the counts follow, so that the five verdicts of a rule
//! still add up to its subjects.

use crate::rules::{VerdictKind, Violation};

use super::finding::{Finding, FindingAnswer};
use super::run::Audit;
use super::subjects::text_of;
use crate::outlet::Field;

const REFUSED: Violation = Violation::new(
    "the authority having jurisdiction refused what the rule leaves to it",
    "correct it as the ruling of the authority says",
);

impl Finding {
    /// Whether it is a violation, not a question.
    pub fn is_violation(&self) -> bool {
        self.kind() == VerdictKind::Violates
    }
}

impl Audit {
    /// Takes the verdict of a finding that was accepted out of the counts of violations and questions: it
    /// counts as one that complies, and its measurement need not be taken again. The finding itself is the
    /// caller's to keep.
    pub fn settle(&mut self, finding: &Finding) {
        self.reclassify(finding, VerdictKind::Complies);
        let (rules, name) = (self.selection.rules(), finding.rule.name);
        self.measure_again.retain(|again| {
            again.outlet != finding.first() || rules[usize::from(again.rule)].name != name
        });
    }

    /// Makes a question that was refused a violation.
    pub fn refuse(&mut self, finding: &mut Finding) {
        if finding.kind() == VerdictKind::Authority {
            self.reclassify(finding, VerdictKind::Violates);
            finding.answer_anew(FindingAnswer::Violates(REFUSED));
        }
    }

    fn reclassify(&mut self, finding: &Finding, to: VerdictKind) {
        let name = finding.rule.name;
        if let Some(tally) = self.tallies.iter_mut().find(|tally| tally.rule.name == name) {
            tally.reclassify(finding.kind(), to);
        }
    }

    /// The `outlet_id` of each outlet that a finding is about; empty where none is recorded.
    pub fn outlet_ids(&self, finding: &Finding) -> impl Iterator<Item = &str> {
        let members = finding.members.iter();
        members.map(|one| text_of(self.outlet(*one), Field::OutletId, &self.texts))
    }
}
