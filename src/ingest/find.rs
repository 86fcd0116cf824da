//! Which files an audit reads, in which order, and which it leaves out and why.

use std::cmp::Ordering;
use std::collections::HashSet;
use std::fmt;
use std::fs;
use std::path::{Path, PathBuf};

use walkdir::{DirEntry, WalkDir};

use super::{IngestError, kind, open, own};

/// One file to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Input {
    /// Where it is.
    pub path: PathBuf,
    /// The path as it was given, its parts joined by `/` on every system.
    pub display: String,
    /// Its size in bytes when it was found.
    pub bytes: u64,
}

/// A file or folder that was met and left out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Skipped {
    /// The path as it was given, its parts joined by `/`.
    pub path: String,
    /// Why it was left out.
    pub reason: SkipReason,
}

/// Why a file or folder was left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SkipReason {
    /// A spreadsheet program wrote it to mark a file as open.
    LockFile,
    /// Its name begins with a full stop.
    Hidden,
    /// Its ending is none of a spreadsheet or text file.
    UnknownEnding,
    /// The program itself wrote it.
    OwnReport,
    /// The same file was already met, under this path or another.
    MetBefore,
    /// A pipe, a socket or a device within a folder.
    NotAFile,
    /// A link that leads back to a folder around it.
    Loop,
}

impl fmt::Display for SkipReason {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::LockFile => "marks a workbook that is open elsewhere",
            Self::Hidden => "hidden",
            Self::UnknownEnding => "neither a spreadsheet nor a text file by its ending",
            Self::OwnReport => "a report of this program",
            Self::MetBefore => "the same file was already met",
            Self::NotAFile => "neither a file nor a folder",
            Self::Loop => "a link back to a folder around it",
        })
    }
}

/// The outcome of [`find`].
#[derive(Debug, Default)]
pub struct Found {
    /// The files to read, in the order of the run.
    pub inputs: Vec<Input>,
    /// What was left out, in the order it was met.
    pub skipped: Vec<Skipped>,
    /// What could not be looked at.
    pub problems: Vec<IngestError>,
}

/// Finds the files behind the paths of a command line.
///
/// Paths keep their order; within a folder names sort as people sort them (`B2` before `B10`), and
/// folders are walked to their end; a folder of the tables of an earlier audit stands for its table of
/// outlets. Within a folder only files with a known ending count; a file that
/// is named itself is always tried.
pub fn find(paths: &[PathBuf]) -> Found {
    let mut search = Search::default();
    for path in paths {
        match fs::metadata(path) {
            Ok(metadata) if metadata.is_dir() => match table_of_outlets(path) {
                Some((table, bytes)) => search.take(&table, bytes),
                None => search.walk(path),
            },
            Ok(metadata) => search.named(path, &metadata),
            Err(error) => search.found.problems.push(IngestError::from_io(path, error)),
        }
    }
    search.found
}

/// The table of outlets of a folder that an earlier audit wrote as tables.
fn table_of_outlets(folder: &Path) -> Option<(PathBuf, u64)> {
    let table = folder.join("outlets.parquet");
    let metadata = fs::metadata(&table).ok()?;
    metadata.is_file().then_some((table, metadata.len()))
}

#[derive(Default)]
struct Search {
    found: Found,
    /// The real paths of the files taken.
    met: HashSet<PathBuf>,
}

impl Search {
    fn named(&mut self, path: &Path, metadata: &fs::Metadata) {
        if is_lock_file(path) {
            self.skip(path, SkipReason::LockFile);
        } else if metadata.is_file() {
            self.take(path, metadata.len());
        } else {
            self.found.problems.push(IngestError::NotAFile { path: path.to_path_buf() });
        }
    }

