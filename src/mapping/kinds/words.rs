//! The words by which kinds of device are told, in English, German, French, Spanish and Portuguese.
//!
//! A phrase is written in lower case without accents, its words parted by blanks; plurals need no line.
//! A star in front makes a word the end of German compounds. Of two phrases at one place the longer
//! counts, so that what must not be taken for a device is written out: `network switch`.

use std::sync::LazyLock;

use crate::outlet::words::Device;

/// What a phrase says.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Class {
    /// A device, whatever it feeds.
    Strong(Device),
    /// A device, unless a word beside it says otherwise: `outlet`, `switch`.
    Weak(Device),
    /// What an outlet is for when it is not for power; the reason.
    Qualifier(&'static str),
    /// What an outlet may feed or carry.
    Signal,
    /// It may be a device or not, for this reason.
    Doubt(&'static str),
    /// A thing that is no device, or a device of something else; the reason.
    Thing(&'static str),
    /// Such a thing that also comes with a device, as its part or its feed.
    Part(&'static str),
    /// "And": what follows is one thing more.
    Joint,
    /// "For": what follows is not the thing itself.
    Purpose,
    /// "Without".
    Negation,
    /// Words that must not be taken for others: `rec room`.
    Nothing,
}

/// A phrase of the tables.
pub(super) struct Phrase {
    /// As it is written.
    pub(super) text: &'static str,
    /// Its words.
    pub(super) words: Vec<&'static str>,
    /// What it says.
    pub(super) class: Class,
}

/// All phrases.
static PHRASES: LazyLock<Vec<Phrase>> = LazyLock::new(|| {
    let phrases = TABLES.iter().flat_map(|(class, texts)| {
        texts.iter().map(|text| Phrase { text, words: text.split(' ').collect(), class: *class })
    });
    phrases.collect()
});

/// The phrases that a text may begin with whose first token this is: those with its first letter, and
/// the ends of compounds.
pub(super) fn phrases_at(token: &str) -> impl Iterator<Item = &'static Phrase> {
    let letter = token.as_bytes().first().copied().unwrap_or_default();
    [letter, b'*'].into_iter().flat_map(|first| BY_LETTER[usize::from(first)].iter().copied())
}

static BY_LETTER: LazyLock<Vec<Vec<&'static Phrase>>> = LazyLock::new(|| {
    let mut letters = vec![Vec::new(); 256];
    for phrase in PHRASES.iter() {
        letters[usize::from(phrase.text.as_bytes()[0])].push(phrase);
    }
    letters
});

const TABLES: &[(Class, &[&str])] = &[
    (Class::Strong(Device::Receptacle), RECEPTACLES),
    (Class::Weak(Device::Receptacle), OUTLETS),
    (Class::Strong(Device::Switch), SWITCHES),
    (Class::Weak(Device::Switch), BARE_SWITCHES),
    (Class::Strong(Device::Dimmer), DIMMERS),
    (Class::Strong(Device::Sensor), SENSORS),
    (Class::Strong(Device::PilotLight), PILOT_LIGHTS),
    (Class::Strong(Device::Combination), COMBINATIONS),
    (Class::Qualifier("telephone, data or network outlet"), DATA),
    (Class::Qualifier("outlet for picture or sound"), PICTURE_AND_SOUND),
    (Class::Signal, SIGNALS),
    (Class::Qualifier("outlet for gas, air or water"), FLUIDS),
    (Class::Qualifier("earthing point"), EARTHING),
    (Class::Qualifier("bin or other receptacle for things"), BINS),
    (Class::Qualifier("tool"), TOOLS),
    (Class::Qualifier("shop"), SHOPS),
    (Class::Part("a duplex that is no device"), DUPLEXES),
    (Class::Part("network equipment"), NETWORK_EQUIPMENT),
    (Class::Part("switchboard or switchgear"), SWITCHGEAR),
    (Class::Part("breaker, fuse or disconnect"), BREAKERS),
    (Class::Part("switch of a machine or an alarm"), MACHINE_SWITCHES),
    (Class::Thing("luminaire"), LUMINAIRES),
    (Class::Thing("alarm or call device"), ALARMS),
    (Class::Part("box, panel or cable"), BOXES),
    (Class::Part("motor or heater"), EQUIPMENT),
    (
        Class::Doubt("a push button may switch the circuit or only give a signal"),
        &[
            "taster",
            "*taster",
            "push button",
            "pushbutton",
            "bouton poussoir",
            "pulsador",
            "botoeira",
        ],
    ),
    (Class::Qualifier("called no device by the mapping"), &["no device"]),
    (Class::Nothing, &["plug in", "rec room", "reception", "recovery", "recess", "receiving"]),
    (
        Class::Joint,
        &[
            "and", "+", "&", "/", "und", "et", "y", "e", "with", "w", "mit", "avec", "com", "con",
            "plus",
        ],
    ),
    (Class::Purpose, &["for", "fur", "fuer", "pour", "para", "behind", "serving", "feeding", "p"]),
    (
        Class::Negation,
        &[
            "without",
            "without a",
            "without any",
            "no",
            "not a",
            "ohne",
            "ohne eine",
            "sans",
            "sin",
            "sem",
            "kein",
            "keine",
            "w / o",
            "non",
        ],
    ),
];

