//! Header words: what schedules write above the columns of each field.
//!
//! In English, German, Portuguese, Spanish and French, as found on schedules and common in the trade.
//! A word with two meanings stands under each with a low weight, so that the cells decide or the draft
//! leaves the choice to a person. Left out on purpose: phase, which counts phases, names a conductor,
//! measures an angle or a stage of the work; height beside width and depth, which is the plate's;
//! finish, of wall or of plate. Common practice, no published source.

use crate::mapping::kinds::tokens;
use crate::mapping::read::unit_in_header;
use crate::outlet::Field;

/// What a column may be.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Target {
    /// The column of a field.
    Field(Field),
    /// A column that names or describes the thing.
    Description,
}

/// A word that can mean one thing only.
const SURE: f64 = 1.0;
/// A word that mostly means this.
const LIKELY: f64 = 0.8;
/// A word that means this or something else; the cells have to say.
const OPEN: f64 = 0.6;

type Row = (Target, f64, &'static [&'static str]);

const fn field(field: Field, weight: f64, words: &'static [&'static str]) -> Row {
    (Target::Field(field), weight, words)
}

#[rustfmt::skip]
const TABLE: &[Row] = &[
    field(Field::OutletId, SURE, &[
        "device no", "device number", "device id", "device tag", "dev no", "outlet no", "outlet number", "outlet id",
        "outlet tag", "receptacle no", "receptacle id", "receptacle tag", "switch no", "switch id", "tag", "tag no",
        "tag number", "mark", "kennung", "kennzeichen", "betriebsmittelkennzeichen", "bmk", "gesamtcode",
        "etiqueta", "identificacao", "identificacion", "identificador", "repere", "reference repere", "device mark",
        "steckdosennr", "schalternr", "geratenr", "geraetenr",
    ]),
    field(Field::OutletId, LIKELY, &["id", "code", "codigo", "label", "item no", "item number", "kurzel", "kl", ]),
    field(Field::OutletId, OPEN, &["no", "nr", "num", "numero", "item", "element", "pos", "position", "ref", "s no", "sl no", "sr no", "lfd nr", "ord"]),
    field(Field::Quantity, SURE, &[
        "qty", "quantity", "qnty", "menge", "anzahl", "stuckzahl", "stuck", "stk", "quantidade", "qtd", "qtde",
        "quant", "cantidad", "cant", "quantite", "qte", "nos", "no of devices", "number of devices", "count",
    ]),
    field(Field::Quantity, OPEN, &["amount", "pcs", "total"]),
    field(Field::Building, SURE, &[
        "building", "bldg", "building name", "gebaude", "gebaeude", "bauteil", "edificio", "predio", "batiment", "immeuble",
    ]),
    field(Field::Building, OPEN, &["block", "bloco", "bloque", "haus", "wing", "site"]),
    field(Field::Floor, SURE, &[
        "floor", "floor name", "floor level", "floor no", "storey", "story", "geschoss", "stockwerk", "etage", "pavimento",
        "andar", "level name",
    ]),
    field(Field::Floor, LIKELY, &["level", "stock", "ebene", "piso", "planta", "nivel", "niveau", "lvl", "fl"]),
    field(Field::Room, SURE, &[
        "room", "room no", "room number", "room name", "room id", "room code", "rm", "rm no", "space", "space name", "space no", "space number",
        "raum", "raumnr", "raumnummer", "raumcode", "raumname", "raumbezeichnung", "zimmer", "zimmernr",
        "ambiente", "comodo", "habitacion", "estancia", "recinto", "dependencia", "piece", "salle", "local", "locaux",
    ]),
    field(Field::Room, LIKELY, &[
        "location", "ort", "einbauort", "installationsort", "ubicacion", "localizacao", "emplacement", "localisation", "sala", "room location",
    ]),
    field(Field::Room, OPEN, &["zone", "area", "zona", "bereich"]),
    field(Field::RoomUse, SURE, &["room use", "room type", "use of room", "raumnutzung", "raumart", "uso do ambiente"]),
    field(Field::Occupancy, SURE, &["occupancy", "occupancy type"]),
    field(Field::Panel, SURE, &[
        "panel", "panelboard", "panel name", "panel no", "panel id", "pnl", "source panel", "breaker box", "load center", "load centre",
        "distribution board", "db", "db no", "fed from", "verteiler", "verteilung", "unterverteilung", "unterverteiler", "uv",
        "quadro", "quadro de distribuicao", "qd", "qdc", "cuadro", "tablero", "tableau", "tableau electrique", "coffret",
    ]),
    field(Field::Circuit, SURE, &[
        "circuit", "circuit no", "circuit number", "circuit id", "ckt", "ckt no", "cct", "cct no", "cir", "circuits",
        "stromkreis", "stromkreisnr", "stromkreisnummer", "circuito", "circuitos", "circ", "circuito no", "no circuito",
        "circuit n", "linked breakers", "breaker no", "breaker number", "breaker name",
    ]),
    field(Field::Circuit, LIKELY, &["breaker", "sicherung", "sicherungsnr", "depart", "disjuntor no"]),
    field(Field::CircuitAmps, SURE, &[
        "breaker size", "breaker amps", "breaker rating", "trip", "trip amps", "ocpd", "circuit amps", "circuit rating", "bkr size",
        "absicherung", "nennstrom sicherung", "corrente do disjuntor", "calibre disjoncteur",
    ]),
    field(Field::CircuitAmps, OPEN, &[
        "amps", "amp", "amperes", "amperage", "rating", "current", "a", "corrente", "strom", "nennstrom", "intensidad", "intensite", "corriente",
    ]),
    field(Field::DeviceAmps, SURE, &["device amps", "device rating", "receptacle rating", "receptacle amps", "outlet rating"]),
    field(Field::DeviceAmps, OPEN, &[
        "amps", "amp", "amperes", "amperage", "rating", "current", "a", "corrente", "strom", "nennstrom", "intensidad", "intensite", "corriente",
    ]),
    field(Field::Volts, SURE, &[
        "volts", "volt", "voltage", "nominal voltage", "spannung", "nennspannung", "tensao", "tension", "circuit voltage", "v",
    ]),
    field(Field::DeviceVolts, SURE, &["device volts", "device voltage", "rated voltage"]),
    field(Field::System, SURE, &["system voltage", "distribution system", "supply system", "electrical system", "netzform"]),
    field(Field::Supply, SURE, &["transformer", "xfmr", "transformator", "transformador", "transformateur"]),
    field(Field::Trade, SURE, &["trade", "discipline", "corps de metier", "corps d etat"]),
    field(Field::Trade, OPEN, &["gewerk", "gewerke", "especialidade", "especialidad", "lot"]),
    field(Field::Installer, SURE, &[
        "installer", "installed by", "contractor", "subcontractor", "errichter", "firma", "ausfuhrende firma", "empresa", "instalador",
        "entreprise", "installateur", "electrical contractor",
    ]),
    field(Field::ObservedOn, SURE, &[
        "inspected on", "date inspected", "inspection date", "survey date", "date surveyed", "observed on", "date observed", "verified on",
        "gepruft am", "prufdatum", "data da inspecao", "fecha de inspeccion", "date de controle", "releve le", "date of inspection",
    ]),
    field(Field::ObservedBy, SURE, &[
        "inspected by", "surveyed by", "observed by", "inspector", "surveyor", "gepruft von", "prufer", "inspecionado por",
        "inspeccionado por", "controle par", "releve par", "verified by",
    ]),
    field(Field::Evidence, SURE, &["photo", "photograph", "picture", "foto", "image", "photo no", "bild"]),
    field(Field::Edition, SURE, &["code edition", "adopted code", "nec edition", "code year", "edition of the code"]),
    field(Field::PermitDate, SURE, &["permit date", "date of permit", "permitted on"]),
    field(Field::Configuration, SURE, &["nema", "nema type", "nema config", "nema configuration", "nema no", "configuration", "typ nema", "type nema", "nema rating"]),
    field(Field::Height, SURE, &[
        "mounting height", "mounting ht", "mtg ht", "mtg height", "mount height", "height aff", "ht aff", "aff", "montagehohe",
        "einbauhohe", "installationshohe", "altura de montaje", "altura de instalacao", "altura de montagem", "hauteur de pose", "hauteur d installation",
        "elevation aff", "mounting height aff",
    ]),
    field(Field::Height, OPEN, &["height", "ht", "hohe", "altura", "hauteur", "h"]),
    field(Field::BoxSetBack, SURE, &["setback", "box set back", "retrait"]),
    field(Field::WallGap, SURE, &["wall gap", "gap around box", "gap at box", "box gap"]),
    field(Field::EnclosureId, SURE, &["box id", "box no", "box number", "enclosure id", "enclosure no", "gang box", "ganged in"]),
    field(Field::Gang, SURE, &["gang position", "position in box", "gang no"]),
    field(Field::BoxSize, SURE, &["box size"]),
    field(Field::Gfci, SURE, &["gfci", "gfi", "gfci protected", "gfci protection", "gfci y n", "gfi protected"]),
    field(Field::Afci, SURE, &["afci", "afci protected", "afci protection"]),
    field(Field::TamperResistant, SURE, &["tamper resistant", "tr", "tamper resist", "tr y n"]),
    field(Field::WeatherResistant, SURE, &["weather resistant", "wr", "wr y n"]),
    field(Field::HospitalGrade, SURE, &["hospital grade", "hg", "hosp grade"]),
    field(Field::IsolatedGround, SURE, &["isolated ground", "ig", "iso ground"]),
    field(Field::Exposure, SURE, &["exposure", "dry damp wet", "wet damp dry", "location type"]),
    field(Field::Faceplate, OPEN, &["faceplate", "plate", "cover plate", "wall plate", "plate installed"]),
    field(Field::Surface, SURE, &["wall finish", "wall surface", "wall material", "wandbelag", "surface material"]),
    field(Field::MountingLocation, LIKELY, &["mounting", "mounted in", "mounting location", "mounted on"]),
    field(Field::Facing, SURE, &["facing", "face direction"]),
    (Target::Description, SURE, &[
        "device", "device type", "type of device", "device description", "description", "desc", "descr", "item description",
        "item name", "bezeichnung", "beschreibung", "bedeutung", "gerat", "geraet", "gerate", "gerateart", "geratetyp", "betriebsmittel",
        "descricao", "denominacao", "equipamento", "aparelho", "dispositivo", "descripcion", "denominacion", "equipo", "aparato", "mecanismo",
        "designation", "libelle", "appareil", "type d appareil", "appareillage", "equipement", "outlet type", "receptacle type",
        "switch type", "fixture", "family and type", "family", "type name", "element name", "load type", "symbol description",
        "load description", "gerate gewerke", "objekt", "ponto", "pontos", "tipo de ponto", "nome falado", "verbraucher",
    ]),
    (Target::Description, LIKELY, &[
        "type", "typ", "tipo", "name", "nome", "nombre", "nom", "item", "element", "kategorie", "category", "categoria", "categorie", "load", "label", "gewerk",
        "gewerke", "kind", "art", "use", "component", "product", "what", "short cat", "long cat", "ausstattung", "funktion", "carga",
    ]),
];

