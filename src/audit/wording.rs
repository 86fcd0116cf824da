//! Findings in words: what is wrong and by how much, where it stands, what to do.

use std::borrow::Cow;

use crate::outlet::words::Edition;
use crate::outlet::{Field, Outlet, Texts, shown};
use crate::rules::{Bound, Measured, SubjectKind, VerdictKind};

use super::finding::{Finding, FindingAnswer, Found};
use super::run::Audit;
use super::subjects::{editions, subject_name, text_of};

/// Bytes of most messages at most.
const MESSAGE: usize = 160;

/// A recorded value as people read it; empty when nothing is recorded.
pub fn value_text(outlet: &Outlet, field: Field, texts: &Texts) -> String {
    outlet.raw(field).known().map_or_else(String::new, |raw| shown(field, raw, texts))
}

/// What is allowed, as people read it.
pub fn bound_text(bound: Bound) -> String {
    match bound {
        Bound::AtMost(limit) => format!("at most {}", limit.text()),
        Bound::AtLeast(limit) => format!("at least {}", limit.text()),
        Bound::Words(words) => words.to_owned(),
        Bound::VoltsAtMost(volts) => format!("at most {volts} V"),
        Bound::VolumeAtMost(volume) => format!("at most {volume}"),
        Bound::CountAtLeast(count) => format!("at least {count}"),
        Bound::VoltAmperesAtMost(load) => format!("at most {load} VA"),
    }
}

impl Found {
    /// What is wrong, with these figures and the conclusions that were drawn; or the question.
    pub fn message(&self, measured: &str, limit: &str) -> String {
        let what = match &self.answer {
            FindingAnswer::Violates(violation) => violation.what,
            FindingAnswer::Authority(question) => question,
        };
        let figures = [(": ", measured), ("; allowed: ", limit)];
        let figures = figures.into_iter().filter(|(_, figure)| !figure.is_empty());
        let drawn = self.inferences.iter().map(|one| ("; ", one.sentence()));
        let parts = std::iter::once(("", what)).chain(figures).chain(drawn);
        let mut message = String::with_capacity(MESSAGE);
        for (joint, part) in parts {
            message.push_str(joint);
            message.push_str(part);
        }
        message
    }
}

impl Audit {
    /// What was measured or counted; empty where no figure decides.
    pub fn measured_text(&self, finding: &Finding) -> String {
        let FindingAnswer::Violates(violation) = &finding.answer else { return String::new() };
        match violation.measured {
            None => String::new(),
            Some(Measured::Fact(fact)) => {
                let place = finding.members[usize::from(fact.member)];
                let value = value_text(self.outlet(place), fact.field, &self.texts);
                match fact.field {
                    Field::CircuitAmps | Field::Volts => format!("circuit of {value}"),
                    Field::ThreadsPerInch => format!("{value} threads per inch"),
                    _ => value,
                }
            }
            Some(Measured::Volts(volts)) => format!("{volts} V"),
            Some(Measured::Volume(volume)) => volume.to_string(),
            Some(Measured::Count(count)) => count.to_string(),
            Some(Measured::VoltAmperes(load)) => format!("{load} VA"),
        }
    }

    /// What is allowed; empty where no figure decides.
    pub fn limit_text(&self, finding: &Finding) -> String {
        let FindingAnswer::Violates(violation) = &finding.answer else { return String::new() };
        violation.limit.map_or_else(String::new, bound_text)
    }

    /// What is wrong, with its figures and the conclusions that were drawn; or the question.
    pub fn message(&self, finding: &Finding) -> String {
        finding.message(&self.measured_text(finding), &self.limit_text(finding))
    }

    /// The sections that a finding rests on, and the local amendment that had a say.
    pub fn citation(&self, finding: &Finding) -> String {
        self.with_amendment(finding, finding.rule.citation.text(&self.cited_editions(finding)))
    }

    /// The same with the mark of confidence beside each section.
    pub fn marked_citation(&self, finding: &Finding) -> String {
        self.with_amendment(finding, finding.rule.citation.marked(&self.cited_editions(finding)))
    }

    /// The editions that govern the subject of a finding, as its rows record them.
    pub fn governing(&self, finding: &Finding) -> Vec<Edition> {
        let members: Vec<&Outlet> =
            finding.members.iter().map(|place| self.outlet(*place)).collect();
        let mut governing = Vec::new();
        editions(&members, &mut governing);
        governing
    }

    /// The editions by which the subject was judged: a rule that an amendment carries into an edition is
    /// cited as it stands where it comes from.
    fn cited_editions(&self, finding: &Finding) -> Vec<Edition> {
        let change = finding.amendment.map(|place| &self.amendments[place].change);
        let mut editions: Vec<Edition> = finding
            .editions
            .iter()
            .map(|edition| change.map_or(*edition, |change| change.edition(*edition)))
            .collect();
        editions.dedup();
        editions
    }

    fn with_amendment(&self, finding: &Finding, cited: String) -> String {
        match finding.amendment {
            Some(place) => format!("{cited}, as amended by {}", self.amendments[place].citation),
            None => cited,
        }
    }

    /// What to do; for a question, whom to ask.
    pub fn remedy(&self, finding: &Finding) -> &'static str {
        match &finding.answer {
            FindingAnswer::Violates(violation) => violation.remedy,
            FindingAnswer::Authority(_) => "ask the authority having jurisdiction",
        }
    }

    /// The trade that is to correct a finding, and whether the schedule names it.
    pub fn trade(&self, finding: &Finding) -> (&str, bool) {
        let named = text_of(self.outlet(finding.first()), Field::Trade, &self.texts);
        if named.is_empty() { (finding.rule.corrects.word(), false) } else { (named, true) }
    }

    /// The name of the finding's subject.
    pub fn subject(&self, finding: &Finding) -> Cow<'_, str> {
        let first = self.outlet(finding.first());
        subject_name(finding.rule.subject, first, &self.texts)
    }

    /// The names of the other outlets that a finding of a group rests on, in the order of their rows.
    pub fn others(&self, finding: &Finding) -> Vec<String> {
        if let [_] = *finding.members {
            return Vec::new();
        }
        let mut places: Vec<u32> = finding.evidence().map(|(place, _)| place).collect();
        places.sort_unstable();
        places.dedup();
        let others = places.into_iter().filter(|place| *place != finding.first());
        let name = |place| subject_name(SubjectKind::Outlet, self.outlet(place), &self.texts);
        others.map(|place| name(place).into_owned()).collect()
    }

    /// How many findings are violations.
    pub fn violation_count(&self) -> usize {
        let violates = |finding: &&Finding| finding.kind() == VerdictKind::Violates;
        self.findings.iter().filter(violates).count()
    }
}
