//! Files that the program made to be filled in: which they are, and whether somebody has worked in them
//! since.

#![expect(clippy::disallowed_methods, reason = "files are read in this room")]

use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};

use super::{Cell, IngestError, Input, Row, own};

/// What a file is to whoever would write a list of corrections in its place.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Standing {
    /// No list of corrections of the program.
    Foreign,
    /// A list as the program wrote it.
    Untouched,
    /// A list that somebody filled in, or that was saved again since.
    Touched,
}

/// What a file is; `to_fill_in` are the headers of the columns that whoever corrects fills in. A file that
/// cannot be opened is foreign; a list that cannot be read to its end may hold something.
pub fn standing(path: &Path, to_fill_in: &[&str]) -> Standing {
    match File::open(path).map_or(Standing::Foreign, |file| own::standing(file, Form::Corrections))
    {
        Standing::Untouched if is_filled_in(path, to_fill_in) => Standing::Touched,
        other => other,
    }
}

/// A form that the program made to be filled in.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Form {
    /// The outlets to see, with the facts to collect.
    Survey,
    /// An empty schedule.
    Template,
    /// A list of corrections.
    Corrections,
}

/// Which form a file is; none for any other file.
pub fn form(path: &Path) -> Option<Form> {
    File::open(path).ok().and_then(own::form)
}

/// Whether a file is a form that somebody saved again since the program wrote it.
pub fn is_touched(path: &Path) -> bool {
    let touched =
        |form| File::open(path).is_ok_and(|file| own::standing(file, form) == Standing::Touched);
    form(path).is_some_and(touched)
}

/// Whether anything stands below one of the headers.
fn is_filled_in(path: &Path, to_fill_in: &[&str]) -> bool {
    let mut filled_in = false;
    let input = Input { path: path.to_owned(), display: path.display().to_string(), bytes: 0 };
    let read = super::read(&input, &mut |_, rows| {
        let mut columns: Vec<u32> = Vec::new();
        let mut row = Row::default();
        while rows.next(&mut row)? {
            filled_in |= columns.iter().any(|column| row.cell(*column) != Cell::Empty);
            let headers = row
                .cells()
                .filter(|(_, cell)| matches!(cell, Cell::Text(text) if to_fill_in.contains(text)));
            if columns.is_empty() {
                columns.extend(headers.map(|(column, _)| column));
            }
        }
        Ok(())
    });
    filled_in || read.is_err()
}

/// A line of a table, by the columns that were asked for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ReturnedLine {
    /// The name of its sheet; empty for a text file.
    pub sheet: String,
    /// Its row, from 1.
    pub row: u32,
    /// The text of each column, trimmed; empty where there is none.
    pub texts: Vec<String>,
}

/// The lines below every row that holds these headers, on all sheets of a file. A sheet without such a row
/// holds none.
pub fn lines(path: &Path, headers: &[&str]) -> Result<Vec<ReturnedLine>, IngestError> {
    let input = Input { path: path.to_owned(), display: path.display().to_string(), bytes: 0 };
    let mut lines = Vec::new();
    super::read(&input, &mut |sheet, rows| {
        let mut columns: Vec<u32> = Vec::new();
        let mut row = Row::default();
        while rows.next(&mut row)? {
            let place = |header: &&str| row.cells().find(|(_, cell)| text(*cell) == **header);
            let here: Option<Vec<u32>> =
                headers.iter().map(|header| Some(place(header)?.0)).collect();
            if let Some(here) = here {
                columns = here;
            } else if !columns.is_empty() && !row.is_empty() {
                let texts = columns.iter().map(|column| text(row.cell(*column))).collect();
                let sheet = sheet.name.clone().unwrap_or_default();
                lines.push(ReturnedLine { sheet, row: row.number, texts });
            }
        }
        Ok(())
    })?;
    Ok(lines)
}

fn text(cell: Cell<'_>) -> String {
    match cell {
        Cell::Text(text) => text.trim().to_owned(),
        Cell::Number(number) => number.to_string(),
        Cell::Date(moment) => moment.date().to_string(),
        Cell::Boolean(truth) => truth.to_string(),
        Cell::Empty | Cell::Error(_) => String::new(),
    }
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
