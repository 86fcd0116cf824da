//! The CSV files against golden texts.

use yokecheck::report::{Report, findings_csv, verdicts_csv};
use yokecheck::statistics::Statistics;

use super::example::{account, context, schedule};

fn written(write: impl Fn(&Report<'_>, &mut Vec<u8>) -> Result<(), csv::Error>) -> String {
    let audit = schedule().audit(true);
    let statistics = Statistics::of(&audit).unwrap();
    let report = Report {
        audit: &audit,
        account: &account(),
        statistics: &statistics,
        context: &context(),
        rulings: &yokecheck::rulings::Ruled::default(),
    };
    let mut out = Vec::new();
    write(&report, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

#[test]
fn findings_stand_by_row_and_rule_and_are_guarded() {
    let text = written(|report, out| findings_csv::write(report, out));
    snapbox::assert_data_eq!(text, snapbox::file!["findings.csv"].raw());
}

#[test]
fn verdicts_stand_by_row_and_rule() {
    let text = written(|report, out| verdicts_csv::write(report, out));
    snapbox::assert_data_eq!(text, snapbox::file!["verdicts.csv"].raw());
}

#[test]
fn an_audit_that_kept_no_verdicts_has_a_header_only() {
    let audit = schedule().audit(false);
    let statistics = Statistics::of(&audit).unwrap();
    let report = Report {
        audit: &audit,
        account: &account(),
        statistics: &statistics,
        context: &context(),
        rulings: &yokecheck::rulings::Ruled::default(),
    };
    let mut out = Vec::new();
    verdicts_csv::write(&report, &mut out).unwrap();
    let header = "rule,subject_kind,building,subject,verdict,missing,borderline,source,sheet,row\n";
    assert_eq!(String::from_utf8(out).unwrap(), header);
}
