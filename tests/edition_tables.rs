//! The tables of the editions, every cell: which rooms of which occupancies are tamper-resistant, and
//! which places, circuits and rooms have ground-fault and arc-fault protection.
//!
//! Each table is a grid of text. A line names words of the model before its first bar (`any` stands for
//! every word that no line above it named) and its cells behind the bars: `x` required, `s` a place like
//! the required ones (the authority decides), `-` not reached, `?` not decided by what is recorded. The
//! sources stand above each table; they are summaries, and the adopted book decides.

#![expect(clippy::unwrap_used, reason = "a table that cannot be read fails the test")]

use yokecheck::code::EDITIONS;
use yokecheck::mapping::read::{Column, Content, Reading, read};
use yokecheck::outlet::words::{Edition, Occupancy, RoomUse};
use yokecheck::outlet::{Fact, Field, Origin, Outlet, Texts, Word, facts};
use yokecheck::rules::{Explorer, Subject, VerdictKind, rule_named, usual_resolution};

/// Cells of a schedule beside their fields. A blank cell is left out: it is absent.
type Cells<'a> = Vec<(Field, &'a str)>;

fn verdict(rule: &str, edition: Edition, cells: &[(Field, &str)]) -> VerdictKind {
    let mut texts = Texts::default();
    let mut outlet = Outlet::absent(Origin::default());
    outlet.set(facts::EDITION, Fact::Known(edition));
    for (field, cell) in cells.iter().filter(|(_, cell)| !cell.is_empty()) {
        let reading = read(Content::Text(cell), &Column::of(*field), &mut texts);
        let Reading::Known(raw) = reading else { panic!("{}: `{cell}`", field.name()) };
        outlet.set_raw(*field, Fact::Known(raw));
    }
    let subject =
        Subject { members: &[&outlet], editions: &[edition], texts: &texts, amended: None };
    let mut explorer = Explorer::default();
    rule_named(rule).unwrap().judge(subject, &mut explorer, &usual_resolution).verdict.kind()
}

/// Checks a cell: what is judged when the protection is recorded as missing, and as there.
fn check(rule: &str, edition: Edition, cells: &[(Field, &str)], protection: Field, cell: &str) {
    let (without, with) = match cell {
        "x" => (VerdictKind::Violates, VerdictKind::Complies),
        "s" => (VerdictKind::Authority, VerdictKind::Complies),
        "-" => (VerdictKind::NotApplicable, VerdictKind::NotApplicable),
        "?" => (VerdictKind::Undetermined, VerdictKind::Complies),
        _ => panic!("no cell: `{cell}`"),
    };
    for (answer, wanted) in [("no", without), ("yes", with)] {
        let mut cells = cells.to_vec();
        cells.push((protection, answer));
        let came = verdict(rule, edition, &cells);
        let recorded: Vec<&str> = cells.iter().map(|(_, cell)| *cell).collect();
        assert_eq!(came, wanted, "{rule}, {edition:?}: {recorded:?}");
    }
}

/// The lines of a grid, each parted at its bars.
fn lines(grid: &str) -> Vec<Vec<&str>> {
    let lines = grid.lines().map(str::trim).filter(|line| !line.is_empty());
    lines.map(|line| line.split('|').map(str::trim).collect()).collect()
}

/// A cell for each edition, in order.
fn by_edition(cells: &str) -> [(Edition, &str); 4] {
    let cells: Vec<&str> = cells.split_whitespace().collect();
    assert_eq!(cells.len(), EDITIONS.len(), "{cells:?}");
    std::array::from_fn(|place| (EDITIONS[place], cells[place]))
}

fn names<W: Word>(list: &str, word: &str) -> bool {
    let mut listed = list.split_whitespace();
    for one in listed.clone() {
        assert!(one == "any" || W::WORDS.contains(&one), "no word of the model: {one}");
    }
    listed.any(|one| one == "any" || one == word)
}

