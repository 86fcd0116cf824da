//! The tags of an XML part, one after another, each found in one pass and held up to a limit.

use std::io::{self, BufRead, BufReader, Read};

/// No tag of a spreadsheet is longer, in bytes.
const LONGEST_TAG: u64 = 4 * 1024 * 1024;

/// The tags of a part.
pub(super) struct Tags<R> {
    source: BufReader<R>,
    /// What stands between the angle brackets of the tag at hand.
    pub(super) tag: Vec<u8>,
    /// Bytes of text before it.
    pub(super) before: u64,
    /// Bytes passed, this tag among them.
    pub(super) position: u64,
    /// Whether the tag at hand is longer than any, so that the pass ended there.
    pub(super) endless: bool,
}

impl<R: Read> Tags<R> {
    pub(super) fn new(part: R) -> Self {
        let source = BufReader::with_capacity(64 * 1024, part);
        Self { source, tag: Vec::new(), before: 0, position: 0, endless: false }
    }

    /// Reads up to the end of the next tag; false at the end of the part.
    pub(super) fn next(&mut self) -> io::Result<bool> {
        self.before = self.source.skip_until(b'<')? as u64;
        self.position += self.before;
        self.tag.clear();
        // The quotation mark that is open, and up to where it was looked for.
        let (mut open, mut seen) = (None, 0);
        loop {
            let left = LONGEST_TAG - self.tag.len() as u64;
            let length = self.source.by_ref().take(left).read_until(b'>', &mut self.tag)?;
            self.position += length as u64;
            if length == 0 || self.tag.last() != Some(&b'>') {
                self.endless = self.tag.len() as u64 >= LONGEST_TAG;
                return Ok(false);
            }
            if self.is_closed(&mut open, &mut seen) {
                self.tag.pop();
                return Ok(true);
            }
            if self.tag.len() as u64 >= LONGEST_TAG {
                self.endless = true;
                return Ok(false);
            }
        }
    }

    /// Whether the `>` at the end closes the tag: in comments, raw text and quoted values it does not.
    fn is_closed(&self, open: &mut Option<u8>, seen: &mut usize) -> bool {
        let tag = &self.tag;
        if tag.starts_with(b"!--") {
            return tag.ends_with(b"-->");
        }
        if tag.starts_with(b"![CDATA[") {
            return tag.ends_with(b"]]>");
        }
        for byte in &tag[*seen..] {
            match *open {
                None if matches!(byte, b'"' | b'\'') => *open = Some(*byte),
                Some(quote) if quote == *byte => *open = None,
                _ => {}
            }
        }
        *seen = tag.len();
        open.is_none()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tags(part: &[u8]) -> (Vec<String>, bool) {
        let mut tags = Tags::new(part);
        let mut all = Vec::new();
        while tags.next().unwrap() {
            all.push(String::from_utf8_lossy(&tags.tag).into_owned());
        }
        (all, tags.endless)
    }

    #[test]
    fn a_bracket_in_a_comment_in_raw_text_and_in_quotes_ends_no_tag() {
        let part = b"<a b='>' c=\">'\">text<!-- > --><![CDATA[ > ]]></a><cut";
        let expected = ["a b='>' c=\">'\"", "!-- > --", "![CDATA[ > ]]", "/a"];
        let (tags, endless) = tags(part);
        assert_eq!(tags, expected);
        assert!(!endless);
    }

    /// Found by looking at what a search over and over would take: the square of its length.
    #[test]
    fn a_tag_without_end_is_given_up_soon() {
        let open = [b"<a b='".to_vec(), vec![b'>'; 8 << 20]].concat();
        assert!(tags(&open).1);
        let long = [b"<".to_vec(), vec![b'a'; 8 << 20], b">".to_vec()].concat();
        assert!(tags(&long).1);
    }
}
