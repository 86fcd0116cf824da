//! Why a row is no outlet, and how the account says so.

/// Why a row is no outlet.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::mapping) enum Skip {
    AboveHeader,
    Empty,
    Total,
    Note,
    HeaderAgain,
    PassedOver,
    BelowEnd,
    OnlyFilledDown,
    NothingMapped,
    NoDevice,
}

impl Skip {
    pub(super) const ALL: [Self; 10] = [
        Self::AboveHeader,
        Self::Empty,
        Self::Total,
        Self::Note,
        Self::HeaderAgain,
        Self::PassedOver,
        Self::BelowEnd,
        Self::OnlyFilledDown,
        Self::NothingMapped,
        Self::NoDevice,
    ];

    pub(super) const fn reason(self) -> &'static str {
        match self {
            Self::AboveHeader => "above the header",
            Self::Empty => "empty",
            Self::Total => "total row",
            Self::Note => "note below the table",
            Self::HeaderAgain => "header again",
            Self::PassedOver => "passed over by the mapping",
            Self::BelowEnd => "below the end of the table",
            Self::OnlyFilledDown => "heading of the rows below",
            Self::NothingMapped => "nothing in a mapped column",
            Self::NoDevice => "no device named",
        }
    }
}
