//! The guard of the CSV files: a spreadsheet must not take a text of a schedule for a formula.
//!
//! A text that came from an input and begins with `=`, `+`, `-`, `@`, a tab or a return gets a leading
//! apostrophe. Whoever reads the files back takes it off again. Numbers are never touched.

use std::borrow::Cow;

/// The characters at which a spreadsheet may start to calculate.
pub const FORMULA_STARTS: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// The text, with an apostrophe before it where it could be taken for a formula.
pub fn guarded<'a>(text: impl Into<Cow<'a, str>>) -> Cow<'a, str> {
    let text = text.into();
    if text.starts_with(FORMULA_STARTS) { format!("'{text}").into() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_texts_that_could_be_formulas_are_guarded() {
        assert_eq!(guarded("=1+1"), "'=1+1");
        assert_eq!(guarded("-B1"), "'-B1");
        assert_eq!(guarded("\tx"), "'\tx");
        assert_eq!(guarded("1E01"), "1E01");
        assert_eq!(guarded("B-1"), "B-1");
        assert_eq!(guarded(""), "");
    }
}
