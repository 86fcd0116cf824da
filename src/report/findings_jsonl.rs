//! The findings as JSON lines: one object a line, a line a violation or a question for the authority, by
//! row and rule.
//!
//! The fields have the names and the order of the columns of [`super::findings_csv`]. Lists are arrays,
//! numbers numbers, yes and no `true` and `false`; what is not recorded is `null`. Texts of the schedules
//! stand as they were read, without the apostrophe that guards the CSV file: whoever puts them into a
//! spreadsheet guards them there.
//!
//! | field | value | meaning |
//! |---|---|---|
//! | `rule` | text | name of the rule; `yokecheck rules NAME` shows its manual page |
//! | `verdict` | text | `violates`, or `authority` for a question |
//! | `grade` | text or null | `danger`, `latent` or `workmanship`; null for a question |
//! | `defect_type` | text | defect type of the rule |
//! | `citation` | text | the section, and the local amendment that had a say |
//! | `edition` | array of texts | the editions that may govern: years, or `other` |
//! | `subject_kind` | text | what was judged: `outlet`, `enclosure`, `circuit`, `bed-location` |
//! | `subject` | text | its name: the outlet (`row N` without one), the box, `panel/circuit`, the bed location |
//! | `outlet_id` | text or null | the outlet under whose row the finding is listed |
//! | `others` | array of texts | the other outlets that the finding of a group rests on |
//! | `quantity` | number | devices that the row stands for |
//! | `building` | text or null | building of the row |
//! | `floor` | text or null | storey of the row |
//! | `room` | text or null | room of the row |
//! | `trade` | text or null | trade that the schedule names |
//! | `corrects` | text | trade that is to correct it: that of the schedule, else the usual one |
//! | `installer` | text or null | company that installed the outlet |
//! | `measured` | text or null | what was measured or counted, with its unit |
//! | `limit` | text or null | what is allowed, with its unit |
//! | `message` | text | what is wrong, or the question |
//! | `remedy` | text | what to do |
//! | `borderline` | true or false | whether a measurement of ordinary care could come out otherwise |
//! | `observed_on` | text or null | day on which the facts were observed: `2026-03-31` |
//! | `observed_by` | text or null | person who observed them |
//! | `evidence` | text or null | photograph or note that shows them |
//! | `source` | text | path of the file |
//! | `sheet` | text or null | sheet of the file; null for a text file |
//! | `row` | number | row of the sheet, from 1; of a text file the line |
//! | `cells` | array of texts | the cells that the finding rests on: `Level 3!F12`, in a text file `F12` |

use std::io::{self, Write};

use super::context::Report;
use super::finding_line::FindingLine;

/// The lines could not be written.
#[derive(Debug, thiserror::Error)]
pub enum JsonLinesError {
    /// A line could not be made or written.
    #[error(transparent)]
    Line(#[from] serde_json::Error),
    /// The end of a line could not be written.
    #[error(transparent)]
    End(#[from] io::Error),
}

/// Writes the findings.
pub fn write(report: &Report<'_>, mut out: impl Write) -> Result<(), JsonLinesError> {
    for line in FindingLine::all(*report) {
        serde_json::to_writer(&mut out, &line)?;
        out.write_all(b"\n")?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use crate::report::findings_csv::COLUMNS;

    #[test]
    fn every_field_is_documented_in_the_order_of_the_columns() {
        let rows = include_str!("findings_jsonl.rs").lines();
        let fields: Vec<&str> = rows
            .filter_map(|line| line.strip_prefix("//! | `"))
            .filter_map(|line| line.split('`').next())
            .collect();
        assert_eq!(fields, COLUMNS);
    }
}
