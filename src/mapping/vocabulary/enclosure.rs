//! Words of the box, of its mounting and of the plate, and words that stand for a count.

use super::Row;
use crate::outlet::Field;

pub(super) const fn of(field: Field) -> &'static [Row] {
    match field {
        Field::Barrier => BARRIER,
        Field::Box => BOX,
        Field::BoxMaterial | Field::FaceplateMaterial => MATERIAL,
        Field::BoxMount => BOX_MOUNT,
        Field::Surface => SURFACE,
        Field::MountedOn => MOUNTED_ON,
        Field::YokeSeat => YOKE_SEAT,
        Field::DeviceScrew => DEVICE_SCREW,
        Field::WeatherCover => WEATHER_COVER,
        _ => &[],
    }
}

/// The words that stand for a count in a field.
pub(super) const fn counts(field: Field) -> &'static [(i64, &'static [&'static str])] {
    match field {
        Field::ReceptaclesOnYoke => &[
            (1, &["single", "simplex", "one"]),
            (2, &["duplex", "two"]),
            (3, &["triplex", "three"]),
            (4, &["quad", "quadruplex", "fourplex", "four"]),
        ],
        Field::DeviceGangs | Field::BoxGangs => &[
            (1, &["single", "single gang", "one", "one gang"]),
            (2, &["double", "double gang", "two", "two gang"]),
            (3, &["triple", "triple gang", "three", "three gang"]),
            (4, &["four", "four gang"]),
        ],
        _ => &[],
    }
}

const BARRIER: &[Row] = &[
    ("none", &["no", "no barrier", "no divider"]),
    ("unsecured", &["not secured", "loose", "unfastened"]),
    ("secured", &["identified and secured"]),
];

// Left out: 4 square extension and mud ring, which are no box; handy box, gem box and utility box are
// names of device boxes in common use.
const BOX: &[Row] = &[
    ("device-box", &["switch box", "gem box", "handy box", "utility box", "gerätedose"]),
    ("square", &["square box", "4 square", "4 square box", "4 in square", "4\" square"]),
    ("octagon", &["octagon box", "octagonal", "octagonal box"]),
    ("masonry", &["masonry box"]),
    ("floor-box", &["floorbox", "bodendose"]),
    ("fs", &["fs box", "type fs"]),
    ("fd", &["fd box", "type fd"]),
    ("raceway", &["surface raceway"]),
    ("assembly", &["listed assembly"]),
    ("none", &["no", "no box", "keine"]),
];

const MATERIAL: &[Row] = &[
    (
        "metal",
        &[
            "metallic",
            "steel",
            "galvanized steel",
            "galvanised steel",
            "stainless",
            "stainless steel",
            "ss",
            "aluminum",
            "aluminium",
            "alum",
            "brass",
            "cast iron",
            "cast metal",
            "metall",
            "stahl",
            "métal",
            "acier",
            "acero",
            "aço",
        ],
    ),
    (
        "nonmetallic",
        &[
            "non-metallic",
            "plastic",
            "pvc",
            "nylon",
            "polycarbonate",
            "thermoplastic",
            "thermoset",
            "fiberglass",
            "fibreglass",
            "phenolic",
            "kunststoff",
            "plastique",
            "plástico",
        ],
    ),
];

const BOX_MOUNT: &[Row] = &[
    (
        "flush",
        &[
            "flush mounted",
            "flush mount",
            "in wall",
            "concealed",
            "unterputz",
            "encastré",
            "empotrado",
            "embutido",
        ],
    ),
    ("surface", &["surface mounted", "surface mount", "aufputz", "en saillie", "sobrepor"]),
];

// Left out: board, panel, block, brick veneer, stucco over wood; the finish is not told by them.
const SURFACE: &[Row] = &[
    (
        "gypsum",
        &[
            "drywall",
            "dry wall",
            "gyp",
            "gyp bd",
            "gyp board",
            "gypsum board",
            "gwb",
            "gypsum wallboard",
            "wallboard",
            "plasterboard",
            "gipskarton",
            "placo-plâtre",
        ],
    ),
    ("plaster", &["lath and plaster", "plastered", "putz", "plâtre"]),
    (
        "tile",
        &["ceramic tile", "porcelain tile", "tiles", "fliesen", "fliese", "carrelage", "azulejo"],
    ),
    ("concrete", &["conc", "beton", "béton", "hormigón", "concreto"]),
    (
        "masonry",
        &["cmu", "brick", "concrete block", "mauerwerk", "maçonnerie", "mampostería", "alvenaria"],
    ),
    ("stone", &["natural stone", "granite", "marble", "stein", "pierre", "piedra", "pedra"]),
    ("glass", &["glas", "verre", "vidrio", "vidro"]),
    ("metal", &["steel", "sheet metal", "metal panel", "metall", "métal"]),
    (
        "wood",
        &[
            "solid wood",
            "timber",
            "wood panel",
            "wood paneling",
            "wood panelling",
            "holz",
            "bois",
            "madera",
            "madeira",
        ],
    ),
    ("plywood", &["ply", "plywd", "sperrholz", "contreplaqué"]),
    ("mdf", &["medium density fiberboard", "medium density fibreboard"]),
    ("laminate", &["plastic laminate", "plam", "p lam", "laminat", "stratifié"]),
    ("vinyl", &["vinyl wall covering", "vinyl wallcovering", "vwc"]),
    (
        "frp",
        &[
            "fiberglass reinforced plastic",
            "fibreglass reinforced plastic",
            "fiberglass reinforced panel",
        ],
    ),
    ("fabric", &["fabric panel", "fabric wrapped panel", "stoff", "tissu", "tela", "tecido"]),
    ("acoustic-tile", &["acoustical tile", "acoustic ceiling tile", "acoustical ceiling tile"]),
    ("other", &["others"]),
];

const MOUNTED_ON: &[Row] = &[
    ("box", &["on box", "to box", "dose"]),
    ("cover", &["on cover", "raised cover", "box cover"]),
    ("assembly", &["listed assembly"]),
];

const YOKE_SEAT: &[Row] = &[
    ("surface", &["wall", "finished surface", "wall surface", "against surface", "against wall"]),
    ("box", &["on box", "against box", "box ears"]),
    ("cover", &["on cover", "against cover", "raised cover"]),
    ("loose", &["not held", "floating", "not seated", "not secure", "lose"]),
];

const DEVICE_SCREW: &[Row] = &[
    (
        "supplied",
        &["supplied with device", "factory", "original", "furnished with device", "with device"],
    ),
    ("machine", &["machine screw", "machine screws", "6-32", "6/32", "#6-32", "maschinenschraube"]),
    ("drywall", &["drywall screw", "drywall screws"]),
    ("wood", &["wood screw", "wood screws", "holzschraube"]),
    (
        "sheet-metal",
        &[
            "sheet metal screw",
            "sheet metal screws",
            "self tapping",
            "self tapping screw",
            "blechschraube",
        ],
    ),
    ("listed-system", &["listed fastening system", "part of listed system"]),
    ("other", &["others"]),
];

// Left out: weatherproof and WP, which do not say whether with the plug in or out.
const WEATHER_COVER: &[Row] = &[
    ("none", &["no", "no cover"]),
    (
        "closed",
        &[
            "weatherproof closed",
            "weatherproof when closed",
            "weatherproof cover closed",
            "weatherproof plug out",
        ],
    ),
    (
        "in-use",
        &[
            "in use cover",
            "while in use",
            "while in use cover",
            "weatherproof in use",
            "weatherproof while in use",
            "extra duty in use",
        ],
    ),
];
