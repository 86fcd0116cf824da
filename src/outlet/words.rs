//! The words of the model: each vocabulary of the outlet's facts as a small enum.
//!
//! Owns the canonical spelling of every word and nothing else: what a schedule writes instead
//! (synonyms, other languages) is the business of the mapping room. A new word is one line here.

use super::value::{Value, Word};

/// Declares a vocabulary: an enum of one byte with its words in the order of the model.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($variant:ident = $word:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
        #[repr(u8)]
        pub enum $name {
            $(#[doc = concat!("`", $word, "`")] $variant,)+
        }

        impl Word for $name {
            const ALL: &'static [Self] = &[$(Self::$variant,)+];
            const WORDS: &'static [&'static str] = &[$($word,)+];

            fn index(self) -> usize {
                self as usize
            }
        }

        impl Value for $name {
            fn from_raw(raw: i64) -> Self {
                Self::ALL[usize::try_from(raw).unwrap_or_default()]
            }

            fn raw(self) -> i64 {
                self as i64
            }
        }
    };
}

words! {
    /// What a room is used for.
    RoomUse {
        Kitchen = "kitchen",
        FoodPreparation = "food-preparation",
        Buffet = "buffet",
        Bathroom = "bathroom",
        Laundry = "laundry",
        Garage = "garage",
        ServiceBay = "service-bay",
        Outdoors = "outdoors",
        Rooftop = "rooftop",
        CrawlSpace = "crawl-space",
        BasementUnfinished = "basement-unfinished",
        BasementFinished = "basement-finished",
        Boathouse = "boathouse",
        Bedroom = "bedroom",
        Living = "living",
        Dining = "dining",
        Hallway = "hallway",
        Closet = "closet",
        Sunroom = "sunroom",
        Recreation = "recreation",
        Office = "office",
        Corridor = "corridor",
        Lobby = "lobby",
        WaitingRoom = "waiting-room",
        PatientSleeping = "patient-sleeping",
        OperatingRoom = "operating-room",
        ExamRoom = "exam-room",
        Classroom = "classroom",
        Gymnasium = "gymnasium",
        Auditorium = "auditorium",
        LockerRoom = "locker-room",
        Laboratory = "laboratory",
        Mechanical = "mechanical",
        Storage = "storage",
        Retail = "retail",
        Other = "other",
    }
}

words! {
    /// What the building or unit is.
    Occupancy {
        Dwelling = "dwelling",
        DwellingCommon = "dwelling-common",
        Dormitory = "dormitory",
        GuestRoom = "guest-room",
        GuestCommon = "guest-common",
        ChildCare = "child-care",
        Preschool = "preschool",
        ElementarySchool = "elementary-school",
        School = "school",
        Outpatient = "outpatient",
        Hospital = "hospital",
        PsychiatricHospital = "psychiatric-hospital",
        NursingHome = "nursing-home",
        LimitedCare = "limited-care",
        ResidentialCare = "residential-care",
        FosterCare = "foster-care",
        Assembly = "assembly",
        TransportWaiting = "transport-waiting",
        AgriculturalPublic = "agricultural-public",
        Business = "business",
        Mercantile = "mercantile",
        Industrial = "industrial",
        Other = "other",
    }
}

words! {
    /// The thing an outlet is mounted in or on.
    MountingLocation {
        Wall = "wall",
        Column = "column",
        Ceiling = "ceiling",
        Floor = "floor",
        Countertop = "countertop",
        WorkSurface = "work-surface",
        Seating = "seating",
        SinkBase = "sink-base",
        Furniture = "furniture",
        Pendant = "pendant",
        Other = "other",
    }
}

words! {
    /// Where the face of the device points.
    Facing {
        Up = "up",
        Down = "down",
        Side = "side",
        Tilted = "tilted",
    }
}

words! {
    /// Dry, damp or wet location.
    Exposure {
        Dry = "dry",
        Damp = "damp",
        Wet = "wet",
    }
}

words! {
    /// Care category of a patient bed location.
    CareCategory {
        Category1 = "category-1",
        Category2 = "category-2",
        Category3 = "category-3",
        Category4 = "category-4",
    }
}

words! {
    /// Edition of NFPA 70 that governs an outlet; `Other` is another code, or a year that is not offered.
    Edition {
        E2014 = "2014",
        E2017 = "2017",
        E2020 = "2020",
        E2023 = "2023",
        Other = "other",
    }
}

