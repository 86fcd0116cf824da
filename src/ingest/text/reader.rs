//! The records of a text file, each with the physical line on which it starts.

use std::fs::File;
use std::io::{Chain, Cursor, Read};
use std::path::{Path, PathBuf};

use super::decode::{self, Decoder, PastLimit, SAMPLE};
use super::sniff;
use crate::ingest::{Format, IngestError, MOST_COLUMNS, Row, Rows};

/// The longest record that is read, in bytes of UTF-8. A longer one is no row of a schedule but a
/// quotation mark without its partner.
const LONGEST_RECORD: u64 = 4 * 1024 * 1024;

/// How much is read ahead of the record at hand.
const READ_AHEAD: usize = 64 * 1024;

type Source = Decoder<Chain<Cursor<Vec<u8>>, File>>;

/// The rows of one text file.
pub(in crate::ingest) struct TextRows {
    path: PathBuf,
    reader: csv::Reader<Source>,
    declared: bool,
}

impl TextRows {
    /// Finds encoding and delimiter in the first bytes of the file.
    pub(in crate::ingest) fn open(
        path: &Path,
        mut file: File,
    ) -> Result<(Format, Self), IngestError> {
        let mut sample = Vec::with_capacity(SAMPLE);
        let length = file
            .by_ref()
            .take(SAMPLE as u64)
            .read_to_end(&mut sample)
            .map_err(|error| IngestError::from_io(path, error))?;
        let whole = length < SAMPLE;
        let (encoding, mark) = decode::detect(&sample, whole);
        let (text, _) = encoding.decode_without_bom_handling(&sample[mark..]);
        let delimiter = sniff::delimiter(&text, whole);
        let format =
            Format::Text { encoding: encoding.name(), delimiter: char::from(delimiter.byte) };
        let mut start = Cursor::new(sample);
        start.set_position(mark as u64);
        let decoder = Decoder::new(start.chain(file), encoding);
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter.byte)
            // One byte ends a record, so that the count of lines is exact behind every record.
            .terminator(csv::Terminator::Any(b'\n'))
            .buffer_capacity(READ_AHEAD)
            .from_reader(decoder);
        Ok((format, Self { path: path.to_path_buf(), reader, declared: delimiter.declared }))
    }

    fn error(&self, error: csv::Error, line: u64) -> IngestError {
        let path = self.path.clone();
        match error.into_kind() {
            csv::ErrorKind::Io(source)
                if source.get_ref().and_then(|e| e.downcast_ref::<PastLimit>()).is_some() =>
            {
                IngestError::RecordTooLong { path, line: number(line), limit: LONGEST_RECORD }
            }
            csv::ErrorKind::Io(source) => IngestError::from_io(&path, source),
            other => IngestError::Unreadable {
                path,
                source: std::io::Error::other(format!("{other:?}")),
            },
        }
    }

    /// Reads one record that is not blank; false behind the last one.
    fn record(&mut self, row: &mut Row) -> Result<bool, IngestError> {
        loop {
            let before = self.reader.position().clone();
            row.restart(0);
            self.reader.get_mut().set_limit(before.byte() + LONGEST_RECORD + READ_AHEAD as u64);
            let read = self.reader.read_record(row.record());
            if !read.map_err(|error| self.error(error, before.line()))? {
                return Ok(false);
            }
            let after = self.reader.position().clone();
            let plain = after.line() == before.line() + 1 && !ends_with_line_feed(row);
            let within = if plain { 0 } else { line_feeds(row) };
            // Every record takes the line feed that ends it. Where that one is within a cell, the
            // cell ran to the end of the file.
            let Some(start) = after.line().checked_sub(within + 1).filter(|l| *l >= before.line())
            else {
                return Err(IngestError::UnclosedQuote {
                    path: self.path.clone(),
                    line: number(before.line()),
                });
            };
            row.number = number(start);
            let columns = row.record().len();
            if columns > MOST_COLUMNS as usize {
                return Err(IngestError::TooManyColumns {
                    path: self.path.clone(),
                    line: row.number,
                    columns,
                    limit: MOST_COLUMNS,
                });
            }
            row.mended = self.reader.get_mut().take_mended(after.byte());
            if row.record().len() > 1 || !row.is_empty() {
                return Ok(true);
            }
        }
    }
}