/// The cells of an occupancy and a room: those of the first line that names both. Every line of the
/// grid must be the first for some pair, or it says nothing.
fn occupancies_and_rooms(grid: &str) -> Vec<(&'static str, &'static str, &str)> {
    let lines = lines(grid);
    let mut used = vec![false; lines.len()];
    let mut found = Vec::new();
    for occupancy in Occupancy::WORDS {
        for room in RoomUse::WORDS {
            let place = lines
                .iter()
                .position(|line| {
                    names::<Occupancy>(line[0], occupancy) && names::<RoomUse>(line[1], room)
                })
                .unwrap_or_else(|| panic!("no line for {occupancy}, {room}"));
            used[place] = true;
            found.push((*occupancy, *room, lines[place][2]));
        }
    }
    assert!(used.iter().all(|used| *used), "{used:?}");
    found
}

/// 406.12, in 2014, 2017, 2020 and 2023.
///
/// Sources: 2014 and 2017: licence-renewal course, section 312; 2017: p3-inc.com question on the 2017
/// edition; 2020: code forum thread 2558120, California Electrical Code 2022; 2023: ecmag.com on the
/// changes of 2023, part 11 (one source). What is `s`, and the boathouse: the catalogue's definition.
const TAMPER: &str = "
    dwelling                                      | boathouse                              | - - x x
    dwelling                                      | crawl-space closet mechanical storage  | s s x x
    dwelling guest-room child-care                | any                                    | x x x x
    dormitory preschool elementary-school         | any                                    | - x x x
    assembly                                      | gymnasium auditorium                   | - x x x
    assembly                                      | recreation                             | - s s s
    transport-waiting                             | any                                    | - x x x
    outpatient                                    | corridor waiting-room                  | - x x x
    outpatient                                    | office                                 | - x x s
    outpatient                                    | lobby                                  | - s s x
    outpatient                                    | patient-sleeping                       | - - - x
    dwelling-common guest-common school           | any                                    | - - x x
    residential-care                              | any                                    | - - x x
    foster-care nursing-home psychiatric-hospital | any                                    | - - - x
    agricultural-public                           | any                                    | - - - x
    any                                           | any                                    | - - - -
";

#[test]
fn tamper_resistance_by_occupancy_room_and_edition() {
    for (occupancy, room, cells) in occupancies_and_rooms(TAMPER) {
        for (edition, cell) in by_edition(cells) {
            for configuration in ["5-15R", "5-20R", "6-15R", "6-20R", "L5-20R", "5-30R"] {
                let reached = match configuration {
                    "5-15R" | "5-20R" => true,
                    "6-15R" | "6-20R" => edition >= Edition::E2017,
                    _ => false,
                };
                let cells = [
                    (Field::Occupancy, occupancy),
                    (Field::RoomUse, room),
                    (Field::Configuration, configuration),
                ];
                let cell = if reached { cell } else { "-" };
                check("tamper-resistant", edition, &cells, Field::TamperResistant, cell);
            }
        }
    }
}

/// 210.8(A), dwellings, and 210.8(B), everything else, each in 2014, 2017, 2020 and 2023: the rooms.
///
/// Sources of (A): 2014: ecode360.com 27891398, licence-renewal course, section 16, device maker's code
/// page, 2014 node 72; 2017: device maker's code page, 2017 node 122, IAEI magazine, picks of the 2017
/// changes; 2020: California Electrical Code 2022, code forum thread 2545846, IAEI magazine on kitchens
/// and areas for food; 2023: jadelearning.com on section 210.8 of 2023.
///
/// Sources of (B): 2014: code forum thread 94182 (locker rooms: one source, device maker's code page,
/// 2014 node 21), askneca.com; 2017: electricalcodeacademy.net on section 210.8(B), code forum thread
/// 2555530; 2020: California Electrical Code 2022, ecmag.com on cooking areas; 2023: licence-renewal
/// course, section 1425, expertce.com, lesson on other than dwellings.
const GROUND_FAULT_ROOMS: &str = "
    bathroom                  |     | x x x x | x x x x
    garage service-bay        |     | x x x x | x x x x
    outdoors                  |     | x x x x | x x x x
    rooftop                   |     | x x x x | x x x x
    crawl-space               |     | x x x x | - x x x
    basement-unfinished       |     | x x x x | - x x x
    basement-finished         |     | - - x x | - - - -
    boathouse                 |     | x x x x | - - - -
    laundry                   |     | x x x x | - - x x
    kitchen                   | yes | x x x x | x x x x
    kitchen                   | no  | - - - x | x x x x
    kitchen                   |     | ? ? ? x | x x x x
    food-preparation          |     | - - - x | - - x x
    buffet                    |     | - - - - | - - - x
    locker-room               |     | - - - - | x x x x
    bedroom living dining hallway closet sunroom recreation   | | - - - - | - - - -
    office corridor lobby waiting-room patient-sleeping       | | - - - - | - - - -
    operating-room exam-room classroom gymnasium auditorium   | | - - - - | - - - -
    laboratory mechanical storage retail other                | | - - - - | - - - -
