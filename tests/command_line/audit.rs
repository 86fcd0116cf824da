//! `yokecheck audit`: the summary, and the exit codes.

use crate::{DEVICES, Place, SOUND, golden};

#[test]
fn the_summary_tells_what_was_read_found_and_decided() {
    let place = Place::new().with("devices.csv", DEVICES);
    place
        .run("audit devices.csv --as-of 2026-03-31 --findings found.csv")
        .code(1)
        .prints(golden!("audit.txt"))
        .silently();
    assert!(place.path("reports/devices-audit.xlsx").exists());
    assert!(place.text("found.csv").contains("A-2"));
}

#[test]
fn the_summary_of_a_folder_names_it_once_and_says_what_was_not_read() {
    let place = Place::new()
        .with("schedules/north.csv", DEVICES)
        .with("schedules/south.csv", SOUND)
        .with("schedules/words.csv", "Abbreviation,Meaning\nAFF,above finished floor\n")
        .with("schedules/notes.docx", "notes")
        .with("schedules/~$north.xlsx", "lock");
    place
        .run("audit schedules --as-of 2026-03-31 --no-workbook")
        .code(1)
        .prints(golden!("audit-folder.txt"))
        .silently();
}

#[test]
fn quiet_says_only_what_share_was_decided() {
    let place = Place::new().with("devices.csv", DEVICES);
    place
        .run("audit devices.csv --as-of 2026-03-31 --quiet")
        .code(1)
        .prints(golden!("audit-quiet.txt"))
        .silently();
}

#[test]
fn nothing_violated_is_0_and_the_share_is_told_all_the_same() {
    let place = Place::new().with("sound.csv", SOUND);
    place
        .run("audit sound.csv --rules box-set-back --no-workbook")
        .code(0)
        .shows(&["Decided: 100.0 % of the verdicts that reach an outlet; none waits"])
        .silently();
    assert!(!place.path("reports").exists());
}

#[test]
fn too_little_decided_is_1_when_a_share_is_required() {
    let place = Place::new().with("sound.csv", SOUND);
    let run = |share: &str| {
        place.run(&format!("audit sound.csv --no-workbook --quiet --require-decided {share}"))
    };
    run("0").code(0).silently();
    run("1").code(1).shows(&["wait for missing facts"]).silently();
    let all = "audit sound.csv --rules box-set-back --no-workbook --require-decided 1";
    place.run(all).code(0);
}

/// The rule came with the edition of 2017.
#[test]
fn an_edition_counts_for_the_rows_that_name_none() {
    let rows = SOUND.replace(",edition", "").replace(",2020", "");
    let place = Place::new().with("rows.csv", rows).with("sound.csv", SOUND);
    let nothing = "Decided: nothing, since no rule reached an outlet.";
    let audit = |input: &str, edition: &str| {
        let options = "--rules countertop-listing --no-workbook";
        place.run(&format!("audit {input} {options} {edition}")).code(0).stdout
    };
    assert!(audit("rows.csv", "--edition 2014").contains(nothing));
    assert!(!audit("rows.csv", "").contains(nothing), "all four editions are tried");
    assert!(!audit("sound.csv", "--edition 2014").contains(nothing), "its rows name 2020");
}

#[test]
fn wrong_options_are_2_and_say_what_was_meant() {
    let place = Place::new().with("devices.csv", DEVICES);
    let run = |options: &str| place.run(&format!("audit devices.csv {options}")).code(2);
    run("--rules box-setback").says(&["`box-setback`", "did you mean `box-set-back`?"]);
    run("--without orientatoin").says(&["`orientatoin`", "did you mean `orientation`?"]);
    run("--rules xyzzy").says(&["`xyzzy`", "`yokecheck rules` lists them"]);
    run("--ruls box").says(&["'--ruls'", "a similar argument exists: '--rules'"]);
    run("--edition 2019").says(&["'2019'", "2014, 2017, 2020, 2023"]);
    run("--as-of tomorrow").says(&["'tomorrow'", "a date is written YYYY-MM-DD"]);
    run("--require-decided 2").says(&["'2'", "a share is a number from 0 to 1"]);
    run("--threads 0").says(&["'0'", "--threads"]);
    run("--no-workbook --out a.xlsx").says(&["cannot be used with"]);
    assert!(!place.path("reports").exists(), "nothing was begun");
    place.run("audit").code(2).says(&["<INPUT>..."]);
    place.run("audti devices.csv").code(2).says(&["a similar subcommand exists: 'audit'"]);
}
