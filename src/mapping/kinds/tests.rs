//! Texts as schedules write them, and what each tells. All invented; common practice, no published
//! source.

use super::*;

fn kinds(expected: Kind, texts: &[&str]) {
    for text in texts {
        assert_eq!(told(text).kind, expected, "{text}: {:?}", items(&tokens(text)));
    }
}

fn others(reason: &str, texts: &[&str]) {
    for text in texts {
        let told = told(text);
        assert!(matches!(told.kind, Kind::Other(why) if why.contains(reason)), "{text}: {told:?}");
    }
}

#[test]
fn receptacles_in_five_languages() {
    kinds(
        Kind::Device(Device::Receptacle),
        &[
            "Outlet",
            "Outlet bed center",
            "Outlets",
            "OUTLET_RIGHT BACK",
            "Outloot",
            "Duplex",
            "quad recept.",
            "20A DUPLEX, GFCI, WP, TR",
            "Socket outlet 13A",
            "Duplex receptacle for data rack",
            "Receptacle - Duplex",
            "DuplexReceptacle",
            "Switched receptacle",
            "GFCI",
            "Wall socket",
            "Recepticle",
            "Garbage disposal outlet",
            "Toilet outlet",
            "Sump pump receptacle",
            "USB receptacle",
            "Duplex receptacle w/ cover plate",
            "Air conditioner outlet",
            "Room no. 5 outlet",
            "Unit no 12, duplex receptacle",
            "Duplex receptacle, network rack",
            "Steckdose",
            "Steckdosen",
            "Doppelsteckdose",
            "3-fach Steckdose Küche",
            "Außensteckdose",
            "Steckdose Fernseher",
            "Schuko",
            "CEE-Steckdose 16A",
            "Steckdose Router",
            "Tomada",
            "tomadas baixas",
            "Tomada 2P+T 10A",
            "TUG",
            "Tomada para geladeira",
            "Enchufe",
            "Tomacorriente doble",
            "Toma de corriente",
            "Enchufe TV",
            "Prise",
            "Prise de courant 16A",
            "Prises cuisine",
            "PRISE 2P+T",
        ],
    );
}

#[test]
fn switches_dimmers_and_sensors_in_five_languages() {
    kinds(
        Kind::Device(Device::Switch),
        &[
            "Switch",
            "(2) 277V SW + pilot",
            "3-way switch",
            "Light switch",
            "Double-pole switch",
            "Lichtschalter",
            "Wechselschalter Flur",
            "Schalter",
            "Kreuzschalter",
            "Interruptor",
            "interruptor paralelo",
            "INTERRUPTOR SIMPLES",
            "Apagador",
            "Interrupteur",
            "Va-et-vient",
            "Interrupteur va-et-vient",
        ],
    );
    kinds(
        Kind::Device(Device::Dimmer),
        &["Dimmer", "Dimmer switch", "LED-Dimmer", "Drehdimmer", "Variateur", "Dimmers"],
    );
    kinds(
        Kind::Device(Device::Sensor),
        &["Occupancy sensor", "Occupancy sensor switch", "Bewegungsmelder", "Sensor de presença"],
    );
    kinds(
        Kind::Device(Device::Combination),
        &["Combination switch/receptacle", "Interruptor com tomada"],
    );
}

#[test]
fn what_only_shares_a_word_with_a_device_is_told_by_its_reason() {
    others(
        "telephone, data",
        &[
            "Telephone Outlet",
            "Telophone Outlet",
            "Data outlet",
            "Data receptacle",
            "Outlet, CAT6",
            "Netzwerkdose",
            "Telefonsteckdose",
            "Tomada RJ45",
            "Tomada de dados",
            "Prise RJ45",
            "Toma de datos",
            "Outlet for telephone",
            "Tomada telefone",
            "UAE-Dose 2-fach",
        ],
    );
    others("picture or sound", &["HDMI outlet", "Antennendose", "TV-Dose", "Tomada antena"]);
    others("bin", &["Waste receptacle", "Sanitary napkin receptacle", "Trash Receptacles"]);
    others("tool", &["Wrench sockets", "Socket set 3/8 drive", "Torx socket", "Lamp socket"]);
    others("shop", &["Retail outlets", "Factory outlet"]);
    others("a duplex that is no device", &["Duplex apartment", "Duplex Apartment 2"]);
    others("network equipment", &["Network switch", "PoE switch 24 port", "Netzwerkswitch"]);
    others(
        "switchboard",
        &["Switchboard", "Main switchboard MSB-1", "Switchgear", "Hauptschalter"],
    );
    others(
        "breaker",
        &["FI-Schutzschalter", "Leitungsschutzschalter", "Interrupteur différentiel", "Disjuntor"],
    );
    others("earthing", &["Prise de terre", "Toma de tierra"]);
    others("switch of a machine", &["Float switch", "Dämmerungsschalter", "Pressure switch"]);
    others("only to say", &["Anschluss ohne Steckdose", "Connection without a receptacle"]);
    others("luminaire", &["Downlight", "Deckenleuchte", "LED strip", "Ponto de luz"]);
    others("box", &["Abzweigdose", "Junction box", "Switch leg", "Outlet cover"]);
    others("picture", &["Cable outlet"]);
}

#[test]
fn what_may_be_either_is_said_to_be_so() {
    for text in [
        "2 Nos switch with 2 Nos socket",
        "Receptacle and data outlet",
        "TV outlet",
        "Taster Eingang",
        "Bouton poussoir",
        "USB outlet",
        "Duplex receptacle + telephone",
        "Power supply for switch",
        "Dimmer and receptacle",
    ] {
        assert!(matches!(told(text).kind, Kind::Either(_)), "{text}: {:?}", told(text));
    }
}

#[test]
fn other_things_are_not_named_at_all() {
    kinds(
        Kind::Unsaid,
        &[
            "Dishwasher",
            "Rec room",
            "Rec room",
            "",
            "20A",
            "Kitchen",
            "nvs",
            "Wohnzimmer",
            "Excavation in soil",
            "Reception desk",
        ],
    );
}

#[test]
fn a_slip_of_the_pen_is_noted() {
    let slip = told("Outloot");
    assert!(slip.misspelt && slip.word == "outlet", "{slip:?}");
    assert!(!told("Outlets").misspelt);
}
