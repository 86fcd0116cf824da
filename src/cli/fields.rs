//! `yokecheck fields`: what may stand in a field, and which rules ask for it.

use crate::outlet::{Field, Kind};
use crate::rules::{RULES, Rule};

use super::arguments::FieldsOptions;
use super::lines::wrapped;
use super::{Outcome, complain};

const BOLD: anstyle::Style = anstyle::Style::new().bold();

/// Lists the fields, or shows one.
pub(super) fn run(options: &FieldsOptions) -> Outcome {
    let Some(name) = &options.name else {
        list();
        return Outcome::Clean;
    };
    let Some(field) = Field::of(name) else {
        let near = Field::ALL
            .iter()
            .map(|field| (strsim::jaro_winkler(field.name(), name), field.name()))
            .max_by(|one, other| one.0.total_cmp(&other.0))
            .filter(|(score, _)| *score > 0.7);
        let hint = near.map_or_else(
            || "`yokecheck fields` lists them".to_owned(),
            |(_, near)| format!("did you mean `{near}`?"),
        );
        complain(&format!("there is no field `{name}`; {hint}"));
        return Outcome::Failed;
    };
    show(field);
    Outcome::Clean
}

fn list() {
    let mut group = "";
    for field in Field::ALL {
        let info = field.info();
        if info.group != group {
            group = info.group;
            anstream::println!("{BOLD}{group}{BOLD:#}");
        }
        let lead = format!("  {:<23}{:<14}", info.name, info.kind.name());
        anstream::println!("{}", wrapped(&lead, info.meaning));
    }
}

fn show(field: Field) {
    let info = field.info();
    anstream::println!("{BOLD}{}{BOLD:#}", info.name);
    anstream::println!("{}\n", wrapped("", &format!("{}.", info.meaning)));
    anstream::println!("{BOLD}What may stand in it{BOLD:#}");
    anstream::println!("{}", wrapped("  ", what_may_stand(info.kind)));
    if let Kind::Word(words) | Kind::Words(words) = info.kind {
        anstream::println!("{}", wrapped("    ", &words.join(", ")));
    }
    anstream::println!("  Blank, n/a, -, ?, unknown and tbd mean that it is unknown; never no.");
    told("Rules that ask for it", |rule| rule.asks.contains(&field));
    told("Rules that heed it", |rule| rule.heeds.contains(&field));
}

fn told(heading: &str, test: impl Fn(&Rule) -> bool) {
    let names: Vec<&str> = RULES.iter().filter(|rule| test(rule)).map(|rule| rule.name).collect();
    if !names.is_empty() {
        anstream::println!("\n{BOLD}{heading}{BOLD:#}");
        anstream::println!("{}", wrapped("  ", &names.join(", ")));
    }
}

const fn what_may_stand(kind: Kind) -> &'static str {
    match kind {
        Kind::Text => "Any text; compared trimmed, with its case.",
        Kind::Count => "A whole number from 0.",
        Kind::Word(_) => "One of these words, or a word of the trade that means it:",
        Kind::Words(_) => "Any of these words, joined with ; or , (none stands alone):",
        Kind::YesNo => "Yes: yes y true t x 1 and a check mark. No: no n false f none 0.",
        Kind::Length => {
            "A length with its unit: 1/4\", 3/16 in, 1-1/2 in, 5' 6\", 6 mm, 0.45 m; a bare number \
             takes the unit of the header or the mapping."
        }
        Kind::Volume => "A volume with its unit: 18 in3, 30.3 cu. in., 295 cm3.",
        Kind::Voltage => "Volts: 120, 277 V, 0.48 kV.",
        Kind::Current => "Amperes: 20, 20 A.",
        Kind::Awg => "A gauge: 12, #12, 12 AWG, 1/0.",
        Kind::Date => "A day: 2026-03-31, 31.03.2026, or a date cell.",
        Kind::Configuration => "A NEMA WD 6 configuration: 5-20R, L6-30R.",
    }
}
