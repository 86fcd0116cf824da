//! Findings in words: what is wrong and by how much, where it stands, what to do.

use crate::outlet::words::Edition;
use crate::outlet::{Configuration, Field, Kind, Length, Milli, Outlet, Texts, Value as _, Volume};
use crate::outlet::{Date, Text};
use crate::rules::{Bound, Measured, SubjectKind, VerdictKind};

use super::finding::{Finding, FindingAnswer};
use super::run::Audit;
use super::subjects::{subject_name, text_of};

/// A recorded value as people read it; empty when nothing is recorded.
pub fn value_text(outlet: &Outlet, field: Field, texts: &Texts) -> String {
    let Some(raw) = outlet.raw(field).known() else { return String::new() };
    let place = usize::try_from(raw).unwrap_or_default();
    match field.kind() {
        Kind::Text => texts.get(Text::from_raw(raw)).to_owned(),
        Kind::Count => raw.to_string(),
        Kind::Word(words) => words[place].to_owned(),
        Kind::Words(words) => set_text(words, raw),
        Kind::YesNo => if raw == 0 { "no" } else { "yes" }.to_owned(),
        Kind::Length => Length(raw).to_string(),
        Kind::Volume => Volume::from_raw(raw).to_string(),
        Kind::Voltage => format!("{} V", Milli(raw)),
        Kind::Current => format!("{} A", Milli(raw)),
        Kind::Awg => {
            use crate::outlet::{Gauge, Word as _};
            Gauge::from_raw(raw).word().to_owned()
        }
        Kind::Date => Date::from_raw(raw).to_string(),
        Kind::Configuration => Configuration::from_raw(raw).to_string(),
    }
}

fn set_text(words: &[&str], mask: i64) -> String {
    let chosen = words.iter().enumerate().filter(|(place, _)| mask & (1 << place) != 0);
    let chosen: Vec<&str> = chosen.map(|(_, word)| *word).collect();
    if chosen.is_empty() { "none".to_owned() } else { chosen.join(", ") }
}

impl Audit {
    /// What was measured or counted; empty where no figure decides.
    pub fn measured_text(&self, finding: &Finding) -> String {
        let FindingAnswer::Violates(violation) = &finding.answer else { return String::new() };
        match violation.measured {
            None => String::new(),
            Some(Measured::Fact(fact)) => {
                let place = finding.members[usize::from(fact.member)];
                value_text(self.outlet(place), fact.field, &self.texts)
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
        match violation.limit {
            None => String::new(),
            Some(Bound::AtMost(limit)) => format!("at most {}", limit.text()),
            Some(Bound::AtLeast(limit)) => format!("at least {}", limit.text()),
            Some(Bound::Words(words)) => words.to_owned(),
            Some(Bound::VoltsAtMost(volts)) => format!("at most {volts} V"),
            Some(Bound::VolumeAtMost(volume)) => format!("at most {volume}"),
            Some(Bound::CountAtLeast(count)) => format!("at least {count}"),
            Some(Bound::VoltAmperesAtMost(load)) => format!("at most {load} VA"),
        }
    }

    /// What is wrong, with its figures and the conclusions that were drawn; or the question.
    pub fn message(&self, finding: &Finding) -> String {
        let what = match &finding.answer {
            FindingAnswer::Violates(violation) => violation.what,
            FindingAnswer::Authority(question) => question,
        };
        let figures = [self.measured_text(finding), self.limit_text(finding)];
        let figures: Vec<String> = figures.into_iter().filter(|text| !text.is_empty()).collect();
        let head = if figures.is_empty() {
            what.to_owned()
        } else {
            format!("{what}: {}", figures.join(", "))
        };
        let drawn = finding.inferences.iter().map(|one| one.sentence().to_owned());
        std::iter::once(head).chain(drawn).collect::<Vec<_>>().join("; ")
    }

    /// The sections that a finding rests on, and the local amendment that had a say.
    pub fn citation(&self, finding: &Finding) -> String {
        self.with_amendment(finding, finding.rule.citation.text(&self.cited_editions(finding)))
    }

    /// The same with the mark of confidence beside each section.
    pub fn marked_citation(&self, finding: &Finding) -> String {
        self.with_amendment(finding, finding.rule.citation.marked(&self.cited_editions(finding)))
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
    pub fn trade(&self, finding: &Finding) -> (String, bool) {
        let named = text_of(self.outlet(finding.first()), Field::Trade, &self.texts);
        if named.is_empty() {
            (finding.rule.corrects.word().to_owned(), false)
        } else {
            (named.to_owned(), true)
        }
    }

    /// The name of the finding's subject.
    pub fn subject(&self, finding: &Finding) -> String {
        let first = self.outlet(finding.first());
        subject_name(finding.rule.subject, first, &self.texts)
    }

    /// The names of the other outlets that a finding of a group rests on, in the order of their rows.
    pub fn others(&self, finding: &Finding) -> Vec<String> {
        let mut places: Vec<u32> = finding.evidence.iter().map(|(place, _)| *place).collect();
        places.sort_unstable();
        places.dedup();
        let others = places.into_iter().filter(|place| *place != finding.first());
        others
            .map(|place| subject_name(SubjectKind::Outlet, self.outlet(place), &self.texts))
            .collect()
    }

    /// How many findings are violations.
    pub fn violation_count(&self) -> usize {
        let violates = |finding: &&Finding| finding.kind() == VerdictKind::Violates;
        self.findings.iter().filter(violates).count()
    }
}
