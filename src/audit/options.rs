//! How an audit is asked for.

use crate::code::Amendment;
use crate::outlet::words::Edition;
use crate::outlet::{Field, Length, Outlet};

use super::selection::Selection;

/// How finely a length of an outlet was measured, where it is not as usual.
pub type Resolution<'a> = dyn Fn(&Outlet, Field) -> Option<Length> + Sync + 'a;

/// How an audit is run.
pub struct Options<'a> {
    /// The rules.
    pub selection: &'a Selection,
    /// The edition for rows that record none that can be read.
    pub edition: Option<Edition>,
    /// Local amendments; no two of one rule for one building.
    pub amendments: &'a [Amendment],
    /// A newer edition by which what is lawful as built is judged again.
    pub also_against: Option<Edition>,
    /// Whether to keep every verdict, not only the findings.
    pub keep_verdicts: bool,
    /// How finely a length of an outlet was measured, where that is said of any.
    pub resolution: Option<&'a Resolution<'a>>,
    /// Called once, with the number of subjects that will be judged.
    pub begin: &'a (dyn Fn(u64) + Sync),
    /// Called with the number of subjects judged since the last call.
    pub progress: &'a (dyn Fn(u64) + Sync),
}

impl<'a> Options<'a> {
    /// The plainest audit: the adopted code as it is, the findings alone, lengths measured as usual.
    pub fn of(selection: &'a Selection) -> Self {
        Self {
            selection,
            edition: None,
            amendments: &[],
            also_against: None,
            keep_verdicts: false,
            resolution: None,
            begin: &|_| {},
            progress: &|_| {},
        }
    }
}
