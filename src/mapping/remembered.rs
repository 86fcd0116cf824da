//! Cells remembered: a column of few distinct texts is read once a text, however many rows it has.
//!
//! Owns nothing of how a cell is read, and must not be asked about two columns: the same text may mean
//! another thing in another column.

use std::hash::BuildHasher as _;

use hashbrown::{DefaultHashBuilder, HashTable};

use super::read::{Column, Reading, WordMap};
use crate::outlet::Kind;

/// What a text of a column came to.
#[derive(Clone, Copy, Debug)]
pub(super) enum Told {
    /// It repeats the cell above it.
    Ditto,
    /// It was read so.
    Read(Reading),
}

/// Texts kept a column at most: a column with more is one of names, each of which stands once.
const MOST: usize = 4096;

/// The same of a column that gives texts, which are read quickly.
const MOST_OF_TEXTS: usize = 64;

/// The texts of one column that were read.
pub(super) struct Remembered {
    /// The words of the mapping for the column, to know which of them were met.
    words: Option<WordMap>,
    gives_texts: bool,
    known: Vec<(Box<str>, Told)>,
    /// Places of the known texts, by content.
    places: HashTable<usize>,
    hasher: DefaultHashBuilder,
    /// The text of the row before, which the next one often repeats: its place, or itself where too
    /// many are known.
    last: usize,
    unknown: Option<(String, Told)>,
}

impl Remembered {
    /// Nothing of a column yet.
    pub(super) fn of(column: &Column<'_>) -> Self {
        Self {
            words: column.words.map(WordMap::unmet),
            gives_texts: column.field.kind() == Kind::Text,
            known: Vec::new(),
            places: HashTable::new(),
            hasher: DefaultHashBuilder::default(),
            last: 0,
            unknown: None,
        }
    }

    /// Forgets what came to texts, whose handles are good no longer.
    pub(super) fn forget_texts(&mut self) {
        if self.gives_texts {
            self.known.clear();
            self.places.clear();
            self.unknown = None;
        }
    }

    /// The column as it is to be read: with words that know whether they were met.
    pub(super) fn column<'a>(&'a self, column: &Column<'a>) -> Column<'a> {
        Column { words: self.words.as_ref(), ..*column }
    }

    /// The places of the words of the mapping that were met.
    pub(super) fn met(&self) -> Vec<usize> {
        self.words.as_ref().map(WordMap::met).unwrap_or_default()
    }

    /// What a text comes to; `read` is asked when it is not remembered, with the words of the column.
    pub(super) fn get(&mut self, text: &str, read: impl FnOnce(Option<&WordMap>) -> Told) -> Told {
        if let Some((known, told)) = self.known.get(self.last)
            && **known == *text
        {
            return *told;
        }
        let hash = self.hasher.hash_one(text);
        if let Some(place) = self.places.find(hash, |place| *self.known[*place].0 == *text) {
            self.last = *place;
            return self.known[*place].1;
        }
        if self.known.len() == if self.gives_texts { MOST_OF_TEXTS } else { MOST } {
            return self.get_unknown(text, read);
        }
        let told = read(self.words.as_ref());
        self.last = self.known.len();
        self.known.push((text.into(), told));
        let (known, hasher) = (&self.known, &self.hasher);
        self.places.insert_unique(hash, self.last, |place| hasher.hash_one(&*known[*place].0));
        told
    }

    fn get_unknown(&mut self, text: &str, read: impl FnOnce(Option<&WordMap>) -> Told) -> Told {
        let words = self.words.as_ref();
        match &mut self.unknown {
            Some((last, told)) if last == text => *told,
            Some((last, told)) => {
                last.clear();
                last.push_str(text);
                *told = read(words);
                *told
            }
            none => none.insert((text.to_owned(), read(words))).1,
        }
    }
}
