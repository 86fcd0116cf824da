//! The words of the trade: what schedules write for the words of the model.
//!
//! Owns the synonyms that hold in every schedule, one file a group of fields. A synonym is here only
//! if the trade has no second meaning for it in that column; what means one thing on one job and
//! another on the next belongs in a mapping file. To add a word, add it to the row of its canonical
//! word; a test refuses one that would mean two things.
//!
//! Words are compared in any case, with blanks, hyphens and underscores as one, without a last dot.
//! The tables are common practice of the trade, with no published source, and some everyday words of
//! German, French, Spanish and Portuguese schedules.

mod basis;
mod enclosure;
mod place;
mod supply;

use std::sync::LazyLock;

use super::read::{fold, same};
use crate::outlet::{Field, Kind};

/// A canonical word with its synonyms.
pub type Row = (&'static str, &'static [&'static str]);

/// Yes and no, in the order of their integers.
const YES_NO: &[Row] = &[
    ("no", &["n", "false", "f", "none", "0", "nein", "non", "não", "nao"]),
    (
        "yes",
        &[
            "y", "true", "t", "x", "1", "✓", "✔", "☑", "√", "✅", "🗸", "ja", "oui", "sí", "si",
            "sim",
        ],
    ),
];

/// Words for nothing, as they stand alone in a list or for a count.
pub const NONE: &[&str] =
    &["none", "no", "keine", "aucun", "aucune", "ninguno", "ninguna", "nenhum"];

/// The synonyms of a field's words, in the order of the model; none for a field without words.
pub fn synonyms(field: Field) -> &'static [Row] {
    if field.kind() == Kind::YesNo {
        return YES_NO;
    }
    let tables = [place::of(field), basis::of(field), supply::of(field), enclosure::of(field)];
    tables.into_iter().find(|rows| !rows.is_empty()).unwrap_or_default()
}

/// Place of the word in the field's vocabulary (no 0, yes 1), whether canonical or a synonym.
pub fn place_of(field: Field, text: &str) -> Option<u8> {
    let canonical = match field.kind() {
        Kind::Word(words) | Kind::Words(words) => words,
        Kind::YesNo => &["no", "yes"],
        _ => return None,
    };
    if let Some(place) = canonical.iter().position(|word| *word == text) {
        return u8::try_from(place).ok();
    }
    let keys = &INDEX[field as usize];
    let place = keys.binary_search_by(|(key, _)| key.chars().cmp(fold(text))).ok()?;
    Some(keys[place].1)
}

/// The count that a word stands for in a field.
pub fn count(field: Field, text: &str) -> Option<i64> {
    let is = |word: &&str| same(word, text);
    if may_be_none(field) && NONE.iter().any(is) {
        return Some(0);
    }
    let rows = enclosure::counts(field);
    rows.iter().find(|(_, words)| words.iter().any(is)).map(|(count, _)| *count)
}

/// Whether a box or a device can have none of what the field counts.
const fn may_be_none(field: Field) -> bool {
    matches!(
        field,
        Field::ReceptaclesOnYoke
            | Field::Wires18
            | Field::Wires16
            | Field::Wires14
            | Field::Wires12
            | Field::Wires10
            | Field::Wires8
            | Field::Wires6
            | Field::GroundWires
            | Field::IsolatedGroundWires
            | Field::Fittings
            | Field::TerminalBlocks
            | Field::CoverScrews
    )
}

/// For each field its folded words in order, each with its place in the vocabulary.
static INDEX: LazyLock<Vec<Vec<(String, u8)>>> = LazyLock::new(|| {
    let keys = Field::ALL.iter().map(|field| {
        let mut keys: Vec<_> = spellings(*field)
            .map(|(place, word)| (fold(word).collect::<String>(), place))
            .collect();
        keys.sort();
        keys.dedup();
        keys
    });
    keys.collect()
});

/// Every spelling of a field's words, with the place of the word.
fn spellings(field: Field) -> impl Iterator<Item = (u8, &'static str)> {
    let canonical = match field.kind() {
        Kind::Word(words) | Kind::Words(words) => words,
        Kind::YesNo => &["no", "yes"],
        _ => &[],
    };
    (0..).zip(canonical).flat_map(move |(place, word)| {
        let rows = synonyms(field).iter().filter(move |(known, _)| known == word);
        let others = rows.flat_map(|(_, others)| others.iter().copied());
        std::iter::once(*word).chain(others).map(move |word| (place, word))
    })
}

#[cfg(test)]
mod tests {
    use std::collections::HashMap;

    use super::*;

    #[test]
    fn no_word_means_two_things_in_one_vocabulary() {
        for field in Field::ALL {
            let mut meanings = HashMap::new();
            for (place, word) in spellings(*field) {
                let key: String = fold(word).collect();
                assert!(!key.is_empty(), "{}: `{word}` folds to nothing", field.name());
                let before = *meanings.entry(key).or_insert(place);
                assert_eq!(before, place, "{}: `{word}` has two meanings", field.name());
            }
        }
    }

    #[test]
    fn every_row_is_of_a_canonical_word_and_says_something_new() {
        for field in Field::ALL {
            let canonical: Vec<_> = match field.kind() {
                Kind::Word(words) | Kind::Words(words) => words.to_vec(),
                _ => vec!["no", "yes"],
            };
            let rows: Vec<_> = synonyms(*field).iter().map(|row| row.0).collect();
            for (at, row) in rows.iter().enumerate() {
                assert!(canonical.contains(row), "{}: `{row}` is no word", field.name());
                assert!(!rows[..at].contains(row), "{}: `{row}` has two rows", field.name());
            }
            let mut seen: Vec<String> = Vec::new();
            for (_, word) in spellings(*field) {
                let key: String = fold(word).collect();
                assert!(!seen.contains(&key), "{}: `{word}` stands there twice", field.name());
                seen.push(key);
            }
        }
    }

    #[test]
    fn every_synonym_is_found() {
        for field in Field::ALL {
            for (place, word) in spellings(*field) {
                assert_eq!(place_of(*field, word), Some(place), "{}: {word}", field.name());
                let shouted = word.to_uppercase().replace([' ', '-'], "_");
                assert_eq!(place_of(*field, &shouted), Some(place), "{}: {shouted}", field.name());
            }
        }
    }
}
