//! Days.

use jiff::civil;

use super::Why;
use super::text::is_dash;

/// Which of day and month stands first where both are figures.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum DateOrder {
    /// `31/03/2026`
    DayFirst,
    /// `3/31/2026`
    MonthFirst,
}

/// Reads a day, counted from 1970-01-01; a time of day behind it is left aside.
///
/// A year has four figures. With dots the day stands first; with strokes or hyphens it does when the
/// mapping says so or when no other order makes a date.
pub(super) fn read(text: &str, order: Option<DateOrder>) -> Result<i64, Why> {
    let mut parts = [""; 3];
    let mut pieces = text.split(|c: char| is_dash(c) || c.is_whitespace() || "/.,".contains(c));
    let mut pieces = pieces.by_ref().filter(|piece| !piece.is_empty());
    for part in &mut parts {
        *part = pieces.next().ok_or(Why::NotDate)?;
    }
    // The time of an export: 2026-03-31T00:00:00 or 2026-03-31 00:00:00.
    let [first, second, third] = parts;
    let last = third.split_once('T').map_or(third, |(day, _)| day);
    if pieces.next().is_some_and(|time| !time.contains(':')) || !pieces.all(is_of_time) {
        return Err(Why::NotDate);
    }
    if let Some(month) = month_named(second) {
        let (year, day) = if first.len() == 4 { (first, last) } else { (last, first) };
        return days(day_of(year, month, day)?);
    }
    if let Some(month) = month_named(first) {
        return days(day_of(last, month, second)?);
    }
    if first.len() == 4 {
        return days(day_of(first, figure(second)?, last)?);
    }
    let order = order.or_else(|| text.contains('.').then_some(DateOrder::DayFirst));
    let day_first = figure(second).and_then(|month| day_of(last, month, first));
    let month_first = figure(first).and_then(|month| day_of(last, month, second));
    match order {
        Some(DateOrder::DayFirst) => days(day_first?),
        Some(DateOrder::MonthFirst) => days(month_first?),
        None => match (day_first, month_first) {
            (Ok(one), Ok(other)) if one != other => Err(Why::DateOrder),
            (Ok(day), _) | (_, Ok(day)) => days(day),
            (Err(why), Err(_)) => Err(why),
        },
    }
}

/// Seconds, a zone, or the half of the day, behind a time.
fn is_of_time(piece: &str) -> bool {
    piece.starts_with(|first: char| first.is_ascii_digit())
        || ["am", "pm", "z"].iter().any(|known| known.eq_ignore_ascii_case(piece))
}

fn day_of(year: &str, month: i8, day: &str) -> Result<civil::Date, Why> {
    if year.len() != 4 || !year.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(Why::NotDate);
    }
    let year = year.parse().map_err(|_| Why::NotDate)?;
    civil::Date::new(year, month, figure(day)?).map_err(|_| Why::NotDate)
}

/// A day or a month: one figure or two.
fn figure(text: &str) -> Result<i8, Why> {
    if text.len() > 2 || !text.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(Why::NotDate);
    }
    text.parse().map_err(|_| Why::NotDate)
}

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// The month of an English name, whole or cut to three letters (or `Sept`).
fn month_named(text: &str) -> Option<i8> {
    let short = |name: &str| text.eq_ignore_ascii_case(&name[..3]);
    let is = |name: &str| short(name) || text.eq_ignore_ascii_case(name);
    let place = MONTHS.iter().zip(1..).find(|(name, _)| is(name));
    place.map(|(_, month)| month).or_else(|| text.eq_ignore_ascii_case("sept").then_some(9))
}

fn days(day: civil::Date) -> Result<i64, Why> {
    let epoch = civil::date(1970, 1, 1);
    day.since((jiff::Unit::Day, epoch))
        .map(|span| i64::from(span.get_days()))
        .map_err(|_| Why::NotDate)
}
