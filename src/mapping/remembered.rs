//! Cells remembered: a column of few distinct texts is read once a text, however many rows it has.
//!
//! Owns nothing of how a cell is read, and must not be asked about two columns: the same text may mean
//! another thing in another column.

use hashbrown::HashMap;

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
    /// The text of the row before, which the next one often repeats.
    last: String,
    told: Option<Told>,
    known: HashMap<Box<str>, Told>,
}

impl Remembered {
    /// What a text comes to; `read` is asked when it is not remembered.
    pub(super) fn get(&mut self, text: &str, read: impl FnOnce() -> Told) -> Told {
        if let Some(told) = self.told.filter(|_| self.last == text) {
            return told;
        }
        let told = if let Some(told) = self.known.get(text) {
            *told
        } else {
            let told = read();
            if self.known.len() < MOST {
                self.known.insert(text.into(), told);
            }
            told
        };
        self.last.clear();
        self.last.push_str(text);
        self.told = Some(told);
        told
    }
}
