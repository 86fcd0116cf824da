//! The text of a drafted mapping: one line a column with its evidence, and all of it valid.

use std::fmt::Write as _;

use super::{Constant, Decision, Draft, Proposal, of_rows};
use crate::ingest::{self, IngestError, Input, Row, Rows};
use crate::mapping::file::MappingFile;
use crate::mapping::header::HeaderKey;
use crate::mapping::read::DecimalMark;
use crate::mapping::recognise::Names;
use crate::outlet::{Field, Kind};

/// Rows of a sheet that are looked at.
const MOST_ROWS: usize = 20_000;

/// A mapping file that was drafted.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct DraftedFile {
    /// Its text.
    pub text: String,
    /// The sheets that it reads, each with the reason.
    pub sheets: Vec<String>,
    /// The sheets that it leaves aside, each with the reason.
    pub left_aside: Vec<String>,
}

/// Drafts one mapping file for the sheets of an input.
pub fn draft(input: &Input) -> Result<DraftedFile, IngestError> {
    let stem = input.path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let mut found: Vec<(Option<String>, Draft)> = Vec::new();
    let mut file = DraftedFile { text: String::new(), sheets: Vec::new(), left_aside: Vec::new() };
    ingest::read(input, &mut |sheet, rows| {
        let first = first(rows)?;
        if first.iter().all(Row::is_empty) {
            return Ok(());
        }
        let names = Names { sheet: sheet.name.as_deref(), file: &stem };
        let name = sheet.name.clone().unwrap_or_else(|| "the file".to_owned());
        match of_rows(&first, names) {
            Ok(draft) => match &draft.against {
                None => {
                    file.sheets.push(format!("{name}: {}", draft.why));
                    found.push((sheet.name.clone(), draft));
                }
                Some(against) => file.left_aside.push(format!("{name}: {against}; {}", draft.why)),
            },
            Err(why) => file.left_aside.push(format!("{name}: {why}")),
        }
        Ok(())
    })?;
    file.text = text(&stem, &found, &file.left_aside);
    Ok(file)
}

fn first(rows: &mut dyn Rows) -> Result<Vec<Row>, IngestError> {
    let mut first = Vec::new();
    while first.len() < MOST_ROWS {
        let mut row = Row::default();
        if !rows.next(&mut row)? {
            break;
        }
        first.push(row);
    }
    Ok(first)
}

impl Draft {
    /// The drafted mapping of this sheet alone; none where it is no sound mapping, which no draft is.
    pub(in crate::mapping) fn mapping(&self, file: &str) -> Option<MappingFile> {
        let text = text(file, &[(None, self.clone())], &[]);
        MappingFile::parse("drafted", &text).ok()
    }
}

/// The text of a mapping file for these sheets.
fn text(name: &str, sheets: &[(Option<String>, Draft)], left_aside: &[String]) -> String {
    let mut text = format!(
        "# Drafted from the headers and the cells of {}: check every line.\n# A line behind # is in doubt; take off the # of the one that is right.\n\nname = {}\n",
        comment(name),
        quoted(&format!("Draft for {name}"))
    );
    for (sheet, draft) in sheets {
        let sheet = sheet.as_ref().map_or_else(String::new, |sheet| format!("{sheet}: "));
        put(&mut text, format_args!("\n# {}{}", comment(&sheet), comment(&draft.why)));
    }
    for line in left_aside {
        put(&mut text, format_args!("\n# Left aside: {}", comment(line)));
    }
    text.push_str("\n[table]\n");
    let named: Vec<String> =
        sheets.iter().filter_map(|(sheet, _)| sheet.as_deref()).map(quoted).collect();
    if !named.is_empty() {
        put(&mut text, format_args!("sheets = [{}]\n", named.join(", ")));
    }
    text.push_str("devices_only = true\n");
    if sheets.iter().any(|(_, draft)| draft.decimal == Some(DecimalMark::Comma)) {
        text.push_str("\n[cells]\n# figures are written with a decimal comma\ndecimal = \",\"\n");
    }
    columns(&mut text, sheets);
    constants(&mut text, sheets);
    text
}

