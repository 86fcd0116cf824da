//! Walking a parsed TOML document: values of the right type, and an error with its place for any other.

use std::ops::Range;
use std::sync::Arc;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::mapping::error::{MappingError, Problem, Source, did_you_mean};

/// A value with its key.
#[derive(Clone, Copy)]
pub(in crate::mapping) struct Item<'t, 'i> {
    pub(in crate::mapping) key: &'t str,
    pub(in crate::mapping) key_span: (usize, usize),
    pub(in crate::mapping) value: &'t Spanned<DeValue<'i>>,
}

impl Item<'_, '_> {
    /// The bytes of the key.
    pub(in crate::mapping) const fn span(&self) -> Range<usize> {
        self.key_span.0..self.key_span.1
    }
}

/// The entries of a table in the order of the file.
pub(in crate::mapping) fn items<'t, 'i>(table: &'t DeTable<'i>) -> Vec<Item<'t, 'i>> {
    let mut items: Vec<_> = table
        .iter()
        .map(|(key, value)| Item {
            key: key.get_ref().as_ref(),
            key_span: (key.span().start, key.span().end),
            value,
        })
        .collect();
    items.sort_by_key(|item| item.key_span);
    items
}

/// The errors met so far, and the file in which they stand.
pub(in crate::mapping) struct Walk<'s> {
    pub(in crate::mapping) source: &'s Arc<Source>,
    pub(in crate::mapping) errors: Vec<MappingError>,
}

impl Walk<'_> {
    /// Notes an error.
    pub(in crate::mapping) fn error(
        &mut self,
        span: Range<usize>,
        problem: Problem,
        help: impl Into<Option<String>>,
    ) {
        self.errors.push(MappingError {
            source_file: Arc::clone(self.source),
            span: Some(span),
            problem,
            help: help.into(),
        });
    }

    /// Notes a key that the table does not have.
    pub(in crate::mapping) fn unknown_key(
        &mut self,
        item: Item<'_, '_>,
        table: &'static str,
        known: &[&str],
    ) {
        let help = did_you_mean(item.key, known.iter().copied())
            .unwrap_or_else(|| format!("the keys are {}", listed(known)));
        let problem = Problem::UnknownKey { key: item.key.to_owned(), table };
        self.error(item.span(), problem, help);
    }

    /// Notes a value that cannot be meant.
    pub(in crate::mapping) fn wrong_value(&mut self, item: Item<'_, '_>, help: impl Into<String>) {
        let span = item.value.span();
        let found = self.source.text[span.clone()].to_owned();
        let problem = Problem::WrongValue { key: item.key.to_owned(), found };
        self.error(span, problem, help.into());
    }

    /// Notes a value of another type than the expected one, which is named with its article.
    pub(in crate::mapping) fn wrong_type(&mut self, item: Item<'_, '_>, expected: &'static str) {
        let found = named(item.value.get_ref());
        let problem = Problem::WrongType { key: item.key.to_owned(), expected, found };
        self.error(item.value.span(), problem, None);
    }

    /// A table.
    pub(in crate::mapping) fn table<'t, 'i>(
        &mut self,
        item: Item<'t, 'i>,
    ) -> Option<Vec<Item<'t, 'i>>> {
        let table = item.value.get_ref().as_table();
        if table.is_none() {
            self.wrong_type(item, "a table");
        }
        table.map(items)
    }

    /// A text.
    pub(in crate::mapping) fn text<'t>(&mut self, item: Item<'t, '_>) -> Option<&'t str> {
        let text = item.value.get_ref().as_str();
        if text.is_none() {
            self.wrong_type(item, "a text");
        }
        text
    }

    /// A list of texts, or one text for a list of one, each with its place.
    pub(in crate::mapping) fn texts<'t>(
        &mut self,
        item: Item<'t, '_>,
    ) -> Vec<(&'t str, Range<usize>)> {
        let value = item.value.get_ref();
        let Some(list) = value.as_array() else {
            let one = value.as_str().map(|text| (text, item.value.span()));
            if one.is_none() {
                self.wrong_type(item, "a list of texts");
            }
            return one.into_iter().collect();
        };
        let mut texts = Vec::new();
        for value in list {
            match value.get_ref().as_str() {
                Some(text) => texts.push((text, value.span())),
                None => self.wrong_type(Item { value, ..item }, "a list of texts"),
            }
        }
        texts
    }

    /// A whole number from 1 to a limit.
    pub(in crate::mapping) fn whole(&mut self, item: Item<'_, '_>, limit: u32) -> Option<u32> {
        let Some(integer) = item.value.get_ref().as_integer() else {
            self.wrong_type(item, "a whole number");
            return None;
        };
        let number = u32::from_str_radix(integer.as_str(), integer.radix()).ok();
        let number = number.filter(|number| (1..=limit).contains(number));
        if number.is_none() {
            self.wrong_value(item, format!("it is a whole number from 1 to {limit}"));
        }
        number
    }

    /// Yes or no.
    pub(in crate::mapping) fn truth(&mut self, item: Item<'_, '_>) -> bool {
        let truth = item.value.get_ref().as_bool();
        if truth.is_none() {
            self.wrong_type(item, "true or false");
        }
        truth.unwrap_or_default()
    }

    /// A value as the text of a cell: a text, or a number, a truth value or a date as it is written.
    pub(in crate::mapping) fn scalar(&mut self, item: Item<'_, '_>) -> Option<String> {
        match item.value.get_ref() {
            DeValue::String(text) => Some(text.to_string()),
            DeValue::Array(_) | DeValue::Table(_) => {
                self.wrong_type(item, "a text, a number, true, false or a date");
                None
            }
            _ => self.source.text.get(item.value.span()).map(ToOwned::to_owned),
        }
    }
}

/// The type of a value, with its article.
fn named(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// Words as people list them: "`a`, `b` and `c`".
pub(in crate::mapping) fn listed(words: &[&str]) -> String {
    let quoted: Vec<_> = words.iter().map(|word| format!("`{word}`")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => quoted.concat(),
    }
}