";

/// What brings in a place beside its room, in the same columns and from the same sources.
const GROUND_FAULT_REASONS: &str = "
    sink_distance | 1.8 m | x x x x | x x x x
    sink_distance | 1.9 m | - - - - | - - - -
    tub_distance  | 1.8 m | x x x x | - - x x
    tub_distance  | 1.9 m | - - - - | - - - -
    exposure      | dry   | - - - - | - - - -
    exposure      | damp  | - - x x | - - x x
    exposure      | wet   | - - x x | x x x x
";

/// What a place comes to for two reasons: the stronger one.
fn either<'a>(one: &'a str, other: &'a str) -> &'a str {
    ["x", "?", "s"].into_iter().find(|cell| one == *cell || other == *cell).unwrap_or("-")
}

/// The room's own reason in an industrial building, whose outdoors may be supervised.
fn of_room<'a>(cell: &'a str, occupancy: &str, room: &str) -> &'a str {
    if occupancy == "industrial" && room == "outdoors" && cell == "x" { "s" } else { cell }
}

/// A reason beside the room: damp and wet count indoors; the sink of an industrial laboratory may be
/// supervised.
fn of_reason<'a>(cell: &'a str, field: &str, occupancy: &str, room: &str) -> &'a str {
    match field {
        "exposure" if room == "outdoors" || room == "rooftop" => "-",
        "sink_distance" if occupancy == "industrial" && room == "laboratory" && cell == "x" => "s",
        _ => cell,
    }
}

#[test]
fn ground_fault_protection_by_place_and_edition() {
    let rooms = lines(GROUND_FAULT_ROOMS);
    for room in RoomUse::WORDS {
        let listed = rooms.iter().filter(|line| names::<RoomUse>(line[0], room)).count();
        assert_eq!(listed, if *room == "kitchen" { 3 } else { 1 }, "{room}");
    }
    for line in &rooms {
        for room in line[0].split_whitespace() {
            for occupancy in Occupancy::WORDS {
                check_ground_fault_place(occupancy, room, line);
            }
        }
    }
}

fn check_ground_fault_place(occupancy: &str, room: &str, line: &[&str]) {
    let dwelling = occupancy == "dwelling";
    let column = if dwelling { 2 } else { 3 };
    let rule = if dwelling { "gfci-dwelling" } else { "gfci-other" };
    let other_rule = if dwelling { "gfci-other" } else { "gfci-dwelling" };
    let place = vec![
        (Field::Occupancy, occupancy),
        (Field::RoomUse, room),
        (Field::ServesCountertop, line[1]),
        (Field::Volts, "120"),
        (Field::CircuitAmps, "20"),
        (Field::Configuration, "5-20R"),
    ];
    for (edition, cell) in by_edition(line[column]) {
        let own = of_room(cell, occupancy, room);
        check(rule, edition, &place, Field::Gfci, own);
        check(other_rule, edition, &place, Field::Gfci, "-");
    }
    for reason in lines(GROUND_FAULT_REASONS) {
        let mut cells = place.clone();
        cells.push((Field::of(reason[0]).unwrap(), reason[1]));
        for (room_cell, reason_cell) in
            by_edition(line[column]).into_iter().zip(by_edition(reason[column]))
        {
            let own = of_room(room_cell.1, occupancy, room);
            let beside = of_reason(reason_cell.1, reason[0], occupancy, room);
            check(rule, room_cell.0, &cells, Field::Gfci, either(own, beside));
        }
    }
}

