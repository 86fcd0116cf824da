//! Figures of an audit: how many outlets stand where, how many are wrong, and what could not be decided.
//!
//! Owns the breakdowns by floor, trade, defect type, grade and rule, and the natural order in which
//! people list floors and rooms. It reads the findings and gaps of an audit and decides nothing.
//! A further axis is a key of `events` and a list of [`breakdown`]; intervals, tests of association, the
//! hazard index and the order of a Pareto chart have their own files here and take plain counts.

pub mod association;
pub mod breakdown;
mod cross;
mod events;
pub mod hazard;
pub mod hypergeometric;
pub mod interval;
pub mod natural;
pub mod paired;
pub mod pareto;
pub mod proportion;

pub use breakdown::{Figures, FloorLine, Line, RoomLine, Statistics, StatisticsError};
pub use hazard::Weights;
pub use paired::Paired;
