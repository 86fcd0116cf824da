//! Descriptions: one text into which a schedule packs the kind of device and its facts.
//!
//! Owns what is read from such a text: `20A DUPLEX, GFCI, WP, TR`, `(2) 277V SW + pilot`, `+44" AFF`.
//! The abbreviations stand in `words`, the figures with their units in `figures`; a mapping adds
//! phrases of its own, which go before both. A fact that a text gives twice with two values is a
//! conflict and no fact. Colours are no evidence of anything: an orange or a red face may be an
//! isolated ground, hospital grade, an emergency circuit or a choice of the decorator.
//!
//! Common practice of the trade, no published source.

mod figures;
pub(super) mod rows;
mod words;

use super::file::Line;
use super::kinds::{self, Kind, tokens};
use super::read::{self, Column, Content, Reading};
use crate::outlet::words::Device;
use crate::outlet::{Configuration, Fact, Field, Milli, Outlet, Texts, Value};

/// The phrases that a mapping adds to a column of descriptions.
#[derive(Debug, Default)]
pub struct Phrases {
    /// Each with its place in the file.
    pub lines: Vec<Line<PhraseLine>>,
}

/// A phrase of a mapping and the facts that it stands for; none for words to be passed over.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PhraseLine {
    /// The phrase as the mapping writes it.
    pub phrase: String,
    /// Its words; `#` stands for a whole number.
    pub(super) words: Vec<String>,
    /// Its facts, each in a form that the reader of the field understands; `#` is that number.
    pub facts: Vec<(Field, String)>,
}

impl PhraseLine {
    pub(super) fn new(phrase: &str, facts: Vec<(Field, String)>) -> Self {
        let words = phrase.split_whitespace().flat_map(|piece| match piece {
            "#" => vec!["#".to_owned()],
            _ => tokens(piece),
        });
        Self { phrase: phrase.to_owned(), words: words.collect(), facts }
    }

    /// How many of the tokens the phrase takes, and the number behind its sign.
    fn matches<'t>(&self, tokens: &'t [String]) -> Option<(usize, &'t str)> {
        let mut number = "";
        let fits = |(word, token): (&String, &'t String)| {
            if word != "#" {
                return word == token;
            }
            number = token;
            token.bytes().all(|byte| byte.is_ascii_digit())
        };
        let all = self.words.len() <= tokens.len() && !self.words.is_empty();
        (all && self.words.iter().zip(tokens).all(fits)).then_some((self.words.len(), number))
    }
}

/// What a description says.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Described {
    /// The kind of device.
    pub kind: Kind,
    /// The facts, each once, as the integers of their values.
    pub facts: Vec<(Field, i64)>,
    /// The fields of which the text says two things.
    pub conflicts: Vec<Field>,
}

/// By these the words for devices are told to be English.
const ENGLISH: &[&str] = &[
    "rec", "rcpt", "outlet", "socket", "duplex", "dup", "quad", "plex", "gfci", "gfi", "switch",
    "sw", "dimmer", "sensor", "pilot", "plug", "sso", "gpo",
];

/// Reads a description; texts are kept in `texts`.
pub fn describe(text: &str, own: &Phrases, texts: &mut Texts) -> Described {
    let mut said: Vec<(Field, i64)> = Vec::new();
    let told = kinds::told(text);
    let english = told.word.is_empty() || ENGLISH.iter().any(|word| told.word.contains(word));
    // A comma parts what belongs together: `DUPLEX, GFCI` may be protected from elsewhere.
    for part in text.split([',', ';', '(', ')', '\n']) {
        let rest = own_phrases(&tokens(part), own, texts, &mut said);
        said.extend(words::facts(&rest, english));
    }
    said.extend(figures::facts(text, &tokens(text), texts));
    let mut described = Described { kind: told.kind, facts: Vec::new(), conflicts: Vec::new() };
    for (field, raw) in said {
        described.add(field, raw);
    }
    described.settle();
    described
}

