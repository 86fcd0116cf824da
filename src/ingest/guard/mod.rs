//! Looks into a workbook before it is opened, so that a small file cannot take all the memory.
//!
//! The reader of workbooks holds some parts whole: the shared texts of every format, and all cells
//! of the formats it cannot stream. Their sizes are found here, without holding them, and a workbook
//! beyond a limit is refused with what to do instead. Damage is left to the reader to report.

mod open_document;
mod tags;
mod xls;

use std::fs::File;
use std::io::{BufReader, Read, Seek};
use std::path::Path;

use zip::ZipArchive;

pub(super) use open_document::open_document;
pub(super) use xls::xls;

use super::IngestError;
use tags::Tags;

/// A part this large that was packed this tightly is nothing but repetition: sheets of one row over and
/// over are packed to a fortieth.
const BOMB_BYTES: u64 = 32 * 1024 * 1024;
const BOMB_RATIO: u64 = 150;

/// The most bytes of the shared texts, unpacked.
const MOST_SHARED_BYTES: u64 = 256 * 1024 * 1024;
/// The same where each text is a record of the binary format, which may be of 7 bytes.
const MOST_SHARED_RECORDS: u64 = 64 * 1024 * 1024;
/// The most shared texts: each takes some 60 bytes beside its own.
const MOST_SHARED_TEXTS: u64 = 4_000_000;
/// The most bytes of another part that is held whole.
const MOST_HELD: u64 = 64 * 1024 * 1024;

/// The most bytes of text between two tags, which are held whole.
const MOST_BETWEEN_TAGS: u64 = 32 * 1024 * 1024;

/// A worksheet is passed over for its longest text where it could hold one that takes much memory: it is
/// large, and either very large or packed more tightly than cells are.
const LARGE: u64 = 48 * 1024 * 1024;
const VERY_LARGE: u64 = 192 * 1024 * 1024;
const CELLS_RATIO: u64 = 20;

/// Checks the parts of a zipped workbook by the sizes in its directory, which the zip reader
/// enforces while it reads.
pub(super) fn archive(path: &Path, file: &mut File) -> Result<(), IngestError> {
    let mut archive =
        ZipArchive::new(BufReader::new(&mut *file)).map_err(|e| IngestError::broken(path, &e))?;
    for index in 0..archive.len() {
        let Ok(part) = archive.by_index_raw(index) else { continue };
        let name = String::from_utf8_lossy(part.name_raw()).replace('\\', "/").to_ascii_lowercase();
        let (size, packed) = (part.size(), part.compressed_size());
        let Some(kind) = part_read(&name) else { continue };
        drop(part);
        if size > BOMB_BYTES && size / packed.max(1) > BOMB_RATIO {
            return Err(IngestError::broken(
                path,
                &format!("{name} unpacks {packed} bytes to {size}: no schedule is that repetitive"),
            ));
        }
        match kind {
            Part::SharedTexts => shared_texts(path, &mut archive, index, size)?,
            Part::SharedRecords if size > MOST_SHARED_RECORDS => {
                return Err(too_many_bytes(path, SHARED, size, MOST_SHARED_RECORDS));
            }
            Part::Held if size > MOST_HELD => {
                return Err(too_many_bytes(path, "a part of the workbook", size, MOST_HELD));
            }
            Part::Sheet
                if size > VERY_LARGE || size > LARGE && size / packed.max(1) > CELLS_RATIO =>
            {
                tags(path, &mut archive, index)?;
            }
            _ => {}
        }
    }
    file.rewind().map_err(|error| IngestError::from_io(path, error))
}

/// Parts that are never read.
const UNREAD: [&str; 6] =
    ["media/", "pivotcache", "customxml/", "drawings/", "embeddings/", "thumbnail"];

const SHARED: &str = "the table of shared texts";

/// How a part is read.
#[derive(Clone, Copy)]
enum Part {
    /// The table of shared texts, held whole.
    SharedTexts,
    /// The same in the binary format.
    SharedRecords,
    /// Another part that is held whole.
    Held,
    /// A worksheet, cell by cell.
    Sheet,
    /// The same in the binary format.
    SheetRecords,
}

/// How a part is read; none when it never is.
fn part_read(name: &str) -> Option<Part> {
    let file = name.rsplit('/').next().unwrap_or(name);
    if UNREAD.iter().any(|part| name.contains(part)) {
        None
    } else if file == "sharedstrings.bin" {
        Some(Part::SharedRecords)
    } else if file.starts_with("sharedstrings.") {
        Some(Part::SharedTexts)
    } else if ["workbook.", "styles.", "theme", "[content_types]", "meta"]
        .iter()
        .any(|start| file.starts_with(start))
        || name.contains("_rels/")
    {
        Some(Part::Held)
    } else if file.rsplit_once('.').is_some_and(|(_, ending)| ending == "bin") {
        Some(Part::SheetRecords)
    } else {
        // Worksheets may stand under any name.
        Some(Part::Sheet)
    }
}

