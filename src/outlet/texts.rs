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
    /// The texts by their content, as places in the list.
    known: HashTable<u32>,
    hasher: DefaultHashBuilder,
}

impl Texts {
    /// The handle of a text, the same for the same text.
    pub fn intern(&mut self, text: &str) -> Text {
        let hash = self.hasher.hash_one(text);
        let same = |place: &u32| self.at(*place) == text;
        if let Some(place) = self.known.find(hash, same) {
            return Text(*place);
        }
        let place = u32::try_from(self.ends.len()).unwrap_or(u32::MAX);
        self.text.push_str(text);
        self.ends.push(self.text.len());
        let (all, ends, hasher) = (&self.text, &self.ends, &self.hasher);
        self.known.insert_unique(hash, place, |place| hasher.hash_one(part(all, ends, *place)));
        Text(place)
    }

    /// The text of a handle that this store gave; empty for any other.
    pub fn get(&self, text: Text) -> &str {
        self.at(text.0)
    }

    /// Whether the store holds no text.
    pub const fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }

    /// Adds the texts of another store; gives for each of its handles, by its integer, the one here.
    pub fn absorb(&mut self, other: &Self) -> Vec<Text> {
        (0..).zip(&other.ends).map(|(place, _)| self.intern(other.at(place))).collect()
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
