//! Lines that fit a terminal: broken between words, the same whether a terminal or a pipe reads them.

use std::borrow::Cow;

/// Columns of the narrowest terminal that is provided for.
const COLUMNS: usize = 80;

/// The text without the control characters by which a schedule could speak to the terminal itself.
pub(super) fn plain(text: &str) -> Cow<'_, str> {
    let control = |letter: char| letter.is_control() && !matches!(letter, '\n' | '\t');
    if text.contains(control) {
        Cow::Owned(text.replace(control, "\u{fffd}"))
    } else {
        Cow::Borrowed(text)
    }
}

/// The text after its lead, broken between words; lines after the first stand below the text.
pub(super) fn wrapped(lead: &str, text: &str) -> String {
    let indent = lead.chars().count();
    let (lead, text) = (plain(lead), plain(text));
    let mut lines = lead.into_owned();
    let mut column = indent;
    for word in text.split_whitespace() {
        let width = word.chars().count();
        let first = column == indent;
        if !first && column + 1 + width > COLUMNS {
            lines.push('\n');
            lines.extend(std::iter::repeat_n(' ', indent));
            column = indent;
        } else if !first {
            lines.push(' ');
            column += 1;
        }
        lines.push_str(word);
        column += width;
    }
    lines.truncate(lines.trim_end().len());
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_between_words_and_hang_below_the_text() {
        let long = "ninechars ".repeat(9);
        let lines = wrapped("  lead: ", &long);
        let lines: Vec<&str> = lines.lines().collect();
        assert_eq!(lines[0].len(), 8 + 7 * 10 - 1);
        assert_eq!(lines[1..], ["        ninechars ninechars"]);
    }

    #[test]
    fn what_a_terminal_would_obey_is_shown() {
        assert_eq!(
            wrapped("\u{1b}]0;a: ", "x\u{9b}31m\u{7} y\tz"),
            "\u{fffd}]0;a: x\u{fffd}31m\u{fffd} y z"
        );
        assert_eq!(plain("one\ntwo"), "one\ntwo");
    }

    #[test]
    fn a_word_longer_than_the_line_stays_whole_and_no_blank_ends_a_line() {
        let path = "p".repeat(100);
        assert_eq!(wrapped("in ", &path), format!("in {path}"));
        assert_eq!(wrapped("  word  ", ""), "  word");
    }
}
