//! What a file is, told by what it holds and never by its ending.

use std::fs::File;
use std::io::{BufReader, Read, Seek};
use std::path::Path;

use zip::ZipArchive;
use zip::result::ZipError;

use super::compound::{self, Compound};
use super::{Format, IngestError, MOST_BYTES_IN_MEMORY};

/// What a file turned out to be.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Text,
    Xlsx,
    Xlsb,
    Ods,
    Xls,
    Parquet,
    Encrypted,
    Other(&'static str),
}

/// Kinds of file that turn up beside schedules, by their first bytes.
const OTHERS: [(&[u8], &str); 12] = [
    (b"%PDF", "a PDF document"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"\x1f\x8b", "a compressed file"),
    (b"7z\xbc\xaf\x27\x1c", "a compressed archive"),
    (b"Rar!", "a compressed archive"),
    (b"{\\rtf", "a rich text document"),
    (b"\x09\x00\x04\x00", "a worksheet of a spreadsheet format before 1993"),
    (b"\x09\x02\x06\x00", "a worksheet of a spreadsheet format before 1993"),
    (b"\x09\x04\x06\x00", "a worksheet of a spreadsheet format before 1993"),
    (b"\x09\x08", "a worksheet of a spreadsheet format before 1997"),
];

/// Tells the kind of an open file and leaves it at its start.
pub(super) fn tell(path: &Path, file: &mut File) -> Result<Kind, IngestError> {
    let failed = |error| IngestError::from_io(path, error);
    let mut head = Vec::new();
    file.by_ref().take(4096).read_to_end(&mut head).map_err(failed)?;
    file.rewind().map_err(failed)?;
    let kind = if head.starts_with(b"PK\x03\x04") || head.starts_with(b"PK\x05\x06") {
        tell_archive(path, file)?
    } else if head.starts_with(&compound::MAGIC) {
        tell_compound(path, file)?
    } else {
        tell_plain(&head)
    };
    file.rewind().map_err(failed)?;
    Ok(kind)
}

fn tell_archive(path: &Path, file: &mut File) -> Result<Kind, IngestError> {
    let mut archive = ZipArchive::new(BufReader::new(file)).map_err(|error| match error {
        ZipError::InvalidArchive(_) => IngestError::broken(path, &"its end is missing"),
        other => IngestError::broken(path, &other),
    })?;
    let names: Vec<String> = archive
        .file_names_raw()
        .map(|name| String::from_utf8_lossy(name).replace('\\', "/").to_ascii_lowercase())
        .collect();
    let has = |end: &str| names.iter().any(|name| name.ends_with(end));
    let mut mimetype = String::new();
    if let Ok(part) = archive.by_name("mimetype") {
        // A mimetype that is no text is no mimetype.
        let _ = part.take(256).read_to_string(&mut mimetype);
    }
    Ok(if mimetype.starts_with("application/vnd.oasis.opendocument.spreadsheet") {
        Kind::Ods
    } else if has("workbook.bin") {
        Kind::Xlsb
    } else if has("workbook.xml") || has("xl/sharedstrings.xml") {
        Kind::Xlsx
    } else if has("word/document.xml") || mimetype.contains("opendocument.text") {
        Kind::Other("a text document")
    } else if has("ppt/presentation.xml") || mimetype.contains("opendocument.presentation") {
        Kind::Other("a presentation")
    } else if has("[content_types].xml") {
        // The main part may have any name; the reader finds it by its relationship.
        Kind::Xlsx
    } else {
        Kind::Other("a zip archive without a workbook")
    })
}

fn tell_compound(path: &Path, file: &mut File) -> Result<Kind, IngestError> {
    let bytes = read_whole(path, file)?;
    let Some(compound) = Compound::open(&bytes) else { return Ok(Kind::Xls) };
    Ok(if compound.has("EncryptionInfo") || compound.has("EncryptedPackage") {
        Kind::Encrypted
    } else if compound.has("Workbook") || compound.has("Book") {
        Kind::Xls
    } else if compound.has("WordDocument") {
        Kind::Other("a text document")
    } else {
        // Damaged ones are left to the reader, which says what is wrong.
        Kind::Xls
    })
}

