//! The figures of descriptions: configurations, amperes, volts, heights, how many.

use super::milli;
use crate::mapping::read::{self, Column, Content, Reading};
use crate::mapping::vocabulary;
use crate::outlet::{Configuration, Field, Texts, Value};

/// The facts that the figures of a text give; a figure without its unit gives none.
pub(super) fn facts(text: &str, tokens: &[String], texts: &mut Texts) -> Vec<(Field, i64)> {
    let mut facts = Vec::new();
    facts.extend(configurations(tokens).map(|shape| (Field::Configuration, shape.raw())));
    facts.extend(electrical(text));
    facts.extend(heights(text, texts).map(|raw| (Field::Height, raw)));
    facts.extend(how_many(text).map(|count| (Field::Quantity, count)));
    facts
}

/// NEMA configurations: `5-20R`, `L6-30R`, `NEMA 5-20`.
fn configurations(tokens: &[String]) -> impl Iterator<Item = Configuration> {
    let pairs = tokens.windows(2).enumerate();
    pairs.filter_map(|(at, pair)| {
        let named = at > 0 && tokens[at - 1] == "nema";
        let size = pair[1].strip_suffix('r').or_else(|| named.then_some(pair[1].as_str()))?;
        Configuration::new(&pair[0].to_ascii_uppercase(), size.parse().ok()?)
    })
}

/// A figure of a text, what stands around it, and the letters behind it.
struct Figure<'t> {
    before: Option<char>,
    digits: &'t str,
    unit: &'t str,
    /// Whether a stroke and another figure follow.
    stroke: bool,
}

/// The figures of a text that do not begin within a word.
fn figures(text: &str) -> Vec<Figure<'_>> {
    let mut figures = Vec::new();
    let mut rest = 0;
    while let Some(start) = text[rest..].find(|c: char| c.is_ascii_digit()).map(|at| rest + at) {
        let end = end_of(text, start, |c| c.is_ascii_digit() || matches!(c, '.' | ','));
        let digits = text[start..end].trim_end_matches(['.', ',']);
        let end = start + digits.len();
        let gap = text[end..].len() - text[end..].trim_start_matches([' ', '-']).len();
        let letters = end_of(text, end + gap, char::is_alphanumeric);
        let unit = &text[end + gap..letters];
        figures.push(Figure {
            before: text[..start].chars().next_back(),
            digits,
            unit,
            stroke: text[end..].starts_with('/'),
        });
        rest = end;
    }
    figures
}

fn end_of(text: &str, from: usize, belongs: impl Fn(char) -> bool) -> usize {
    text[from..].find(|c: char| !belongs(c)).map_or(text.len(), |length| from + length)
}

/// Amperes and volts that carry their unit, and systems: `20A`, `277 V`, `120/208V`.
fn electrical(text: &str) -> Vec<(Field, i64)> {
    let mut facts = Vec::new();
    let mut first = None;
    for figure in figures(text) {
        let in_word = figure.before.is_some_and(char::is_alphanumeric);
        let number = figure.digits.parse::<i64>().ok().filter(|_| !in_word);
        if let Some(low) = first.take() {
            // A pair of volts is a system, or two values that no system joins.
            if is_volts(figure.unit) && figure.before == Some('/') {
                let pair = format!("{low}/{}", figure.digits);
                let system = vocabulary::place_of(Field::System, &pair);
                facts.extend(system.map(|place| (Field::System, i64::from(place))));
                continue;
            }
        }
        if figure.stroke && figure.unit.is_empty() {
            first = number;
            continue;
        }
        let Some(number) = number else { continue };
        if is_amperes(figure.unit) && (1..=400).contains(&number) {
            facts.push((Field::DeviceAmps, milli(number)));
        } else if is_volts(figure.unit) && (12..=1000).contains(&number) {
            // 125 and 250 V are ratings of devices; circuits are nominally of other volts.
            let rated = matches!(number, 125 | 250);
            let field = if rated { Field::DeviceVolts } else { Field::Volts };
            facts.push((field, milli(number)));
        }
    }
    facts
}

fn is_amperes(unit: &str) -> bool {
    ["a", "amp", "amps", "ampere", "amperes"].iter().any(|known| known.eq_ignore_ascii_case(unit))
}

fn is_volts(unit: &str) -> bool {
    ["v", "vac", "volt", "volts"].iter().any(|known| known.eq_ignore_ascii_case(unit))
}

/// Heights above the finished floor: `44" AFF`, `+44"`, `@ 1100 mm AFFL`. A bare `44"` may be any size.
fn heights(text: &str, texts: &mut Texts) -> impl Iterator<Item = i64> {
    let column = Column::of(Field::Height);
    let mut read = |text: &str| match read::read(Content::Text(text), &column, texts) {
        Reading::Known(raw) => Some(raw),
        _ => None,
    };
    let mut found = Vec::new();
    let lower = text.to_ascii_lowercase();
    for part in text.split([';', '(', ')', '\n']).flat_map(|part| part.split(", ")) {
        let begin = part.as_ptr() as usize - text.as_ptr() as usize;
        let small = &lower[begin..begin + part.len()];
        let floor = small.find("aff").or_else(|| small.find("a.f.f"));
        let mut starts = part.char_indices().filter(|(at, character)| {
            let before = part[..*at].chars().next_back();
            let sign = matches!(character, '+' | '@');
            let digit = character.is_ascii_digit()
                && before
                    .is_none_or(|before| before.is_whitespace() || matches!(before, '+' | '@'));
            sign || floor.is_some() && digit
        });
        // A sign needs a unit behind its figure; above the floor a bare figure is of inches.
        let height = starts.find_map(|(at, character)| {
            let figure = part[at..].trim_start_matches(['+', '@', ' ']);
            let above_floor = floor.filter(|end| *end > at).map(|_| figure);
            let mut gaps = figure.match_indices(' ').map(|(gap, _)| gap);
            let (one, two) = (gaps.next(), gaps.next());
            let ends = [two, one].map(|end| end.unwrap_or(figure.len()));
            let signed = matches!(character, '+' | '@');
            let behind_sign = ends.into_iter().filter(|_| signed).map(|end| &figure[..end]);
            above_floor.into_iter().chain(behind_sign).find_map(&mut read)
        });
        found.extend(height.filter(|raw| *raw > 0));
    }
    found.into_iter()
}

/// How many devices a text begins with: `(2) SW`, `2 x Steckdose`, `2 Nos switch`.
fn how_many(text: &str) -> Option<i64> {
    let text = text.trim_start();
    let inside = text.strip_prefix('(').unwrap_or(text);
    let end = end_of(inside, 0, |c| c.is_ascii_digit());
    let count: i64 = inside[..end].parse().ok().filter(|count| (1..=500).contains(count))?;
    let rest = &inside[end..];
    if text.starts_with('(') {
        return rest.starts_with(')').then_some(count);
    }
    let word = rest.trim_start();
    let word = &word[..end_of(word, 0, char::is_alphabetic)];
    let counted = ["x", "×", "nos", "no", "ea", "stk", "stück", "un", "uds", "pcs"];
    let times = word.is_empty() && rest.trim_start().starts_with('×');
    (times || counted.iter().any(|known| word.to_lowercase() == *known)).then_some(count)
}
