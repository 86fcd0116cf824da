//! What the reader of workbooks found in a cell, as a [`Cell`].

use std::fmt::Write;

use calamine::{CellErrorType, Data, DataRef, ExcelDateTime};
use jiff::SignedDuration;
use jiff::civil::DateTime;

use super::{Cell, Row};

const SECONDS_PER_DAY: f64 = 86_400.0;

/// Puts a value of a streamed sheet into a row.
pub(super) fn put_streamed(row: &mut Row, column: u32, value: &DataRef<'_>) {
    match value {
        DataRef::Empty => {}
        DataRef::String(text) => row.set(column, Cell::Text(text)),
        DataRef::SharedString(text) => row.set(column, Cell::Text(text)),
        DataRef::Float(number) => row.set(column, Cell::Number(*number)),
        DataRef::Int(number) => row.set(column, whole(*number)),
        DataRef::Bool(truth) => row.set(column, Cell::Boolean(*truth)),
        DataRef::Error(error) => row.set(column, Cell::Error(error_text(error))),
        DataRef::DateTime(serial) => put_serial(row, column, *serial),
        DataRef::DateTimeIso(text) => put_date(row, column, text),
        DataRef::DurationIso(text) => put_duration(row, column, text),
    }
}

/// Puts a value of a sheet that is held whole into a row.
pub(super) fn put(row: &mut Row, column: u32, value: &Data) {
    match value {
        Data::Empty => {}
        Data::String(text) => row.set(column, Cell::Text(text)),
        Data::Float(number) => row.set(column, Cell::Number(*number)),
        Data::Int(number) => row.set(column, whole(*number)),
        Data::Bool(truth) => row.set(column, Cell::Boolean(*truth)),
        Data::Error(error) => row.set(column, Cell::Error(error_text(error))),
        Data::DateTime(serial) => put_serial(row, column, *serial),
        Data::DateTimeIso(text) => put_date(row, column, text),
        Data::DurationIso(text) => put_duration(row, column, text),
    }
}

#[expect(clippy::cast_precision_loss, reason = "a spreadsheet itself computes in 64-bit floats")]
fn whole(number: i64) -> Cell<'static> {
    Cell::Number(number as f64)
}

fn error_text(error: &CellErrorType) -> &'static str {
    match error {
        CellErrorType::Div0 => "#DIV/0!",
        CellErrorType::NA => "#N/A",
        CellErrorType::Name => "#NAME?",
        CellErrorType::Null => "#NULL!",
        CellErrorType::Num => "#NUM!",
        CellErrorType::Ref => "#REF!",
        CellErrorType::Value => "#VALUE!",
        CellErrorType::GettingData => "#DATA!",
    }
}

/// A number under a date format: a date; under a format of elapsed time, or below one day, a time
/// as text; outside the calendar of spreadsheets the bare number.
fn put_serial(row: &mut Row, column: u32, serial: ExcelDateTime) {
    let number = serial.as_f64();
    if serial.is_duration() || (0.0..1.0).contains(&number) {
        return match SignedDuration::try_from_secs_f64((number * SECONDS_PER_DAY).round()) {
            Ok(duration) => row.set(column, Cell::Text(&clock(duration))),
            Err(_) => row.set(column, Cell::Number(number)),
        };
    }
    row.set(column, date(serial).map_or(Cell::Number(number), Cell::Date));
}

fn date(serial: ExcelDateTime) -> Option<DateTime> {
    // Beyond 9999-12-31 the conversion would quietly give another day.
    if !(1.0..2_958_466.0).contains(&serial.as_f64()) {
        return None;
    }
    let (year, month, day, hour, minute, second, milli) = serial.to_ymd_hms_milli();
    DateTime::new(
        i16::try_from(year).ok()?,
        i8::try_from(month).ok()?,
        i8::try_from(day).ok()?,
        i8::try_from(hour).ok()?,
        i8::try_from(minute).ok()?,
        i8::try_from(second).ok()?,
        i32::from(milli) * 1_000_000,
    )
    .ok()
}

/// A date in the words of ISO 8601; anything else, such as a time alone, stays a text.
fn put_date(row: &mut Row, column: u32, text: &str) {
    let parsed = text.trim_end_matches('Z').parse::<DateTime>();
    row.set(column, parsed.map_or(Cell::Text(text), Cell::Date));
}

fn put_duration(row: &mut Row, column: u32, text: &str) {
    match text.parse::<SignedDuration>() {
        Ok(duration) => row.set(column, Cell::Text(&clock(duration))),
        Err(_) => row.set(column, Cell::Text(text)),
    }
}

/// Hours, minutes and seconds: `26:30:00`.
fn clock(duration: SignedDuration) -> String {
    let seconds = duration.as_secs().unsigned_abs();
    let sign = if duration.is_negative() { "-" } else { "" };
    let mut text = String::new();
    let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    // Writing to a string cannot fail.
    let _ = write!(text, "{sign}{hours:02}:{minutes:02}:{seconds:02}");
    text
}

#[cfg(test)]
mod tests {
    use calamine::ExcelDateTimeType::{DateTime as Date, TimeDelta};
    use jiff::civil::date;

    use super::*;

    fn cell(value: &Data) -> Row {
        let mut row = Row::of(1, &[]);
        put(&mut row, 0, value);
        row
    }

    /// Day numbers from ECMA-376 part 1, 18.17.4.1 to 18.17.4.3: 2008-03-11 counts 39518 from 1900
    /// on; the epoch of 1904 lies 1462 days later. Both from memory.
    #[test]
    fn day_numbers_in_both_epochs() {
        for (number, is_1904) in [(39_518.0, false), (38_056.0, true)] {
            let row = cell(&Data::DateTime(ExcelDateTime::new(number, Date, is_1904)));
            assert_eq!(row.cell(0), Cell::Date(date(2008, 3, 11).at(0, 0, 0, 0)));
        }
    }

    #[test]
    fn times_and_durations_are_texts() {
        let cases = [
            (Data::DateTime(ExcelDateTime::new(0.5, Date, false)), "12:00:00"),
            (Data::DateTime(ExcelDateTime::new(1.104_166_666_7, TimeDelta, false)), "26:30:00"),
            (Data::DurationIso("PT10H10M10S".to_owned()), "10:10:10"),
            (Data::DateTimeIso("10:10:10".to_owned()), "10:10:10"),
        ];
        for (value, expected) in cases {
            assert_eq!(cell(&value).cell(0), Cell::Text(expected));
        }
    }

    #[test]
    fn what_no_calendar_holds_stays_a_number() {
        for number in [60.0, -3.0, 4_000_000.0, f64::NAN] {
            let row = cell(&Data::DateTime(ExcelDateTime::new(number, Date, false)));
            let Cell::Number(kept) = row.cell(0) else { panic!("{:?}", row.cell(0)) };
            assert!(kept.to_bits() == number.to_bits());
        }
    }

    #[test]
    fn iso_dates_with_and_without_a_time() {
        let cases = [
            ("2021-01-01", date(2021, 1, 1).at(0, 0, 0, 0)),
            ("2021-01-01T10:10:10Z", date(2021, 1, 1).at(10, 10, 10, 0)),
        ];
        for (text, expected) in cases {
            assert_eq!(cell(&Data::DateTimeIso(text.to_owned())).cell(0), Cell::Date(expected));
        }
    }
}
