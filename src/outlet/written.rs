//! Values written so that the readers of cells read the very same back: what a survey carries out of the
//! building and home again.

use super::field::{Field, Kind};
use super::quantity::{Length, Volume, VolumeUnit};
use super::value::Value as _;
use super::{Outlet, Texts, quantity, shown};

/// Nanometres in a ten-thousandth of an inch.
const INCH_STEP: i64 = 2540;

/// A value of a field by its integer, as a person would type it: `0.25 in`, `5-20R`, `yes`.
pub fn written(field: Field, raw: i64, texts: &Texts) -> String {
    match field.kind() {
        Kind::Length => length(Length(raw)),
        Kind::Volume => volume(Volume::from_raw(raw)),
        _ => shown(field, raw, texts),
    }
}

/// In inches where four decimals are exact, else in millimetres, where six always are.
fn length(length: Length) -> String {
    if length.0 % INCH_STEP == 0 {
        format!("{} in", quantity::decimal(length.inches(), 4))
    } else {
        format!("{} mm", quantity::decimal(length.millimetres(), 6))
    }
}

fn volume(volume: Volume) -> String {
    #[expect(
        clippy::cast_precision_loss,
        reason = "four decimals of a volume are exact in a double"
    )]
    let amount = volume.amount as f64 / 1e4;
    let unit = match volume.unit {
        VolumeUnit::CubicInches => "in3",
        VolumeUnit::CubicCentimetres => "cm3",
    };
    format!("{} {unit}", quantity::decimal(amount, 4))
}

/// Header of the column that tells what was known of an outlet before its survey. A table that has it
/// holds observations, which are joined to the outlets of a schedule.
pub const KNOWN_BEFORE: &str = "known_before";

/// What is known of an outlet, one fact a line: `box_set_back=0.25 in`.
pub fn record(outlet: &Outlet, texts: &Texts) -> String {
    let known = Field::ALL.iter().filter_map(|field| {
        let raw = outlet.raw(*field).known()?;
        Some(format!("{}={}", field.name(), written(*field, raw, texts)))
    });
    known.collect::<Vec<_>>().join("\n")
}

/// The fields of a record, each with its value as it is written; lines of another shape are left out.
pub fn facts_of(record: &str) -> impl Iterator<Item = (Field, &str)> {
    record.lines().filter_map(|line| {
        let (name, value) = line.split_once('=')?;
        Some((Field::named(name.trim())?, value))
    })
}
