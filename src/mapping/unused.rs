//! Lines of mapping files that were of no use in a whole run: a slip in the mapping, or a schedule
//! that has changed.

use std::sync::Arc;

use super::account::Account;
use super::error::{MappingError, Problem, did_you_mean};
use super::file::{ColumnLine, Line, MappingFile, WordLine};
use super::read::WordMap;
use super::recognise::Library;

/// The columns of given mappings whose fields no sheet that was read with them has.
///
/// These are errors: a fact that the user expects would silently be missing. A column whose field
/// another column gives is another spelling, and one that is optional may be missing.
pub(super) fn columns_nowhere(
    library: &Library,
    account: &Account,
) -> Result<(), Vec<MappingError>> {
    let used = library.given.iter().filter(|mapping| mapping.used.is_used());
    let errors: Vec<_> = used
        .flat_map(|mapping| missing(mapping).map(|line| nowhere(mapping, line, account)))
        .collect();
    if errors.is_empty() { Ok(()) } else { Err(errors) }
}

/// The columns that no sheet has and whose fields no other column gives.
fn missing(mapping: &MappingFile) -> impl Iterator<Item = &Line<ColumnLine>> {
    let read = || mapping.columns.iter().filter(|line| line.is_used());
    mapping.columns.iter().filter(move |line| {
        let given = |field| {
            let readings = || read().flat_map(|line| &line.says.readings);
            readings().any(|reading| reading.field == field)
        };
        let fields = &line.says.readings;
        let describes = line.says.describe.is_some();
        let says_something = describes || !fields.is_empty();
        let expected = !line.is_used() && !line.says.optional && says_something;
        let by_others = !describes && fields.iter().all(|reading| given(reading.field));
        read().next().is_some() && expected && !by_others
    })
}

fn nowhere(mapping: &MappingFile, line: &Line<ColumnLine>, account: &Account) -> MappingError {
    let header = &line.says.header;
    let columns = account.sheets().flat_map(|sheet| &sheet.columns);
    let unread = columns.filter(|column| column.field.is_none());
    let help = did_you_mean(header, unread.map(|column| column.header.as_str()));
    let otherwise = "write `optional = true` where a schedule may do without it";
    MappingError {
        source_file: Arc::clone(&mapping.source),
        span: Some(line.span.clone()),
        problem: Problem::ColumnNowhere(header.clone()),
        help: Some(help.unwrap_or_else(|| otherwise.to_owned())),
    }
}

/// A remark for each line that was of no use, in the order of the files.
///
/// A built-in mapping is made for many schedules, so that only its missing columns are worth a word.
pub(super) fn remarks(library: &Library) -> Vec<String> {
    let given = library.given.iter().flat_map(|mapping| {
        if mapping.used.is_used() {
            lines(mapping)
        } else {
            vec![format!("{}: the mapping recognised no sheet", mapping.source.path)]
        }
    });
    let shipped = library.shipped.iter().filter(|mapping| mapping.used.is_used());
    let columns =
        shipped.flat_map(|mapping| missing(mapping).map(|line| column_remark(mapping, line)));
    given.chain(columns).collect()
}

fn lines(mapping: &MappingFile) -> Vec<String> {
    let mut found = Vec::new();
    for line in &mapping.columns {
        if line.is_used() {
            let phrases = line.says.describe.iter().flat_map(|phrases| &phrases.lines);
            for phrase in phrases.filter(|phrase| !phrase.is_used()) {
                let what = format!("no cell says `{}`", phrase.says.phrase);
                found.push((phrase.span.start, remark(mapping, phrase.span.start, &what)));
            }
            for reading in &line.says.readings {
                let words = reading.words.as_ref();
                let unused = reading.own_words.iter().filter(|word| is_unused(word, words));
                found.extend(unused.map(|word| (word.span.start, word_remark(mapping, word))));
            }
        } else if !line.says.optional {
            found.push((line.span.start, column_remark(mapping, line)));
        }
    }
    for words in &mapping.words {
        let readings = mapping.columns.iter().flat_map(|line| &line.says.readings);
        let of_field = readings.filter(|reading| reading.field == words.field);
        let mut maps: Vec<_> = of_field.map(|reading| reading.words.as_ref()).collect();
        maps.push(Some(&words.map));
        let unused = words.lines.iter().filter(|word| maps.iter().all(|map| is_unused(word, *map)));
        found.extend(unused.map(|word| (word.span.start, word_remark(mapping, word))));
    }
    for line in mapping.table.stop_at.iter().chain(&mapping.table.skip) {
        if !line.is_used() {
            let what = format!("no row begins with `{}`", line.says);
            found.push((line.span.start, remark(mapping, line.span.start, &what)));
        }
    }
    for line in mapping.buildings.iter().filter(|line| !line.is_used()) {
        let what = format!("no row stands in the building `{}`", line.says.name);
        found.push((line.span.start, remark(mapping, line.span.start, &what)));
    }
    found.sort();
    found.into_iter().map(|(_, remark)| remark).collect()
}

fn is_unused(word: &WordLine, map: Option<&WordMap>) -> bool {
    map.is_none_or(|map| map.unused().any(|unused| unused == word.word))
}

fn column_remark(mapping: &MappingFile, line: &Line<ColumnLine>) -> String {
    let what = format!("no sheet has the column `{}`", line.says.header);
    remark(mapping, line.span.start, &what)
}

fn word_remark(mapping: &MappingFile, word: &WordLine) -> String {
    remark(mapping, word.span.start, &format!("no cell says `{}`", word.word))
}

fn remark(mapping: &MappingFile, place: usize, what: &str) -> String {
    format!("{}:{}: {what}", mapping.source.path, mapping.source.line(place))
}
