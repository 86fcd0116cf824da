//! `yokecheck sample` and `yokecheck estimate`: what is drawn, what goes out, what comes home.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use calamine::{Data, Reader as _, Xlsx};
use serde_json::Value;

use crate::{Place, Ran, golden};

const RUN: &str = "--rules box-set-back --as-of 2026-03-31";

/// Sixty devices on three floors of two buildings, of which the set-backs are still to be measured; the
/// last row of each floor stands for four.
fn population() -> String {
    let mut csv =
        "outlet_id,building,floor,room,trade,edition,device,box,surface,quantity\n".to_owned();
    for building in ["North", "South"] {
        for floor in 1..=3 {
            for place in 1..=7 {
                let (room, quantity) = (place / 3 + 1, if place == 7 { 4 } else { 1 });
                writeln!(
                    csv,
                    "{floor}{place:02},{building},{floor},{floor}0{room},Power,2020,receptacle,device-box,gypsum,{quantity}"
                )
                .unwrap();
            }
        }
    }
    csv
}

/// What stands below some headers.
type Filled = Vec<(&'static str, String)>;

/// A workbook saved by another program, with some cells of its survey filled in: for the name of an outlet,
/// what stands below some headers.
fn filled_in(place: &Place, from: &str, to: &str, fill: &dyn Fn(&str, &str, &str) -> Filled) {
    let mut old: Xlsx<_> = calamine::open_workbook(place.path(from)).unwrap();
    let mut new = rust_xlsxwriter::Workbook::new();
    for name in old.sheet_names() {
        let range = old.worksheet_range(&name).unwrap();
        let sheet = new.add_worksheet().set_name(&name).unwrap();
        let mut header: BTreeMap<String, usize> = BTreeMap::new();
        for (row, cells) in (0..).zip(range.rows()) {
            let mut cells: Vec<String> = cells.iter().map(Data::to_string).collect();
            if cells.iter().any(|cell| cell == "outlet_id") {
                header = cells.iter().cloned().zip(0..).collect();
            } else if !header.is_empty() {
                let cell = |name: &str| cells[header[name]].as_str();
                let filled = fill(cell("building"), cell("outlet_id"), cell("floor"));
                for (column, text) in filled {
                    cells[header[column]] = text;
                }
            }
            for (column, text) in (0..).zip(&cells) {
                sheet.write_string(row, column, text).unwrap();
            }
        }
    }
    new.save(place.path(to)).unwrap();
}

/// Every set-back measured: too deep in the room 101 of the north, right elsewhere.
fn measured(building: &str, outlet: &str, _: &str) -> Filled {
    let deep = building == "North" && outlet.starts_with("10");
    vec![
        ("box_set_back (in)", if deep { "1/2" } else { "1/8" }.to_owned()),
        ("observed_on", "2026-04-02".to_owned()),
    ]
}

fn json(place: &Place, name: &str) -> Value {
    serde_json::from_slice(&place.read(name)).unwrap()
}

/// Checks that the summary says all of this, wherever its lines break.
#[track_caller]
fn tells(ran: &Ran, words: &[&str]) {
    let said = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    for word in words {
        assert!(said.contains(word), "`{word}` is not in:\n{}", ran.stdout);
    }
}

fn drawn() -> Place {
    Place::new().with("devices.csv", population())
}

#[test]
fn a_sample_is_drawn_and_comes_home() {
    let place = drawn();
    let plan = "--estimate --margin 0.15 --by building --seed 7 --json sample.json";
    place
        .run(&format!("sample devices.csv --out survey.xlsx {plan} {RUN}"))
        .code(0)
        .silently()
        .prints(golden!("sample.txt"));
    assert_eq!(json(&place, "sample.json")["plan"]["n"], 26);
    filled_in(&place, "survey.xlsx", "back.xlsx", &measured);
    place
        .run(&format!("estimate back.xlsx --json said.json --out said.xlsx {RUN}"))
        .code(0)
        .silently()
        .prints(golden!("estimate.txt"));
    let said = json(&place, "said.json");
    let whole = &said["results"][0];
    assert_eq!((&whole["name"], &whole["inspected"]), (&"all".into(), &26.into()));
    assert_eq!(said["decision"], Value::Null);
    let names: Vec<&str> = said["results"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["name"].as_str().unwrap())
        .collect();
    assert!(names.contains(&"all: North") && names.contains(&"box-set-back"), "{names:?}");
    assert!(place.path("said.xlsx").exists());
}

/// The figures of the whole are those of the strata, weighed by hand.
#[test]
fn the_json_of_an_estimate_adds_up() {
    let place = drawn();
    let plan = "--estimate --margin 0.15 --by building --seed 7";
    place.run(&format!("sample devices.csv --out survey.xlsx {plan} {RUN}")).code(0);
    filled_in(&place, "survey.xlsx", "back.xlsx", &measured);
    place.run(&format!("estimate back.xlsx --json said.json {RUN}")).code(0);
    let said = json(&place, "said.json");
    let strata = said["strata"].as_array().unwrap();
    let (mut rate, mut inspected) = (0.0, 0);
    for (stratum, result) in strata.iter().zip(&said["results"].as_array().unwrap()[1..]) {
        assert_eq!(result["stratum"], stratum["name"]);
        rate += stratum["weight"].as_f64().unwrap() * result["rate"].as_f64().unwrap();
        inspected += result["inspected"].as_u64().unwrap();
    }
    let whole = &said["results"][0];
    assert!((whole["rate"].as_f64().unwrap() - rate).abs() < 1e-12);
    assert_eq!(whole["inspected"].as_u64(), Some(inspected));
    let projected = whole["projected"].as_f64().unwrap();
    assert!((projected - 60.0 * rate).abs() < 1e-9);
    let (lower, upper) = (&whole["projected_lower"], &whole["projected_upper"]);
    assert!(lower.as_f64().unwrap() < projected && projected < upper.as_f64().unwrap());
    assert!((whole["lower"].as_f64().unwrap() - lower.as_f64().unwrap() / 60.0).abs() < 1e-12);
}

#[test]
fn the_same_seed_writes_the_same_file_with_any_number_of_threads() {
    let place = drawn();
    let sample = |out: &str, more: &str| {
        let run = format!("sample devices.csv --out {out} --estimate --margin 0.2 {more} {RUN}");
        place.run(&run).code(0);
        place.read(out)
    };
    let first = sample("a.xlsx", "--seed 3 --threads 1");
    assert_eq!(first, sample("b.xlsx", "--seed 3 --threads 2"));
    assert_ne!(first, sample("c.xlsx", "--seed 4"));
}

#[test]
fn a_survey_that_nobody_filled_in_rests_on_the_schedule_and_a_part_says_less() {
    let place = drawn();
    place
        .run(&format!(
            "sample devices.csv --out survey.xlsx --estimate --margin 0.2 --seed 1 {RUN}"
        ))
        .code(0);
    let ran = place.run(&format!("estimate survey.xlsx --json none.json {RUN}")).code(0);
    tells(&ran, &["No line of this survey is filled in", "0 of 18", "18 inspected outlets"]);
    let none = json(&place, "none.json");
    assert_eq!(none["as_scheduled"], true);
    assert_eq!(none["results"][0]["undetermined"], 18);
    let half = |building: &str, outlet: &str, floor: &str| {
        if building == "South" { measured(building, outlet, floor) } else { Vec::new() }
    };
    filled_in(&place, "survey.xlsx", "half.xlsx", &half);
    let ran = place.run(&format!("estimate half.xlsx --json half.json {RUN}")).code(0);
    tells(&ran, &["not inspected", "seldom like the others", "Bounds: if all of them are good"]);
    let whole = &json(&place, "half.json")["results"][0];
    let get = |part: &Value, name: &str| part[name].as_u64().unwrap();
    assert_eq!(get(whole, "drawn"), get(whole, "inspected") + get(whole, "uninspected"));
    let bounds = (&whole["all_good"], &whole["all_defective"]);
    assert_eq!(get(bounds.0, "inspected"), 18);
    assert_eq!(get(bounds.1, "defective"), get(whole, "uninspected"));
}

/// A line under another name is no drawn outlet: both are told.
#[test]
fn a_line_whose_name_was_changed_is_told() {
    let place = drawn();
    let plan = "--estimate --margin 0.2 --seed 1";
    place.run(&format!("sample devices.csv --out survey.xlsx {plan} {RUN}")).code(0);
    let renamed = |building: &str, outlet: &str, floor: &str| {
        let mut filled = measured(building, outlet, floor);
        if building == "North" && floor == "1" {
            filled.push(("outlet_id", format!("{outlet} bis")));
        }
        filled
    };
    filled_in(&place, "survey.xlsx", "back.xlsx", &renamed);
    let ran = place.run(&format!("estimate back.xlsx {RUN}")).code(0);
    tells(
        &ran,
        &["of outlets that were not drawn, and not counted", "18 outlets drawn not inspected"],
    );
}

/// A signature alone says that somebody was there; what stays unknown is undetermined.
#[test]
fn undetermined_outlets_are_bounds() {
    let place = drawn();
    place
        .run(&format!(
            "sample devices.csv --out survey.xlsx --estimate --margin 0.2 --seed 1 {RUN}"
        ))
        .code(0);
    let signed = |_: &str, _: &str, _: &str| vec![("observed_by", "J. Maur".to_owned())];
    filled_in(&place, "survey.xlsx", "back.xlsx", &signed);
    let ran = place.run(&format!("estimate back.xlsx --json said.json {RUN}")).code(0);
    tells(&ran, &["18 inspected outlets with no violation found", "if all are defective 100 %"]);
    let whole = &json(&place, "said.json")["results"][0];
    assert_eq!((&whole["undetermined"], &whole["inspected"]), (&18.into(), &18.into()));
    assert_eq!(whole["all_defective"]["defective"], 18);
}

/// MIL-STD-105E, Table I and II-A: a lot of 60 at level II is E, 13; at 2.5 % the arrow leads down to F, 20,
/// Ac 1 Re 2.
#[test]
fn a_lot_is_accepted_or_rejected() {
    let place = drawn();
    place
        .run(&format!("sample devices.csv --out survey.xlsx --accept --aql 2.5 --seed 5 --json plan.json {RUN}"))
        .code(0)
        .silently()
        .prints(golden!("sample-accept.txt"));
    let plan = &json(&place, "plan.json")["plan"];
    assert_eq!((&plan["letter"], &plan["letter_used"]), (&"E".into(), &"F".into()));
    assert_eq!((&plan["n"], &plan["accept"], &plan["reject"]), (&20.into(), &1.into(), &2.into()));
    let sound = |_: &str, _: &str, _: &str| vec![("box_set_back (in)", "1/8".to_owned())];
    filled_in(&place, "survey.xlsx", "sound.xlsx", &sound);
    let ran = place.run(&format!("estimate sound.xlsx --json sound.json {RUN}")).code(0);
    tells(&ran, &["Accept: 0 defective outlets found, Ac 1."]);
    assert_eq!(json(&place, "sound.json")["decision"], "accept");
    let deep = |_: &str, _: &str, _: &str| vec![("box_set_back (in)", "1/2".to_owned())];
    filled_in(&place, "survey.xlsx", "deep.xlsx", &deep);
    let ran = place.run(&format!("estimate deep.xlsx {RUN}")).code(1);
    tells(&ran, &["Reject: 20 defective outlets"]);
    let ran = place.run(&format!("estimate survey.xlsx {RUN}")).code(1);
    tells(
        &ran,
        &[
            "Not decided: 0 defective outlets found, and 20 outlets are not inspected or not decided",
        ],
    );
}

#[test]
fn a_search_finds_or_says_how_many_may_be_left() {
    let place = drawn();
    let ran = place
        .run(&format!("sample devices.csv --out survey.xlsx --detect --rate 0.1 --seed 5 {RUN}"))
        .code(0);
    tells(&ran, &["if 6 outlets of 60 or more are defective (10 %): n = 23"]);
    let strata = "--by building,floor --seed 5 --json strata.json";
    let ran = place
        .run(&format!("sample devices.csv --out strata.xlsx --detect --rate 0.1 {strata} {RUN}"))
        .code(0);
    tells(&ran, &["In whatever strata they lie, one of them is found with at least 9"]);
    assert!(json(&place, "strata.json")["plan"]["drawn"].as_u64().unwrap() >= 23);
    let sound = |_: &str, _: &str, _: &str| vec![("box_set_back (in)", "1/8".to_owned())];
    filled_in(&place, "survey.xlsx", "sound.xlsx", &sound);
    let ran = place.run(&format!("estimate sound.xlsx {RUN}")).code(0);
    tells(
        &ran,
        &[
            "None found, and every drawn outlet decided. With 95 % confidence 5 outlets in the population",
        ],
    );
    let deep = |_: &str, _: &str, _: &str| vec![("box_set_back (in)", "1/2".to_owned())];
    filled_in(&place, "survey.xlsx", "deep.xlsx", &deep);
    let ran = place.run(&format!("estimate deep.xlsx {RUN}")).code(1);
    tells(&ran, &["Found: 23 defective outlets"]);
}

#[test]
fn rooms_are_drawn_whole_and_estimated_as_rooms() {
    let place = drawn();
    let ran = place
        .run(&format!(
            "sample devices.csv --out survey.xlsx --estimate --margin 0.15 --rooms --seed 2 --json s.json {RUN}"
        ))
        .code(0);
    tells(&ran, &["whole rooms of 18", "whole rooms tell less"]);
    let stratum = &json(&place, "s.json")["strata"][0];
    assert_eq!(stratum["rooms"], 18);
    filled_in(&place, "survey.xlsx", "back.xlsx", &measured);
    let ran = place.run(&format!("estimate back.xlsx --json said.json {RUN}")).code(0);
    tells(&ran, &["exact at the effective sample size of the rooms"]);
}

/// Buildings of which one is bad throughout and two are sound.
#[test]
fn buildings_are_ranked_and_like_ones_share_their_places() {
    let mut csv = population();
    csv.push_str(&population().replace("South", "West").lines().skip(1).fold(
        String::new(),
        |mut all, line| {
            if line.contains("West") {
                all.push_str(line);
                all.push('\n');
            }
            all
        },
    ));
    let place = Place::new().with("devices.csv", csv);
    place
        .run(&format!(
            "sample devices.csv --out survey.xlsx --estimate --by building --seed 2 {RUN}"
        ))
        .code(0);
    let bad = |building: &str, _: &str, _: &str| {
        vec![("box_set_back (in)", if building == "North" { "1/2" } else { "1/8" }.to_owned())]
    };
    filled_in(&place, "survey.xlsx", "back.xlsx", &bad);
    place.run(&format!("estimate back.xlsx --json said.json {RUN}")).code(0);
    let said = json(&place, "said.json");
    let places: Vec<(&str, u64, u64)> = said["ranking"]["buildings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| {
            let number = |name: &str| one[name].as_u64().unwrap();
            (one["name"].as_str().unwrap(), number("first_place"), number("last_place"))
        })
        .collect();
    assert_eq!(places, [("North", 1, 1), ("South", 2, 3), ("West", 2, 3)]);
}

