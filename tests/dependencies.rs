//! What the program is built from: licences that may be passed on, nothing from outside the registry, no
//! crate twice that need not be, and a reason for each.
//!
//! Works without a network, from what cargo knows of the crates that are built. Advisories need a database
//! that is not part of this project: `.ci/run` asks it where it is at hand.
#![expect(clippy::unwrap_used, reason = "what cargo cannot tell fails the test")]
#![expect(clippy::disallowed_methods, reason = "the test reads the list of dependencies")]

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

/// Licences under which code may be part of a binary that is passed on with its notices.
const LICENCES: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Crates that are there in two incompatible versions because two of our dependencies differ about them.
const TWICE: &[&str] = &["foldhash", "hashbrown", "syn"];

fn top() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// A crate that is built: its name, its version, where it is from unless from the registry, its licence.
struct Crate {
    name: String,
    version: String,
    elsewhere: String,
    licence: String,
}

/// The crates that are built on this machine, the tests' among them.
fn crates() -> Vec<Crate> {
    let told = Command::new(env!("CARGO"))
        .args(["tree", "--offline", "--locked", "--prefix", "none", "--no-dedupe"])
        .args(["--edges", "normal,build,dev", "--format", "{p}|{l}"])
        .current_dir(top())
        .output()
        .unwrap();
    assert!(told.status.success(), "{}", String::from_utf8_lossy(&told.stderr));
    let told = String::from_utf8(told.stdout).unwrap();
    let lines: BTreeSet<&str> = told.lines().collect();
    lines.into_iter().map(Crate::of).collect()
}

impl Crate {
    /// From a line such as `syn v2.0.1 (proc-macro)|MIT`.
    fn of(line: &str) -> Self {
        let (package, licence) = line.split_once('|').unwrap();
        let mut words = package.splitn(3, ' ');
        let mut word = || words.next().unwrap_or_default().to_owned();
        let (name, version) = (word(), word().trim_start_matches('v').to_owned());
        let elsewhere = word().replace("(proc-macro)", "").trim().to_owned();
        Self { name, version, elsewhere, licence: licence.to_owned() }
    }
}

/// Whether a licence expression (SPDX) can be met with the licences above; a stroke is the old `OR`.
fn is_free(expression: &str) -> bool {
    let spaced = expression.replace('(', " ( ").replace(')', " ) ").replace('/', " OR ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let (free, rest) = any(&words);
    free && rest.is_empty()
}

fn any<'w>(words: &'w [&'w str]) -> (bool, &'w [&'w str]) {
    let (mut free, mut rest) = all(words);
    while let Some((&"OR", more)) = rest.split_first() {
        let (other, more) = all(more);
        (free, rest) = (free || other, more);
    }
    (free, rest)
}

fn all<'w>(words: &'w [&'w str]) -> (bool, &'w [&'w str]) {
    let (mut free, mut rest) = one(words);
    while let Some((&"AND", more)) = rest.split_first() {
        let (other, more) = one(more);
        (free, rest) = (free && other, more);
    }
    (free, rest)
}

fn one<'w>(words: &'w [&'w str]) -> (bool, &'w [&'w str]) {
    match words {
        ["(", inner @ ..] => {
            let (free, rest) = any(inner);
            (free && rest.first() == Some(&")"), rest.get(1..).unwrap_or_default())
        }
        [name, "WITH", exception, rest @ ..] => {
            (LICENCES.contains(&format!("{name} WITH {exception}").as_str()), rest)
        }
        [name, rest @ ..] => (LICENCES.contains(name), rest),
        [] => (false, words),
    }
}

#[test]
fn licences_are_read_as_they_are_written() {
    for free in ["MIT", "GPL-3.0-only OR MIT", "(MIT OR GPL-2.0-only) AND ISC", "Unlicense/MIT"] {
        assert!(is_free(free), "{free}");
    }
    let bound =
        ["", "GPL-3.0-only", "MIT AND GPL-3.0-only", "(MIT", "MIT OR", "ISC WITH exception"];
    for bound in bound {
        // A dangling `OR` leaves what was free before it.
        assert!(!is_free(bound) || bound == "MIT OR", "{bound}");
    }
}

#[test]
fn every_licence_lets_the_program_be_passed_on() {
    let crates = crates();
    assert!(crates.len() > 100);
    let bound: Vec<String> = crates
        .iter()
        .filter(|one| !is_free(&one.licence))
        .map(|one| format!("{} {}: {:?}", one.name, one.version, one.licence))
        .collect();
    assert!(bound.is_empty(), "\n{}\n", bound.join("\n"));
}

#[test]
fn every_crate_comes_from_the_registry() {
    for one in crates().iter().filter(|one| one.name != env!("CARGO_PKG_NAME")) {
        assert_eq!(one.elsewhere, "", "{} {}", one.name, one.version);
    }
}

#[test]
fn no_crate_is_there_twice_that_need_not_be() {
    let mut versions: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for one in crates() {
        let mut parts = one.version.split('.');
        let (major, minor) = (parts.next().unwrap_or_default(), parts.next().unwrap_or_default());
        let compatible = if major == "0" { format!("0.{minor}") } else { major.to_owned() };
        versions.entry(one.name).or_default().insert(compatible);
    }
    let twice = versions.iter().filter(|(_, versions)| versions.len() > 1);
    let new: Vec<_> = twice.filter(|(name, _)| !TWICE.contains(&name.as_str())).collect();
    assert!(new.is_empty(), "{new:?}: take the version that the other dependencies take");
}

/// The table of dependencies in DEVELOPERS.md names those of Cargo.toml, no more and no fewer.
#[test]
fn every_dependency_has_its_reason() {
    let manifest = std::fs::read_to_string(top().join("Cargo.toml")).unwrap();
    let mut section = "";
    let mut asked = BTreeSet::new();
    for line in manifest.lines() {
        if line.starts_with('[') {
            section = line;
        } else if section.ends_with("dependencies]")
            && let Some((name, _)) = line.split_once(" = ")
        {
            asked.insert(name.to_owned());
        }
    }
    let page = std::fs::read_to_string(top().join("DEVELOPERS.md")).unwrap();
    let (_, table) = page.split_once("\n## Dependencies\n").unwrap();
    let table = table.split("\n## ").next().unwrap();
    let rows = table.lines().filter(|line| line.starts_with("| ")).skip(1);
    let mut explained = BTreeSet::new();
    for row in rows {
        let [_, names, reason, _] = row.split('|').collect::<Vec<_>>()[..] else { panic!("{row}") };
        assert!(!reason.trim().is_empty(), "{row}");
        explained.extend(names.split(',').map(|name| name.trim().to_owned()));
    }
    assert_eq!(explained, asked);
}
