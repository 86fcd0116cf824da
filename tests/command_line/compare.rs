//! `yokecheck compare`: what became of violations between two revisions of a schedule.

use std::fmt::Write as _;

use calamine::{Data, Reader as _, Xlsx};

use crate::{Place, golden};

const HEADER: &str = "outlet_id,building,floor,room,edition,device,mounting_location,facing,box,box_set_back,surface,panel,circuit,trade\n";
const RUN: &str = "--as-of 2026-03-31 --rules box-set-back";

/// A schedule of outlets, each with its name, its room and its set-back.
fn schedule(outlets: &[(&str, &str, &str)]) -> String {
    let mut text = HEADER.to_owned();
    for (id, room, set_back) in outlets {
        writeln!(
            text,
            "{id},North,1,{room},2020,receptacle,wall,side,device-box,{set_back},gypsum,P1,{room},Power"
        )
        .unwrap();
    }
    text
}

/// Too deep, and of the same five outlets later: one corrected, one not, one blank, one gone, one new.
fn revisions() -> Place {
    let before = [
        ("A-1", "101", "1/2 in"),
        ("A-2", "102", "1/2 in"),
        ("A-3", "103", "1/2 in"),
        ("A-4", "104", "1/2 in"),
        ("A-5", "105", "0"),
    ];
    let after = [
        ("A-1", "101", "1/8 in"),
        ("A-2", "102", "3/8 in"),
        ("A-3", "103", ""),
        ("A-5", "105", "1/2 in"),
    ];
    Place::new().with("c.csv", schedule(&before)).with("d.csv", schedule(&after))
}

fn sheet(place: &Place, file: &str, name: &str) -> Vec<Vec<String>> {
    let mut book: Xlsx<_> = calamine::open_workbook(place.path(file)).unwrap();
    let range = book.worksheet_range(name).unwrap();
    range.rows().map(|row| row.iter().map(Data::to_string).collect()).collect()
}

#[test]
fn every_violation_has_its_fate() {
    let place = revisions();
    let run = format!("compare c.csv d.csv --changes changes.csv --out progress.xlsx {RUN}");
    place.run(&run).code(1).silently().prints(golden!("compare.txt"));
    let changes = place.text("changes.csv");
    let wanted = "\
status,rule,subject,building,floor,room,trade,before,after,what_changed
corrected,box-set-back,A-1,North,1,101,Power,violates,complies,box_set_back 12.7 mm (0.5 in) became 3.175 mm (0.125 in)
open,box-set-back,A-2,North,1,102,Power,violates,violates,box_set_back 12.7 mm (0.5 in) became 9.525 mm (0.375 in)
unknown now,box-set-back,A-3,North,1,103,Power,violates,undetermined,box_set_back 12.7 mm (0.5 in) became unknown
gone,box-set-back,A-4,North,1,104,Power,violates,-,
new,box-set-back,A-5,North,1,105,Power,complies,violates,box_set_back 0 mm (0 in) became 12.7 mm (0.5 in)
";
    assert_eq!(changes, wanted);
    let progress = sheet(&place, "progress.xlsx", "Progress");
    let counts =
        |word: &str| progress.iter().find(|row| row[0] == word).map(|row| row[1].clone()).unwrap();
    for word in ["open", "new", "unknown now", "gone", "corrected"] {
        assert_eq!(counts(word), "1", "{word}");
    }
    assert_eq!(sheet(&place, "progress.xlsx", "Changes").len(), 6);
}

#[test]
fn nothing_open_and_nothing_new_is_clean() {
    let place = Place::new()
        .with("c.csv", schedule(&[("A-1", "101", "1/2 in")]))
        .with("d.csv", schedule(&[("A-1", "101", "1/8 in")]));
    place.run(&format!("compare c.csv d.csv {RUN}")).code(0).shows(&["1 corrected"]);
    place.run(&format!("compare c.csv none.csv {RUN}")).code(2).says(&["none.csv"]);
    place.run(&format!("compare c.csv d.csv --out d.csv {RUN}")).code(2).says(&["d.csv"]);
}

#[test]
fn the_tables_of_an_earlier_audit_stand_for_its_schedules() {
    let place = revisions();
    place.run(&format!("audit c.csv --no-workbook --parquet march {RUN} -q")).code(1);
    place.run(&format!("compare c.csv d.csv --changes one.csv {RUN} -q")).code(1);
    place.run(&format!("compare march d.csv --changes other.csv {RUN} -q")).code(1).silently();
    assert_eq!(place.text("one.csv"), place.text("other.csv"));
    place.run(&format!("compare march c.csv --changes same.csv {RUN} -q")).code(1);
    assert!(!place.text("same.csv").contains("corrected"));
}

