//! One outlet: its facts in compact arrays, and where its row stands.

use std::fmt;
use std::hash::{BuildHasher as _, Hash};
use std::sync::Arc;

use hashbrown::{DefaultHashBuilder, HashTable};

use super::fact::Fact;
use super::field::{Field, Key, Store, length_of};
use super::texts::Text;
use super::value::Value;

const BYTES: usize = length_of(Store::Byte);
const SHORTS: usize = length_of(Store::Short);
const TEXTS: usize = length_of(Store::Text);
const NUMBERS: usize = length_of(Store::Number);
const LONGS: usize = length_of(Store::Long);

/// Where a row stands: the input, its sheet, its row.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub struct Origin {
    /// Index of the input in the order of the run.
    pub source: u32,
    /// Index of the sheet in its input.
    pub sheet: u32,
    /// Row of the sheet, or the line of a text file on which the record starts; from 1.
    pub row: u32,
}

/// An outlet: one row of a schedule, or as many devices as its quantity says.
///
/// Thousands of rows record the same words and the same figures and differ in their texts, so these are
/// kept once for all of them: see [`Alike`]. Apart from each other, since there are far fewer of each than
/// of both together.
#[derive(Clone)]
pub struct Outlet {
    words: Arc<Words>,
    figures: Arc<Figures>,
    texts: [u32; TEXTS],
    /// Where its row stands.
    pub origin: Origin,
}

/// Words, answers, counts.
#[derive(Clone, PartialEq, Eq, Hash)]
struct Words {
    shorts: [u16; SHORTS],
    bytes: [u8; BYTES],
}

/// Lengths, volumes, ratings, days.
#[derive(Clone, PartialEq, Eq, Hash)]
struct Figures {
    longs: [i64; LONGS],
    numbers: [i32; NUMBERS],
}

/// Keeps the words and figures of outlets that record the same in one place.
#[derive(Default)]
pub struct Alike {
    words: Kept<Words>,
    figures: Kept<Figures>,
}

/// Values kept once, each with its hash: to make it anew as the table grows would take as long as the rest.
struct Kept<T> {
    known: HashTable<(u64, Arc<T>)>,
    hasher: DefaultHashBuilder,
}

impl<T> Default for Kept<T> {
    fn default() -> Self {
        Self { known: HashTable::new(), hasher: DefaultHashBuilder::default() }
    }
}

impl<T: Clone + Eq + Hash> Kept<T> {
    /// The value that is kept of those equal to this; the one that `new` gives where there is none.
    fn of(&mut self, value: &T, new: impl FnOnce() -> Arc<T>) -> Arc<T> {
        let hash = self.hasher.hash_one(value);
        let same = |(other, known): &(u64, Arc<T>)| *other == hash && **known == *value;
        let entry = self.known.entry(hash, same, |(hash, _)| *hash);
        Arc::clone(&entry.or_insert_with(|| (hash, new())).get().1)
    }
}

impl Alike {
    /// Lets an outlet share its facts with those before it that record the same, texts apart.
    pub fn share(&mut self, outlet: &mut Outlet) {
        outlet.words = self.words.of(&outlet.words, || Arc::clone(&outlet.words));
        outlet.figures = self.figures.of(&outlet.figures, || Arc::clone(&outlet.figures));
    }

    /// An outlet like a draft, which shares its facts with those before it that record the same. The
    /// draft can be used again: see [`Outlet::restart`].
    pub fn shared(&mut self, draft: &Outlet) -> Outlet {
        let words = self.words.of(&draft.words, || Arc::new((*draft.words).clone()));
        let figures = self.figures.of(&draft.figures, || Arc::new((*draft.figures).clone()));
        Outlet { words, figures, texts: draft.texts, origin: draft.origin }
    }
}

impl fmt::Debug for Alike {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (words, figures) = (self.words.known.len(), self.figures.known.len());
        write!(f, "{words} sets of words, {figures} of figures")
    }
}

/// The three highest values of an array's type stand for the three ways of being unknown.
macro_rules! coded {
    ($value:expr, $type:ty) => {
        match $value {
            <$type>::MAX => Fact::Blank,
            value if value == <$type>::MAX - 1 => Fact::Unreadable,
            value if value == <$type>::MAX - 2 => Fact::Absent,
            value => Fact::Known(i64::from(value)),
        }
    };
}

macro_rules! code {
    ($fact:expr, $type:ty) => {
        match $fact {
            Fact::Blank => <$type>::MAX,
            Fact::Unreadable => <$type>::MAX - 1,
            Fact::Absent => <$type>::MAX - 2,
            Fact::Known(value) => match <$type>::try_from(value) {
                Ok(value) if value < <$type>::MAX - 2 => value,
                _ => <$type>::MAX - 1,
            },
        }
    };
}

