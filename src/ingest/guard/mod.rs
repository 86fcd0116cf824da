//! Looks into a workbook before it is opened, so that a small file cannot take all the memory.
//!
//! The reader of workbooks holds some parts whole: the shared texts of every format, and all cells
//! of the formats it cannot stream. Their sizes are found here, without holding them, and a workbook
//! beyond a limit is refused with what to do instead. Damage is left to the reader to report.

mod open_document;
mod xls;

use std::fs::File;
use std::io::{BufReader, Read, Seek};
use std::path::Path;

use zip::ZipArchive;

pub(super) use open_document::open_document;
pub(super) use xls::xls;

use super::{IngestError, MOST_BYTES_IN_MEMORY};

/// The most cells held at once, counting the rectangle around all that is filled.
const MOST_CELLS: u64 = 12_000_000;

/// The most text of cells, in bytes of content, that are held at once with all their repeats.
const MOST_TEXT: u64 = 1024 * 1024 * 1024;

/// A part this large that was packed this tightly is nothing but repetition.
const BOMB_BYTES: u64 = 64 * 1024 * 1024;
const BOMB_RATIO: u64 = 400;

/// Checks the parts of a zipped workbook by the sizes in its directory, which the zip reader
/// enforces while it reads.
pub(super) fn archive(path: &Path, file: &mut File) -> Result<(), IngestError> {
    let mut archive =
        ZipArchive::new(BufReader::new(&mut *file)).map_err(|e| IngestError::broken(path, &e))?;
    for index in 0..archive.len() {
        let Ok(part) = archive.by_index_raw(index) else { continue };
        let name = String::from_utf8_lossy(part.name_raw()).replace('\\', "/").to_ascii_lowercase();
        let (size, packed) = (part.size(), part.compressed_size());
        let Some((what, streamed)) = part_read(&name) else { continue };
        if size > BOMB_BYTES && size / packed.max(1) > BOMB_RATIO {
            return Err(IngestError::broken(
                path,
                &format!("{name} unpacks {packed} bytes to {size}: no schedule is that repetitive"),
            ));
        }
        if !streamed && size > MOST_BYTES_IN_MEMORY {
            return Err(too_many_bytes(path, what, size, MOST_BYTES_IN_MEMORY));
        }
    }
    shared_texts(path, &mut archive)?;
    file.rewind().map_err(|error| IngestError::from_io(path, error))
}

/// Parts that are never read.
const UNREAD: [&str; 6] =
    ["media/", "pivotcache", "customxml/", "drawings/", "embeddings/", "thumbnail"];

/// What a part is called before a person and whether it is streamed; none when it is never read.
fn part_read(name: &str) -> Option<(&'static str, bool)> {
    let file = name.rsplit('/').next().unwrap_or(name);
    if UNREAD.iter().any(|part| name.contains(part)) {
        None
    } else if file.starts_with("sharedstrings.") {
        Some(("the table of shared texts", false))
    } else if ["workbook.", "styles.", "theme", "[content_types]", "meta"]
        .iter()
        .any(|start| file.starts_with(start))
        || name.contains("_rels/")
    {
        Some(("a part of the workbook", false))
    } else {
        // Worksheets may stand under any name.
        Some(("a worksheet", true))
    }
}

/// The reader makes room for as many texts as the table says it has, before it has seen one.
fn shared_texts<R: Read + Seek>(
    path: &Path,
    archive: &mut ZipArchive<R>,
) -> Result<(), IngestError> {
    let wanted = |name: &&str| name.to_ascii_lowercase().ends_with("sharedstrings.xml");
    let names: Vec<String> = archive.file_names().filter_map(Result::ok).map(Into::into).collect();
    let Some(name) = names.iter().map(String::as_str).find(wanted) else { return Ok(()) };
    let Ok(part) = archive.by_name(name) else { return Ok(()) };
    let size = part.size();
    let mut head = Vec::new();
    // A table that cannot be unpacked is left to the reader to report.
    let _ = part.take(4096).read_to_end(&mut head);
    let head = String::from_utf8_lossy(&head);
    let count = head
        .split_once("uniqueCount=")
        .map(|(_, rest)| rest.trim_start_matches(['"', '\'']))
        .map(|rest| rest.split(|c: char| !c.is_ascii_digit()).next().unwrap_or_default())
        .map(|digits| digits.parse::<u64>().unwrap_or(u64::MAX));
    // The shortest text, `<si/>`, takes five bytes.
    match count {
        Some(count) if count > size / 5 && count > 100_000 => Err(IngestError::broken(
            path,
            &format!("its table of shared texts claims {count} texts in {size} bytes"),
        )),
        _ => Ok(()),
    }
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

fn too_many_cells(path: &Path, cells: u64) -> IngestError {
    IngestError::TooLarge {
        path: path.to_path_buf(),
        what: "the rectangle of cells",
        size: cells,
        limit: format!("{MOST_CELLS} cells"),
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