#[test]
fn other_names_are_proposed_and_taken_only_when_confirmed() {
    let place = Place::new()
        .with("c.csv", schedule(&[("A-1", "101", "1/2 in"), ("A-2", "102", "1/2 in")]))
        .with("d.csv", schedule(&[("B-1", "101", "1/8 in"), ("A-2", "102", "1/8 in")]))
        .with("names.csv", "building,before,after\nNorth,A-1,B-1\nNorth,A-7,B-7\n");
    let run = format!("compare c.csv d.csv --changes changes.csv --out progress.xlsx {RUN}");
    place.run(&run).code(0).shows(&["1 outlet may go by another name now"]);
    assert!(place.text("changes.csv").contains("gone,box-set-back,A-1"));
    let names = sheet(&place, "progress.xlsx", "Other names");
    assert!(names.iter().any(|row| row[4..6] == ["A-1", "B-1"]), "{names:?}");
    place
        .run(&format!("{run} --renamed names.csv"))
        .code(0)
        .shows(&["--renamed: A-7 to B-7 is about no outlet"]);
    assert!(place.text("changes.csv").contains("corrected,box-set-back,A-1"));
}

/// A list of corrections as CSV, with some outlets marked as corrected.
fn came_back(place: &Place, outlets: &[&str]) -> String {
    let rows = sheet(place, "lists/Power-corrections.xlsx", "Corrections POWER");
    let header = rows.iter().position(|row| row.contains(&"Match: rule".to_owned())).unwrap();
    let column = |name: &str| rows[header].iter().position(|cell| cell == name).unwrap();
    let (by, id) = (column("Corrected by"), column("Match: outlet_id"));
    let mut csv = String::new();
    for row in &rows[header..] {
        let mut row = row.clone();
        if outlets.contains(&row[id].as_str()) {
            "J. Ferrand".clone_into(&mut row[by]);
        }
        let quoted = row.iter().map(|cell| format!("\"{}\"", cell.replace('"', "\"\"")));
        writeln!(csv, "{}", quoted.collect::<Vec<_>>().join(",")).unwrap();
    }
    csv
}

#[test]
fn claims_are_held_against_what_is_found() {
    let place = revisions();
    place.run(&format!("audit c.csv --no-workbook --corrections lists {RUN} -q")).code(1);
    let filled_in = came_back(&place, &["A-2", "A-3"]);
    let place = place.with("back/Power-corrections.csv", filled_in);
    place
        .run(&format!("compare c.csv d.csv --corrected back --out progress.xlsx {RUN}"))
        .code(1)
        .shows(&[
            "Claims: 1 list; 1 claimed but still open; 1 claimed, and not to be told now; 1",
            "corrected without a claim",
        ]);
    let claims = sheet(&place, "progress.xlsx", "Claims");
    let told = |id: &str| {
        claims.iter().find(|row| row[3] == id).map(|row| (row[0].clone(), row[4].clone())).unwrap()
    };
    assert_eq!(told("A-2"), ("claimed but still open".into(), "J. Ferrand".into()));
    assert_eq!(told("A-3").0, "claimed, and not to be told now");
    let facts = sheet(&place, "progress.xlsx", "Changed facts");
    assert!(facts.iter().any(|row| row[1] == "box_set_back" && row[7] == "A-1"), "{facts:?}");
    assert!(!facts.iter().any(|row| row[7].contains("A-2")), "somebody says they worked there");
    place
        .run(&format!("compare c.csv d.csv --corrected nowhere {RUN}"))
        .code(2)
        .says(&["nowhere: no file in this folder is a list of corrections"]);
}

#[test]
fn a_box_that_is_no_longer_told_is_unknown_not_corrected() {
    let header =
        "outlet_id,building,edition,device,enclosure_id,gang,barrier,volts,phases,panel,system\n";
    let gang = |boxed: &str| {
        format!(
            "{header}S-1,North,2020,receptacle,{boxed},1,none,277 V,A,P1,480Y/277\n\
             S-2,North,2020,receptacle,{boxed},2,none,277 V,B,P1,480Y/277\n"
        )
    };
    let place = Place::new().with("c.csv", gang("BX")).with("d.csv", gang(""));
    let run = "--as-of 2026-03-31 --rules adjacent-voltage --changes changes.csv";
    place.run(&format!("compare c.csv d.csv {run}")).code(0);
    let changes = place.text("changes.csv");
    assert!(changes.contains("unknown now,adjacent-voltage,BX"), "{changes}");
}

const GANG: &str =
    "outlet_id,building,edition,device,enclosure_id,gang,barrier,volts,phases,panel,system\n";

/// A row of three receptacles on one phase each; `boxes` are their enclosures.
fn gang(boxes: [&str; 3]) -> String {
    let line = |(name, phase, boxed): (&str, &str, &str)| {
        format!("{name},North,2020,receptacle,{boxed},{phase},none,277 V,{phase},P1,480Y/277\n")
    };
    let lines = [("S-1", "A", boxes[0]), ("S-2", "B", boxes[1]), ("S-3", "C", boxes[2])].map(line);
    let gangs = lines.concat().replace(",A,none", ",1,none").replace(",B,none", ",2,none");
    format!("{GANG}{}", gangs.replace(",C,none", ",3,none"))
}

