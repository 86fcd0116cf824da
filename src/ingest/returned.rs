//! Lists of corrections that stand in a folder: whether they are the program's own, and whether somebody
//! has worked in them since.

#![expect(clippy::disallowed_methods, reason = "files are read in this room")]

use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};

use super::own;

/// What a file is to whoever would write a list of corrections in its place.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Standing {
    /// No list of corrections of the program.
    Foreign,
    /// A list as the program wrote it.
    Untouched,
    /// A list that was saved again since: it may hold what somebody filled in.
    Touched,
}

/// What a file is. A file that cannot be read is foreign.
pub fn standing(path: &Path) -> Standing {
    File::open(path).map_or(Standing::Foreign, own::standing)
}

/// The files in a folder whose names end so, in any case, sorted; none where there is no folder.
pub fn files_ending(folder: &Path, ending: &str) -> io::Result<Vec<PathBuf>> {
    let entries = match folder.read_dir() {
        Err(failed) if failed.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        entries => entries?,
    };
    let mut files = Vec::new();
    for entry in entries {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().to_lowercase();
        if name.ends_with(&ending.to_lowercase()) {
            files.push(entry.path());
        }
    }
    files.sort();
    Ok(files)
}
