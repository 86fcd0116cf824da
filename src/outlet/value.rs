//! What can stand in a field: values with one exact integer form, and words with a vocabulary.

/// A value of a fact, stored as an integer that loses nothing.
pub trait Value: Copy + PartialEq {
    /// The value of an integer that [`Value::raw`] gave.
    fn from_raw(raw: i64) -> Self;
    /// The value as an integer.
    fn raw(self) -> i64;
}

/// A value out of a short list that can be tried from end to end.
pub trait Choices: Value + 'static {
    /// Every value, in order.
    fn all() -> Vec<Self>;
}

/// A word of a vocabulary.
pub trait Word: Value + 'static {
    /// Every word, in the order of the model.
    const ALL: &'static [Self];
    /// The spelling of each.
    const WORDS: &'static [&'static str];

    /// Place of the word in its vocabulary.
    fn index(self) -> usize;

    /// Canonical spelling.
    fn word(self) -> &'static str {
        Self::WORDS[self.index()]
    }

    /// The word with exactly this spelling.
    fn of(word: &str) -> Option<Self> {
        let index = Self::WORDS.iter().position(|known| *known == word)?;
        Some(Self::ALL[index])
    }
}

impl<T: Word> Choices for T {
    fn all() -> Vec<Self> {
        Self::ALL.to_vec()
    }
}

impl Value for bool {
    fn from_raw(raw: i64) -> Self {
        raw != 0
    }

    fn raw(self) -> i64 {
        i64::from(self)
    }
}

impl Choices for bool {
    fn all() -> Vec<Self> {
        vec![true, false]
    }
}

/// A count: conductors, screws, gangs, receptacles.
impl Value for u16 {
    fn from_raw(raw: i64) -> Self {
        Self::try_from(raw).unwrap_or(Self::MAX)
    }

    fn raw(self) -> i64 {
        i64::from(self)
    }
}

/// A set of words of one vocabulary, as a mask of their places in it.
#[derive(PartialEq, Eq, Hash, Debug)]
pub struct Set<T> {
    mask: u8,
    of: std::marker::PhantomData<T>,
}

impl<T> Clone for Set<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Set<T> {}

impl<T: Word> Set<T> {
    /// No word at all.
    pub const NONE: Self = Self { mask: 0, of: std::marker::PhantomData };

    /// The set of these words.
    pub fn of(words: &[T]) -> Self {
        words.iter().fold(Self::NONE, |set, word| set.with(*word))
    }

    /// The set with one word more.
    #[must_use]
    pub fn with(self, word: T) -> Self {
        Self { mask: self.mask | (1 << word.index()), ..self }
    }

    /// Whether the word is in the set.
    pub fn contains(self, word: T) -> bool {
        self.mask & (1 << word.index()) != 0
    }

    /// How many words it holds.
    pub const fn len(self) -> usize {
        self.mask.count_ones() as usize
    }

    /// Whether it holds no word.
    pub const fn is_empty(self) -> bool {
        self.mask == 0
    }

    /// Its words in the order of the vocabulary.
    pub fn iter(self) -> impl Iterator<Item = T> {
        T::ALL.iter().copied().filter(move |word| self.contains(*word))
    }
}

impl<T: Word> Value for Set<T> {
    fn from_raw(raw: i64) -> Self {
        Self { mask: u8::try_from(raw).unwrap_or_default(), of: std::marker::PhantomData }
    }

    fn raw(self) -> i64 {
        i64::from(self.mask)
    }
}

impl<T: Word> Choices for Set<T> {
    fn all() -> Vec<Self> {
        (0..1_i64 << T::ALL.len()).map(Self::from_raw).collect()
    }
}
