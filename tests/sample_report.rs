//! The reports in `reports/sample` are what the program makes of the sample data, cell by cell.
//!
//! `YOKECHECK_BLESS=1 cargo test --release --test sample_report` makes them anew, and the picture of the
//! summary too where `libreoffice` and `pdftoppm` are installed.
#![expect(
    clippy::disallowed_methods,
    reason = "the test reads reports, and writes them on request"
)]
#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use std::path::{Path, PathBuf};
use std::process::Command;

use calamine::{Data, Reader as _, Xlsx, open_workbook};

const WORKBOOK: &str = "schedules-audit.xlsx";
const FINDINGS: &str = "findings.csv";
const PICTURE: &str = "summary.png";

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn sample() -> PathBuf {
    root().join("reports").join("sample")
}

/// Audits the sample data into a folder.
fn audit_into(folder: &Path) {
    let run = Command::new(env!("CARGO_BIN_EXE_yokecheck"))
        .current_dir(root())
        .args(["audit", "sample-data/schedules", "--as-of", "2026-03-31"])
        .args(["--project", "Sample campus", "--quiet"])
        .arg("--out")
        .arg(folder.join(WORKBOOK))
        .arg("--findings")
        .arg(folder.join(FINDINGS))
        .output()
        .unwrap();
    assert_eq!(run.status.code(), Some(1), "{}", String::from_utf8_lossy(&run.stderr));
}

/// Draws the second page of the workbook, which has a chart; false where a program for it is missing.
fn draw(folder: &Path) -> bool {
    let ran = |command: &mut Command| command.output().is_ok_and(|run| run.status.success());
    let made = tempfile::tempdir().unwrap();
    let converted = ran(Command::new("libreoffice")
        .args(["--headless", "--convert-to", "pdf", "--outdir"])
        .args([made.path(), &folder.join(WORKBOOK)]));
    let pages = made.path().join(WORKBOOK).with_extension("pdf");
    let picture = folder.join(PICTURE).with_extension("");
    converted
        && ran(Command::new("pdftoppm")
            .args(["-png", "-r", "90", "-f", "2", "-l", "2", "-singlefile"])
            .args([pages, picture]))
}

type Sheets = Vec<(String, Vec<Vec<Data>>)>;

/// Every sheet with its cells.
fn sheets(path: &Path) -> Sheets {
    let mut book: Xlsx<_> = open_workbook(path).unwrap();
    let names = book.sheet_names();
    let read = |name: String| {
        let cells = book.worksheet_range(&name).unwrap();
        let rows = cells.rows().map(<[Data]>::to_vec).collect();
        (name, rows)
    };
    names.into_iter().map(read).collect()
}

/// Where two workbooks differ first.
fn difference(kept: &Sheets, made: &Sheets) -> Option<String> {
    let names = |sheets: &Sheets| sheets.iter().map(|sheet| sheet.0.clone()).collect::<Vec<_>>();
    if names(kept) != names(made) {
        return Some(format!("the sheets {:?}, now {:?}", names(kept), names(made)));
    }
    for ((name, kept), (_, made)) in kept.iter().zip(made) {
        for (row, (kept, made)) in (1..).zip(kept.iter().zip(made)) {
            for (column, (kept, made)) in (1..).zip(kept.iter().zip(made)) {
                if kept != made {
                    return Some(format!(
                        "{name}, row {row}, column {column}: {kept:?}, now {made:?}"
                    ));
                }
            }
        }
        let size = |rows: &[Vec<Data>]| (rows.len(), rows.first().map(Vec::len));
        if size(kept) != size(made) {
            return Some(format!("{name} is {:?}, now {:?}", size(kept), size(made)));
        }
    }
    None
}

#[test]
fn the_sample_reports_are_those_of_the_sample_data() {
    let kept = sample();
    if std::env::var("YOKECHECK_BLESS").is_ok() {
        std::fs::create_dir_all(&kept).unwrap();
        audit_into(&kept);
        assert!(draw(&kept), "the picture stays: libreoffice and pdftoppm are needed to draw it");
    }
    check_picture(&kept);
    let made = tempfile::tempdir().unwrap();
    audit_into(made.path());
    let how = "YOKECHECK_BLESS=1 cargo test --release --test sample_report";
    let sheets = |folder: &Path| sheets(&folder.join(WORKBOOK));
    let differs = difference(&sheets(&kept), &sheets(made.path()));
    assert_eq!(differs, None, "reports/sample is out of date: {how}");
    let findings = |folder: &Path| std::fs::read_to_string(folder.join(FINDINGS)).unwrap();
    let (kept, made) = (findings(&kept), findings(made.path()));
    for (line, (kept, made)) in (1..).zip(kept.lines().zip(made.lines())) {
        assert_eq!(kept, made, "line {line} of {FINDINGS} is out of date: {how}");
    }
    assert_eq!(kept.lines().count(), made.lines().count(), "{FINDINGS} is out of date: {how}");
}

/// The picture is there, is small, and is shown.
fn check_picture(folder: &Path) {
    let picture = std::fs::read(folder.join(PICTURE)).unwrap();
    assert!(picture.starts_with(b"\x89PNG"));
    assert!(picture.len() < 200_000, "{} bytes", picture.len());
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    assert!(readme.contains("reports/sample/summary.png"));
}
