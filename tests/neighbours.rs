//! What a finding on a box of several devices rests on: every pair that is not in order, and what was
//! assumed of any of them. The verdicts themselves are in the case documents.

#![expect(clippy::unwrap_used, reason = "the only rule selected is in the catalogue")]

use std::collections::BTreeSet;

use yokecheck::audit::{Audit, Options, Selection, run};
use yokecheck::mapping::read::{Column, Content, Reading, read};
use yokecheck::outlet::{Fact, Field, Origin, Outlet, Texts};
use yokecheck::rules::Inference;

/// Receptacles at 277 V in one box, gang after gang: phases, supply, divider on the right.
fn audit(devices: &[(&str, &str, &str)]) -> Audit {
    let mut texts = Texts::default();
    let mut outlets = Vec::new();
    for ((phases, supply, barrier), gang) in devices.iter().zip(1..) {
        let mut outlet = Outlet::absent(Origin { row: gang, ..Origin::default() });
        let gang = gang.to_string();
        let cells = [
            (Field::Edition, "2023"),
            (Field::Device, "receptacle"),
            (Field::EnclosureId, "B1"),
            (Field::Gang, gang.as_str()),
            (Field::System, "480Y/277"),
            (Field::Phases, phases),
            (Field::Supply, supply),
            (Field::Barrier, barrier),
        ];
        for (field, cell) in cells.into_iter().filter(|(_, cell)| !cell.is_empty()) {
            let Reading::Known(raw) = read(Content::Text(cell), &Column::of(field), &mut texts)
            else {
                panic!("{cell}");
            };
            outlet.set_raw(field, Fact::Known(raw));
        }
        outlets.push(outlet);
    }
    let selection = Selection::new(&["adjacent-voltage".to_owned()], &[]).unwrap();
    run(outlets, texts, &Options::of(&selection))
}

/// The devices that the only finding names, counted from the left.
fn named(audit: &Audit) -> BTreeSet<u32> {
    assert_eq!(audit.findings.len(), 1);
    audit.findings[0].evidence().map(|(place, _)| place + 1).collect()
}

#[test]
fn a_finding_names_the_faulty_pairs_and_no_pair_in_order() {
    let audit =
        audit(&[("A", "S1", "none"), ("A", "S1", "none"), ("A", "S1", "none"), ("B", "S1", "")]);
    assert_eq!(named(&audit), BTreeSet::from([3, 4]));
}

#[test]
fn a_finding_names_the_pairs_that_wait_beside_the_one_that_violates() {
    let audit = audit(&[("A", "S1", "none"), ("B", "S1", ""), ("C", "S1", "")]);
    assert_eq!(named(&audit), BTreeSet::from([1, 2, 3]));
}

#[test]
fn an_assumption_on_any_faulty_pair_is_told() {
    let assumed =
        |audit: &Audit| -> Vec<Inference> { audit.findings[0].inferences.iter().collect() };
    let first = audit(&[("A", "", "none"), ("B", "S1", "secured"), ("B", "S1", "")]);
    assert_eq!(assumed(&first), [Inference::OneSupply]);
    let in_order = audit(&[("A", "S1", "none"), ("B", "S1", "none"), ("B", "", "")]);
    assert_eq!(assumed(&in_order), []);
}
