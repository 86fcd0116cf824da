//! The corrections of an audit as work to be done: its violations by the trade that corrects them, or by
//! the company that installed, one line an outlet, in the order of a walk through the buildings.
//!
//! Owns who gets which line. How a list looks is the business of [`super::workbook`], where it is laid
//! out; the names of files and sheets are made in [`super::names`].

use std::collections::BTreeMap;

use crate::audit::finding::Finding;
use crate::audit::subjects::text_of;
use crate::outlet::Field;
use crate::rules::VerdictKind;
use crate::statistics::natural::NaturalKey;

use super::context::Report;

/// Who gets a workbook of their own.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum By {
    /// Each trade.
    #[default]
    Trade,
    /// Each company that installed.
    Installer,
}

/// The lines of one trade.
#[derive(Clone)]
pub struct List<'a> {
    /// The trade, as its first line writes it; for a joined list what it holds.
    pub trade: String,
    /// Whether it holds several trades.
    pub joined: bool,
    /// Its lines, in walking order; a joined list one trade after the other.
    pub lines: Vec<Line<'a>>,
}

/// What is to be done at one outlet.
#[derive(Clone)]
pub struct Line<'a> {
    /// The outlet, as a place in the list of the audit.
    pub outlet: u32,
    /// The trade that corrects.
    pub trade: String,
    /// Whether the schedule names this trade; otherwise it is the one that usually corrects.
    pub named: bool,
    /// Its violations, the gravest first.
    pub findings: Vec<&'a Finding>,
}

/// What one addressee gets.
#[derive(Clone)]
pub struct Parcel<'a> {
    /// The trade or the company; none where the schedules record no company.
    pub addressee: Option<String>,
    /// Its lists.
    pub lists: Vec<List<'a>>,
}

/// The lists of all trades, by the names of the trades. Trades that differ only in case are one.
pub fn lists<'a>(report: &Report<'a>) -> Vec<List<'a>> {
    lists_of(lines(report))
}

/// The lists, parted by who gets them. Companies that differ only in case are one.
pub fn parcels<'a>(report: &Report<'a>, by: By) -> Vec<Parcel<'a>> {
    match by {
        By::Trade => {
            let parcel =
                |list: List<'a>| Parcel { addressee: Some(list.trade.clone()), lists: vec![list] };
            lists(report).into_iter().map(parcel).collect()
        }
        By::Installer => {
            let mut companies: BTreeMap<_, (String, Vec<Line<'a>>)> = BTreeMap::new();
            for line in lines(report) {
                let outlet = report.audit.outlet(line.outlet);
                let company = text_of(outlet, Field::Installer, &report.audit.texts);
                let entry = companies.entry(key(company));
                entry.or_insert_with(|| (company.to_owned(), Vec::new())).1.push(line);
            }
            companies
                .into_values()
                .map(|(company, lines)| Parcel {
                    addressee: Some(company).filter(|company| !company.is_empty()),
                    lists: lists_of(lines),
                })
                .collect()
        }
    }
}

/// At most so many lists: where there are more, those with the fewest lines are joined into one.
pub fn joined(lists: Vec<List<'_>>, most: usize) -> Vec<List<'_>> {
    if lists.len() <= most {
        return lists;
    }
    let mut places: Vec<usize> = (0..lists.len()).collect();
    places.sort_by_key(|place| std::cmp::Reverse(lists[*place].lines.len()));
    places.truncate(most.saturating_sub(1));
    let (kept, rest): (Vec<_>, Vec<_>) =
        lists.into_iter().enumerate().partition(|(place, _)| places.contains(place));
    let trade = format!("{} other trades", rest.len());
    let lines = rest.into_iter().flat_map(|(_, list)| list.lines).collect();
    let kept = kept.into_iter().map(|(_, list)| list);
    kept.chain([List { trade, joined: true, lines }]).collect()
}

/// All lines, in walking order.
fn lines<'a>(report: &Report<'a>) -> Vec<Line<'a>> {
    let audit = report.audit;
    let mut lines: BTreeMap<(u32, String), Line<'a>> = BTreeMap::new();
    for finding in audit.findings.iter().filter(|one| one.kind() == VerdictKind::Violates) {
        let (outlet, (trade, named)) = (finding.first(), audit.trade(finding));
        let entry = lines.entry((outlet, trade.to_lowercase()));
        let line = entry.or_insert_with(|| Line {
            outlet,
            trade: trade.to_owned(),
            named,
            findings: Vec::new(),
        });
        line.findings.push(finding);
    }
    let mut lines: Vec<Line<'a>> = lines.into_values().collect();
    for line in &mut lines {
        line.findings.sort_by_key(|finding| finding.rule.grade as u8);
    }
    report.in_walking_order(lines, |line| line.outlet)
}

fn lists_of(lines: Vec<Line<'_>>) -> Vec<List<'_>> {
    let mut lists: BTreeMap<_, List<'_>> = BTreeMap::new();
    for line in lines {
        let list = lists.entry(key(&line.trade)).or_insert_with(|| List {
            trade: line.trade.clone(),
            joined: false,
            lines: Vec::new(),
        });
        list.lines.push(line);
    }
    lists.into_values().collect()
}

/// By what names are sorted, and whether two are one.
fn key(name: &str) -> (NaturalKey, String) {
    let folded = name.to_lowercase();
    (NaturalKey::of(&folded), folded)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list(trade: &str, lines: usize) -> List<'static> {
        let line =
            |outlet| Line { outlet, trade: trade.to_owned(), named: true, findings: Vec::new() };
        let lines = (0..).take(lines).map(line).collect();
        List { trade: trade.to_owned(), joined: false, lines }
    }

    fn told(lists: &[List<'_>]) -> Vec<(String, usize)> {
        lists.iter().map(|list| (list.trade.clone(), list.lines.len())).collect()
    }

    #[test]
    fn the_lists_with_the_fewest_lines_are_joined_and_no_line_is_lost() {
        let lists = vec![list("a", 1), list("b", 5), list("c", 2), list("d", 3)];
        let told_as = |name: &str, lines| (name.to_owned(), lines);
        assert_eq!(told(&joined(lists.clone(), 4)).len(), 4);
        let three = joined(lists.clone(), 3);
        assert_eq!(told(&three), [told_as("b", 5), told_as("d", 3), told_as("2 other trades", 3)]);
        assert_eq!(three.iter().map(|list| list.joined).collect::<Vec<_>>(), [false, false, true]);
        assert_eq!(told(&joined(lists, 1)), [told_as("4 other trades", 11)]);
    }
}
