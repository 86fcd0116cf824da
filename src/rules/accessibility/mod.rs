//! Reach ranges: no part of NFPA 70.

pub mod reach_range;
