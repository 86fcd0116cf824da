//! Columns that describe a device in words and figures, through mapping files.
//!
//! The schedules are invented; the abbreviations are common practice, no published source.
#![expect(clippy::disallowed_methods, reason = "tests make the files that they read")]
#![expect(clippy::unwrap_used, reason = "a test that cannot make its files has failed")]

use yokecheck::ingest::find;
use yokecheck::mapping::{LoadOptions, Loaded, load};
use yokecheck::outlet::words::Device;
use yokecheck::outlet::{Fact, facts};

fn read(schedule: &str, mapping: &str) -> Loaded {
    let folder = tempfile::tempdir().unwrap();
    let (input, file) = (folder.path().join("plan.csv"), folder.path().join("mine.toml"));
    std::fs::write(&input, schedule).unwrap();
    std::fs::write(&file, mapping).unwrap();
    load(&find(&[input]), &LoadOptions { mappings: &[file], progress: &|_| {} })
        .unwrap_or_else(|errors| panic!("{}", errors[0]))
}

const MAPPING: &str = "name = \"Descriptions\"\n[columns]\n\"No.\" = \"outlet_id\"\n\"Qty\" = { field = \"quantity\", optional = true }\n\
    \"NEMA\" = { field = \"configuration\", optional = true }\n\"Description\" = { describe = true }\n";

fn faults(loaded: &Loaded) -> Vec<String> {
    let faults = &loaded.account.inputs[0].sheets[0].faults;
    faults.iter().map(|fault| format!("{} {}", fault.row, fault.why)).collect()
}

#[test]
fn facts_of_a_description_fill_what_no_column_says() {
    let loaded = read(
        "No.,NEMA,Description\n1,,\"20A DUPLEX, GFCI, WP, TR\"\n2,5-20R,quad recept. HG red\n3,,(2) 277V SW + pilot\n",
        MAPPING,
    );
    let devices: Vec<_> = loaded.outlets.iter().map(|outlet| outlet.get(facts::DEVICE)).collect();
    assert_eq!(
        devices,
        [
            Fact::Known(Device::Receptacle),
            Fact::Known(Device::Receptacle),
            Fact::Known(Device::Switch)
        ]
    );
    let first = &loaded.outlets[0];
    assert_eq!(first.get(facts::GFCI), Fact::Known(true));
    assert_eq!(first.get(facts::TAMPER_RESISTANT), Fact::Known(true));
    assert_eq!(first.get(facts::WEATHER_COVER), Fact::Absent, "WP does not say which cover");
    assert_eq!(first.get(facts::RECEPTACLES_ON_YOKE), Fact::Known(2));
    let second = &loaded.outlets[1];
    assert_eq!(second.get(facts::HOSPITAL_GRADE), Fact::Known(true));
    assert_eq!(second.get(facts::ISOLATED_GROUND), Fact::Absent, "red is no evidence");
    assert_eq!(loaded.outlets[2].get(facts::QUANTITY), Fact::Known(2));
    assert!(faults(&loaded).is_empty(), "{:?}", faults(&loaded));
    let cell = loaded.account.cell(first.origin, facts::GFCI.field);
    assert_eq!(cell, Some("C2".to_owned()), "a fact is found in the cell that it came from");
}

#[test]
fn two_values_of_one_fact_are_a_fault_and_no_fact() {
    let loaded = read(
        "No.,Qty,NEMA,Description\n1,1,5-15R,Duplex 5-20R\n2,3,,2 x duplex\n3,1,,16A/6A socket\n4,1,,20A duplex 5-15R\n",
        MAPPING,
    );
    assert_eq!(loaded.outlets[0].get(facts::CONFIGURATION), Fact::Unreadable);
    assert_eq!(loaded.outlets[1].get(facts::QUANTITY), Fact::Unreadable);
    assert_eq!(loaded.outlets[2].get(facts::DEVICE_AMPS), Fact::Unreadable);
    assert_eq!(loaded.outlets[3].get(facts::DEVICE_AMPS), Fact::Unreadable);
    assert_eq!(
        faults(&loaded),
        [
            "2 says another configuration than the 5-15R recorded beside it; neither is taken",
            "3 says another quantity than the 3 recorded beside it; neither is taken; counted as 1",
            "4 says two things of device_amps; neither is taken",
            "5 says two things of device_amps; neither is taken",
        ]
    );
}

#[test]
fn a_mapping_adds_phrases_with_numbers_and_passes_over_others() {
    let mapping = MAPPING.replace(
        "{ describe = true }",
        "{ describe = { \"HX\" = { hospital_grade = \"yes\" }, \"box of #\" = { box_gangs = \"#\" }, \"IG stencil\" = {} } }",
    );
    let loaded =
        read("No.,Description\n1,Duplex HX box of 3\n2,Duplex IG stencil\n3,Duplex IG\n", &mapping);
    assert_eq!(loaded.outlets[0].get(facts::HOSPITAL_GRADE), Fact::Known(true));
    assert_eq!(loaded.outlets[0].get(facts::BOX_GANGS), Fact::Known(3));
    assert_eq!(loaded.outlets[1].get(facts::ISOLATED_GROUND), Fact::Absent);
    assert_eq!(loaded.outlets[2].get(facts::ISOLATED_GROUND), Fact::Known(true));
}

#[test]
fn rows_of_other_things_are_passed_over_and_doubtful_ones_told() {
    let schedule = "No.,Description\n1,Duplex\n2,Data outlet\n3,Switchboard MSB\n4,TV outlet\n5,Dishwasher\n6,2 Nos switch with 2 Nos socket\n";
    let loaded = read(schedule, MAPPING);
    let rows: Vec<_> = loaded.outlets.iter().map(|outlet| outlet.origin.row).collect();
    assert_eq!(rows, [2, 5, 6, 7], "what names nothing is kept, unless only devices are wanted");
    let told = faults(&loaded);
    assert!(
        told[0].starts_with("5 may be a device or not: an outlet for power or for a signal"),
        "{told:?}"
    );
    assert!(
        told[1].starts_with("7 may be a device or not: names a receptacle and a switch"),
        "{told:?}"
    );
    let only = MAPPING.replace("[columns]", "[table]\ndevices_only = true\n[columns]");
    let loaded = read(schedule, &only);
    let rows: Vec<_> = loaded.outlets.iter().map(|outlet| outlet.origin.row).collect();
    assert_eq!(rows, [2, 5, 7]);
    let skipped = &loaded.account.inputs[0].sheets[0].rows_skipped;
    assert_eq!(skipped.get("no device named (Dishwasher)"), Some(&1));
}

#[test]
fn a_mapping_can_call_a_word_no_device() {
    let mapping = "name = \"Devices\"\n[columns]\n\"No.\" = \"outlet_id\"\n\"Kind\" = \"device\"\n[words.device]\n\"TE\" = \"no device\"\n\"SD\" = \"receptacle\"\n";
    let loaded = read("No.,Kind\n1,SD\n2,TE\n", mapping);
    assert_eq!(loaded.outlets.len(), 1);
    let skipped = &loaded.account.inputs[0].sheets[0].rows_skipped;
    assert_eq!(skipped.get("no device: called no device by the mapping"), Some(&1));
}
