//! Any text encoding to UTF-8, as a stream.
//!
//! UTF-8 is checked where it lies, in the buffer of whoever reads. A byte that is not valid there is
//! read as Windows-1252, so that nothing is lost, and its place is remembered. A carriage return alone
//! ends a line as in the files of old, so it becomes a line feed, and the last line always gets its end.

use std::collections::VecDeque;
use std::io::{self, Read};

use chardetng::{EncodingDetector, Iso2022JpDetection, Utf8Detection};
use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

/// How much of a file is looked at to find its encoding, its line ends and its delimiter.
pub(in crate::ingest) const SAMPLE: usize = 64 * 1024;

/// The encoding of a file and the length of its byte order mark, told by its first bytes.
pub(in crate::ingest) fn detect(sample: &[u8], whole: bool) -> (&'static Encoding, usize) {
    if let Some(found) = Encoding::for_bom(sample) {
        return found;
    }
    if let Some(encoding) = detect_utf16(sample) {
        return (encoding, 0);
    }
    if is_mostly_utf8(sample) {
        return (UTF_8, 0);
    }
    let mut detector = EncodingDetector::new(Iso2022JpDetection::Deny);
    detector.feed(sample, whole);
    (detector.guess(None, Utf8Detection::Deny), 0)
}

/// UTF-16 without a mark: the text of a schedule is mostly ASCII, so every other byte is zero.
fn detect_utf16(sample: &[u8]) -> Option<&'static Encoding> {
    let pairs = sample.len() / 2;
    let zeros = |offset: usize| {
        sample.iter().skip(offset).step_by(2).take(pairs).filter(|byte| **byte == 0).count()
    };
    let (even, odd) = (zeros(0), zeros(1));
    if pairs > 0 && odd * 10 > pairs * 4 && even * 20 < pairs {
        Some(UTF_16LE)
    } else if pairs > 0 && even * 10 > pairs * 4 && odd * 20 < pairs {
        Some(UTF_16BE)
    } else {
        None
    }
}

/// Whether the bytes beyond ASCII are UTF-8 more often than not.
fn is_mostly_utf8(sample: &[u8]) -> bool {
    let (mut characters, mut bad, mut rest) = (0_usize, 0_usize, sample);
    loop {
        let (valid, tail) = match std::str::from_utf8(rest) {
            Ok(valid) => (valid, None),
            Err(error) => {
                let valid = std::str::from_utf8(&rest[..error.valid_up_to()]).unwrap_or_default();
                (valid, error.error_len().map(|length| &rest[error.valid_up_to() + length..]))
            }
        };
        characters += valid.chars().filter(|character| !character.is_ascii()).count();
        let Some(tail) = tail else { break };
        bad += 1;
        rest = tail;
    }
    bad == 0 || characters > bad
}

/// The smallest buffer a [`Decoder`] reads into: a few characters and a line end.
const LEAST: usize = 16;

/// A reader that hands out UTF-8, whatever it is given.
pub(in crate::ingest) struct Decoder<R> {
    source: R,
    /// What turns bytes to UTF-8; none when they are UTF-8 already.
    converter: Option<encoding_rs::Decoder>,
    raw: Vec<u8>,
    /// Finished UTF-8 that found no room in the buffer of the reader.
    ready: VecDeque<u8>,
    /// The bytes of a character whose end has not been read yet.
    partial: Vec<u8>,
    /// Places, in the UTF-8 handed out, of characters that stand for bad bytes.
    mended: VecDeque<u64>,
    /// Bytes handed out or held back.
    produced: u64,
    limit: u64,
    last: u8,
    /// Whether a carriage return is held back.
    held: bool,
    finished: bool,
}

/// The error with which reading stops when a record passes the limit.
#[derive(Debug, thiserror::Error)]
#[error("the record is too long")]
pub(in crate::ingest) struct PastLimit;

