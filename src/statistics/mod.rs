//! Figures of an audit: how many outlets stand where, how many are wrong, and what could not be decided.
//!
//! Owns the breakdowns by floor, trade, defect type, grade and rule, and the natural order in which
//! people list floors and rooms. It reads the findings and gaps of an audit and decides nothing.
//! A further axis is a key of `events` and a list of [`breakdown`]; intervals and tests of
//! association have their own files here and take the plain [`Figures`] as input.

pub mod breakdown;
mod events;
pub mod natural;

pub use breakdown::{Figures, FloorLine, Line, Statistics, StatisticsError};
