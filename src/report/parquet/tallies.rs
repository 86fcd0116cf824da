//! The table of tallies: how often each rule gave each verdict. It carries project and date, so that
//! the tables of many audits can be told apart when they are added up.

use jiff::civil::Date;
use polars::prelude::{Column, DataFrame, DataType, PolarsResult};

use crate::report::context::Report;
use crate::rules::VerdictKind;

use super::counts;

/// All tallies, in the order of the run.
pub(super) fn frame(report: &Report<'_>) -> PolarsResult<DataFrame> {
    let lines: Vec<_> = report
        .audit
        .tallies
        .iter()
        .flat_map(|tally| VerdictKind::ALL.map(|kind| (tally.rule, kind, tally.count(kind))))
        .collect();
    let text = |name: &str, texts: Vec<&str>| Column::new(name.into(), texts);
    let context = report.context;
    let project = (!context.project.is_empty()).then_some(context.project.as_str());
    let audited_on = days(context.date);
    DataFrame::new_infer_height(vec![
        Column::new("project".into(), vec![project; lines.len()]),
        Column::new("audited_on".into(), vec![audited_on; lines.len()]).cast(&DataType::Date)?,
        text("rule", lines.iter().map(|(rule, ..)| rule.name).collect()),
        text("defect_type", lines.iter().map(|(rule, ..)| rule.defect.word()).collect()),
        text("grade", lines.iter().map(|(rule, ..)| rule.grade.word()).collect()),
        text("verdict", lines.iter().map(|(_, kind, _)| kind.word()).collect()),
        counts("count", lines.iter().map(|line| line.2)),
    ])
}

/// Days since 1970-01-01, as Parquet counts them.
fn days(date: Date) -> i32 {
    let days = date.duration_since(jiff::civil::date(1970, 1, 1)).as_hours() / 24;
    i32::try_from(days).unwrap_or_default()
}
