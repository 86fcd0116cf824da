//! The schedule of the benches: seeded, 30 columns under the names of their fields.
//!
//! A building has ten storeys of a thousand outlets in rooms of eight; every sixth box holds a receptacle
//! and a switch. About one outlet in `violation_in` breaks a rule. Invented, and evidence of nothing.

/// The headers: names of fields.
pub(crate) const HEADERS: [&str; 30] = [
    "outlet_id",
    "building",
    "floor",
    "room",
    "room_use",
    "occupancy",
    "mounting_location",
    "exposure",
    "height",
    "trade",
    "edition",
    "device",
    "configuration",
    "receptacles_on_yoke",
    "tamper_resistant",
    "gfci",
    "panel",
    "circuit",
    "system",
    "phases",
    "volts",
    "circuit_amps",
    "ground_present",
    "enclosure_id",
    "gang",
    "box",
    "box_set_back",
    "surface",
    "mounted_on",
    "faceplate",
];

const FLOOR: u32 = 1000;
const BUILDING: u32 = 10 * FLOOR;

/// How a schedule is made.
#[derive(Clone, Copy)]
pub(crate) struct Plan {
    pub(crate) rows: u32,
    /// One outlet in so many breaks a rule.
    pub(crate) violation_in: u32,
    /// Number of the first building; a file of a portfolio is one building.
    pub(crate) building: u32,
    /// Whether all rows are of that building.
    pub(crate) one_building: bool,
}

/// The rows of a schedule, each the texts of its cells.
pub(crate) fn rows(plan: Plan) -> impl Iterator<Item = [String; HEADERS.len()]> {
    let mut random = fastrand::Rng::with_seed(u64::from(plan.building));
    (0..plan.rows).map(move |place| row(plan, place, &mut random))
}

fn row(plan: Plan, place: u32, random: &mut fastrand::Rng) -> [String; HEADERS.len()] {
    let building = if plan.one_building { plan.building } else { plan.building + place / BUILDING };
    let (floor, on_floor) = (place % BUILDING / FLOOR + 1, place % FLOOR);
    let room = floor * 1000 + on_floor / 8;
    let ganged = place % 12 >= 10;
    let is_switch = place % 12 == 11;
    let (room_use, gfci) = ROOMS[room as usize % ROOMS.len()];
    let (panel, circuit) = (on_floor / 250 + 1, on_floor % 250 / 6 + 1);
    let enclosure = if ganged { format!("X{building}-{}", place / 12) } else { String::new() };
    let defect = (random.u32(..plan.violation_in) == 0).then(|| random.usize(..DEFECTS.len()));
    let text = |one: &str| one.to_owned();
    let mut cells = [
        format!("B{building}-{:06}", place + 1),
        format!("Building {building}"),
        format!("Level {floor}"),
        format!("{room}"),
        text(room_use),
        text("business"),
        text("wall"),
        text("dry"),
        format!("{} in", random.u32(30..97) / 2),
        text("Electrical"),
        text(EDITIONS[building as usize % EDITIONS.len()]),
        text(if is_switch { "switch" } else { "receptacle" }),
        text(if is_switch { "" } else { "5-20R" }),
        text(if is_switch { "" } else { "2" }),
        text("no"),
        text(if is_switch { "" } else { gfci }),
        format!("P{floor}-{panel}-{}", place / BUILDING),
        format!("{circuit}"),
        text("208Y/120"),
        text(PHASES[circuit as usize % PHASES.len()]),
        text("120"),
        text("20"),
        text("yes"),
        enclosure,
        text(if !ganged {
            ""
        } else if is_switch {
            "2"
        } else {
            "1"
        }),
        text(if ganged { "square" } else { "device-box" }),
        text(SET_BACKS[random.usize(..SET_BACKS.len())]),
        text(if random.u32(..4) == 0 { "concrete" } else { "gypsum" }),
        text("box"),
        text(if random.u32(..200) == 0 { "" } else { "yes" }),
    ];
    if let Some(defect) = defect.filter(|_| !is_switch) {
        for (column, value) in DEFECTS[defect] {
            let place = HEADERS.iter().position(|header| header == column);
            cells[place.expect("a header of this schedule")] = text(value);
        }
    }
    cells
}

/// Uses of rooms, and whether their receptacles have ground-fault protection.
const ROOMS: [(&str, &str); 6] = [
    ("office", "no"),
    ("office", "no"),
    ("corridor", "no"),
    ("bathroom", "yes"),
    ("classroom", "no"),
    ("storage", "no"),
];

const EDITIONS: [&str; 4] = ["2014", "2017", "2020", "2023"];

const PHASES: [&str; 3] = ["A; N", "B; N", "C; N"];

const SET_BACKS: [&str; 5] = ["0 in", "0.0625 in", "1/8 in", "3/16 in", "5 mm"];

/// What a row with a violation says otherwise.
const DEFECTS: [&[(&str, &str)]; 5] = [
    &[("faceplate", "no")],
    &[("box_set_back", "1/2 in")],
    &[("volts", "277"), ("system", "480Y/277")],
    &[("configuration", "5-30R"), ("circuit_amps", "20")],
    &[("exposure", "wet")],
];
