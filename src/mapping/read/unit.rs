//! Units as cells, headers and mappings write them.

use super::text::{fold, is_dash, trim};
use crate::outlet::Kind;

/// A unit of a column or a cell.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Unit {
    /// 25.4 mm exactly.
    Inch,
    /// 12 in.
    Foot,
    /// Millimetre.
    Millimetre,
    /// Centimetre.
    Centimetre,
    /// Metre.
    Metre,
    /// Cubic inch.
    CubicInch,
    /// Cubic centimetre, the millilitre by another name.
    CubicCentimetre,
    /// Volt.
    Volt,
    /// Kilovolt.
    Kilovolt,
    /// Ampere.
    Ampere,
}

/// The longest spelling of a unit takes fewer bytes than this.
const LONGEST: usize = 24;

impl Unit {
    /// The unit of a text: `in`, `inches`, `"`, `ft`, `'`, `mm`, `cu. in.`, `cm³`, `V`, `amps`.
    pub fn of(text: &str) -> Option<Self> {
        let mut bytes = [0; LONGEST];
        let mut length = 0;
        for character in fold(text).filter(|character| !matches!(character, ' ' | '.')) {
            let end = length + character.len_utf8();
            character.encode_utf8(bytes.get_mut(length..end)?);
            length = end;
        }
        Some(match str::from_utf8(&bytes[..length]).ok()? {
            "in" | "inch" | "inches" | "\"" | "”" | "“" | "″" | "ʺ" | "''" | "’’" | "′′" => {
                Self::Inch
            }
            "ft" | "foot" | "feet" | "'" | "’" | "‘" | "′" | "ʹ" => Self::Foot,
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Self::Millimetre,
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Self::Centimetre,
            "m" | "metre" | "metres" | "meter" | "meters" => Self::Metre,
            "in3" | "in³" | "in^3" | "cuin" | "cuinch" | "cuinches" | "cubicin" | "cubicinch"
            | "cubicinches" => Self::CubicInch,
            "cm3" | "cm³" | "cm^3" | "cc" | "ccm" | "cucm" | "cubiccm" | "ml"
            | "cubiccentimetres" | "cubiccentimeters" => Self::CubicCentimetre,
            "v" | "volt" | "volts" | "vac" | "vdc" | "voltsac" | "voltsdc" => Self::Volt,
            "kv" | "kilovolt" | "kilovolts" => Self::Kilovolt,
            "a" | "amp" | "amps" | "ampere" | "amperes" => Self::Ampere,
            _ => return None,
        })
    }

    /// Whether a field of this kind is measured in it.
    pub const fn suits(self, kind: Kind) -> bool {
        match kind {
            Kind::Length => self.nanometres().is_some(),
            Kind::Volume => matches!(self, Self::CubicInch | Self::CubicCentimetre),
            Kind::Voltage => matches!(self, Self::Volt | Self::Kilovolt),
            Kind::Current => matches!(self, Self::Ampere),
            _ => false,
        }
    }

    /// Nanometres in a unit of length.
    pub(super) const fn nanometres(self) -> Option<i64> {
        Some(match self {
            Self::Inch => 25_400_000,
            Self::Foot => 304_800_000,
            Self::Millimetre => 1_000_000,
            Self::Centimetre => 10_000_000,
            Self::Metre => 1_000_000_000,
            _ => return None,
        })
    }
}

/// The unit that a header ends with, and the header without it: `Wall gap, mm`, `Height [in]`.
///
/// A unit that is also a word or a letter of a name (`in`, `A`, `m`) counts only in brackets or behind
/// a comma or a stroke. Ask [`Unit::suits`] before believing it: `Panel (A)` has no unit.
pub fn unit_in_header(header: &str) -> Option<(String, Unit)> {
    let header = trim(header);
    let (words, unit) = bracketed(header).or_else(|| parted(header)).or_else(|| bare(header))?;
    let words = words.trim_end_matches(|c: char| is_dash(c) || matches!(c, ',' | ':' | '_' | ' '));
    (!words.is_empty()).then(|| (words.to_owned(), unit))
}

fn bracketed(header: &str) -> Option<(&str, Unit)> {
    let (open, close) = [('(', ')'), ('[', ']'), ('{', '}')]
        .into_iter()
        .find(|(_, close)| header.ends_with(*close))?;
    let (words, unit) = header.strip_suffix(close)?.rsplit_once(open)?;
    Some((trim(words), Unit::of(unit)?))
}

fn parted(header: &str) -> Option<(&str, Unit)> {
    let (words, unit) = header.rsplit_once([',', ';', '/'])?;
    Some((trim(words), Unit::of(unit)?))
}

/// A last word, or the last two, that can only be a unit.
fn bare(header: &str) -> Option<(&str, Unit)> {
    let gaps = header.rmatch_indices(|c: char| c.is_whitespace() || c == '_').take(2);
    let starts = gaps.map(|(place, gap)| (place, place + gap.len()));
    let two_words_first = starts.collect::<Vec<_>>().into_iter().rev();
    for (end, start) in two_words_first {
        let word = &header[start..];
        if word.chars().count() < 2 || word.trim_end_matches('.').eq_ignore_ascii_case("in") {
            continue;
        }
        if let Some(unit) = Unit::of(word) {
            let words = trim(&header[..end]);
            return Some((words.strip_suffix(" in").unwrap_or(words), unit));
        }
    }
    None
}
