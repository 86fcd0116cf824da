use super::*;

const NAMES: Names<'_> = Names { sheet: None, file: "plan" };

fn rows(rows: &[&[&str]]) -> Vec<Row> {
    (1..).zip(rows).map(|(number, texts)| Row::of(number, texts)).collect()
}

#[test]
fn every_header_is_given_its_evidence_and_the_draft_is_a_sound_mapping() {
    let rows = rows(&[
        &["Devices of the annex"],
        &["Item name", "Floor", "Room", "Breaker", "Amps", "Setback", "Odd \"one\""],
        &["Outlet bed center", "First", "101", "12", "20", "0.25", "z"],
        &["Light switch", "First", "102", "13", "15", "0.1", "z"],
        &["Fridge", "First", "103", "14", "15", "0.1", "z"],
    ]);
    let draft = of_rows(&rows, NAMES).unwrap();
    assert_eq!(draft.header.number, 2);
    assert_eq!(draft.against, None);
    let decisions: Vec<_> = draft.columns.iter().map(|column| column.decision.clone()).collect();
    let field = |field| Decision::Field { field, fill_down: false };
    assert_eq!(
        decisions,
        [
            Decision::Description,
            field(Field::Floor),
            field(Field::Room),
            field(Field::Circuit),
            Decision::Choices(vec![Field::DeviceAmps, Field::CircuitAmps]),
            Decision::NoUnit(Field::BoxSetBack),
            Decision::None,
        ]
    );
    let mapping = draft.mapping("plan").unwrap();
    assert_eq!(mapping.columns.len(), 4);
    assert!(mapping.table.devices_only);
    assert!(draft.why.contains("2 of 3 cells of \"Item name\" name a device"), "{}", draft.why);
}
