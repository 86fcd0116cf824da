//! Samples and what they say, against published figures and general-purpose libraries.
//!
//! The published tables stand beside this file as data, written out cell by cell; the program makes its own
//! from shorter rules. Figures marked "computed" come from scipy 1.17.1 and statsmodels 0.15.0, by the call
//! that is named; `tests/outside/sampling.py` compares many more.
#![expect(clippy::unwrap_used, reason = "a value that is not there fails the test")]

mod acceptance;
mod designs;
mod estimates;
mod grid;
mod intervals;
mod sizes;

use std::path::Path;

/// The lines of a table beside this file.
fn table(name: &str) -> Vec<csv::StringRecord> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sampling");
    let mut reader = csv::Reader::from_path(folder.join(name)).unwrap();
    reader.records().map(Result::unwrap).collect()
}

/// The header of a table beside this file.
fn header(name: &str) -> csv::StringRecord {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sampling");
    csv::Reader::from_path(folder.join(name)).unwrap().headers().unwrap().clone()
}

#[track_caller]
fn close(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found} is not {wanted} within {within}");
}
