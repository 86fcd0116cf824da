//! Text as HTML: markup, quotes and control characters of an input never reach the page as such.

use std::fmt::{self, Write as _};

/// A text that is shown as it is, in an element or between the quotes of an attribute.
#[derive(Clone, Copy)]
pub(super) struct Escaped<'a>(pub(super) &'a str);

impl fmt::Display for Escaped<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for one in self.0.chars() {
            match one {
                '&' => f.write_str("&amp;")?,
                '<' => f.write_str("&lt;")?,
                '>' => f.write_str("&gt;")?,
                '"' => f.write_str("&quot;")?,
                '\'' => f.write_str("&#39;")?,
                '\n' | '\t' => f.write_char(one)?,
                control if control.is_control() => f.write_char(char::REPLACEMENT_CHARACTER)?,
                other => f.write_char(other)?,
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_quotes_and_controls_are_shown_and_not_obeyed() {
        let text = "<script>alert('1')</script> \"A\" & B\u{0}\u{1b}[31m\nC";
        let shown = "&lt;script&gt;alert(&#39;1&#39;)&lt;/script&gt; &quot;A&quot; &amp; B\u{fffd}\u{fffd}[31m\nC";
        assert_eq!(Escaped(text).to_string(), shown);
    }
}
