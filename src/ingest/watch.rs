//! Whether a file stays what it was while a run reads it: a digest of one version and rows of another
//! would prove nothing.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use super::{Found, IngestError};

/// The inputs of a run as they were when it began.
pub struct Watch {
    inputs: Vec<(PathBuf, Option<Stamp>)>,
}

/// What changes when somebody writes to a file, or puts another in its place.
#[derive(PartialEq, Eq)]
struct Stamp {
    bytes: u64,
    modified: Option<SystemTime>,
    /// The number of the file on its disk, where the system gives one.
    file: u64,
}

impl Watch {
    /// Notes how the inputs are; to be called before the first is read.
    pub fn over(found: &Found) -> Self {
        let note = |path: &Path| (path.to_path_buf(), stamp(path));
        Self { inputs: found.inputs.iter().map(|input| note(&input.path)).collect() }
    }

    /// The first input that is no longer what it was.
    pub fn check(&self) -> Result<(), IngestError> {
        match self.inputs.iter().find(|(path, noted)| stamp(path) != *noted) {
            Some((path, _)) => Err(IngestError::Changed { path: path.clone() }),
            None => Ok(()),
        }
    }
}

fn stamp(path: &Path) -> Option<Stamp> {
    let metadata = fs::metadata(path).ok()?;
    #[cfg(unix)]
    let file = std::os::unix::fs::MetadataExt::ino(&metadata);
    #[cfg(not(unix))]
    let file = 0;
    Some(Stamp { bytes: metadata.len(), modified: metadata.modified().ok(), file })
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "the test changes the file that is watched")]
mod tests {
    use super::*;
    use crate::ingest::find;

    #[test]
    fn a_file_that_grew_was_exchanged_or_is_gone_has_changed() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.csv");
        let watch = || {
            fs::write(&path, "outlet_id\n1\n").unwrap();
            let watch = Watch::over(&find(std::slice::from_ref(&path)));
            watch.check().unwrap();
            watch
        };
        let grown = watch();
        fs::write(&path, "outlet_id\n1\n2\n").unwrap();
        assert!(matches!(grown.check(), Err(IngestError::Changed { .. })));
        let exchanged = watch();
        fs::write(folder.path().join("b.csv"), "outlet_id\n2\n").unwrap();
        fs::rename(folder.path().join("b.csv"), &path).unwrap();
        assert!(matches!(exchanged.check(), Err(IngestError::Changed { .. })));
        let gone = watch();
        fs::remove_file(&path).unwrap();
        assert!(matches!(gone.check(), Err(IngestError::Changed { .. })));
    }
}
