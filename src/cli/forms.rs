//! Forms that somebody filled in: no output takes their place.

use std::path::{Path, PathBuf};

use crate::ingest::returned::is_touched;
use crate::report::Target;

use super::failure::Failure;

/// An output, unless a survey, a template or a list stands there that somebody has worked in.
pub(super) fn target(path: &Path, inputs: &[PathBuf]) -> Result<Target, Failure> {
    let target = Target::new(path, inputs)?;
    if is_touched(path) {
        return Err(Failure::FilledIn(path.to_owned()));
    }
    Ok(target)
}
