//! Words of the place: rooms, occupancies, where a device is mounted, which way it looks.

use super::Row;
use crate::outlet::Field;

pub(super) const fn of(field: Field) -> &'static [Row] {
    match field {
        Field::RoomUse => ROOM_USE,
        Field::Occupancy => OCCUPANCY,
        Field::MountingLocation => MOUNTING_LOCATION,
        Field::Facing => FACING,
        Field::Exposure => EXPOSURE,
        Field::CareCategory => CARE_CATEGORY,
        _ => &[],
    }
}

// Left out: hall, basement, toilet, gym, shop, flur, chambre, aula; each is two rooms of this list.
const ROOM_USE: &[Row] = &[
    ("kitchen", &["kitchens", "küche", "cocina", "cozinha"]),
    ("food-preparation", &["food prep", "food prep area", "food preparation area"]),
    ("buffet", &["buffet area", "buffet serving area"]),
    (
        "bathroom",
        &[
            "bath",
            "bathrooms",
            "bath room",
            "restroom",
            "washroom",
            "badezimmer",
            "baño",
            "salle de bain",
            "salle de bains",
            "banheiro",
        ],
    ),
    (
        "laundry",
        &["laundry room", "laundry area", "waschküche", "buanderie", "lavandería", "lavanderia"],
    ),
    ("garage", &["garages", "garaje", "garagem"]),
    ("service-bay", &["vehicle service bay", "service bays"]),
    ("outdoors", &["outdoor", "outside", "exterior", "außen", "aussen", "extérieur", "externo"]),
    ("rooftop", &["roof", "roof top", "dach", "toiture"]),
    ("crawl-space", &["crawlspace", "crawl spaces"]),
    ("basement-unfinished", &["unfinished basement"]),
    ("basement-finished", &["finished basement"]),
    ("boathouse", &["boat house", "bootshaus"]),
    ("bedroom", &["bed room", "bedrooms", "schlafzimmer", "quarto"]),
    ("living", &["living room", "wohnzimmer", "sala de estar"]),
    ("dining", &["dining room", "esszimmer", "salle à manger", "comedor", "sala de jantar"]),
    ("hallway", &["hallways"]),
    ("closet", &["closets"]),
    ("sunroom", &["sun room", "wintergarten"]),
    ("recreation", &["rec room", "recreation room"]),
    ("office", &["offices", "büro", "bureau", "oficina", "escritório"]),
    ("corridor", &["corridors", "korridor", "couloir", "pasillo", "corredor"]),
    ("lobby", &["lobbies"]),
    (
        "waiting-room",
        &["waiting", "waiting area", "wartezimmer", "salle d'attente", "sala de espera"],
    ),
    (
        "patient-sleeping",
        &["patient room", "patient bedroom", "patient sleeping room", "patientenzimmer"],
    ),
    (
        "operating-room",
        &[
            "operating theatre",
            "operating theater",
            "o.r.",
            "operationssaal",
            "bloc opératoire",
            "quirófano",
        ],
    ),
    ("exam-room", &["exam", "examination room", "untersuchungszimmer"]),
    (
        "classroom",
        &["class room", "classrooms", "klassenzimmer", "salle de classe", "sala de aula"],
    ),
    ("gymnasium", &["turnhalle", "gymnase", "gimnasio"]),
    ("auditorium", &["auditoriums", "auditoire"]),
    ("locker-room", &["locker", "lockers", "locker rooms"]),
    (
        "laboratory",
        &["lab", "labs", "laboratories", "labor", "laboratoire", "laboratorio", "laboratório"],
    ),
    ("mechanical", &["mech", "mechanical room", "mech room", "technikraum"]),
    ("storage", &["storage room", "storeroom", "store room", "lager", "lagerraum", "depósito"]),
    ("retail", &["retail space", "sales floor"]),
    ("other", &["others"]),
];

