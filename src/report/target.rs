//! Where a report goes: checked before the work starts, written beside its place, renamed at the end.
//!
//! Until the rename the old file stays as it was, and a failed run leaves it so. An input is never
//! overwritten, nor does one output overwrite another.

use std::fs::File;
use std::io::{self, BufWriter, Write as _};
use std::path::{Path, PathBuf};

use super::unfinished::{UnfinishedFile, sweep};

/// Why a report cannot be written where it was asked for.
#[derive(Debug, thiserror::Error)]
pub enum TargetError {
    /// The target is one of the inputs.
    #[error("{}: this file is an input of the run and will not be overwritten; name another output", path.display())]
    IsAnInput {
        /// The target.
        path: PathBuf,
    },
    /// Two outputs go to one file.
    #[error("{}: two outputs of the run would go to this file; name another for one of them", path.display())]
    NamedTwice {
        /// The target.
        path: PathBuf,
    },
    /// The target is a folder, or another thing that is no file.
    #[error("{}: this is no ordinary file; name a file to write to", path.display())]
    NoFile {
        /// The target.
        path: PathBuf,
    },
    /// The target of several files is a file.
    #[error("{}: this is a file; name a folder to write to", path.display())]
    NotAFolder {
        /// The target.
        path: PathBuf,
    },
    /// The folder of several files holds what this program did not write.
    #[error("{}: the folder holds {found}, which no such report has; name another folder", path.display())]
    NotOurs {
        /// The target.
        path: PathBuf,
        /// The first of such files.
        found: String,
    },
    /// A file of the run goes into a folder that is replaced as a whole.
    #[error("{}: the folder {} is replaced as a whole; name another place for this file", path.display(), folder.display())]
    InsideReport {
        /// The file.
        path: PathBuf,
        /// The folder.
        folder: PathBuf,
    },
    /// The folder of the target does not exist.
    #[error("{}: the folder {} does not exist; create it first", path.display(), folder.display())]
    NoFolder {
        /// The target.
        path: PathBuf,
        /// Its folder.
        folder: PathBuf,
    },
    /// Nothing can be written in the folder of the target, or to the target itself.
    #[error("{}: cannot be written: {source}; check the permissions and the space left", path.display())]
    NotWritable {
        /// The target.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
}

/// What writing a report failed of: its place, or its content.
#[derive(Debug, thiserror::Error)]
pub enum WriteError<E: std::error::Error + 'static> {
    /// The place.
    #[error(transparent)]
    Target(#[from] TargetError),
    /// The content.
    #[error("{}: the report could not be made: {source}", path.display())]
    Content {
        /// The target.
        path: PathBuf,
        /// What failed.
        source: E,
    },
}

/// A file that a report may be written to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Target {
    /// As the user gave it, for messages.
    path: PathBuf,
    /// Its real place, links followed.
    real: PathBuf,
}

impl Target {
    /// Checks that a report can be written to `path` and overwrites none of the `inputs`, which are
    /// files: what a folder holds, not the folder.
    pub fn new(path: &Path, inputs: &[PathBuf]) -> Result<Self, TargetError> {
        let target = Self { path: path.to_owned(), real: real_place(path)? };
        let is_input =
            |input: &PathBuf| input.canonicalize().is_ok_and(|input| input == target.real);
        if inputs.iter().any(is_input) {
            return Err(TargetError::IsAnInput { path: target.path });
        }
        target.check_old_file()?;
        sweep(target.folder(), target.real.file_name().unwrap_or_default());
        target.beside()?;
        Ok(target)
    }

    /// Checks that no two targets are the same file.
    pub fn check_distinct(targets: &[Self]) -> Result<(), TargetError> {
        for (place, target) in targets.iter().enumerate() {
            if targets[..place].iter().any(|other| other.real == target.real) {
                return Err(TargetError::NamedTwice { path: target.path.clone() });
            }
        }
        Ok(())
    }

    /// The path as the user gave it.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Its real place, links followed.
    pub(super) fn real(&self) -> &Path {
        &self.real
    }

