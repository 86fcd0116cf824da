//! Which subjects are alike: no rule of their kind can tell them apart.
//!
//! Owns the likeness of subjects, as a list of integers: equal lists mean equal verdicts. A rule reads
//! the facts that it asks for and heeds, the device and the edition; lengths it only compares with its
//! limits, and texts with each other, trade sizes of boxes apart, which it reads. So thousands of outlets
//! that record the same are judged once.

use hashbrown::HashMap;

use crate::outlet::{Fact, Field, Kind, Length, Outlet};
use crate::rules::{Check, Rule, SubjectKind};

use super::options::Options;

/// Members of a subject that is compared with others at most.
const MOST_MEMBERS: usize = 24;

/// The facts that the rules of one kind of subject read.
pub(super) struct Read {
    /// Those of which every value counts, by where an outlet keeps them.
    words: Vec<Field>,
    figures: Vec<Field>,
    texts: Vec<Field>,
    /// Lengths that are compared with limits only.
    measured: Vec<Measured>,
    /// All lengths: how finely they were measured counts too.
    lengths: Vec<Field>,
    /// Whether all lengths were measured as finely as usual.
    as_usual: bool,
}

struct Measured {
    field: Field,
    limits: Vec<Length>,
}

impl Read {
    /// What the rules of a kind read.
    pub(super) fn by(rules: &[&'static Rule], kind: SubjectKind, options: &Options<'_>) -> Self {
        // Limits may then be others than those that the rules declare.
        let amended = !options.amendments.is_empty();
        let rules = || rules.iter().filter(|rule| rule.subject == kind);
        let mut all = vec![Field::Device, Field::Edition];
        all.extend(rules().flat_map(|rule| rule.asks.iter().chain(rule.heeds)));
        all.sort_unstable();
        all.dedup();
        let mut read = Self {
            words: Vec::new(),
            figures: Vec::new(),
            texts: Vec::new(),
            measured: Vec::new(),
            lengths: Vec::new(),
            as_usual: options.resolution.is_none(),
        };
        for field in all {
            if field.kind() == Kind::Length {
                read.lengths.push(field);
            }
            let readers =
                || rules().filter(|rule| rule.asks.contains(&field) || rule.heeds.contains(&field));
            let of_one_outlet = readers().all(|rule| matches!(rule.check, Check::Outlet(_)));
            match field.kind() {
                Kind::Text => read.texts.push(field),
                Kind::Length if of_one_outlet && !amended => {
                    let mut limits: Vec<Length> =
                        readers().flat_map(|rule| rule.limits).copied().collect();
                    limits.sort_unstable();
                    limits.dedup();
                    read.measured.push(Measured { field, limits });
                }
                _ if field.is_figure() => read.figures.push(field),
                _ => read.words.push(field),
            }
        }
        read
    }
}

impl Measured {
    /// Where a length, and those one step of its resolution away, stand to the limits.
    fn code(&self, length: i64, resolution: Length) -> i64 {
        let rank = |one: i64| -> i64 {
            self.limits.iter().map(|limit| one.cmp(&limit.0) as i64 + 1).sum()
        };
        let steps = [length - resolution.0, length, length + resolution.0];
        steps.into_iter().fold(0, |code, one| (code << 20) + rank(one))
    }
}

/// The likenesses of subjects of one kind, as far as one thread has met them.
#[derive(Default)]
pub(super) struct Likenesses {
    words: Classes,
    figures: Classes,
    /// How finely the measured lengths were measured.
    resolutions: Numbers,
    texts: Vec<i64>,
    likeness: Vec<i64>,
}

/// Classes of the words or of the figures of outlets: those of one class are the same as far as the rules
/// can tell.
#[derive(Default)]
struct Classes {
    /// By where they are kept, and how finely they were measured.
    by_place: HashMap<(usize, i64), i64>,
    numbers: Numbers,
    bytes: Vec<u8>,
}

impl Classes {
    /// The class of what is kept at a place; `read` puts down what is read of it.
    fn of(&mut self, place: (usize, i64), read: impl FnOnce(&mut Vec<u8>)) -> i64 {
        let Self { by_place, numbers, bytes } = self;
        *by_place.entry(place).or_insert_with(|| {
            bytes.clear();
            read(bytes);
            numbers.of(bytes)
        })
    }
}

/// Lists of bytes, each with a number of its own.
#[derive(Default)]
struct Numbers {
    known: HashMap<Vec<u8>, i64>,
}

impl Numbers {
    fn of(&mut self, list: &[u8]) -> i64 {
        let next = i64::try_from(self.known.len()).unwrap_or(i64::MAX);
        *self.known.entry_ref(list).or_insert(next)
    }
}

impl Likenesses {
    /// The likeness of a subject; `resolution` is how finely lengths of its first member were measured,
    /// `more` what else has a say. None for a large group.
    pub(super) fn of(
        &mut self,
        members: &[&Outlet],
        read: &Read,
        resolution: impl Fn(Field) -> Length,
        more: Option<i64>,
    ) -> Option<&[i64]> {
        if members.len() > MOST_MEMBERS {
            return None;
        }
        self.likeness.clear();
        self.texts.clear();
        for member in members {
            let classes = self.classes(member, read, &resolution);
            self.likeness.extend(classes);
            for field in &read.texts {
                let code = self.text(*field, member.raw(*field));
                self.likeness.push(code);
            }
        }
        self.likeness.extend(more);
        Some(&self.likeness)
    }

    /// The classes of the words and of the figures of an outlet.
    fn classes(
        &mut self,
        outlet: &Outlet,
        read: &Read,
        resolution: &impl Fn(Field) -> Length,
    ) -> [i64; 2] {
        let [words, figures] = outlet.places_of_facts();
        let finely = if read.as_usual { 0 } else { self.finely(outlet, read, resolution) };
        let put = |fields: &[Field], bytes: &mut Vec<u8>| {
            for field in fields {
                outlet.put_kept(*field, bytes);
            }
        };
        let words = self.words.of((words, 0), |bytes| put(&read.words, bytes));
        let figures = self.figures.of((figures, finely), |bytes| {
            bytes.extend(finely.to_ne_bytes());
            put(&read.figures, bytes);
            bytes.extend(read.measured.iter().flat_map(|length| {
                match outlet.raw(length.field) {
                    Fact::Known(value) => length.code(value, resolution(length.field)),
                    unknown => code(unknown),
                }
                .to_ne_bytes()
            }));
        });
        [words, figures]
    }

    /// A number for how finely the lengths of an outlet were measured.
    fn finely(
        &mut self,
        outlet: &Outlet,
        read: &Read,
        resolution: &impl Fn(Field) -> Length,
    ) -> i64 {
        let step = |field: &Field| {
            let known = outlet.raw(*field).is_known();
            if known { resolution(*field).0 } else { 0 }.to_ne_bytes()
        };
        let steps: Vec<u8> = read.lengths.iter().flat_map(step).collect();
        self.resolutions.of(&steps)
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
