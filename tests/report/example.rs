//! A small audit made by hand: two buildings, two sheets and a text file, with facts of every kind.

use jiff::civil::date;
use yokecheck::audit::{Audit, Options, Selection, run};
use yokecheck::mapping::account::{
    Account, ColumnAccount, Fault, InputAccount, SheetAccount, SheetReading,
};
use yokecheck::outlet::words::{
    Barrier, BoxKind, BoxMount, Conductor, Device, DeviceScrew, Edition, Facing, MountedOn,
    MountingLocation, Surface, System, YokeSeat,
};
use yokecheck::outlet::{
    Date, Fact, Field, Key, Length, Milli, Origin, Outlet, Set, Text, Texts, facts,
};
use yokecheck::report::Context;

/// The rules of the example: those that its facts are about.
const RULES: &str = "adjacent-voltage box-fastened box-or-assembly box-set-back countertop-listing \
                     cover-mounted-screws device-screws exposed-terminals face-position \
                     face-up-below-sink face-up-seating face-up-surface flush-yoke set-back-yoke \
                     switch-adjacent-voltage work-surface-listing";

/// Outlets and their texts, filled row by row.
#[derive(Default)]
pub(crate) struct Schedule {
    pub(crate) outlets: Vec<Outlet>,
    pub(crate) texts: Texts,
}

/// One row while it is filled.
pub(crate) struct Row<'a> {
    outlet: &'a mut Outlet,
    texts: &'a mut Texts,
}

impl Schedule {
    pub(crate) fn row(&mut self, source: u32, sheet: u32, row: u32) -> Row<'_> {
        self.outlets.push(Outlet::absent(Origin { source, sheet, row }));
        Row { outlet: self.outlets.last_mut().unwrap(), texts: &mut self.texts }
    }

    pub(crate) fn audit(self, keep_verdicts: bool) -> Audit {
        let rules: Vec<String> = RULES.split_whitespace().map(str::to_owned).collect();
        let selection = Selection::new(&rules, &[]).unwrap();
        let options = Options { keep_verdicts, ..Options::of(&selection) };
        run(self.outlets, self.texts, &options)
    }
}

impl Row<'_> {
    pub(crate) fn text(self, key: Key<Text>, text: &str) -> Self {
        let text = self.texts.intern(text);
        self.outlet.set(key, Fact::Known(text));
        self
    }

    pub(crate) fn fact<T: yokecheck::outlet::Value>(self, key: Key<T>, value: T) -> Self {
        self.outlet.set(key, Fact::Known(value));
        self
    }

    pub(crate) fn blank<T: yokecheck::outlet::Value>(self, key: Key<T>) -> Self {
        self.outlet.set(key, Fact::Blank);
        self
    }

    pub(crate) fn unreadable<T: yokecheck::outlet::Value>(self, key: Key<T>) -> Self {
        self.outlet.set(key, Fact::Unreadable);
        self
    }

    /// Place and identifier.
    pub(crate) fn at(self, id: &str, building: &str, floor: &str, room: &str) -> Self {
        self.text(facts::OUTLET_ID, id)
            .text(facts::BUILDING, building)
            .text(facts::FLOOR, floor)
            .text(facts::ROOM, room)
    }

    /// A receptacle in a wall box of which everything is in order.
    pub(crate) fn sound(self) -> Self {
        self.fact(facts::EDITION, Edition::E2020)
            .fact(facts::DEVICE, Device::Receptacle)
            .fact(facts::MOUNTING_LOCATION, MountingLocation::Wall)
            .fact(facts::FACING, Facing::Side)
            .fact(facts::BOX, BoxKind::DeviceBox)
            .fact(facts::BOX_FASTENED, true)
            .fact(facts::BOX_MOUNT, BoxMount::Flush)
            .fact(facts::BOX_SET_BACK, Length(0))
            .fact(facts::SURFACE, Surface::Gypsum)
            .fact(facts::MOUNTED_ON, MountedOn::Box)
            .fact(facts::YOKE_SEAT, YokeSeat::Surface)
            .fact(facts::DEVICE_SCREW, DeviceScrew::Supplied)
            .fact(facts::FACEPLATE_MATERIAL, yokecheck::outlet::words::Material::Nonmetallic)
            .fact(facts::FACE_PROJECTION, Length(0))
            .fact(facts::TERMINALS_EXPOSED, false)
    }
}

/// The columns of the example, in order; the facts of `cells` stand in the same column of each sheet.
const COLUMNS: [(&str, Option<Field>); 12] = [
    ("Tag", Some(Field::OutletId)),
    ("Bldg", Some(Field::Building)),
    ("Storey", Some(Field::Floor)),
    ("Room", Some(Field::Room)),
    ("Trade", Some(Field::Trade)),
    ("Box set-back", Some(Field::BoxSetBack)),
    ("Finish", Some(Field::Surface)),
    ("Screws", Some(Field::DeviceScrew)),
    ("Colour", None),
    ("Phases", Some(Field::Phases)),
    ("Box", Some(Field::EnclosureId)),
    ("Terminals", Some(Field::TerminalsExposed)),
];

