//! `yokecheck survey` and `yokecheck template`: what goes out to be filled in, and how it comes home.

use std::fmt::Write as _;

use calamine::{Data, Reader as _, Xlsx};

use crate::{DEVICES, Place, golden};

const RUN: &str = "--as-of 2026-03-31";

/// A sheet of a workbook as rows of texts.
fn sheet(place: &Place, file: &str, name: &str) -> Vec<Vec<String>> {
    let mut book: Xlsx<_> = calamine::open_workbook(place.path(file)).unwrap();
    let range = book.worksheet_range(name).unwrap();
    range.rows().map(|row| row.iter().map(Data::to_string).collect()).collect()
}

/// The lines of a survey from its header on.
fn lines(place: &Place, file: &str, name: &str) -> Vec<Vec<String>> {
    let rows = sheet(place, file, name);
    let header = rows.iter().position(|row| row.iter().any(|cell| cell == "outlet_id")).unwrap();
    rows[header..].to_vec()
}

/// A survey saved as CSV by another program, with some cells filled in: outlet, header, text.
fn filled_in(lines: &[Vec<String>], cells: &[(&str, &str, &str)]) -> String {
    let column = |header: &str| lines[0].iter().position(|cell| cell == header).unwrap();
    let mut csv = String::new();
    for line in lines {
        let mut line = line.clone();
        let id = line[column("outlet_id")].clone();
        for (_, header, text) in cells.iter().filter(|(of, ..)| *of == id) {
            (*text).clone_into(&mut line[column(header)]);
        }
        let quoted = line.iter().map(|cell| format!("\"{}\"", cell.replace('"', "\"\"")));
        writeln!(csv, "{}", quoted.collect::<Vec<_>>().join(",")).unwrap();
    }
    csv
}

#[test]
fn a_survey_lists_what_would_decide_the_most() {
    let place = Place::new().with("devices.csv", DEVICES);
    place
        .run(&format!("survey devices.csv --out survey.xlsx --most 3 {RUN}"))
        .code(0)
        .silently()
        .prints(golden!("survey.txt"));
    let first = sheet(&place, "survey.xlsx", "Read first");
    assert_eq!(first[0][0], "Survey");
    assert!(first[2][0].starts_with("Electricity kills."), "{:?}", first[2]);
    let lines = lines(&place, "survey.xlsx", "Survey");
    assert_eq!(lines[0][..4], ["building", "floor", "room", "outlet_id"]);
    assert_eq!(lines[0].last().unwrap(), "known_before");
    assert_eq!(lines.len(), 5, "the four rows, in walking order");
    assert_eq!(lines[1][..4], ["North", "1", "101", "A-1"]);
}

#[test]
fn facts_may_be_named_and_floors_have_sheets_of_their_own() {
    let place = Place::new().with("devices.csv", DEVICES);
    place
        .run(&format!(
            "survey devices.csv --out survey.xlsx --facts box_set_back,wires --sheet-per-floor {RUN}"
        ))
        .code(0);
    let lines = lines(&place, "survey.xlsx", "Survey 1 NORTH");
    assert_eq!(
        lines[0][4..8],
        ["box_set_back (in)", "wires_14", "wires_12", "wires_10"],
        "units in the headers"
    );
    assert_eq!((lines[3][3].as_str(), lines[3][4].as_str()), ("A-3", ""), "not readable, so asked");
    assert_eq!(lines[1][4], "0.125 in", "known already");
    place
        .run(&format!("survey devices.csv --out survey.xlsx --facts box_setback {RUN}"))
        .code(2)
        .says(&["no fact named `box_setback`", "did you mean `box_set_back`?"]);
}

