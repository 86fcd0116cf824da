//! The mapping's own words: what a schedule writes, and the value that it stands for.

use std::sync::atomic::{AtomicBool, Ordering};

use thiserror::Error;

use super::text::{fold, trim};

/// The words of one column, found whatever their case, blanks and hyphens.
///
/// A meaning is a text that the reader of the field understands: `receptacle`, `yes`, `0 in`, or empty
/// for not known. Each word remembers whether a cell has ever held it.
#[derive(Debug, Default)]
pub struct WordMap {
    entries: Vec<Entry>,
}

#[derive(Debug)]
struct Entry {
    key: String,
    word: String,
    meaning: String,
    used: AtomicBool,
}

/// What is wrong with the words of a mapping.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
pub enum WordError {
    /// One word with two meanings.
    #[error("`{word}` means both `{first}` and `{second}`; keep one")]
    Twice {
        /// The word, as the mapping spells it.
        word: String,
        /// Its one meaning.
        first: String,
        /// Its other meaning.
        second: String,
    },
    /// A meaning for empty cells, which are always unknown.
    #[error("an empty cell is never a value, so it cannot mean `{meaning}`")]
    Empty {
        /// The meaning.
        meaning: String,
    },
}

impl WordMap {
    /// The map of these words, each with its meaning.
    pub fn new<'w>(words: impl IntoIterator<Item = (&'w str, &'w str)>) -> Result<Self, WordError> {
        let mut entries: Vec<Entry> = Vec::new();
        for (word, meaning) in words {
            if trim(word).is_empty() {
                return Err(WordError::Empty { meaning: meaning.into() });
            }
            let key: String = fold(word).collect();
            match entries.binary_search_by(|entry| entry.key.as_str().cmp(&key)) {
                Err(place) => entries.insert(place, Entry::new(key, word, meaning)),
                Ok(place) if entries[place].meaning == meaning => {}
                Ok(place) => {
                    let first = std::mem::take(&mut entries[place].meaning);
                    return Err(WordError::Twice {
                        word: word.into(),
                        first,
                        second: meaning.into(),
                    });
                }
            }
        }
        Ok(Self { entries })
    }

    /// What a text means, if it is one of the words.
    pub fn meaning(&self, text: &str) -> Option<&str> {
        let place =
            self.entries.binary_search_by(|entry| entry.key.chars().cmp(fold(text))).ok()?;
        let entry = &self.entries[place];
        entry.mark_used();
        Some(&entry.meaning)
    }

    /// The same words, none of which a cell has held yet.
    pub(in crate::mapping) fn unmet(&self) -> Self {
        let same = |entry: &Entry| Entry::new(entry.key.clone(), &entry.word, &entry.meaning);
        Self { entries: self.entries.iter().map(same).collect() }
    }

    /// The places of the words that cells have held.
    pub(in crate::mapping) fn met(&self) -> Vec<usize> {
        let entries = self.entries.iter().enumerate();
        entries.filter(|(_, entry)| entry.is_used()).map(|(place, _)| place).collect()
    }

    /// Notes that cells held the words at these places.
    pub(in crate::mapping) fn mark_met(&self, places: &[usize]) {
        places.iter().filter_map(|place| self.entries.get(*place)).for_each(Entry::mark_used);
    }

    /// The words that no cell has held so far, in the order of the alphabet.
    pub fn unused(&self) -> impl Iterator<Item = &str> {
        let unused = self.entries.iter().filter(|entry| !entry.is_used());
        unused.map(|entry| entry.word.as_str())
    }
}

impl Entry {
    fn new(key: String, word: &str, meaning: &str) -> Self {
        let used = AtomicBool::new(false);
        Self { key, word: word.to_owned(), meaning: meaning.to_owned(), used }
    }

    fn is_used(&self) -> bool {
        self.used.load(Ordering::Relaxed)
    }

    fn mark_used(&self) {
        // Asked first, so that threads share a word of many cells without writing to it.
        if !self.is_used() {
            self.used.store(true, Ordering::Relaxed);
        }
    }
}
