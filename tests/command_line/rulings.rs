//! `yokecheck audit --rulings`: what the authority approved, refused or put off.

use calamine::{Data, Reader as _, Xlsx};

use crate::{Place, golden};

/// Three boxes too deep, and a question that the code leaves to the authority.
const DEVICES: &str = "\
outlet_id,building,floor,room,edition,device,mounting_location,facing,box,box_set_back,surface,trade
A-1,North,1,101,2020,receptacle,wall,side,device-box,1/2 in,gypsum,Power
A-2,North,1,102,2020,receptacle,wall,side,device-box,1/2 in,gypsum,Power
A-3,North,2,201,2020,receptacle,wall,side,device-box,1/2 in,gypsum,Lighting
A-4,North,2,202,2020,receptacle,wall,tilted,device-box,0,gypsum,Lighting
A-5,North,2,203,2020,receptacle,countertop,tilted,device-box,0,gypsum,Lighting
";
const RUN: &str = "audit devices.csv --as-of 2026-03-31";

fn sheet(place: &Place, name: &str) -> String {
    let mut book: Xlsx<_> = calamine::open_workbook(place.path("audit.xlsx")).unwrap();
    let range = book.worksheet_range(name).unwrap();
    let row = |row: &[Data]| row.iter().map(Data::to_string).collect::<Vec<_>>().join(" | ");
    range.rows().map(row).collect::<Vec<_>>().join("\n")
}

#[test]
fn what_is_approved_is_out_of_the_counts_and_stands_on_its_own_sheet() {
    let rulings = "\
rule,outlet_id,building,floor,ruling,by,reference,date,until
box-set-back,A-1,,,approved,City inspector,AHJ-12,2026-02-01,2027-02-01
box-set-back,A-2,,,approved,City inspector,AHJ-07,2025-02-01,2026-03-30
box-set-back,,North,2,refused,City inspector,AHJ-13,2026-02-01,
box-fill,A-9,,,deferred,City inspector,AHJ-14,,
";
    let place = Place::new().with("devices.csv", DEVICES).with("rulings.csv", rulings);
    let run = format!("{RUN} --rulings rulings.csv --out audit.xlsx --findings found.csv");
    place.run(&run).code(1).silently().prints(golden!("rulings.txt"));
    let found = place.text("found.csv");
    assert!(!found.contains(",A-1,"), "approved: {found}");
    assert!(found.contains(",A-2,") && found.contains(",A-3,"), "{found}");
    let sheet = sheet(&place, "Rulings");
    for told in [
        "approved: no longer counted | latent | North | 1 | 101 | A-1",
        "back: the ruling ended on 2026-03-30 | latent | North | 1 | 102 | A-2",
        "refused: it stands | latent | North | 2 | 201 | A-3",
        "box-fill | A-9",
        "AHJ-12",
    ] {
        assert!(sheet.contains(told), "`{told}` is not in:\n{sheet}");
    }
    assert!(self::sheet(&place, "Violations").contains("(back: the ruling ended on 2026-03-30)"));
}

#[test]
fn a_question_is_ruled_either_way() {
    let place = Place::new().with("devices.csv", DEVICES);
    place.run(&format!("{RUN} --no-workbook --findings found.csv -q")).code(1);
    let found = place.text("found.csv");
    let question = found.lines().find(|line| line.contains(",authority,")).unwrap();
    let rule = question.split(',').next().unwrap().to_owned();
    let id = question.split(',').nth(8).unwrap().to_owned();
    for (ruling, kept) in [("approved", None), ("refused", Some(",violates,"))] {
        let rulings = format!("rule,outlet_id,ruling\n{rule},{id},{ruling}\n");
        let place = Place::new().with("devices.csv", DEVICES).with("rulings.csv", rulings);
        place.run(&format!("{RUN} --rulings rulings.csv --no-workbook --findings found.csv -q"));
        let found = place.text("found.csv");
        let line = found.lines().find(|line| line.starts_with(&rule) && line.contains(&id));
        match kept {
            None => assert_eq!(line, None),
            Some(verdict) => assert!(line.unwrap().contains(verdict), "{line:?}"),
        }
    }
}

