//! The audit of the sample data finds what was seeded: nothing more, nothing less, and the same on any
//! number of threads.
//!
//! The data is invented (see its README): it shows that the pipeline is whole, not that a rule is right.
#![expect(
    clippy::disallowed_methods,
    reason = "the tests read the sample data and what is made of it"
)]
#![expect(clippy::unwrap_used, reason = "sample data that cannot be read fails the test")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

use yokecheck::audit::{self, Audit, Finding, Options, Selection};
use yokecheck::ingest::find;
use yokecheck::mapping::{Account, LoadOptions, Loaded, SheetReading, load};
use yokecheck::rules::{RULES, SubjectKind, VerdictKind};

/// The sample schedules, audited by every rule, `reach-range` as well.
struct Sample {
    audit: Audit,
    account: Account,
}

static SAMPLE: LazyLock<Sample> = LazyLock::new(|| {
    let found = find(&[folder().join("schedules")]);
    let options = LoadOptions { mappings: &[], progress: &|_| {} };
    let loaded = load(&found, &options).unwrap_or_else(|errors| panic!("{}", errors[0]));
    let Loaded { outlets, texts, account, resolutions } = loaded;
    let names: Vec<String> = RULES.iter().map(|rule| rule.name.to_owned()).collect();
    let selection = Selection::new(&names, &[]).unwrap();
    let options = Options {
        resolution: Some(&|outlet, field| resolutions.get(outlet.origin, field)),
        ..Options::of(&selection)
    };
    Sample { audit: audit::run(outlets, texts, &options), account }
});

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-data")
}

/// The name of a file without its folders.
fn file_name(path: &str) -> &str {
    path.rsplit('/').next().unwrap()
}

impl Sample {
    /// The files of the rows of a finding, each once, sorted, joined by a semicolon.
    fn files(&self, finding: &Finding) -> String {
        let origin = |place: &u32| self.audit.outlet(*place).origin;
        let mut files: Vec<&str> = finding
            .members
            .iter()
            .map(|place| file_name(self.account.path(origin(place))))
            .collect();
        files.sort_unstable();
        files.dedup();
        files.join(";")
    }

    /// A finding as a line of `seeded.csv`.
    fn line(&self, finding: &Finding) -> String {
        [
            finding.rule.name,
            finding.kind().word(),
            &self.audit.subject(finding),
            self.audit.place(finding.first()).building,
            &self.files(finding),
        ]
        .join(",")
    }
}

fn seeded() -> Vec<String> {
    let text = std::fs::read_to_string(folder().join("seeded.csv")).unwrap();
    let mut lines = text.lines().map(str::to_owned);
    assert_eq!(lines.next().as_deref(), Some("rule,verdict,subject,building,source"));
    let mut lines: Vec<String> = lines.collect();
    lines.sort();
    lines
}

/// The rows of a table of the README, cells without their backticks; the header and the rule left out.
fn readme_table(name: &str) -> Vec<Vec<String>> {
    let text = std::fs::read_to_string(folder().join("README.md")).unwrap();
    let (_, after) = text.split_once(&format!("<!-- {name} -->\n")).unwrap();
    let (table, _) = after.split_once(&format!("<!-- end of {name} -->")).unwrap();
    let cells = |line: &str| {
        let cells = line.trim().trim_matches('|').split('|');
        cells.map(|cell| cell.trim().replace('`', "")).collect()
    };
    table.lines().skip(2).map(cells).collect()
}

/// How often each key occurs.
fn counts(keys: impl Iterator<Item = String>) -> BTreeMap<String, u64> {
    let mut counts = BTreeMap::new();
    for key in keys {
        *counts.entry(key).or_default() += 1;
    }
    counts
}

#[test]
fn the_findings_are_those_that_were_seeded() {
    let mut found: Vec<String> =
        SAMPLE.audit.findings.iter().map(|finding| SAMPLE.line(finding)).collect();
    found.sort();
    let seeded = seeded();
    let more: Vec<_> = found.iter().filter(|line| !seeded.contains(line)).collect();
    let less: Vec<_> = seeded.iter().filter(|line| !found.contains(line)).collect();
    assert!(more.is_empty() && less.is_empty(), "not seeded: {more:#?}\nnot found: {less:#?}");
    assert_eq!(found, seeded, "a finding is there twice");
}

/// `box-cover` | 5 | `harbrisk-works.ods` 2, ...: by rule, and beside every file that a box stands in.
fn check_table(name: &str, kind: VerdictKind) {
    let findings: Vec<&Finding> =
        SAMPLE.audit.findings.iter().filter(|finding| finding.kind() == kind).collect();
    let by_rule = counts(findings.iter().map(|finding| finding.rule.name.to_owned()));
    let by_file = counts(findings.iter().flat_map(|finding| {
        let files = SAMPLE.files(finding);
        let rule = finding.rule.name;
        files.split(';').map(|file| format!("{rule} {file}")).collect::<Vec<_>>()
    }));
    let mut told_by_rule = BTreeMap::new();
    let mut told_by_file = BTreeMap::new();
    for row in readme_table(name) {
        let [rule, count, files] = row.as_slice() else { panic!("{row:?}") };
        let count: u64 = count.parse().unwrap();
        if rule == "all" {
            assert_eq!(count, findings.len() as u64);
            continue;
        }
        told_by_rule.insert(rule.clone(), count);
        for file in files.split(", ") {
            let (file, count) = file.rsplit_once(' ').unwrap();
            told_by_file.insert(format!("{rule} {file}"), count.parse().unwrap());
        }
    }
    assert_eq!(told_by_rule, by_rule);
    assert_eq!(told_by_file, by_file);
}

