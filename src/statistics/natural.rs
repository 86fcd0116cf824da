//! The order in which people list floors, rooms and trades.
//!
//! Runs of digits compare as numbers, everything else without regard to case: `2` before `10`, `a2`
//! before `A10`. Floors go from the bottom up: sub-basements, then basements (`B2` before `B1`; `B`,
//! `Basement`, `LL` and `-1` count as the first below ground), then the ground floor (`G`, `GF`,
//! `Ground`), then everything else in natural order. The words floor, level, storey and story do not
//! count. A blank comes last. Texts that compare equal are told apart by their bytes, so that the order
//! is total.

use std::cmp::Ordering;

/// A run of digits, or of anything else.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Chunk {
    /// Digits without leading zeros: longer is greater, then digit by digit, whatever their number.
    Number(usize, String),
    /// Folded to lower case.
    Words(String),
}

/// A text prepared for comparison in natural order.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct NaturalKey {
    blank: bool,
    chunks: Vec<Chunk>,
    text: String,
}

/// A floor prepared for comparison from the bottom up.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct FloorKey {
    level: Level,
    natural: NaturalKey,
}

/// Where a floor stands against the ground.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Level {
    /// So many storeys below the basements, the deepest first.
    SubBasement(i64),
    /// So many storeys below ground, the deepest first.
    Basement(i64),
    Ground,
    Other,
}

impl NaturalKey {
    /// The key of a text.
    pub fn of(text: &str) -> Self {
        let text = text.trim();
        Self { blank: text.is_empty(), chunks: chunks(text), text: text.to_owned() }
    }
}

impl FloorKey {
    /// The key of a floor as a schedule names it.
    pub fn of(floor: &str) -> Self {
        Self { level: level(floor), natural: NaturalKey::of(floor) }
    }
}

/// Compares two texts in natural order.
pub fn compare(one: &str, other: &str) -> Ordering {
    NaturalKey::of(one).cmp(&NaturalKey::of(other))
}

/// Compares two floors from the bottom up.
pub fn compare_floors(one: &str, other: &str) -> Ordering {
    FloorKey::of(one).cmp(&FloorKey::of(other))
}

fn chunks(text: &str) -> Vec<Chunk> {
    let mut chunks = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let digits = first.is_ascii_digit();
        let end = rest.find(|one: char| one.is_ascii_digit() != digits).unwrap_or(rest.len());
        let (run, after) = rest.split_at(end);
        rest = after;
        chunks.push(if digits {
            let significant = run.trim_start_matches('0');
            Chunk::Number(significant.len(), significant.to_owned())
        } else {
            Chunk::Words(run.to_lowercase())
        });
    }
    chunks
}

fn level(floor: &str) -> Level {
    let folded = floor.to_lowercase();
    let words: Vec<&str> = folded
        .split(|one: char| one.is_whitespace() || matches!(one, '.' | ',' | '_'))
        .filter(|word| !matches!(*word, "" | "floor" | "level" | "storey" | "story"))
        .collect();
    let name = words.concat();
    if matches!(name.as_str(), "g" | "gf" | "ground") {
        return Level::Ground;
    }
    let split = name.find(|one: char| one.is_ascii_digit()).unwrap_or(name.len());
    let (word, number) = name.split_at(split);
    let depth = match number {
        "" => Ok(1),
        number => number.parse::<i64>(),
    };
    match (word, depth) {
        ("sb" | "sub-basement" | "subbasement", Ok(depth)) => Level::SubBasement(-depth),
        ("b" | "basement" | "bsmt" | "ll" | "lower", Ok(depth)) => Level::Basement(-depth),
        ("-", Ok(depth)) if !number.is_empty() => Level::Basement(-depth),
        _ => Level::Other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sorted(mut names: Vec<&str>, order: fn(&str, &str) -> Ordering) -> Vec<&str> {
        names.sort_by(|one, other| order(one, other));
        names
    }

    #[test]
    fn floors_go_from_the_bottom_up() {
        let floors = vec!["10", "", "2", "Roof", "1", "B1", "G", "b2", "SB", "1M", "Penthouse"];
        let order = ["SB", "b2", "B1", "G", "1", "1M", "2", "10", "Penthouse", "Roof", ""];
        assert_eq!(sorted(floors, compare_floors), order);
    }

    #[test]
    fn the_words_for_a_floor_do_not_count() {
        let floors = vec!["Level 10", "Level 2", "Level B1", "Ground floor", "Level -2"];
        let order = ["Level -2", "Level B1", "Ground floor", "Level 2", "Level 10"];
        assert_eq!(sorted(floors, compare_floors), order);
    }

    #[test]
    fn rooms_compare_digits_as_numbers_of_any_length() {
        let rooms = vec!["A10", "a2", "A-99999999999999999999999", "a02", "B1", "101"];
        let order = ["101", "a02", "a2", "A10", "A-99999999999999999999999", "B1"];
        assert_eq!(sorted(rooms, compare), order);
    }
}
