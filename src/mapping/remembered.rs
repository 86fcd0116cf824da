//! Cells remembered: a column of few distinct texts is read once a text, however many rows it has.
//!
//! Owns nothing of how a cell is read, and must not be asked about two columns: the same text may mean
//! another thing in another column.

use std::hash::BuildHasher as _;

use hashbrown::{DefaultHashBuilder, HashTable};

use super::read::Reading;

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

/// The texts of one column that were read.
#[derive(Default)]
pub(super) struct Remembered {
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
    /// What a text comes to; `read` is asked when it is not remembered.
    pub(super) fn get(&mut self, text: &str, read: impl FnOnce() -> Told) -> Told {
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
        if self.known.len() == MOST {
            return self.get_unknown(text, read);
        }
        let told = read();
        self.last = self.known.len();
        self.known.push((text.into(), told));
        let (known, hasher) = (&self.known, &self.hasher);
        self.places.insert_unique(hash, self.last, |place| hasher.hash_one(&*known[*place].0));
        told
    }

    fn get_unknown(&mut self, text: &str, read: impl FnOnce() -> Told) -> Told {
        match &mut self.unknown {
            Some((last, told)) if last == text => *told,
            Some((last, told)) => {
                last.clear();
                last.push_str(text);
                *told = read();
                *told
            }
            none => none.insert((text.to_owned(), read())).1,
        }
    }
}