/// The phrases of the mapping in a text, and the words that they leave.
fn own_phrases(
    words: &[String],
    own: &Phrases,
    texts: &mut Texts,
    said: &mut Vec<(Field, i64)>,
) -> Vec<String> {
    let mut left = Vec::new();
    let mut rest = words;
    while !rest.is_empty() {
        let found = own.lines.iter().filter_map(|line| Some((line, line.says.matches(rest)?)));
        let Some((line, (taken, number))) = found.max_by_key(|(_, (taken, _))| *taken) else {
            left.push(rest[0].clone());
            rest = &rest[1..];
            continue;
        };
        line.mark_used();
        for (field, value) in &line.says.facts {
            let value = value.replace('#', number);
            let reading = read::read(Content::Text(&value), &Column::of(*field), texts);
            if let Reading::Known(raw) = reading {
                said.push((*field, raw));
            }
        }
        rest = &rest[taken..];
    }
    left
}

impl Described {
    fn add(&mut self, field: Field, raw: i64) {
        if self.conflicts.contains(&field) {
            return;
        }
        match self.facts.iter().position(|(known, _)| *known == field) {
            None => self.facts.push((field, raw)),
            Some(place) if self.facts[place].1 == raw => {}
            Some(place) => {
                self.facts.remove(place);
                self.conflicts.push(field);
            }
        }
    }

    fn fact(&self, field: Field) -> Option<i64> {
        self.facts.iter().find(|(known, _)| *known == field).map(|(_, raw)| *raw)
    }

    /// Settles the kind, and what does not go together.
    fn settle(&mut self) {
        if let Some(raw) = self.fact(Field::Device) {
            self.kind = Kind::Device(Device::from_raw(raw));
            self.facts.retain(|(field, _)| *field != Field::Device);
        }
        let configuration = self.fact(Field::Configuration).map(Configuration::from_raw);
        if self.kind == Kind::Unsaid && configuration.is_some() {
            self.kind = Kind::Device(Device::Receptacle);
        }
        let receptacle =
            matches!(self.kind, Kind::Device(Device::Receptacle | Device::Combination));
        if !receptacle {
            let only =
                |field: Field| matches!(field, Field::ReceptaclesOnYoke | Field::Configuration);
            self.facts.retain(|(field, _)| !only(*field));
        }
        // The number in front counts the first of several things, not the row's.
        if matches!(self.kind, Kind::Either(_)) {
            self.facts.retain(|(field, _)| *field != Field::Quantity);
        }
        // 20 A beside 5-15R may be the circuit's, so it is not taken for the device's.
        let amps = self.fact(Field::DeviceAmps);
        let other =
            |shape: Configuration| amps.is_some_and(|raw| raw != i64::from(shape.amps) * 1000);
        if receptacle && configuration.is_some_and(other) {
            self.facts.retain(|(field, _)| *field != Field::DeviceAmps);
            self.conflicts.push(Field::DeviceAmps);
        }
    }

    /// Gives an outlet what its other columns leave open; calls `conflict` with each field of which the
    /// text or the text and a column say two things. Such a fact is unreadable.
    pub(super) fn complete(
        &self,
        outlet: &mut Outlet,
        mut conflict: impl FnMut(Field, Option<i64>),
    ) {
        let device = match self.kind {
            Kind::Device(device) => Some((Field::Device, device.raw())),
            _ => None,
        };
        for (field, raw) in device.into_iter().chain(self.facts.iter().copied()) {
            match outlet.raw(field) {
                Fact::Known(known) if known != raw => {
                    outlet.set_raw(field, Fact::Unreadable);
                    conflict(field, Some(known));
                }
                Fact::Known(_) | Fact::Unreadable => {}
                Fact::Blank | Fact::Absent => outlet.set_raw(field, Fact::Known(raw)),
            }
        }
        for field in &self.conflicts {
            if !outlet.raw(*field).is_known() {
                outlet.set_raw(*field, Fact::Unreadable);
                conflict(*field, None);
            }
        }
    }
}

/// Thousandths of a whole number.
fn milli(number: i64) -> i64 {
    Milli(number * 1000).0
}

#[cfg(test)]
mod tests;