    fn walk(&mut self, folder: &Path) {
        let mut walk = WalkDir::new(folder)
            .follow_links(true)
            .sort_by(|a, b| natural(&name(a.path()), &name(b.path())))
            .into_iter();
        while let Some(entry) = walk.next() {
            match entry {
                Ok(entry) if entry.depth() > 0 && name(entry.path()).starts_with('.') => {
                    let lock = is_lock_file(entry.path());
                    self.skip(
                        entry.path(),
                        if lock { SkipReason::LockFile } else { SkipReason::Hidden },
                    );
                    if entry.file_type().is_dir() {
                        walk.skip_current_dir();
                    }
                }
                Ok(entry) if entry.file_type().is_dir() => {}
                Ok(entry) => self.entry(&entry),
                Err(error) => self.walk_error(folder, error),
            }
        }
    }

    fn entry(&mut self, entry: &DirEntry) {
        let path = entry.path();
        if is_lock_file(path) {
            self.skip(path, SkipReason::LockFile);
        } else if kind::announced(path).is_none() {
            self.skip(path, SkipReason::UnknownEnding);
        } else if !entry.file_type().is_file() {
            self.skip(path, SkipReason::NotAFile);
        } else {
            match entry.metadata() {
                Ok(metadata) => self.take(path, metadata.len()),
                Err(error) => self.walk_error(path, error),
            }
        }
    }

    fn walk_error(&mut self, folder: &Path, error: walkdir::Error) {
        let path = error.path().unwrap_or(folder).to_path_buf();
        if error.loop_ancestor().is_some() {
            self.skip(&path, SkipReason::Loop);
        } else {
            let source = error.into_io_error().unwrap_or_else(|| std::io::ErrorKind::Other.into());
            self.found.problems.push(IngestError::from_io(&path, source));
        }
    }

    fn take(&mut self, path: &Path, bytes: u64) {
        let real = fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
        if !self.met.insert(real) {
            return self.skip(path, SkipReason::MetBefore);
        }
        match open(path).map(|(file, _)| own::is_report(file)) {
            Ok(true) => self.skip(path, SkipReason::OwnReport),
            Ok(false) => self.found.inputs.push(Input {
                path: path.to_path_buf(),
                display: display(path),
                bytes,
            }),
            Err(error) => self.found.problems.push(error),
        }
    }

    fn skip(&mut self, path: &Path, reason: SkipReason) {
        self.found.skipped.push(Skipped { path: display(path), reason });
    }
}

fn name(path: &Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().into_owned()
}

/// The names by which spreadsheet programs mark a file as open: `~$name.xlsx`, `.~lock.name.ods#`.
fn is_lock_file(path: &Path) -> bool {
    let name = name(path);
    name.starts_with("~$") || (name.starts_with(".~lock.") && name.ends_with('#'))
}

fn display(path: &Path) -> String {
    path.display().to_string().replace(std::path::MAIN_SEPARATOR, "/")
}

/// Compares names as people sort them: digits by their number, letters without their case.
fn natural(left: &str, right: &str) -> Ordering {
    let (mut a, mut b) = (left, right);
    loop {
        let (digits_a, digits_b) = (leading_digits(a), leading_digits(b));
        let order = if digits_a.is_empty() || digits_b.is_empty() {
            let (Some(x), Some(y)) = (a.chars().next(), b.chars().next()) else {
                return a.len().cmp(&b.len()).then_with(|| left.cmp(right));
            };
            a = &a[x.len_utf8()..];
            b = &b[y.len_utf8()..];
            x.to_lowercase().cmp(y.to_lowercase())
        } else {
            a = &a[digits_a.len()..];
            b = &b[digits_b.len()..];
            let (x, y) = (digits_a.trim_start_matches('0'), digits_b.trim_start_matches('0'));
            x.len().cmp(&y.len()).then_with(|| x.cmp(y))
        };
        if order != Ordering::Equal {
            return order;
        }
    }
}

fn leading_digits(text: &str) -> &str {
    &text[..text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len())]
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "tests make the files they look for")]
mod tests {
    use super::*;

    fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        for (name, text) in files {
            let path = folder.path().join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
        folder
    }