/// Headers of columns that bills of quantities have and schedules of devices have not.
const PRICES: &[&str] = &[
    "price",
    "unit price",
    "rate",
    "unit rate",
    "cost",
    "unit cost",
    "total cost",
    "total price",
    "preis",
    "einzelpreis",
    "gesamtpreis",
    "ep",
    "gp",
    "valor",
    "valor unit",
    "valor unitario",
    "valor total",
    "preco",
    "preco unitario",
    "precio",
    "precio unitario",
    "importe",
    "prix",
    "prix unitaire",
    "montant",
    "p u",
    "sale price",
];

/// Headers of the measures of a thing: a height beside them is its own.
const SIZES: &[&str] = &[
    "width",
    "length",
    "depth",
    "breite",
    "lange",
    "tiefe",
    "largura",
    "comprimento",
    "ancho",
    "largo",
    "largeur",
    "longueur",
    "nominal width",
    "nominal length",
    "dimensions",
];

/// A header of more parts says nothing.
const MOST_FORMS: usize = 12;

/// A header in the forms in which it is looked up.
#[derive(Clone, Debug)]
pub(super) struct Words {
    /// Each form, without gaps, with how much of the header it is.
    forms: Vec<(String, f64)>,
}

impl Words {
    pub(super) fn of(header: &str) -> Self {
        let mut forms: Vec<(String, f64)> = Vec::new();
        let mut add = |text: &str, share: f64| {
            let form =
                tokens(text).into_iter().filter(|token| !matches!(token.as_str(), "/" | "+" | "&"));
            let form = form.collect::<String>();
            if !form.is_empty()
                && forms.len() < MOST_FORMS
                && forms.iter().all(|(known, _)| *known != form)
            {
                forms.push((form, share));
            }
        };
        add(header, 1.0);
        if let Some((words, _)) = unit_in_header(header) {
            add(&words, 1.0);
        }
        let before = header.split(['(', '[', ':']).next().unwrap_or_default();
        add(before, 0.95);
        if let Some((words, _)) = unit_in_header(before.trim()) {
            add(&words, 0.95);
        }
        for part in header.split(['/', '|', '\n', ';']).flat_map(|part| part.split(" - ")) {
            add(part, 0.9);
        }
        Self { forms }
    }

