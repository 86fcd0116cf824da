//! Which components are receptacles and switches, by the words of their types.
//!
//! Owns the words that tell them from the many things that share a word with them: a telephone outlet,
//! a waste receptacle, a pressure switch. Common practice of the trade, no published source.

use crate::outlet::Configuration;
use crate::outlet::words::Device;

/// What a text says of a device.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Kind {
    /// A device of the model.
    Device(Device),
    /// Something else that shares a word with one.
    Another,
}

const RECEPTACLE: &[&str] = &[
    "receptacle",
    "receptacles",
    "recept",
    "recep",
    "socket",
    "sockets",
    "steckdose",
    "steckdosen",
    "tomada",
    "tomadas",
];

/// Words before `outlet` that make it one for power.
const POWER: &[&str] =
    &["power", "electrical", "electric", "convenience", "duplex", "quad", "gfci", "socket"];

const SWITCH: &[&str] =
    &["switch", "switches", "schalter", "lichtschalter", "interruptor", "interrupteur"];

const DIMMER: &[&str] = &["dimmer", "dimmers"];

/// Words of signals: neither their outlets nor their switches carry power.
const SIGNAL: &[&str] = &[
    "telephone",
    "phone",
    "telecom",
    "telecommunications",
    "communication",
    "communications",
    "intercom",
    "data",
    "network",
    "ethernet",
    "lan",
    "rj45",
    "fibre",
    "fiber",
    "coax",
    "coaxial",
    "tv",
    "television",
    "catv",
    "hdmi",
    "antenna",
    "audio",
    "speaker",
    "microphone",
];

const NO_RECEPTACLE: &[&str] = &[
    "waste",
    "trash",
    "litter",
    "refuse",
    "recycling",
    "napkin",
    "towel",
    "ash",
    "linen",
    "sharps",
    "wrench",
    "lamp",
    "bulb",
    "luminaire",
    "vacuum",
    "gas",
    "oxygen",
    "air",
    "water",
    "drain",
];

const NO_SWITCH: &[&str] = &[
    "pressure",
    "flow",
    "level",
    "float",
    "limit",
    "temperature",
    "transfer",
    "disconnect",
    "isolating",
    "fused",
    "fusible",
    "safety",
    "tamper",
    "static",
    "kvm",
    "proximity",
    "vibration",
    "differential",
    "valve",
    "reed",
    "knife",
    "breaker",
    "poe",
];

/// What a text says; none when it says nothing of either.
pub(super) fn kind_of(text: &str) -> Option<Kind> {
    let words = words(text);
    let has = |list: &[&str]| words.iter().any(|word| list.contains(&word.as_str()));
    let outlet = words.iter().position(|word| word == "outlet" || word == "outlets");
    let power = outlet.is_some() && has(POWER);
    let receptacle = has(RECEPTACLE) || power;
    let switch = has(SWITCH);
    if has(SIGNAL) {
        return Some(Kind::Another);
    }
    let another = receptacle && has(NO_RECEPTACLE) || switch && has(NO_SWITCH);
    if another {
        return Some(Kind::Another);
    }
    let joined = has(&["combination", "combo", "and", "with"]) || text.contains(['/', '+', '&']);
    match (receptacle, switch, has(DIMMER)) {
        (false, false, false) => None,
        (true, false, false) => Some(Kind::Device(Device::Receptacle)),
        (false, _, true) => Some(Kind::Device(Device::Dimmer)),
        (false, true, false) => Some(Kind::Device(Device::Switch)),
        (true, true, _) if joined => Some(Kind::Device(Device::Combination)),
        (true, ..) => None,
    }
}

/// Whether a text has a word that an outlet could be named by, whatever else it says.
pub(super) fn sounds_like_an_outlet(text: &str) -> bool {
    let words = words(text);
    let outlet = |word: &String| word == "outlet" || word == "outlets";
    let known = |word: &String| {
        let word = word.as_str();
        RECEPTACLE.contains(&word) || SWITCH.contains(&word) || DIMMER.contains(&word)
    };
    words.iter().any(|word| outlet(word) || known(word))
}

/// What the own name of a receptacle's type says beside its kind.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub(super) struct Named {
    pub(super) receptacles: Option<u16>,
    pub(super) configuration: Option<Configuration>,
    pub(super) ground_fault: bool,
    pub(super) tamper_resistant: bool,
    pub(super) weather_resistant: bool,
    pub(super) hospital_grade: bool,
    pub(super) isolated_ground: bool,
}

/// What the name of a receptacle's type says. `Quad` is left out: it may be two duplexes or one yoke.
pub(super) fn named(name: &str) -> Named {
    let words = words(name);
    let has = |word: &str| words.iter().any(|other| other == word);
    let pair = |one: &str, other: &str| words.windows(2).any(|pair| pair == [one, other]);
    let receptacles = match (has("duplex"), has("simplex") || pair("single", "receptacle")) {
        (true, false) => Some(2),
        (false, true) => Some(1),
        _ => None,
    };
    let mut configurations = name
        .split(|character: char| !character.is_ascii_alphanumeric() && character != '-')
        .filter(|word| word.contains('-') && word.ends_with(['R', 'r']))
        .filter_map(Configuration::read);
    Named {
        receptacles,
        configuration: configurations.next().filter(|_| configurations.next().is_none()),
        ground_fault: has("gfci"),
        tamper_resistant: pair("tamper", "resistant"),
        weather_resistant: pair("weather", "resistant"),
        hospital_grade: pair("hospital", "grade"),
        isolated_ground: pair("isolated", "ground"),
    }
}

/// The words of a text, in lower case.
fn words(text: &str) -> Vec<String> {
    let words = text.split(|character: char| !character.is_alphanumeric());
    words.filter(|word| !word.is_empty()).map(str::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn receptacles_and_switches_are_told_from_what_shares_a_word_with_them() {
        let device = |device| Some(Kind::Device(device));
        for (text, expected) in [
            ("Duplex Receptacle", device(Device::Receptacle)),
            ("Receptacle Terminal Units", device(Device::Receptacle)),
            ("Switched receptacle 5-15R", device(Device::Receptacle)),
            ("Power outlet, floor", device(Device::Receptacle)),
            ("Single Pole Switch", device(Device::Switch)),
            ("Lighting Switches:Single Pole", device(Device::Switch)),
            ("Wall dimmer switch", device(Device::Dimmer)),
            ("Combination switch and receptacle", device(Device::Combination)),
            ("Telephone Outlet", Some(Kind::Another)),
            ("Data outlet", Some(Kind::Another)),
            ("Waste receptacle", Some(Kind::Another)),
            ("Wrench socket", Some(Kind::Another)),
            ("Pressure switch", Some(Kind::Another)),
            ("Network switch 24 port", Some(Kind::Another)),
            ("Switchboard", None),
            ("Outlet", None),
            ("Retail outlets", None),
            ("Duplex apartment", None),
            ("Switch receptacle", None),
        ] {
            assert_eq!(kind_of(text), expected, "{text}");
        }
    }

    #[test]
    fn the_name_of_a_type_says_more_than_its_kind() {
        let named = named("GFCI duplex receptacle, tamper-resistant, NEMA 5-20R");
        assert_eq!(named.receptacles, Some(2));
        assert!(named.ground_fault && named.tamper_resistant && !named.hospital_grade);
        assert_eq!(named.configuration, Configuration::read("5-20R"));
        assert_eq!(super::named("Quad receptacle"), Named::default());
    }
}