/// Reads a file that has to be held whole, within bounds.
pub(super) fn read_whole(path: &Path, file: &mut File) -> Result<Vec<u8>, IngestError> {
    let failed = |error| IngestError::from_io(path, error);
    let size = file.metadata().map_err(failed)?.len();
    if size > MOST_BYTES_IN_MEMORY {
        return Err(IngestError::TooLarge {
            path: path.to_path_buf(),
            what: "the workbook",
            size,
            limit: format!("{MOST_BYTES_IN_MEMORY} bytes"),
            remedy: "save it as .xlsx",
        });
    }
    file.rewind().map_err(failed)?;
    let mut bytes = Vec::new();
    file.by_ref().take(MOST_BYTES_IN_MEMORY).read_to_end(&mut bytes).map_err(failed)?;
    Ok(bytes)
}

fn tell_plain(head: &[u8]) -> Kind {
    if head.starts_with(b"PAR1") {
        return Kind::Parquet;
    }
    if let Some((_, what)) = OTHERS.iter().find(|(magic, _)| head.starts_with(magic)) {
        return Kind::Other(what);
    }
    let (encoding, mark) = super::text::decode::detect(head, head.len() < 4096);
    let (text, _) = encoding.decode_without_bom_handling(&head[mark..]);
    if let Some(what) = markup(&text) {
        return Kind::Other(what);
    }
    // Old exports hold a few stray control characters, and pad with zeros; more are no text at all.
    let control = |c: &char| c.is_control() && !matches!(c, '\t' | '\n' | '\r' | '\0');
    let (all, controls) = (text.chars().count(), text.chars().filter(control).count());
    if controls * 20 > all || text.matches('\0').count() * 4 > all {
        return Kind::Other("binary data of an unknown kind");
    }
    Kind::Text
}

fn markup(text: &str) -> Option<&'static str> {
    let start: String = text.trim_start().chars().take(64).collect::<String>().to_ascii_lowercase();
    if ["<html", "<!doctype html", "<table", "<head", "<meta"].iter().any(|t| start.starts_with(t))
    {
        return Some("a web page");
    }
    start.starts_with("<?xml").then_some("XML")
}

/// The formats that the ending of a name announces.
pub(super) fn announced(path: &Path) -> Option<Announced> {
    let ending = path.extension()?.to_str()?.to_ascii_lowercase();
    Some(match ending.as_str() {
        "csv" | "tsv" | "txt" => Announced::Text,
        "xlsx" | "xlsm" => Announced::Xlsx,
        "xlsb" => Announced::Xlsb,
        "xls" => Announced::Xls,
        "ods" => Announced::Ods,
        _ => return None,
    })
}

/// What the ending of a name announces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Announced {
    Text,
    Xlsx,
    Xlsb,
    Xls,
    Ods,
}

impl Announced {
    pub(super) fn is(self, format: &Format) -> bool {
        matches!(
            (self, format),
            (Self::Text, Format::Text { .. })
                | (Self::Xlsx, Format::Xlsx)
                | (Self::Xlsb, Format::Xlsb)
                | (Self::Xls, Format::Xls)
                | (Self::Ods, Format::Ods)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_files_by_their_first_bytes() {
        let cases: [(&[u8], Kind); 8] = [
            (b"a,b\n1,2\n", Kind::Text),
            (b"<5 A,b\n1,2\n", Kind::Text),
            (b"%PDF-1.7", Kind::Other("a PDF document")),
            (b"\xef\xbb\xbf <html><table>", Kind::Other("a web page")),
            (b"<?xml version=\"1.0\"?><Workbook>", Kind::Other("XML")),
            (b"\x09\x08\x10\x00", Kind::Other("a worksheet of a spreadsheet format before 1997")),
            (&[1, 2, 3, 4, 5, 6, 7, 8], Kind::Other("binary data of an unknown kind")),
            (b"a\0,b\nroom 104,lobby\n", Kind::Text),
        ];
        for (bytes, expected) in cases {
            assert_eq!(tell_plain(bytes), expected, "{}", String::from_utf8_lossy(bytes));
        }
    }
}
