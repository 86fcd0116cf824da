//! Numbers in a text: whole, decimal, fractions and mixed, exact as ratios of integers.

use std::cmp::Ordering;

use super::text::is_dash;
use super::word;
use super::{Column, Why, fold, trim};
use crate::outlet::Field;

/// The mark between whole and decimal digits.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum DecimalMark {
    /// `1,220.5`
    Point,
    /// `1.220,5`
    Comma,
}

/// An exact number; the denominator is above 0.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ratio {
    numerator: i128,
    denominator: i128,
}

/// More digits than this are no measurement; fewer never overflow the arithmetic below.
const DIGITS: usize = 30;
const LARGEST_DENOMINATOR: i128 = 1_000_000;

impl Ratio {
    pub(super) const fn is_zero(self) -> bool {
        self.numerator == 0
    }

    pub(super) const fn negated(self) -> Self {
        Self { numerator: -self.numerator, ..self }
    }

    /// So many times the number, rounded to the nearest integer, halves away from zero.
    pub(super) fn times(self, factor: i64) -> Option<i64> {
        let product = self.numerator.checked_mul(i128::from(factor))?.checked_mul(2)?;
        let half = if product < 0 { -self.denominator } else { self.denominator };
        i64::try_from(product.checked_add(half)? / self.denominator.checked_mul(2)?).ok()
    }

    /// The number, if it is whole.
    pub(super) fn whole(self) -> Option<i64> {
        let whole = i64::try_from(self.numerator / self.denominator).ok()?;
        (self.numerator % self.denominator == 0).then_some(whole)
    }

    /// Whether it is below a whole number.
    pub(super) fn is_below(self, whole: i64) -> bool {
        self.numerator.cmp(&(self.denominator * i128::from(whole))) == Ordering::Less
    }

    fn with_whole(self, whole: i128) -> Self {
        Self { numerator: whole * self.denominator + self.numerator, ..self }
    }
}

/// Fraction characters of Unicode with their values.
const FRACTIONS: &[(char, i128, i128)] = &[
    ('¼', 1, 4),
    ('½', 1, 2),
    ('¾', 3, 4),
    ('⅐', 1, 7),
    ('⅑', 1, 9),
    ('⅒', 1, 10),
    ('⅓', 1, 3),
    ('⅔', 2, 3),
    ('⅕', 1, 5),
    ('⅖', 2, 5),
    ('⅗', 3, 5),
    ('⅘', 4, 5),
    ('⅙', 1, 6),
    ('⅚', 5, 6),
    ('⅛', 1, 8),
    ('⅜', 3, 8),
    ('⅝', 5, 8),
    ('⅞', 7, 8),
    ('↉', 0, 3),
];

const SUPERSCRIPTS: &str = "⁰¹²³⁴⁵⁶⁷⁸⁹";
const SUBSCRIPTS: &str = "₀₁₂₃₄₅₆₇₈₉";
pub(super) const STROKES: [char; 3] = ['/', '\u{2044}', '\u{2215}'];

/// A text that is read from its front.
#[derive(Clone, Copy)]
pub(super) struct Scanner<'a> {
    pub(super) rest: &'a str,
    decimal: Option<DecimalMark>,
}

impl<'a> Scanner<'a> {
    pub(super) fn new(text: &'a str, decimal: Option<DecimalMark>) -> Self {
        Self { rest: trim(text), decimal }
    }

    /// Passes a sign and says whether it is minus. A dash with a gap behind it is no sign.
    pub(super) fn minus(&mut self) -> bool {
        if self.eat(|character| character == '+').is_some() {
            self.rest = trim(self.rest);
            return false;
        }
        let mut ahead = *self;
        let minus = ahead.eat(is_dash).is_some() && ahead.at_number();
        if minus {
            *self = ahead;
        }
        minus
    }

    /// Whether a number begins here.
    pub(super) fn at_number(&self) -> bool {
        self.rest.starts_with(|c: char| {
            c.is_ascii_digit()
                || matches!(c, '.' | ',' | '\u{215f}')
                || digit(SUPERSCRIPTS, c).is_some()
                || FRACTIONS.iter().any(|fraction| fraction.0 == c)
        })
    }

