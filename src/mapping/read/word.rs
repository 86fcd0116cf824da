//! Words: one of a vocabulary, several, yes or no, a configuration.

use super::text::{same, trim};
use super::{Column, Reading, Why, WordMap};
use crate::mapping::kinds::{self, told};
use crate::mapping::vocabulary;
use crate::outlet::words::{Conductor, Listing};
use crate::outlet::{Configuration, Field, Kind, Set, Value, Word};

/// Reads one word of the field's vocabulary, or yes or no.
pub(super) fn one(text: &str, field: Field) -> Result<i64, Why> {
    let why = match field {
        Field::System if is_of_another_code(text) => Why::OtherSystem,
        _ if field.kind() == Kind::YesNo => Why::NotYesNo,
        _ => Why::UnknownWord,
    };
    vocabulary::place_of(field, text).map(i64::from).ok_or(why)
}

/// Whether a system is of the voltages that most other codes have: 220/380, 230/400, 240/415 V.
fn is_of_another_code(text: &str) -> bool {
    let mut figures = text.split(|character: char| !character.is_ascii_digit());
    figures.any(|figure| ["220", "230", "380", "400", "415"].contains(&figure))
}

/// Reads a kind of device: a word of the vocabulary, or a text that tells one by its words.
pub(super) fn device(text: &str) -> Reading {
    if let Some(place) = vocabulary::place_of(Field::Device, text) {
        return Reading::Known(i64::from(place));
    }
    match told(text).kind {
        kinds::Kind::Device(device) => Reading::Known(device.raw()),
        kinds::Kind::Other(reason) => Reading::NotADevice(reason),
        kinds::Kind::Either(why) => Reading::Unreadable(Why::MayBeADevice(why)),
        kinds::Kind::Unsaid => Reading::Unreadable(Why::UnknownWord),
    }
}

/// Reads a NEMA configuration of a receptacle.
pub(super) fn configuration(text: &str) -> Result<i64, Why> {
    Configuration::read(text).map(Value::raw).ok_or(Why::UnknownConfiguration)
}

/// The count that a word stands for: `duplex` on a yoke, `none` where there can be none.
pub(super) fn count_word(text: &str, field: Field) -> Option<i64> {
    text.starts_with(char::is_alphabetic).then(|| vocabulary::count(field, text)).flatten()
}

/// Reads several words of a vocabulary.
pub(super) fn list(text: &str, column: &Column<'_>) -> Reading {
    if column.field == Field::Phases {
        phases(text, column.words).into()
    } else {
        listings(text, column)
    }
}

/// Special uses: words parted by `; , / + | &` or "and"; `none` stands alone or is dropped.
fn listings(text: &str, column: &Column<'_>) -> Reading {
    let mut found = Found::default();
    match listings_into(text, column, &mut found) {
        Err(why) => Reading::Unreadable(why),
        Ok(()) if found.none && !found.set.is_empty() => Reading::NoneDropped(found.set.raw()),
        Ok(()) if found.none || !found.set.is_empty() => Reading::Known(found.set.raw()),
        Ok(()) => Reading::Blank,
    }
}

struct Found {
    set: Set<Listing>,
    none: bool,
}

impl Default for Found {
    fn default() -> Self {
        Self { set: Set::NONE, none: false }
    }
}

fn listings_into(text: &str, column: &Column<'_>, found: &mut Found) -> Result<(), Why> {
    let parts = text.split([';', ',', '/', '+', '|', '&', '\n']);
    for word in parts
        .flat_map(|part| part.split(" and ").flat_map(|part| part.split(" AND ")))
        .map(trim)
        .filter(|word| !word.is_empty())
    {
        if let Some(meaning) = column.words.and_then(|words| words.meaning(word)) {
            listings_into(meaning, &Column { words: None, ..*column }, found)?;
        } else if is_none(word) {
            found.none = true;
        } else {
            let place = one(word, column.field)?;
            let listing = usize::try_from(place).ok().and_then(|place| Listing::ALL.get(place));
            found.set = found.set.with(*listing.ok_or(Why::UnknownWord)?);
        }
    }
    Ok(())
}

fn is_none(word: &str) -> bool {
    vocabulary::NONE.iter().any(|none| same(word, none))
}

/// Conductors: letters together or parted by anything but letters, such as `AB`, `A-N`, `A and N`.
fn phases(text: &str, words: Option<&WordMap>) -> Result<i64, Why> {
    let set = phases_into(Set::NONE, text, words)?;
    match set.hots().next() {
        Some(_) => Ok(set.raw()),
        None if set.is_empty() => Err(Why::UnknownWord),
        None => Err(Why::NoHotConductor),
    }
}

fn phases_into(
    set: Set<Conductor>,
    text: &str,
    words: Option<&WordMap>,
) -> Result<Set<Conductor>, Why> {
    let pieces = text.split(|c: char| !c.is_alphanumeric()).filter(|piece| !piece.is_empty());
    pieces.filter(|piece| !is_filler(piece)).try_fold(set, |set, piece| {
        match words.and_then(|words| words.meaning(piece)) {
            Some(meaning) => phases_into(set, meaning, None),
            None => conductors(set, piece),
        }
    })
}

fn is_filler(piece: &str) -> bool {
    ["and", "phase", "phases", "ph"].iter().any(|filler| filler.eq_ignore_ascii_case(piece))
}

/// The set with the conductors of a piece: a word for one, or letters, each once.
fn conductors(set: Set<Conductor>, piece: &str) -> Result<Set<Conductor>, Why> {
    if let Some(place) = vocabulary::place_of(Field::Phases, piece) {
        return Ok(set.with(Conductor::ALL[usize::from(place)]));
    }
    let mut own = Set::NONE;
    for letter in piece.chars() {
        let conductor = match letter.to_ascii_uppercase() {
            'A' => Conductor::A,
            'B' => Conductor::B,
            'C' => Conductor::C,
            'N' => Conductor::N,
            _ => return Err(Why::UnknownWord),
        };
        if own.contains(conductor) || own.contains(Conductor::N) {
            return Err(Why::UnknownWord);
        }
        own = own.with(conductor);
    }
    Ok(own.iter().fold(set, Set::with))
}
