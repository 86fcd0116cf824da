//! Tests of drafting: what is proposed for which headers and cells, and what is refused.

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

#[test]
fn a_title_may_name_the_devices_where_no_column_does() {
    let rows = rows(&[
        &["Receptacle schedule"],
        &["Tag", "Room No.", "Panel", "Ckt"],
        &["R1", "101", "LP1", "1"],
        &["R2", "102", "LP1", "2"],
    ]);
    let draft = of_rows(&rows, NAMES).unwrap();
    assert_eq!(draft.against, None);
    let (field, constant, evidence) = &draft.constants[0];
    assert_eq!((*field, constant), (Field::Device, &Constant::Word("receptacle")));
    assert!(evidence.contains("Receptacle schedule"), "{evidence}");
}

#[test]
fn ties_and_height_beside_width_are_left_to_a_person() {
    let rows = rows(&[
        &["Tag", "Type", "Room", "Height (mm)", "Width (mm)", "Phase", "Panel/Ckt"],
        &["R1", "Duplex receptacle", "101", "83", "45", "A", "LP1-3"],
        &["R2", "Duplex receptacle", "102", "83", "45", "1", "LP1-5"],
    ]);
    let draft = of_rows(&rows, NAMES).unwrap();
    let decision = |header: &str| {
        let column = draft.columns.iter().find(|column| column.header == header);
        column.map(|column| column.decision.clone())
    };
    assert_eq!(decision("Height (mm)"), Some(Decision::Misleading), "the plate's own");
    assert_eq!(decision("Phase"), Some(Decision::None), "four meanings");
    let both = Decision::Choices(vec![Field::Panel, Field::Circuit]);
    assert_eq!(decision("Panel/Ckt"), Some(both));
}

#[test]
fn a_group_that_stands_once_is_filled_down_and_one_that_comes_back_is_not() {
    let table = |rooms: [&'static str; 4]| {
        let mut table = vec![Row::of(1, &["Room", "Device"])];
        for (number, room) in (2..).zip(rooms) {
            table.push(Row::of(number, &[room, "outlet"]));
        }
        of_rows(&table, NAMES).unwrap().columns[0].decision.clone()
    };
    let room = |fill_down| Decision::Field { field: Field::Room, fill_down };
    assert_eq!(table(["101", "", "102", ""]), room(true));
    assert_eq!(table(["101", "", "101", ""]), room(false));
    assert_eq!(table(["101", "102", "103", ""]), room(false));
}

proptest::proptest! {
    /// Whatever stands in the headers and the cells, a draft is a mapping that can be read again.
    #[test]
    fn every_draft_is_a_sound_mapping(
        odd in proptest::collection::vec(".{0,12}", 4),
        cells in proptest::collection::vec(".{0,16}", 12),
        name in ".{0,12}",
    ) {
        let mut table = vec![Row::of(1, &["Tag", "Type", "Room", &odd[0], &odd[1], &odd[2], &odd[3]])];
        for (number, cells) in (2..).zip(cells.chunks(4)) {
            table.push(Row::of(number, &["T", "outlet", "1", &cells[0], &cells[1], &cells[2], &cells[3]]));
        }
        let names = Names { sheet: Some(&name), file: &name };
        if let Ok(draft) = of_rows(&table, names) {
            proptest::prop_assert!(draft.mapping(&name).is_some());
        }
    }
}