#[test]
fn all_that_is_wrong_with_a_file_of_rulings_is_told_at_once() {
    let rulings = "\
rule,outlet_id,ruling,until
box-setback,A-1,approved,
box-fill,,approved,
box-fill,A-1,allowed,31/31/2026
";
    let place = Place::new().with("devices.csv", DEVICES).with("rulings.csv", rulings);
    place.run(&format!("{RUN} --no-workbook --rulings rulings.csv")).code(2).says(&[
        "rulings.csv, line 2: there is no rule named `box-setback`; did you mean `box-set-back`?",
        "line 3: it names no outlet_id, building, floor, room or trade",
        "line 4: `allowed` is no ruling; write approved, refused, deferred",
        "line 4: `31/31/2026` in the column `until` is no day; write it as 2026-03-31",
    ]);
    let place = Place::new().with("devices.csv", DEVICES).with("rulings.csv", "rule,outlet\nx,y\n");
    place
        .run(&format!("{RUN} --no-workbook --rulings rulings.csv"))
        .code(2)
        .says(&["no row has the columns rule and ruling"]);
}

/// A workbook of rulings, a sheet a year; the cells of `odd` are truth values.
fn workbook(sheets: &[&[[&str; 3]]], odd: Option<(u32, u16)>) -> Vec<u8> {
    let mut book = rust_xlsxwriter::Workbook::new();
    for rows in sheets {
        let sheet = book.add_worksheet();
        for (row, cells) in (0..).zip(*rows) {
            for (column, text) in (0..).zip(cells) {
                sheet.write_string(row, column, *text).unwrap();
            }
        }
        if let Some((row, column)) = odd {
            sheet.write_boolean(row, column, true).unwrap();
        }
    }
    book.save_to_buffer().unwrap()
}

#[test]
fn every_sheet_of_a_workbook_counts_and_no_cell_is_passed_over() {
    let header = ["rule", "outlet_id", "ruling"];
    let of = |id| [header, ["box-set-back", id, "approved"]];
    let (one, other) = (of("A-1"), of("A-2"));
    let sheets: [&[[&str; 3]]; 2] = [&one, &other];
    let place = Place::new().with("devices.csv", DEVICES).with("r.xlsx", workbook(&sheets, None));
    let run = format!("{RUN} --no-workbook --rulings");
    place.run(&format!("{run} r.xlsx")).code(1).shows(&["2 violations are approved"]);
    let place = place.with("odd.xlsx", workbook(&sheets, Some((1, 1))));
    place
        .run(&format!("{run} odd.xlsx"))
        .code(2)
        .says(&["odd.xlsx, line 2: the column `outlet_id` holds a truth value"]);
    let place =
        place.with("near.csv", "rule,outlet,building,ruling\nbox-fill,A-1,North,approved\n");
    place
        .run(&format!("{run} near.csv"))
        .code(2)
        .says(&["near.csv: no column is called `outlet`; did you mean `outlet_id`?"]);
    place.run(&format!("{run} .")).code(2).says(&["name the file of the table"]);
}

#[test]
fn a_ruling_may_name_any_outlet_of_a_group_and_a_later_one_replaces_it() {
    let devices = "\
outlet_id,building,floor,room,occupancy,edition,device,panel,circuit,volts,circuit_amps,receptacles_on_yoke,quantity
A-1,North,1,101,business,2020,receptacle,P,1,120 V,15 A,2,6
A-2,North,1,102,business,2020,receptacle,P,1,120 V,15 A,2,6
";
    let rulings = "\
rule,room,ruling,date
circuit-load,102,approved,2026-01-01
circuit-load,102,refused,2026-02-01
";
    let place = Place::new().with("devices.csv", devices).with("rulings.csv", rulings);
    let run = "audit devices.csv --rules circuit-load --no-workbook --rulings rulings.csv";
    place.run(&format!("{run} --as-of 2026-01-15")).code(0).shows(&["1 violation is approved"]);
    let ran =
        place.run(&format!("{run} --as-of 2026-03-31")).code(1).shows(&["1 finding is refused"]);
    assert!(!ran.stdout.contains("matched nothing"), "{}", ran.stdout);
}
