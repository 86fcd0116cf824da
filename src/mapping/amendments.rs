//! Files of local amendments: what a jurisdiction changed when it adopted the code.
//!
//! Owns their shape and the errors in them, all at once and each with its line. What the rules are and
//! which limits they have is told by the caller; what an amendment does is the rules' business.

use std::path::Path;
use std::sync::Arc;

use toml::de::DeTable;

use super::error::{MappingError, Problem, Source, did_you_mean};
use super::file::walk::{Item, Walk, items};
use super::read::{self, Column, Content, Reading};
use crate::outlet::words::Edition;
use crate::outlet::{Field, Length, Texts, Word as _};

/// A rule that may be amended.
#[derive(Clone, Debug)]
pub struct AmendableRule {
    /// Its name.
    pub name: &'static str,
    /// The names of its limits.
    pub limits: Vec<&'static str>,
}

/// One amendment as its file says it.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct AmendmentLine {
    /// The rule.
    pub rule: String,
    /// Where the amendment stands.
    pub citation: String,
    /// The buildings for which it holds; all when empty.
    pub buildings: Vec<String>,
    /// The rule does not hold.
    pub off: bool,
    /// Editions in which the rule is judged as in another.
    pub editions: Vec<Edition>,
    /// That other edition.
    pub as_in: Option<Edition>,
    /// Limits by name, with their new length.
    pub limits: Vec<(String, Length)>,
}

const TOP: &[&str] = &["jurisdiction", "amendment"];
const AMENDMENT: &[&str] = &["rule", "citation", "buildings", "off", "editions", "as_in", "limits"];

/// Reads a file of amendments; all its errors at once, in the order of the file.
pub fn open(path: &Path, rules: &[AmendableRule]) -> Result<Vec<AmendmentLine>, Vec<MappingError>> {
    let shown = path.display().to_string();
    match super::whole_text(path) {
        Ok(text) => parse(Source { path: shown, text }, rules),
        Err(error) => Err(vec![MappingError {
            source_file: Arc::new(Source { path: shown, text: String::new() }),
            span: None,
            problem: Problem::File(Arc::new(error)),
            help: None,
        }]),
    }
}

/// Reads the text of a file of amendments.
pub fn parse(
    source: Source,
    rules: &[AmendableRule],
) -> Result<Vec<AmendmentLine>, Vec<MappingError>> {
    let source = Arc::new(source);
    let (document, syntax) = DeTable::parse_recoverable(&source.text);
    let mut walk = Walk { source: &source, errors: Vec::new() };
    for error in syntax {
        let span = error.span().unwrap_or(0..0);
        walk.error(span, Problem::Syntax(error.message().replace('\n', "; ")), None);
    }
    if !walk.errors.is_empty() {
        return Err(walk.errors);
    }
    let mut amendments = Vec::new();
    for item in items(document.get_ref()) {
        match item.key {
            "jurisdiction" => {
                walk.text(item);
            }
            "amendment" => amendments = walk.amendments(item, rules),
            _ => walk.unknown_key(item, "a file of amendments", TOP),
        }
    }
    walk.errors.sort_by_key(|error| error.span.as_ref().map(|span| span.start));
    if walk.errors.is_empty() { Ok(amendments) } else { Err(walk.errors) }
}

