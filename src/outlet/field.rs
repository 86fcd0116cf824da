//! The fields of the model: one table from which the keys, the storage and the help are made.
//!
//! Owns the list of facts that an outlet can have, in order, with its group, kind and meaning. A new
//! field is one line of the table. It must not know how a schedule writes a fact: that is the mapping
//! room's business.

use std::marker::PhantomData;

use super::configuration::Configuration;
use super::quantity::{Date, Gauge, Length, Milli, Volume};
use super::texts::Text;
use super::value::{Set, Word};
use super::words::{
    Barrier, Bonding, BoxKind, BoxMount, CareCategory, Conductor, ControlledMark, Device,
    DeviceScrew, Edition, Exposure, Facing, Label, Listing, MarkOn, Material, MountedOn,
    MountingLocation, Occupancy, RoomUse, Surface, System, WeatherCover, Work, YokeSeat,
};

/// What kind of value stands in a field.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Kind {
    /// Any text, compared trimmed and with its case.
    Text,
    /// A whole number from 0.
    Count,
    /// One word of a vocabulary.
    Word(&'static [&'static str]),
    /// Several words of a vocabulary, or none.
    Words(&'static [&'static str]),
    /// Yes or no.
    YesNo,
    /// A length with its unit.
    Length,
    /// A volume with its unit.
    Volume,
    /// Volts.
    Voltage,
    /// Amperes.
    Current,
    /// A wire gauge.
    Awg,
    /// A day.
    Date,
    /// A NEMA WD 6 configuration.
    Configuration,
}

impl Kind {
    /// The name of the kind, as the field list prints it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Text => "text",
            Self::Count => "count",
            Self::Word(_) => "word",
            Self::Words(_) => "words",
            Self::YesNo => "yes-no",
            Self::Length => "length",
            Self::Volume => "volume",
            Self::Voltage => "voltage",
            Self::Current => "current",
            Self::Awg => "awg",
            Self::Date => "date",
            Self::Configuration => "configuration",
        }
    }

    const fn store(self) -> Store {
        match self {
            Self::Word(_) | Self::Words(_) | Self::YesNo | Self::Awg | Self::Configuration => {
                Store::Byte
            }
            Self::Count => Store::Short,
            Self::Text => Store::Text,
            Self::Voltage | Self::Current | Self::Date => Store::Number,
            Self::Length | Self::Volume => Store::Long,
        }
    }
}

/// Which array of an outlet holds a field.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Store {
    Byte,
    Short,
    Text,
    Number,
    Long,
}

/// A field of the model with the type of its value.
///
/// Rules name facts by such keys, so that a length can never be taken for a count.
pub struct Key<T> {
    /// The field behind the key.
    pub field: Field,
    of: PhantomData<fn() -> T>,
}

impl<T> Key<T> {
    const fn new(field: Field) -> Self {
        Self { field, of: PhantomData }
    }
}

impl<T> Clone for Key<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Key<T> {}

/// What the model says of one field.
#[derive(Clone, Copy, Debug)]
pub struct FieldInfo {
    /// Its name: the canonical header of a schedule.
    pub name: &'static str,
    /// The group it belongs to.
    pub group: &'static str,
    /// What may stand in it.
    pub kind: Kind,
    /// What it means.
    pub meaning: &'static str,
}

/// The kind of a field, with its vocabulary where it has one.
macro_rules! kind {
    (Word, $type:ty) => {
        Kind::Word(<$type as Word>::WORDS)
    };
    (Words, Set<$type:ty>) => {
        Kind::Words(<$type as Word>::WORDS)
    };
    ($kind:ident, $($type:tt)*) => {
        Kind::$kind
    };
}

