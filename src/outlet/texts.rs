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
        if let Some(place) = self.known.find(hash, same) {
            return Text(*place);
        }
        let place = self.len();
        self.text.push_str(text);
        self.ends.push(self.text.len());
        self.hashes.push(hash);
        let hashes = &self.hashes;
        self.known.insert_unique(hash, place, |place| hashes[*place as usize]);
        Text(place)
    }

    /// The text of a handle that this store gave; empty for any other.
    pub fn get(&self, text: Text) -> &str {
        self.at(text.0)
    }

    /// How many texts there are; the handles are the integers below.
    pub fn len(&self) -> u32 {
        u32::try_from(self.ends.len()).unwrap_or(u32::MAX)
    }

    /// Whether the store holds no text.
    pub const fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }

    /// Takes out all texts behind the first so many.
    pub fn split_off(&mut self, length: u32) -> LaterTexts {
        let from = length as usize;
        for (place, hash) in (length..).zip(&self.hashes[from..]) {
            if let Ok(entry) = self.known.find_entry(*hash, |known| *known == place) {
                entry.remove();
            }
        }
        let begin = from.checked_sub(1).map_or(0, |last| self.ends[last]);
        LaterTexts {
            after: length,
            begin,
            text: self.text.split_off(begin),
            ends: self.ends.split_off(from),
            hashes: self.hashes.split_off(from),
        }
    }

    /// Adds texts that were taken out of a copy of this store, made when it held no more than stayed there;
    /// gives the handles that they have here.
    pub fn absorb_later(&mut self, later: &LaterTexts) -> Renamed {
        let mut begin = later.begin;
        let texts = later.ends.iter().zip(&later.hashes).map(|(end, hash)| {
            let text = &later.text[begin - later.begin..end - later.begin];
            begin = *end;
            self.intern_hashed(text, *hash)
        });
        Renamed { after: later.after, texts: texts.collect() }
    }

    /// Adds the texts of another store; gives the handles that they have here.
    pub fn absorb(&mut self, other: &Self) -> Renamed {
        let texts = (0..other.len()).map(|place| self.intern(other.at(place)));
        Renamed { after: 0, texts: texts.collect() }
    }

    /// The handle of a text that the store already holds.
    pub fn find(&self, text: &str) -> Option<Text> {
        let hash = self.hasher.hash_one(text);
        self.known.find(hash, |place| self.at(*place) == text).map(|place| Text(*place))
    }

    fn at(&self, place: u32) -> &str {
        part(&self.text, &self.ends, place)
    }
}

/// Texts that were taken out of a store.
#[derive(Debug)]
pub struct LaterTexts {
    /// How many stayed there.
    after: u32,
    /// Where the first of these began.
    begin: usize,
    text: String,
    ends: Vec<usize>,
    hashes: Vec<u64>,
}

/// The handles of texts in another store.
#[derive(Debug)]
pub struct Renamed {
    /// How many texts have the same handle in both.
    after: u32,
    texts: Vec<Text>,
}

impl Renamed {
    /// The handle in the other store.
    pub fn get(&self, text: Text) -> Text {
        let place = text.0.checked_sub(self.after);
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
    fn texts_of_a_copy_join_the_store_in_their_order() {
        let mut all = Texts::default();
        for text in ["E-1", "101"] {
            all.intern(text);
        }
        let mut copy = all.clone();
        let [known, new, other] = ["101", "E-2", "E-3"].map(|text| copy.intern(text));
        assert_eq!((known, new, other), (Text(1), Text(2), Text(3)));
        let later = copy.split_off(2);
        assert_eq!((copy.len(), copy.find("E-2"), copy.find("E-1")), (2, None, Some(Text(0))));
        assert_eq!(copy.intern("E-3"), Text(2), "its place is free again");
        // Meanwhile the store has met one of them.
        all.intern("E-3");
        let names = all.absorb_later(&later);
        assert_eq!([known, new, other].map(|text| names.get(text)), [Text(1), Text(3), Text(2)]);
        assert_eq!(all.get(Text(3)), "E-2");
    }
}
