//! The columns that every breakdown has.

use crate::statistics::Figures;
use crate::statistics::breakdown::LEAST_FOR_A_RATE;

use crate::statistics::interval::{Interval, wilson};

use super::plan::{Cell, Column, GRADES_ARE_OURS, column};

/// Why a rate is not told.
pub(super) const TOO_FEW: &str = "too few";

/// Outlets, and those with a violation.
pub(super) const OUTLETS: [Column; 3] = [
    column("Outlets", 9, 12),
    column("With a violation", 10, 12),
    column("Share with a violation", 10, 12),
];

/// How far a share could move by chance.
pub(super) const RANGE: [Column; 2] = [column("95 % range from", 9, 10), column("to", 8, 10)];

/// Violations by grade, what waits, and what could be decided.
pub(super) const VIOLATIONS: [Column; 6] = [
    column("Violations", 11, 12),
    column("danger", 9, 12),
    column("latent", 9, 12),
    column("workmanship", 13, 14),
    column("Undetermined verdicts", 13, 14),
    column("Share of verdicts decided", 10, 12),
];

/// What the columns mean.
pub(super) fn note() -> String {
    format!(
        "An outlet is a device: a row counts as often as its quantity says. Violations are counted one a \
         finding; one of a whole box, circuit or bed location counts where its first row stands. \
         No share is told for fewer than {LEAST_FOR_A_RATE} outlets. {GRADES_ARE_OURS}"
    )
}

/// What the range means, and what it does not.
pub(super) const RANGE_NOTE: &str = "The share is of what was found: where fewer verdicts could be decided, fewer violations are \
found. The 95 % range says between which shares the true quality of the work lies, if chance alone made these outlets right \
or wrong one by one (Wilson's interval); so few outlets, so wide a range. Work that one crew did in one go is right or wrong \
together, and the range is then wider than shown.";

/// The cells of [`RANGE`]; blank where no share is told.
pub(super) fn range(events: u64, of: u64) -> [Cell; 2] {
    match wilson(events, of).filter(|_| of >= LEAST_FOR_A_RATE) {
        Some(Interval { lower, upper }) => [Cell::Share(lower), Cell::Share(upper)],
        None => [Cell::Blank, Cell::Blank],
    }
}

/// The cells of [`OUTLETS`].
pub(super) fn outlets(figures: &Figures) -> [Cell; 3] {
    [
        Cell::Count(figures.outlets),
        Cell::Count(figures.violating),
        Cell::share(figures.rate(), TOO_FEW),
    ]
}

/// The cells of [`VIOLATIONS`].
pub(super) fn violations(figures: &Figures) -> [Cell; 6] {
    let [danger, latent, workmanship] = figures.violations.map(Cell::Count);
    [
        Cell::Count(figures.all_violations()),
        danger,
        latent,
        workmanship,
        Cell::Count(figures.undetermined),
        Cell::share(figures.decided_share(), "none reached"),
    ]
}