    /// Passes a number: `5`, `.25`, `0,25`, `1/4`, `1-1/2`, `1½`, `4¹¹⁄₁₆`.
    pub(super) fn number(&mut self) -> Result<Ratio, Why> {
        if let Some(fraction) = self.fraction_character()? {
            return Ok(fraction);
        }
        let run = self.take(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
        if !run.bytes().all(|byte| byte.is_ascii_digit()) || run.is_empty() {
            return decimal(run, self.decimal);
        }
        let whole = integer(run)?;
        if let Some(denominator) = self.denominator()? {
            return fraction(whole, denominator, true);
        }
        let mut ahead = *self;
        ahead.pass_joint();
        match ahead.proper_fraction()? {
            Some(fraction) => {
                *self = ahead;
                Ok(fraction.with_whole(whole))
            }
            None => Ok(Ratio { numerator: whole, denominator: 1 }),
        }
    }

    /// Passes what joins a whole number to its fraction: blanks, or one hyphen or dash.
    fn pass_joint(&mut self) {
        let after_gap = trim(self.rest);
        if after_gap.len() == self.rest.len() {
            self.eat(is_dash);
        }
        self.rest = if self.rest.len() > after_gap.len() { after_gap } else { self.rest };
    }

    /// Passes a fraction below one that follows a whole number.
    fn proper_fraction(&mut self) -> Result<Option<Ratio>, Why> {
        if let Some(fraction) = self.fraction_character()? {
            return if fraction.is_below(1) { Ok(Some(fraction)) } else { Err(Why::NotNumber) };
        }
        let mut ahead = *self;
        let numerator = ahead.take(|character| character.is_ascii_digit());
        if numerator.is_empty() {
            return Ok(None);
        }
        let Some(denominator) = ahead.denominator()? else { return Ok(None) };
        let fraction = fraction(integer(numerator)?, denominator, false)?;
        *self = ahead;
        if fraction.is_below(1) { Ok(Some(fraction)) } else { Err(Why::NotNumber) }
    }

    /// Passes a fraction of one character, or one of raised and lowered figures.
    fn fraction_character(&mut self) -> Result<Option<Ratio>, Why> {
        let Some(first) = self.rest.chars().next() else { return Ok(None) };
        if let Some((_, numerator, denominator)) = FRACTIONS.iter().find(|known| known.0 == first) {
            self.eat(|_| true);
            return Ok(Some(Ratio { numerator: *numerator, denominator: *denominator }));
        }
        if first == '\u{215f}' {
            self.eat(|_| true);
            return fraction(1, self.digits(SUBSCRIPTS)?, false).map(Some);
        }
        if digit(SUPERSCRIPTS, first).is_none() {
            return Ok(None);
        }
        let numerator = self.digits(SUPERSCRIPTS)?;
        let denominator = self.denominator()?.ok_or(Why::NotNumber)?;
        fraction(numerator, denominator, false).map(Some)
    }

    /// Passes a stroke and the digits behind it.
    fn denominator(&mut self) -> Result<Option<i128>, Why> {
        if self.eat(|character| STROKES.contains(&character)).is_none() {
            return Ok(None);
        }
        self.digits(SUBSCRIPTS).map(Some)
    }

    /// Passes plain digits, or those of one raised or lowered set.
    fn digits(&mut self, set: &str) -> Result<i128, Why> {
        let plain = self.take(|character| character.is_ascii_digit());
        if !plain.is_empty() {
            return integer(plain);
        }
        let run = self.take(|character| digit(set, character).is_some());
        if run.is_empty() || run.chars().count() > DIGITS {
            return Err(Why::NotNumber);
        }
        Ok(run.chars().filter_map(|figure| digit(set, figure)).fold(0, |sum, next| sum * 10 + next))
    }

    /// Passes one character of a kind.
    pub(super) fn eat(&mut self, kind: impl Fn(char) -> bool) -> Option<char> {
        let first = self.rest.chars().next().filter(|first| kind(*first))?;
        self.rest = &self.rest[first.len_utf8()..];
        Some(first)
    }

    /// Passes the characters of a kind.
    pub(super) fn take(&mut self, kind: impl Fn(char) -> bool) -> &'a str {
        let end = self.rest.find(|character| !kind(character)).unwrap_or(self.rest.len());
        let (run, rest) = self.rest.split_at(end);
        self.rest = rest;
        run
    }

    /// Why what is left after a measurement is no part of it.
    pub(super) fn why_more(&self) -> Why {
        let mut ahead = Self { rest: trim(self.rest), ..*self };
        if ahead.at_number() {
            return Why::SideBySide;
        }
        let joint = ahead.take(|character| character.is_alphabetic() || character == '.');
        let range = matches!(joint, "to" | ".." | "bis") || ahead.eat(is_dash).is_some();
        ahead.rest = trim(ahead.rest);
        if range && ahead.at_number() {
            Why::Range
        } else if matches!(ahead.rest.chars().next(), Some('/' | '+' | '&' | ',' | ';')) {
            Why::Several
        } else {
            Why::Trailing
        }
    }
}

/// Value of a figure in a set of ten.
fn digit(set: &str, figure: char) -> Option<i128> {
    set.chars().zip(0..).find(|(known, _)| *known == figure).map(|(_, value)| value)
}

fn integer(digits: &str) -> Result<i128, Why> {
    if digits.len() > DIGITS {
        Err(Why::OutOfRange)
    } else {
        digits.parse().map_err(|_| Why::NotNumber)
    }
}