#[rustfmt::skip]
const RECEPTACLES: &[&str] = &[
    "sso", "dsso", "tsso", "ponto de forca", "ponto de tomada", "pc 16a", "pc 20a", "pc 32a",
    "receptacle", "recept", "recep", "rcpt", "recpt", "rcptl", "rec", "duplex receptacle",
    "duplex outlet", "quad outlet", "quadruplex", "fourplex", "simplex receptacle",
    "double duplex", "convenience outlet", "power outlet", "power point", "powerpoint",
    "general purpose outlet", "gpo", "socket outlet", "power socket", "wall socket", "plug socket",
    "electrical outlet", "electric outlet", "electrical socket", "wall outlet", "switched outlet",
    "switched socket", "switched receptacle", "half switched receptacle", "half hot",
    "gfci outlet", "gfi outlet", "gfci receptacle", "gfi receptacle", "outlet strip", "plugmold",
    "shaver socket",
    // German
    "*steckdose", "*steckdosen", "schuko", "steckdosenliste", "steckdosenplan", "schukodose",
    "stkd", "steckd", "*stromdose", "doppeldose schuko", "cee dose", "kraftdose",
    "herdanschlussdose",
    // French
    "prise de courant", "prise electrique", "prise secteur", "prise 16a", "prise 20a", "prise 32a",
    "prise 2p t", "prise 2p + t", "prise double", "prise simple", "prise etanche",
    "socle de prise",
    // Spanish
    "tomacorriente", "toma corriente", "toma de corriente", "toma de fuerza", "toma electrica",
    "enchufe", "base de enchufe", "base schuko", "contacto doble", "contacto polarizado",
    "contacto electrico", "contacto duplex", "receptaculo",
    // Portuguese
    "tomada eletrica", "tomada de energia", "tomada de forca", "tomada de corrente", "tomada 2p t",
    "tomada 2p + t", "tomada 10a", "tomada 20a", "tomada dupla", "tomada simples", "tug",
    "tomada de uso geral", "tomada de uso especifico", "tomada baixa", "tomada media",
    "tomada alta",
];

#[rustfmt::skip]
const OUTLETS: &[&str] = &[
    "dup",
    "outlet", "socket", "plug", "plug point", "duplex", "quad", "simplex", "prise", "toma",
    "tomada", "dose", "contacto", "gfci", "gfi",
];

