//! Cells as the account of what was read keeps them.

/// The most characters of a cell that are shown: what it is can be told, and a text that a workbook holds
/// once and shows in a million cells is not held a million times.
const MOST_CHARACTERS: usize = 300;

/// The text of a cell as the account keeps it.
pub(super) fn clipped(text: &str) -> String {
    match text.char_indices().nth(MOST_CHARACTERS) {
        Some((end, _)) => format!("{}\u{2026}", &text[..end]),
        None => text.to_owned(),
    }
}
