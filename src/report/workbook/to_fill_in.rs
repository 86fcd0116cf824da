//! Columns of facts that somebody fills in: headers that name the field and its unit, a note that says how
//! the fact is told, a drop-down list where the model has words for it. Surveys and templates share them.

use std::sync::LazyLock;

use crate::mapping::account::LISTS;
use crate::outlet::{Field, Kind};
use crate::survey::measuring::{access, how};

use super::entry;
use super::plan::{Block, Cell, Column, Entry, Paper, Plan, Table, column};

const YES_NO: &[&str] = &["yes", "no"];

/// The header of each field: its name, with the unit of a bare number.
static HEADERS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let unit = |field: &Field| unit(field.kind()).map(|unit| format!(" ({unit})"));
    let header = |field: &Field| format!("{}{}", field.name(), unit(field).unwrap_or_default());
    Field::ALL.iter().map(header).collect()
});

/// The note on each header: what it is, and how it is told.
static NOTES: LazyLock<Vec<String>> = LazyLock::new(|| {
    let note = |field: &Field| format!("{}. {}", field.info().meaning, how(*field));
    Field::ALL.iter().map(|field| note(field).trim_end().to_owned()).collect()
});

/// The words of a device's listing, the most usual first.
static LISTED: LazyLock<Vec<&'static str>> = LazyLock::new(|| match Field::ListedFor.info().kind {
    Kind::Words(words) => std::iter::once("none").chain(words.iter().copied()).collect(),
    _ => Vec::new(),
});

/// The unit of a number without one.
pub(super) const fn unit(kind: Kind) -> Option<&'static str> {
    match kind {
        Kind::Length => Some("in"),
        Kind::Volume => Some("in3"),
        Kind::Voltage => Some("V"),
        Kind::Current => Some("A"),
        _ => None,
    }
}

/// Lists that are too long for a cell's own, on a sheet of their own.
#[derive(Default)]
pub(super) struct Lists {
    lists: Vec<(Field, &'static [&'static str])>,
}

impl Lists {
    /// The column of a field.
    pub(super) fn column(&mut self, field: Field) -> Column {
        let place = field as usize;
        let least = if matches!(field.kind(), Kind::Text) { 10 } else { 9 };
        let most = if matches!(field.kind(), Kind::Words(_) | Kind::Text) { 22 } else { 16 };
        let column = column(&HEADERS[place], least, most).noted(&NOTES[place]);
        match self.entry(field) {
            Some(entry) => column.entered(entry),
            None => column,
        }
    }

    fn entry(&mut self, field: Field) -> Option<Entry> {
        match field.kind() {
            Kind::Words(_) if field == Field::ListedFor => Some(Entry::Word(&LISTED)),
            Kind::YesNo => Some(Entry::Word(YES_NO)),
            Kind::Word(words) | Kind::Words(words) if entry::fits(words) => {
                Some(Entry::Word(words))
            }
            Kind::Word(words) | Kind::Words(words) => {
                let place = self.lists.iter().position(|(one, _)| *one == field);
                let place = place.unwrap_or_else(|| {
                    self.lists.push((field, words));
                    self.lists.len() - 1
                });
                let count = u32::try_from(words.len()).unwrap_or(u32::MAX);
                Some(Entry::Listed(u16::try_from(place).unwrap_or(u16::MAX), count))
            }
            Kind::Count => Some(Entry::Count),
            Kind::Date => Some(Entry::Day),
            _ => None,
        }
    }

    /// The sheet of the lists; none where every list fits into its cells.
    pub(super) fn plan(&self) -> Option<Plan<'_>> {
        let longest = self.lists.iter().map(|(_, words)| words.len()).max()?;
        let columns = self.lists.iter().map(|(field, _)| column(&HEADERS[*field as usize], 10, 30));
        let row = |row: usize| {
            let word = |words: &&'static [&'static str]| {
                words.get(row).map_or(Cell::Blank, |word| Cell::text(*word))
            };
            self.lists.iter().map(|(_, words)| word(words)).collect()
        };
        let table = Table::new(columns.collect(), longest, row);
        Some(Plan {
            name: LISTS,
            blocks: vec![table.into()],
            paper: Paper::Letter,
            register: false,
            tab: super::UNDECIDED_TAB,
        })
    }
}

const EXPLAINED: [Column; 5] = [
    column("Fact", 14, 24),
    column("What it is", 24, 44),
    column("What may stand there", 20, 40),
    column("How it is told", 24, 60),
    column("Where it is seen", 16, 30),
];

/// What each fact is and how it is told.
pub(super) fn explained(fields: &[Field]) -> Block<'static> {
    let row = |field: &Field| {
        vec![
            Cell::Strong(field.name().to_owned()),
            Cell::text(field.info().meaning),
            Cell::text(may_stand(field.kind())),
            Cell::text(how(*field)),
            Cell::text(access(*field).words()),
        ]
    };
    Table::of(EXPLAINED.to_vec(), fields.iter().map(row).collect()).into()
}

fn may_stand(kind: Kind) -> String {
    match kind {
        Kind::Text => "any text".to_owned(),
        Kind::Count => "a whole number from 0".to_owned(),
        Kind::Word(words) => words.join(", "),
        Kind::Words(words) => format!("one or several, parted by commas: {}", words.join(", ")),
        Kind::YesNo => "yes, no".to_owned(),
        Kind::Length => "inches, or with a unit of its own: 5/16, 0.3125, 8 mm".to_owned(),
        Kind::Volume => "cubic inches, or with a unit of its own: 20.3, 295 cm3".to_owned(),
        Kind::Voltage => "volts: 120, 277".to_owned(),
        Kind::Current => "amperes: 15, 20".to_owned(),
        Kind::Awg => "a gauge: 12 AWG".to_owned(),
        Kind::Date => "a day: 2026-03-31".to_owned(),
        Kind::Configuration => "a NEMA WD 6 configuration: 5-20R".to_owned(),
    }
}
