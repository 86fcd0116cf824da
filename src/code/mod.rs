//! The code that governs: editions, where each rule stands in them, and the limits they print.
//!
//! Owns citations (section numbers only: the text of the code is copyrighted and is not here), how sure
//! each is, and limits with both of their printed figures. It decides nothing.

pub mod amendment;
pub mod citation;
pub mod limit;

pub use amendment::{Amendment, Change};
pub use citation::{Citation, Confidence, EDITIONS, Section, edition_index};
pub use limit::Limit;
