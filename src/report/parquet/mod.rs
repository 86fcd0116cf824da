//! An audit as Parquet tables for a query engine: a folder with `outlets.parquet`, `findings.parquet`,
//! `tallies.parquet` and a `README.md` that says what they are.
//!
//! Texts of the schedules stand as they were read; what is not recorded is null. Each table is written
//! in row groups of so many lines, so that memory does not grow with the audit, and by one thread, so
//! that the bytes are the same for any number of them. A further table is a file here with a function
//! that makes a frame of some of its lines, a name in [`NAMES`] and a line in [`write()`].

mod findings;
mod outlets;
mod tallies;

use std::fmt::Write as _;
use std::io::{self, Write};
use std::ops::Range;

use polars::prelude::{
    Column, DataFrame, IntoColumn, ListBuilderTrait, ListStringChunkedBuilder, ParquetWriter,
    PolarsError, PolarsResult,
};

use super::cautions;
use super::context::Report;
use super::folder::{ABOUT, MARK, Unfinished};

/// The tables, beside the file that says what they are.
pub const NAMES: &[&str] = &["outlets.parquet", "findings.parquet", "tallies.parquet"];

/// Lines of a row group.
const GROUP: usize = 100_000;

/// The tables could not be written.
#[derive(Debug, thiserror::Error)]
pub enum ParquetError {
    /// A table could not be made.
    #[error(transparent)]
    Table(#[from] PolarsError),
    /// A file could not be written.
    #[error(transparent)]
    File(#[from] io::Error),
}

/// Writes the tables.
pub fn write(report: &Report<'_>, folder: &Unfinished<'_>) -> Result<(), ParquetError> {
    let audit = report.audit;
    let violations = outlets::violations(audit);
    let outlets = |lines| outlets::frame(report, &violations, lines);
    folder.file(NAMES[0], |out| table(out, audit.outlets.len(), outlets))?;
    let findings = |lines| findings::frame(report, lines);
    folder.file(NAMES[1], |out| table(out, audit.findings.len(), findings))?;
    folder.file(NAMES[2], |out| table(out, 1, |_| tallies::frame(report)))?;
    folder.file(ABOUT, |mut out| Ok(out.write_all(about(report).as_bytes())?))
}

/// Writes a table of so many lines, one row group after another.
fn table(
    out: impl Write,
    lines: usize,
    frame: impl Fn(Range<usize>) -> PolarsResult<DataFrame>,
) -> Result<(), ParquetError> {
    let mut group = frame(0..lines.min(GROUP))?;
    let mut writer = ParquetWriter::new(out).set_parallel(false).batched(group.schema())?;
    let mut from = group_end(0, lines);
    loop {
        writer.write_batch(&group)?;
        if from == lines {
            break;
        }
        let to = group_end(from, lines);
        group = frame(from..to)?;
        from = to;
    }
    writer.finish()?;
    Ok(())
}

fn group_end(from: usize, lines: usize) -> usize {
    lines.min(from + GROUP)
}

/// A column of counts: with a sign, so that a query may subtract them.
fn counts(name: &str, counts: impl Iterator<Item = u64>) -> Column {
    let counts = counts.map(|count| i64::try_from(count).unwrap_or(i64::MAX));
    Column::new(name.into(), counts.collect::<Vec<i64>>())
}

/// A column of lists of texts; none is null.
fn lists<'t>(name: &str, lists: impl ExactSizeIterator<Item = Option<Vec<&'t str>>>) -> Column {
    let mut builder = ListStringChunkedBuilder::new(name.into(), lists.len(), lists.len());
    for list in lists {
        match list {
            Some(list) => builder.append_values_iter(list.into_iter()),
            None => builder.append_null(),
        }
    }
    builder.finish().into_column()
}

fn about(report: &Report<'_>) -> String {
    let context = report.context;
    let mut text = format!("{MARK}\n\n");
    if !context.project.is_empty() {
        let project: Vec<&str> = context.project.split_whitespace().collect();
        let _ = writeln!(text, "Project: {}\n", project.join(" "));
    }
    let _ = writeln!(
        text,
        "Audit of {}, made by yokecheck {}. The program replaces this folder as a whole and touches no \
         folder that holds anything else.\n\n{TABLES}\n## Cautions\n",
        context.date, context.version
    );
    for caution in cautions::ALL {
        let _ = writeln!(text, "* {caution}");
    }
    text
}

/// What the tables hold.
const TABLES: &str = "\
* `outlets.parquet`: a line a row of the schedules, in their order: `source`, `sheet`, `row`; every fact of the \
outlet model under its name (`yokecheck fields` lists them), null where none is recorded; `blank` and `unreadable`, \
the names of the facts whose cell is empty or could not be read, whereas a null fact in neither has no column in its \
schedule; `violations`, the number of violations listed under the row: that of a box, a circuit or a bed location \
stands with its first row, so that they add up. Lengths end in `_nm` \
and are whole nanometres, volts in `_mv` and thousandths, amperes in `_ma` and thousandths; a volume is in whole \
ten-thousandths (`_e4`) of the unit beside it (`_unit`, `in3` or `cm3`). Exact, so that a value at a printed limit \
equals it.
* `findings.parquet`: a line a violation or a question for the authority, with the columns of the CSV file of \
findings; lists are lists, `borderline` is true or false, `observed_on` a date.
* `tallies.parquet`: a line a rule and verdict: `project`, `audited_on`, `rule`, `defect_type`, `grade`, `verdict`, \
`count`. The five counts of a rule add up to the number of its subjects.
";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn row_groups_end_where_the_lines_do() {
        assert_eq!(group_end(0, 0), 0);
        assert_eq!(group_end(0, GROUP), GROUP);
        assert_eq!(group_end(GROUP, GROUP + 1), GROUP + 1);
    }
}
