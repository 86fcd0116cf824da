//! Why a cell could not be read, in words for the person who can correct it.

use thiserror::Error;

/// Why a cell could not be read.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Error)]
pub enum Why {
    /// A measurement begins with something else than a number.
    #[error("no number can be read; write a figure and its unit, such as 1/4 in or 6 mm")]
    NotNumber,
    /// A length or a volume without its unit.
    #[error("no unit; write it in the cell or the header, or name it in the mapping")]
    NoUnit,
    /// A unit of another quantity.
    #[error("the unit is not one of this column's quantity")]
    WrongUnit,
    /// Something follows the measurement that is no part of it.
    #[error("something else stands beside the number; keep only the figure and its unit")]
    Trailing,
    /// A fraction that may have lost the gap after its whole number.
    #[error(
        "may be the fraction {numerator}/{denominator} or {whole} {rest}/{denominator}; write it as {whole}-{rest}/{denominator} or as a decimal"
    )]
    AmbiguousFraction {
        /// The numerator as it stands.
        numerator: u32,
        /// The denominator.
        denominator: u32,
        /// The whole number that its first digits may be.
        whole: u32,
        /// The numerator that is then left.
        rest: u32,
    },
    /// A comma that parts thousands or decimals.
    #[error("the comma may part thousands or decimals; name the decimal mark in the mapping")]
    DecimalMark,
    /// Two measurements, from one to the other.
    #[error("a range; write one value")]
    Range,
    /// Numbers in a row, as when a fraction has lost its stroke.
    #[error("numbers stand side by side; a fraction may have lost its stroke")]
    SideBySide,
    /// Several numbers where one is due.
    #[error("several values; write one")]
    Several,
    /// A number that should be whole.
    #[error("not a whole number from 0")]
    NotWhole,
    /// A number that the model cannot hold.
    #[error("the number is out of all proportion")]
    OutOfRange,
    /// A pair of voltages: a system.
    #[error("a supply system, not one voltage; write the volts at the device")]
    SystemForVoltage,
    /// No wire gauge of the box fill table, nor a larger one.
    #[error("not an AWG size of the box fill table or above it; write 12 AWG or 1/0")]
    NotGauge,
    /// A metric wire size.
    #[error("a metric wire size; write the AWG size")]
    MetricGauge,
    /// No date.
    #[error("not a date; write year-month-day, such as 2026-03-31")]
    NotDate,
    /// A date whose day and month could be exchanged.
    #[error(
        "the day and the month could be exchanged; write 2026-03-31, or name their order in the mapping"
    )]
    DateOrder,
    /// A date cell in a column of names.
    #[error(
        "a date stands where a name is due; a spreadsheet may have turned 1-3 into a day, so format the cell as text and type it again"
    )]
    DateForIdentifier,
    /// A date cell in a column of other values.
    #[error("a date stands where another value is due; format the cell as text and type it again")]
    DateForValue,
    /// A text that is no name.
    #[error("longer than 1000 characters; write a name, and keep remarks in a column of their own")]
    TooLong,
    /// A word that is none of the field's.
    #[error(
        "not a word of this field; take one from the list of fields, or let the mapping translate it"
    )]
    UnknownWord,
    /// A text that may name a device or something else.
    #[error("may be a device or not: {0}")]
    MayBeADevice(&'static str),
    /// A system of another code.
    #[error("a system of 220 to 240 V to neutral, which the model of NFPA 70 does not have")]
    OtherSystem,
    /// Neither yes nor no.
    #[error("neither yes nor no; the mapping can say what it means")]
    NotYesNo,
    /// Phases without a hot conductor.
    #[error("no hot conductor; name A, B or C")]
    NoHotConductor,
    /// A plug, or no configuration of the standard.
    #[error("unknown configuration; write a receptacle of NEMA WD 6, such as 5-20R")]
    UnknownConfiguration,
    /// A set-back or gap that cannot be.
    #[error("implausible: beyond 6 in; check the unit")]
    BeyondSixInches,
    /// A face position that cannot be.
    #[error("implausible: beyond 1 in; check the unit")]
    BeyondOneInch,
    /// A height that cannot be.
    #[error("implausible: beyond 30 ft; check the unit")]
    BeyondThirtyFeet,
    /// Below zero where that cannot be.
    #[error("implausible: negative")]
    Negative,
    /// Volts or amperes that are not above zero.
    #[error("implausible: not above 0")]
    NotPositive,
}
