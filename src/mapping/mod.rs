//! Raw tables to outlets.
//!
//! Owns mapping files, the recognition of schedules, the words and units of the trade, and the
//! [`account`] of what was read and skipped. It knows nothing of rules.

pub mod account;

pub use account::{Account, Fault, InputAccount, Resolutions, SheetAccount, SheetReading};