fn sheet(name: Option<&str>, rows_read: u32) -> SheetAccount {
    let column = |(place, (header, field)): (u32, &(&str, Option<Field>))| ColumnAccount {
        column: place,
        header: (*header).to_owned(),
        field: *field,
        how: if field.is_some() { "as written".to_owned() } else { String::new() },
        samples: Vec::new(),
    };
    SheetAccount {
        constants: Vec::new(),
        name: name.map(str::to_owned),
        hidden: false,
        reading: SheetReading::Mapped {
            mapping: "example.toml".to_owned(),
            why: "11 of 12 header words match".to_owned(),
        },
        header_row: Some(2),
        rows_read,
        rows_skipped: [("empty".to_owned(), 3), ("total row".to_owned(), 1)].into(),
        columns: (0..).zip(&COLUMNS).map(column).collect(),
        faults: Vec::new(),
        ..SheetAccount::default()
    }
}

/// The account of the example.
pub(crate) fn account() -> Account {
    let mut level = sheet(Some("Level 3"), 5);
    level.faults.push(Fault {
        row: 6,
        column: Some(6),
        field: Some(Field::Surface),
        text: "=gyp board".to_owned(),
        why: "no word of the vocabulary; did you mean `gypsum`?".to_owned(),
    });
    let input = |path: &str, sheets: Vec<SheetAccount>| InputAccount {
        path: path.to_owned(),
        sha256: "0f".repeat(32),
        sheets,
    };
    Account {
        inputs: vec![
            input("north/devices.xlsx", vec![level]),
            input("south.csv", vec![sheet(None, 3)]),
        ],
        ..Account::default()
    }
}

/// Eight rows: sound ones, a deep box, exposed terminals, screws that do not fit, two volts in one box.
pub(crate) fn schedule() -> Schedule {
    let mut schedule = Schedule::default();
    schedule
        .row(0, 0, 3)
        .at("1E01", "North", "10", "1001")
        .sound()
        .fact(facts::QUANTITY, 2)
        .text(facts::TRADE, "Electrical")
        .text(facts::INSTALLER, "@Volta & Sons")
        .fact(facts::BOX_SET_BACK, Length::micrometres(7000))
        .fact(facts::OBSERVED_ON, Date(20_543))
        .text(facts::OBSERVED_BY, "R. Vale")
        .text(facts::EVIDENCE, "https://photos.example/1E01.jpg");
    schedule
        .row(0, 0, 4)
        .at("=cmd", "North", "2", "201")
        .sound()
        .fact(facts::TERMINALS_EXPOSED, true)
        .text(facts::EVIDENCE, "-IMG 4");
    schedule
        .row(0, 0, 5)
        .at("N-3", "North", "2", "202")
        .sound()
        .fact(facts::MOUNTING_LOCATION, MountingLocation::Countertop);
    schedule
        .row(0, 0, 6)
        .at("N-4", "North", "B1", "001")
        .sound()
        .fact(facts::BOX_SET_BACK, Length::micrometres(3000))
        .unreadable(facts::SURFACE);
    schedule
        .row(0, 0, 7)
        .at("N-5", "North", "B1", "001")
        .sound()
        .fact(facts::BOX_SET_BACK, Length::micrometres(3000))
        .fact(facts::SURFACE, Surface::Laminate);
    neighbour(schedule.row(1, 0, 3).at("S-1", "South", "1", "7"), Conductor::A);
    neighbour(schedule.row(1, 0, 4).at("S-2", "South", "1", "7"), Conductor::B);
    schedule.row(1, 0, 5).fact(facts::EDITION, Edition::Other);
    schedule
}

/// One of two devices at 277 V to neutral in one box, on different phases: 480 V between them.
fn neighbour(row: Row<'_>, phase: Conductor) {
    row.sound()
        .text(facts::ENCLOSURE_ID, "S-BOX")
        .text(facts::SUPPLY, "T1")
        .fact(facts::SYSTEM, System::Wye480)
        .fact(facts::PHASES, Set::of(&[phase, Conductor::N]))
        .fact(facts::VOLTS, Milli::whole(277))
        .fact(facts::BARRIER, Barrier::None);
}

/// The run of the example.
pub(crate) fn context() -> Context {
    Context {
        project: "Harbour & Hill campus".to_owned(),
        date: date(2026, 3, 31),
        version: "0.1.0".to_owned(),
        options: vec!["north/devices.xlsx south.csv".to_owned(), "--as-of 2026-03-31".to_owned()],
    }
}