#[rustfmt::skip]
const SWITCHES: &[&str] = &[
    "light switch", "lighting switch", "wall switch", "toggle switch", "snap switch",
    "rocker switch", "single pole switch", "double pole switch", "sp switch", "dp switch",
    "3 way switch", "4 way switch", "three way switch", "four way switch", "2 way switch",
    "two way switch", "one way switch", "1 way switch", "3way switch", "keyed switch",
    "switch with pilot", "fan switch", "lt switch", "gang switch", "switch gang", "timer switch",
    "time switch", "timeswitch",
    // German
    "*lichtschalter", "wechselschalter", "kreuzschalter", "serienschalter", "wippschalter",
    "ausschalter", "wechselschaltung", "kreuzschaltung", "serienschaltung", "kontrollschalter",
    "jalousieschalter", "rollladenschalter", "lichttaster", "*schalter",
    // French
    "interrupteur", "va et vient", "va vient", "permutateur", "inter", "double allumage",
    // Spanish
    "interruptor de luz", "interruptor sencillo", "interruptor doble", "interruptor conmutado",
    "apagador", "conmutador", "interruptor de cruce", "llave de luz",
    // Portuguese
    "interruptor", "interruptor simples", "interruptor paralelo", "interruptor intermediario",
    "interruptor duplo", "interruptor triplo", "interruptor three way", "interruptor bipolar",
];

#[rustfmt::skip]
const BARE_SWITCHES: &[&str] = &[
    "switch", "sw",
];

#[rustfmt::skip]
const DIMMERS: &[&str] = &[
    "dimmer", "wall dimmer", "dimmer switch", "dimming switch", "*dimmer", "variateur", "variador",
    "regulador de luz", "regulador de intensidad", "dimerizador", "potenciometro",
];

#[rustfmt::skip]
const SENSORS: &[&str] = &[
    "occupancy sensor", "vacancy sensor", "motion sensor", "occ sensor", "wall switch sensor",
    "presence sensor", "bewegungsmelder", "prasenzmelder", "praesenzmelder",
    "detecteur de presence", "detecteur de mouvement", "detector de presencia",
    "detector de movimiento", "sensor de presenca", "sensor de movimento", "sensor de presencia",
    "motion detector", "presence detector",
];

#[rustfmt::skip]
const PILOT_LIGHTS: &[&str] = &[
    "pilot light", "pilot lamp", "pilot", "indicator light", "indicator lamp", "kontrollleuchte",
];

#[rustfmt::skip]
const COMBINATIONS: &[&str] = &[
    "combination switch / receptacle", "combination receptacle / switch", "switch / receptacle",
    "receptacle / switch", "combination switch and receptacle",
    "switch and receptacle combination", "switch receptacle combination", "combination device",
    "switch outlet combo", "combination switch outlet", "schalter steckdosen kombination",
    "schalter / steckdose", "tomada e interruptor conjugados", "interruptor com tomada",
    "interruptor + tomada", "interruptor e tomada", "tomada + interruptor",
    "interruptor con enchufe", "prise interrupteur", "apagador y contacto",
];

#[rustfmt::skip]
const DATA: &[&str] = &[
    "telephone", "phone", "telefon", "telefone", "telefono", "telecom", "telecommunication", "tel",
    "data", "daten", "dados", "datos", "donnees", "voice", "voip", "lan", "ethernet", "network",
    "netzwerk", "internet", "rj45", "rj 45", "rj11", "rj 11", "rj12", "cat5", "cat5e", "cat6",
    "cat6a", "cat7", "cat 5", "cat 6", "cat 6a", "cat 7", "fiber optic", "fibre optic",
    "tomada de rede", "ponto de rede", "toma de red", "punto de red", "reseau", "uae", "uae dose",
    "*netzwerkdose", "*datendose", "*telefondose", "*netzwerksteckdose", "*telefonsteckdose",
    "*datensteckdose", "lan dose", "tae", "tae dose", "*landose", "multimediadose",
    "*anschlussdose", "*kommunikationsdose", "informatique", "informatica", "logica",
];

