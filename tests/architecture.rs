//! The house keeps its rooms apart: who may import whom, who may touch files, and how large things grow.
//!
//! The table of rooms below is the rule; a file that breaks it is named with its line.
#![expect(clippy::disallowed_methods, reason = "the test reads the sources")]
#![expect(clippy::unwrap_used, reason = "a source that cannot be read fails the test")]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// A folder of `src`.
struct Room {
    name: &'static str,
    /// The rooms that it may import, or an item of one: `mapping::account`.
    imports: &'static [&'static str],
    touches_files: bool,
}

const fn room(name: &'static str, imports: &'static [&'static str], touches_files: bool) -> Room {
    Room { name, imports, touches_files }
}

const ROOMS: [Room; 13] = [
    room("outlet", &[], false),
    room("code", &["outlet"], false),
    room("ingest", &[], true),
    room("mapping", &["ingest", "outlet"], true),
    room("rules", &["outlet", "code"], false),
    room("audit", &["rules", "outlet", "code"], false),
    room("statistics", &["audit"], false),
    room("sampling", &["statistics", "audit", "outlet"], false),
    room("survey", &["audit", "rules", "outlet"], false),
    room("rulings", &["audit"], false),
    room("compare", &["audit"], false),
    room(
        "report",
        &[
            "audit",
            "rules",
            "statistics",
            "sampling",
            "survey",
            "rulings",
            "compare",
            "outlet",
            "code",
            "mapping::account",
        ],
        true,
    ),
    room(
        "cli",
        &[
            "outlet",
            "code",
            "ingest",
            "mapping",
            "rules",
            "audit",
            "statistics",
            "sampling",
            "survey",
            "rulings",
            "compare",
            "report",
        ],
        true,
    ),
];

/// What stands at the top of the house; hidden tool settings and the folder of the build aside.
const TOP: [&str; 9] = [
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "README.md",
    "mappings",
    "reports",
    "sample-data",
    "src",
    "tests",
];

const MOST_LINES: usize = 600;
const MOST_LINES_OF_MAIN: usize = 40;
const MOST_FOLDERS: usize = 3;

/// A source file: where it is under the top level, and its lines.
struct Source {
    path: PathBuf,
    lines: Vec<String>,
}

fn top() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// All paths in a folder of the house, relative to its top level, in the order of their names.
fn paths(folder: &str) -> Vec<PathBuf> {
    let walk = walkdir::WalkDir::new(top().join(folder)).sort_by_file_name();
    walk.into_iter()
        .map(|entry| entry.unwrap().path().strip_prefix(top()).unwrap().into())
        .collect()
}

fn sources(folder: &str) -> Vec<Source> {
    let sources = paths(folder).into_iter().filter(|path| path.extension() == Some("rs".as_ref()));
    sources
        .map(|path| {
            let text = std::fs::read_to_string(top().join(&path)).unwrap();
            Source { lines: text.lines().map(str::to_owned).collect(), path }
        })
        .collect()
}

impl Source {
    /// The folders and the file below `src`, without endings: the path of the module.
    fn module(&self) -> Vec<String> {
        let mut parts: Vec<String> = self
            .path
            .with_extension("")
            .iter()
            .skip(1)
            .map(|part| part.to_string_lossy().into_owned())
            .collect();
        if parts.last().is_some_and(|last| last == "mod") {
            parts.pop();
        }
        parts
    }

    /// Its room; none for `main.rs` and `lib.rs`.
    fn room(&self) -> Option<&'static Room> {
        let name = self.path.iter().nth(1)?.to_str()?;
        if matches!(name, "main.rs" | "lib.rs") {
            return None;
        }
        let room = ROOMS.iter().find(|room| room.name == name);
        Some(room.unwrap_or_else(|| panic!("{}: `{name}` is no room", self.path.display())))
    }

    /// Whether the whole file is a test of its room.
    fn is_test(&self) -> bool {
        self.path
            .file_stem()
            .is_some_and(|name| name == "tests" || name.to_string_lossy().starts_with("tests_of_"))
    }

    /// Lines of code, numbered from 1, comments left out; each with whether it belongs to tests.
    fn code(&self) -> Vec<(usize, &str, bool)> {
        let mut tests = self.is_test();
        let mut code = Vec::new();
        for (number, line) in (1..).zip(&self.lines) {
            tests |= line.trim_end().ends_with("mod tests {");
            if !line.trim_start().starts_with("//") {
                code.push((number, line.as_str(), tests));
            }
        }
        code
    }

    fn at(&self, line: usize, what: &str) -> String {
        format!("{}:{line}: {what}", self.path.display())
    }
}

/// What follows each `prefix` of a line, up to the end of the path: `outlet::Field` after `crate::`.
fn paths_after<'a>(line: &'a str, prefix: &str) -> Vec<&'a str> {
    let starts = line.match_indices(prefix).filter(|(at, _)| {
        // `crate::` within `$crate::`, which is the crate as well, but not within another word.
        !line[..*at].ends_with(|before: char| before.is_alphanumeric() || before == '_')
    });
    starts
        .map(|(at, _)| {
            let rest = &line[at + prefix.len()..];
            let word = |letter: char| letter.is_alphanumeric() || letter == '_' || letter == ':';
            let end = rest.find(|letter| !word(letter)).unwrap_or(rest.len());
            &rest[..end]
        })
        .collect()
}

