//! What a cell may hold and what is read from it, in tables that name their sources.

use super::*;

/// Reads a text in a column of which nothing else is known.
pub(super) fn text(field: Field, text: &str) -> Reading {
    read(Content::Text(text), &Column::of(field), &mut Texts::default())
}

/// Checks a table of texts and their values.
pub(super) fn known(field: Field, table: &[(&str, i64)]) {
    for (cell, value) in table {
        assert_eq!(text(field, cell), Reading::Known(*value), "{}: `{cell}`", field.name());
    }
}

/// Checks a table of texts that are refused.
pub(super) fn refused(field: Field, table: &[(&str, Why)]) {
    for (cell, why) in table {
        assert_eq!(text(field, cell), Reading::Unreadable(*why), "{}: `{cell}`", field.name());
    }
}