/// A fraction. `11/2` in plain figures may be a broken `1 1/2`, and is refused.
fn fraction(numerator: i128, denominator: i128, plain: bool) -> Result<Ratio, Why> {
    if denominator == 0 || denominator > LARGEST_DENOMINATOR {
        return Err(Why::NotNumber);
    }
    if plain && numerator > denominator {
        let splits = [1000, 100, 10].map(|power| (numerator / power, numerator % power, power));
        let broken = splits
            .into_iter()
            .find(|(whole, rest, power)| *whole > 0 && rest * 10 >= *power && rest < &denominator);
        let narrow = |value: i128| u32::try_from(value).unwrap_or(u32::MAX);
        if let Some((whole, rest, _)) = broken {
            return Err(Why::AmbiguousFraction {
                numerator: narrow(numerator),
                denominator: narrow(denominator),
                whole: narrow(whole),
                rest: narrow(rest),
            });
        }
    }
    Ok(Ratio { numerator, denominator })
}

/// A decimal number, perhaps with its thousands parted.
fn decimal(run: &str, mark: Option<DecimalMark>) -> Result<Ratio, Why> {
    let mark = mark.map_or_else(|| mark_of(run), Ok)?;
    let (mark, parting) = match mark {
        DecimalMark::Point => ('.', ','),
        DecimalMark::Comma => (',', '.'),
    };
    let (whole, part) = run.split_once(mark).unwrap_or((run, ""));
    let digits = whole.bytes().chain(part.bytes()).filter(u8::is_ascii_digit);
    let count = digits.clone().count();
    let cut_off = part.is_empty() && run.ends_with(',');
    if count == 0
        || cut_off
        || !part.bytes().all(|byte| byte.is_ascii_digit())
        || !is_parted(whole, parting)
    {
        return Err(Why::NotNumber);
    }
    if count > DIGITS {
        return Err(Why::OutOfRange);
    }
    let numerator = digits.fold(0, |sum, byte| sum * 10 + i128::from(byte - b'0'));
    let denominator = part.bytes().fold(1, |power, _| power * 10);
    Ok(Ratio { numerator, denominator })
}

/// The decimal mark that a number shows by itself.
fn mark_of(run: &str) -> Result<DecimalMark, Why> {
    let count = |mark| run.matches(mark).count();
    match (count('.'), count(',')) {
        (0 | 1, 0) => Ok(DecimalMark::Point),
        (0, 1) if is_parted(run, ',') => Err(Why::DecimalMark),
        (_, 0) | (0, 1) => Ok(DecimalMark::Comma),
        (0, _) => Ok(DecimalMark::Point),
        _ if run.rfind('.') > run.rfind(',') => Ok(DecimalMark::Point),
        _ => Ok(DecimalMark::Comma),
    }
}

/// Whether whole digits are plain, or well parted into thousands.
fn is_parted(whole: &str, parting: char) -> bool {
    let mut groups = whole.split(parting);
    let first = groups.next().unwrap_or_default();
    let digits = |group: &str| group.bytes().all(|byte| byte.is_ascii_digit());
    if !whole.contains(parting) {
        return digits(first);
    }
    digits(first)
        && matches!(first.len(), 1..=3)
        && !first.starts_with('0')
        && groups.all(|group| group.len() == 3 && digits(group))
}

/// Words that may follow any count.
const PIECES: &[&str] = &["pcs", "pc", "pieces", "ea", "each", "nos"];

/// Reads a count: a whole number from 0, `none` where there can be none of the thing.
pub(super) fn count(text: &str, column: &Column<'_>) -> Result<i64, Why> {
    if let Some(count) = word::count_word(text, column.field) {
        return Ok(count);
    }
    if text.contains(STROKES) {
        return Err(Why::Several);
    }
    let mut scanner = Scanner::new(text, column.decimal);
    let minus = scanner.minus();
    let number = scanner.number()?;
    let unit = trim(scanner.rest);
    let is_unit = |known: &&str| fold(unit).skip_while(|first| *first == ' ').eq(known.chars());
    if !unit.is_empty() && !PIECES.iter().any(is_unit) && !counted(column.field).iter().any(is_unit)
    {
        return Err(scanner.why_more());
    }
    let count = number.whole().ok_or(Why::NotWhole)?;
    match count {
        1.. if minus => Err(Why::NotWhole),
        ..=65_000 => Ok(count),
        _ => Err(Why::OutOfRange),
    }
}

/// What a field counts, as it may stand behind the figure.
const fn counted(field: Field) -> &'static [&'static str] {
    match field {
        Field::DeviceGangs | Field::BoxGangs => &["gang", "gangs", "g"],
        Field::CoverScrews => &["screw", "screws"],
        Field::ThreadsPerInch => &["tpi", "threads per inch"],
        Field::TerminalBlocks => &["block", "blocks"],
        _ => &[],
    }
}
