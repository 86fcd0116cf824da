//! The table of findings: the columns of the JSON lines, typed.

use std::ops::Range;

use polars::prelude::{Column, DataFrame, DataType, PolarsResult};

use crate::report::context::Report;
use crate::report::finding_line::FindingLine;

use super::{counts, lists};

/// The findings of some places of the list.
pub(super) fn frame(report: &Report<'_>, places: Range<usize>) -> PolarsResult<DataFrame> {
    let findings = report.audit.findings[places].iter();
    let lines: Vec<FindingLine<'_>> =
        findings.map(|finding| FindingLine::of(report, finding)).collect();
    let table = Lines(&lines);
    DataFrame::new_infer_height(vec![
        table.text("rule", |line| Some(line.rule)),
        table.text("verdict", |line| Some(line.verdict)),
        table.text("grade", |line| line.grade),
        table.text("defect_type", |line| Some(line.defect_type)),
        table.text("citation", |line| Some(&line.citation)),
        lists("edition", lines.iter().map(|line| Some(line.edition.clone()))),
        table.text("subject_kind", |line| Some(line.subject_kind)),
        table.text("subject", |line| Some(&line.subject)),
        table.text("outlet_id", |line| line.outlet_id),
        table.texts("others", |line| &line.others),
        table.number("quantity", |line| line.quantity),
        table.text("building", |line| line.building),
        table.text("floor", |line| line.floor),
        table.text("room", |line| line.room),
        table.text("trade", |line| line.trade),
        table.text("corrects", |line| Some(line.corrects)),
        table.text("installer", |line| line.installer),
        table.text("measured", |line| line.measured.as_deref()),
        table.text("limit", |line| line.limit.as_deref()),
        table.text("message", |line| Some(&line.message)),
        table.text("remedy", |line| Some(line.remedy)),
        Column::new(
            "borderline".into(),
            lines.iter().map(|line| line.borderline).collect::<Vec<bool>>(),
        ),
        table.days()?,
        table.text("observed_by", |line| line.observed_by),
        table.text("evidence", |line| line.evidence),
        table.text("source", |line| Some(line.source)),
        table.text("sheet", |line| line.sheet),
        table.number("row", |line| line.row.into()),
        table.texts("cells", |line| &line.cells),
    ])
}

struct Lines<'l, 'a>(&'l [FindingLine<'a>]);

impl<'l, 'a> Lines<'l, 'a> {
    fn text(&self, name: &str, text: impl Fn(&'l FindingLine<'a>) -> Option<&'l str>) -> Column {
        Column::new(name.into(), self.0.iter().map(text).collect::<Vec<Option<&str>>>())
    }

    fn texts(&self, name: &str, texts: impl Fn(&'l FindingLine<'a>) -> &'l [String]) -> Column {
        let texts = self.0.iter().map(|line| texts(line).iter().map(String::as_str).collect());
        lists(name, texts.map(Some))
    }

    fn number(&self, name: &str, number: impl Fn(&FindingLine<'_>) -> u64) -> Column {
        counts(name, self.0.iter().map(number))
    }

    fn days(&self) -> PolarsResult<Column> {
        let days = self.0.iter().map(|line| line.observed_on.map(|day| day.0));
        Column::new("observed_on".into(), days.collect::<Vec<Option<i32>>>()).cast(&DataType::Date)
    }
}
