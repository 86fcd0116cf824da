//! The abbreviations and words of descriptions, with the facts that they stand for.
//!
//! A phrase is here only if the trade has no second meaning for it in the description of a device.
//! Left out: WP and weatherproof, which do not say whether the cover keeps the weather out with the
//! plug in; red, orange, ivory; dedicated alone; new and existing, which may be the circuit's; UP and
//! AP, which are also other words. Common practice, no published source.

use std::sync::LazyLock;

use crate::mapping::read::{self, Column, Content, Reading};
use crate::outlet::{Field, Kind, Texts};

/// A phrase with its facts.
pub(super) struct Phrase {
    words: Vec<&'static str>,
    facts: Vec<(Field, i64)>,
}

type Facts = &'static [(Field, &'static str)];

const TABLE: &[(Facts, &[&str])] = &[
    (
        &[(Field::Gfci, "yes")],
        &["gfci", "gfi", "gfci protected", "gfi protected", "ground fault protected"],
    ),
    (
        &[(Field::Gfci, "yes"), (Field::GfciInDevice, "yes")],
        &[
            "gfci receptacle",
            "gfci recept",
            "gfci rcpt",
            "gfci outlet",
            "gfi receptacle",
            "gfi outlet",
        ],
    ),
    (
        &[(Field::Gfci, "yes"), (Field::GfciInDevice, "yes"), (Field::ReceptaclesOnYoke, "2")],
        &[
            "gfci duplex",
            "duplex gfci",
            "gfci duplex receptacle",
            "duplex gfci receptacle",
            "gfi duplex",
        ],
    ),
    (
        &[(Field::Gfci, "yes"), (Field::GfciInDevice, "no")],
        &["gfci breaker", "gfci circuit breaker", "gfi breaker"],
    ),
    (&[(Field::Afci, "yes")], &["afci", "arc fault", "afci breaker", "afci protected"]),
    (&[(Field::Gfci, "yes"), (Field::Afci, "yes")], &["dual function"]),
    (&[(Field::TamperResistant, "yes")], &["tr", "tamper resistant", "tamper res"]),
    (&[(Field::WeatherResistant, "yes")], &["wr", "weather resistant"]),
    (&[(Field::HospitalGrade, "yes")], &["hg", "hospital grade", "hosp grade"]),
    (&[(Field::IsolatedGround, "yes")], &["ig", "isolated ground", "iso ground"]),
    (
        &[(Field::Controlled, "yes")],
        &["controlled receptacle", "controlled outlet", "controlled duplex", "auto controlled"],
    ),
    (
        &[(Field::WeatherCover, "in-use")],
        &["in use cover", "while in use", "while in use cover", "wiu", "wpiu", "bubble cover"],
    ),
    (
        &[(Field::ReceptaclesOnYoke, "1")],
        &[
            "simplex",
            "single receptacle",
            "single recept",
            "single outlet",
            "single rcpt",
            "einfachsteckdose",
            "tomada simples",
            "prise simple",
            "enchufe sencillo",
            "enchufe simple",
        ],
    ),
    (
        &[(Field::ReceptaclesOnYoke, "2")],
        &[
            "duplex",
            "doppelsteckdose",
            "tomada dupla",
            "prise double",
            "enchufe doble",
            "tomacorriente doble",
        ],
    ),
    (&[(Field::ReceptaclesOnYoke, "3")], &["triplex receptacle", "tomada tripla", "prise triple"]),
    (
        &[(Field::ReceptaclesOnYoke, "4")],
        &["quad", "quadruplex", "fourplex", "double duplex", "quad receptacle"],
    ),
    (&[(Field::Box, "floor-box")], &["floor box", "floorbox", "bodendose"]),
    (
        &[(Field::MountingLocation, "floor")],
        &["floor mounted", "floor mtd", "floor receptacle", "floor outlet"],
    ),
    (
        &[(Field::MountingLocation, "ceiling")],
        &["ceiling mounted", "clg mtd", "clg mounted", "ceiling receptacle", "ceiling outlet"],
    ),
    (&[(Field::MountingLocation, "wall")], &["wall mounted", "wall mtd"]),
    (
        &[(Field::BoxMount, "flush")],
        &[
            "flush mounted",
            "flush mtd",
            "unterputz",
            "encastre",
            "encastree",
            "embutida",
            "embutido",
            "empotrado",
        ],
    ),
    (
        &[(Field::BoxMount, "surface")],
        &[
            "surface mounted",
            "surface mount",
            "surface mtd",
            "aufputz",
            "en saillie",
            "de sobrepor",
            "de superficie",
        ],
    ),
    (
        &[(Field::IndividualCircuit, "yes")],
        &["dedicated circuit", "dedicated ckt", "ded ckt", "individual circuit"],
    ),
];