impl<R: Read> Decoder<R> {
    /// Reads `source`, which stands after its byte order mark, as `encoding`.
    pub(in crate::ingest) fn new(source: R, encoding: &'static Encoding) -> Self {
        let converter = (encoding != UTF_8).then(|| encoding.new_decoder_without_bom_handling());
        Self {
            source,
            converter,
            raw: Vec::new(),
            ready: VecDeque::new(),
            partial: Vec::new(),
            mended: VecDeque::new(),
            produced: 0,
            limit: u64::MAX,
            last: b'\n',
            held: false,
            finished: false,
        }
    }

    /// Stops with [`PastLimit`] when more than so many bytes have been handed out.
    pub(in crate::ingest) fn set_limit(&mut self, limit: u64) {
        self.limit = limit;
    }

    /// How many characters before this place, not yet counted, stand for bad bytes.
    pub(in crate::ingest) fn take_mended(&mut self, before: u64) -> u32 {
        let mut count = 0;
        while self.mended.front().is_some_and(|place| *place < before) {
            self.mended.pop_front();
            count += 1;
        }
        count
    }

    fn read_converted(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        self.raw.resize(SAMPLE, 0);
        let length = self.source.read(&mut self.raw)?;
        self.finished = length == 0;
        let Some(converter) = &mut self.converter else { return Ok(0) };
        let needed = converter.max_utf8_buffer_length(length).unwrap_or(length * 4);
        let mut decoded = vec![0; needed];
        let (_, _, written, _) =
            converter.decode_to_utf8(&self.raw[..length], &mut decoded, self.finished);
        decoded.truncate(written);
        self.queue(&decoded);
        Ok(self.drain(buffer))
    }

    fn read_plain(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let kept = self.partial.len();
        buffer[..kept].copy_from_slice(&self.partial);
        self.partial.clear();
        let length = self.source.read(&mut buffer[kept..])?;
        self.finished = length == 0;
        let filled = kept + length;
        let Err(error) = std::str::from_utf8(&buffer[..filled]) else { return Ok(filled) };
        let valid = error.valid_up_to();
        if error.error_len().is_none() && !self.finished {
            self.partial.extend_from_slice(&buffer[valid..filled]);
            return if valid == 0 { self.read_plain(buffer) } else { Ok(valid) };
        }
        let tail = buffer[valid..filled].to_vec();
        self.mend(&tail, self.produced + valid as u64);
        Ok(valid + self.drain(&mut buffer[valid..]))
    }

    /// Queues bytes of which some are not UTF-8, each of those as its Windows-1252 character.
    fn mend(&mut self, mut bytes: &[u8], place: u64) {
        let mut text = String::new();
        while !bytes.is_empty() {
            match std::str::from_utf8(bytes) {
                Ok(valid) => {
                    text.push_str(valid);
                    bytes = &[];
                }
                Err(error) => {
                    let (valid, tail) = bytes.split_at(error.valid_up_to());
                    text.push_str(std::str::from_utf8(valid).unwrap_or_default());
                    if error.error_len().is_none() && !self.finished {
                        self.partial.extend_from_slice(tail);
                        break;
                    }
                    self.mended.push_back(place + text.len() as u64);
                    let (character, rest) = tail.split_at(1);
                    text.push_str(&WINDOWS_1252.decode_without_bom_handling(character).0);
                    bytes = rest;
                }
            }
        }
        self.queue(text.as_bytes());
    }

    /// Fills the buffer with UTF-8; nothing only at the end.
    fn produce(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let mut length = self.drain(buffer);
        while length == 0 && !self.finished {
            length = if self.converter.is_some() {
                self.read_converted(buffer)?
            } else {
                self.read_plain(buffer)?
            };
        }
        Ok(length)
    }

    /// Turns carriage returns that stand alone into line feeds. One at the very end is held back
    /// until it is known what follows it; returns how many bytes are left.
    fn break_lines(&mut self, bytes: &mut [u8]) -> usize {
        if !bytes.contains(&b'\r') {
            return bytes.len();
        }
        let mut from = 0;
        while let Some(at) = bytes[from..].iter().position(|byte| *byte == b'\r') {
            let place = from + at;
            match bytes.get(place + 1) {
                None => {
                    self.held = true;
                    return place;
                }
                Some(b'\n') => {}
                Some(_) => bytes[place] = b'\n',
            }
            from = place + 1;
        }
        bytes.len()
    }

