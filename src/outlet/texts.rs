//! Texts of the schedules, each kept once: thousands of outlets share one panel, trade or building.

use std::collections::HashMap;
use std::sync::Arc;

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

/// A store of distinct texts.
#[derive(Clone, Debug, Default)]
pub struct Texts {
    known: HashMap<Arc<str>, u32>,
    list: Vec<Arc<str>>,
}

impl Texts {
    /// The handle of a text, the same for the same text.
    pub fn intern(&mut self, text: &str) -> Text {
        if let Some(index) = self.known.get(text) {
            return Text(*index);
        }
        let index = u32::try_from(self.list.len()).unwrap_or(u32::MAX);
        let text: Arc<str> = text.into();
        self.list.push(Arc::clone(&text));
        self.known.insert(text, index);
        Text(index)
    }

    /// The text of a handle that this store gave; empty for any other.
    pub fn get(&self, text: Text) -> &str {
        self.list.get(text.0 as usize).map_or("", |text| text)
    }

    /// Whether the store holds no text.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Adds the texts of another store; gives for each of its handles, by its integer, the one here.
    pub fn absorb(&mut self, other: &Self) -> Vec<Text> {
        other.list.iter().map(|text| self.intern(text)).collect()
    }

    /// The handle of a text that the store already holds.
    pub fn find(&self, text: &str) -> Option<Text> {
        self.known.get(text).map(|index| Text(*index))
    }
}
