//! Volts and amperes, in thousandths.

use super::number::{STROKES, Scanner};
use super::text::trim;
use super::{Column, Unit, Why, plausible};

/// Reads volts: `120`, `277V`, `120 VAC`, `0.48 kV`. A bare number is volts.
///
/// `208Y/120` is a system and no voltage. `24 V DC` is 24: whether a circuit is of direct current is
/// no fact of the model.
pub(super) fn volts(text: &str, column: &Column<'_>) -> Result<i64, Why> {
    if text.contains(STROKES) {
        return Err(Why::SystemForVoltage);
    }
    milli(text, column, Unit::Volt)
}

/// Reads amperes: `20`, `20A`, `20-amp`. A bare number is amperes.
pub(super) fn amperes(text: &str, column: &Column<'_>) -> Result<i64, Why> {
    if text.contains(STROKES) {
        return Err(Why::Several);
    }
    milli(text, column, Unit::Ampere)
}

fn milli(text: &str, column: &Column<'_>, bare: Unit) -> Result<i64, Why> {
    let mut scanner = Scanner::new(text, column.decimal);
    let minus = scanner.minus();
    let number = scanner.number()?;
    let written = trim(scanner.rest);
    let unit = if written.is_empty() {
        column.unit.unwrap_or(bare)
    } else {
        unit(written).ok_or_else(|| scanner.why_more())?
    };
    if !unit.suits(column.field.kind()) {
        return Err(Why::WrongUnit);
    }
    let scale = if unit == Unit::Kilovolt { 1_000_000 } else { 1000 };
    let number = if minus { number.negated() } else { number };
    plausible::milli(number.times(scale).ok_or(Why::OutOfRange)?)
}

/// The unit behind the figure, which may say that the current alternates or not: `V`, `VAC`, `V DC`.
fn unit(written: &str) -> Option<Unit> {
    let bytes = written.as_bytes();
    let current = bytes.len().checked_sub(2).filter(|cut| written.is_char_boundary(*cut));
    let bare = current.map(|cut| written.split_at(cut)).filter(|(_, current)| {
        current.eq_ignore_ascii_case("ac") || current.eq_ignore_ascii_case("dc")
    });
    Unit::of(written).or_else(|| bare.and_then(|(unit, _)| Unit::of(unit)))
}
