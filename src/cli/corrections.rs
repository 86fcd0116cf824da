//! The lists of corrections that are sent out: a folder with a workbook for each trade or company.
//!
//! The folder is looked at before the work starts. What others put there, and what somebody filled in, is
//! never overwritten.

use std::io;
use std::path::{Path, PathBuf};

use crate::ingest::returned::{Standing, files_ending, standing};
use crate::report::corrections::{By, parcels};
use crate::report::names::Given;
use crate::report::unfinished::MadeFolder;
use crate::report::wording::counted;
use crate::report::workbook::{Limits, corrections};
use crate::report::{Report, Target, TargetError};

use super::failure::Failure;
use super::lines::wrapped;

/// How the name of each list ends.
const ENDING: &str = "-corrections.xlsx";

/// Why no lists can be written into a folder.
#[derive(Debug, thiserror::Error)]
pub(super) enum CorrectionsError {
    /// The folder cannot be made or looked into.
    #[error("{}: this folder for the corrections cannot be used: {source}; name another", folder.display())]
    Folder { folder: PathBuf, source: io::Error },
    /// A file that would be overwritten is no list of the program.
    #[error("{}: this file is no list of corrections of this program and will not be overwritten; move it, or name another folder", path.display())]
    Foreign { path: PathBuf },
    /// A file that would be overwritten was saved by somebody.
    #[error("{}: this list was filled in, or saved again since it was written, and will not be overwritten; move it, or name another folder", path.display())]
    Touched { path: PathBuf },
}

/// A folder that is ready for the lists.
pub(super) struct Outbox {
    folder: PathBuf,
    by: By,
    inputs: Vec<PathBuf>,
    /// Folders that this run made, the innermost first, which is to go before those around it.
    _made: Vec<MadeFolder>,
    /// Lists of an earlier run.
    earlier: Vec<PathBuf>,
}

/// What was written.
pub(super) struct Sent {
    /// The lists.
    written: Vec<PathBuf>,
    /// What whoever sends them should know.
    notes: Vec<String>,
    folder: PathBuf,
}

impl Sent {
    /// Says where the lists are.
    pub(super) fn tell(&self) {
        let lists = counted(self.written.len() as u64, "workbook", "workbooks");
        let text = format!("{lists} to be sent out, in {}", self.folder.display());
        anstream::println!("{}", wrapped("Corrections: ", &text));
        for note in &self.notes {
            anstream::println!("{}", wrapped("  note: ", note));
        }
        anstream::println!();
    }
}

impl Outbox {
    /// Makes the folder where it is missing, and checks what stands there.
    pub(super) fn open(folder: &Path, by: By, inputs: &[PathBuf]) -> Result<Self, Failure> {
        let refused = |source| CorrectionsError::Folder { folder: folder.to_owned(), source };
        let missing = folder.ancestors().filter(|one| !one.as_os_str().is_empty());
        let missing: Vec<&Path> = missing.take_while(|one| !one.exists()).collect();
        let mut made = Vec::new();
        for one in missing.into_iter().rev() {
            made.insert(0, MadeFolder::new(one).map_err(refused)?);
        }
        let earlier = files_ending(folder, ENDING).map_err(refused)?;
        let outbox =
            Self { folder: folder.to_owned(), by, inputs: inputs.to_vec(), _made: made, earlier };
        outbox.earlier.iter().try_for_each(|path| outbox.target(path).map(drop))?;
        Ok(outbox)
    }

    /// A list to be written, unless something stands there that must stay.
    fn target(&self, path: &Path) -> Result<Target, Failure> {
        let target = Target::new(path, &self.inputs)?;
        let path = || path.to_owned();
        match standing(target.path(), &corrections::TO_FILL_IN) {
            _ if !target.path().exists() => Ok(target),
            Standing::Untouched => Ok(target),
            Standing::Foreign => Err(CorrectionsError::Foreign { path: path() }.into()),
            Standing::Touched => Err(CorrectionsError::Touched { path: path() }.into()),
        }
    }

    /// Checks that no other output of the run goes where a list may go.
    pub(super) fn check_apart(&self, others: &[Target]) -> Result<(), TargetError> {
        let here = self.folder.canonicalize().ok();
        for other in others {
            let path = other.path();
            let folder = path
                .parent()
                .map(|folder| if folder.as_os_str().is_empty() { Path::new(".") } else { folder });
            let is_here = folder.and_then(|folder| folder.canonicalize().ok()) == here;
            let name = path.file_name().unwrap_or_default().to_string_lossy().to_lowercase();
            if is_here && name.ends_with(ENDING) {
                return Err(TargetError::NamedTwice { path: path.to_owned() });
            }
        }
        Ok(())
    }

    /// Writes the lists.
    pub(super) fn write(&self, report: &Report<'_>) -> Result<Sent, Failure> {
        let mut given = Given::default();
        let mut sent = Sent { written: Vec::new(), notes: Vec::new(), folder: self.folder.clone() };
        for parcel in parcels(report, self.by) {
            let unknown = "installer-not-recorded";
            let name = given.file(parcel.addressee.as_deref().unwrap_or(unknown), ENDING);
            let path = self.folder.join(name);
            let target = self.target(&path)?;
            target.write(|out| corrections::write(report, &parcel, Limits::default(), out))?;
            if parcel.addressee.is_none() {
                let lines: usize = parcel.lists.iter().map(|list| list.lines.len()).sum();
                let lines = counted(lines as u64, "line", "lines");
                sent.notes.push(format!(
                    "no schedule says who installed what {lines} of the corrections are about: \
                     they are in {}",
                    path.display()
                ));
            }
            sent.written.push(path);
        }
        let left = self.earlier.iter().filter(|path| !sent.written.contains(path));
        sent.notes.extend(left.map(|path| {
            format!("{}: a list of an earlier run, for which there is none now", path.display())
        }));
        Ok(sent)
    }
}