/// What became of the violations of a rule between two schedules, and the exit code.
#[track_caller]
fn fates(before: &str, after: &str, rule: &str, code: i32) -> Vec<String> {
    let place = Place::new().with("c.csv", before).with("d.csv", after);
    let run =
        format!("compare c.csv d.csv --as-of 2026-03-31 --rules {rule} --changes changes.csv");
    place.run(&run).code(code).silently();
    let words = |line: &str| line.split(',').take(3).collect::<Vec<_>>().join(",");
    place.text("changes.csv").lines().skip(1).map(words).collect()
}

#[test]
fn a_neighbour_that_is_no_longer_told_is_unknown_and_one_that_left_is_gone() {
    let before = gang(["BX", "BX", ""]);
    let rule = "adjacent-voltage";
    let told = |after: &str| fates(&before, after, rule, 0);
    assert_eq!(told(&gang(["BX", "", ""])), ["unknown now,adjacent-voltage,BX"]);
    let gone: String = before
        .lines()
        .filter(|line| !line.starts_with("S-2"))
        .flat_map(|line| [line, "\n"])
        .collect();
    assert_eq!(told(&gone), ["gone,adjacent-voltage,BX"]);
    assert_eq!(told(&gang(["BX", "BY", ""])), ["corrected,adjacent-voltage,BX"]);
}

#[test]
fn a_box_that_was_parted_is_open_where_a_part_still_violates_and_not_new_as_well() {
    let told = fates(&gang(["BX", "BX", "BX"]), &gang(["BY", "BX", "BX"]), "adjacent-voltage", 1);
    assert_eq!(told, ["open,adjacent-voltage,BX"]);
}

#[test]
fn another_edition_corrects_nothing() {
    let before = schedule(&[("A-1", "101", "1/2 in")]);
    let told = fates(&before, &before.replace(",2020,", ",other,"), "box-set-back", 0);
    assert_eq!(told, ["unknown now,box-set-back,A-1"]);
}

#[test]
fn outlets_that_share_a_name_are_never_taken_for_corrected() {
    let before = schedule(&[("A-1", "101", "1/2 in"), ("A-1", "102", "0")]);
    let swapped = schedule(&[("A-1", "102", "0"), ("A-1", "101", "1/2 in")]);
    let told = fates(&before, &swapped, "box-set-back", 1);
    assert_eq!(told, ["unknown now,box-set-back,A-1", "new,box-set-back,A-1"]);
    let told = fates(&before, &schedule(&[("A-1", "102", "0")]), "box-set-back", 0);
    assert_eq!(told, ["unknown now,box-set-back,A-1"]);
}

#[test]
fn another_name_takes_no_place_that_is_taken() {
    let schedules = schedule(&[("A-1", "101", "1/2 in"), ("A-2", "102", "0")]);
    let place = Place::new().with("c.csv", &schedules).with("d.csv", &schedules);
    let place = place.with("names.csv", "before,after\nA-1,A-2\n");
    let run = format!("compare c.csv d.csv --renamed names.csv {RUN}");
    place.run(&run).code(1).shows(&["1 open", "0 corrected", "--renamed: A-1 to A-2"]);
}

#[test]
fn what_the_authority_approved_is_no_longer_open() {
    let before = schedule(&[("A-1", "101", "1/2 in"), ("A-2", "102", "1/2 in")]);
    let rulings = "rule,outlet_id,ruling\nbox-set-back,A-1,approved\nbox-set-back,A-2,approved\n";
    let place = Place::new().with("c.csv", &before).with("d.csv", &before).with("r.csv", rulings);
    let run = format!("compare c.csv d.csv --rulings r.csv {RUN}");
    place.run(&run).code(0).shows(&["0 open", "2 violations are approved"]);
}

#[test]
fn a_revision_and_a_survey_of_it_are_one_side() {
    let place = revisions();
    place.run(&format!("survey d.csv --out survey.xlsx {RUN} -q")).code(0);
    let run = format!("compare c.csv d.csv survey.xlsx {RUN}");
    place.run(&run).code(1).shows(&["0 observations were joined", "1 unknown now"]);
}

#[test]
fn a_list_that_came_back_is_never_overwritten() {
    let place = revisions();
    place.run(&format!("audit c.csv --no-workbook --corrections lists {RUN} -q")).code(1);
    let filled_in = came_back(&place, &["A-2"]);
    let place = place.with("back/Power-corrections.csv", filled_in);
    place
        .run(&format!(
            "compare c.csv d.csv --corrected back --changes back/Power-corrections.csv {RUN}"
        ))
        .code(2)
        .says(&["back/Power-corrections.csv"]);
}