impl Outlet {
    /// An outlet of which no schedule says anything.
    pub fn absent(origin: Origin) -> Self {
        let words = Words { shorts: [u16::MAX - 2; SHORTS], bytes: [u8::MAX - 2; BYTES] };
        let figures = Figures { longs: [i64::MAX - 2; LONGS], numbers: [i32::MAX - 2; NUMBERS] };
        let texts = [u32::MAX - 2; TEXTS];
        Self { words: Arc::new(words), figures: Arc::new(figures), texts, origin }
    }

    /// Makes a draft anew: as another outlet, without taking memory again.
    pub fn restart(&mut self, from: &Self) {
        Arc::make_mut(&mut self.words).clone_from(&from.words);
        Arc::make_mut(&mut self.figures).clone_from(&from.figures);
        self.texts = from.texts;
        self.origin = from.origin;
    }

    /// Where its words and its figures are kept: the same for outlets that share them, so that what follows
    /// from these alone can be remembered by it while they live.
    pub fn places_of_facts(&self) -> [usize; 2] {
        [Arc::as_ptr(&self.words).addr(), Arc::as_ptr(&self.figures).addr()]
    }

    /// What the schedule says of a fact.
    pub fn get<T: Value>(&self, key: Key<T>) -> Fact<T> {
        self.raw(key.field).map(T::from_raw)
    }

    /// Records a fact; a value too large for its field is kept as unreadable.
    pub fn set<T: Value>(&mut self, key: Key<T>, fact: Fact<T>) {
        self.set_raw(key.field, fact.map(Value::raw));
    }

    /// Gives its texts the handles that they have in another store.
    pub fn rename(&mut self, mut name: impl FnMut(Text) -> Text) {
        for text in &mut self.texts {
            if let Fact::Known(raw) = coded!(*text, u32) {
                *text = code!(Fact::Known(name(Text::from_raw(raw)).raw()), u32);
            }
        }
    }

    /// A fact by its field, as the integer of its value.
    pub fn raw(&self, field: Field) -> Fact<i64> {
        let slot = field.slot();
        match field.store() {
            Store::Byte => coded!(self.words.bytes[slot], u8),
            Store::Short => coded!(self.words.shorts[slot], u16),
            Store::Text => coded!(self.texts[slot], u32),
            Store::Number => coded!(self.figures.numbers[slot], i32),
            Store::Long => coded!(self.figures.longs[slot], i64),
        }
    }

    /// Adds the bytes in which a fact is kept: equal ones of a field mean equal facts.
    pub fn put_kept(&self, field: Field, bytes: &mut Vec<u8>) {
        let slot = field.slot();
        match field.store() {
            Store::Byte => bytes.push(self.words.bytes[slot]),
            Store::Short => bytes.extend(self.words.shorts[slot].to_ne_bytes()),
            Store::Text => bytes.extend(self.texts[slot].to_ne_bytes()),
            Store::Number => bytes.extend(self.figures.numbers[slot].to_ne_bytes()),
            Store::Long => bytes.extend(self.figures.longs[slot].to_ne_bytes()),
        }
    }

    /// Records a fact by its field, as the integer of its value.
    pub fn set_raw(&mut self, field: Field, fact: Fact<i64>) {
        let slot = field.slot();
        match field.store() {
            Store::Byte => Arc::make_mut(&mut self.words).bytes[slot] = code!(fact, u8),
            Store::Short => Arc::make_mut(&mut self.words).shorts[slot] = code!(fact, u16),
            Store::Text => self.texts[slot] = code!(fact, u32),
            Store::Number => Arc::make_mut(&mut self.figures).numbers[slot] = code!(fact, i32),
            Store::Long => Arc::make_mut(&mut self.figures).longs[slot] = code!(fact, i64),
        }
    }

    /// Records facts of a row, which takes less time than one by one.
    pub fn set_all(&mut self, facts: &[(Field, Fact<i64>)]) {
        let (words, figures) = (Arc::make_mut(&mut self.words), Arc::make_mut(&mut self.figures));
        for (field, fact) in facts {
            let slot = field.slot();
            match field.store() {
                Store::Byte => words.bytes[slot] = code!(*fact, u8),
                Store::Short => words.shorts[slot] = code!(*fact, u16),
                Store::Text => self.texts[slot] = code!(*fact, u32),
                Store::Number => figures.numbers[slot] = code!(*fact, i32),
                Store::Long => figures.longs[slot] = code!(*fact, i64),
            }
        }
    }
}

impl fmt::Debug for Outlet {
    /// The recorded facts only.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let facts = Field::ALL.iter().filter(|field| self.raw(**field) != Fact::Absent);
        f.debug_map().entries(facts.map(|field| (field.name(), self.raw(*field)))).finish()
    }
}
