//! Unfinished outputs: files and folders beside their target, until they are whole and take its place.
//!
//! Owns their names, the list of those that this process has, and what becomes of them. A process holds a
//! lock on each of its own, so that one which nobody holds was left by a run that was killed: the next run
//! that writes beside it sweeps it away. Where a file system knows no locks nothing is swept. [`abandon`]
//! takes away all that this process has, and whatever would make or rename one waits from then on.

#![expect(clippy::disallowed_methods, reason = "unfinished files are made, renamed and swept here")]

use std::ffi::OsStr;
use std::fs::{self, File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use tempfile::{NamedTempFile, TempDir};

const PREFIX: &str = ".yokecheck-";
const SUFFIX: &str = ".unfinished";

/// What this process has made and not finished.
static OWN: Mutex<Vec<Own>> = Mutex::new(Vec::new());

#[derive(Clone, PartialEq, Eq, Debug)]
enum Own {
    /// An unfinished file.
    File(PathBuf),
    /// An unfinished folder.
    Folder(PathBuf),
    /// A folder for outputs that was not there before.
    Made(PathBuf),
}

impl Own {
    /// Takes it away. What cannot go is left to the next run.
    fn remove(&self) {
        let _ = match self {
            Self::File(path) => fs::remove_file(path),
            // Whoever fills the folder may add a file while it is emptied.
            Self::Folder(path) => {
                let gone = (0..10).any(|_| fs::remove_dir_all(path).is_ok() || !path.exists());
                if gone { Ok(()) } else { Err(io::ErrorKind::DirectoryNotEmpty.into()) }
            }
            // A folder that is not empty is refused, and stays.
            Self::Made(path) => fs::remove_dir(path),
        };
    }
}

fn own() -> MutexGuard<'static, Vec<Own>> {
    // A thread that panicked left the list whole: it is only pushed to and taken from.
    OWN.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Takes away every unfinished output of this process. Until the value is dropped none is made anew and
/// none takes the place of its target: it is kept until the process ends.
#[must_use]
pub fn abandon() -> Abandoned {
    let mut own = own();
    own.drain(..).rev().for_each(|one| one.remove());
    Abandoned { _own: own }
}

/// As long as it is kept, outputs are neither begun nor finished.
pub struct Abandoned {
    _own: MutexGuard<'static, Vec<Own>>,
}

/// An unfinished file; it is removed when it is dropped.
pub(super) struct UnfinishedFile {
    file: Option<NamedTempFile>,
    entry: Own,
}

impl UnfinishedFile {
    /// Makes one in a folder.
    pub(super) fn within(folder: &Path) -> io::Result<Self> {
        let mut builder = tempfile::Builder::new();
        builder.prefix(PREFIX).suffix(SUFFIX);
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
        let mut own = own();
        let file = loop {
            let file = builder.tempfile_in(folder)?;
            if is_ours(file.as_file(), file.path()) {
                break file;
            }
        };
        let entry = Own::File(file.path().to_owned());
        own.push(entry.clone());
        Ok(Self { file: Some(file), entry })
    }

    /// The open file.
    pub(super) fn file(&self) -> io::Result<&File> {
        // It is there until it takes the place of its target, which consumes the whole.
        self.file.as_ref().map(NamedTempFile::as_file).ok_or_else(|| io::ErrorKind::NotFound.into())
    }

    /// Renames it to its target.
    pub(super) fn persist(mut self, target: &Path) -> io::Result<()> {
        let _own = own();
        match self.file.take() {
            Some(file) => file.persist(target).map(drop).map_err(|failed| failed.error),
            None => Ok(()),
        }
    }
}

impl Drop for UnfinishedFile {
    fn drop(&mut self) {
        let mut own = own();
        own.retain(|one| *one != self.entry);
        drop(self.file.take());
    }
}

/// An unfinished folder; it is removed when it is dropped.
pub(super) struct UnfinishedFolder {
    folder: Option<TempDir>,
    path: PathBuf,
    /// Holds the lock.
    _held: Option<File>,
}

impl UnfinishedFolder {
    /// Makes one in a folder.
    pub(super) fn within(folder: &Path) -> io::Result<Self> {
        let mut own = own();
        let (folder, held) = held_folder(folder)?;
        let path = folder.path().to_owned();
        own.push(Own::Folder(path.clone()));
        Ok(Self { folder: Some(folder), path, _held: held })
    }

    /// Where it is.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Puts it in the place of its target; an old folder that stands there goes.
    pub(super) fn persist(self, target: &Path) -> io::Result<()> {
        let _own = own();
        if !target.exists() {
            return fs::rename(&self.path, target);
        }
        // The old folder is now where this one was, and goes with it.
        if exchange(&self.path, target) {
            return Ok(());
        }
        let (aside, _held) = held_folder(target.parent().unwrap_or(Path::new(".")))?;
        let old = aside.path().join(target.file_name().unwrap_or_default());
        fs::rename(target, &old)?;
        fs::rename(&self.path, target).inspect_err(|_| {
            // Nothing more can be done where the old folder cannot come back: the error is told.
            let _ = fs::rename(&old, target);
        })
    }
}

impl Drop for UnfinishedFolder {
    fn drop(&mut self) {
        drop(self.folder.take());
        let entry = Own::Folder(self.path.clone());
        own().retain(|one| *one != entry);
    }
}

/// An unfinished folder and what holds its lock.
fn held_folder(folder: &Path) -> io::Result<(TempDir, Option<File>)> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX).suffix(SUFFIX);
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o777));
    loop {
        let folder = builder.tempdir_in(folder)?;
        let held = opened(folder.path());
        if held.as_ref().is_none_or(|held| is_ours(held, folder.path())) {
            return Ok((folder, held));
        }
    }
}

