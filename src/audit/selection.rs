//! Which rules run: all, those that are named, or all but those that are named.

use crate::rules::{DefectType, RULES, Rule};

/// The rules of a run, in the order of their names.
#[derive(Clone)]
pub struct Selection {
    rules: Vec<&'static Rule>,
}

/// A name that is neither a rule's nor a defect type's.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
#[error("there is no rule and no defect type named `{name}`{}", hint(.suggestion.as_deref()))]
pub struct UnknownRule {
    /// The name that was given.
    pub name: String,
    /// The nearest name that exists.
    pub suggestion: Option<String>,
}

fn hint(suggestion: Option<&str>) -> String {
    suggestion.map_or_else(
        || "; `yokecheck rules` lists them".to_owned(),
        |name| format!("; did you mean `{name}`?"),
    )
}

impl Selection {
    /// The rules to run. Without `only`, all that do not wait to be named; `without` is taken off.
    pub fn new(only: &[String], without: &[String]) -> Result<Self, UnknownRule> {
        let mut rules: Vec<&'static Rule> = if only.is_empty() {
            RULES.iter().copied().filter(|rule| !rule.on_request).collect()
        } else {
            let named = only.iter().map(|name| named(name)).collect::<Result<Vec<_>, _>>()?;
            RULES.iter().copied().filter(|rule| contains(&named, rule)).collect()
        };
        let taken_off = without.iter().map(|name| named(name)).collect::<Result<Vec<_>, _>>()?;
        rules.retain(|rule| !contains(&taken_off, rule));
        Ok(Self::of(rules))
    }

    /// Rules of one's own choice, which need not be in the catalogue; they run in the order of their
    /// names.
    pub fn of(mut rules: Vec<&'static Rule>) -> Self {
        rules.sort_by_key(|rule| rule.name);
        Self { rules }
    }

    /// The rules, by name.
    pub fn rules(&self) -> &[&'static Rule] {
        &self.rules
    }
}

fn contains(named: &[Vec<&'static Rule>], rule: &Rule) -> bool {
    named.iter().flatten().any(|one| one.name == rule.name)
}

/// The rules of a name: one rule, or all of a defect type.
fn named(name: &str) -> Result<Vec<&'static Rule>, UnknownRule> {
    let folded = name.trim().to_lowercase();
    let of_type = |rule: &&Rule| {
        rule.defect.word() == folded || rule.defect.word().replace(' ', "-") == folded
    };
    let rules: Vec<&'static Rule> =
        RULES.iter().copied().filter(|rule| rule.name == folded || of_type(rule)).collect();
    if rules.is_empty() { Err(unknown(name, &folded)) } else { Ok(rules) }
}

fn unknown(name: &str, folded: &str) -> UnknownRule {
    let rules = RULES.iter().map(|rule| rule.name);
    let types = DefectType::ALL.into_iter().map(DefectType::word);
    let nearest = rules
        .chain(types)
        .map(|known| (strsim::jaro_winkler(known, folded), known))
        .max_by(|one, other| one.0.total_cmp(&other.0));
    let suggestion = nearest.filter(|(score, _)| *score > 0.8).map(|(_, known)| known.to_owned());
    UnknownRule { name: name.to_owned(), suggestion }
}
