//! Local amendments: what a jurisdiction changed when it adopted the code.
//!
//! An amendment switches a rule off, carries a rule into an edition that lacks it, or changes one of its
//! limits; always with its own citation, for all buildings or for some.

use std::fmt;

use crate::outlet::words::Edition;
use crate::outlet::{Length, Word as _};

use super::limit::Limit;

/// One change of one rule.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Amendment {
    /// The rule.
    pub rule: String,
    /// Where the amendment stands.
    pub citation: String,
    /// The buildings for which it holds; all when empty.
    pub buildings: Vec<String>,
    /// What it changes.
    pub change: Change,
}

/// What an amendment changes.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Change {
    /// The rule does not hold.
    pub off: bool,
    /// Editions in which the rule is judged as in another.
    pub as_in: Vec<(Edition, Edition)>,
    /// Limits by name, with their new length.
    pub limits: Vec<(String, Length)>,
}

impl Change {
    /// The edition by which the rule is judged where this one governs.
    pub fn edition(&self, governing: Edition) -> Edition {
        let moved = self.as_in.iter().find(|(from, _)| *from == governing);
        moved.map_or(governing, |(_, to)| *to)
    }

    /// Whether the change makes a difference where these editions may govern.
    pub fn reaches(&self, editions: &[Edition]) -> bool {
        self.off
            || !self.limits.is_empty()
            || editions.iter().any(|edition| self.edition(*edition) != *edition)
    }

    /// A limit as changed, or as it is.
    pub fn limit(&self, limit: Limit) -> Limit {
        let changed = self.limits.iter().find(|(name, _)| name == limit.name);
        changed.map_or(limit, |(_, length)| Limit { length: *length, printed: "", ..limit })
    }
}

impl fmt::Display for Change {
    /// `switched off`, or `2014 and 2017 as in 2020`, or `set-back: 3 mm (0.1181 in)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.off {
            return f.write_str("switched off");
        }
        let moved =
            self.as_in.iter().map(|(from, to)| format!("{} as in {}", from.word(), to.word()));
        let limits = self.limits.iter().map(|(name, length)| format!("{name}: {length}"));
        f.write_str(&moved.chain(limits).collect::<Vec<_>>().join("; "))
    }
}