/// Two folders change places at once, where the system can do so.
#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
fn exchange(one: &Path, other: &Path) -> bool {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE).is_ok()
}

#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
fn exchange(_one: &Path, _other: &Path) -> bool {
    false
}

/// A folder that this run makes for its outputs: it goes again when nothing was written into it.
pub struct MadeFolder(PathBuf);

impl MadeFolder {
    /// Makes the folder; the one around it must be there.
    pub fn new(path: &Path) -> io::Result<Self> {
        let mut own = own();
        fs::create_dir(path)?;
        own.push(Own::Made(path.to_owned()));
        Ok(Self(path.to_owned()))
    }
}

impl Drop for MadeFolder {
    fn drop(&mut self) {
        let mut own = own();
        let entry = Own::Made(self.0.clone());
        own.retain(|one| *one != entry);
        entry.remove();
    }
}

/// Locks an unfinished file or folder that was just made. Not ours is one that a sweeping run has come
/// upon before it was locked; where there are no locks nobody sweeps.
fn is_ours(held: &File, path: &Path) -> bool {
    !matches!(held.try_lock(), Err(TryLockError::WouldBlock)) && path.exists()
}

/// A folder, opened to be locked; none where folders cannot be opened.
fn opened(path: &Path) -> Option<File> {
    if cfg!(unix) { File::open(path).ok() } else { None }
}

/// Takes away what a run that was killed has left in a folder. Where it was killed between setting aside
/// the old folder `name` and putting the new one in its place, the old one comes back first.
pub(super) fn sweep(folder: &Path, name: &OsStr) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten().filter(|entry| is_unfinished(&entry.file_name())) {
        let path = entry.path();
        // The type of the entry itself: links are not followed.
        let Ok(kind) = entry.file_type() else { continue };
        let held = if kind.is_file() {
            File::open(&path).ok()
        } else if kind.is_dir() {
            opened(&path)
        } else {
            None
        };
        // The lock is kept until it is gone, so that nobody takes it for theirs.
        let Some(held) = held.filter(|held| held.try_lock().is_ok()) else { continue };
        let (old, target) = (path.join(name), folder.join(name));
        let comes_back = kind.is_dir() && old.is_dir() && !target.exists();
        if comes_back && fs::rename(&old, &target).is_err() {
            continue;
        }
        let left = if kind.is_file() { Own::File(path) } else { Own::Folder(path) };
        left.remove();
        drop(held);
    }
}

/// Whether a name is one that this program gives to unfinished outputs.
fn is_unfinished(name: &OsStr) -> bool {
    let middle = name.to_str().and_then(|name| name.strip_prefix(PREFIX)?.strip_suffix(SUFFIX));
    middle.is_some_and(|middle| {
        middle.len() == 6 && middle.bytes().all(|letter| letter.is_ascii_alphanumeric())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn what_nobody_holds_is_swept_and_all_else_stays() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path();
        fs::write(place.join(".yokecheck-aB3dE6.unfinished"), "left by a kill").unwrap();
        fs::create_dir(place.join(".yokecheck-Folder.unfinished")).unwrap();
        fs::write(place.join(".yokecheck-Folder.unfinished/a.parquet"), "half").unwrap();
        let strangers =
            [".yokecheck-.unfinished", ".yokecheck-notes.txt", ".yokecheck-to long.unfinished"];
        for name in strangers {
            fs::write(place.join(name), "theirs").unwrap();
        }
        let file = UnfinishedFile::within(place).unwrap();
        let made = UnfinishedFolder::within(place).unwrap();
        sweep(place, OsStr::new("audit.xlsx"));
        assert_eq!(names(place).len(), strangers.len() + 2);
        drop((file, made));
        assert_eq!(names(place), strangers);
    }

    #[test]
    fn a_folder_that_was_set_aside_comes_back() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path();
        let aside = place.join(".yokecheck-aB3dE6.unfinished");
        fs::create_dir_all(aside.join("tables")).unwrap();
        fs::write(aside.join("tables/a.parquet"), "old").unwrap();
        sweep(place, OsStr::new("tables"));
        assert_eq!(names(place), ["tables"]);
        assert_eq!(fs::read_to_string(place.join("tables/a.parquet")).unwrap(), "old");
        // A folder in its place is newer.
        fs::create_dir_all(aside.join("tables")).unwrap();
        sweep(place, OsStr::new("tables"));
        assert_eq!(names(place), ["tables"]);
        assert_eq!(names(&place.join("tables")), ["a.parquet"]);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_of_such_a_name_is_not_followed() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path();
        fs::write(place.join("mine"), "mine").unwrap();
        let link = place.join(".yokecheck-aB3dE6.unfinished");
        std::os::unix::fs::symlink(place.join("mine"), &link).unwrap();
        sweep(place, OsStr::new("audit.xlsx"));
        assert_eq!(names(place), [".yokecheck-aB3dE6.unfinished", "mine"]);
    }

    #[test]
    fn folders_change_places_and_the_old_one_goes() {
        let folder = tempfile::tempdir().unwrap();
        let target = folder.path().join("tables");
        for content in ["old", "new"] {
            let made = UnfinishedFolder::within(folder.path()).unwrap();
            fs::write(made.path().join("a.parquet"), content).unwrap();
            made.persist(&target).unwrap();
            assert_eq!(fs::read_to_string(target.join("a.parquet")).unwrap(), content);
            assert_eq!(names(folder.path()), ["tables"]);
        }
    }
}