#[rustfmt::skip]
const PICTURE_AND_SOUND: &[&str] = &[
    "cable outlet",
    "hdmi", "catv", "cable tv", "coax", "coaxial", "antenna", "antenne", "antena", "*antennendose",
    "*antennensteckdose", "*satdose", "sat dose", "tv dose", "*tvdose", "speaker", "loudspeaker",
    "lautsprecher", "*lautsprecherdose", "haut parleur", "altavoz", "microphone", "vga",
    "displayport",
];

#[rustfmt::skip]
const SIGNALS: &[&str] = &[
    "tv", "television", "televisao", "fernseher", "sat", "audio", "video", "av", "usb",
];

#[rustfmt::skip]
const FLUIDS: &[&str] = &[
    "gas outlet", "compressed air", "air outlet", "water outlet", "oxygen", "oxygen outlet",
    "vacuum outlet", "vacuum inlet", "medical air", "medical gas", "drain outlet", "roof outlet",
    "outlet pipe", "prise d eau", "prise d air", "prise eau", "toma de agua", "toma de aire",
    "toma de gas", "tomada de agua", "tomada de ar", "tomada d agua", "socket weld",
    "outlet temperature", "outlet pressure", "outlet diameter",
];

#[rustfmt::skip]
const EARTHING: &[&str] = &[
    "prise de terre", "toma de tierra", "tomada de terra", "puesta a tierra",
];

#[rustfmt::skip]
const BINS: &[&str] = &[
    "waste receptacle", "waste paper receptacle", "waste and recycling receptacle",
    "trash receptacle", "litter receptacle", "napkin receptacle", "sanitary napkin",
    "refuse receptacle", "ash receptacle", "recycling receptacle", "garbage receptacle",
    "soap dispenser", "towel dispenser", "abfallbehalter",
];

#[rustfmt::skip]
const TOOLS: &[&str] = &[
    "wrench socket", "socket wrench", "socket set", "socket head", "impact socket", "drive socket",
    "spanner", "wrench", "ratchet", "socket cap", "screwdriver", "steckschlussel", "lamp socket",
    "lampholder", "lamp holder", "light socket", "*fassung", "relay socket", "ic socket", "torx",
    "bolt",
];

#[rustfmt::skip]
const SHOPS: &[&str] = &[
    "retail", "factory outlet", "outlet store", "outlet mall", "outlet center", "outlet centre",
    "mall",
];

#[rustfmt::skip]
const DUPLEXES: &[&str] = &[
    "duplex apartment", "duplex apartement", "duplex unit", "duplex house", "duplex home",
    "duplex building", "duplex residence", "duplex condo", "duplex pump", "duplex printing",
    "duplex printer", "full duplex", "half duplex", "duplex strainer", "duplex filter",
    "duplex wohnung", "duplex basket", "duplex villa", "apartamento duplex", "appartement duplex",
    "piso duplex", "quad core", "quad bike", "duplex fiber", "duplex fibre", "duplex lc",
];

#[rustfmt::skip]
const NETWORK_EQUIPMENT: &[&str] = &[
    "network switch", "ethernet switch", "lan switch", "poe switch", "switch poe", "data switch",
    "kvm switch", "core switch", "access switch", "managed switch", "switch rack", "port switch",
    "switch port", "gigabit switch", "router", "modem", "server", "access point", "patch panel",
    "firewall", "netzwerkswitch", "wlan", "wifi", "hdmi switch", "fibre switch", "edge switch",
];

#[rustfmt::skip]
const SWITCHGEAR: &[&str] = &[
    "switchboard", "switch board", "switchgear", "switch gear", "main switch", "main switchboard",
    "switch room", "switchroom", "switch panel", "switchyard", "*schaltschrank", "*schaltanlage",
    "*hauptschalter", "hauptschalter", "quadro de distribuicao", "tablero", "tableau",
    "interruptor general", "interruptor geral", "interrupteur general",
];

