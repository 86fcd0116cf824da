//! Texts that more than one report needs: where a finding stands, what is wrong, which cells say so.

use crate::audit::finding::{Finding, FindingAnswer};
use crate::outlet::words::Edition;
use crate::outlet::{Origin, Word as _};
use crate::rules::Inference;
use crate::rulings::{Ruled, Standing};
use crate::statistics::natural::{FloorKey, NaturalKey};

use super::context::Report;

/// Separator of lists in the CSV files.
pub const LIST: &str = ";";

/// What is wrong, or the question, with the conclusions that were drawn; without the figures.
pub fn wrong(finding: &Finding) -> String {
    let what = match &finding.answer {
        FindingAnswer::Violates(violation) => violation.what,
        FindingAnswer::Authority(question) => question,
    };
    let drawn = finding.inferences.iter().map(Inference::sentence);
    std::iter::once(what).chain(drawn).collect::<Vec<_>>().join("; ")
}

/// The years of editions, joined.
pub fn years(editions: &[Edition], separator: &str) -> String {
    editions.iter().map(|edition| edition.word()).collect::<Vec<_>>().join(separator)
}

/// Yes or no.
pub const fn yes_no(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}

/// A count with its noun: `1 outlet`, `2 outlets`.
pub fn counted(count: u64, one: &str, more: &str) -> String {
    format!("{} {}", grouped(count), if count == 1 { one } else { more })
}

/// A number with its thousands parted.
pub fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// What became of rulings, in a sentence.
pub fn rulings_told(ruled: &Ruled) -> String {
    let approved = ruled.approved_violations() as u64;
    let questions = ruled.approved.len() as u64 - approved;
    let mut parts =
        vec![format!("{} approved", counted(approved, "violation is", "violations are"))];
    if questions > 0 {
        parts.push(format!("{} answered", counted(questions, "question is", "questions are")));
    }
    let reasons = [
        (Standing::Refused, "refused"),
        (Standing::Deferred, "deferred"),
        (Standing::Ended, "back, the ruling having ended"),
        (Standing::NotYet, "not yet under its ruling"),
    ];
    for (reason, words) in reasons {
        let count = ruled.count(reason) as u64;
        if count > 0 {
            parts.push(format!("{} {words}", counted(count, "finding is", "findings are")));
        }
    }
    let unused = ruled.unused().len() as u64;
    if unused > 0 {
        let rulings = counted(unused, "ruling matched", "rulings matched");
        parts.push(format!("{rulings} nothing"));
    }
    format!("{}: {}.", ruled.path, parts.join("; "))
}

impl Report<'_> {
    /// Where a row stands: `file | sheet | row`, without the sheet for a text file. For a row of the table of an
    /// earlier audit where that audit had it.
    pub fn source(&self, origin: Origin) -> String {
        let here = (self.account.path(origin), self.account.sheet_name(origin), origin.row);
        match self.account.earlier(origin).unwrap_or(here) {
            (path, "", row) => format!("{path} | row {row}"),
            (path, sheet, row) => format!("{path} | {sheet} | row {row}"),
        }
    }

    /// Where a finding stands, down to its cells: `file | sheet | row | cells`.
    pub fn source_cells(&self, finding: &Finding) -> String {
        let origin = self.audit.outlet(finding.first()).origin;
        let source = self.source(origin);
        let cells = self.cell_ranges(finding);
        // The cells of a table of an earlier audit are nothing that a person could open.
        if cells.is_empty() || self.account.earlier(origin).is_some() {
            source
        } else {
            format!("{source} | {}", cells.join(", "))
        }
    }

    /// Sorts things by the walk through the buildings: building, floor, room, then their rows.
    pub fn in_walking_order<T>(&self, mut things: Vec<T>, outlet: impl Fn(&T) -> u32) -> Vec<T> {
        things.sort_by_cached_key(|thing| {
            let first = outlet(thing);
            let place = self.audit.place(first);
            let building = NaturalKey::of(place.building);
            (building, FloorKey::of(place.floor), NaturalKey::of(place.room), first)
        });
        things
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_are_parted() {
        assert_eq!(grouped(0), "0");
        assert_eq!(grouped(999), "999");
        assert_eq!(grouped(1_234_567), "1,234,567");
        assert_eq!(counted(1, "outlet", "outlets"), "1 outlet");
    }
}
