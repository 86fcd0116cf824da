//! What a survey is to ask for, from what was typed.

use crate::report::workbook::survey::Sheets;
use crate::survey::Wish;

use super::arguments::Collecting;
use super::facts;
use super::failure::Failure;

/// The facts to collect.
pub(super) fn wish(options: &Collecting) -> Result<Wish, Failure> {
    if options.facts.is_empty() {
        return Ok(Wish::Most(options.most.into()));
    }
    Ok(Wish::Facts(facts::named(&options.facts)?))
}

/// How the lines are laid out.
pub(super) const fn sheets(options: &Collecting) -> Sheets {
    if options.sheet_per_floor { Sheets::PerFloor } else { Sheets::One }
}
