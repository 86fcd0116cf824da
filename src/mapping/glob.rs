//! Patterns for names of sheets and files: a star stands for any characters, case does not matter.

/// A pattern with any number of stars.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Glob(String);

impl Glob {
    /// The pattern of a text.
    pub fn new(pattern: &str) -> Self {
        Self(pattern.trim().to_owned())
    }

    /// Whether a name has the pattern.
    pub fn matches(&self, name: &str) -> bool {
        matches(&self.0, name.trim())
    }

    /// What the first star stands for, without blanks around it; the whole name when there is no star.
    pub fn capture<'n>(&self, name: &'n str) -> Option<&'n str> {
        let name = name.trim();
        let Some((front, back)) = self.0.split_once('*') else {
            return matches(&self.0, name).then_some(name);
        };
        let start = ends(name).find(|end| matches(front, &name[..*end]))?;
        let rest = &name[start..];
        let end = ends(rest).find(|end| matches(back, &rest[*end..]))?;
        Some(rest[..end].trim())
    }
}

/// Every place at which a text can be cut, from its start to its end.
fn ends(text: &str) -> impl Iterator<Item = usize> {
    text.char_indices().map(|(place, _)| place).chain([text.len()])
}

/// Whether a whole text has a pattern. After a mismatch only the last star takes one character more,
/// so the time is at most the product of both lengths.
fn matches(pattern: &str, text: &str) -> bool {
    let (mut pattern, mut text) = (pattern.chars(), text.chars());
    let mut last_star = None;
    loop {
        let (mut ahead, mut rest) = (pattern.clone(), text.clone());
        match (ahead.next(), rest.next()) {
            (Some('*'), _) => {
                last_star = Some((ahead.clone(), text.clone()));
                pattern = ahead;
                continue;
            }
            (None, None) => return true,
            (Some(one), Some(other)) if one.to_lowercase().eq(other.to_lowercase()) => {
                (pattern, text) = (ahead, rest);
                continue;
            }
            _ => {}
        }
        let Some((after_star, taken)) = &mut last_star else { return false };
        if taken.next().is_none() {
            return false;
        }
        (pattern, text) = (after_star.clone(), taken.clone());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_star_stands_for_any_characters() {
        for (pattern, name, expected) in [
            ("Level *", "Level 3", true),
            ("Level *", "LEVEL ", false),
            ("level*", "Level", true),
            ("*", "", true),
            ("*a*b", "xaybzb", true),
            ("*a*b", "xaybz", false),
            ("Plan", "plan", true),
            ("Plan", "plans", false),
        ] {
            assert_eq!(Glob::new(pattern).matches(name), expected, "{pattern} {name}");
        }
    }

    #[test]
    fn the_first_star_is_captured() {
        for (pattern, name, expected) in [
            ("Level *", "level 3", Some("3")),
            ("*-devices-*", "Dalton Hall-devices-rev 2", Some("Dalton Hall")),
            ("*", " EG ", Some("EG")),
            ("EG", "eg", Some("eg")),
            ("Level *", "Roof", None),
        ] {
            assert_eq!(Glob::new(pattern).capture(name), expected, "{pattern} {name}");
        }
    }
}
