//! Lengths: figures with a unit, feet with inches, heights above the finished floor.
//!
//! A fraction that is no whole number of nanometres (1/3 in, 1/128 in) is rounded to the nearest one.

use super::number::{Ratio, Scanner};
use super::text::{is_dash, same, trim};
use super::{Column, Unit, Why, plausible};
use crate::outlet::{Field, Length};

/// Inches in a foot.
const FOOT: i64 = 12;

/// Reads a length into nanometres.
pub(super) fn read(text: &str, column: &Column<'_>) -> Result<i64, Why> {
    let mut scanner = Scanner::new(text, column.decimal);
    let minus = scanner.minus();
    let number = scanner.number()?;
    let unit = mark(&mut scanner)?;
    let mut nanometres = match unit {
        Some(unit) => convert(number, unit)?,
        None => bare(number, scanner.rest, column)?,
    };
    if unit == Some(Unit::Foot) {
        nanometres += inches(&mut scanner)?;
    }
    if !(scanner.rest.is_empty() || is_above_floor(scanner.rest, column.field)) {
        return Err(scanner.why_more());
    }
    let nanometres = if minus { -nanometres } else { nanometres };
    plausible::length(column.field, Length(nanometres))
}

fn convert(number: Ratio, unit: Unit) -> Result<i64, Why> {
    number.times(unit.nanometres().ok_or(Why::WrongUnit)?).ok_or(Why::OutOfRange)
}

/// A figure without a mark: in the column's unit, in inches where a floor is named, or 0.
fn bare(number: Ratio, rest: &str, column: &Column<'_>) -> Result<i64, Why> {
    let above_floor = is_above_floor(rest, column.field);
    if !rest.is_empty() && !above_floor {
        return Err(Scanner::new(rest, column.decimal).why_more());
    }
    match column.unit {
        Some(unit) => convert(number, unit),
        None if above_floor => convert(number, Unit::Inch),
        None if number.is_zero() => Ok(0),
        None => Err(Why::NoUnit),
    }
}

/// The inches behind feet, joined by nothing, blanks or a dash: `6"`, `-6"`, ` 6 in`, ` 6`.
fn inches(scanner: &mut Scanner<'_>) -> Result<i64, Why> {
    let mut ahead = *scanner;
    ahead.rest = trim(ahead.rest);
    let dashed = ahead.eat(is_dash).is_some();
    ahead.rest = trim(ahead.rest);
    if !ahead.at_number() {
        return Ok(0);
    }
    let number = ahead.number()?;
    let unit = mark(&mut ahead)?;
    match unit {
        Some(Unit::Inch) => {}
        None if !dashed && ahead.rest.is_empty() => {}
        _ if dashed => return Err(Why::Range),
        _ => return Err(Why::SideBySide),
    }
    if !number.is_below(FOOT) {
        return Err(if dashed { Why::Range } else { Why::SideBySide });
    }
    *scanner = ahead;
    convert(number, Unit::Inch)
}

/// Passes the mark or the word of a unit of length, with the blanks and the hyphen before it.
fn mark(scanner: &mut Scanner<'_>) -> Result<Option<Unit>, Why> {
    scanner.rest = trim(scanner.rest);
    let mut ahead = *scanner;
    if let Some(first) = ahead.eat(|c| "\"”“″ʺ'’‘′ʹ".contains(c)) {
        let single = "'’‘′ʹ".contains(first);
        let doubled = single && ahead.eat(|c| "'’‘′ʹ".contains(c)).is_some();
        scanner.rest = trim(ahead.rest);
        return Ok(Some(if single && !doubled { Unit::Foot } else { Unit::Inch }));
    }
    ahead.eat(is_dash);
    let word = ahead.take(char::is_alphabetic);
    if word.is_empty() || word.len() == scanner.rest.len() && same(word, "aff") {
        return Ok(None);
    }
    let Some(unit) = Unit::of(word) else { return Ok(None) };
    if unit.nanometres().is_none() {
        let above_floor = ahead.rest.starts_with('.');
        return if above_floor { Ok(None) } else { Err(Why::WrongUnit) };
    }
    if ahead.rest.starts_with(['2', '3', '²', '³', '^']) {
        return Err(Why::WrongUnit);
    }
    ahead.eat(|character| character == '.');
    scanner.rest = trim(ahead.rest);
    Ok(Some(unit))
}

/// Whether a text says "above the finished floor", in a field that is a height.
fn is_above_floor(text: &str, field: Field) -> bool {
    const WORDS: &[&str] = &[
        "aff",
        "a.f.f",
        "above finished floor",
        "above finish floor",
        "above floor",
        "affl",
        "a.f.f.l",
        "above finished floor level",
    ];
    field == Field::Height && WORDS.iter().any(|known| same(text, known))
}
