//! The loop from the first audit to the comparison, as the README walks through it: its six commands are
//! run as they stand there, on the invented campus.
#![expect(clippy::disallowed_methods, reason = "the test reads the README and what was written")]
#![expect(clippy::unwrap_used, reason = "a file that is not there fails the test")]

use std::path::Path;
use std::process::{Command, Output};

fn top() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The commands of the README, in order.
fn commands() -> Vec<String> {
    let readme = std::fs::read_to_string(top().join("README.md")).unwrap();
    let (_, rest) = readme.split_once("<!-- loop:").unwrap();
    let (block, _) = rest.split_once("<!-- end of loop -->").unwrap();
    let lines = block.lines().filter_map(|line| line.strip_prefix("yokecheck "));
    lines.map(str::to_owned).collect()
}

/// A folder that sees the sample data under its name.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for entry in walkdir::WalkDir::new(top().join("sample-data")) {
        let entry = entry.unwrap();
        let to = folder.path().join(entry.path().strip_prefix(top()).unwrap());
        if entry.file_type().is_dir() {
            std::fs::create_dir_all(to).unwrap();
        } else {
            std::fs::copy(entry.path(), to).unwrap();
        }
    }
    folder
}

fn run(folder: &Path, command: &str) -> Output {
    let program = env!("CARGO_BIN_EXE_yokecheck");
    Command::new(program).args(command.split(' ')).current_dir(folder).output().unwrap()
}

#[test]
fn the_six_commands_of_the_readme_close_the_loop() {
    let folder = folder();
    let told: Vec<(i32, String)> = commands()
        .iter()
        .map(|command| {
            let output = run(folder.path(), command);
            assert!(
                output.stderr.is_empty(),
                "{command}: {}",
                String::from_utf8_lossy(&output.stderr)
            );
            let told = String::from_utf8(output.stdout).unwrap();
            let words: Vec<&str> = told.split_whitespace().collect();
            (output.status.code().unwrap(), words.join(" "))
        })
        .collect();
    let [first, survey, joined, ruled, compared, renamed] = told.as_slice() else {
        panic!("the README has {} commands", told.len());
    };
    let check = |(code, told): &(i32, String), wanted: i32, says: &[&str]| {
        assert_eq!(*code, wanted, "{told}");
        for words in says {
            assert!(told.contains(words), "`{words}` is not in:\n{told}");
        }
    };
    check(first, 1, &["79 violates", "36 undetermined"]);
    check(survey, 0, &["13 outlets to see, in survey.xlsx"]);
    // Of 79 one set-back is right after all; two more are too deep, a yoke is loose, a box is not
    // fastened, a device not bonded.
    check(
        joined,
        1,
        &["9 observations were joined", "24 facts filled in, 1 replaced", "83 violates"],
    );
    check(
        ruled,
        1,
        &[
            "4 violations are approved; 1 question is answered; 1 finding is refused; 4 findings are deferred; 3 findings are back",
        ],
    );
    check(
        compared,
        1,
        &[
            "58 open",
            "2 new",
            "1 unknown now",
            "2 gone",
            "18 corrected",
            "1 claimed but still open; 1 claimed, and not to be told now; 12 corrected as claimed; 6 corrected without a claim",
            "1 outlet may go by another name now",
        ],
    );
    check(renamed, 1, &["59 open", "1 new", "1 gone", "18 corrected"]);
    for written in [
        "march/outlets.parquet",
        "to-send/Power-corrections.xlsx",
        "survey.xlsx",
        "progress.xlsx",
        "changes.csv",
    ] {
        assert!(folder.path().join(written).is_file(), "{written}");
    }
}

#[test]
fn what_changed_on_one_day_without_a_claim_stands_first() {
    use calamine::{Data, Reader as _, Xlsx};
    let folder = folder();
    let command = "compare sample-data/schedules/tessorwold-hall.csv sample-data/follow-up/tessorwold-hall-next.csv \
                   --corrected sample-data/follow-up/corrected --out progress.xlsx -q";
    run(folder.path(), command);
    let mut book: Xlsx<_> = calamine::open_workbook(folder.path().join("progress.xlsx")).unwrap();
    let range = book.worksheet_range("Changed facts").unwrap();
    let rows: Vec<Vec<String>> =
        range.rows().map(|row| row.iter().map(Data::to_string).collect()).collect();
    let first = rows.iter().position(|row| row[0] == "Outlets").unwrap() + 1;
    assert_eq!(rows[first][..2], ["5", "box_set_back"]);
    assert_eq!(rows[first][6], "2026-05-04");
}
