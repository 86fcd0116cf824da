//! Finding the delimiter of a text file.

/// The delimiters that are tried; the first wins a tie.
const DELIMITERS: [u8; 4] = [b',', b';', b'\t', b'|'];

/// The delimiter of a file, and whether its first line does nothing but name it.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Delimiter {
    pub(super) byte: u8,
    pub(super) declared: bool,
}

/// Finds the delimiter of `sample`, the start of a file, `whole` when it is all of it.
///
/// Quoted cells are honoured. The delimiter under which most records have the same number of cells
/// wins, and of two that agree as well, the one that makes more cells: every row of a file of
/// semicolons may have one decimal comma.
pub(super) fn delimiter(sample: &str, whole: bool) -> Delimiter {
    if let Some(byte) = declared(sample) {
        return Delimiter { byte, declared: true };
    }
    let mut best = (0.0, b',');
    for byte in DELIMITERS {
        let score = consistency(sample, whole, byte);
        if score > best.0 {
            best = (score, byte);
        }
    }
    Delimiter { byte: best.1, declared: false }
}

/// The delimiter that a first line `sep=;` names, as spreadsheets write and honour it.
fn declared(sample: &str) -> Option<u8> {
    let line = sample.split(['\r', '\n']).next()?;
    let line = line.strip_prefix('"').and_then(|line| line.strip_suffix('"')).unwrap_or(line);
    match line.get(..4)?.eq_ignore_ascii_case("sep=").then(|| &line.as_bytes()[4..])? {
        [byte] if byte.is_ascii() && *byte != b'"' => Some(*byte),
        _ => None,
    }
}

fn consistency(sample: &str, whole: bool, delimiter: u8) -> f64 {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(sample.as_bytes());
    let mut record = csv::ByteRecord::new();
    let mut widths = Vec::new();
    while reader.read_byte_record(&mut record).unwrap_or(false) {
        widths.push(record.len());
    }
    // The sample may end within a record.
    if !whole && widths.len() > 1 {
        widths.pop();
    }
    let records = widths.len();
    widths.sort_unstable();
    let groups = widths.chunk_by(PartialEq::eq);
    let scores = groups.filter_map(|group| score(*group.first()?, group.len(), records));
    scores.fold(0.0, f64::max)
}

fn score(width: usize, count: usize, records: usize) -> Option<f64> {
    if width < 2 {
        return None;
    }
    let share = f64::from(u32::try_from(count).ok()?) / f64::from(u32::try_from(records).ok()?);
    Some(share * share * (1.0 - 1.0 / f64::from(u32::try_from(width).ok()?)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn delimiters_by_consistency() {
        let cases = [
            ("a,b,c\n1,2,3\n", b','),
            ("a;b;c\n1,5;2,5;x\n2,5;3,5;y\n", b';'),
            ("id;length\n1;1,5\n2;2,5\n3;4,25\n", b';'),
            ("id\tnote\n1\tlobby, north; corner\n2\ta, b\n", b'\t'),
            ("id|note\n1|a,b\n2|c\n", b'|'),
            ("Schedule of devices, level 3\n\nid;room;volts\n1;104;120\n2;105;120\n", b';'),
            ("a,b\n\"x;y;z\nq;r;s\",1\n\"x;y;z\",2\n", b','),
            ("one column\nof text\n", b','),
        ];
        for (sample, expected) in cases {
            let found = delimiter(sample, true);
            assert_eq!(char::from(found.byte), char::from(expected), "{sample}");
            assert!(!found.declared);
        }
    }

    #[test]
    fn a_first_line_may_declare_it() {
        for sample in ["sep=;\na;b\n", "SEP=;\r\na,b\r\n", "\"sep=;\"\na;b\n"] {
            assert_eq!(delimiter(sample, true), Delimiter { byte: b';', declared: true });
        }
        assert!(!delimiter("sep=\na,b\n", true).declared);
    }
}
