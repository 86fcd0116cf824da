//! The case documents under `tests/rules/`: each is read, and each of its cases is judged.
//!
//! A document is named after its rule and holds prose and tables. The columns of a table are fields of
//! the model, and `verdict`; `missing` names the facts of an undetermined verdict and `borderline` says
//! yes or no, where they are to be checked; `source` says where the case comes from and `note` what it
//! shows. A column `case` joins the rows of a group: the first row of a case carries its verdict. A cell
//! is read as a schedule's; an empty one is blank, a field without a column is absent. A row has as many
//! cells as its table has columns, and the first row of a case names its source.

#![expect(clippy::unwrap_used, reason = "a document that cannot be read fails the test")]
#![expect(clippy::disallowed_methods, reason = "the documents are files")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use yokecheck::audit::{Options, Selection, VerdictRow, run};
use yokecheck::mapping::read::{Column, Content, Reading, read};
use yokecheck::outlet::{Fact, Field, Origin, Outlet, Texts};
use yokecheck::rules::{Check, RULES, Rule, VerdictKind, rule_named};

/// A table of a document: its columns and its rows, with the line on which each stands.
struct Table {
    columns: Vec<String>,
    rows: Vec<(usize, Vec<String>)>,
}

impl Table {
    fn get<'a>(&self, row: &'a [String], column: &str) -> Option<&'a str> {
        let place = self.columns.iter().position(|name| name == column)?;
        row.get(place).map(String::as_str)
    }
}