/// The reader makes room for as many texts as the table says it has, before it has seen one, and holds all
/// that there are.
fn shared_texts<R: Read + Seek>(
    path: &Path,
    archive: &mut ZipArchive<R>,
    index: usize,
    size: u64,
) -> Result<(), IngestError> {
    if size > MOST_SHARED_BYTES {
        return Err(too_many_bytes(path, SHARED, size, MOST_SHARED_BYTES));
    }
    let claimed = claimed_texts(archive, index).unwrap_or_default();
    // The shortest text, `<si/>`, takes five bytes.
    if claimed > size / 5 && claimed > 100_000 {
        return Err(IngestError::broken(
            path,
            &format!("{SHARED} claims {claimed} texts in {size} bytes"),
        ));
    }
    // So few bytes hold neither too many texts nor one that is too long.
    if size / 5 <= MOST_SHARED_TEXTS && size <= MOST_BETWEEN_TAGS {
        return Ok(());
    }
    let texts = tags(path, archive, index)?;
    if texts > MOST_SHARED_TEXTS {
        return Err(IngestError::TooLarge {
            path: path.to_path_buf(),
            what: SHARED,
            size: texts,
            limit: format!("{MOST_SHARED_TEXTS} texts"),
            remedy: "split the workbook, or save its sheets as .csv",
        });
    }
    Ok(())
}

/// How many texts the table says it has.
fn claimed_texts<R: Read + Seek>(archive: &mut ZipArchive<R>, index: usize) -> Option<u64> {
    let mut head = Vec::new();
    // A table that cannot be unpacked is left to the reader to report.
    archive.by_index(index).ok()?.take(4096).read_to_end(&mut head).ok()?;
    let head = String::from_utf8_lossy(&head);
    let (_, rest) = head.split_once("uniqueCount=")?;
    let digits =
        rest.trim_start_matches(['"', '\'']).split(|c: char| !c.is_ascii_digit()).next()?;
    Some(digits.parse().unwrap_or(u64::MAX))
}

/// Passes over the tags of a part; how many shared texts begin in it.
fn tags<R: Read + Seek>(
    path: &Path,
    archive: &mut ZipArchive<R>,
    index: usize,
) -> Result<u64, IngestError> {
    let Ok(part) = archive.by_index(index) else { return Ok(0) };
    let (mut tags, mut texts) = (Tags::new(part), 0);
    while let Ok(more) = tags.next() {
        if tags.before > MOST_BETWEEN_TAGS {
            return Err(too_long_between_tags(path, tags.before));
        }
        if !more {
            break;
        }
        let name =
            tags.tag.split(|byte| matches!(byte, b' ' | b'/' | b'\t' | b'\r' | b'\n')).next();
        let local = name.unwrap_or_default().rsplit(|byte| *byte == b':').next();
        texts += u64::from(local == Some(b"si") && tags.tag[0] != b'/');
    }
    if tags.endless {
        return Err(IngestError::broken(path, &"a tag of one of its parts does not end"));
    }
    Ok(texts)
}

fn too_long_between_tags(path: &Path, size: u64) -> IngestError {
    too_many_bytes(path, "a single text of it", size, MOST_BETWEEN_TAGS)
}

fn too_many_bytes(path: &Path, what: &'static str, size: u64, limit: u64) -> IngestError {
    IngestError::TooLarge {
        path: path.to_path_buf(),
        what,
        size,
        limit: format!("{limit} bytes"),
        remedy: "split the workbook, or save its sheets as .csv",
    }
}

fn too_many_cells(path: &Path, cells: u64, most: u64) -> IngestError {
    IngestError::TooLarge {
        path: path.to_path_buf(),
        what: "the rectangle of cells",
        size: cells,
        limit: format!("{most} cells"),
        remedy: "delete stray cells far from the table, or save it as .xlsx",
    }
}

#[cfg(test)]
mod tests {
    use std::io::Write;

    use super::*;

    fn zipped(name: &str, chunk: &[u8], times: usize) -> File {
        let mut writer = zip::ZipWriter::new(tempfile::tempfile().unwrap());
        writer.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        for _ in 0..times {
            writer.write_all(chunk).unwrap();
        }
        writer.finish().unwrap()
    }

    #[test]
    fn a_part_of_nothing_but_repetition_is_refused() {
        let mut file = zipped("xl/worksheets/sheet1.xml", &vec![b' '; 1 << 20], 70);
        let error = archive(Path::new("a.xlsx"), &mut file).unwrap_err();
        assert!(matches!(error, IngestError::Broken { .. }), "{error}");
    }

    #[test]
    fn a_claim_of_more_texts_than_bytes_is_refused() {
        let claim = br#"<sst count="1" uniqueCount="99999999999"><si><t>a</t></si></sst>"#;
        let mut file = zipped("xl/sharedStrings.xml", claim, 1);
        assert!(archive(Path::new("a.xlsx"), &mut file).is_err());
        let mut file = zipped("xl/sharedStrings.xml", br#"<sst uniqueCount="1"><si/></sst>"#, 1);
        archive(Path::new("a.xlsx"), &mut file).unwrap();
    }
}
