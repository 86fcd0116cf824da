//! `yokecheck rules`: the list of rules, and their manual pages.

use crate::code::{Confidence, EDITIONS};
use crate::outlet::words::Edition;
use crate::outlet::{Field, Word as _};
use crate::rules::{DefectType, RULES, Rule, rule_named};

use super::arguments::RulesOptions;
use super::lines::wrapped;
use super::{Outcome, complain};

/// Lists the rules, or shows one.
pub(super) fn run(options: &RulesOptions) -> Outcome {
    if let Some(name) = &options.name {
        return show(name);
    }
    let wanted = match options.defect_type.as_deref().map(defect_type).transpose() {
        Ok(wanted) => wanted,
        Err(problem) => {
            complain(&problem);
            return Outcome::Failed;
        }
    };
    list(wanted, options.edition);
    Outcome::Clean
}

fn defect_type(name: &str) -> Result<DefectType, String> {
    let folded = name.trim().to_lowercase().replace('-', " ");
    DefectType::ALL.into_iter().find(|known| known.word() == folded).ok_or_else(|| {
        let known: Vec<&str> = DefectType::ALL.into_iter().map(DefectType::word).collect();
        format!("there is no defect type `{name}`; the types are: {}", known.join(", "))
    })
}

fn list(wanted: Option<DefectType>, edition: Option<Edition>) {
    let editions = edition.map_or_else(|| EDITIONS.to_vec(), |edition| vec![edition]);
    for defect in DefectType::ALL {
        if wanted.is_some_and(|wanted| wanted != defect) {
            continue;
        }
        let rules: Vec<&Rule> = RULES
            .iter()
            .copied()
            .filter(|rule| rule.defect == defect)
            .filter(|rule| !rule.citation.text(&editions).is_empty())
            .collect();
        if rules.is_empty() {
            continue;
        }
        anstream::println!("{BOLD}{}{BOLD:#}", defect.word());
        for rule in rules {
            let lead = format!("  {:<27}{:<13}", rule.name, rule.grade.word());
            let named = if rule.on_request { "; runs only when named" } else { "" };
            let cited = format!("{}{named}", rule.citation.marked(&editions));
            anstream::println!("{}", wrapped(&lead, &cited));
        }
    }
    print_marks();
}

fn print_marks() {
    anstream::println!();
    for mark in [Confidence::Two, Confidence::One, Confidence::Memory] {
        anstream::println!("{:>4}  {}", mark.mark(), mark.meaning());
    }
}

fn show(name: &str) -> Outcome {
    let Some(rule) = rule_named(name) else {
        let near = RULES
            .iter()
            .map(|rule| (strsim::jaro_winkler(rule.name, name), rule.name))
            .max_by(|one, other| one.0.total_cmp(&other.0))
            .filter(|(score, _)| *score > 0.7);
        let hint = near.map_or_else(
            || "`yokecheck rules` lists them".to_owned(),
            |(_, near)| format!("did you mean `{near}`?"),
        );
        complain(&format!("there is no rule `{name}`; {hint}"));
        return Outcome::Failed;
    };
    page(rule);
    Outcome::Clean
}

const BOLD: anstyle::Style = anstyle::Style::new().bold();

fn page(rule: &Rule) {
    anstream::println!("{BOLD}{}{BOLD:#}\n", rule.name);
    print_manual(rule.manual);
    anstream::println!("\n{BOLD}In the editions{BOLD:#}");
    for edition in EDITIONS {
        let section = rule.citation.section(edition);
        let cited = section.map_or_else(|| "-".to_owned(), |section| section.to_string());
        anstream::println!("  {}  {cited}", edition.word());
    }
    if rule.citation.section(Edition::E2023).is_none() {
        anstream::println!("  {}", rule.citation.marked(&[]));
    }
    print_marks();
    anstream::println!("\n{BOLD}How it decides{BOLD:#}");
    fact("answers for", &format!("each {}", rule.subject.word()));
    fact("defect type", rule.defect.word());
    fact("grade", &format!("{}: {} (ours)", rule.grade.word(), rule.grade.meaning()));
    fact("corrected by", &format!("{} when the schedule names no trade", rule.corrects.word()));
    fact("asks for", &names(rule.asks));
    fact("heeds", &names(rule.heeds));
    if rule.on_request {
        fact("runs", "only when named: --rules");
    }
}

/// The manual page is Markdown: paragraphs under headings.
fn print_manual(manual: &str) {
    let mut paragraph = String::new();
    for line in manual.lines().map(str::trim).chain([""]) {
        let heading = line.strip_prefix("## ");
        if (line.is_empty() || heading.is_some()) && !paragraph.is_empty() {
            anstream::println!("{}", wrapped("", &paragraph));
            paragraph.clear();
        }
        match heading {
            Some(heading) => anstream::println!("\n{BOLD}{heading}{BOLD:#}"),
            None => paragraph.extend([line, " "].into_iter().filter(|_| !line.is_empty())),
        }
    }
}

fn fact(what: &str, text: &str) {
    if !text.is_empty() {
        anstream::println!("{}", wrapped(&format!("  {what:<14}"), text));
    }
}

fn names(fields: &[Field]) -> String {
    fields.iter().map(|field| field.name()).collect::<Vec<_>>().join(", ")
}
