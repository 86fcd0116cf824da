//! Files of rulings of the authority having jurisdiction: which finding it approved, refused or deferred.
//!
//! Owns their columns and the errors in them, all at once and each with its line. Which finding a ruling is
//! about, and what it does, is the business of the rulings room.

use std::path::Path;

use super::error::did_you_mean;
use super::side_table::{self, SideRow, SideTable, SideTableError};
use crate::outlet::Date;

/// The columns of a file of rulings.
pub const COLUMNS: [&str; 11] = [
    "rule",
    "outlet_id",
    "building",
    "floor",
    "room",
    "trade",
    "ruling",
    "by",
    "reference",
    "date",
    "until",
];
/// The words of the column `ruling`.
pub const RULINGS: [&str; 3] = ["approved", "refused", "deferred"];

/// One ruling as its file says it; empty texts say nothing.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct RulingLine {
    /// Its line or row, from 1.
    pub line: u32,
    /// The rule.
    pub rule: String,
    /// The outlet.
    pub outlet_id: String,
    /// The building.
    pub building: String,
    /// The storey.
    pub floor: String,
    /// The room.
    pub room: String,
    /// The trade.
    pub trade: String,
    /// Which of [`RULINGS`], as a place in that list.
    pub ruling: usize,
    /// Who ruled.
    pub by: String,
    /// Number or name of the ruling.
    pub reference: String,
    /// Its day.
    pub date: Option<Date>,
    /// The last day on which it holds.
    pub until: Option<Date>,
}

/// The rulings of a file.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct RulingsFile {
    /// The file.
    pub path: String,
    /// Its rulings.
    pub lines: Vec<RulingLine>,
    /// Headers that mean nothing here.
    pub other_headers: Vec<String>,
}

/// Why a file of rulings cannot be used.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
pub enum RulingsError {
    /// It is no table of rulings.
    #[error(transparent)]
    Table(#[from] SideTableError),
    /// Some of its lines cannot be understood.
    #[error("{}", .0.join("\n"))]
    Lines(Vec<String>),
}

/// Reads a file of rulings; all its errors at once.
pub fn open(path: &Path, rules: &[&str]) -> Result<RulingsFile, RulingsError> {
    let table = SideTable::open(path, &["rule", "ruling"])?;
    let mut errors = Vec::new();
    let mut lines = Vec::new();
    for row in table.rows() {
        match line(row, rules) {
            Ok(line) => lines.push(line),
            Err(more) => errors.extend(
                more.into_iter()
                    .map(|what| format!("{}, line {}: {what}", table.path, row.number())),
            ),
        }
    }
    let other_headers = table.other_headers(&COLUMNS);
    for header in &other_headers {
        if let Some(nearest) = did_you_mean(header, COLUMNS) {
            errors.push(format!("{}: no column is called `{header}`; {nearest}", table.path));
        }
    }
    if errors.is_empty() {
        Ok(RulingsFile { path: table.path, lines, other_headers })
    } else {
        Err(RulingsError::Lines(errors))
    }
}

fn line(row: SideRow<'_>, rules: &[&str]) -> Result<RulingLine, Vec<String>> {
    let mut errors = Vec::new();
    let rule = row.text("rule").to_lowercase();
    if !rules.contains(&rule.as_str()) {
        let nearest = did_you_mean(&rule, rules.iter().copied());
        let hint = nearest.unwrap_or_else(|| "`yokecheck rules` lists them".to_owned());
        errors.push(format!("there is no rule named `{rule}`; {hint}"));
    }
    let word = row.text("ruling").to_lowercase();
    let ruling = RULINGS.iter().position(|ruling| *ruling == word).unwrap_or_else(|| {
        errors.push(format!("`{word}` is no ruling; write {}", RULINGS.join(", ")));
        0
    });
    let mut day = |column: &str| {
        side_table::day(&row.text(column)).unwrap_or_else(|text| {
            errors.push(format!(
                "`{text}` in the column `{column}` is no day; write it as 2026-03-31"
            ));
            None
        })
    };
    let (date, until) = (day("date"), day("until"));
    if date.zip(until).is_some_and(|(date, until)| until < date) {
        errors.push("it ends before its own date".to_owned());
    }
    let line = RulingLine {
        line: row.number(),
        rule,
        outlet_id: row.text("outlet_id"),
        building: row.text("building"),
        floor: row.text("floor"),
        room: row.text("room"),
        trade: row.text("trade"),
        ruling,
        by: row.text("by"),
        reference: row.text("reference"),
        date,
        until,
    };
    let somewhere = [&line.outlet_id, &line.building, &line.floor, &line.room, &line.trade];
    if somewhere.iter().all(|text| text.is_empty()) {
        errors.push(
            "it names no outlet_id, building, floor, room or trade, so it would hold everywhere; \
             name what it is about"
                .to_owned(),
        );
    }
    if errors.is_empty() { Ok(line) } else { Err(errors) }
}
