//! Values and cells as a person reads them, for the account of what was read.

use crate::outlet::{
    Configuration, Date, Field, Gauge, Kind, Length, Milli, Text, Texts, Value, Volume, Word,
};

/// The most characters of a cell that are shown: what it is can be told, and a text that a workbook holds
/// once and shows in a million cells is not held a million times.
const MOST_CHARACTERS: usize = 300;

/// The text of a cell as the account keeps it.
pub(super) fn clipped(text: &str) -> String {
    match text.char_indices().nth(MOST_CHARACTERS) {
        Some((end, _)) => format!("{}\u{2026}", &text[..end]),
        None => text.to_owned(),
    }
}

/// A value of a field by its integer: `44 in`, `5-20R`, `yes`.
pub(super) fn value(field: Field, raw: i64, texts: &Texts) -> String {
    let place = usize::try_from(raw).unwrap_or_default();
    match field.kind() {
        Kind::Text => texts.get(Text::from_raw(raw)).to_owned(),
        Kind::Count => raw.to_string(),
        Kind::Word(words) => words.get(place).copied().unwrap_or_default().to_owned(),
        Kind::Words(words) => {
            let chosen = words.iter().enumerate().filter(|(place, _)| raw & (1 << place) != 0);
            let chosen: Vec<_> = chosen.map(|(_, word)| *word).collect();
            if chosen.is_empty() { "none".to_owned() } else { chosen.join(", ") }
        }
        Kind::YesNo => if raw == 0 { "no" } else { "yes" }.to_owned(),
        Kind::Length => Length(raw).to_string(),
        Kind::Volume => Volume::from_raw(raw).to_string(),
        Kind::Voltage => format!("{} V", Milli(raw)),
        Kind::Current => format!("{} A", Milli(raw)),
        Kind::Awg => Gauge::from_raw(raw).word().to_owned(),
        Kind::Date => Date::from_raw(raw).to_string(),
        Kind::Configuration => Configuration::from_raw(raw).to_string(),
    }
}
