//! Counts as numbers, and numbers as counts.

/// A count, to be reckoned with.
#[expect(clippy::cast_precision_loss, reason = "counts of outlets are far below 2^52")]
pub(super) const fn whole(count: u64) -> f64 {
    count as f64
}

/// The count in a size that is not negative.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a cast to an integer saturates, and sizes are not negative"
)]
pub(super) const fn floor(size: f64) -> u64 {
    size as u64
}
