//! `yokecheck schema`: the JSON schema of mapping files.

use crate::mapping::file;

use super::Outcome;

/// Prints the schema.
pub(super) fn run() -> Outcome {
    anstream::println!("{:#}", file::schema());
    Outcome::Clean
}