/// Volts, system and conductors, and a cell for circuits of 15, 20, 30, 50, 60, 100 and 125 A: in 2014
/// and in dwellings in 2017; in dwellings from 2020; elsewhere from 2017.
///
/// Sources: those of the rooms. The volts to ground of each system: 120/240, 208Y/120, 480Y/277 and
/// 600Y/347 by their names, the high leg of 208 V (240 x sqrt(3) / 2) and the corner of 240 V computed.
const GROUND_FAULT_RATINGS: &str = "
    120 |                  |     | x x - - - - - | x x x x x x x | x x x x - - -
    120 | 120/240          | AN  | x x - - - - - | x x x x x x x | x x x x - - -
    120 | 120/240          |     | x x - - - - - | x x x x x x x | x x x x - - -
    120 | 208Y/120         | BN  | x x - - - - - | x x x x x x x | x x x x - - -
    120 | 240/120-high-leg | AN  | x x - - - - - | x x x x x x x | x x x x - - -
    120 | 240/120-high-leg |     | x x - - - - - | x x x x x x x | x x x x - - -
    208 |                  |     | - - - - - - - | ? ? ? ? ? ? ? | ? ? ? ? ? ? -
    208 |                  | AB  | - - - - - - - | x x x x x x x | x x x x - - -
    208 |                  | ABC | - - - - - - - | - - - - - - - | x x x x x x -
    208 | 208Y/120         | AB  | - - - - - - - | x x x x x x x | x x x x - - -
    208 | 208Y/120         | BCN | - - - - - - - | x x x x x x x | x x x x - - -
    208 | 208Y/120         | ABC | - - - - - - - | - - - - - - - | x x x x x x -
    208 | 208Y/120         |     | - - - - - - - | ? ? ? ? ? ? ? | x x x x ? ? -
    208 | 240/120-high-leg | BN  | - - - - - - - | - - - - - - - | - - - - - - -
    208 | 240/120-high-leg |     | - - - - - - - | - - - - - - - | - - - - - - -
    240 |                  |     | - - - - - - - | ? ? ? ? ? ? ? | ? ? ? ? - - -
    240 |                  | AC  | - - - - - - - | ? ? ? ? ? ? ? | ? ? ? ? - - -
    240 |                  | ABC | - - - - - - - | - - - - - - - | - - - - - - -
    240 | 120/240          | AC  | - - - - - - - | x x x x x x x | x x x x - - -
    240 | 120/240          |     | - - - - - - - | x x x x x x x | x x x x - - -
    240 | 240/120-high-leg | AC  | - - - - - - - | x x x x x x x | x x x x - - -
    240 | 240/120-high-leg | AB  | - - - - - - - | - - - - - - - | - - - - - - -
    240 | 240/120-high-leg | ABC | - - - - - - - | - - - - - - - | - - - - - - -
    240 | 240/120-high-leg |     | - - - - - - - | ? ? ? ? ? ? ? | ? ? ? ? - - -
    240 | 240-delta        | AB  | - - - - - - - | - - - - - - - | - - - - - - -
    240 | 240-delta        | ABC | - - - - - - - | - - - - - - - | - - - - - - -
    240 | 240-delta        |     | - - - - - - - | - - - - - - - | - - - - - - -
    240 | 240-delta-corner | AC  | - - - - - - - | - - - - - - - | - - - - - - -
    240 | 240-delta-corner |     | - - - - - - - | - - - - - - - | - - - - - - -
    277 |                  |     | - - - - - - - | - - - - - - - | - - - - - - -
    277 | 480Y/277         | AN  | - - - - - - - | - - - - - - - | - - - - - - -
    347 |                  |     | - - - - - - - | - - - - - - - | - - - - - - -
    347 | 600Y/347         | AN  | - - - - - - - | - - - - - - - | - - - - - - -
    480 |                  |     | - - - - - - - | - - - - - - - | - - - - - - -
    480 | 480Y/277         | AB  | - - - - - - - | - - - - - - - | - - - - - - -
    480 | 480Y/277         | ABC | - - - - - - - | - - - - - - - | - - - - - - -
    480 | 480-delta        | ABC | - - - - - - - | - - - - - - - | - - - - - - -
    480 | 480-delta-corner | AC  | - - - - - - - | - - - - - - - | - - - - - - -
    600 |                  |     | - - - - - - - | - - - - - - - | - - - - - - -
    600 | 600Y/347         | ABC | - - - - - - - | - - - - - - - | - - - - - - -
    130 |                  |     | - - - - - - - | - - - - - - - | - - - - - - -
    210 |                  | AB  | - - - - - - - | x x x x x x x | x x x x - - -
    220 | 120/240          |     | - - - - - - - | x x x x x x x | x x x x - - -
    127 |                  |     | x x - - - - - | x x x x x x x | x x x x - - -
