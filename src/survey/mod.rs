//! What to go and see: which facts to collect, and in what order.
//!
//! Owns the weighing of facts that are missing, the rounds in which they are collected, how each is
//! measured, and the joining of what was observed to the schedule. It reads a finished audit and decides
//! nothing of the code. It counts verdicts whose every missing fact is collected, and promises no more: a fact that
//! comes in may settle a verdict by itself, or bring up another fact that nobody asked for before.

pub mod collect;
pub mod join;
pub mod measuring;
mod name;
pub mod round;

pub use collect::{FactLine, Step, Survey};
pub use join::{Joined, join};
pub use round::{Round, Wish};
