//! Measurements that cannot be: slips of a unit or a sign, which count as unreadable.

use super::Why;
use crate::outlet::{Field, Length, Volume};

const SIX_INCHES: i64 = 6 * Length::INCH.0;
const ONE_INCH: i64 = Length::INCH.0;
const THIRTY_FEET: i64 = 30 * Length::FOOT.0;

/// The nanometres of a length, if its field can have it. A bound met exactly is still believed.
pub(super) fn length(field: Field, length: Length) -> Result<i64, Why> {
    let (nanometres, size) = (length.0, length.0.unsigned_abs());
    let beyond = |bound: i64| size > bound.unsigned_abs();
    match field {
        Field::BoxSetBack | Field::WallGap if beyond(SIX_INCHES) => Err(Why::BeyondSixInches),
        Field::FaceProjection if beyond(ONE_INCH) => Err(Why::BeyondOneInch),
        Field::Height if nanometres > THIRTY_FEET => Err(Why::BeyondThirtyFeet),
        Field::Height
        | Field::WallGap
        | Field::SinkDistance
        | Field::TubDistance
        | Field::ObstructionDepth
            if nanometres < 0 =>
        {
            Err(Why::Negative)
        }
        _ => Ok(nanometres),
    }
}

/// A volume, if it is not negative.
pub(super) fn volume(volume: Volume) -> Result<Volume, Why> {
    if volume.amount < 0 { Err(Why::Negative) } else { Ok(volume) }
}

/// Thousandths of volts or amperes, if above 0 and within what the model holds.
pub(super) fn milli(thousandths: i64) -> Result<i64, Why> {
    match thousandths {
        ..=0 => Err(Why::NotPositive),
        1..=2_000_000_000 => Ok(thousandths),
        _ => Err(Why::OutOfRange),
    }
}