#[test]
fn an_earlier_audit_moves_outlets_to_the_strata_that_were_worse() {
    let mut earlier =
        "outlet_id,building,floor,edition,device,box,surface,box_set_back\n".to_owned();
    for place in 0..20 {
        let building = if place % 2 == 0 { "North" } else { "South" };
        let deep = if building == "North" && place < 10 { "1/2 in" } else { "1/8 in" };
        writeln!(earlier, "{place},{building},1,2020,receptacle,device-box,gypsum,{deep}").unwrap();
    }
    let place = drawn().with("earlier.csv", earlier);
    let run = "sample devices.csv --out survey.xlsx --estimate --margin 0.2 --by building --seed 1";
    let ran = place.run(&format!("{run} --earlier earlier.csv --json s.json {RUN}")).code(0);
    tells(&ran, &["Neyman's allocation by the rates of the earlier audit"]);
    let strata = &json(&place, "s.json")["strata"];
    let n = |place: usize| strata[place]["n"].as_u64().unwrap();
    assert_eq!(n(0) + n(1), 18);
    assert!(n(0) > n(1), "{strata}");
    assert!((strata[0]["expected"].as_f64().unwrap() - 5.5 / 11.0).abs() < 1e-12);
}

#[test]
fn what_cannot_be_drawn_or_estimated_is_told_before_the_work() {
    let place = drawn().with(
        "one.csv",
        population().lines().take(2).fold(String::new(), |all, line| all + line + "\n"),
    );
    let refused = |arguments: &str, words: &[&str]| {
        let ran = place.run(&format!("{arguments} {RUN}")).code(2).says(words);
        assert_eq!(ran.stdout, "");
        assert!(!place.path("out.xlsx").exists());
    };
    refused("sample devices.csv --out out.xlsx", &["--estimate|--detect|--accept"]);
    refused("sample devices.csv --out out.xlsx --detect", &["--rate"]);
    refused("sample devices.csv --out out.xlsx --accept --aql 3", &["1.5, 2.5, 4, 6.5"]);
    refused("sample devices.csv --out out.xlsx --estimate --confidence 1", &["between 0 and 1"]);
    refused(
        "sample devices.csv --out out.xlsx --estimate --rooms --by trade",
        &["a room holds outlets of several trades"],
    );
    refused(
        "sample one.csv --out out.xlsx --accept --aql 1.5",
        &["lot of 1", "inspect every outlet"],
    );
    refused("sample devices.csv --out devices.csv --estimate", &["is an input of the run"]);
    refused("estimate devices.csv", &["holds no design of a sample"]);
    refused(
        "sample devices.csv --out out.xlsx --accept --aql 1.5 --by floor --earlier one.csv",
        &["cannot be used with"],
    );
}

