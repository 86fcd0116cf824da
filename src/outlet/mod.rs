//! The outlet model: what can be known of one outlet, and nothing else.
//!
//! Owns the [`Outlet`], its [`Fact`]s, the words and quantities they hold, the NEMA configurations
//! and the supply systems with their phasors. It imports nothing of the crate and touches no file. To
//! add a fact, add a line to the table of [`field`]; to add a word, a line to its vocabulary in
//! [`words`].

pub mod box_size;
pub mod configuration;
pub mod fact;
pub mod field;
pub mod field_set;
pub mod quantity;
pub mod record;
pub mod shown;
pub mod system;
pub mod texts;
pub mod value;
pub mod words;
pub mod written;

pub use configuration::Configuration;
pub use fact::Fact;
pub use field::{Field, Key, Kind, facts};
pub use field_set::FieldSet;
pub use quantity::{Date, Gauge, Length, Milli, Volume, VolumeUnit};
pub use record::{Alike, Origin, Outlet};
pub use shown::shown;
pub use texts::{LaterTexts, Renamed, Text, Texts};
pub use value::{Choices, Set, Value, Word};
pub use written::{KNOWN_BEFORE, written};
