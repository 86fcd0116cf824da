//! Telling the files that the program itself wrote from schedules: an audit of its own findings
//! would count every outlet again.
//!
//! A workbook says what it is in a custom property; a text file by the names of its first columns.

use std::fs::File;
use std::io::{BufReader, Read};

use zip::ZipArchive;

use super::compound;
use super::returned::{Form, Standing};

/// The custom property by which the program marks its workbooks, and the one value of it that
/// marks a report. Surveys, lists of corrections and templates come back filled in and are inputs.
const PROPERTY: &str = "name=\"yokecheck\"";
const REPORT: &str = "report";
const CORRECTIONS: &str = "corrections";
const SURVEY: &str = "survey";
const TEMPLATE: &str = "template";

/// How the text files of an audit begin.
const HEADERS: [&[u8]; 3] = [
    b"rule,verdict,grade,defect_type,citation",
    b"rule,subject_kind,building,subject,verdict",
    b"status,rule,subject,building",
];

/// Whether an open file is a report of the program. Only its first bytes and, of a workbook, its
/// properties are read; a file that cannot be read is no report.
pub(super) fn is_report(mut file: File) -> bool {
    let mut head = [0; 64];
    let mut length = 0;
    while let Ok(read @ 1..) = file.read(&mut head[length..]) {
        length += read;
    }
    let head = &head[..length];
    if head.starts_with(b"PK") {
        return custom_properties(file).is_some_and(|xml| value_of(&xml) == Some(REPORT));
    }
    if head.starts_with(&compound::MAGIC) {
        return false;
    }
    let text = head.strip_prefix(b"\xef\xbb\xbf").unwrap_or(head);
    HEADERS.iter().any(|header| text.starts_with(header))
}

/// The mark of a workbook that the program made; none where it made none.
fn mark(file: File) -> Option<String> {
    let again = file.try_clone().ok()?;
    match custom_properties(file) {
        Some(xml) => value_of(&xml).map(str::to_owned),
        None => part(again, "meta.xml").and_then(|xml| open_value_of(&xml).map(str::to_owned)),
    }
}

/// Which form an open file is that the program made to be filled in.
pub(super) fn form(file: File) -> Option<Form> {
    match mark(file)?.as_str() {
        SURVEY => Some(Form::Survey),
        TEMPLATE => Some(Form::Template),
        CORRECTIONS => Some(Form::Corrections),
        _ => None,
    }
}

/// The text of the property where the workbook was saved as an `OpenDocument` spreadsheet.
fn open_value_of(xml: &str) -> Option<&str> {
    let (_, rest) = xml.split_once("meta:name=\"yokecheck\"")?;
    let (_, rest) = rest.split_once('>')?;
    rest.split_once('<').map(|(value, _)| value.trim())
}

/// What an open file is to whoever would write such a form in its place. Whatever saves a workbook again
/// notes when it did so, beside the day of its making.
pub(super) fn standing(file: File, wanted: Form) -> Standing {
    let Ok(again) = file.try_clone() else { return Standing::Foreign };
    if form(file) != Some(wanted) {
        return Standing::Foreign;
    }
    let core = part(again, "docProps/core.xml").unwrap_or_default();
    let day = |tag: &str| core.split_once(tag).and_then(|(_, rest)| rest.split(['<', '>']).nth(1));
    let (created, modified) = (day("<dcterms:created"), day("<dcterms:modified"));
    if created.is_some() && created == modified { Standing::Untouched } else { Standing::Touched }
}

fn custom_properties(file: File) -> Option<String> {
    part(file, "docProps/custom.xml")
}

fn part(file: File, name: &str) -> Option<String> {
    let mut archive = ZipArchive::new(BufReader::new(file)).ok()?;
    let part = archive.by_name(name).ok()?;
    let mut xml = String::new();
    part.take(256 * 1024).read_to_string(&mut xml).ok()?;
    Some(xml)
}