";

const CIRCUITS: [&str; 7] = ["15", "20", "30", "50", "60", "100", "125"];

/// The column of the ratings that holds for a rule in an edition, of three.
fn ratings(rule: &str, edition: Edition) -> usize {
    match (rule, edition) {
        (_, Edition::E2014) | ("gfci-dwelling", Edition::E2017) => 0,
        ("gfci-dwelling", _) => 1,
        _ => 2,
    }
}

const SECTIONS: [(&str, &str); 2] = [("gfci-dwelling", "dwelling"), ("gfci-other", "business")];

#[test]
fn ground_fault_protection_by_rating_and_edition() {
    for line in lines(GROUND_FAULT_RATINGS) {
        for (rule, occupancy) in SECTIONS {
            for edition in EDITIONS {
                let cells: Vec<&str> =
                    line[3 + ratings(rule, edition)].split_whitespace().collect();
                assert_eq!(cells.len(), CIRCUITS.len(), "{line:?}");
                for (amps, cell) in CIRCUITS.into_iter().zip(cells) {
                    let circuit: Cells<'_> = vec![
                        (Field::Occupancy, occupancy),
                        (Field::RoomUse, "bathroom"),
                        (Field::Volts, line[0]),
                        (Field::System, line[1]),
                        (Field::Phases, line[2]),
                        (Field::CircuitAmps, amps),
                    ];
                    check(rule, edition, &circuit, Field::Gfci, cell);
                }
            }
        }
    }
}

/// Receptacles on a circuit of 30 A whose volts are not recorded, on a system: the amperes of 2014 (and
/// of dwellings in 2017) are the receptacle's own, the phases its configuration's. Columns as above.
///
/// Sources: those of the rooms; the configurations: ANSI/NEMA WD 6, and 11, 24, TT and the sizes of 14
/// and 15 from memory.
const GROUND_FAULT_RECEPTACLES: &str = "
    1-15R   | 120/240          | x | x | x
    5-15R   | 120/240          | x | x | x
    5-20R   | 208Y/120         | x | x | x
    L5-20R  | 208Y/120         | x | x | x
    5-20R   | 240/120-high-leg | x | x | x
    5-30R   | 120/240          | - | x | x
    5-50R   | 120/240          | - | x | x
    L5-30R  | 208Y/120         | - | x | x
    TT-30R  | 120/240          | - | x | x
    6-15R   | 120/240          | - | x | x
    6-20R   | 208Y/120         | - | x | x
    6-20R   | 240-delta        | - | - | -
    6-20R   | 240-delta-corner | - | - | -
    6-30R   | 240/120-high-leg | - | ? | ?
    L6-30R  | 208Y/120         | - | x | x
    10-30R  | 120/240          | - | x | x
    14-30R  | 120/240          | - | x | x
    L14-30R | 208Y/120         | - | x | x
    11-30R  | 208Y/120         | - | - | x
    15-30R  | 208Y/120         | - | - | x
    L15-30R | 240-delta        | - | - | -
    18-30R  | 208Y/120         | - | ? | x
    L21-30R | 208Y/120         | - | ? | x
    7-20R   | 480Y/277         | - | - | -
    L8-30R  | 480Y/277         | - | - | -
    L16-30R | 480-delta        | - | - | -
    L22-30R | 480Y/277         | - | - | -
    24-20R  | 600Y/347         | - | - | -
    L23-30R | 600Y/347         | - | - | -
";

