//! Words of the basis and of the device: editions, work, kinds of device, listings, markings.

use super::Row;
use crate::outlet::Field;

pub(super) const fn of(field: Field) -> &'static [Row] {
    match field {
        Field::Edition => EDITION,
        Field::Work => WORK,
        Field::Device => DEVICE,
        Field::ListedFor => LISTED_FOR,
        Field::ControlledMark => CONTROLLED_MARK,
        Field::ControlledMarkOn => MARK_ON,
        Field::NoGroundLabel | Field::GfciLabel => LABEL,
        _ => &[],
    }
}

/// The ways of naming an edition, and the bare year where that is not the canonical word.
macro_rules! editions {
    ($($year:literal $($bare:literal)?),+) => {
        &[$($($bare,)? concat!("nec ", $year), concat!("nec", $year), concat!($year, " nec"),
            concat!($year, " edition"), concat!("nec ", $year, " edition"),
            concat!($year, " edition nec"), concat!("nfpa 70 ", $year),
            concat!("nfpa 70: ", $year), concat!("nfpa 70:", $year),
            concat!("nfpa 70, ", $year), concat!("nfpa 70 (", $year, ")"),
            concat!($year, " nfpa 70"),)+]
    };
}

/// The ways of naming the editions that are not offered, and codes of other countries.
const OTHER_EDITION: &[&str] = editions!(
    "1999" "1999", "2002" "2002", "2005" "2005", "2008" "2008", "2011" "2011", "2026" "2026"
);

// Left out: CEC, which is the code of California, on NFPA 70, as well as that of Canada.
const EDITION: &[Row] = &[
    ("2014", editions!("2014")),
    ("2017", editions!("2017")),
    ("2020", editions!("2020")),
    ("2023", editions!("2023")),
    ("other", OTHER_EDITION),
];

// Left out: remodel, alteration, relocated; any of the four may be meant.
const WORK: &[Row] = &[
    (
        "new",
        &[
            "(n)",
            "new work",
            "new construction",
            "new installation",
            "neu",
            "neuf",
            "nuevo",
            "novo",
        ],
    ),
    (
        "existing",
        &["(e)", "exist", "existing to remain", "etr", "bestand", "existant", "existente"],
    ),
    ("replacement", &["replaced", "replace in kind", "ersatz", "reemplazo"]),
    ("extension", &["extended", "circuit extension", "branch circuit extension", "erweiterung"]),
];

const DEVICE: &[Row] = &[
    (
        "receptacle",
        &[
            "receptacles",
            "recept",
            "recep",
            "rcpt",
            "recpt",
            "receptacle outlet",
            "outlet",
            "outlets",
            "power outlet",
            "convenience outlet",
            "convenience receptacle",
            "duplex",
            "duplex receptacle",
            "duplex recept",
            "duplex outlet",
            "simplex receptacle",
            "single receptacle",
            "quad receptacle",
            "quadruplex receptacle",
            "gfci receptacle",
            "gfi receptacle",
            "gfci outlet",
            "socket",
            "socket outlet",
            "steckdose",
            "prise",
            "prise de courant",
            "tomacorriente",
            "tomada",
        ],
    ),
    (
        "switch",
        &[
            "switches",
            "sw",
            "toggle",
            "toggle switch",
            "light switch",
            "lighting switch",
            "wall switch",
            "snap switch",
            "single pole switch",
            "double pole switch",
            "3 way switch",
            "three way switch",
            "4 way switch",
            "four way switch",
            "schalter",
            "lichtschalter",
            "interrupteur",
            "interruptor",
        ],
    ),
    ("dimmer", &["dimmers", "dimmer switch", "dimming switch", "wall dimmer", "variateur"]),
    (
        "combination",
        &[
            "combo",
            "combination device",
            "combination switch and receptacle",
            "combination switch/receptacle",
            "combination receptacle and switch",
            "switch/receptacle",
            "switch and receptacle",
            "receptacle/switch",
            "receptacle and switch",
            "switch receptacle combination",
            "switch receptacle combo",
        ],
    ),
    (
        "sensor",
        &[
            "sensors",
            "occupancy sensor",
            "occ sensor",
            "vacancy sensor",
            "motion sensor",
            "wall switch sensor",
            "bewegungsmelder",
            "präsenzmelder",
        ],
    ),
    ("pilot-light", &["pilot", "pilot lamp", "indicator light", "indicator lamp"]),
    ("other", &["others"]),
];

const LISTED_FOR: &[Row] = &[
    (
        "countertop",
        &["counter top", "countertops", "listed for countertops", "listed for countertop"],
    ),
    (
        "work-surface",
        &["worksurface", "work surfaces", "listed for work surfaces", "listed for work surface"],
    ),
    (
        "furniture-power",
        &["fpdu", "furniture power distribution unit", "furniture power distribution"],
    ),
    ("furnishing", &["furnishings", "household furnishing", "commercial furnishing"]),
    ("floor-box", &["floorbox", "floor boxes"]),
];

const CONTROLLED_MARK: &[Row] = &[
    ("none", &["no", "not marked", "unmarked"]),
    ("symbol", &["symbol only"]),
    (
        "symbol-and-word",
        &[
            "symbol and the word",
            "symbol + word",
            "symbol & word",
            "symbol and controlled",
            "symbol and word controlled",
        ],
    ),
];

const MARK_ON: &[Row] = &[
    ("face", &["receptacle face", "device face", "on face", "on receptacle"]),
    ("plate", &["faceplate", "cover plate", "wall plate", "on plate"]),
];

const LABEL: &[Row] = &[
    ("none", &["no", "no label", "not labeled", "not labelled", "unlabeled", "unlabelled"]),
    ("receptacle", &["on receptacle", "device", "on device"]),
    ("plate", &["faceplate", "cover plate", "wall plate", "on plate"]),
];