fn columns(text: &mut String, sheets: &[(Option<String>, Draft)]) {
    let mut written: Vec<HeaderKey> = Vec::new();
    let mut nothing = Vec::new();
    text.push_str("\n[columns]\n");
    for column in sheets.iter().flat_map(|(_, draft)| &draft.columns) {
        let key = HeaderKey::of(&column.header);
        if written.iter().any(|other| other.is_exactly(&key)) {
            continue;
        }
        written.push(key);
        if column.decision == Decision::None {
            nothing.push(column);
        } else {
            line(text, column, sheets.len() > 1);
        }
    }
    if !nothing.is_empty() {
        text.push_str("\n# Columns that no field was found for:\n");
    }
    for column in nothing {
        put(
            text,
            format_args!("# {}: {}\n", comment(&quoted(&column.header)), comment(&column.evidence)),
        );
    }
}

/// The line of a column, below its evidence. Where several sheets are read, each may lack a column.
fn line(text: &mut String, column: &Proposal, several: bool) {
    let header = quoted(&column.header);
    put(text, format_args!("# {}: {}\n", comment(&header), comment(&column.evidence)));
    let optional = if several { ", optional = true" } else { "" };
    match &column.decision {
        Decision::Field { field, fill_down: true } => {
            put(
                text,
                format_args!(
                    "{header} = {{ field = \"{}\", fill_down = true{optional} }}\n",
                    field.name()
                ),
            );
        }
        Decision::Field { field, .. } if several => {
            put(text, format_args!("{header} = {{ field = \"{}\"{optional} }}\n", field.name()));
        }
        Decision::Field { field, .. } => {
            put(text, format_args!("{header} = \"{}\"\n", field.name()));
        }
        Decision::Description => {
            put(text, format_args!("{header} = {{ describe = true{optional} }}\n"));
        }
        Decision::Choices(fields) => {
            for field in fields {
                put(text, format_args!("# {} = \"{}\"\n", comment(&header), field.name()));
            }
        }
        Decision::NoUnit(field) => {
            for unit in ["in", "mm", "cm"] {
                let field = field.name();
                put(
                    text,
                    format_args!(
                        "# {} = {{ field = \"{field}\", unit = \"{unit}\" }}\n",
                        comment(&header)
                    ),
                );
            }
        }
        Decision::Misleading => put(text, format_args!("{header} = {{ ignore = true }}\n")),
        Decision::None => {}
    }
}

fn constants(text: &mut String, sheets: &[(Option<String>, Draft)]) {
    let mut written: Vec<Field> = Vec::new();
    for (field, constant, evidence) in sheets.iter().flat_map(|(_, draft)| &draft.constants) {
        if written.is_empty() {
            text.push_str("\n[constants]\n");
        }
        if written.contains(field) {
            continue;
        }
        written.push(*field);
        put(text, format_args!("# {}\n", comment(evidence)));
        match constant {
            Constant::Word(word) => put(text, format_args!("{} = \"{word}\"\n", field.name())),
            Constant::SheetName => {
                put(text, format_args!("{} = {{ from = \"sheet\" }}\n", field.name()));
            }
        }
    }
}

/// A text on one line, so that it ends with its comment.
fn comment(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// A text between quotation marks, as TOML writes it.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for character in text.chars() {
        match character {
            '"' | '\\' => quoted.extend(['\\', character]),
            '\n' => quoted.push_str("\\n"),
            '\t' => quoted.push_str("\\t"),
            control if control.is_control() => {
                put(&mut quoted, format_args!("\\u{:04X}", u32::from(control)));
            }
            other => quoted.push(other),
        }
    }
    quoted.push('"');
    quoted
}

fn put(text: &mut String, what: std::fmt::Arguments<'_>) {
    // Writing to a string cannot fail.
    let _ = text.write_fmt(what);
}

/// The fields that a draft may propose with a unit of its own are lengths.
const _: () = assert!(matches!(Field::Height.kind(), Kind::Length));