words! {
    /// How the outlet came about.
    Work {
        New = "new",
        Existing = "existing",
        Replacement = "replacement",
        Extension = "extension",
    }
}

words! {
    /// Kind of device; a combination is a receptacle and a switch on one yoke.
    Device {
        Receptacle = "receptacle",
        Switch = "switch",
        Dimmer = "dimmer",
        Combination = "combination",
        Sensor = "sensor",
        PilotLight = "pilot-light",
        Other = "other",
    }
}

words! {
    /// A special use that the listing of a device covers.
    Listing {
        Countertop = "countertop",
        WorkSurface = "work-surface",
        FurniturePower = "furniture-power",
        Furnishing = "furnishing",
        FloorBox = "floor-box",
    }
}

words! {
    /// Marking of an automatically controlled receptacle.
    ControlledMark {
        None = "none",
        Symbol = "symbol",
        SymbolAndWord = "symbol-and-word",
    }
}

words! {
    /// Where such a marking stands.
    MarkOn {
        Face = "face",
        Plate = "plate",
    }
}

words! {
    /// Where a required label stands.
    Label {
        None = "none",
        Receptacle = "receptacle",
        Plate = "plate",
    }
}

words! {
    /// Supply system, by its nominal voltages.
    System {
        SplitPhase120 = "120/240",
        Wye208 = "208Y/120",
        Wye480 = "480Y/277",
        Wye600 = "600Y/347",
        HighLeg240 = "240/120-high-leg",
        Delta240 = "240-delta",
        CornerDelta240 = "240-delta-corner",
        Delta480 = "480-delta",
        CornerDelta480 = "480-delta-corner",
    }
}

words! {
    /// A supply conductor at the device.
    Conductor {
        A = "A",
        B = "B",
        C = "C",
        N = "N",
    }
}

words! {
    /// How the grounding contact is bonded to the box.
    Bonding {
        Jumper = "jumper",
        SelfGrounding = "self-grounding",
        MetalToMetal = "metal-to-metal",
        Isolated = "isolated",
        None = "none",
    }
}

words! {
    /// Divider between neighbouring devices.
    Barrier {
        None = "none",
        Unsecured = "unsecured",
        Secured = "secured",
    }
}

words! {
    /// Kind of box or assembly.
    BoxKind {
        DeviceBox = "device-box",
        Square = "square",
        Octagon = "octagon",
        Masonry = "masonry",
        FloorBox = "floor-box",
        Fs = "fs",
        Fd = "fd",
        Raceway = "raceway",
        Assembly = "assembly",
        None = "none",
    }
}

words! {
    /// Metal or not.
    Material {
        Metal = "metal",
        Nonmetallic = "nonmetallic",
    }
}

words! {
    /// Whether the box is flush in the finish or on it.
    BoxMount {
        Flush = "flush",
        Surface = "surface",
    }
}

words! {
    /// Finish material at the box.
    Surface {
        Gypsum = "gypsum",
        Plaster = "plaster",
        Tile = "tile",
        Concrete = "concrete",
        Masonry = "masonry",
        Stone = "stone",
        Glass = "glass",
        Metal = "metal",
        Wood = "wood",
        Plywood = "plywood",
        Mdf = "mdf",
        Laminate = "laminate",
        Vinyl = "vinyl",
        Frp = "frp",
        Fabric = "fabric",
        AcousticTile = "acoustic-tile",
        Other = "other",
    }
}

words! {
    /// What carries the receptacle.
    MountedOn {
        Box = "box",
        Cover = "cover",
        Assembly = "assembly",
    }
}

words! {
    /// What the yoke is held rigidly against.
    YokeSeat {
        Surface = "surface",
        Box = "box",
        Cover = "cover",
        Loose = "loose",
    }
}

words! {
    /// Screws that hold the device to the box.
    DeviceScrew {
        Supplied = "supplied",
        Machine = "machine",
        Drywall = "drywall",
        Wood = "wood",
        SheetMetal = "sheet-metal",
        ListedSystem = "listed-system",
        Other = "other",
    }
}

words! {
    /// Cover of an outlet in a damp or wet location.
    WeatherCover {
        None = "none",
        Closed = "closed",
        InUse = "in-use",
    }
}