/// The survey of a sample is no schedule of its own: its pages are told apart, and its lines join.
#[test]
fn the_survey_of_a_sample_goes_back_with_the_schedule_too() {
    let place = drawn();
    place
        .run(&format!(
            "sample devices.csv --out survey.xlsx --estimate --margin 0.2 --seed 1 {RUN}"
        ))
        .code(0);
    let ran = place.run(&format!("audit devices.csv survey.xlsx --no-workbook {RUN}")).code(0);
    ran.silently();
}

/// The workbook of an estimate shows the figures of its JSON, and is no schedule of a later run.
#[test]
fn the_workbook_shows_what_the_json_says() {
    let place = drawn();
    let plan = "--estimate --margin 0.15 --by building --seed 7";
    place.run(&format!("sample devices.csv --out survey.xlsx {plan} {RUN}")).code(0);
    filled_in(&place, "survey.xlsx", "back.xlsx", &measured);
    place.run(&format!("estimate back.xlsx --json said.json --out said.xlsx {RUN}")).code(0);
    let said = json(&place, "said.json");
    let mut book: Xlsx<_> = calamine::open_workbook(place.path("said.xlsx")).unwrap();
    assert_eq!(book.sheet_names(), ["Estimate", "Buildings compared"]);
    let range = book.worksheet_range("Estimate").unwrap();
    let rows: Vec<&[Data]> = range.rows().collect();
    let header = rows.iter().position(|row| row[0] == "Measure").unwrap();
    for (result, row) in said["results"].as_array().unwrap().iter().zip(&rows[header + 1..]) {
        assert_eq!(row[0].to_string(), result["measure"].as_str().unwrap());
        for (column, name) in [
            (3, "drawn"),
            (4, "inspected"),
            (5, "defective"),
            (6, "undetermined"),
            (7, "rate"),
            (8, "lower"),
            (9, "upper"),
            (10, "standard_error"),
            (11, "projected"),
            (12, "projected_lower"),
            (13, "projected_upper"),
        ] {
            let Data::Float(shown) = row[column] else { panic!("{name}: {:?}", row[column]) };
            assert!((shown - result[name].as_f64().unwrap()).abs() < 1e-12, "{name} of {result}");
        }
    }
    let ran = place.run(&format!("audit devices.csv said.xlsx --no-workbook {RUN}")).code(0);
    tells(&ran, &["not read: said.xlsx: a report of this program"]);
}

