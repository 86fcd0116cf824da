//! Texts: trimmed, folded for comparison, printed from numbers, kept.

use std::fmt::{self, Write as _};

use crate::outlet::{Field, Text, Texts};

/// Whether a character is blank: white space of any kind, or one without width.
fn is_blank(character: char) -> bool {
    character.is_whitespace() || matches!(character, '\u{feff}' | '\u{200b}' | '\u{2060}')
}

/// A hyphen or a dash of any length, the minus sign included.
pub(super) const fn is_dash(character: char) -> bool {
    matches!(character, '-' | '\u{2010}'..='\u{2015}' | '\u{2212}')
}

/// The text without blanks around it, those without width and the non-breaking included.
pub fn trim(text: &str) -> &str {
    text.trim_matches(is_blank)
}

/// The text without the apostrophe that keeps a spreadsheet from taking it for a formula.
pub(super) fn unguarded(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(guarded) if guarded.starts_with(['=', '+', '-', '@', '\t', '\r']) => guarded,
        _ => text,
    }
}

/// Words for not knowing.
const BLANK_WORDS: &[&str] = &["n/a", "na", "-", "--", "?", "unknown", "tbd"];

/// The errors of formulas, as they stand in a text export.
const ERRORS: &[&str] =
    &["#n/a", "#ref!", "#value!", "#div/0!", "#name?", "#num!", "#null!", "#spill!", "#calc!"];

/// Whether a trimmed text says that the value is not known.
pub(in crate::mapping) fn is_blank_word(text: &str) -> bool {
    let known = |words: &[&str]| words.iter().any(|word| word.eq_ignore_ascii_case(text));
    match text.as_bytes() {
        [] => true,
        [b'#', ..] => known(ERRORS),
        _ => text.len() <= 7 && known(BLANK_WORDS) || text.chars().all(is_dash),
    }
}

/// What drawing programs write for the room or the floor of a device that stands in none.
const NO_PLACES: &[&str] = &[
    "default space",
    "default room",
    "default floor",
    "no room",
    "not placed",
    "unplaced",
    "unassigned",
    "not assigned",
    "not enclosed",
];

/// Whether a text in a column of places says that there is none.
pub(in crate::mapping) fn is_no_place(field: Field, text: &str) -> bool {
    matches!(field, Field::Room | Field::Floor) && NO_PLACES.iter().any(|word| same(word, text))
}

/// The characters of a text as words are compared: in lower case, any run of blanks, hyphens and
/// underscores as one space and none beside a stroke, without blanks at the ends and dots at the last.
///
/// A hyphen in front stays a space, so that `-1` is not `1`; nothing but hyphens folds to nothing.
pub fn fold(text: &str) -> impl Iterator<Item = char> {
    let gap = |character: char| is_blank(character) || is_dash(character) || character == '_';
    let text = trim(text).trim_end_matches(|character| character == '.' || is_blank(character));
    let (mut after_gap, mut last) = (false, None);
    text.chars()
        .filter(|character| !matches!(character, '\u{fe0e}' | '\u{fe0f}'))
        .filter_map(move |character| {
            if gap(character) {
                after_gap = true;
                return None;
            }
            let space = after_gap && character != '/' && last != Some('/');
            (after_gap, last) = (false, Some(character));
            Some(space.then_some(' ').into_iter().chain(character.to_lowercase()))
        })
        .flatten()
}

/// Whether two texts are the same word.
pub fn same(one: &str, other: &str) -> bool {
    fold(one).eq(fold(other))
}

/// The most characters of a name, a number or a remark. A spreadsheet holds 32,767 in a cell, and can show
/// one such text in a million cells for a few bytes each.
const MOST_CHARACTERS: usize = 1000;

/// Whether a text is too long for what names something.
pub(super) fn is_too_long(text: &str) -> bool {
    text.len() > MOST_CHARACTERS && text.chars().nth(MOST_CHARACTERS).is_some()
}

/// Keeps an identifier: inner runs of blanks as one space, its case as it is.
pub(super) fn intern(text: &str, texts: &mut Texts) -> Text {
    if is_clean(text) {
        return texts.intern(text);
    }
    let mut clean = String::with_capacity(text.len());
    for word in text.split(is_blank).filter(|word| !word.is_empty()) {
        if !clean.is_empty() {
            clean.push(' ');
        }
        clean.push_str(word);
    }
    texts.intern(&clean)
}

fn is_clean(text: &str) -> bool {
    let mut before = ' ';
    for character in text.chars() {
        if is_blank(character) && (character != ' ' || before == ' ') {
            return false;
        }
        before = character;
    }
    true
}

/// A number as its shortest decimal text that gives the same number back, without an exponent.
pub(super) struct Printed {
    bytes: [u8; 40],
    length: usize,
}

impl Printed {
    /// The text of a number; none for one of more digits than a measurement or a name has.
    pub(super) fn of(number: f64) -> Option<Self> {
        let mut printed = Self { bytes: [0; 40], length: 0 };
        let number = if number == 0.0 { 0.0 } else { number };
        (number.is_finite() && write!(printed, "{number}").is_ok()).then_some(printed)
    }

    pub(super) fn as_str(&self) -> &str {
        str::from_utf8(&self.bytes[..self.length]).unwrap_or_default()
    }
}

impl fmt::Write for Printed {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        let end = self.length + text.len();
        let free = self.bytes.get_mut(self.length..end).ok_or(fmt::Error)?;
        free.copy_from_slice(text.as_bytes());
        self.length = end;
        Ok(())
    }
}