    /// The end of the last line, where the file has none.
    fn end(&mut self, buffer: &mut [u8]) -> usize {
        let held = std::mem::take(&mut self.held);
        if !held && self.last == b'\n' {
            return 0;
        }
        self.produced += u64::from(!held);
        self.last = b'\n';
        buffer[0] = b'\n';
        1
    }

    fn queue(&mut self, bytes: &[u8]) {
        self.ready.extend(bytes);
    }

    fn drain(&mut self, buffer: &mut [u8]) -> usize {
        self.ready.read(buffer).unwrap_or(0)
    }
}

impl<R: Read> Read for Decoder<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if self.produced > self.limit {
            return Err(io::Error::other(PastLimit));
        }
        if buffer.len() < LEAST {
            return Err(io::ErrorKind::InvalidInput.into());
        }
        loop {
            let held = usize::from(self.held);
            let length = self.produce(&mut buffer[held..])?;
            self.produced += length as u64;
            if length == 0 {
                return Ok(self.end(buffer));
            }
            if std::mem::take(&mut self.held) {
                buffer[0] = b'\r';
            }
            let filled = self.break_lines(&mut buffer[..held + length]);
            if filled > 0 {
                self.last = buffer[filled - 1];
                return Ok(filled);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A source that hands out a few bytes at a time, as a slow disk would.
    struct Drip<'a>(&'a [u8], usize);

    impl Read for Drip<'_> {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            let length = self.1.min(self.0.len()).min(buffer.len());
            buffer[..length].copy_from_slice(&self.0[..length]);
            self.0 = &self.0[length..];
            Ok(length)
        }
    }

    fn decoded(bytes: &[u8], step: usize) -> (String, u32) {
        let sample = &bytes[..bytes.len().min(SAMPLE)];
        let (encoding, mark) = detect(sample, true);
        let mut decoder = Decoder::new(Drip(&bytes[mark..], step), encoding);
        let (mut text, mut buffer) = (Vec::new(), [0; LEAST]);
        loop {
            match decoder.read(&mut buffer).unwrap() {
                0 => break,
                length => text.extend_from_slice(&buffer[..length]),
            }
        }
        (String::from_utf8(text).unwrap(), decoder.take_mended(u64::MAX))
    }

    #[test]
    fn every_encoding_gives_the_same_text() {
        let text = "room,note\n104,caf\u{e9} \u{2013} 5\u{bd} in\n";
        let little: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let big: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
        let files = [
            text.as_bytes().to_vec(),
            [b"\xef\xbb\xbf", text.as_bytes()].concat(),
            [b"\xff\xfe", little.as_slice()].concat(),
            [b"\xfe\xff", big.as_slice()].concat(),
            little,
            big,
            b"room,note\n104,caf\xe9 \x96 5\xbd in\n".to_vec(),
        ];
        for file in files {
            for step in [1, 2, 3, 7, 1000] {
                assert_eq!(decoded(&file, step), (text.to_owned(), 0), "{file:?} by {step}");
            }
        }
    }

    #[test]
    fn line_ends_of_every_kind() {
        for step in [1, 2, 3, 100] {
            let (text, _) = decoded(b"a\r\nb\rc\n\r\rd\r\n\re\r", step);
            assert_eq!(text, "a\r\nb\nc\n\n\nd\r\n\ne\n");
            assert_eq!(decoded(b"a\r\nb", step).0, "a\r\nb\n");
        }
    }

    #[test]
    fn a_bad_byte_in_utf8_is_kept_and_counted() {
        let file = b"\xc3\xa9\xc3\xa8,\xe9,ok\n\xe2\x82";
        for step in [1, 2, 5, 100] {
            let (text, mended) = decoded(file, step);
            assert_eq!(text, "\u{e9}\u{e8},\u{e9},ok\n\u{e2}\u{201a}\n");
            assert_eq!(mended, 3);
        }
    }
}