/// The walk-through of the README: its commands run as they stand there, and print what stands there. The
/// invented inspector finds every sixth box of the second floor too deep.
#[test]
fn the_walk_through_of_the_readme_prints_what_it_says() {
    let top = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let readme = std::fs::read_to_string(top.join("README.md")).unwrap();
    let (_, rest) = readme.split_once("<!-- sample: run by tests/command_line -->").unwrap();
    let (block, _) = rest.split_once("<!-- end of sample -->").unwrap();
    let commands: Vec<&str> =
        block.lines().filter_map(|line| line.strip_prefix("yokecheck ")).collect();
    let [sample, estimate] = commands[..] else { panic!("two commands: {commands:?}") };
    let schedule = "sample-data/schedules/tessorwold-hall.csv";
    let place = Place::new().with(schedule, std::fs::read(top.join(schedule)).unwrap());
    let drawn = place.run(sample).code(0).silently();
    let design = json(&place, "sample.json");
    assert_eq!(design["strata"].as_array().unwrap().len(), 5);
    let seen = std::cell::Cell::new(0);
    let inspected = |_: &str, _: &str, floor: &str| {
        seen.set(seen.get() + u32::from(floor == "2"));
        let deep = floor == "2" && seen.get().is_multiple_of(6);
        let set_back = if deep { "1/2" } else { "1/8" };
        vec![
            ("box_set_back (in)", set_back.to_owned()),
            ("observed_on", "2026-04-02".to_owned()),
            ("observed_by", "J. Maur".to_owned()),
        ]
    };
    filled_in(&place, "sample.xlsx", "sample-back.xlsx", &inspected);
    let said = place.run(estimate).code(0).silently();
    let printed = format!("{}{}", drawn.stdout, said.stdout);
    let quoted: Vec<&str> = block
        .split("```text")
        .skip(1)
        .filter_map(|part| part.split("```").next())
        .flat_map(str::lines)
        .filter(|line| !line.is_empty())
        .collect();
    for line in &quoted {
        assert!(printed.lines().any(|one| one == *line), "`{line}` is not in:\n{printed}");
    }
    assert!(quoted.len() > 10, "{quoted:?}");
}

