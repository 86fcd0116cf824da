//! Where a rule stands in each edition, and how sure that number is.

use std::fmt;

use crate::outlet::Word as _;
use crate::outlet::words::Edition;

/// The editions that the program judges by, oldest first.
pub const EDITIONS: [Edition; 4] = [Edition::E2014, Edition::E2017, Edition::E2020, Edition::E2023];

/// Place of an edition among [`EDITIONS`]; none for another code.
pub fn edition_index(edition: Edition) -> Option<usize> {
    EDITIONS.iter().position(|known| *known == edition)
}

/// How a section number or a fact of an edition was confirmed.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Confidence {
    /// From memory: to be checked against the adopted book.
    Memory,
    /// By one published summary.
    One,
    /// By two or more independent published summaries.
    Two,
}

impl Confidence {
    /// The short mark that stands beside a citation.
    pub const fn mark(self) -> &'static str {
        match self {
            Self::Memory => "m",
            Self::One => "c1",
            Self::Two => "c2",
        }
    }

    /// What the mark means.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Memory => "citation from memory; check against the adopted book",
            Self::One => "confirmed by one published summary",
            Self::Two => "confirmed by two or more published summaries",
        }
    }
}

/// A section of one edition.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Section {
    /// Its number, such as `406.5(A)`.
    pub number: &'static str,
    /// How it was confirmed.
    pub confidence: Confidence,
}

impl fmt::Display for Section {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} [{}]", self.number, self.confidence.mark())
    }
}

/// Where a rule stands, edition by edition; nothing where an edition has no such rule.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Citation {
    /// A rule of NFPA 70.
    Nfpa70([Option<Section>; 4]),
    /// A rule of another published standard, whatever the edition.
    Other {
        /// The standard and its section.
        standard: &'static str,
        /// How it was confirmed.
        confidence: Confidence,
    },
}

impl Citation {
    /// The same section in all four editions.
    pub const fn all(number: &'static str, confidence: Confidence) -> Self {
        Self::of([number; 4], [confidence; 4])
    }

    /// A section for each edition; an empty number where the edition has no such rule.
    pub const fn of(numbers: [&'static str; 4], confidence: [Confidence; 4]) -> Self {
        let mut sections = [None; 4];
        let mut index = 0;
        while index < 4 {
            if !numbers[index].is_empty() {
                let section = Section { number: numbers[index], confidence: confidence[index] };
                sections[index] = Some(section);
            }
            index += 1;
        }
        Self::Nfpa70(sections)
    }

    /// The section of an edition.
    pub fn section(&self, edition: Edition) -> Option<Section> {
        match self {
            Self::Nfpa70(sections) => edition_index(edition).and_then(|index| sections[index]),
            Self::Other { .. } => None,
        }
    }

    /// The sections that these editions give a rule: one number when they agree, else each with its
    /// edition, such as `406.5(G) (2017), 406.5(G)(1) (2020, 2023)`.
    pub fn text(&self, editions: &[Edition]) -> String {
        match self {
            Self::Other { standard, .. } => (*standard).to_owned(),
            Self::Nfpa70(_) => self.sections_text(editions, |section| section.number.to_owned()),
        }
    }

    /// Like [`Citation::text`], with the mark of confidence beside each section.
    pub fn marked(&self, editions: &[Edition]) -> String {
        match self {
            Self::Other { standard, confidence } => format!("{standard} [{}]", confidence.mark()),
            Self::Nfpa70(_) => self.sections_text(editions, |section| section.to_string()),
        }
    }

    fn sections_text(&self, editions: &[Edition], print: impl Fn(Section) -> String) -> String {
        let mut groups: Vec<(String, Vec<&'static str>)> = Vec::new();
        for edition in editions {
            let Some(section) = self.section(*edition) else { continue };
            let text = print(section);
            match groups.iter_mut().find(|(known, _)| *known == text) {
                Some((_, years)) => years.push(edition.word()),
                None => groups.push((text, vec![edition.word()])),
            }
        }
        if let [(text, _)] = groups.as_slice() {
            return text.clone();
        }
        let parts = groups.iter().map(|(text, years)| format!("{text} ({})", years.join(", ")));
        parts.collect::<Vec<_>>().join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_citation_names_one_section_when_the_editions_agree() {
        let citation = Citation::of(
            ["", "406.5(G)", "406.5(G)(1)", "406.5(G)(1)"],
            [Confidence::Two, Confidence::Memory, Confidence::Two, Confidence::Two],
        );
        assert_eq!(citation.text(&[Edition::E2020, Edition::E2023]), "406.5(G)(1)");
        assert_eq!(
            citation.marked(&EDITIONS),
            "406.5(G) [m] (2017), 406.5(G)(1) [c2] (2020, 2023)"
        );
        assert_eq!(citation.text(&[Edition::E2014]), "");
    }
}
