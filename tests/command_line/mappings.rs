//! Mapping files with errors: all of them at once, each with its line, before any input is read.

use crate::{DEVICES, Place, golden};

const FAULTY: &str = r#"name = "Mine"
colour = "red"

[recognise]
headers = ["Tag", "Depth"]

[columns]
"Tag" = "outlet_idd"
"Depth" = { field = "box_set_back", unit = "parsec" }
"#;

const MINE: &str = r#"name = "Mine"

[recognise]
headers = ["Tag", "Depth"]

[columns]
"Tag" = "outlet_id"
"Depth" = { field = "box_set_back", unit = "mm" }
"#;

#[test]
fn unknown_keys_fields_and_units_are_told_at_once_with_their_lines() {
    let place = Place::new().with("devices.csv", DEVICES).with("mine.toml", FAULTY);
    let ran = place.run("audit devices.csv --mapping mine.toml --out out.xlsx").code(2);
    let ran = ran.says(&["mine.toml:2:1", "mine.toml:8:9", "mine.toml:9:44"]);
    assert_eq!(ran.stdout, "");
    ran.complains(golden!("mapping.txt"));
    assert!(!place.path("out.xlsx").exists());
}

#[test]
fn a_missing_mapping_and_one_that_is_no_toml_are_told() {
    let place = Place::new().with("devices.csv", DEVICES).with("no.toml", "name = \n");
    place
        .run("audit devices.csv --mapping gone.toml --mapping no.toml --no-workbook")
        .code(2)
        .says(&["gone.toml", "check the path given with --mapping", "no.toml:1:"]);
}

#[test]
fn a_column_of_a_mapping_that_no_sheet_has_is_an_error() {
    let rows = "Tag,Depth\nA-1,3\n";
    let more = format!("{MINE}\"Finish\" = \"surface\"\n");
    let place = Place::new().with("rows.csv", rows).with("mine.toml", more);
    place
        .run("audit rows.csv --mapping mine.toml --no-workbook")
        .code(2)
        .says(&["mine.toml:9:1", "`Finish`"]);
}

#[test]
fn a_given_mapping_reads_its_schedule() {
    let rows = "Tag,Depth\nA-1,3\nA-2,30\n";
    let place = Place::new().with("rows.csv", rows).with("mine.toml", MINE);
    place
        .run("audit rows.csv --mapping mine.toml --no-workbook --rules box-set-back")
        .code(1)
        .shows(&["2 rows  mine.toml", "1 violates"])
        .silently();
}

#[test]
fn a_table_of_editions_with_errors_is_told_with_its_line() {
    let place = Place::new()
        .with("devices.csv", DEVICES)
        .with("no-column.csv", "building,year\nNorth,2020\n")
        .with("no-edition.csv", "building,edition\nNorth,2020\nSouth,2019\n");
    let run = |file: &str| {
        place.run(&format!("audit devices.csv --editions {file} --no-workbook")).code(2)
    };
    run("gone.csv").says(&["gone.csv: there is no such file"]);
    run("no-column.csv").says(&["no-column.csv", "no row has the columns building and edition"]);
    run("no-edition.csv").says(&["no-edition.csv, line 3", "`2019` is no edition"]);
}

#[test]
fn amendments_with_errors_are_told_with_their_lines() {
    let amendments = "[[amendment]]\nrule = \"box-setback\"\n";
    let place = Place::new().with("devices.csv", DEVICES).with("local.toml", amendments);
    let run = |file: &str| {
        place.run(&format!("audit devices.csv --amendments {file} --no-workbook")).code(2)
    };
    run("gone.toml").says(&["gone.toml"]);
    run("local.toml").says(&["local.toml:2:8", "did you mean `box-set-back`?"]);
}

#[test]
fn what_is_lawful_as_built_is_counted_apart() {
    let place = Place::new().with("devices.csv", DEVICES);
    place
        .run("audit devices.csv --also-against 2023 --no-workbook")
        .code(1)
        .shows(&["Lawful as built, and not under 2023: 0"])
        .silently();
}