#[test]
fn ground_fault_protection_by_receptacle_and_edition() {
    for line in lines(GROUND_FAULT_RECEPTACLES) {
        for (rule, occupancy) in SECTIONS {
            for edition in EDITIONS {
                let cells = [
                    (Field::Occupancy, occupancy),
                    (Field::RoomUse, "bathroom"),
                    (Field::Configuration, line[0]),
                    (Field::System, line[1]),
                    (Field::CircuitAmps, "30"),
                ];
                check(rule, edition, &cells, Field::Gfci, line[2 + ratings(rule, edition)]);
            }
        }
    }
}

/// 210.12, in 2014, 2017, 2020 and 2023.
///
/// Sources: 2014: device maker's code pages, 2014 nodes 3 and 24, licence-renewal course, section 23;
/// 2017: licence-renewal course, section 234.1; 2020: rosendinuniversity.com, 20 April 2022, device
/// maker's code page, 2020 node 133, California Electrical Code 2022; 2023: device maker's code page,
/// 2023 node 311, licence-renewal course, section 1429, ecmag.com on limited-care facilities. What is
/// `s`: the catalogue's definition.
const ARC_FAULT: &str = "
    dwelling                  | kitchen living dining bedroom sunroom recreation    | x x x x
    dwelling                  | closet hallway laundry                              | x x x x
    dwelling                  | office basement-finished other                      | s s s s
    dormitory                 | bedroom living hallway closet                       | x x x x
    dormitory                 | bathroom                                            | - x x x
    dormitory                 | dining sunroom recreation office other              | s s s s
    guest-room                | any                                                 | - x x x
    nursing-home limited-care | patient-sleeping                                    | - - x x
    any                       | any                                                 | - - - -
";

/// 120 V and other circuits by volts and amperes. Source of 10 A in 2023: licence-renewal course, section
/// 1429, and sections 1430 and 1432 on such circuits.
const ARC_FAULT_CIRCUITS: &str = "
    120 |   9 | - - - -
    120 |  10 | - - - x
    120 |  15 | x x x x
    120 |  20 | x x x x
    120 |  25 | - - - -
    120 |  30 | - - - -
    127 |  20 | x x x x
    110 |  20 | x x x x
    130 |  20 | - - - -
    208 |  20 | - - - -
    240 |  10 | - - - -
    240 |  20 | - - - -
    277 |  20 | - - - -
";

#[test]
fn arc_fault_protection_by_occupancy_room_circuit_and_edition() {
    for (occupancy, room, cells) in occupancies_and_rooms(ARC_FAULT) {
        for circuit in lines(ARC_FAULT_CIRCUITS) {
            for ((edition, cell), (_, reached)) in
                by_edition(cells).into_iter().zip(by_edition(circuit[2]))
            {
                let cells = [
                    (Field::Occupancy, occupancy),
                    (Field::RoomUse, room),
                    (Field::Volts, circuit[0]),
                    (Field::CircuitAmps, circuit[1]),
                ];
                let cell = if reached == "x" { cell } else { "-" };
                check("afci", edition, &cells, Field::Afci, cell);
            }
        }
    }
}

/// The devices of a dwelling's and of a dormitory's bedroom. Sources: licence-renewal course, section 23
/// (devices beside outlets in dwellings from 2014), and the page of 2014, node 24, for dormitories.
const ARC_FAULT_DEVICES: &str = "
    dwelling  | receptacle combination switch dimmer sensor pilot-light other | x x x x
    dormitory | receptacle combination sensor pilot-light other               | x x x x
    dormitory | switch dimmer                                                 | - x x x
";

#[test]
fn arc_fault_protection_by_device_and_edition() {
    for line in lines(ARC_FAULT_DEVICES) {
        for device in line[1].split_whitespace() {
            for (edition, cell) in by_edition(line[2]) {
                let cells = [
                    (Field::Occupancy, line[0]),
                    (Field::Device, device),
                    (Field::RoomUse, "bedroom"),
                    (Field::Volts, "120"),
                    (Field::CircuitAmps, "15"),
                ];
                check("afci", edition, &cells, Field::Afci, cell);
            }
        }
    }
}
