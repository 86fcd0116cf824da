//! What can go wrong between a path on the command line and a row of cells.

use std::io;
use std::path::{Path, PathBuf};

/// A file or folder that could not be read: what, where, and what to do about it.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum IngestError {
    /// Nothing stands at the path.
    #[error("{}: there is no such file or folder; check the path", .path.display())]
    Missing {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// The system would not let the file or folder be opened.
    #[error("{}: no permission to read it; ask its owner for access", .path.display())]
    Forbidden {
        /// The closed file or folder.
        path: PathBuf,
    },
    /// A pipe, a socket or a device: opening it could wait for ever.
    #[error(
        "{}: it is neither a regular file nor a folder; save the schedule to a file first",
        .path.display()
    )]
    NotAFile {
        /// The pipe, socket or device.
        path: PathBuf,
    },
    /// The file holds no byte.
    #[error("{}: the file is empty; export the schedule again", .path.display())]
    Empty {
        /// The empty file.
        path: PathBuf,
    },
    /// Reading stopped half-way: a failing disk, a lost network share.
    #[error("{}: it could not be read ({source}); copy the file to a local disk and try again", .path.display())]
    Unreadable {
        /// The file that was being read.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The file was written to, exchanged or removed while it was read.
    #[error(
        "{}: the file changed while it was read, so nothing was written; audit it again when it is complete",
        .path.display()
    )]
    Changed {
        /// The file.
        path: PathBuf,
    },
    /// The workbook is encrypted.
    #[error("{}: the workbook is encrypted: remove the password and save it again", .path.display())]
    Encrypted {
        /// The encrypted workbook.
        path: PathBuf,
    },
    /// The file is of a kind that holds no table this program can read.
    #[error("{}: it holds {kind}, not a table; save it as .xlsx or .csv", .path.display())]
    Unsupported {
        /// The file.
        path: PathBuf,
        /// What it holds, with its article: `a PDF document`.
        kind: &'static str,
    },
    /// The workbook is damaged, or is not what it says it is.
    #[error(
        "{}{}: the workbook is damaged ({reason}); open it in a spreadsheet program and save it as .xlsx",
        .path.display(),
        .sheet.as_deref().map(|name| format!(", sheet {name:?}")).unwrap_or_default()
    )]
    Broken {
        /// The workbook.
        path: PathBuf,
        /// The sheet that was being read, when it was already known.
        sheet: Option<String>,
        /// What the reader said.
        reason: String,
    },
    /// The workbook has no worksheet: only charts or macros.
    #[error("{}: the workbook has no worksheet; save the schedule as a worksheet", .path.display())]
    NoWorksheet {
        /// The workbook.
        path: PathBuf,
    },
    /// Reading the file would take more memory than is sensible.
    #[error("{}: {what} would be {size}, more than {limit}; {remedy}", .path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// What is too large: `the shared texts`.
        what: &'static str,
        /// How large it is, in the unit of `limit`.
        size: u64,
        /// The most that is read, with its unit: `20000000 cells`.
        limit: String,
        /// What to do: `save it as .xlsx`.
        remedy: &'static str,
    },
    /// One record of a text file is larger than any row of a schedule.
    #[error(
        "{}, line {line}: the record that starts here is longer than {limit} bytes; look for a quotation mark without its partner",
        .path.display()
    )]
    RecordTooLong {
        /// The text file.
        path: PathBuf,
        /// The physical line, from 1, on which the record starts.
        line: u32,
        /// The longest record that is read, in bytes.
        limit: u64,
    },
    /// One record of a text file has more cells than any row of a schedule.
    #[error(
        "{}, line {line}: the record that starts here has {columns} columns, more than {limit}; look for rows that run into each other",
        .path.display()
    )]
    TooManyColumns {
        /// The text file.
        path: PathBuf,
        /// The physical line, from 1, on which the record starts.
        line: u32,
        /// Its columns.
        columns: usize,
        /// The most columns that are read.
        limit: u32,
    },
    /// A quoted cell runs to the end of the file.
    #[error(
        "{}, line {line}: a cell of the record that starts here opens a quotation mark that is never closed; close it, or double it when it is part of the text",
        .path.display()
    )]
    UnclosedQuote {
        /// The text file.
        path: PathBuf,
        /// The physical line, from 1, on which the record starts.
        line: u32,
    },
}

impl IngestError {
    /// The file or folder that the error is about.
    pub fn path(&self) -> &Path {
        match self {
            Self::Missing { path }
            | Self::Forbidden { path }
            | Self::NotAFile { path }
            | Self::Empty { path }
            | Self::Unreadable { path, .. }
            | Self::Changed { path }
            | Self::Encrypted { path }
            | Self::Unsupported { path, .. }
            | Self::Broken { path, .. }
            | Self::NoWorksheet { path }
            | Self::TooLarge { path, .. }
            | Self::RecordTooLong { path, .. }
            | Self::TooManyColumns { path, .. }
            | Self::UnclosedQuote { path, .. } => path,
        }
    }

    /// Sorts an error of the system into the kind that tells a person most.
    pub(super) fn from_io(path: &Path, source: io::Error) -> Self {
        let path = path.to_path_buf();
        match source.kind() {
            io::ErrorKind::NotFound => Self::Missing { path },
            io::ErrorKind::PermissionDenied => Self::Forbidden { path },
            _ => Self::Unreadable { path, source },
        }
    }

    /// A damaged workbook, before any sheet of it is known.
    pub(super) fn broken(path: &Path, reason: &dyn ToString) -> Self {
        Self::Broken { path: path.to_path_buf(), sheet: None, reason: reason.to_string() }
    }
}