#[test]
fn the_readme_counts_the_violations() {
    check_table("violations", VerdictKind::Violates);
}

#[test]
fn the_readme_counts_the_questions() {
    check_table("questions", VerdictKind::Authority);
}

#[test]
fn the_readme_counts_the_rows_and_columns_of_the_files() {
    let mut told = readme_table("files");
    let all = told.pop().unwrap();
    assert_eq!(all[..2], ["all".to_owned(), SAMPLE.account.rows_read().to_string()]);
    for (row, input) in told.iter().zip(&SAMPLE.account.inputs) {
        let rows: u32 = input.sheets.iter().map(|sheet| sheet.rows_read).sum();
        let columns = input.sheets.iter().map(|sheet| sheet.columns.len()).max().unwrap();
        let file = file_name(&input.path);
        assert_eq!(row[..3], [file.to_owned(), rows.to_string(), columns.to_string()]);
    }
    assert_eq!(told.len(), SAMPLE.account.inputs.len());
}

#[test]
fn each_schedule_is_read_with_its_own_mapping() {
    let mut read = Vec::new();
    for input in &SAMPLE.account.inputs {
        let mappings = input.sheets.iter().filter_map(|sheet| match &sheet.reading {
            SheetReading::Mapped { mapping, .. } => Some(mapping.clone()),
            SheetReading::Empty | SheetReading::FormPage | SheetReading::NotASchedule { .. } => {
                None
            }
        });
        let mut mappings: Vec<String> = mappings.collect();
        mappings.dedup();
        read.push(format!("{}: {}", file_name(&input.path), mappings.join(", ")));
    }
    assert_eq!(
        read,
        [
            "harbrisk-works.ods: mappings/harbrisk-works.toml",
            "lighting-controls.xlsx: mappings/lighting-controls.toml",
            "ondravell-clinic-power.xlsx: mappings/ondravell-clinic-power.toml",
            "quennifold-house.csv: mappings/quennifold-house.toml",
            "tessorwold-hall.csv: canonical headers",
        ]
    );
    assert_eq!(SAMPLE.account.problems, Vec::<String>::new());
}

/// Faults of cells by file, field and text; of rows that disagree by file and field.
#[test]
fn the_readme_lists_the_faults_of_the_schedules() {
    let told = readme_table("faults").into_iter().map(|row| {
        let text = match row[3].as_str() {
            "used twice" | "missing" | "rows of one box disagree" => "",
            // The unit stands in the header of the column.
            text => text.strip_suffix(" in").unwrap_or(text),
        };
        format!("{} {} {text}", row[0], row[2])
    });
    let told = counts(told);
    let faults = SAMPLE.account.inputs.iter().flat_map(|input| {
        let faults = input.sheets.iter().flat_map(|sheet| &sheet.faults);
        faults.map(|fault| {
            let field = fault.field.map_or("", |field| field.name());
            let text = if field == "outlet_id" { "" } else { &fault.text };
            format!("{} {field} {text}", file_name(&input.path))
        })
    });
    let disagreements = SAMPLE.audit.disagreements.iter().map(|disagreement| {
        let first = SAMPLE.audit.outlet(disagreement.members[0]);
        let file = file_name(SAMPLE.account.path(first.origin));
        format!("{file} {} ", disagreement.field.name())
    });
    assert_eq!(told, counts(faults.chain(disagreements)));
}

#[test]
fn the_verdicts_of_each_rule_add_up_to_its_subjects() {
    let audit = &SAMPLE.audit;
    assert!(audit.crashes.is_empty());
    assert_eq!(audit.tallies.len(), RULES.len());
    for tally in &audit.tallies {
        let counted: u64 = VerdictKind::ALL.into_iter().map(|kind| tally.count(kind)).sum();
        let subjects = audit.subjects.count(tally.rule.subject) as u64;
        assert_eq!(counted, subjects, "{}", tally.rule.name);
    }
    for kind in SubjectKind::ALL {
        assert!(audit.subjects.count(kind) > 0, "the sample has no {}", kind.word());
    }
}

/// What the binary writes of the sample data, run in a folder of its own on so many threads.
fn written(threads: &str) -> Vec<(&'static str, Vec<u8>)> {
    const FILES: [&str; 3] = ["audit.xlsx", "findings.csv", "verdicts.csv"];
    let out = tempfile::tempdir().unwrap();
    let path = |name: &str| out.path().join(name);
    let run = Command::new(env!("CARGO_BIN_EXE_yokecheck"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(["audit", "sample-data/schedules", "--as-of", "2026-03-31", "--threads", threads])
        .arg("--out")
        .arg(path(FILES[0]))
        .arg("--findings")
        .arg(path(FILES[1]))
        .arg("--verdicts")
        .arg(path(FILES[2]))
        .output()
        .unwrap();
    assert_eq!(run.status.code(), Some(1), "{}", String::from_utf8_lossy(&run.stderr));
    FILES.map(|name| (name, std::fs::read(path(name)).unwrap())).to_vec()
}

#[test]
fn any_number_of_threads_writes_the_same_bytes() {
    let one = written("1");
    for threads in ["2", "8"] {
        for ((name, one), (_, more)) in one.iter().zip(written(threads)) {
            assert!(*one == more, "{name} differs between 1 and {threads} threads");
        }
    }
}
