//! Raw tables to outlets.
//!
//! Owns what a schedule writes (its headers, words and units, and what each means in the model), the
//! mapping files that say so, the recognition of schedules, and the [`account`] of what was read and
//! skipped. It must not decide whether an outlet is right: that is the business of the rules.
//!
//! The way of a sheet: [`load()`] takes the inputs, `input` opens one and goes through its sheets,
//! `recognise` finds the header row and the mapping, `plan` ties columns to fields once, `tables` parts
//! the tables of a sheet, `apply` turns their rows into outlets, blocks of them on other threads. A sheet that nothing recognises goes through [`mod@draft`], which writes a mapping for
//! it; [`kinds`] tells devices from what only shares a word with them, and [`mod@describe`] reads
//! columns that pack facts into one text. `cobie` joins the sheets of workbooks that keep one outlet on
//! many of them, and `repeats` finds the rows of summaries. A way of writing a value is
//! added in [`read`], a word of the trade in [`vocabulary`], a key of mapping files in [`mod@file`].

pub mod account;
pub mod amendments;
mod apply;
mod carried;
mod cell;
mod clipped;
mod cobie;
pub mod describe;
pub mod draft;
pub mod editions;
mod ending;
pub mod error;
pub mod file;
mod footer;
mod glob;
mod header;
mod in_turn;
mod input;
pub mod kinds;
mod load;
mod plan;
pub mod read;
mod recognise;
mod remembered;
pub mod renames;
mod repeats;
mod rows;
pub mod rulings;
pub mod side_table;
mod storey;
mod tables;
mod unused;
pub mod vocabulary;
mod whole;

pub use account::{Account, Fault, InputAccount, Resolutions, SheetAccount, SheetReading};
pub use error::MappingError;
pub use glob::Glob;
use std::fs::{self, File};
use std::io::{self, Read as _};
use std::path::Path;

pub use load::{LoadOptions, Loaded, Progress, load, load_each};

/// The most bytes of a file that somebody wrote by hand.
const MOST_WRITTEN: u64 = 4 * 1024 * 1024;

/// The text of a mapping file or its like; of a pipe, which could wait for ever, none.
#[expect(clippy::disallowed_methods, reason = "this room reads mapping files and their like")]
fn whole_text(path: &Path) -> io::Result<String> {
    let refused = |why: String| Err(io::Error::new(io::ErrorKind::InvalidInput, why));
    let metadata = fs::metadata(path)?;
    if !metadata.is_file() {
        return refused("it is not a regular file".to_owned());
    }
    if metadata.len() > MOST_WRITTEN {
        return refused(format!("it has more than {MOST_WRITTEN} bytes"));
    }
    let mut text = String::new();
    File::open(path)?.take(MOST_WRITTEN).read_to_string(&mut text)?;
    Ok(text)
}