#[test]
fn an_empty_survey_changes_nothing() {
    let place = Place::new().with("devices.csv", DEVICES);
    place.run(&format!("survey devices.csv --out survey.xlsx {RUN} -q")).code(0);
    let run = format!("--no-workbook {RUN} --findings");
    place.run(&format!("audit devices.csv {run} before.csv")).code(1);
    place.run(&format!("audit devices.csv survey.xlsx {run} after.csv")).code(1).silently();
    assert_eq!(place.text("before.csv"), place.text("after.csv"));
}

#[test]
fn what_was_seen_is_joined_and_named_by_its_cell() {
    let place = Place::new().with("devices.csv", DEVICES);
    let facts = "--facts box_set_back,facing,yoke_seat";
    place.run(&format!("survey devices.csv --out survey.xlsx {facts} {RUN} -q")).code(0);
    let survey = filled_in(
        &lines(&place, "survey.xlsx", "Survey"),
        &[
            // Asked for, in the unit of the header; then a grey cell that was found to be wrong.
            ("A-3", "box_set_back (in)", "5/16"),
            ("A-3", "observed_on", "2026-03-20"),
            ("A-1", "box_set_back (in)", "3/8"),
            ("A-1", "observed_on", "2026-03-20"),
            ("A-1", "observed_by", "J. Ferrand"),
        ],
    );
    let place = place.with("seen.csv", survey);
    place
        .run(&format!("audit devices.csv seen.csv --no-workbook {RUN} --findings found.csv"))
        .code(1)
        .shows(&["2 observations were joined: 1 fact filled in, 1 replaced"]);
    let found = place.text("found.csv");
    let deep = |id: &str| {
        found.lines().any(|line| line.starts_with("box-set-back,violates") && line.contains(id))
    };
    assert!(deep("A-1") && deep("A-2") && deep("A-3"), "{found}");
    let line = found.lines().find(|line| line.contains("A-3") && line.starts_with("box-set-back"));
    assert!(line.unwrap().contains("[seen.csv]E"), "{line:?}");
    assert!(found.contains("2026-03-20,J. Ferrand"), "{found}");
}

#[test]
fn a_contradiction_without_days_leaves_the_fact_unknown_and_is_said() {
    let place = Place::new().with("devices.csv", DEVICES);
    place
        .run(&format!(
            "survey devices.csv --out survey.xlsx --facts box_set_back,yoke_seat {RUN} -q"
        ))
        .code(0);
    let lines = lines(&place, "survey.xlsx", "Survey");
    let seen = filled_in(&lines, &[("A-2", "box_set_back (in)", "0")]);
    let place = place.with("seen.csv", seen);
    let ran = place
        .run(&format!("audit devices.csv seen.csv --out audit.xlsx {RUN} --verdicts verdicts.csv"));
    ran.code(0);
    let verdicts = place.text("verdicts.csv");
    assert!(
        verdicts.contains("box-set-back,outlet,North,A-2,undetermined,box_set_back"),
        "{verdicts}"
    );
    let sources = sheet(&place, "audit.xlsx", "Sources");
    let told = sources.iter().flatten().any(|cell| {
        cell.contains("contradicts row 3 of devices.csv, which says 0.5 in")
            && cell.contains("observed_on")
    });
    assert!(told, "{sources:?}");
}

#[test]
fn observations_of_nobody_and_of_two_are_said() {
    let twice =
        format!("{DEVICES}A-1,North,2,202,2020,receptacle,wall,side,device-box,0,gypsum,1\n");
    let place = Place::new().with("devices.csv", DEVICES);
    place.run(&format!("survey devices.csv --out survey.xlsx --facts yoke_seat {RUN} -q")).code(0);
    let lines = lines(&place, "survey.xlsx", "Survey");
    let seen = filled_in(&lines, &[("A-1", "yoke_seat", "none"), ("A-2", "outlet_id", "A-9")]);
    let place = place.with("devices.csv", twice).with("seen.csv", seen);
    place
        .run(&format!("audit devices.csv seen.csv --no-workbook {RUN}"))
        .code(1)
        .shows(&["being on no schedule", "several rows: not used"]);
}