#[rustfmt::skip]
const BREAKERS: &[&str] = &[
    "breaker", "circuit breaker", "fuse", "mcb", "mccb", "rccb", "rcbo", "rcd", "elcb",
    "disconnect switch", "disconnect", "safety switch", "transfer switch", "isolator",
    "isolator switch", "isolating switch", "isolation switch", "fused switch", "switch fuse",
    "switch disconnector", "load break switch", "changeover switch", "gfci breaker", "gfi breaker",
    "gfci circuit breaker", "gfci protection", "*schutzschalter", "*leistungsschalter",
    "*trennschalter", "*lasttrennschalter", "sicherung", "*automat", "disjoncteur",
    "interrupteur differentiel", "inter differentiel", "interrupteur sectionneur", "sectionneur",
    "fusible", "interruptor automatico", "interruptor diferencial", "interruptor magnetotermico",
    "interruptor termomagnetico", "disyuntor", "seccionador", "disjuntor", "interruptor dr", "idr",
    "chave seccionadora", "relay", "relais", "contactor", "schutz",
];

#[rustfmt::skip]
const MACHINE_SWITCHES: &[&str] = &[
    "interruptor crepuscular", "interruptor horario",
    "float switch", "pressure switch", "limit switch", "flow switch", "tamper switch",
    "level switch", "proximity switch", "reed switch", "temperature switch", "vibration switch",
    "door switch", "window switch", "ignition switch", "emergency stop", "stop switch",
    "selector switch", "foot switch", "kill switch", "control switch", "*endschalter",
    "*druckschalter", "*schwimmerschalter", "*dammerungsschalter", "*temperaturschalter",
    "*schlusselschalter", "*fensterkontakt", "*naherungsschalter", "not aus schalter",
    "motorschalter", "interruptor de nivel", "interruptor de boia", "chave boia",
    "switch actuator", "switch aktor", "*schaltaktor", "aktor", "actuator", "thermostat",
    "termostato",
];

#[rustfmt::skip]
const LUMINAIRES: &[&str] = &[
    "luminaire", "light fixture", "lighting fixture", "fixture", "downlight", "troffer",
    "light point", "lighting outlet", "light outlet", "lamp outlet", "pendant light", "sconce",
    "chandelier", "lamp", "leuchte", "*leuchte", "*lampe", "deckenauslass", "lichtauslass",
    "luminaria", "lampara", "lampada", "ponto de luz", "punto de luz", "point lumineux", "led",
    "spot", "spotlight", "exit sign",
];

#[rustfmt::skip]
const ALARMS: &[&str] = &[
    "smoke detector", "heat detector", "fire alarm", "pull station", "horn", "strobe",
    "nurse call", "intercom", "doorbell", "camera", "card reader", "rauchmelder", "klingel",
    "alarm", "detector",
];

#[rustfmt::skip]
const BOXES: &[&str] = &[
    "switch leg", "switch loop", "outlet cover", "outlet plate", "receptacle cover", "receptacle plate", "switch cover",
    "outlet box", "junction box", "switch box", "pull box", "panelboard", "panel", "conduit",
    "cable", "cover plate", "face plate", "faceplate", "wall plate", "switch plate",
    "verteilerdose", "*abzweigdose", "abzweigdose", "*verteilerdose", "*geratedose",
    "*schalterdose", "*hohlwanddose", "verteiler", "placa", "espelho", "caixa", "caja", "boite",
    "quadro", "cuadro",
];

#[rustfmt::skip]
const EQUIPMENT: &[&str] = &[
    "motor", "heater", "transformer", "generator", "compressor", "ups", "rollladen", "jalousie",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_phrase_says_two_things_and_all_are_plain() {
        let mut seen: Vec<(&str, Class)> = Vec::new();
        for phrase in PHRASES.iter() {
            let written = crate::mapping::kinds::tokens(phrase.text.trim_start_matches('*'));
            assert_eq!(
                written.join(" "),
                phrase.text.trim_start_matches('*'),
                "not in plain letters"
            );
            let twice = seen.iter().find(|(text, _)| *text == phrase.text);
            assert!(twice.is_none(), "`{}` stands there twice", phrase.text);
            seen.push((phrase.text, phrase.class));
        }
    }
}