impl Walk<'_> {
    fn amendments(&mut self, item: Item<'_, '_>, rules: &[AmendableRule]) -> Vec<AmendmentLine> {
        let Some(list) = item.value.get_ref().as_array() else {
            self.wrong_type(item, "a list of tables: write [[amendment]]");
            return Vec::new();
        };
        let mut read: Vec<AmendmentLine> = Vec::new();
        for value in list {
            let item = Item { value, ..item };
            let Some(amendment) = self.amendment(item, rules) else { continue };
            if read.iter().any(|earlier| overlap(earlier, &amendment)) {
                let help = "write all changes of a rule for a building into one amendment";
                self.wrong_value(item, help);
            }
            read.push(amendment);
        }
        read
    }

    fn amendment(&mut self, item: Item<'_, '_>, rules: &[AmendableRule]) -> Option<AmendmentLine> {
        let entries = self.table(item)?;
        let mut line = AmendmentLine::default();
        let of_rule = entries.iter().find(|entry| entry.key == "rule");
        let rule = of_rule.and_then(|entry| self.rule(*entry, rules));
        for entry in &entries {
            match entry.key {
                "rule" => {}
                "citation" => self.text(*entry).unwrap_or_default().clone_into(&mut line.citation),
                "buildings" => {
                    let names = self.texts(*entry);
                    line.buildings =
                        names.iter().map(|(name, _)| read::trim(name).to_owned()).collect();
                }
                "off" => line.off = self.truth(*entry),
                "editions" => line.editions = self.editions(*entry),
                "as_in" => line.as_in = self.editions(*entry).first().copied(),
                "limits" => line.limits = self.limits(*entry, rule),
                _ => self.unknown_key(*entry, "an amendment", AMENDMENT),
            }
        }
        for key in ["rule", "citation"] {
            if !entries.iter().any(|entry| entry.key == key) {
                self.error(item.value.span(), Problem::MissingKey { key }, None);
            }
        }
        self.says_one_thing(item, &entries);
        rule?.name.clone_into(&mut line.rule);
        Some(line)
    }

    fn rule<'r>(
        &mut self,
        item: Item<'_, '_>,
        rules: &'r [AmendableRule],
    ) -> Option<&'r AmendableRule> {
        let name = self.text(item)?;
        let rule = rules.iter().find(|rule| rule.name == name);
        if rule.is_none() {
            let help = did_you_mean(name, rules.iter().map(|rule| rule.name))
                .unwrap_or_else(|| "`yokecheck rules` lists the rules".to_owned());
            self.wrong_value(item, help);
        }
        rule
    }

    fn editions(&mut self, item: Item<'_, '_>) -> Vec<Edition> {
        let mut editions = Vec::new();
        for (word, span) in self.texts(item) {
            if let Some(edition) = Edition::of(word).filter(|edition| *edition != Edition::Other) {
                editions.push(edition);
                continue;
            }
            let problem = Problem::WrongValue { key: item.key.to_owned(), found: word.to_owned() };
            self.error(span, problem, "the editions are 2014, 2017, 2020 and 2023".to_owned());
        }
        editions
    }

    fn limits(
        &mut self,
        item: Item<'_, '_>,
        rule: Option<&AmendableRule>,
    ) -> Vec<(String, Length)> {
        let mut limits = Vec::new();
        let known = rule.map_or(&[][..], |rule| &rule.limits);
        for entry in self.table(item).unwrap_or_default() {
            if rule.is_some() && !known.contains(&entry.key) {
                let help = if known.is_empty() {
                    "this rule has no limit that can be changed".to_owned()
                } else {
                    did_you_mean(entry.key, known.iter().copied())
                        .unwrap_or_else(|| format!("its limits are {}", known.join(", ")))
                };
                let problem = Problem::UnknownKey { key: entry.key.to_owned(), table: "limits" };
                self.error(entry.span(), problem, help);
                continue;
            }
            let Some(text) = self.text(entry) else { continue };
            match read::read(Content::Text(text), &Column::of(Field::Height), &mut Texts::default())
            {
                Reading::Known(raw) if raw >= 0 => limits.push((entry.key.to_owned(), Length(raw))),
                _ => self.wrong_value(entry, "it is a length with its unit, such as \"3 mm\""),
            }
        }
        limits
    }

    /// An amendment switches off, carries into editions, or changes limits; and says so completely.
    fn says_one_thing(&mut self, item: Item<'_, '_>, entries: &[Item<'_, '_>]) {
        let has = |key| entries.iter().any(|entry| entry.key == key);
        if has("editions") != has("as_in") {
            let key = if has("editions") { "as_in" } else { "editions" };
            let help = "to carry a rule into editions, name them in `editions` and where it comes from in `as_in`";
            self.error(item.value.span(), Problem::MissingKey { key }, help.to_owned());
        }
        if !["off", "editions", "as_in", "limits"].into_iter().any(has) {
            let help = "an amendment has `off = true`, `editions` with `as_in`, or `limits`";
            self.error(item.value.span(), Problem::MissingKey { key: "off" }, help.to_owned());
        }
    }
}

/// Whether two amendments change one rule for one building.
fn overlap(one: &AmendmentLine, other: &AmendmentLine) -> bool {
    let everywhere = one.buildings.is_empty() || other.buildings.is_empty();
    one.rule == other.rule
        && (everywhere || one.buildings.iter().any(|name| other.buildings.contains(name)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rules() -> Vec<AmendableRule> {
        vec![
            AmendableRule { name: "wall-gap", limits: vec!["gap"] },
            AmendableRule { name: "face-up-below-sink", limits: vec![] },
        ]
    }

    fn read(text: &str) -> Result<Vec<AmendmentLine>, Vec<MappingError>> {
        parse(Source { path: "local.toml".to_owned(), text: text.to_owned() }, &rules())
    }

    #[test]
    fn an_amendment_is_read_whole() {
        let text = r#"
            jurisdiction = "Nowhere"
            [[amendment]]
            rule = "wall-gap"
            citation = "Ordinance 7"
            buildings = ["Mill"]
            limits = { gap = "2 mm" }
            [[amendment]]
            rule = "face-up-below-sink"
            citation = "Ordinance 8"
            editions = ["2014", "2017"]
            as_in = "2020"
        "#;
        let amendments = read(text).unwrap();
        assert_eq!(amendments[0].limits, [("gap".to_owned(), Length(2_000_000))]);
        assert_eq!(amendments[1].editions, [Edition::E2014, Edition::E2017]);
        assert_eq!(amendments[1].as_in, Some(Edition::E2020));
    }

    #[test]
    fn all_errors_are_told_at_once_with_their_lines() {
        let text = "[[amendment]]\nrule = \"wall-gapp\"\ncitation = \"x\"\noff = true\n\
                    [[amendment]]\nrule = \"wall-gap\"\nlimits = { width = \"2 mm\" }\n\
                    [[amendment]]\nrule = \"face-up-below-sink\"\ncitation = \"y\"\neditions = [\"2026\"]\n";
        let errors = read(text).unwrap_err();
        let lines: Vec<usize> = errors.iter().map(MappingError::line).collect();
        assert_eq!(lines, [2, 5, 7, 8, 11]);
        let shown = errors[0].to_string();
        assert!(shown.contains("wall-gapp") && shown.contains("`wall-gap`"), "{shown}");
    }

    #[test]
    fn two_amendments_of_a_rule_for_one_building_are_refused() {
        let one = "[[amendment]]\nrule = \"wall-gap\"\ncitation = \"x\"\noff = true\n";
        let other = format!("{one}buildings = [\"Mill\"]\n");
        assert_eq!(read(&format!("{one}{other}")).unwrap_err().len(), 1);
    }
}
