//! The table of outlets: every fact of the model as a typed column.

use std::ops::Range;

use polars::prelude::{Column, DataFrame, DataType, NamedFrom, PolarsResult, Series};

use crate::audit::Audit;
use crate::outlet::{
    Configuration, Date, Fact, Field, Gauge, Kind, Outlet, Text, Texts, Value as _, Volume,
    Word as _,
};
use crate::report::context::Report;
use crate::rules::VerdictKind;

use super::{counts, lists};

/// How many violations are listed under the row of each outlet; they add up to all violations.
pub(super) fn violations(audit: &Audit) -> Vec<u64> {
    let mut counts = vec![0; audit.outlets.len()];
    for finding in audit.findings.iter().filter(|one| one.kind() == VerdictKind::Violates) {
        counts[finding.first() as usize] += 1;
    }
    counts
}

/// The outlets of some places of the list.
pub(super) fn frame(
    report: &Report<'_>,
    violations: &[u64],
    places: Range<usize>,
) -> PolarsResult<DataFrame> {
    let account = report.account;
    let outlets = &report.audit.outlets[places.clone()];
    let table = Rows { outlets, texts: &report.audit.texts };
    let origins = || outlets.iter().map(|outlet| outlet.origin);
    let sheets = origins().map(|origin| Some(account.sheet_name(origin)));
    let sheets: Vec<Option<&str>> =
        sheets.map(|sheet| sheet.filter(|name| !name.is_empty())).collect();
    let mut columns = vec![
        Column::new("source".into(), origins().map(|one| account.path(one)).collect::<Vec<_>>()),
        Column::new("sheet".into(), sheets),
        counts("row", origins().map(|one| one.row.into())),
    ];
    for field in Field::ALL {
        columns.extend(table.fact(*field)?);
    }
    columns.push(table.unknown("blank", Fact::Blank));
    columns.push(table.unknown("unreadable", Fact::Unreadable));
    columns.push(counts("violations", violations[places].iter().copied()));
    DataFrame::new_infer_height(columns)
}

/// A part of the outlets, with the texts of all.
struct Rows<'a> {
    outlets: &'a [Outlet],
    texts: &'a Texts,
}

impl Rows<'_> {
    /// The columns of a fact: one; of a volume two.
    fn fact(&self, field: Field) -> PolarsResult<Vec<Column>> {
        let name = field.name();
        let same = |raw| raw;
        let column = match field.kind() {
            Kind::Text => self.column(name, field, |raw| self.texts.get(Text::from_raw(raw))),
            Kind::Count => self.column(name, field, same),
            Kind::YesNo => self.column(name, field, |raw| raw != 0),
            Kind::Word(words) => self.column(name, field, |raw| word(words, raw)),
            Kind::Words(words) => self.sets(field, words),
            Kind::Length => self.column(&format!("{name}_nm"), field, same),
            Kind::Voltage => self.column(&format!("{name}_mv"), field, same),
            Kind::Current => self.column(&format!("{name}_ma"), field, same),
            Kind::Date => {
                self.column(name, field, |raw| Date::from_raw(raw).0).cast(&DataType::Date)?
            }
            Kind::Awg => self.column(name, field, |raw| Gauge::from_raw(raw).word()),
            Kind::Configuration => self.configurations(field),
            Kind::Volume => return Ok(self.volumes(field).into()),
        };
        Ok(vec![column])
    }

    fn column<T>(&self, name: &str, field: Field, value: impl Fn(i64) -> T) -> Column
    where
        Series: NamedFrom<Vec<Option<T>>, [Option<T>]>,
    {
        let facts = self.outlets.iter().map(|outlet| outlet.raw(field).known());
        Column::new(name.into(), facts.map(|fact| fact.map(&value)).collect::<Vec<Option<T>>>())
    }

    /// A set without a word is an empty list; one that is not recorded is null.
    fn sets(&self, field: Field, words: &[&str]) -> Column {
        let facts = self.outlets.iter().map(|outlet| outlet.raw(field).known());
        let chosen = |mask: i64| (0..).zip(words).filter(move |(bit, _)| mask & (1 << bit) != 0);
        let chosen_words =
            facts.map(|fact| fact.map(|mask| chosen(mask).map(|(_, word)| *word).collect()));
        lists(field.name(), chosen_words)
    }

    fn configurations(&self, field: Field) -> Column {
        let print = |raw| Configuration::from_raw(raw).to_string();
        let facts = self.outlets.iter().map(|outlet| outlet.raw(field).known());
        let texts: Vec<Option<String>> = facts.map(|fact| fact.map(print)).collect();
        let texts: Vec<Option<&str>> = texts.iter().map(Option::as_deref).collect();
        Column::new(field.name().into(), texts)
    }

    fn volumes(&self, field: Field) -> [Column; 2] {
        let name = field.name();
        let amount = |raw| Volume::from_raw(raw).amount;
        let unit = |raw| Volume::from_raw(raw).unit.symbol();
        [
            self.column(&format!("{name}_e4"), field, amount),
            self.column(&format!("{name}_unit"), field, unit),
        ]
    }

    /// The names of the facts that are unknown in this way.
    fn unknown(&self, name: &str, how: Fact<i64>) -> Column {
        let fields = |outlet: &Outlet| {
            let fields = Field::ALL.iter().filter(|field| outlet.raw(**field) == how);
            Some(fields.map(|field| field.name()).collect())
        };
        lists(name, self.outlets.iter().map(fields))
    }
}

fn word(words: &'static [&'static str], raw: i64) -> &'static str {
    usize::try_from(raw).ok().and_then(|place| words.get(place)).copied().unwrap_or_default()
}
