//! The columns that every breakdown has.

use crate::statistics::Figures;
use crate::statistics::breakdown::LEAST_FOR_A_RATE;

use super::plan::{Cell, Column, GRADES_ARE_OURS, column};

/// Why a rate is not told.
pub(super) const TOO_FEW: &str = "too few";

/// Outlets, and those with a violation.
pub(super) const OUTLETS: [Column; 3] = [
    column("Outlets", 9, 12),
    column("With a violation", 10, 12),
    column("Share with a violation", 10, 12),
];

/// Violations by grade, and what waits.
pub(super) const VIOLATIONS: [Column; 5] = [
    column("Violations", 11, 12),
    column("danger", 9, 12),
    column("latent", 9, 12),
    column("workmanship", 13, 14),
    column("Undetermined verdicts", 13, 14),
];

/// What the columns mean.
pub(super) fn note() -> String {
    format!(
        "An outlet is a device: a row counts as often as its quantity says. Violations are counted one a \
         finding; one of a whole box, circuit or bed location counts where its first row stands. \
         No share is told for fewer than {LEAST_FOR_A_RATE} outlets. {GRADES_ARE_OURS}"
    )
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
pub(super) fn violations(figures: &Figures) -> [Cell; 5] {
    let [danger, latent, workmanship] = figures.violations.map(Cell::Count);
    [
        Cell::Count(figures.all_violations()),
        danger,
        latent,
        workmanship,
        Cell::Count(figures.undetermined),
    ]
}