impl Rows for TextRows {
    fn next(&mut self, row: &mut Row) -> Result<bool, IngestError> {
        if std::mem::take(&mut self.declared) && !self.record(row)? {
            return Ok(false);
        }
        self.record(row)
    }
}

fn ends_with_line_feed(row: &mut Row) -> bool {
    row.record().as_slice().ends_with('\n')
}

fn line_feeds(row: &mut Row) -> u64 {
    let fields = row.record().as_slice().bytes();
    fields.filter(|byte| *byte == b'\n').map(|_| 1).sum()
}

fn number(line: u64) -> u32 {
    u32::try_from(line).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ingest::Cell;

    fn open(bytes: &[u8]) -> (Format, TextRows) {
        let mut file = tempfile::tempfile().unwrap();
        std::io::Write::write_all(&mut file, bytes).unwrap();
        std::io::Seek::rewind(&mut file).unwrap();
        TextRows::open(Path::new("a.csv"), file).unwrap()
    }

    fn rows(bytes: &[u8]) -> Result<Vec<(u32, String)>, IngestError> {
        let (_, mut reader) = open(bytes);
        let (mut row, mut all) = (Row::default(), Vec::new());
        while reader.next(&mut row)? {
            let texts: Vec<_> = (0..row.width())
                .map(|column| match row.cell(column) {
                    Cell::Text(text) => text.to_owned(),
                    Cell::Empty => String::new(),
                    other => panic!("{other:?} in a text file"),
                })
                .collect();
            all.push((row.number, texts.join("|")));
        }
        Ok(all)
    }

    fn expect(bytes: &[u8], expected: &[(u32, &str)]) {
        let found = rows(bytes).unwrap();
        let expected: Vec<_> =
            expected.iter().map(|(line, text)| (*line, (*text).to_owned())).collect();
        assert_eq!(found, expected, "{}", String::from_utf8_lossy(bytes));
    }

    #[test]
    fn rows_start_on_their_physical_line() {
        for end in ["\n", "\r\n", "\r"] {
            let text = "a,b\n\n\n1,\"x\ny\"\n\n2,z\n3,\"\nq\nr\"\n4,5".replace('\n', end);
            let inner = if end == "\r" { "\n" } else { end };
            let (quoted, last) = (format!("1|x{inner}y"), format!("3|{inner}q{inner}r"));
            expect(
                text.as_bytes(),
                &[(1, "a|b"), (4, &quoted), (7, "2|z"), (8, &last), (11, "4|5")],
            );
        }
    }

    #[test]
    fn ragged_rows_doubled_quotes_and_nul_bytes_are_read() {
        expect(
            b"a,b,c\n1\n1,2,3,4\n\"say \"\"hi\"\"\",\"\",x\x00y\n,,\n",
            &[(1, "a|b|c"), (2, "1"), (3, "1|2|3|4"), (4, "say \"hi\"||x\0y"), (5, "||")],
        );
    }

    #[test]
    fn a_declared_delimiter_is_honoured_and_dropped() {
        expect(b"sep=;\r\na;b,c\r\n1;2\r\n", &[(2, "a|b,c"), (3, "1|2")]);
        expect(b"\xef\xbb\xbfsep=|\na|b\n", &[(2, "a|b")]);
        expect(b"sep=;\n", &[]);
    }

    #[test]
    fn utf16_and_windows_1252_are_named() {
        let text = "\u{feff}id\traum\r\n1\tK\u{fc}che\r\n";
        let bytes: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
        expect(&bytes, &[(1, "id|raum"), (2, "1|K\u{fc}che")]);
        assert_eq!(open(&bytes).0, Format::Text { encoding: "UTF-16LE", delimiter: '\t' });
        let bytes = b"id;raum\n1;K\xfcche\n2;Flur \x96 s\xfcd\n";
        expect(bytes, &[(1, "id|raum"), (2, "1|K\u{fc}che"), (3, "2|Flur \u{2013} s\u{fc}d")]);
        assert_eq!(open(bytes).0, Format::Text { encoding: "windows-1252", delimiter: ';' });
    }

    #[test]
    fn mended_bytes_are_counted_in_their_row() {
        let mut bytes = "id,room\n1,caf\u{e9}\n2,\u{e9}t\u{e9}\n".as_bytes().to_vec();
        bytes.extend_from_slice(b"3,caf\xe9\n4,ok\n");
        let (_, mut reader) = open(&bytes);
        let (mut row, mut counts) = (Row::default(), Vec::new());
        while reader.next(&mut row).unwrap() {
            counts.push(row.mended);
            if row.number == 4 {
                assert_eq!(row.cell(1), Cell::Text("caf\u{e9}"));
            }
        }
        assert_eq!(counts, [0, 0, 0, 1, 0]);
    }

    #[test]
    fn an_unclosed_quote_is_an_error_with_its_line() {
        for bytes in [
            b"a,b\n1,2\n3,\"4\n5,6\n".as_slice(),
            b"a,b\n1,2\n3,\"4",
            b"a,b\n1,2\n3,\"4\n",
            b"a,b\r\n1,2\r\n3,\"4\r\n5,6",
        ] {
            let error = rows(bytes).unwrap_err();
            assert!(matches!(error, IngestError::UnclosedQuote { line: 3, .. }), "{error}");
        }
    }

    #[test]
    fn a_record_without_end_is_refused_with_its_line() {
        let mut bytes = b"a,b\n1,2\n3,\"".to_vec();
        bytes.resize(6 * 1024 * 1024, b'x');
        let error = rows(&bytes).unwrap_err();
        assert!(matches!(error, IngestError::RecordTooLong { line: 3, .. }), "{error}");
    }

    #[test]
    fn many_records_pass_the_limit_together() {
        let bytes = b"0123456789,0123456789,0123456789\n".repeat(300_000);
        assert_eq!(rows(&bytes).unwrap().len(), 300_000);
    }

    /// One cell, one row and its line end, as they are written.
    fn written(cells: &[String], end: &str) -> String {
        let quoted: Vec<_> =
            cells.iter().map(|cell| format!("\"{}\"", cell.replace('"', "\"\""))).collect();
        quoted.join(",") + end
    }

    fn lines_before(text: &str) -> u32 {
        let line_ends = text.replace("\r\n", "\n");
        1 + u32::try_from(line_ends.matches(['\r', '\n']).count()).unwrap()
    }

    proptest::proptest! {
        /// Whatever the cells hold and the lines end with, the cells come back with their line.
        #[test]
        fn written_tables_come_back(
            rows in proptest::collection::vec(
                (
                    proptest::collection::vec("(a|,|;|\"|\n|\r\n|\u{e9}| ){0,6}", 1..5),
                    proptest::sample::select(vec!["\n", "\r\n", "\r"]),
                    proptest::sample::select(vec!["", "\n", "\r\n\r\n", "\r"]),
                ),
                1..8,
            ),
            last_end in proptest::bool::ANY,
        ) {
            let (mut text, mut expected) = ("sep=,\n".to_owned(), Vec::new());
            for (cells, end, blank) in &rows {
                let cells: Vec<_> = cells.iter().map(|cell| format!("k{cell}")).collect();
                expected.push((lines_before(&text), cells.join("|")));
                text += &written(&cells, end);
                text += blank;
            }
            if !last_end {
                text.truncate(text.trim_end_matches(['\r', '\n']).len());
            }
            proptest::prop_assert_eq!(super::tests::rows(text.as_bytes()).unwrap(), expected);
        }
    }
}