fn documents() -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/rules")];
    while let Some(folder) = open.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|ending| ending == "md") {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

fn tables(text: &str) -> Vec<Table> {
    let cells = |line: &str| -> Vec<String> {
        line.trim().trim_matches('|').split('|').map(|cell| cell.trim().to_owned()).collect()
    };
    let mut tables: Vec<Table> = Vec::new();
    let mut inside = false;
    for (number, line) in text.lines().enumerate() {
        if !line.trim_start().starts_with('|') {
            inside = false;
        } else if !inside {
            inside = true;
            tables.push(Table { columns: cells(line), rows: Vec::new() });
        } else if !line.contains("---") {
            tables.last_mut().unwrap().rows.push((number + 1, cells(line)));
        }
    }
    tables
}

const BESIDE_FIELDS: [&str; 6] = ["case", "verdict", "missing", "borderline", "source", "note"];

fn outlet(table: &Table, row: &[String], texts: &mut Texts, place: &str) -> Outlet {
    let mut outlet = Outlet::absent(Origin::default());
    for (column, cell) in table.columns.iter().zip(row) {
        if BESIDE_FIELDS.contains(&column.as_str()) {
            continue;
        }
        let field = Field::of(column).unwrap_or_else(|| panic!("{place}: no field `{column}`"));
        let fact = match read(Content::Text(cell), &Column::of(field), texts) {
            Reading::Known(raw) | Reading::NoneDropped(raw) => Fact::Known(raw),
            Reading::Blank => Fact::Blank,
            Reading::Unreadable(_) | Reading::NotADevice(_) => Fact::Unreadable,
        };
        outlet.set_raw(field, fact);
    }
    outlet
}

/// The rows of a table that form one subject: those with the same `case`, else each alone.
fn subjects(table: &Table) -> Vec<Vec<&(usize, Vec<String>)>> {
    let mut groups: Vec<Vec<&(usize, Vec<String>)>> = Vec::new();
    let mut known: BTreeMap<&str, usize> = BTreeMap::new();
    for row in &table.rows {
        let Some(case) = table.get(&row.1, "case") else {
            groups.push(vec![row]);
            continue;
        };
        let group = *known.entry(case).or_insert_with(|| {
            groups.push(Vec::new());
            groups.len() - 1
        });
        groups[group].push(row);
    }
    groups
}

fn verdict(rule: &'static Rule, outlets: Vec<Outlet>, texts: Texts) -> Vec<VerdictRow> {
    let selection = Selection::new(&[rule.name.to_owned()], &[]).unwrap();
    let options = Options { keep_verdicts: true, ..Options::of(&selection) };
    run(outlets, texts, &options).verdicts
}

/// What a case should have come to and did not: nothing when it came out as written.
fn differences(table: &Table, row: &[String], judged: &VerdictRow) -> Vec<String> {
    let borderline = if judged.borderline { "yes" } else { "no" };
    let (verdict, missing) = (judged.kind.word(), judged.missing.text());
    [("verdict", verdict), ("missing", &missing), ("borderline", borderline)]
        .into_iter()
        .filter_map(|(column, came)| {
            let wanted = table.get(row, column)?;
            (wanted != came).then(|| format!("{column} `{came}`, written `{wanted}`"))
        })
        .collect()
}

/// What is wrong with the form of a table or of one of its cases, not with a verdict.
fn check_form(table: &Table, path: &Path) {
    let columns = &table.columns;
    for needed in ["verdict", "source"] {
        assert!(columns.iter().any(|name| name == needed), "{}: {needed}?", path.display());
    }
    for (line, row) in &table.rows {
        assert_eq!(row.len(), columns.len(), "{}:{line}: cells", path.display());
    }
    for group in subjects(table) {
        for (place, (line, row)) in group.iter().enumerate() {
            for column in ["verdict", "source"] {
                let filled = table.get(row, column).is_some_and(|cell| !cell.is_empty());
                assert_eq!(filled, place == 0, "{}:{line}: {column}", path.display());
            }
        }
    }
}

fn check_document(path: &Path, rule: &'static Rule, faults: &mut Vec<String>) -> Vec<VerdictKind> {
    let text = std::fs::read_to_string(path).unwrap();
    let mut kinds = Vec::new();
    for table in tables(&text) {
        check_form(&table, path);
        for group in subjects(&table) {
            let (line, first) = group[0];
            let place = format!("{}:{line}", path.display());
            let mut texts = Texts::default();
            let mut outlets: Vec<Outlet> =
                group.iter().map(|(_, row)| outlet(&table, row, &mut texts, &place)).collect();
            for (outlet, row) in outlets.iter_mut().zip(1..) {
                outlet.origin.row = row;
            }
            let judged = verdict(rule, outlets, texts);
            assert_eq!(judged.len(), 1, "{place}: the rows of a case form one subject");
            let differences = differences(&table, first, &judged[0]);
            faults.extend(differences.into_iter().map(|fault| format!("{place}: {fault}")));
            kinds.push(judged[0].kind);
        }
    }
    kinds
}

#[test]
fn every_case_of_every_document_comes_out_as_written() {
    let mut different = Vec::new();
    for path in documents() {
        let name = path.file_stem().unwrap().to_string_lossy().replace('_', "-");
        let rule = rule_named(&name).unwrap_or_else(|| panic!("no rule for {}", path.display()));
        let kinds = check_document(&path, rule, &mut different);
        for kind in [VerdictKind::Complies, VerdictKind::Undetermined, VerdictKind::NotApplicable] {
            assert!(kinds.contains(&kind), "{}: no case is {}", path.display(), kind.word());
        }
        let faults = [VerdictKind::Violates, VerdictKind::Authority];
        assert!(faults.iter().any(|kind| kinds.contains(kind)), "{}: no fault", path.display());
    }
    assert!(different.is_empty(), "came out otherwise:\n{}", different.join("\n"));
}

#[test]
fn every_rule_has_its_file_its_document_and_its_manual_page() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let stems: Vec<String> = documents()
        .iter()
        .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
        .collect();
    for rule in RULES {
        let file = format!("{}.rs", rule.name.replace('-', "_"));
        let folders = std::fs::read_dir(root.join("src/rules")).unwrap();
        let found = folders.filter(|entry| entry.as_ref().unwrap().path().join(&file).is_file());
        assert_eq!(found.count(), 1, "src/rules/*/{file}");
        assert!(stems.contains(&rule.name.replace('-', "_")), "no case document: {}", rule.name);
        for heading in [
            "## What it checks",
            "## Why it matters",
            "## What to do",
            "## When it does not apply",
            "## When it cannot tell",
            "## Sources",
        ] {
            assert!(rule.manual.contains(heading), "{}: no `{heading}`", rule.name);
        }
        let groups_ask = matches!(rule.check, Check::Group(_)) || !rule.asks.is_empty();
        assert!(groups_ask, "{} asks for nothing", rule.name);
    }
}

#[test]
fn the_registry_is_sorted_and_holds_every_rule_file() {
    let names: Vec<&str> = RULES.iter().map(|rule| rule.name).collect();
    assert!(names.is_sorted(), "{names:?}");
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/rules");
    for folder in std::fs::read_dir(root).unwrap() {
        let folder = folder.unwrap().path();
        if !folder.is_dir() {
            continue;
        }
        for file in std::fs::read_dir(folder).unwrap() {
            let path = file.unwrap().path();
            let text = std::fs::read_to_string(&path).unwrap();
            if text.contains("\nrule! {") {
                let name = path.file_stem().unwrap().to_string_lossy().replace('_', "-");
                assert!(names.contains(&name.as_str()), "{} is not registered", path.display());
            }
        }
    }
}
