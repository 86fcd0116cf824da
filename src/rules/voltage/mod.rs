//! Voltage between neighbouring devices in one box.
//!
//! `neighbours` finds the pairs and the dividers between them, `pair` the volts; each rule is a file
//! that says which devices it looks at.

pub mod adjacent_voltage;
mod neighbours;
mod pair;
pub mod switch_adjacent_voltage;
