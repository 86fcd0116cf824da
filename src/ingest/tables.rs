//! The table of outlets of an earlier audit, `outlets.parquet`, read back as the schedule that it was.
//!
//! The table holds exact integers under names that end in their unit; here they become cells as a person
//! would type them, below headers without that end. Lists become texts. What is null is an empty cell.

use std::fs::File;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::{Path, PathBuf};
use std::thread;

use polars::prelude::{AnyValue, DataFrame, ParquetReader, SerReader};

use super::{Cell, IngestError, Row, Rows};

/// Columns that tell a table of outlets from any other.
const OURS: [&str; 4] = ["source", "outlet_id", "blank", "unreadable"];
/// Lines that are held in memory at once.
const LINES: usize = 50_000;

/// The lines of a table of outlets, below a row of headers.
pub(super) struct TableRows {
    path: PathBuf,
    part: DataFrame,
    /// The lines before the part at hand.
    before: usize,
    lines: usize,
    next: usize,
}

impl TableRows {
    pub(super) fn open(path: &Path, file: File) -> Result<Self, IngestError> {
        let (part, lines) = guarded(path, || {
            let lines = ParquetReader::new(file.try_clone()?).num_rows()?;
            Ok((ParquetReader::new(file).with_slice(Some((0, LINES))).finish()?, lines))
        })?;
        let has = |name: &str| part.column(name).is_ok();
        if !OURS.iter().all(|name| has(name)) {
            let kind = "a Parquet file that is no table of outlets of an earlier audit";
            return Err(IngestError::Unsupported { path: path.to_path_buf(), kind });
        }
        Ok(Self { path: path.to_path_buf(), part, before: 0, lines, next: 0 })
    }

    /// Reads the part of the table in which the next line stands.
    #[expect(clippy::disallowed_methods, reason = "this room reads the inputs")]
    fn advance(&mut self) -> Result<(), IngestError> {
        let from = self.next - 1;
        if from < self.before + self.part.height() {
            return Ok(());
        }
        self.part = guarded(&self.path, || {
            let file = File::open(&self.path)?;
            ParquetReader::new(file).with_slice(Some((from, LINES))).finish()
        })?;
        self.before = from;
        Ok(())
    }

    fn headers(&self, row: &mut Row) {
        for (place, column) in (0..).zip(self.part.columns()) {
            row.set(place, Cell::Text(Unit::of(column.name()).0));
        }
    }

    fn line(&self, line: usize, row: &mut Row) -> Result<(), IngestError> {
        for (place, column) in (0..).zip(self.part.columns()) {
            let (name, unit) = Unit::of(column.name());
            let value =
                column.get(line).map_err(|error| IngestError::broken(&self.path, &error))?;
            let beside = match unit {
                Some(Unit::TenThousandths) => self.part.column(&format!("{name}_unit")).ok(),
                _ => None,
            };
            let beside = beside.and_then(|column| column.get(line).ok());
            row.set(place, Cell::Text(&text(&value, unit, beside.as_ref())));
        }
        Ok(())
    }
}

impl Rows for TableRows {
    fn next(&mut self, row: &mut Row) -> Result<bool, IngestError> {
        let number = u32::try_from(self.next + 1).unwrap_or(u32::MAX);
        row.restart(number);
        if self.next == 0 {
            self.headers(row);
        } else if self.next > self.lines {
            return Ok(false);
        } else {
            self.advance()?;
            self.line(self.next - 1 - self.before, row)?;
        }
        self.next += 1;
        Ok(true)
    }
}

/// The unit in which a column counts.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Unit {
    Nanometres,
    Millivolts,
    Milliamperes,
    /// Of the unit in the column beside it.
    TenThousandths,
}

impl Unit {
    /// The name of a column without its unit, and that unit.
    fn of(name: &str) -> (&str, Option<Self>) {
        let units = [
            ("_nm", Self::Nanometres),
            ("_mv", Self::Millivolts),
            ("_ma", Self::Milliamperes),
            ("_e4", Self::TenThousandths),
        ];
        let found = units.into_iter().find_map(|(end, unit)| Some((name.strip_suffix(end)?, unit)));
        found.map_or((name, None), |(name, unit)| (name, Some(unit)))
    }
}

/// A value as a person would type it.
fn text(value: &AnyValue<'_>, unit: Option<Unit>, beside: Option<&AnyValue<'_>>) -> String {
    let number = |scale: u32, unit: &str| match value.try_extract::<i64>() {
        Ok(count) => format!("{} {unit}", decimal(count, scale)),
        Err(_) => String::new(),
    };
    match (value, unit) {
        (AnyValue::Null, _) => String::new(),
        (_, Some(Unit::Nanometres)) => number(6, "mm"),
        (_, Some(Unit::Millivolts)) => number(3, "V"),
        (_, Some(Unit::Milliamperes)) => number(3, "A"),
        (_, Some(Unit::TenThousandths)) => {
            number(4, beside.and_then(AnyValue::get_str).unwrap_or_default())
        }
        (AnyValue::String(text), None) => (*text).to_owned(),
        (AnyValue::StringOwned(text), None) => text.to_string(),
        (AnyValue::Boolean(truth), None) => if *truth { "yes" } else { "no" }.to_owned(),
        (AnyValue::List(words), None) => {
            let words: Vec<String> =
                words.iter().filter_map(|word| Some(word.get_str()?.to_owned())).collect();
            if words.is_empty() { "none".to_owned() } else { words.join(", ") }
        }
        (other, None) => other.to_string(),
    }
}

/// An integer with its last digits behind the point, as short as it is true.
fn decimal(count: i64, places: u32) -> String {
    let scale = 10_u64.pow(places);
    let (whole, rest) = (count.unsigned_abs() / scale, count.unsigned_abs() % scale);
    let sign = if count < 0 { "-" } else { "" };
    let text = format!("{sign}{whole}.{rest:0width$}", width = places as usize);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Calls into the reader of tables, which may panic on a damaged file.
///
/// It works on threads of its own. A thread of ours that waited for them would take up other work meanwhile,
/// perhaps for the very reader that it holds; so a thread that has nothing else to do waits.
fn guarded<T: Send>(
    path: &Path,
    call: impl FnOnce() -> Result<T, polars::prelude::PolarsError> + Send,
) -> Result<T, IngestError> {
    let call = || super::workbook::quietly(|| catch_unwind(AssertUnwindSafe(call)));
    let outcome = thread::scope(|scope| scope.spawn(call).join());
    match outcome.unwrap_or_else(|panic| resume_unwind(panic)) {
        Ok(Ok(value)) => Ok(value),
        Ok(Err(error)) => Err(IngestError::broken(path, &error)),
        Err(_) => Err(IngestError::broken(path, &"its parts contradict each other")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn integers_are_printed_exactly() {
        for (count, places, wanted) in
            [(6_350_000, 6, "6.35"), (-381_000, 6, "-0.381"), (0, 6, "0"), (277_000, 3, "277")]
        {
            assert_eq!(decimal(count, places), wanted);
        }
    }
}
