//! One outlet: its facts in compact arrays, and where its row stands.

use std::fmt;
use std::hash::BuildHasher as _;
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
/// Thousands of rows record the same facts and differ in their texts only, so the facts can be kept
/// once for all of them: see [`Alike`].
#[derive(Clone)]
pub struct Outlet {
    facts: Arc<Facts>,
    texts: [u32; TEXTS],
    /// Where its row stands.
    pub origin: Origin,
}

/// All facts of an outlet but its texts.
#[derive(Clone, PartialEq, Eq, Hash)]
struct Facts {
    longs: [i64; LONGS],
    numbers: [i32; NUMBERS],
    shorts: [u16; SHORTS],
    bytes: [u8; BYTES],
}

/// Keeps the facts of outlets that record the same in one place.
#[derive(Default)]
pub struct Alike {
    /// The facts, each with its hash: to make it anew as the table grows would take as long as the rest.
    known: HashTable<(u64, Arc<Facts>)>,
    hasher: DefaultHashBuilder,
}

impl Alike {
    /// Lets an outlet share its facts with those before it that record the same, texts apart.
    pub fn share(&mut self, outlet: &mut Outlet) {
        outlet.facts = self.kept(&outlet.facts, || Arc::clone(&outlet.facts));
    }

    /// An outlet like a draft, which shares its facts with those before it that record the same. The
    /// draft can be used again: see [`Outlet::restart`].
    pub fn shared(&mut self, draft: &Outlet) -> Outlet {
        let facts = self.kept(&draft.facts, || Arc::new((*draft.facts).clone()));
        Outlet { facts, texts: draft.texts, origin: draft.origin }
    }

    /// Facts that are kept; those that `new` gives where none are the same.
    fn kept(&mut self, facts: &Facts, new: impl FnOnce() -> Arc<Facts>) -> Arc<Facts> {
        let hash = self.hasher.hash_one(facts);
        let same = |(other, known): &(u64, Arc<Facts>)| *other == hash && **known == *facts;
        let entry = self.known.entry(hash, same, |(hash, _)| *hash);
        Arc::clone(&entry.or_insert_with(|| (hash, new())).get().1)
    }
}

impl fmt::Debug for Alike {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} sets of facts", self.known.len())
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
        let facts = Facts {
            longs: [i64::MAX - 2; LONGS],
            numbers: [i32::MAX - 2; NUMBERS],
            shorts: [u16::MAX - 2; SHORTS],
            bytes: [u8::MAX - 2; BYTES],
        };
        Self { facts: Arc::new(facts), texts: [u32::MAX - 2; TEXTS], origin }
    }

    /// Makes a draft anew: as another outlet, without taking memory again.
    pub fn restart(&mut self, from: &Self) {
        if let Some(facts) = Arc::get_mut(&mut self.facts) {
            facts.clone_from(&from.facts);
        } else {
            self.facts = Arc::new((*from.facts).clone());
        }
        self.texts = from.texts;
        self.origin = from.origin;
    }

    /// Where its facts are kept: the same for outlets that share them, so that what follows from the
    /// facts alone can be remembered by it while they live.
    pub fn place_of_facts(&self) -> usize {
        Arc::as_ptr(&self.facts).addr()
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
        let (slot, facts) = (field.slot(), &*self.facts);
        match field.store() {
            Store::Byte => coded!(facts.bytes[slot], u8),
            Store::Short => coded!(facts.shorts[slot], u16),
            Store::Text => coded!(self.texts[slot], u32),
            Store::Number => coded!(facts.numbers[slot], i32),
            Store::Long => coded!(facts.longs[slot], i64),
        }
    }

    /// Adds the bytes in which a fact is kept: equal ones of a field mean equal facts.
    pub fn put_kept(&self, field: Field, bytes: &mut Vec<u8>) {
        let (slot, facts) = (field.slot(), &*self.facts);
        match field.store() {
            Store::Byte => bytes.push(facts.bytes[slot]),
            Store::Short => bytes.extend(facts.shorts[slot].to_ne_bytes()),
            Store::Text => bytes.extend(self.texts[slot].to_ne_bytes()),
            Store::Number => bytes.extend(facts.numbers[slot].to_ne_bytes()),
            Store::Long => bytes.extend(facts.longs[slot].to_ne_bytes()),
        }
    }

    /// Records a fact by its field, as the integer of its value.
    pub fn set_raw(&mut self, field: Field, fact: Fact<i64>) {
        if field.store() == Store::Text {
            self.texts[field.slot()] = code!(fact, u32);
        } else {
            Arc::make_mut(&mut self.facts).set(field, fact);
        }
    }

    /// Records facts of a row, which takes less time than one by one.
    pub fn set_all(&mut self, facts: &[(Field, Fact<i64>)]) {
        let own = Arc::make_mut(&mut self.facts);
        for (field, fact) in facts {
            if field.store() == Store::Text {
                self.texts[field.slot()] = code!(*fact, u32);
            } else {
                own.set(*field, *fact);
            }
        }
    }
}

impl Facts {
    fn set(&mut self, field: Field, fact: Fact<i64>) {
        let slot = field.slot();
        match field.store() {
            Store::Byte => self.bytes[slot] = code!(fact, u8),
            Store::Short => self.shorts[slot] = code!(fact, u16),
            Store::Number => self.numbers[slot] = code!(fact, i32),
            Store::Long => self.longs[slot] = code!(fact, i64),
            Store::Text => {}
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
