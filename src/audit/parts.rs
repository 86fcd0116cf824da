//! Audits of parts: of a portfolio too large to be held, building by building.
//!
//! Owns letting go of the outlets that no finding names, and putting audits together whose rows form no
//! group with each other. What then is left are findings, counts and failures: no gaps, no verdicts one by
//! one, no groups.

use std::collections::BTreeMap;

use hashbrown::HashMap;

use crate::outlet::Texts;
use crate::rules::Missing;

use super::finding::{Finding, Waiting};
use super::run::Audit;
use super::share::Shared;
use super::subjects::Subjects;

impl Audit {
    /// Lets go of all outlets but those that findings and failures name.
    #[must_use]
    pub fn findings_alone(mut self) -> Self {
        let named = self.named();
        let places: HashMap<u32, u32> = named.iter().copied().zip(0..).collect();
        let mut texts = Texts::default();
        let outlets = named.iter().map(|place| {
            let mut outlet = self.outlet(*place).clone();
            outlet.rename(|text| texts.intern(self.texts.get(text)));
            outlet
        });
        let outlets = outlets.collect();
        self.shared = self.shared.among(&places);
        for finding in self.findings.iter_mut().chain(&mut self.lawful_as_built) {
            finding.move_to(|place| places[&place]);
        }
        for crash in &mut self.crashes {
            crash.first = places[&crash.first];
        }
        Self {
            outlets,
            texts,
            subjects: Subjects::default(),
            gaps: Vec::new(),
            reached: Vec::new(),
            verdicts: Vec::new(),
            measure_again: Vec::new(),
            disagreements: Vec::new(),
            ..self
        }
    }

    /// The outlets that findings and failures name, and those whose rows record their facts.
    fn named(&self) -> Vec<u32> {
        let mut named: Vec<u32> = self.crashes.iter().map(|crash| crash.first).collect();
        for finding in self.findings.iter().chain(&self.lawful_as_built) {
            named.extend(&*finding.members);
            for (place, field) in finding.evidence() {
                named.extend([place, self.shared.recorded_by(place, field)]);
            }
        }
        named.sort_unstable();
        named.dedup();
        named
    }

    /// Puts together audits of inputs that share no building, each of one input, in the order of the
    /// inputs; none where there is none.
    pub fn together(parts: impl IntoIterator<Item = Self>) -> Option<Self> {
        let mut parts = parts.into_iter();
        let mut all = parts.next()?;
        let mut waiting = BTreeMap::new();
        all.count_waiting(&mut waiting);
        for (part, source) in parts.zip(1..) {
            part.count_waiting(&mut waiting);
            all.add(part, source);
        }
        let rules = all.selection.rules();
        let waiting =
            waiting.into_iter().map(|((rule, missing), subjects): ((usize, Missing), u64)| {
                Waiting { rule: rules[rule], missing, subjects }
            });
        all.waiting = waiting.collect();
        Some(all)
    }

    fn count_waiting(&self, counts: &mut BTreeMap<(usize, Missing), u64>) {
        for waiting in &self.waiting {
            let same = |rule: &&crate::rules::Rule| rule.name == waiting.rule.name;
            let rule = self.selection.rules().iter().position(same).unwrap_or_default();
            *counts.entry((rule, waiting.missing)).or_default() += waiting.subjects;
        }
    }

    fn add(&mut self, part: Self, source: u32) {
        let before = u32::try_from(self.outlets.len()).unwrap_or(u32::MAX);
        self.rows += part.rows;
        self.devices += part.devices;
        for mut outlet in part.outlets {
            outlet.rename(|text| self.texts.intern(part.texts.get(text)));
            outlet.origin.source = source;
            self.outlets.push(outlet);
        }
        self.shared.append(part.shared, before);
        let moved = |mut finding: Finding| {
            finding.move_to(|place| place + before);
            finding
        };
        self.findings.extend(part.findings.into_iter().map(moved));
        self.lawful_as_built.extend(part.lawful_as_built.into_iter().map(moved));
        for mut crash in part.crashes {
            crash.first += before;
            self.crashes.push(crash);
        }
        for (tally, more) in self.tallies.iter_mut().zip(&part.tallies) {
            tally.merge(more);
        }
    }
}

impl Shared {
    /// What was filled in among outlets that got other places.
    fn among(&self, places: &HashMap<u32, u32>) -> Self {
        let both = |(outlet, field, from): &(u32, _, u32)| {
            Some((*places.get(outlet)?, *field, *places.get(from)?))
        };
        Self { filled: self.filled.iter().filter_map(both).collect() }
    }

    /// Adds what was filled in among outlets that now stand so many places further down.
    fn append(&mut self, other: Self, before: u32) {
        let filled = other.filled.into_iter();
        self.filled
            .extend(filled.map(|(outlet, field, from)| (outlet + before, field, from + before)));
    }
}
