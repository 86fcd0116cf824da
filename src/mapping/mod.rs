//! From raw tables to outlets.
//!
//! Owns what a schedule writes (its headers, words and units, and what each means in the model), the
//! mapping files, the recognition of schedules, and the [`account`] of what was read and skipped. It
//! must not decide whether an outlet is right: that is the business of the rules. A way of writing a
//! value is added in [`read`], a word of the trade in [`vocabulary`].

pub mod account;
pub mod read;
pub mod vocabulary;

pub use account::{Account, Fault, InputAccount, Resolutions, SheetAccount, SheetReading};