    fn names(
        folder: &tempfile::TempDir,
        found: &Found,
    ) -> (Vec<String>, Vec<(String, SkipReason)>) {
        let root = format!("{}/", display(folder.path()));
        let short = |path: &str| path.strip_prefix(&root).unwrap_or(path).to_owned();
        (
            found.inputs.iter().map(|input| short(&input.display)).collect(),
            found.skipped.iter().map(|skip| (short(&skip.path), skip.reason)).collect(),
        )
    }

    #[test]
    fn a_folder_is_walked_in_the_order_of_people() {
        let folder = folder(&[
            ("level 10.csv", "a"),
            ("Level 2.csv", "a"),
            ("level 1/panel.xlsx", "a"),
            ("name.xlsx/inside.csv", "a"),
            ("notes.pdf", "a"),
            ("~$level 2.xlsx", "a"),
            (".~lock.level 2.ods#", "a"),
            (".hidden/level 3.csv", "a"),
            ("findings.csv", "rule,verdict,grade,defect_type,citation,edition\n"),
        ]);
        let found = find(&[folder.path().to_path_buf()]);
        assert!(found.problems.is_empty(), "{:?}", found.problems);
        let (inputs, skipped) = names(&folder, &found);
        assert_eq!(
            inputs,
            ["level 1/panel.xlsx", "Level 2.csv", "level 10.csv", "name.xlsx/inside.csv"]
        );
        let expected = [
            (".hidden", SkipReason::Hidden),
            (".~lock.level 2.ods#", SkipReason::LockFile),
            ("findings.csv", SkipReason::OwnReport),
            ("notes.pdf", SkipReason::UnknownEnding),
            ("~$level 2.xlsx", SkipReason::LockFile),
        ];
        assert_eq!(skipped, expected.map(|(path, reason)| (path.to_owned(), reason)));
    }

    #[test]
    fn a_named_file_is_tried_whatever_its_ending_but_only_once() {
        let folder = folder(&[("schedule.dat", "a,b\n1,2\n"), ("b.csv", "a")]);
        let path = |name: &str| folder.path().join(name);
        let found = find(&[path("schedule.dat"), path("b.csv"), folder.path().join("./b.csv")]);
        let (inputs, skipped) = names(&folder, &found);
        assert_eq!(inputs, ["schedule.dat", "b.csv"]);
        assert_eq!(skipped.iter().map(|skip| skip.1).collect::<Vec<_>>(), [SkipReason::MetBefore]);
    }

    #[test]
    fn a_missing_path_is_a_problem_with_its_path() {
        let path = PathBuf::from("no such folder/a.csv");
        let found = find(std::slice::from_ref(&path));
        assert!(matches!(&found.problems[..], [IngestError::Missing { path: at }] if *at == path));
    }

    #[cfg(unix)]
    #[test]
    fn loops_of_links_and_pipes_are_survived() {
        let folder = folder(&[("a/b.csv", "a")]);
        std::os::unix::fs::symlink(folder.path(), folder.path().join("a/loop")).unwrap();
        let pipe = folder.path().join("pipe.csv");
        let made = std::process::Command::new("mkfifo").arg(&pipe).status().unwrap();
        assert!(made.success());
        let found = find(&[folder.path().to_path_buf(), pipe.clone()]);
        let (inputs, skipped) = names(&folder, &found);
        assert_eq!(inputs, ["a/b.csv"]);
        assert_eq!(
            skipped,
            [
                ("a/loop".to_owned(), SkipReason::Loop),
                ("pipe.csv".to_owned(), SkipReason::NotAFile)
            ]
        );
        assert!(matches!(&found.problems[..], [IngestError::NotAFile { path }] if *path == pipe));
    }

    #[test]
    fn natural_order() {
        let mut names = ["B10", "b2", "B1", "B02", "a", "B", "B2a", ""];
        names.sort_by(|a, b| natural(a, b));
        assert_eq!(names, ["", "a", "B", "B1", "B02", "b2", "B2a", "B10"]);
    }
}
