//! Texts of the schedules, each kept once: thousands of outlets share one panel, trade or building.

use std::fmt;
use std::hash::BuildHasher as _;

use hashbrown::{DefaultHashBuilder, HashTable};

use super::value::Value;

/// A text of a [`Texts`] store.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Text(u32);

impl Value for Text {
    fn from_raw(raw: i64) -> Self {
        Self(u32::try_from(raw).unwrap_or_default())
    }

    fn raw(self) -> i64 {
        i64::from(self.0)
    }
}

/// A store of distinct texts, all in one string.
#[derive(Clone, Default)]
pub struct Texts {
    /// The handle of the first text: above 0 in a store that goes on behind another one.
    first: u32,
    text: String,
    /// Where each text ends; it begins where the one before it ends.
    ends: Vec<usize>,
    /// The hash of each, so that the table grows without a look at the texts.
    hashes: Vec<u64>,
    /// The texts by their content, as places in the list.
    known: HashTable<u32>,
    hasher: DefaultHashBuilder,
}

impl Texts {
    /// The handle of a text, the same for the same text.
    pub fn intern(&mut self, text: &str) -> Text {
        self.intern_hashed(text, self.hasher.hash_one(text))
    }

    fn intern_hashed(&mut self, text: &str, hash: u64) -> Text {
        let same = |place: &u32| self.at(*place) == text;
        let known = self.known.find(hash, same).copied();
        Text(self.first + known.unwrap_or_else(|| self.add(text, hash)))
    }

    fn add(&mut self, text: &str, hash: u64) -> u32 {
        let place = u32::try_from(self.ends.len()).unwrap_or(u32::MAX);
        self.text.push_str(text);
        self.ends.push(self.text.len());
        self.hashes.push(hash);
        let hashes = &self.hashes;
        self.known.insert_unique(hash, place, |place| hashes[*place as usize]);
        place
    }

    /// The text of a handle that this store gave; empty for any other.
    pub fn get(&self, text: Text) -> &str {
        text.0.checked_sub(self.first).map_or("", |place| self.at(place))
    }

    /// Whether the store holds no text.
    pub const fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }

    /// An empty store whose handles go on behind those of this one, so that both can stand side by side. It
    /// knows none of the texts here: [`Self::absorb_later`] tells which are the same.
    #[must_use]
    pub fn behind(&self) -> Self {
        let first = self.ends.len().try_into().unwrap_or(u32::MAX);
        let hasher = self.hasher.clone();
        Self { first: self.first.saturating_add(first), hasher, ..Self::default() }
    }

    /// Takes out all texts; their handles are given again.
    pub fn take(&mut self) -> LaterTexts {
        self.known.clear();
        let count = self.ends.len();
        LaterTexts {
            first: self.first,
            text: std::mem::take(&mut self.text),
            ends: std::mem::replace(&mut self.ends, Vec::with_capacity(count)),
            hashes: std::mem::replace(&mut self.hashes, Vec::with_capacity(count)),
        }
    }

    /// Adds texts of a store that was made [`Self::behind`] this one; gives the handles that they have here.
    pub fn absorb_later(&mut self, later: &LaterTexts) -> Renamed {
        let texts = (0..)
            .zip(&later.hashes)
            .map(|(place, hash)| self.intern_hashed(part(&later.text, &later.ends, place), *hash));
        Renamed { first: later.first, texts: texts.collect() }
    }

    /// Adds the texts of another store; gives the handles that they have here.
    pub fn absorb(&mut self, other: &Self) -> Renamed {
        let texts = (0..).zip(&other.ends).map(|(place, _)| self.intern(other.at(place)));
        Renamed { first: other.first, texts: texts.collect() }
    }

    /// The handle of a text that the store already holds.
    pub fn find(&self, text: &str) -> Option<Text> {
        let hash = self.hasher.hash_one(text);
        let place = self.known.find(hash, |place| self.at(*place) == text);
        place.map(|place| Text(self.first + place))
    }

    fn at(&self, place: u32) -> &str {
        part(&self.text, &self.ends, place)
    }
}

/// Texts that were taken out of a store.
#[derive(Debug)]
pub struct LaterTexts {
    /// The handle of the first.
    first: u32,
    text: String,
    ends: Vec<usize>,
    hashes: Vec<u64>,
}

/// The handles of texts in another store.
#[derive(Debug)]
pub struct Renamed {
    /// Handles below this are the same in both.
    first: u32,
    texts: Vec<Text>,
}

impl Renamed {
    /// The handle in the other store.
    pub fn get(&self, text: Text) -> Text {
        let place = text.0.checked_sub(self.first);
        place.and_then(|place| self.texts.get(place as usize)).copied().unwrap_or(text)
    }
}

/// The text at a place of the list; empty beyond it.
fn part<'a>(text: &'a str, ends: &[usize], place: u32) -> &'a str {
    let place = place as usize;
    let begin = place.checked_sub(1).and_then(|before| ends.get(before)).copied().unwrap_or(0);
    ends.get(place).and_then(|end| text.get(begin..*end)).unwrap_or_default()
}

impl fmt::Debug for Texts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries((0..).zip(&self.ends).map(|(place, _)| self.at(place))).finish()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_of_a_store_behind_another_join_it_in_their_order() {
        let mut all = Texts::default();
        for text in ["E-1", "101"] {
            all.intern(text);
        }
        let mut behind = all.behind();
        let [known, new, other] = ["101", "E-2", "E-3"].map(|text| behind.intern(text));
        assert_eq!([known, new, other], [Text(2), Text(3), Text(4)]);
        assert_eq!((behind.get(new), behind.get(Text(0))), ("E-2", ""));
        let later = behind.take();
        assert_eq!((behind.is_empty(), behind.find("E-2")), (true, None));
        assert_eq!(behind.intern("E-3"), Text(2), "its handles are given again");
        // Meanwhile the store has met one of them.
        all.intern("E-3");
        let names = all.absorb_later(&later);
        assert_eq!([known, new, other].map(|text| names.get(text)), [Text(1), Text(3), Text(2)]);
        assert_eq!((names.get(Text(0)), all.get(Text(3))), (Text(0), "E-2"));
    }
}