const OCCUPANCY: &[Row] = &[
    (
        "dwelling",
        &[
            "dwelling unit",
            "residence",
            "apartment",
            "condominium",
            "one family dwelling",
            "single family dwelling",
            "wohnung",
            "vivienda",
            "logement",
        ],
    ),
    ("dwelling-common", &["dwelling common area", "apartment common area"]),
    ("dormitory", &["dorm", "dormitory unit", "student housing", "wohnheim"]),
    ("guest-room", &["hotel room", "motel room", "guest suite", "hotel guest room"]),
    ("guest-common", &["hotel common area", "guest common area"]),
    ("child-care", &["childcare", "child care facility", "day care", "daycare", "kita", "crèche"]),
    ("preschool", &["pre-school", "nursery school", "vorschule"]),
    (
        "elementary-school",
        &["elementary", "primary school", "grundschule", "école primaire", "escuela primaria"],
    ),
    ("school", &["high school", "middle school", "secondary school"]),
    (
        "outpatient",
        &["outpatient clinic", "clinic", "medical office", "dental office", "doctor's office"],
    ),
    ("hospital", &["hospitals", "krankenhaus", "hôpital"]),
    ("psychiatric-hospital", &["psychiatric"]),
    ("nursing-home", &["nursing", "skilled nursing", "skilled nursing facility", "pflegeheim"]),
    ("limited-care", &["limited care facility"]),
    ("residential-care", &["assisted living", "residential care facility"]),
    ("foster-care", &["foster care facility"]),
    ("assembly", &["place of assembly", "assembly occupancy"]),
    ("transport-waiting", &["transportation waiting area", "transport waiting area"]),
    ("agricultural-public", &["agricultural building open to the public"]),
    ("business", &["office building", "business occupancy"]),
    ("mercantile", &["mercantile occupancy", "store", "retail store"]),
    ("industrial", &["factory", "industrial occupancy", "manufacturing"]),
    ("other", &["others"]),
];

const MOUNTING_LOCATION: &[Row] = &[
    (
        "wall",
        &[
            "walls",
            "in wall",
            "on wall",
            "wall mounted",
            "wall mount",
            "wand",
            "mur",
            "pared",
            "parede",
        ],
    ),
    ("column", &["columns", "pillar", "säule", "stütze", "colonne", "columna", "coluna"]),
    ("ceiling", &["clg", "ceiling mounted", "in ceiling", "decke", "plafond", "techo", "teto"]),
    (
        "floor",
        &["in floor", "floor mounted", "boden", "fußboden", "fussboden", "sol", "suelo", "piso"],
    ),
    ("countertop", &["counter top", "in countertop", "arbeitsplatte", "encimera"]),
    ("work-surface", &["worksurface", "in work surface"]),
    ("seating", &["seat", "bench seating"]),
    ("sink-base", &["sink base cabinet", "below sink", "under sink"]),
    ("furniture", &["in furniture", "möbel", "meuble", "mueble", "móvel"]),
    ("pendant", &["pendent", "pendant box", "hanging"]),
    ("other", &["others"]),
];

// Left out: horizontal and vertical, which say how the device is turned, not where its face looks;
// oben, unten and the like, which may say where on the wall it is.
const FACING: &[Row] = &[
    ("up", &["upward", "upwards", "face up", "facing up", "nach oben"]),
    ("down", &["downward", "downwards", "face down", "facing down", "nach unten"]),
    ("side", &["sideways", "sidewards", "facing sideways", "seitlich"]),
    ("tilted", &["angled", "inclined", "sloped", "schräg", "geneigt", "incliné", "inclinado"]),
];

const EXPOSURE: &[Row] = &[
    ("dry", &["dry location", "trocken", "seco"]),
    ("damp", &["damp location", "feucht", "humide", "húmedo", "úmido"]),
    ("wet", &["wet location", "nass", "mouillé", "mojado", "molhado"]),
];

// General and critical: names of the editions before the categories; basic and support were 3 and 4.
const CARE_CATEGORY: &[Row] = &[
    (
        "category-1",
        &[
            "1",
            "cat 1",
            "cat. 1",
            "category i",
            "cat i",
            "critical",
            "critical care",
            "critical care area",
        ],
    ),
    (
        "category-2",
        &[
            "2",
            "cat 2",
            "cat. 2",
            "category ii",
            "cat ii",
            "general",
            "general care",
            "general care area",
        ],
    ),
    ("category-3", &["3", "cat 3", "cat. 3", "category iii", "cat iii", "basic care"]),
    ("category-4", &["4", "cat 4", "cat. 4", "category iv", "cat iv", "support space"]),
];
