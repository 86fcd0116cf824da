//! Where a report of several files goes: a folder that is written whole beside its place, then renamed.
//!
//! A folder that this program did not write is never touched. It knows its own by a file of the name
//! [`ABOUT`] that begins with [`MARK`], beside nothing but the files of the report.

use std::fs::{self, File};
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

use super::target::{Target, TargetError, WriteError, real_place};
use super::unfinished::{UnfinishedFolder, sweep};

/// Name of the file by which a folder is known.
pub const ABOUT: &str = "README.md";
/// How it begins.
pub const MARK: &str = "# An audit by yokecheck as tables";

/// A folder that a report may be written to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FolderTarget {
    /// As the user gave it, for messages.
    path: PathBuf,
    /// Its real place, links followed.
    real: PathBuf,
    /// The files of the report, beside [`ABOUT`].
    names: &'static [&'static str],
}

/// The unfinished folder while it is filled.
pub struct Unfinished<'a> {
    folder: &'a Path,
}

impl Unfinished<'_> {
    /// Fills a file of the folder to its end.
    #[expect(clippy::disallowed_methods, reason = "the folder stands beside its target")]
    pub fn file<E: From<io::Error>>(
        &self,
        name: &str,
        fill: impl FnOnce(&File) -> Result<(), E>,
    ) -> Result<(), E> {
        let created = File::create(self.folder.join(name))?;
        fill(&created)?;
        created.sync_all()?;
        Ok(())
    }
}

impl FolderTarget {
    /// Checks that files of these `names` can be written to a folder at `path`: it does not exist yet,
    /// is empty, or holds an earlier report and nothing else.
    pub fn new(path: &Path, names: &'static [&'static str]) -> Result<Self, TargetError> {
        let target = Self { path: path.to_owned(), real: real_place(path)?, names };
        sweep(target.parent(), target.real.file_name().unwrap_or_default());
        target.check_old_folder()?;
        target.beside()?;
        Ok(target)
    }

    /// Checks that no file of the run goes into the folder, which is replaced as a whole.
    pub fn check_apart(&self, targets: &[Target]) -> Result<(), TargetError> {
        match targets.iter().find(|target| target.real().starts_with(&self.real)) {
            Some(inside) => Err(TargetError::InsideReport {
                path: inside.path().to_owned(),
                folder: self.path.clone(),
            }),
            None => Ok(()),
        }
    }

    /// The path as the user gave it.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes the report: `fill` gets a folder beside the target, which takes its place when all is
    /// written. Whatever fails, the old folder stays.
    pub fn write<E: std::error::Error + 'static>(
        &self,
        fill: impl FnOnce(Unfinished<'_>) -> Result<(), E>,
    ) -> Result<(), WriteError<E>> {
        let beside = self.beside()?;
        fill(Unfinished { folder: beside.path() })
            .map_err(|source| WriteError::Content { path: self.path.clone(), source })?;
        self.check_old_folder()?;
        beside.persist(&self.real).map_err(|source| self.not_writable(source))?;
        Ok(())
    }

    fn check_old_folder(&self) -> Result<(), TargetError> {
        if !self.real.exists() {
            return Ok(());
        }
        if !self.real.is_dir() {
            return Err(TargetError::NotAFolder { path: self.path.clone() });
        }
        let names = self.old_names().map_err(|source| self.not_writable(source))?;
        let foreign = |name: &&String| name != &ABOUT && !self.names.contains(&name.as_str());
        let found = match names.iter().find(foreign) {
            Some(foreign) => foreign,
            None if names.is_empty() || self.is_marked() => return Ok(()),
            None => &names[0],
        };
        Err(TargetError::NotOurs { path: self.path.clone(), found: found.clone() })
    }

    #[expect(clippy::disallowed_methods, reason = "an old report is looked at before it goes")]
    fn old_names(&self) -> io::Result<Vec<String>> {
        let mut names = Vec::new();
        for entry in fs::read_dir(&self.real)? {
            names.push(entry?.file_name().to_string_lossy().into_owned());
        }
        names.sort();
        Ok(names)
    }

    #[expect(clippy::disallowed_methods, reason = "an old report is looked at before it goes")]
    fn is_marked(&self) -> bool {
        let mut head = [0; MARK.len()];
        let about = File::open(self.real.join(ABOUT));
        about.and_then(|mut about| about.read_exact(&mut head)).is_ok() && head == *MARK.as_bytes()
    }

    fn parent(&self) -> &Path {
        self.real.parent().unwrap_or(Path::new("."))
    }

    /// An unfinished folder beside the target.
    fn beside(&self) -> Result<UnfinishedFolder, TargetError> {
        UnfinishedFolder::within(self.parent()).map_err(|source| self.not_writable(source))
    }

    fn not_writable(&self, source: io::Error) -> TargetError {
        TargetError::NotWritable { path: self.path.clone(), source }
    }
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "the tests lay out folders to be protected")]
mod tests {
    use std::io::Write as _;