/// A line of the design that was lost on the way would change every figure.
#[test]
fn a_design_of_which_a_line_is_missing_is_refused() {
    let place = drawn();
    let plan = "--estimate --margin 0.2 --seed 1";
    place.run(&format!("sample devices.csv --out survey.xlsx {plan} {RUN}")).code(0);
    let mut old: Xlsx<_> = calamine::open_workbook(place.path("survey.xlsx")).unwrap();
    let mut new = rust_xlsxwriter::Workbook::new();
    for name in old.sheet_names() {
        let range = old.worksheet_range(&name).unwrap();
        let sheet = new.add_worksheet().set_name(&name).unwrap();
        let less = usize::from(name == "Sample design");
        for (row, cells) in (0..).zip(range.rows().take(range.height() - less)) {
            for (column, cell) in (0..).zip(cells) {
                sheet.write_string(row, column, cell.to_string()).unwrap();
            }
        }
    }
    new.save(place.path("back.xlsx")).unwrap();
    let ran = place.run(&format!("estimate back.xlsx {RUN}")).code(2);
    ran.says(&[
        "back.xlsx, sheet Sample design: 17 outlets of the stratum all outlets",
        "and 18 were",
    ]);
}

/// Two devices overfill each box, which one alone just fills (six conductors and a yoke, eight allowances of
/// 2.25 in 18 in3: Table 314.16(A) and (B)). The undrawn device of a drawn one comes along, so that the box
/// is judged whole, and is not counted.
#[test]
fn a_drawn_outlet_is_judged_with_those_that_share_its_box() {
    let mut csv = "outlet_id,building,edition,device,enclosure_id,box_volume,wires_12,device_wire,ground_wires,clamps\n"
        .to_owned();
    for place in 0..40 {
        let of_box = place / 2;
        let wires = if place % 2 == 0 { "6" } else { "" };
        writeln!(csv, "{place},North,2020,receptacle,B-{of_box},18 in3,{wires},12,0,no").unwrap();
    }
    let place = Place::new().with("devices.csv", csv);
    let run = "--rules box-fill --as-of 2026-03-31";
    let plan = "--estimate --margin 0.25 --seed 9";
    place.run(&format!("sample devices.csv --out survey.xlsx {plan} {run}")).code(0);
    let signed = |_: &str, _: &str, _: &str| vec![("observed_by", "J. Maur".to_owned())];
    filled_in(&place, "survey.xlsx", "back.xlsx", &signed);
    place.run(&format!("estimate back.xlsx --json said.json {run}")).code(0);
    let whole = &json(&place, "said.json")["results"][0];
    let get = |name: &str| whole[name].as_u64().unwrap();
    assert_eq!((get("drawn"), get("inspected"), get("defective")), (12, 12, 12), "{whole}");
    let mut book: Xlsx<_> = calamine::open_workbook(place.path("survey.xlsx")).unwrap();
    let beside = book.worksheet_range("Beside the sample").unwrap();
    assert!(beside.rows().count() > 5, "the other devices of the boxes");
}

