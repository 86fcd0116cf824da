//! Portfolios: several inputs, audited one by one where no two of them share a building.

use crate::{DEVICES, Place};

/// The schedule of a building of this name.
fn building(name: &str) -> String {
    DEVICES.replace(",North,", &format!(",{name},"))
}

/// The findings of the schedules, audited by themselves where they can be and all together, and the last
/// words of both audits.
fn both_ways(place: &Place) -> [(String, String); 2] {
    [("alone.csv", ""), ("together.csv", "--verdicts verdicts.csv")].map(|(findings, more)| {
        let ran = place.run(&format!(
            "audit schedules --no-workbook --as-of 2026-03-31 --findings {findings} {more}"
        ));
        let ran = ran.code(1);
        let counts = ran.stdout.lines().filter(|line| !line.starts_with("Written"));
        (place.text(findings), counts.collect())
    })
}

#[test]
fn a_building_a_file_is_audited_by_itself_with_the_findings_of_all_together() {
    let place = Place::new()
        .with("schedules/a.csv", building("North"))
        .with("schedules/b.csv", building("East"))
        .with("schedules/c.csv", building("South").replace("1/2 in", "9 mm"))
        .with("schedules/d.csv", DEVICES.replace(",North,", ",,").replace("switch", "receptacle"));
    let [alone, together] = both_ways(&place);
    assert_eq!(alone, together);
    assert!(alone.0.lines().count() > 4, "{}", alone.0);
}

#[test]
fn files_that_share_a_building_are_audited_together() {
    let place = Place::new()
        .with("schedules/a.csv", building("North"))
        .with("schedules/b.csv", building("North").replace("A-", "B-"))
        .with("schedules/c.csv", building("South"));
    let [alone, together] = both_ways(&place);
    assert_eq!(alone, together);
}

#[test]
fn a_file_that_cannot_be_read_spoils_no_other() {
    let place = Place::new()
        .with("schedules/a.csv", building("North"))
        .with("schedules/b.csv", "")
        .with("schedules/c.csv", building("South"));
    let ran = place.run("audit schedules --no-workbook --findings f.csv").code(2);
    ran.says(&["b.csv", "empty"]);
    assert_eq!(place.text("f.csv").matches("box-set-back").count(), 2);
}
