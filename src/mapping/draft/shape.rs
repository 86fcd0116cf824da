//! The shape of a column: what its cells look like, whatever its header says.

use std::collections::BTreeSet;

use crate::ingest::{Cell, Row};
use crate::mapping::describe::{Phrases, describe};
use crate::mapping::kinds::{Kind, Told, told};
use crate::mapping::read::{self, Column, Content, DecimalMark, Reading, Unit, trim};
use crate::outlet::{Field, Texts};

/// The cells of a column below its header.
pub(super) struct Cells {
    /// Those that hold something, as text.
    pub(super) texts: Vec<String>,
    /// How many rows of the table leave it empty.
    pub(super) empty: usize,
}

impl Cells {
    pub(super) fn of(rows: &[&Row], column: u32) -> Self {
        let mut cells = Self { texts: Vec::new(), empty: 0 };
        for row in rows {
            match row.cell(column) {
                Cell::Text(text) if !trim(text).is_empty() => {
                    cells.texts.push(trim(text).to_owned());
                }
                Cell::Number(number) => cells.texts.push(number.to_string()),
                Cell::Boolean(truth) => cells.texts.push(truth.to_string()),
                Cell::Date(moment) => cells.texts.push(moment.date().to_string()),
                _ => cells.empty += 1,
            }
        }
        cells
    }

    pub(super) fn count(&self) -> usize {
        self.texts.len()
    }

    pub(super) fn distinct(&self) -> usize {
        self.texts.iter().collect::<BTreeSet<_>>().len()
    }

    fn share(&self, fits: impl Fn(&str) -> bool) -> f64 {
        ratio(self.texts.iter().filter(|text| fits(text)).count(), self.count())
    }

    /// How many cells read as values of a field; blanks in words count neither way.
    pub(super) fn readable(
        &self,
        field: Field,
        unit: Option<Unit>,
        decimal: Option<DecimalMark>,
    ) -> usize {
        let mut texts = Texts::default();
        let column = Column { unit, decimal, ..Column::of(field) };
        let reads = |text: &&String| {
            !matches!(
                read::read(Content::Text(text), &column, &mut texts),
                Reading::Unreadable(_) | Reading::NotADevice(_)
            )
        };
        self.texts.iter().filter(reads).count()
    }

    /// How well the cells suit a field of texts, from 0 to 1.
    pub(super) fn suits(&self, field: Field) -> f64 {
        match field {
            Field::OutletId => {
                let short =
                    self.share(|text| text.chars().count() <= 24 && text.matches(' ').count() <= 1);
                ratio(self.distinct(), self.count()) * short
            }
            Field::Circuit => 1.0 - self.share(is_rating),
            Field::Room | Field::Building | Field::Panel => {
                1.0 - self.share(|text| text.contains(['.', ',']) && text.parse::<f64>().is_ok())
            }
            Field::Floor => {
                let few = self.distinct() <= 30;
                let short = self.share(|text| text.chars().count() <= 30);
                if few { short } else { 0.0 }
            }
            _ => 1.0,
        }
    }

    /// Whether a group's value stands in its first row only: no value comes back, and most are empty.
    pub(super) fn filled_down(&self) -> bool {
        self.count() >= 2 && self.empty >= self.count() && self.distinct() == self.count()
    }

    /// What the cells name.
    pub(super) fn named(&self) -> Named {
        let mut named = Named::default();
        for text in &self.texts {
            let mut it = told(text);
            if it.kind == Kind::Unsaid {
                it.kind = describe(text, &Phrases::default(), &mut Texts::default()).kind;
            }
            named.add(&it);
        }
        named
    }
}

/// What the cells of a column name.
#[derive(Clone, Debug, Default)]
pub(super) struct Named {
    /// Devices.
    pub(super) devices: usize,
    /// Devices that only a bare `switch` or `SW` tells.
    pub(super) bare_switches: usize,
    /// Other things, or perhaps a device.
    pub(super) others: usize,
    /// Of these, what may be a device, or two.
    pub(super) doubts: usize,
    /// Equipment of computer networks.
    pub(super) network: usize,
    /// A few of the words that told devices.
    pub(super) words: Vec<&'static str>,
}

impl Named {
    fn add(&mut self, it: &Told) {
        match it.kind {
            Kind::Device(_) => {
                self.devices += 1;
                self.bare_switches += usize::from(matches!(it.word, "switch" | "sw"));
                let word = it.word.trim_start_matches('*');
                if self.words.len() < 4 && !word.is_empty() && !self.words.contains(&word) {
                    self.words.push(word);
                }
            }
            Kind::Other(reason) => {
                self.others += 1;
                self.network += usize::from(reason == "network equipment");
            }
            Kind::Either(_) => {
                self.others += 1;
                self.doubts += 1;
            }
            Kind::Unsaid => {}
        }
    }
}