macro_rules! fields {
    ($($group:ident { $($key:ident: $field:ident = $name:literal, $kind:ident, [$($type:tt)*], $meaning:literal;)+ })+) => {
        /// A field of the model, in the order of the model.
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
        #[repr(u8)]
        pub enum Field {
            $($(#[doc = $meaning] $field,)+)+
        }

        /// Every field, in order.
        const ALL: &[Field] = &[$($(Field::$field,)+)+];

        const INFO: &[FieldInfo] = &[$($(FieldInfo {
            name: $name,
            group: stringify!($group),
            kind: kind!($kind, $($type)*),
            meaning: $meaning,
        },)+)+];

        /// The typed keys of the fields, by the names that rules use.
        pub mod facts {
            use super::*;

            $($(#[doc = $meaning] pub const $key: Key<$($type)*> = Key::new(Field::$field);)+)+
        }
    };
}

fields! {
    identity {
        OUTLET_ID: OutletId = "outlet_id", Text, [Text], "Name or number of the device, used once in a building";
        QUANTITY: Quantity = "quantity", Count, [u16], "Identical devices that this one row stands for";
    }
    place {
        BUILDING: Building = "building", Text, [Text], "Name or number of the building";
        FLOOR: Floor = "floor", Text, [Text], "Storey, as the schedule names it";
        ROOM: Room = "room", Text, [Text], "Number or name of the room";
        ROOM_USE: RoomUse = "room_use", Word, [RoomUse], "Use of the room";
        OCCUPANCY: Occupancy = "occupancy", Word, [Occupancy], "Kind of building or unit";
        MOUNTING_LOCATION: MountingLocation = "mounting_location", Word, [MountingLocation], "Thing that the outlet is mounted in or on; a sink base is the space below a sink";
        SERVES_COUNTERTOP: ServesCountertop = "serves_countertop", YesNo, [bool], "Feeds the countertop of a kitchen, from wherever it is mounted";
        FACING: Facing = "facing", Word, [Facing], "Direction in which the face of the device looks, whatever the ground pin does";
        EXPOSURE: Exposure = "exposure", Word, [Exposure], "Dry, damp or wet location";
        HEIGHT: Height = "height", Length, [Length], "Height of the outlet above finished floor";
        SINK_DISTANCE: SinkDistance = "sink_distance", Length, [Length], "Shortest path of a cord to the top inside edge of the sink (outside edge under the 2014 edition)";
        TUB_DISTANCE: TubDistance = "tub_distance", Length, [Length], "Distance in plan to the outside edge of the nearest tub or shower stall";
        TUB_RISE: TubRise = "tub_rise", Length, [Length], "Height above the rim of the tub or the threshold of the shower; below it is negative";
        IN_TUB_SPACE: InTubSpace = "in_tub_space", YesNo, [bool], "Inside the tub or shower stall, or straight above it";
        BATH_ZONE_EXCEPTION: BathZoneException = "bath_zone_exception", YesNo, [bool], "A listed exception to the bath and shower zone applies";
        DEDICATED_APPLIANCE: DedicatedAppliance = "dedicated_appliance", YesNo, [bool], "Feeds an appliance that has its own space and is not easily moved";
        PART_OF_EQUIPMENT: PartOfEquipment = "part_of_equipment", YesNo, [bool], "Built into a luminaire or an appliance";
        OBSTRUCTION_DEPTH: ObstructionDepth = "obstruction_depth", Length, [Length], "Depth of what a person has to reach over";
        REACH_EXEMPT: ReachExempt = "reach_exempt", YesNo, [bool], "Not held to the reach range: dedicated, for service only, redundant, or in an employee work area";
        BED_LOCATION: BedLocation = "bed_location", Text, [Text], "Patient bed location that the receptacle belongs to";
        CARE_CATEGORY: CareCategory = "care_category", Word, [CareCategory], "Care category of that bed location; 1 used to be called critical, 2 general";
    }
    responsibility {
        TRADE: Trade = "trade", Text, [Text], "Trade that installed the outlet or has to correct it";
        INSTALLER: Installer = "installer", Text, [Text], "Company that installed it";
        OBSERVED_ON: ObservedOn = "observed_on", Date, [Date], "Day on which the facts were observed";
        OBSERVED_BY: ObservedBy = "observed_by", Text, [Text], "Person who observed them";
        EVIDENCE: Evidence = "evidence", Text, [Text], "Photograph or note that shows them";
    }
    basis {
        EDITION: Edition = "edition", Word, [Edition], "Edition of NFPA 70 that governs; other for another code or a year not offered here";
        PERMIT_DATE: PermitDate = "permit_date", Date, [Date], "Day of the permit";
        WORK: Work = "work", Word, [Work], "New, left as it was, replaced, or added to a circuit";
    }
    device {
        DEVICE: Device = "device", Word, [Device], "Kind of device; a combination has a receptacle and a switch on one yoke";
        CONFIGURATION: Configuration = "configuration", Configuration, [Configuration], "NEMA WD 6 configuration: 5-20R, L6-30R";
        RECEPTACLES_ON_YOKE: ReceptaclesOnYoke = "receptacles_on_yoke", Count, [u16], "Receptacles on the yoke: single 1, duplex 2, quad 4";
        DEVICE_GANGS: DeviceGangs = "device_gangs", Count, [u16], "Gangs that the device is wide";
        DEVICE_AMPS: DeviceAmps = "device_amps", Current, [Milli], "Amperes that the device is rated for";
        DEVICE_VOLTS: DeviceVolts = "device_volts", Voltage, [Milli], "Volts that the device is rated for";
        LISTED_FOR: ListedFor = "listed_for", Words, [Set<Listing>], "Special uses that the listing covers; none stands by itself";
        TAMPER_RESISTANT: TamperResistant = "tamper_resistant", YesNo, [bool], "Listed as tamper-resistant";
        WEATHER_RESISTANT: WeatherResistant = "weather_resistant", YesNo, [bool], "Listed as weather-resistant";
        HOSPITAL_GRADE: HospitalGrade = "hospital_grade", YesNo, [bool], "Listed as hospital grade";
        ISOLATED_GROUND: IsolatedGround = "isolated_ground", YesNo, [bool], "Of the isolated-ground type";
        ISOLATED_GROUND_MARK: IsolatedGroundMark = "isolated_ground_mark", YesNo, [bool], "Orange triangle on the face";
        CONTROLLED: Controlled = "controlled", YesNo, [bool], "Switched off automatically to save energy";
        CONTROLLED_MARK: ControlledMark = "controlled_mark", Word, [ControlledMark], "Marking that says so";
        CONTROLLED_MARK_ON: ControlledMarkOn = "controlled_mark_on", Word, [MarkOn], "Place of that marking";
        NO_GROUND_LABEL: NoGroundLabel = "no_ground_label", Word, [Label], "Place of the label that there is no equipment ground";
        GFCI_LABEL: GfciLabel = "gfci_label", Word, [Label], "Place of the label that the outlet is GFCI protected";
        GFCI: Gfci = "gfci", YesNo, [bool], "Protected by a GFCI: in the device, upstream of it, or at the breaker";
        GFCI_IN_DEVICE: GfciInDevice = "gfci_in_device", YesNo, [bool], "The receptacle is itself a GFCI";
        GFCI_EXCEPTION: GfciException = "gfci_exception", YesNo, [bool], "A listed exception to ground-fault protection applies";
        AFCI: Afci = "afci", YesNo, [bool], "Protected against arc faults";
        AFCI_EXCEPTION: AfciException = "afci_exception", YesNo, [bool], "A listed exception to arc-fault protection applies";
    }
    supply {
        PANEL: Panel = "panel", Text, [Text], "Panel that the circuit starts from";
        CIRCUIT: Circuit = "circuit", Text, [Text], "Number of the circuit";
        SUPPLY: Supply = "supply", Text, [Text], "Transformer or service behind the panel; each is one system";
        SYSTEM: System = "system", Word, [System], "Supply system";
        PHASES: Phases = "phases", Words, [Set<Conductor>], "Conductors at the device; the legs of 120/240 are A and C";
        VOLTS: Volts = "volts", Voltage, [Milli], "Nominal volts of the circuit at the device: to neutral on one hot conductor, between hots on two or three";
        CIRCUIT_AMPS: CircuitAmps = "circuit_amps", Current, [Milli], "Amperes of the branch circuit";
        INDIVIDUAL_CIRCUIT: IndividualCircuit = "individual_circuit", YesNo, [bool], "The circuit feeds this one piece of equipment and no other";
        GROUND_PRESENT: GroundPresent = "ground_present", YesNo, [bool], "Equipment grounding conductor in the box";
        BONDING: Bonding = "bonding", Word, [Bonding], "Connection of the grounding contact to the box";
    }
    enclosure {
        ENCLOSURE_ID: EnclosureId = "enclosure_id", Text, [Text], "Box that ganged devices share; a device without one is alone in its box";
        GANG: Gang = "gang", Count, [u16], "Place in the box, counted from the left";
        BARRIER: Barrier = "barrier", Word, [Barrier], "Divider to the right of the device; secured means identified for the use and fixed. In a box of two either row may record the one divider";
        BOX: Box = "box", Word, [BoxKind], "Kind of box or assembly";
        BOX_IDENTIFIED: BoxIdentified = "box_identified", YesNo, [bool], "The box or assembly is identified for the use";
        BOX_FASTENED: BoxFastened = "box_fastened", YesNo, [bool], "The box is fastened in place";
        BOX_MATERIAL: BoxMaterial = "box_material", Word, [Material], "Material of the box";
        BOX_MOUNT: BoxMount = "box_mount", Word, [BoxMount], "Set flush into the finish or on its surface";
        BOX_SIZE: BoxSize = "box_size", Text, [Text], "Trade size: 4 x 2-1/8 square";
        BOX_GANGS: BoxGangs = "box_gangs", Count, [u16], "Gangs of the box";
        BOX_VOLUME: BoxVolume = "box_volume", Volume, [Volume], "Volume that is marked on the box, never the figure of a table";
        EXTRA_VOLUME: ExtraVolume = "extra_volume", Volume, [Volume], "Volume marked on rings, extensions and raised covers";
        WIRES_18: Wires18 = "wires_18", Count, [u16], "18 AWG conductors that are counted once";
        WIRES_16: Wires16 = "wires_16", Count, [u16], "16 AWG conductors that are counted once";
        WIRES_14: Wires14 = "wires_14", Count, [u16], "14 AWG conductors that are counted once";
        WIRES_12: Wires12 = "wires_12", Count, [u16], "12 AWG conductors that are counted once";
        WIRES_10: Wires10 = "wires_10", Count, [u16], "10 AWG conductors that are counted once";
        WIRES_8: Wires8 = "wires_8", Count, [u16], "8 AWG conductors that are counted once";
        WIRES_6: Wires6 = "wires_6", Count, [u16], "6 AWG conductors that are counted once";
        DEVICE_WIRE: DeviceWire = "device_wire", Awg, [Gauge], "Largest conductor on the terminals of the device";
        GROUND_WIRES: GroundWires = "ground_wires", Count, [u16], "Equipment grounding conductors in the box, without isolated ones";
        GROUND_WIRE_SIZE: GroundWireSize = "ground_wire_size", Awg, [Gauge], "Largest of the equipment grounding conductors";
        ISOLATED_GROUND_WIRES: IsolatedGroundWires = "isolated_ground_wires", Count, [u16], "Isolated equipment grounding conductors in the box";
        CLAMPS: Clamps = "clamps", YesNo, [bool], "Cable clamps inside the box";
        FITTINGS: Fittings = "fittings", Count, [u16], "Kinds of support fitting inside the box: studs, hickeys";
        TERMINAL_BLOCKS: TerminalBlocks = "terminal_blocks", Count, [u16], "Terminal blocks in the box";
        TERMINAL_BLOCK_WIRE: TerminalBlockWire = "terminal_block_wire", Awg, [Gauge], "Largest conductor on a terminal block";
    }
    mounting {
        BOX_SET_BACK: BoxSetBack = "box_set_back", Length, [Length], "How far the front edge of box, ring or extender stands behind the finished surface; in front of it is negative";
        SURFACE: Surface = "surface", Word, [Surface], "Finish material at the box";
        SURFACE_COMBUSTIBLE: SurfaceCombustible = "surface_combustible", YesNo, [bool], "Whether that finish burns, when it is not as its material implies";
        WALL_GAP: WallGap = "wall_gap", Length, [Length], "Widest gap between the box and the finish";
        MOUNTED_ON: MountedOn = "mounted_on", Word, [MountedOn], "What carries the receptacle";
        YOKE_SEAT: YokeSeat = "yoke_seat", Word, [YokeSeat], "What the yoke is held rigidly against";
        COVER_SCREWS: CoverScrews = "cover_screws", Count, [u16], "Screws that hold a cover-mounted receptacle to its cover";
        SINGLE_SCREW_COVER: SingleScrewCover = "single_screw_cover", YesNo, [bool], "Cover or assembly listed and identified for a single screw";
        DEVICE_SCREW: DeviceScrew = "device_screw", Word, [DeviceScrew], "Screws that hold the device to its box";
        THREADS_PER_INCH: ThreadsPerInch = "threads_per_inch", Count, [u16], "Threads to the inch of those screws";
        STRAIN_RELIEF: StrainRelief = "strain_relief", YesNo, [bool], "Pendant box: no strain on the conductors";
        HUB: Hub = "hub", YesNo, [bool], "Pendant box: has a threaded hub";
    }
    plate {
        FACEPLATE: Faceplate = "faceplate", YesNo, [bool], "A faceplate or cover is in place";
        FACEPLATE_MATERIAL: FaceplateMaterial = "faceplate_material", Word, [Material], "Material of the faceplate";
        FACEPLATE_COVERS: FaceplateCovers = "faceplate_covers", YesNo, [bool], "The faceplate closes the whole opening";
        FACEPLATE_SEATED: FaceplateSeated = "faceplate_seated", YesNo, [bool], "The faceplate seats against the mounting surface";
        FACE_PROJECTION: FaceProjection = "face_projection", Length, [Length], "How far the face of the receptacle stands out of the faceplate; recessed is negative";
        FACE_KIT: FaceKit = "face_kit", YesNo, [bool], "Listed kit or plate to which the rule for the face does not apply";
        TERMINALS_EXPOSED: TerminalsExposed = "terminals_exposed", YesNo, [bool], "Live terminals can be touched";
        WEATHER_COVER: WeatherCover = "weather_cover", Word, [WeatherCover], "Closed keeps the weather out with the plug out; in-use with the plug in as well";
        WASHDOWN: Washdown = "washdown", YesNo, [bool], "Washed regularly under high pressure";
        ATTENDED_USE: AttendedUse = "attended_use", YesNo, [bool], "Whatever is plugged in is attended while it is used";
        COVER_IS_HOOD: CoverIsHood = "cover_is_hood", YesNo, [bool], "The weather cover is an outlet box hood";
        EXTRA_DUTY: ExtraDuty = "extra_duty", YesNo, [bool], "The hood is listed and marked extra duty";
    }
}

/// The array of each field, close together: it is asked for with every fact.
const STORES: [Store; ALL.len()] = {
    let mut stores = [Store::Byte; ALL.len()];
    let mut field = 0;
    while field < ALL.len() {
        stores[field] = INFO[field].kind.store();
        field += 1;
    }
    stores
};

/// Place of each field in its array, and the lengths of the arrays.
const SLOTS: ([u8; ALL.len()], [usize; 5]) = {
    let mut slots = [0; ALL.len()];
    let mut lengths = [0; 5];
    let mut field = 0;
    while field < ALL.len() {
        let store = STORES[field] as usize;
        #[expect(clippy::cast_possible_truncation, reason = "fewer fields than a byte counts")]
        {
            slots[field] = lengths[store] as u8;
        }
        lengths[store] += 1;
        field += 1;
    }
    (slots, lengths)
};

/// How many fields an array of an outlet holds.
pub(super) const fn length_of(store: Store) -> usize {
    SLOTS.1[store as usize]
}

impl Field {
    /// Every field, in the order of the model.
    pub const ALL: &'static [Self] = ALL;

    /// What the model says of it.
    pub const fn info(self) -> &'static FieldInfo {
        &INFO[self as usize]
    }

    /// The field of a name.
    pub fn named(name: &str) -> Option<Self> {
        ALL.iter().copied().find(|field| field.name() == name)
    }

    /// Its name: the canonical header of a schedule.
    pub const fn name(self) -> &'static str {
        self.info().name
    }

    /// What may stand in it.
    pub const fn kind(self) -> Kind {
        self.info().kind
    }

    /// The field of this name.
    pub fn of(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|field| field.name() == name)
    }

    /// Whether it is a length, a volume, a rating or a day: what outlets keep apart from their words.
    pub const fn is_figure(self) -> bool {
        matches!(self.store(), Store::Number | Store::Long)
    }

    pub(super) const fn store(self) -> Store {
        STORES[self as usize]
    }

    pub(super) const fn slot(self) -> usize {
        SLOTS.0[self as usize] as usize
    }
}