#[test]
fn a_template_is_an_empty_schedule_that_is_read_once_it_is_filled_in() {
    let place = Place::new();
    place.run("template --out devices.xlsx").code(0).silently().shows(&["devices.xlsx"]);
    let header = &sheet(&place, "devices.xlsx", "Devices")[0];
    assert_eq!(header[0], "outlet_id");
    assert!(header.contains(&"box_set_back (in)".to_owned()));
    place.run("audit devices.xlsx --no-workbook").code(2).says(&["no device schedule found"]);
    place.run("template --out few.xlsx --facts outlet_id,device,box_set_back").code(0);
    assert_eq!(sheet(&place, "few.xlsx", "Devices")[0].len(), 3);
}

#[test]
fn a_survey_is_read_by_its_own_headers_whatever_the_mapping() {
    let schedule = "Tag,Bldg,Kind,Depth\nA-1,North,receptacle,\nA-2,North,receptacle,\n";
    let mapping = "\
name = \"Contractor\"
[columns]
\"Tag\" = \"outlet_id\"
\"Bldg\" = \"building\"
\"Kind\" = \"device\"
\"Depth\" = { field = \"box_set_back\", unit = \"in\" }
\"building\" = \"building\"
\"outlet_id\" = \"outlet_id\"
[table]
devices_only = true
";
    let place = Place::new().with("s.csv", schedule).with("m.toml", mapping);
    let run = format!("--mapping m.toml {RUN}");
    place.run(&format!("survey s.csv --facts box_set_back --out s.xlsx {run} -q")).code(0);
    let seen =
        filled_in(&lines(&place, "s.xlsx", "Survey"), &[("A-1", "box_set_back (in)", "1/4")]);
    let place = place.with("seen.csv", seen.replace("known_before", "Known before"));
    place
        .run(&format!("audit s.csv seen.csv --no-workbook {run}"))
        .shows(&["1 observation was joined: 1 fact filled in"]);
}

#[test]
fn a_row_that_was_copied_takes_nothing_over_from_its_original() {
    let place = Place::new().with("devices.csv", DEVICES);
    place.run(&format!("survey devices.csv --out s.xlsx --facts yoke_seat {RUN} -q")).code(0);
    let seen = filled_in(&lines(&place, "s.xlsx", "Survey"), &[("A-1", "outlet_id", "NEW-7")]);
    let place = place.with("seen.csv", seen);
    place
        .run(&format!("audit devices.csv seen.csv --out audit.xlsx --verdicts v.csv {RUN}"))
        .code(1)
        .shows(&["being on no schedule"]);
    let verdicts = place.text("v.csv");
    let decided = verdicts.lines().any(|line| line.contains(",NEW-7,complies"));
    assert!(!decided, "nothing is known of it: {verdicts}");
    let sources = sheet(&place, "audit.xlsx", "Sources");
    assert!(sources.iter().flatten().any(|cell| cell.contains("what was known before is of A-1")));
}

#[test]
fn a_form_that_was_saved_again_is_never_overwritten() {
    let place = Place::new().with("devices.csv", DEVICES);
    let run = format!("survey devices.csv --out s.xlsx {RUN} -q");
    place.run(&run).code(0);
    place.run(&run).code(0);
    let saved = crate::corrections::saved_again(&place.read("s.xlsx"));
    let place = place.with("s.xlsx", saved);
    place.run(&run).code(2).says(&["s.xlsx: this form was filled in, or saved again"]);
}

#[test]
fn a_table_of_rulings_among_schedules_is_no_schedule() {
    let rulings = "rule,outlet_id,building,floor,ruling\nbox-fill,A-1,North,1,approved\n";
    let place = Place::new().with("all/devices.csv", DEVICES).with("all/rulings.csv", rulings);
    place
        .run(&format!("audit all --no-workbook {RUN}"))
        .code(1)
        .shows(&["5 outlets in 4 rows", "a table of rulings: see --rulings"]);
}