/// What was typed and cannot be read shows that somebody was there; it is told, and the outlet is not decided.
#[test]
fn a_cell_that_cannot_be_read_is_told_and_leaves_its_outlet_open() {
    let place = drawn();
    let plan = "--estimate --margin 0.2 --seed 1";
    place.run(&format!("sample devices.csv --out survey.xlsx {plan} {RUN}")).code(0);
    let about = |_: &str, _: &str, _: &str| vec![("box_set_back (in)", "about 3".to_owned())];
    filled_in(&place, "survey.xlsx", "back.xlsx", &about);
    let ran = place.run(&format!("estimate back.xlsx --json said.json {RUN}")).code(0);
    tells(&ran, &["not read: Survey!E4, `about 3`", "6 more cells"]);
    let whole = &json(&place, "said.json")["results"][0];
    assert_eq!((&whole["undetermined"], &whole["uninspected"]), (&18.into(), &0.into()));
}

/// Rows that share an id are told apart by where they stand, those that come along too.
#[test]
fn rows_that_share_an_id_stay_apart() {
    let mut csv = "outlet_id,building,edition,device,enclosure_id,box_volume,wires_12,device_wire,ground_wires,clamps\n"
        .to_owned();
    for box_number in 0..12 {
        for wires in ["6", "", ""] {
            writeln!(csv, "X,North,2020,receptacle,B-{box_number},22.6 in3,{wires},12,0,no")
                .unwrap();
        }
    }
    let place = Place::new().with("devices.csv", csv);
    let run = "--rules box-fill --as-of 2026-03-31";
    place
        .run(&format!("sample devices.csv --out survey.xlsx --detect --rate 0.9 --seed 9 {run}"))
        .code(0);
    let signed = |_: &str, _: &str, _: &str| vec![("observed_by", "J. Maur".to_owned())];
    filled_in(&place, "survey.xlsx", "back.xlsx", &signed);
    place.run(&format!("estimate back.xlsx --json said.json {run}")).code(1);
    let whole = &json(&place, "said.json")["results"][0];
    // Six conductors and three yokes take 27 in3, two yokes 22.5: only the whole box is over-full.
    assert_eq!(whole["defective"], whole["inspected"], "{whole}");
}