    /// How well the header says one of these words, from 0 to 1.
    fn say(&self, words: &[&str]) -> f64 {
        let scores = self
            .forms
            .iter()
            .flat_map(|(form, share)| words.iter().map(move |word| share * likeness(form, word)));
        scores.fold(0.0, f64::max)
    }

    /// Whether it is the header of a price.
    pub(super) fn is_price(&self) -> bool {
        self.say(PRICES) >= 0.95
    }

    /// Whether it is the header of another measure of a thing.
    pub(super) fn is_size(&self) -> bool {
        self.say(SIZES) >= 0.95
    }

    /// What the column may be, each with a score from 0 to 1, the likeliest first.
    pub(super) fn targets(&self) -> Vec<(Target, f64)> {
        let mut targets: Vec<(Target, f64)> = Vec::new();
        for (target, weight, words) in TABLE {
            let score = weight * self.say(words);
            match targets.iter_mut().find(|(known, _)| known == target) {
                Some((_, known)) => *known = known.max(score),
                None if score > 0.0 => targets.push((*target, score)),
                None => {}
            }
        }
        targets.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
        targets
    }
}

/// 1 for the same word, less for a slip of the pen, 0 for another.
fn likeness(form: &str, word: &str) -> f64 {
    let mut letters = form.chars();
    let same =
        word.chars().filter(|letter| *letter != ' ').all(|letter| letters.next() == Some(letter));
    if same && letters.next().is_none() {
        return 1.0;
    }
    // One slip adds a letter, takes one, or changes one for another, each of four bytes at most.
    if form.len() < 6 || form.len() > word.len() + 4 {
        return 0.0;
    }
    let compact: String = word.chars().filter(|letter| *letter != ' ').collect();
    let slip = compact.len() >= 6
        && compact.as_bytes()[0] == form.as_bytes()[0]
        && strsim::damerau_levenshtein(form, &compact) == 1;
    if slip { 0.85 } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_word_stands_twice_under_one_field_and_no_sure_word_under_two() {
        let mut seen: Vec<(Target, f64, String)> = Vec::new();
        for (target, weight, words) in TABLE {
            for word in *words {
                let key = tokens(word).concat();
                let twice = seen.iter().find(|(known, _, other)| known == target && *other == key);
                assert!(twice.is_none(), "`{word}` stands twice under {target:?}");
                let sure = |weight: f64| (weight - SURE).abs() < f64::EPSILON;
                let clash = seen
                    .iter()
                    .find(|(_, other, text)| *text == key && sure(*other) && sure(*weight));
                assert!(clash.is_none(), "`{word}` means two things: {clash:?}");
                seen.push((*target, *weight, key));
            }
        }
    }

    #[test]
    fn headers_are_known_in_five_languages_and_with_slips() {
        for (header, field) in [
            ("Raumnr.", Field::Room),
            ("AMBIENTE (LOCAL DO INTERRUPTOR)", Field::Room),
            ("Stock", Field::Floor),
            ("CICRUITO", Field::Circuit),
            ("Breaker Box", Field::Panel),
            ("PAVIMENTO", Field::Floor),
            ("Tensão (V)", Field::Volts),
            ("Device No.", Field::OutletId),
            ("ETIQUETA", Field::OutletId),
            ("Raum / Room", Field::Room),
            ("Mounting Ht (in)", Field::Height),
            ("Étage", Field::Floor),
            ("Nº circuito", Field::Circuit),
            ("Pièce", Field::Room),
            ("Habitación", Field::Room),
        ] {
            let targets = Words::of(header).targets();
            assert_eq!(
                targets.first().map(|target| target.0),
                Some(Target::Field(field)),
                "{header}: {targets:?}"
            );
        }
        assert!(Words::of("Phase").targets().is_empty());
        assert!(Words::of("NominalHeight").targets().is_empty());
    }
}
