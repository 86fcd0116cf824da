//! Volumes, kept in the unit in which they were typed, to ten-thousandths of it.

use super::number::Scanner;
use super::text::trim;
use super::{Column, Unit, Why, plausible};
use crate::outlet::{Value, Volume, VolumeUnit};

/// Reads a volume; 0 alone needs no unit.
pub(super) fn read(text: &str, column: &Column<'_>) -> Result<i64, Why> {
    let mut scanner = Scanner::new(text, column.decimal);
    let minus = scanner.minus();
    let number = scanner.number()?;
    let written = trim(scanner.rest);
    let unit = match (written.is_empty(), column.unit) {
        (false, _) => Unit::of(written).ok_or_else(|| scanner.why_more())?,
        (true, Some(unit)) => unit,
        (true, None) if number.is_zero() => Unit::CubicInch,
        (true, None) => return Err(Why::NoUnit),
    };
    let unit = match unit {
        Unit::CubicInch => VolumeUnit::CubicInches,
        Unit::CubicCentimetre => VolumeUnit::CubicCentimetres,
        _ => return Err(Why::WrongUnit),
    };
    let number = if minus { number.negated() } else { number };
    let amount = number.times(Volume::SCALE).filter(|amount| amount.abs() < i64::MAX / 4);
    let volume = Volume { amount: amount.ok_or(Why::OutOfRange)?, unit };
    plausible::volume(volume).map(Value::raw)
}