/// A share from 0 to 1; 0 of nothing.
#[expect(clippy::cast_precision_loss, reason = "rows of a spreadsheet are few")]
pub(super) fn ratio(part: usize, whole: usize) -> f64 {
    if whole == 0 { 0.0 } else { part as f64 / whole as f64 }
}

/// Whether a text is the rating of a breaker rather than its number: `20A`, `B16`, `C 10 A`.
fn is_rating(text: &str) -> bool {
    let text = text.to_ascii_uppercase();
    let bare = text.trim_start_matches(['B', 'C', 'D', 'K']).trim();
    let amperes = bare
        .strip_suffix("AMPS")
        .or_else(|| bare.strip_suffix("AMP"))
        .or_else(|| bare.strip_suffix('A'));
    let is_size = |digits: &str| {
        let sizes = ["6", "10", "13", "15", "16", "20", "25", "30", "32", "40", "50", "60", "63"];
        sizes.contains(&digits.trim())
    };
    amperes.is_some_and(is_size) || bare.len() < text.len() && is_size(bare)
}

/// The decimal mark of the cells, where they show it beyond doubt: a comma with one or two figures, or
/// more than three, behind it.
pub(super) fn decimal_mark<'c>(cells: impl Iterator<Item = &'c Cells>) -> Option<DecimalMark> {
    let (mut commas, mut points) = (0, 0);
    for text in cells.flat_map(|cells| &cells.texts) {
        let figures = text.trim_start_matches(['+', '-']);
        if !figures.starts_with(|c: char| c.is_ascii_digit()) {
            continue;
        }
        let tail = |mark: char| {
            let (whole, tail) = figures.split_once(mark)?;
            let digits = tail.bytes().take_while(u8::is_ascii_digit).count();
            let alone =
                !tail.contains([',', '.']) && whole.bytes().all(|byte| byte.is_ascii_digit());
            (alone && tail[digits..].trim_start().len() <= 4).then_some(digits)
        };
        commas += usize::from(tail(',').is_some_and(|digits| digits > 0 && digits != 3));
        points += usize::from(tail('.').is_some_and(|digits| digits > 0 && digits != 3));
    }
    match (commas, points) {
        (1.., 0) => Some(DecimalMark::Comma),
        _ => None,
    }
}

/// Whether a name is that of a storey: `EG`, `2. OG`, `Level 3`, `Erdgeschoss`, `First Floor`.
pub(super) fn is_storey(name: &str) -> bool {
    const WORDS: &[&str] = &[
        "floor",
        "level",
        "storey",
        "basement",
        "ground",
        "roof",
        "attic",
        "erdgeschoss",
        "obergeschoss",
        "untergeschoss",
        "dachgeschoss",
        "keller",
        "kellergeschoss",
        "geschoss",
        "eg",
        "og",
        "ug",
        "dg",
        "kg",
        "pavimento",
        "andar",
        "terreo",
        "superior",
        "piso",
        "planta",
        "baja",
        "sotano",
        "etage",
        "rdc",
        "niveau",
        "lvl",
    ];
    let tokens = crate::mapping::kinds::tokens(name);
    let letters = |token: &String| token.trim_matches(|c: char| c.is_ascii_digit()).to_owned();
    tokens.len() <= 4 && tokens.iter().any(|token| WORDS.contains(&letters(token).as_str()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn storeys_ratings_and_decimal_commas_are_known_by_their_look() {
        for name in
            ["EG", "2. OG", "1.UG", "Level 3", "Erdgeschoss", "First Floor", "PAVIMENTO SUPERIOR"]
        {
            assert!(is_storey(name), "{name}");
        }
        assert!(!is_storey("Devices") && !is_storey("Sheet1"));
        for text in ["20A", "B16", "C 10 A", "15 amp"] {
            assert!(is_rating(text), "{text}");
        }
        assert!(!is_rating("20") && !is_rating("1A2") && !is_rating("F12"));
        let cells = |texts: &[&str]| Cells {
            texts: texts.iter().map(ToString::to_string).collect(),
            empty: 0,
        };
        assert_eq!(
            decimal_mark([&cells(&["2,5", "1,50 m"])].into_iter()),
            Some(DecimalMark::Comma)
        );
        assert_eq!(decimal_mark([&cells(&["1,220", "42,45,46"])].into_iter()), None);
        assert_eq!(decimal_mark([&cells(&["2,5", "2.5"])].into_iter()), None);
    }
}