fn may_import(room: &Room, path: &str) -> bool {
    let first = path.split("::").next().unwrap_or_default();
    let allowed = |import: &str| path == import || path.starts_with(&format!("{import}::"));
    first == room.name || room.imports.iter().any(|import| allowed(import))
}

/// How many rooms up a `super::super::` climbs.
fn climbs(line: &str) -> usize {
    let mut most = 0;
    let mut rest = line;
    while let Some(at) = rest.find("super::") {
        rest = &rest[at..];
        let mut climbed = 0;
        while let Some(below) = rest.strip_prefix("super::") {
            climbed += 1;
            rest = below;
        }
        most = most.max(climbed);
    }
    most
}

fn report(problems: &[String]) {
    assert!(problems.is_empty(), "\n{}\n", problems.join("\n"));
}

#[test]
fn every_room_imports_only_what_the_table_allows() {
    let mut problems = Vec::new();
    for source in sources("src") {
        let Some(room) = source.room() else { continue };
        for (number, line, tests) in source.code() {
            for path in paths_after(line, "crate::") {
                if !may_import(room, path) {
                    let what = format!("`{}` must not import `crate::{path}`", room.name);
                    problems.push(source.at(number, &what));
                }
            }
            let below = usize::from(tests && !source.is_test());
            if climbs(line) >= source.module().len() + below {
                problems.push(source.at(number, "climbs out of its room with `super::`"));
            }
        }
    }
    report(&problems);
}

#[test]
fn the_check_of_imports_finds_a_wrong_arrow() {
    let room = |name| ROOMS.iter().find(|room| room.name == name).unwrap();
    assert_eq!(paths_after("use crate::outlet::{Field, Fact};", "crate::"), ["outlet::"]);
    assert_eq!(paths_after("a(crate::code::X, crate::audit)", "crate::"), ["code::X", "audit"]);
    assert!(paths_after("othercrate::outlet", "crate::").is_empty());
    assert!(!may_import(room("rules"), "audit::Audit"));
    assert!(!may_import(room("rules"), ""), "an import of several rooms in braces");
    assert!(!may_import(room("report"), "mapping::load"));
    assert!(!may_import(room("report"), "mapping::accounts"));
    assert!(may_import(room("report"), "mapping::account::Account"));
    assert_eq!(climbs("use super::super::ingest; super::x"), 2);
}

#[test]
fn only_the_rooms_that_own_files_touch_them() {
    const FILES: [&str; 6] =
        ["std::fs", "fs::File", "File::open", "File::create", "tempfile::", "walkdir::"];
    let mut problems = Vec::new();
    for source in sources("src") {
        if source.room().is_none_or(|room| room.touches_files) {
            continue;
        }
        for (number, line, tests) in source.code() {
            if !tests && FILES.iter().any(|call| line.contains(call)) {
                problems.push(source.at(number, "this room touches no files"));
            }
        }
    }
    report(&problems);
}

#[test]
fn every_file_opens_with_its_module_docs_and_stays_small() {
    let mut problems = Vec::new();
    for source in sources("src").into_iter().chain(sources("tests")) {
        if !source.lines.first().is_some_and(|line| line.starts_with("//!")) {
            problems.push(source.at(1, "opens without `//!`: what it owns, what it must not do"));
        }
        let most =
            if source.path == Path::new("src/main.rs") { MOST_LINES_OF_MAIN } else { MOST_LINES };
        if source.lines.len() > most {
            problems.push(source.at(source.lines.len(), &format!("has more than {most} lines")));
        }
    }
    report(&problems);
}

#[test]
fn exceptions_are_expected_with_a_reason_and_nothing_is_unwrapped() {
    let allow = concat!("[al", "low(");
    let mut problems = Vec::new();
    for source in sources("src").into_iter().chain(sources("tests")) {
        let of_room = source.path.starts_with("src");
        for (number, line, tests) in source.code() {
            if line.contains(allow) {
                problems.push(source.at(number, "write `#[expect(..., reason = \"...\")]`"));
            }
            if of_room && !tests && line.contains(".unwrap()") {
                problems.push(source.at(number, "unwraps outside of tests"));
            }
        }
    }
    report(&problems);
}

#[test]
fn the_top_level_holds_the_fixed_names_only() {
    let entries = std::fs::read_dir(top()).unwrap();
    let names: BTreeSet<String> =
        entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
    let strangers: Vec<String> = names
        .into_iter()
        .filter(|name| !name.starts_with('.') && name != "target")
        .filter(|name| !TOP.contains(&name.as_str()))
        .map(|name| format!("{name}: does not belong at the top level"))
        .collect();
    report(&strangers);
}

#[test]
fn folders_are_three_deep_at_most() {
    let folders = ["src", "tests", "mappings", "sample-data"].into_iter().flat_map(paths);
    let deep: Vec<String> = folders
        .filter(|path| top().join(path).is_file() && path.iter().count() > MOST_FOLDERS + 1)
        .map(|path| format!("{}: stands deeper than {MOST_FOLDERS} folders", path.display()))
        .collect();
    report(&deep);
}
