//! Exact quantities: lengths in whole nanometres, volumes in ten-thousandths of the unit they were
//! typed in, volts and amperes in thousandths, wire gauges and days.
//!
//! Exact because limits are met exactly: 0.015 in is 381,000 nm, and a value typed at a printed limit
//! must equal it. In binary floating point it does not.

use std::fmt;

use super::value::{Choices, Value, Word};

/// A length in whole nanometres; negative where a field allows it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub struct Length(pub i64);

impl Length {
    /// One inch: 25.4 mm exactly.
    pub const INCH: Self = Self(25_400_000);
    /// One foot.
    pub const FOOT: Self = Self(304_800_000);
    /// One millimetre.
    pub const MILLIMETRE: Self = Self(1_000_000);

    /// A length of so many micrometres.
    pub const fn micrometres(count: i64) -> Self {
        Self(count * 1000)
    }

    /// In millimetres, for printing and charts.
    #[expect(clippy::cast_precision_loss, reason = "for display only")]
    pub fn millimetres(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// In inches, for printing and charts.
    #[expect(clippy::cast_precision_loss, reason = "for display only")]
    pub fn inches(self) -> f64 {
        self.0 as f64 / 25.4e6
    }
}

impl fmt::Display for Length {
    /// Both unit systems, each as short as it is true: `6.35 mm (0.25 in)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm ({} in)", decimal(self.millimetres(), 3), decimal(self.inches(), 4))
    }
}

impl Value for Length {
    fn from_raw(raw: i64) -> Self {
        Self(raw)
    }

    fn raw(self) -> i64 {
        self.0
    }
}

/// Unit of a volume.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum VolumeUnit {
    /// Cubic inches.
    CubicInches,
    /// Cubic centimetres.
    CubicCentimetres,
}

impl VolumeUnit {
    /// How the unit is printed.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::CubicInches => "in³",
            Self::CubicCentimetres => "cm³",
        }
    }
}

/// A volume: ten-thousandths of the unit in which it was typed.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Volume {
    /// Ten-thousandths of `unit`.
    pub amount: i64,
    /// The unit of the schedule.
    pub unit: VolumeUnit,
}

impl Volume {
    /// Ten-thousandths in one unit.
    pub const SCALE: i64 = 10_000;
}

impl fmt::Display for Volume {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        #[expect(clippy::cast_precision_loss, reason = "for display only")]
        let amount = self.amount as f64 / 1e4;
        write!(f, "{} {}", decimal(amount, 4), self.unit.symbol())
    }
}

impl Value for Volume {
    fn from_raw(raw: i64) -> Self {
        let unit =
            if raw & 1 == 0 { VolumeUnit::CubicInches } else { VolumeUnit::CubicCentimetres };
        Self { amount: raw >> 1, unit }
    }

    fn raw(self) -> i64 {
        (self.amount << 1) | i64::from(self.unit == VolumeUnit::CubicCentimetres)
    }
}

/// Volts or amperes, in thousandths.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Milli(pub i64);

impl Milli {
    /// So many whole units.
    pub const fn whole(units: i64) -> Self {
        Self(units * 1000)
    }
}

impl fmt::Display for Milli {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        #[expect(clippy::cast_precision_loss, reason = "for display only")]
        let amount = self.0 as f64 / 1e3;
        f.write_str(&decimal(amount, 3))
    }
}

impl Value for Milli {
    fn from_raw(raw: i64) -> Self {
        Self(raw)
    }

    fn raw(self) -> i64 {
        self.0
    }
}

/// A wire gauge. Those of Table 314.16(B) from the smallest, then everything larger as one.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
#[repr(u8)]
pub enum Gauge {
    /// 18 AWG
    Awg18,
    /// 16 AWG
    Awg16,
    /// 14 AWG
    Awg14,
    /// 12 AWG
    Awg12,
    /// 10 AWG
    Awg10,
    /// 8 AWG
    Awg8,
    /// 6 AWG
    Awg6,
    /// Larger than 6 AWG, where box fill is no longer counted by 314.16.
    Larger,
}

impl Word for Gauge {
    const ALL: &'static [Self] = &[
        Self::Awg18,
        Self::Awg16,
        Self::Awg14,
        Self::Awg12,
        Self::Awg10,
        Self::Awg8,
        Self::Awg6,
        Self::Larger,
    ];
    const WORDS: &'static [&'static str] =
        &["18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "above 6 AWG"];

    fn index(self) -> usize {
        self as usize
    }
}

impl Value for Gauge {
    fn from_raw(raw: i64) -> Self {
        Self::ALL[usize::try_from(raw).unwrap_or_default()]
    }

    fn raw(self) -> i64 {
        self as i64
    }
}

/// A day, counted from 1970-01-01.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Date(pub i32);

impl Value for Date {
    fn from_raw(raw: i64) -> Self {
        Self(i32::try_from(raw).unwrap_or_default())
    }

    fn raw(self) -> i64 {
        i64::from(self.0)
    }
}

impl Date {
    /// The day of the calendar; none beyond its years.
    pub fn civil(self) -> Option<jiff::civil::Date> {
        jiff::civil::date(1970, 1, 1).checked_add(jiff::Span::new().days(self.0)).ok()
    }
}

impl fmt::Display for Date {
    /// `2026-03-31`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.civil() {
            Some(day) => write!(f, "{day}"),
            None => write!(f, "day {}", self.0),
        }
    }
}

impl serde::Serialize for Date {
    /// As it is printed.
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// A number with at most `places` decimals and no trailing zeros.
pub fn decimal(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    if !text.contains('.') {
        return text;
    }
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Gauges are tried from the table; a blank one is never tried as larger.
impl Gauge {
    /// The gauges of Table 314.16(B).
    pub fn of_table() -> Vec<Self> {
        Self::all().into_iter().filter(|gauge| *gauge != Self::Larger).collect()
    }
}
