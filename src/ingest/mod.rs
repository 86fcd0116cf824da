//! Files to raw tables: which files there are, which sheets they have, and what stands in each cell.
//!
//! Owns finding files, telling what they are, decoding text, finding delimiters and opening
//! workbooks. It imports nothing of the crate, gives no cell a meaning, trims nothing and writes
//! nothing. Everything streams: a row is handed out as it is read, in buffers that are used again.
//! What cannot be streamed is measured before it is opened, and refused beyond a limit.
//!
//! To add a format, tell it in `kind`, add a [`Format`], and give it a reader that implements
//! [`Rows`]; if it holds anything whole, measure it in `guard` first.

mod blocks;
mod compound;
mod error;
mod find;
mod guard;
mod kind;
mod metered;
mod own;
pub mod returned;
mod row;
mod tables;
mod text;
mod value;
mod watch;
mod workbook;

use std::fmt::Write;
use std::fs::{self, File};
use std::io::Read;
use std::path::Path;

use sha2::{Digest, Sha256};

pub use blocks::in_blocks;
pub use error::IngestError;
pub use find::{Found, Input, SkipReason, Skipped, find};
pub use row::{Cell, Row, column_letters};
pub use watch::Watch;
pub use workbook::reading_workbook;

use kind::Kind;

/// The most bytes of a file that is held in memory whole, and three times over by its reader.
const MOST_BYTES_IN_MEMORY: u64 = 100 * 1024 * 1024;

/// The most columns of a row: a spreadsheet has no more, and no schedule so many.
const MOST_COLUMNS: u32 = 16_384;

/// What a table was read from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Format {
    /// A text file: values between delimiters.
    Text {
        /// The name of its encoding in the WHATWG Encoding Standard.
        encoding: &'static str,
        /// What stands between two values.
        delimiter: char,
    },
    /// An Office Open XML workbook, with or without macros.
    Xlsx,
    /// A binary Office Open XML workbook.
    Xlsb,
    /// A workbook in the binary format before 2007.
    Xls,
    /// An `OpenDocument` spreadsheet.
    Ods,
    /// The table of outlets of an earlier audit.
    Parquet,
}

/// One sheet of a workbook, or the one table of a text file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// Its name; none for a text file.
    pub name: Option<String>,
    /// Its place among all sheets of the workbook, charts included, from 0.
    pub index: u32,
    /// Whether the workbook hides it. Hidden rows and columns cannot be told.
    pub hidden: bool,
    /// What it was read from.
    pub format: Format,
    /// Whether the ending of the file's name announces another format than the one found.
    pub misnamed: bool,
}

/// Cells that were merged into one: only the first of them holds the value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Merge {
    /// The first row, from 1, as [`Row::number`] counts.
    pub first_row: u32,
    /// The last row, from 1.
    pub last_row: u32,
    /// The first column, from 0, as [`Row::cell`] counts.
    pub first_column: u32,
    /// The last column, from 0.
    pub last_column: u32,
}

/// The rows of a sheet, from the first to the last, for whichever thread asks.
pub trait Rows: Send {
    /// Reads the next row into `row`, whose old content is dropped; false behind the last row.
    ///
    /// Rows in which nothing stands may be left out: the number of a row tells where it stands.
    /// After an error there are no more rows. A reader must not wait for a pool of threads: see
    /// `blocks`, where another one may wait for it.
    fn next(&mut self, row: &mut Row) -> Result<bool, IngestError>;

    /// The merged cells of the sheet. To be asked before the first row: a workbook that streams
    /// has to pass over its sheet for them, and later gives none. Text files and `.xlsb` have none.
    fn merges(&mut self) -> Result<Vec<Merge>, IngestError> {
        Ok(Vec::new())
    }
}

/// Rows that were made or kept in memory.
impl Rows for std::vec::IntoIter<Row> {
    fn next(&mut self, row: &mut Row) -> Result<bool, IngestError> {
        let next = Iterator::next(self);
        let found = next.is_some();
        *row = next.unwrap_or_default();
        Ok(found)
    }
}

/// What [`read`] calls with each sheet and its rows.
pub type Visit<'a> = &'a mut (dyn FnMut(&Sheet, &mut dyn Rows) -> Result<(), IngestError> + Send);

/// Opens a file by what it holds, whatever its ending, and hands each sheet to `visit`, in order.
///
/// A sheet whose rows are not asked for costs nothing. A damaged sheet fails when its rows are read;
/// `visit` may return `Ok` all the same, and the next sheet follows.
pub fn read(input: &Input, visit: Visit<'_>) -> Result<(), IngestError> {
    let path = input.path.as_path();
    let (mut file, length) = open(path)?;
    if length == 0 {
        return Err(IngestError::Empty { path: path.to_path_buf() });
    }
    let kind = kind::tell(path, &mut file)?;
    let misnamed =
        |format: &Format| kind::announced(path).is_some_and(|announced| !announced.is(format));
    match kind {
        Kind::Text => {
            let (format, mut rows) = text::reader::TextRows::open(path, file)?;
            let misnamed = misnamed(&format);
            visit(&Sheet { name: None, index: 0, hidden: false, format, misnamed }, &mut rows)
        }
        Kind::Xlsx => {
            guard::archive(path, &mut file)?;
            workbook::xlsx(path, file, misnamed(&Format::Xlsx), visit)
        }
        Kind::Xlsb => {
            guard::archive(path, &mut file)?;
            workbook::xlsb(path, file, misnamed(&Format::Xlsb), visit)
        }
        Kind::Ods => {
            guard::archive(path, &mut file)?;
            let merges = guard::open_document(path, &mut file)?;
            workbook::ods(path, file, misnamed(&Format::Ods), merges, visit)
        }
        Kind::Xls => {
            guard::xls(path, &kind::read_whole(path, &mut file)?)?;
            workbook::xls(path, file, misnamed(&Format::Xls), visit)
        }
        Kind::Parquet => {
            let format = Format::Parquet;
            let mut rows = tables::TableRows::open(path, file)?;
            visit(
                &Sheet { name: None, index: 0, hidden: false, format, misnamed: false },
                &mut rows,
            )
        }
        Kind::Encrypted => Err(IngestError::Encrypted { path: path.to_path_buf() }),
        Kind::Other(kind) => Err(IngestError::Unsupported { path: path.to_path_buf(), kind }),
    }
}

/// The SHA-256 of a file, in lower-case hexadecimal digits.
pub fn sha256(path: &Path) -> Result<String, IngestError> {
    let (mut file, _) = open(path)?;
    let mut digest = Sha256::new();
    let mut buffer = vec![0; 64 * 1024];
    loop {
        match file.read(&mut buffer) {
            Ok(0) => break,
            Ok(length) => digest.update(&buffer[..length]),
            Err(error) => return Err(IngestError::from_io(path, error)),
        }
    }
    let mut digits = String::new();
    for byte in digest.finalize() {
        // Writing to a string cannot fail.
        let _ = write!(digits, "{byte:02x}");
    }
    Ok(digits)
}

/// Opens a regular file and tells its length; anything else could wait for ever.
#[expect(clippy::disallowed_methods, reason = "this room reads the inputs, all of them here")]
fn open(path: &Path) -> Result<(File, u64), IngestError> {
    let failed = |error| IngestError::from_io(path, error);
    if !fs::metadata(path).map_err(failed)?.is_file() {
        return Err(IngestError::NotAFile { path: path.to_path_buf() });
    }
    let file = File::open(path).map_err(failed)?;
    let length = file.metadata().map_err(failed)?.len();
    Ok((file, length))
}

#[cfg(test)]
mod tests;