    use super::*;

    const NAMES: &[&str] = &["table.parquet"];

    fn report(target: &FolderTarget, content: &str) -> Result<(), WriteError<io::Error>> {
        target.write(|folder| {
            folder.file(ABOUT, |mut file| file.write_all(MARK.as_bytes()))?;
            folder.file("table.parquet", |mut file| file.write_all(content.as_bytes()))
        })
    }

    fn entries(folder: &Path) -> usize {
        fs::read_dir(folder).unwrap().count()
    }

    #[test]
    fn the_old_folder_stays_until_the_new_one_is_whole() {
        let parent = tempfile::tempdir().unwrap();
        let path = parent.path().join("tables");
        report(&FolderTarget::new(&path, NAMES).unwrap(), "old").unwrap();
        let target = FolderTarget::new(&path, NAMES).unwrap();
        let failed = target.write(|folder| {
            folder.file("table.parquet", |mut file| file.write_all(b"half"))?;
            Err(io::Error::other("the disc is full"))
        });
        assert!(matches!(failed, Err(WriteError::Content { .. })));
        assert_eq!(fs::read_to_string(path.join("table.parquet")).unwrap(), "old");
        report(&target, "new").unwrap();
        assert_eq!(fs::read_to_string(path.join("table.parquet")).unwrap(), "new");
        assert_eq!((entries(parent.path()), entries(&path)), (1, 2));
    }

    #[test]
    fn a_folder_of_another_is_never_touched() {
        let parent = tempfile::tempdir().unwrap();
        fs::write(parent.path().join("table.parquet"), "theirs, without the mark").unwrap();
        let refused = FolderTarget::new(parent.path(), NAMES);
        assert!(matches!(refused, Err(TargetError::NotOurs { .. })));
        fs::write(parent.path().join(ABOUT), MARK).unwrap();
        FolderTarget::new(parent.path(), NAMES).unwrap();
        fs::write(parent.path().join("notes.txt"), "theirs").unwrap();
        match FolderTarget::new(parent.path(), NAMES) {
            Err(TargetError::NotOurs { found, .. }) => assert_eq!(found, "notes.txt"),
            other => panic!("{other:?}"),
        }
        assert_eq!(entries(parent.path()), 3);
    }

    #[test]
    fn what_came_into_the_folder_during_the_run_stays() {
        let parent = tempfile::tempdir().unwrap();
        let path = parent.path().join("tables");
        let target = FolderTarget::new(&path, NAMES).unwrap();
        fs::create_dir(&path).unwrap();
        fs::write(path.join("notes.txt"), "theirs").unwrap();
        assert!(report(&target, "new").is_err());
        assert_eq!(fs::read_to_string(path.join("notes.txt")).unwrap(), "theirs");
        assert_eq!(entries(parent.path()), 1);
    }

    #[test]
    fn a_file_as_target_and_a_target_inside_are_told_before_the_work() {
        let parent = tempfile::tempdir().unwrap();
        let file = parent.path().join("file");
        fs::write(&file, "x").unwrap();
        let refused = FolderTarget::new(&file, NAMES);
        assert!(matches!(refused, Err(TargetError::NotAFolder { .. })));
        let path = parent.path().join("tables");
        fs::create_dir(&path).unwrap();
        let target = FolderTarget::new(&path, NAMES).unwrap();
        let inside = Target::new(&path.join("findings.csv"), &[]).unwrap();
        assert!(matches!(target.check_apart(&[inside]), Err(TargetError::InsideReport { .. })));
    }
}