const NEGATIONS: &[&str] = &["no", "non", "not", "without", "ohne", "sans", "sin", "sem", "o"];

/// All phrases, their facts as integers.
pub(super) static PHRASES: LazyLock<Vec<Phrase>> = LazyLock::new(|| {
    let value = |(field, word): &(Field, &str)| {
        let reading = read::read(Content::Text(word), &Column::of(*field), &mut Texts::default());
        match reading {
            Reading::Known(raw) => Some((*field, raw)),
            _ => None,
        }
    };
    let phrases = TABLE.iter().flat_map(|(facts, texts)| {
        let facts: Vec<_> = facts.iter().filter_map(value).collect();
        texts
            .iter()
            .map(move |text| Phrase { words: text.split(' ').collect(), facts: facts.clone() })
    });
    phrases.collect()
});

/// The facts of the words of a text: at each place the longest phrase.
///
/// Abbreviations of two letters are English; in another language TR may be a staircase.
pub(super) fn facts(tokens: &[String], english: bool) -> Vec<(Field, i64)> {
    let mut facts = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let rest = &tokens[at..];
        let found = PHRASES.iter().filter(|phrase| {
            let short = phrase.words.len() == 1 && phrase.words[0].len() == 2;
            (english || !short)
                && phrase.words.len() <= rest.len()
                && phrase.words.iter().zip(rest).all(|(word, token)| word == token)
        });
        let Some(phrase) = found.max_by_key(|phrase| phrase.words.len()) else {
            at += 1;
            continue;
        };
        facts.extend(phrase.facts.iter().filter_map(|fact| said(*fact, &tokens[..at])));
        at += phrase.words.len();
    }
    facts
}

/// The fact of a phrase behind other words: one behind "no" says the contrary, where there is one.
fn said((field, raw): (Field, i64), before: &[String]) -> Option<(Field, i64)> {
    let negated = match before {
        [.., w, stroke, o] if o == "o" => w == "w" && stroke == "/",
        [.., last] => NEGATIONS.contains(&last.as_str()),
        [] => false,
    };
    match (negated, field.kind()) {
        (false, _) => Some((field, raw)),
        // No breaker with ground-fault protection is no word about the protection.
        (true, Kind::YesNo) if field != Field::GfciInDevice => Some((field, 0)),
        (true, _) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_fact_of_the_table_is_one_of_the_model_and_no_phrase_stands_twice() {
        let mut seen: Vec<&str> = Vec::new();
        for (facts, texts) in TABLE {
            let before = PHRASES.len();
            for text in *texts {
                let written = crate::mapping::kinds::tokens(text).join(" ");
                assert_eq!(written, *text, "not in plain letters");
                assert!(!seen.contains(text), "`{text}` stands there twice");
                seen.push(text);
            }
            let phrase = PHRASES.iter().find(|phrase| phrase.words.join(" ") == texts[0]);
            assert_eq!(phrase.map(|phrase| phrase.facts.len()), Some(facts.len()), "{}", texts[0]);
            assert!(before > 0);
        }
    }
}
