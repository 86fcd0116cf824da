//! A fact about an outlet: known, or unknown in one of three ways that a report tells apart.

/// What a schedule says of one fact.
///
/// A blank is never "no". To a rule the last three are all unknown; a report tells them apart
/// ("no such column: ask for it" against "17 cells are blank").
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Fact<T> {
    /// The schedule records this value.
    Known(T),
    /// The cell is empty or says that it is unknown.
    Blank,
    /// The cell holds something that could not be read; its text is kept as a fault of the schedule.
    Unreadable,
    /// The schedule has no such column.
    Absent,
}

impl<T> Fact<T> {
    /// The value, when one is recorded.
    pub fn known(self) -> Option<T> {
        match self {
            Self::Known(value) => Some(value),
            Self::Blank | Self::Unreadable | Self::Absent => None,
        }
    }

    /// Whether a value is recorded.
    pub const fn is_known(&self) -> bool {
        matches!(self, Self::Known(_))
    }

    /// The fact with its value turned into another.
    pub fn map<U>(self, turn: impl FnOnce(T) -> U) -> Fact<U> {
        match self {
            Self::Known(value) => Fact::Known(turn(value)),
            Self::Blank => Fact::Blank,
            Self::Unreadable => Fact::Unreadable,
            Self::Absent => Fact::Absent,
        }
    }
}
