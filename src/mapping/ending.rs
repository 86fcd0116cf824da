//! Files whose ending announces another format than they have.
//!
//! They are read as what they are. Between kinds of workbook that is worth a remark; a text that calls
//! itself a workbook, or a workbook that calls itself a text, may be a part of something else, and is a
//! problem of the run.

use crate::ingest::{Format, Input, Sheet};

/// What is told of a misnamed file.
pub(super) enum Told {
    /// The run goes on as if nothing were wrong.
    Remark(String),
    /// The run does not end well.
    Problem(String),
}

impl Told {
    /// What is told of an input that was read as this format.
    pub(super) fn of(input: &Input, sheet: &Sheet) -> Self {
        let path = &input.display;
        let ending = input.path.extension().unwrap_or_default().to_ascii_lowercase();
        let announces_text = ["csv", "tsv", "txt"].iter().any(|text| ending == *text);
        if matches!(sheet.format, Format::Text { .. }) {
            Self::Problem(format!(
                "{path}: a text file with the ending of a workbook; it was read as text: rename it to .csv, or save it as a workbook"
            ))
        } else if announces_text {
            Self::Problem(format!(
                "{path}: a workbook with the ending of a text file; it was read as a workbook: rename it"
            ))
        } else {
            Self::Remark(format!("{path}: its ending announces another format"))
        }
    }

    /// Puts it where it is told.
    pub(super) fn tell(self, problems: &mut Vec<String>, remarks: &mut Vec<String>) {
        match self {
            Self::Remark(remark) => remarks.push(remark),
            Self::Problem(problem) => problems.push(problem),
        }
    }
}