/// The text of the property, between the tags of its type.
fn value_of(xml: &str) -> Option<&str> {
    let (_, rest) = xml.split_once(PROPERTY)?;
    let (property, _) = rest.split_once("</property>")?;
    let (before, _) = property.rsplit_once("</")?;
    before.rsplit_once('>').map(|(_, value)| value.trim())
}

#[cfg(test)]
mod tests {
    use std::io::{Seek, Write};

    use rust_xlsxwriter::{DocProperties, Workbook};

    use super::*;

    fn file(bytes: &[u8]) -> File {
        let mut file = tempfile::tempfile().unwrap();
        file.write_all(bytes).unwrap();
        file.rewind().unwrap();
        file
    }

    fn workbook(value: Option<&str>) -> File {
        let mut workbook = Workbook::new();
        workbook.add_worksheet();
        let properties = DocProperties::new().set_custom_property("project", "report");
        workbook.set_properties(&match value {
            Some(value) => properties.set_custom_property("yokecheck", value),
            None => properties,
        });
        file(&workbook.save_to_buffer().unwrap())
    }

    #[test]
    fn a_workbook_is_a_report_by_its_property() {
        assert!(is_report(workbook(Some("report"))));
        for value in [None, Some("survey"), Some("corrections"), Some("template")] {
            assert!(!is_report(workbook(value)), "{value:?}");
        }
    }

    #[test]
    fn a_form_is_known_whatever_program_saved_it() {
        assert_eq!(form(workbook(Some("survey"))), Some(Form::Survey));
        assert_eq!(form(workbook(Some("template"))), Some(Form::Template));
        assert_eq!(form(workbook(Some("report"))), None);
        assert_eq!(form(workbook(None)), None);
        let open = r#"<meta:user-defined meta:name="yokecheck">survey</meta:user-defined>"#;
        assert_eq!(open_value_of(open), Some("survey"));
        let typed =
            r#"<meta:user-defined meta:name="yokecheck" meta:value-type="string">survey</meta"#;
        assert_eq!(open_value_of(typed), Some("survey"));
    }

    #[test]
    fn a_list_of_corrections_that_was_saved_again_is_told_from_one_that_was_not() {
        assert_eq!(standing(workbook(None), Form::Corrections), Standing::Foreign);
        assert_eq!(standing(workbook(Some("report")), Form::Corrections), Standing::Foreign);
        assert_eq!(standing(file(b"PK"), Form::Corrections), Standing::Foreign);
        assert_eq!(standing(workbook(Some("corrections")), Form::Corrections), Standing::Untouched);
        let mut saved = workbook(Some("corrections"));
        let mut bytes = Vec::new();
        saved.read_to_end(&mut bytes).unwrap();
        assert_eq!(standing(file(&saved_again(&bytes)), Form::Corrections), Standing::Touched);
    }

    /// The same workbook with another day of its last change.
    fn saved_again(bytes: &[u8]) -> Vec<u8> {
        let mut old = ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
        let mut new = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
        for place in 0..old.len() {
            let mut part = old.by_index(place).unwrap();
            let mut text = String::new();
            part.read_to_string(&mut text).unwrap();
            if let Some((before, modified)) = text.split_once("<dcterms:modified") {
                let (_, rest) = modified.split_once('T').unwrap();
                let modified = r#"xsi:type="dcterms:W3CDTF">2099-01-01T"#;
                text = format!("{before}<dcterms:modified {modified}{rest}");
            }
            new.start_file(part.name().unwrap(), zip::write::SimpleFileOptions::default()).unwrap();
            new.write_all(text.as_bytes()).unwrap();
        }
        new.finish().unwrap().into_inner()
    }

    #[test]
    fn a_text_file_is_a_report_by_its_first_columns() {
        for header in HEADERS {
            assert!(is_report(file(&[header, b",more\n"].concat())));
            assert!(is_report(file(&[b"\xef\xbb\xbf", header].concat())));
        }
        assert!(!is_report(file(b"rule,room\n1,2\n")));
        assert!(!is_report(file(b"")));
    }
}