    /// Writes the report: `fill` gets a file beside the target, which takes its place when all is
    /// written. Whatever fails, the old file stays.
    pub fn write<E: std::error::Error + 'static>(
        &self,
        fill: impl FnOnce(&mut BufWriter<&File>) -> Result<(), E>,
    ) -> Result<(), WriteError<E>> {
        let beside = self.beside()?;
        let unfinished = beside.file().map_err(|source| self.not_writable(source))?;
        let mut out = BufWriter::new(unfinished);
        fill(&mut out).map_err(|source| WriteError::Content { path: self.path.clone(), source })?;
        out.flush().map_err(|source| self.not_writable(source))?;
        drop(out);
        unfinished.sync_all().map_err(|source| self.not_writable(source))?;
        beside.persist(&self.real).map_err(|source| self.not_writable(source))?;
        Ok(())
    }

    fn check_old_file(&self) -> Result<(), TargetError> {
        match self.real.metadata() {
            Ok(old) if !old.is_file() => Err(TargetError::NoFile { path: self.path.clone() }),
            Ok(old) if old.permissions().readonly() => {
                Err(self.not_writable(io::ErrorKind::PermissionDenied.into()))
            }
            _ => Ok(()),
        }
    }

    fn folder(&self) -> &Path {
        self.real.parent().unwrap_or(Path::new("."))
    }

    /// An unfinished file in the folder of the target.
    fn beside(&self) -> Result<UnfinishedFile, TargetError> {
        UnfinishedFile::within(self.folder()).map_err(|source| self.not_writable(source))
    }

    fn not_writable(&self, source: io::Error) -> TargetError {
        TargetError::NotWritable { path: self.path.clone(), source }
    }
}

/// The place of a file that may not exist yet, with all links followed.
pub(super) fn real_place(path: &Path) -> Result<PathBuf, TargetError> {
    if let Ok(real) = path.canonicalize() {
        return Ok(real);
    }
    let name = path.file_name().ok_or_else(|| TargetError::NoFile { path: path.to_owned() })?;
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let real = folder
        .canonicalize()
        .map_err(|_| TargetError::NoFolder { path: path.to_owned(), folder: folder.to_owned() })?;
    if !real.is_dir() {
        return Err(TargetError::NoFolder { path: path.to_owned(), folder: folder.to_owned() });
    }
    Ok(real.join(name))
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "the tests lay out files to be protected")]
mod tests {
    use std::fs;

    use super::*;

    fn folder() -> tempfile::TempDir {
        tempfile::tempdir().unwrap()
    }

    #[test]
    fn the_old_file_stays_until_the_new_one_is_whole() {
        let folder = folder();
        let path = folder.path().join("audit.csv");
        fs::write(&path, "old").unwrap();
        let target = Target::new(&path, &[]).unwrap();
        let failed = target.write(|out| {
            out.write_all(b"half")?;
            Err(io::Error::other("the disc is full"))
        });
        assert!(matches!(failed, Err(WriteError::Content { .. })));
        assert_eq!(fs::read_to_string(&path).unwrap(), "old");
        target.write(|out| out.write_all(b"new")).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "new");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn an_input_is_never_overwritten_whatever_it_is_called() {
        let folder = folder();
        let input = folder.path().join("schedule.csv");
        fs::write(&input, "facts").unwrap();
        fs::create_dir(folder.path().join("sub")).unwrap();
        let other_name = folder.path().join("sub").join("..").join("schedule.csv");
        let refused = Target::new(&other_name, std::slice::from_ref(&input));
        assert!(matches!(refused, Err(TargetError::IsAnInput { .. })));
        assert_eq!(fs::read_to_string(&input).unwrap(), "facts");
    }

    #[test]
    fn a_missing_folder_and_a_folder_as_target_are_told_before_the_work() {
        let folder = folder();
        let missing = Target::new(&folder.path().join("none").join("audit.csv"), &[]);
        assert!(matches!(missing, Err(TargetError::NoFolder { .. })));
        assert!(matches!(Target::new(folder.path(), &[]), Err(TargetError::NoFile { .. })));
    }

    #[test]
    fn two_outputs_do_not_share_a_file() {
        let folder = folder();
        let path = folder.path().join("audit.csv");
        let target = Target::new(&path, &[]).unwrap();
        let twice = Target::check_distinct(&[target.clone(), target]);
        assert!(matches!(twice, Err(TargetError::NamedTwice { .. })));
    }
}
