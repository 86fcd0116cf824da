//! A source of which only so much is read: sheets that all show one part would make a small file endless.

use std::io::{self, Read, Seek, SeekFrom};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// The reader passes over a file a few times: for its texts, and twice for each of its own sheets.
const MOST_PASSES: u64 = 4;

/// What a reader may pass over beside, in bytes: directories and the heads of parts.
const PASSED_BESIDE: u64 = 128 * 1024;

const OVER_AND_OVER: &str = "its sheets show the same part over and over";

/// Whether all was read of a source that may be.
pub(super) type Spent = Arc<AtomicBool>;

/// A source that ends in an error when more is read from it than sheets of their own can hold.
pub(super) struct Metered<R> {
    source: R,
    left: u64,
    spent: Spent,
}

impl<R> Metered<R> {
    /// A source of so many bytes.
    pub(super) fn new(source: R, bytes: u64, spent: &Spent) -> Self {
        let left = bytes.saturating_mul(MOST_PASSES).saturating_add(PASSED_BESIDE);
        Self { source, left, spent: Arc::clone(spent) }
    }
}

impl<R: Read> Read for Metered<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let length = self.source.read(buffer)?;
        let left = self.left.checked_sub(length as u64);
        self.left = left.unwrap_or_default();
        self.spent.store(left.is_none(), Ordering::Relaxed);
        left.map(|_| length).ok_or_else(|| io::Error::other(OVER_AND_OVER))
    }
}

impl<R: Seek> Seek for Metered<R> {
    fn seek(&mut self, place: SeekFrom) -> io::Result<u64> {
        self.source.seek(place)
    }
}
