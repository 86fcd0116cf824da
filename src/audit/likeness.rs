//! Which subjects are alike: no rule of their kind can tell them apart.
//!
//! Owns the likeness of subjects, as a list of integers: equal lists mean equal verdicts. A rule reads
//! the facts that it asks for and heeds, the device and the edition; texts it only compares, trade sizes
//! of boxes apart, which it reads. So thousands of outlets that record the same are judged once.

use hashbrown::HashMap;

use crate::outlet::{Fact, Field, Kind, Outlet};
use crate::rules::{Rule, SubjectKind};

/// Members of a subject that is compared with others at most.
const MOST_MEMBERS: usize = 24;

/// The facts that the rules of one kind of subject read.
pub(super) struct Read {
    /// Those that are no texts.
    facts: Vec<Field>,
    texts: Vec<Field>,
    /// Lengths whose resolution has a say.
    pub(super) measured: Vec<Field>,
}

impl Read {
    /// What the rules of a kind read.
    pub(super) fn by(rules: &[&'static Rule], kind: SubjectKind) -> Self {
        let mut all = vec![Field::Device, Field::Edition];
        for rule in rules.iter().filter(|rule| rule.subject == kind) {
            all.extend(rule.asks.iter().chain(rule.heeds));
        }
        all.sort_unstable();
        all.dedup();
        let (texts, facts): (Vec<_>, Vec<_>) =
            all.into_iter().partition(|field| field.kind() == Kind::Text);
        let lengths = facts.iter().filter(|field| field.kind() == Kind::Length);
        Self { measured: lengths.copied().collect(), facts, texts }
    }
}

/// The likenesses of subjects of one kind, as far as one thread has met them.
#[derive(Default)]
pub(super) struct Likenesses {
    /// The class of the facts of an outlet, by where they are kept.
    by_place: HashMap<usize, i64>,
    classes: HashMap<Vec<i64>, i64>,
    facts: Vec<i64>,
    texts: Vec<i64>,
    likeness: Vec<i64>,
}

impl Likenesses {
    /// The likeness of a subject; `more` is what else has a say. None for a large group.
    pub(super) fn of(
        &mut self,
        members: &[&Outlet],
        read: &Read,
        more: impl Iterator<Item = i64>,
    ) -> Option<&[i64]> {
        if members.len() > MOST_MEMBERS {
            return None;
        }
        self.likeness.clear();
        self.texts.clear();
        for member in members {
            let class = self.class(member, read);
            self.likeness.push(class);
            for field in &read.texts {
                let code = self.text(*field, member.raw(*field));
                self.likeness.push(code);
            }
        }
        self.likeness.extend(more);
        Some(&self.likeness)
    }

    /// Outlets of one class record the same facts of those that are read, texts apart.
    fn class(&mut self, outlet: &Outlet, read: &Read) -> i64 {
        if let Some(class) = self.by_place.get(&outlet.place_of_facts()) {
            return *class;
        }
        self.facts.clear();
        self.facts.extend(read.facts.iter().map(|field| code(outlet.raw(*field))));
        let class = if let Some(class) = self.classes.get(&self.facts) {
            *class
        } else {
            let next = i64::try_from(self.classes.len()).unwrap_or(i64::MAX);
            self.classes.insert(self.facts.clone(), next);
            next
        };
        self.by_place.insert(outlet.place_of_facts(), class);
        class
    }

    /// A text by its first place among those of the subject.
    fn text(&mut self, field: Field, fact: Fact<i64>) -> i64 {
        let Fact::Known(text) = fact else { return code(fact) };
        if field == Field::BoxSize {
            return text;
        }
        let place = self.texts.iter().position(|known| *known == text).unwrap_or_else(|| {
            self.texts.push(text);
            self.texts.len() - 1
        });
        i64::try_from(place).unwrap_or(i64::MAX)
    }
}

/// A fact as an integer; the ways of being unknown come last.
const fn code(fact: Fact<i64>) -> i64 {
    match fact {
        Fact::Known(value) => value,
        Fact::Blank => i64::MAX,
        Fact::Unreadable => i64::MAX - 1,
        Fact::Absent => i64::MAX - 2,
    }
}
