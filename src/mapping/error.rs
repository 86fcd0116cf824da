//! What can be wrong with a mapping file: what, in which line, and what to do about it.
//!
//! Owns the errors and how they are shown. All errors of a file are collected before any is shown. To
//! add one, add a [`Problem`].

use std::fmt;
use std::io;
use std::ops::Range;
use std::sync::Arc;

use annotate_snippets::{AnnotationKind, Level, Origin, Renderer, Snippet};
use thiserror::Error;

use super::read::fold;

/// A mapping file as it was read: where it came from, and its text.
#[derive(PartialEq, Eq, Debug)]
pub struct Source {
    /// Its path as the user gave it, or `mappings/NAME.toml` for one that is built in.
    pub path: String,
    /// Its text; empty when it could not be read.
    pub text: String,
}

impl Source {
    /// The line, from 1, on which a place in the text stands.
    pub fn line(&self, place: usize) -> usize {
        self.before(place).matches('\n').count() + 1
    }

    /// The character of its line, from 1, at which a place in the text stands.
    pub fn character(&self, place: usize) -> usize {
        let before = self.before(place);
        before[before.rfind('\n').map_or(0, |end| end + 1)..].chars().count() + 1
    }

    fn before(&self, place: usize) -> &str {
        self.text.get(..place).unwrap_or(&self.text)
    }
}

/// An error in a mapping file, with its place.
///
/// [`Display`](fmt::Display) prints it with the line in question, without colour.
#[derive(Clone, Debug, Error)]
pub struct MappingError {
    /// The file.
    pub source_file: Arc<Source>,
    /// The bytes of its text that are wrong; none when the file itself could not be read.
    pub span: Option<Range<usize>>,
    /// What is wrong.
    pub problem: Problem,
    /// What to do about it.
    pub help: Option<String>,
}

/// What is wrong with a mapping file.
#[derive(Clone, Debug, Error)]
pub enum Problem {
    /// The file could not be read.
    #[error("the file cannot be read: {0}")]
    File(Arc<io::Error>),
    /// It is no TOML.
    #[error("{0}")]
    Syntax(String),
    /// A key that mapping files do not have.
    #[error("unknown key `{key}` in {table}")]
    UnknownKey {
        /// The key.
        key: String,
        /// The table it stands in.
        table: &'static str,
    },
    /// A key without which the file has no meaning.
    #[error("`{key}` is missing")]
    MissingKey {
        /// The key.
        key: &'static str,
    },
    /// A value of another type.
    #[error("`{key}` is {expected}, not {found}")]
    WrongType {
        /// The key.
        key: String,
        /// What it should be, with its article.
        expected: &'static str,
        /// What it is, with its article.
        found: &'static str,
    },
    /// A value of the right type that cannot be meant.
    #[error("`{key}` cannot be {found}")]
    WrongValue {
        /// The key.
        key: String,
        /// The value, as it stands in the file.
        found: String,
    },
    /// A field that the model does not have.
    #[error("unknown field `{0}`")]
    UnknownField(String),
    /// A field that may not stand there.
    #[error("`{field}` cannot be given {place}")]
    MisplacedField {
        /// The field.
        field: &'static str,
        /// Where: `by the table of buildings`.
        place: &'static str,
    },
    /// A unit that the program does not know.
    #[error("unknown unit `{0}`")]
    UnknownUnit(String),
    /// A unit of another quantity.
    #[error("`{field}` is not measured in `{unit}`")]
    WrongUnit {
        /// The field.
        field: &'static str,
        /// The unit.
        unit: String,
    },
    /// A key that says nothing about a field of this kind.
    #[error("`{key}` has no meaning for `{field}`")]
    KeyOfOtherKind {
        /// The key.
        key: &'static str,
        /// The field.
        field: &'static str,
    },
    /// One column under two lines.
    #[error("the column `{header}` stands here twice, first in line {first}")]
    ColumnTwice {
        /// The header.
        header: String,
        /// The line of the first.
        first: usize,
    },
    /// One word with two meanings.
    #[error("`{word}` means both `{first}` and `{second}`")]
    WordTwice {
        /// The word.
        word: String,
        /// Its one meaning.
        first: String,
        /// Its other meaning.
        second: String,
    },
    /// A meaning for empty cells.
    #[error("an empty cell is never a value, so it cannot mean `{0}`")]
    EmptyWord(String),
    /// A value that is none of the field.
    #[error("`{value}` is no value of `{field}`: {why}")]
    NoValue {
        /// The value.
        value: String,
        /// The field.
        field: &'static str,
        /// Why.
        why: String,
    },
    /// A column that no sheet has.
    #[error("no sheet that was read with this mapping has a column `{0}`")]
    ColumnNowhere(String),
}

impl MappingError {
    /// The line of the file, from 1; 1 when the file itself could not be read.
    pub fn line(&self) -> usize {
        self.source_file.line(self.span.as_ref().map_or(0, |span| span.start))
    }

    /// The error with the line in question, as a terminal shows it, with colours where asked.
    pub fn render(&self, colour: bool) -> String {
        let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
        let title = Level::ERROR.primary_title(self.problem.to_string());
        let path = self.source_file.path.as_str();
        let group = match &self.span {
            Some(span) => title.element(
                Snippet::source(self.source_file.text.as_str())
                    .path(path)
                    .annotation(AnnotationKind::Primary.span(span.clone())),
            ),
            None => title.element(Origin::path(path)),
        };
        let group = match &self.help {
            Some(help) => group.element(Level::HELP.message(help.as_str())),
            None => group,
        };
        renderer.render(&[group])
    }
}

impl fmt::Display for MappingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render(false))
    }
}

/// A question that names the known word that looks most like an unknown one, if any does.
pub(super) fn did_you_mean<'k>(
    word: &str,
    known: impl IntoIterator<Item = &'k str>,
) -> Option<String> {
    let key: String = fold(word).collect();
    let limit = (key.chars().count() / 3).max(1);
    let distance = |other: &str| {
        let other: String = fold(other).collect();
        // A word that goes on where the other ends is near, however long its end is.
        let begins = key.len() >= 4 && (other.starts_with(&key) || key.starts_with(&other));
        strsim::damerau_levenshtein(&key, &other).min(if begins { limit } else { usize::MAX })
    };
    let near = known.into_iter().map(|other| (distance(other), other));
    let (_, nearest) = near.filter(|(far, _)| *far <= limit).min_by_key(|(far, _)| *far)?;
    Some(format!("did you mean `{nearest}`?"))
}
