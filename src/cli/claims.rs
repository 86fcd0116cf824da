//! Lists of corrections that came back filled in: who says what is corrected.

use std::collections::HashSet;
use std::io;
use std::path::{Path, PathBuf};

use crate::compare::Claim;
use crate::ingest::returned::{ReturnedLine, files_ending, lines};
use crate::report::workbook::corrections::{MATCHED_BY, TO_FILL_IN};

/// Why the lists could not be read.
#[derive(Debug, thiserror::Error)]
pub(super) enum ClaimsError {
    /// The folder cannot be looked into.
    #[error("{}: this folder of corrections cannot be read: {source}; name another", folder.display())]
    Folder { folder: PathBuf, source: io::Error },
    /// There is none.
    #[error(
        "{}: no file in this folder is a list of corrections of this program; name the folder of the lists that came back",
        folder.display()
    )]
    None { folder: PathBuf },
}

/// The claims of a folder.
#[derive(Default)]
pub(super) struct Claims {
    /// One a rule of each line that was filled in.
    pub(super) all: Vec<Claim>,
    /// The same without their places.
    known: HashSet<Claim>,
    /// The lists that were read.
    pub(super) lists: usize,
    /// All files of the folder that were looked into: no output takes their place.
    pub(super) files: Vec<PathBuf>,
    /// Files that are no lists.
    pub(super) notes: Vec<String>,
    /// Lists that could not be read.
    pub(super) problems: Vec<String>,
}

/// Endings of the files that lists may have been saved as.
const ENDINGS: [&str; 6] = [".xlsx", ".xlsm", ".xlsb", ".csv", ".ods", ".xls"];

/// Reads all lists of a folder.
pub(super) fn open(folder: &Path) -> Result<Claims, ClaimsError> {
    let mut claims = Claims::default();
    let none = || ClaimsError::None { folder: folder.to_owned() };
    if !folder.is_dir() {
        return Err(none());
    }
    let headers: Vec<&str> = TO_FILL_IN.into_iter().chain(MATCHED_BY).collect();
    for ending in ENDINGS {
        let refused = |source| ClaimsError::Folder { folder: folder.to_owned(), source };
        for path in files_ending(folder, ending).map_err(refused)? {
            claims.add(&path, &headers);
        }
    }
    if claims.lists == 0 && claims.problems.is_empty() { Err(none()) } else { Ok(claims) }
}

impl Claims {
    /// Adds what a file of the folder says.
    fn add(&mut self, path: &Path, headers: &[&str]) {
        // A spreadsheet program marks an open workbook by such a file.
        let lock = path.file_name().is_some_and(|name| name.to_string_lossy().starts_with("~$"));
        if lock {
            return;
        }
        self.files.push(path.to_owned());
        match lines(path, headers) {
            Err(error) => self.problems.push(error.to_string()),
            Ok(lines) if lines.is_empty() => self.notes.push(format!(
                "{}: no list of corrections with its last columns (Match: ...), so its claims are not read",
                path.display()
            )),
            Ok(lines) => {
                self.lists += 1;
                for claim in lines.iter().flat_map(|line| of_line(path, line)) {
                    // A list that lies there twice claims its corrections once.
                    if self.known.insert(Claim { place: String::new(), ..claim.clone() }) {
                        self.all.push(claim);
                    }
                }
            }
        }
    }
}

/// A claim for each rule of a line in which anything was filled in.
fn of_line(path: &Path, line: &ReturnedLine) -> Vec<Claim> {
    let (filled_in, matched_by) = line.texts.split_at(TO_FILL_IN.len());
    let by: Vec<&str> =
        filled_in.iter().map(String::as_str).filter(|text| !text.is_empty()).collect();
    let [rules, building, outlet_id, row] = matched_by else { return Vec::new() };
    if by.is_empty() {
        return Vec::new();
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let place = match line.sheet.as_str() {
        "" => format!("{name} | row {}", line.row),
        sheet => format!("{name} | {sheet} | row {}", line.row),
    };
    let claim = |rule: &str| Claim {
        rule: rule.trim().to_owned(),
        building: building.clone(),
        outlet_id: outlet_id.clone(),
        row: row.parse().unwrap_or_default(),
        by: by.join(", "),
        place: place.clone(),
    };
    rules.split(';').filter(|rule| !rule.trim().is_empty()).map(claim).collect()
}
