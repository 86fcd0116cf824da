//! Values as people read them.

use super::Configuration;
use super::field::{Field, Kind};
use super::quantity::{Date, Gauge, Length, Milli, Volume};
use super::texts::{Text, Texts};
use super::value::{Value as _, Word as _};

/// A value of a field by its integer, as people read it: `44 in`, `5-20R`, `yes`.
pub fn shown(field: Field, raw: i64, texts: &Texts) -> String {
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
