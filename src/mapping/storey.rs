//! Names of storeys, as sheets and files carry them: `Level 3`, `EG`, `1. OG`, `Ground floor`.
//!
//! Owns telling a storey from any other name of a sheet. A name that could mean something else, such
//! as `B1` or `3`, does not belong here. Common practice of the trade, no published source.

use super::read::fold;

/// Storeys that have a name and no number.
const NAMED: &[&str] = &[
    "ground floor",
    "ground level",
    "lower ground floor",
    "upper ground floor",
    "basement",
    "sub basement",
    "subbasement",
    "cellar",
    "mezzanine",
    "mezzanine floor",
    "penthouse",
    "attic",
    "roof",
    "roof level",
    "main floor",
    "top floor",
    "first floor",
    "second floor",
    "third floor",
    "fourth floor",
    "fifth floor",
    "sixth floor",
    "seventh floor",
    "eighth floor",
    "ninth floor",
    "tenth floor",
    "eg",
    "og",
    "ug",
    "dg",
    "kg",
    "erdgeschoss",
    "obergeschoss",
    "untergeschoss",
    "dachgeschoss",
    "kellergeschoss",
    "keller",
    "rdc",
    "rez de chaussée",
    "sous sol",
    "planta baja",
    "sótano",
    "térreo",
    "pavimento térreo",
    "pavimento superior",
    "subsolo",
];

/// Words with the number of a storey behind them.
const BEFORE: &[&str] = &[
    "level",
    "lvl",
    "floor",
    "storey",
    "story",
    "basement",
    "étage",
    "planta",
    "piso",
    "pavimento",
];

/// Words with the number of a storey before them.
const BEHIND: &[&str] = &[
    "floor",
    "level",
    "storey",
    "story",
    "og",
    "ug",
    "obergeschoss",
    "untergeschoss",
    "stock",
    "étage",
    "planta",
    "piso",
    "pavimento",
    "andar",
];

/// Whether a name is that of a storey, and of nothing else.
pub(super) fn is_storey(name: &str) -> bool {
    let name: String = fold(name).collect();
    if NAMED.contains(&name.as_str()) {
        return true;
    }
    if let Some((first, second)) = name.split_once(' ') {
        let before = BEFORE.contains(&first) && is_number(second);
        return before || BEHIND.contains(&second) && is_ordinal(first);
    }
    // Without a gap: `1.OG`, `2UG`.
    let end = name.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(name.len());
    let (number, word) = name.split_at(end);
    !number.is_empty() && matches!(word, "og" | "ug") && is_ordinal(number)
}

/// `3`, `03`, `B1`, `P2`, `3A`, `M`.
fn is_number(text: &str) -> bool {
    let digits = text.chars().filter(char::is_ascii_digit).count();
    let letters = text.chars().filter(|c| c.is_alphabetic()).count();
    digits + letters == text.chars().count()
        && letters <= 1
        && (1..=3).contains(&(digits + letters))
}

/// `1`, `1.`, `3rd`, `1er`, `2º`.
fn is_ordinal(text: &str) -> bool {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (digits, ending) = text.split_at(end);
    let endings = ["", ".", "st", "nd", "rd", "th", "er", "e", "ème", "º", "°", "ª", "o"];
    (1..=3).contains(&digits.len()) && endings.contains(&ending)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn storeys_are_told_from_other_names() {
        for name in [
            "Level 3",
            "LEVEL_03",
            "Level B1",
            "Floor 12",
            "3rd Floor",
            "2nd level",
            "Ground floor",
            "Basement",
            "Basement B1",
            "EG",
            "1. OG",
            "1.OG",
            "2. UG",
            "Roof",
            "Mezzanine",
            "1er étage",
            "Pavimento superior",
        ] {
            assert!(is_storey(name), "{name}");
        }
        for name in [
            "Sheet1",
            "B1",
            "3",
            "Summary",
            "Level",
            "Floor boxes",
            "Floor plan",
            "Level 3 devices",
            "OG7-plan",
            "Level 1204",
            "Devices",
            "1",
        ] {
            assert!(!is_storey(name), "{name}");
        }
    }
}
