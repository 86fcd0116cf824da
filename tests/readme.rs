//! The README says what the program has: its table of rules is made from the rules themselves.
//!
//! `YOKECHECK_BLESS=1 cargo test --release --test readme` writes the table anew.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]
#![expect(
    clippy::disallowed_methods,
    reason = "the test reads the README, and writes it on request"
)]

use std::fmt::Write as _;
use std::path::Path;

use yokecheck::code::{Citation, EDITIONS};
use yokecheck::rules::{DefectType, RULES};

const BEGIN: &str =
    "<!-- rules: written by `YOKECHECK_BLESS=1 cargo test --release --test readme` -->\n";
const END: &str = "<!-- end of rules -->\n";

fn table() -> String {
    let mut table = String::from(
        "| rule | what it requires | defect type | grade | 2014 | 2017 | 2020 | 2023 |\n\
         |---|---|---|---|---|---|---|---|\n",
    );
    for defect in DefectType::ALL {
        for rule in RULES.iter().filter(|rule| rule.defect == defect) {
            let sections = match rule.citation {
                Citation::Nfpa70(_) => EDITIONS
                    .map(|edition| {
                        let section = rule.citation.section(edition);
                        section.map_or_else(|| "-".to_owned(), |section| section.to_string())
                    })
                    .join(" | "),
                Citation::Other { .. } => format!("{} | | | ", rule.citation.marked(&[])),
            };
            writeln!(
                table,
                "| `{}` | {} | {} | {} | {sections} |",
                rule.name,
                rule.summary(),
                defect.word(),
                rule.grade.word()
            )
            .unwrap();
        }
    }
    table
}

#[test]
fn the_table_of_rules_is_that_of_the_program() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let text = std::fs::read_to_string(&path).unwrap();
    let (before, rest) = text.split_once(BEGIN).unwrap();
    let (written, after) = rest.split_once(END).unwrap();
    let wanted = table();
    if std::env::var("YOKECHECK_BLESS").is_ok() {
        std::fs::write(&path, format!("{before}{BEGIN}{wanted}{END}{after}")).unwrap();
    } else {
        assert_eq!(written, wanted, "the table of rules in README.md is out of date");
    }
}

#[test]
fn every_option_of_the_audit_stands_in_the_readme() {
    use clap::CommandFactory as _;
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let text = std::fs::read_to_string(path).unwrap();
    let command = yokecheck::cli::arguments::Arguments::command();
    let audit = command.find_subcommand("audit").unwrap();
    for option in audit.get_arguments().filter_map(clap::Arg::get_long) {
        assert!(option == "help" || text.contains(&format!("`--{option}")), "--{option}");
    }
}
