//! Which outlets of a building to inspect, and what the inspected ones say of the rest.
//!
//! Owns sample sizes, acceptance plans, the allocation to strata, the draw, the design that travels with a
//! survey, and the estimates from what was found. Distributions and intervals of plain counts belong to
//! `statistics`. It touches no file and reads no clock; chance comes from a seed alone. A further plan is a
//! variant of [`design::Plan`] with its size in [`size`] or a table of its own; a further way of
//! estimating is a function of [`estimate`] from counts to an [`estimate::Estimate`].

pub mod acceptance;
pub mod allocate;
pub mod characteristic;
pub mod conclusion;
pub mod design;
pub mod draw;
pub mod estimate;
pub mod frame;
mod numbers;
pub mod observe;
pub mod ranking;
pub mod size;

pub use conclusion::{Conclusion, Decision};
pub use design::{By, Design, Drawn, Plan, Stratum};
pub use frame::Frame;
