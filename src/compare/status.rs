//! What became of each violation.

use std::collections::{HashMap, HashSet};

use crate::audit::difference::{ChangedFact, changed_facts};
use crate::audit::subjects::Subjects;
use crate::audit::{Audit, Field, Finding, Rule, SubjectKind, VerdictKind};

use super::pairs::Pairs;

/// What became of a violation.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Status {
    /// The later audit decided that there is none.
    Corrected,
    /// It is still there.
    Open,
    /// It was not found before: it was not there, or could not be told.
    New,
    /// Its outlet, or one of its group, is no longer in the schedule.
    Gone,
    /// Nobody can tell: facts went missing, another edition governs, or its outlet cannot be told from another
    /// one. Never counted as corrected.
    UnknownNow,
}

impl Status {
    /// All of them, in the order of reports.
    pub const ALL: [Self; 5] =
        [Self::Open, Self::New, Self::UnknownNow, Self::Gone, Self::Corrected];

    /// The word in files and reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Corrected => "corrected",
            Self::Open => "open",
            Self::New => "new",
            Self::Gone => "gone",
            Self::UnknownNow => "unknown now",
        }
    }
}

/// A violation of one of the audits, or of both.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Change {
    /// What became of it.
    pub status: Status,
    /// The rule.
    pub rule: &'static str,
    /// The finding of the earlier audit, as a place in its list.
    pub before: Option<usize>,
    /// The finding of the later audit, as a place in its list.
    pub after: Option<usize>,
    /// The verdict of the earlier audit; none where the outlet was not there.
    pub was: Option<VerdictKind>,
    /// The verdict of the later audit; none where the outlet is not there.
    pub is: Option<VerdictKind>,
    /// Facts that the rule asks for and that differ, in words, joined.
    pub what_changed: String,
}

/// Every violation of two audits.
pub(super) fn changes(before: &Audit, after: &Audit, pairs: &Pairs) -> Vec<Change> {
    let (old, new) = (Verdicts::of(before), Verdicts::of(after));
    let mut still: HashSet<usize> = HashSet::new();
    let mut changes = Vec::new();
    for (place, finding) in violations(before) {
        let (change, same) = fate(before, (place, finding), after, &new, pairs);
        still.extend(same);
        changes.push(change);
    }
    for (place, finding) in violations(after).filter(|(place, _)| !still.contains(place)) {
        let earlier = first_paired(finding, |outlet| pairs.earlier(outlet));
        let was = earlier.and_then(|(_, outlet)| old.of_outlet(finding.rule, outlet));
        changes.push(Change {
            status: Status::New,
            rule: finding.rule.name,
            before: None,
            after: Some(place),
            was: was.map(|verdict| verdict.kind),
            is: Some(VerdictKind::Violates),
            what_changed: earlier.map_or_else(String::new, |(later, outlet)| {
                in_words(&changed(finding.rule, &[(outlet, later)], before, after))
            }),
        });
    }
    changes
}

fn violations(audit: &Audit) -> impl Iterator<Item = (usize, &Finding)> {
    audit.findings.iter().enumerate().filter(|(_, finding)| finding.is_violation())
}

/// What became of a violation of the earlier audit, and the findings of the later one that are the same.
fn fate(
    before: &Audit,
    (place, finding): (usize, &Finding),
    after: &Audit,
    new: &Verdicts,
    pairs: &Pairs,
) -> (Change, Vec<usize>) {
    let change = |status, is, after, what_changed| Change {
        status,
        rule: finding.rule.name,
        before: Some(place),
        after,
        was: Some(VerdictKind::Violates),
        is,
        what_changed,
    };
    let both: Vec<(u32, u32)> = finding
        .members
        .iter()
        .filter_map(|outlet| Some((*outlet, pairs.later(*outlet)?)))
        .collect();
    if both.is_empty() {
        let unclear = finding.members.iter().any(|outlet| pairs.is_ambiguous(*outlet));
        let (status, told) =
            if unclear { (Status::UnknownNow, AMBIGUOUS) } else { (Status::Gone, "") };
        return (change(status, None, None, told.to_owned()), Vec::new());
    }
    let gone = finding.members.len() - both.len();
    let changed = changed(finding.rule, &both, before, after);
    let mut told = in_words(&changed);
    if gone > 0 {
        let more = format!("{gone} of its outlets gone");
        told = if told.is_empty() { more } else { format!("{told}; {more}") };
    }
    let answers: Vec<Option<Answer>> =
        both.iter().map(|(_, later)| new.of_outlet(finding.rule, *later)).collect();
    let same: Vec<usize> = answers.iter().flatten().filter_map(|answer| answer.violation).collect();
    let is = |kind| answers.iter().flatten().find(|answer| answer.kind == kind).map(|one| one.kind);
    let decided = is(VerdictKind::Complies).or(is(VerdictKind::NotApplicable));
    let open = is(VerdictKind::Undetermined).or(is(VerdictKind::Authority));
    let (status, is) = if let Some(first) = same.first() {
        return (change(Status::Open, Some(VerdictKind::Violates), Some(*first), told), same);
    } else if answers.contains(&None) || open.is_some() {
        (Status::UnknownNow, open)
    } else if gone > 0 {
        (Status::Gone, decided)
    } else if are_lost(&changed) {
        (Status::UnknownNow, decided)
    } else {
        (Status::Corrected, decided)
    };
    (change(status, is, None, told), Vec::new())
}

/// Why nobody can tell, where a name does not say which outlet it is.
const AMBIGUOUS: &str = "its outlet_id stands more than once in its building";

/// The first outlet of a finding that stands on the other side too, and its place there.
fn first_paired(finding: &Finding, other: impl Fn(u32) -> Option<u32>) -> Option<(u32, u32)> {
    finding.members.iter().find_map(|outlet| Some((*outlet, other(*outlet)?)))
}

/// What ties an outlet to its group.
const fn keys(kind: SubjectKind) -> &'static [Field] {
    match kind {
        SubjectKind::Outlet => &[],
        SubjectKind::Enclosure => &[Field::EnclosureId],
        SubjectKind::Circuit => &[Field::Panel, Field::Circuit],
        SubjectKind::BedLocation => &[Field::BedLocation],
    }
}

/// Whether a fact can matter to a rule: it reads it, or its group hangs on it.
fn matters(rule: &Rule, field: Field) -> bool {
    rule.reads(field) || keys(rule.subject).contains(&field)
}

/// The facts that can matter to a rule and that differ on some outlets.
fn changed(
    rule: &'static Rule,
    outlets: &[(u32, u32)],
    before: &Audit,
    after: &Audit,
) -> Vec<ChangedFact> {
    let facts = outlets
        .iter()
        .flat_map(|(earlier, later)| changed_facts((before, *earlier), (after, *later)));
    facts.filter(|fact| matters(rule, fact.field)).collect()
}

/// Whether the later audit lacks a fact that the rule reads and the earlier one had, or judges the outlet by
/// another edition: then it may well find nothing, and nobody has corrected anything.
fn are_lost(changed: &[ChangedFact]) -> bool {
    changed.iter().any(|fact| fact.is_lost() || fact.field == Field::Edition)
}

/// Facts that differ, each once.
fn in_words(changed: &[ChangedFact]) -> String {
    let mut told: Vec<String> = Vec::new();
    for text in changed.iter().map(ChangedFact::text) {
        if !told.contains(&text) {
            told.push(text);
        }
    }
    told.join("; ")
}

/// A verdict, and its place among the findings where it is a violation.
#[derive(Clone, Copy, PartialEq)]
struct Answer {
    kind: VerdictKind,
    violation: Option<usize>,
}

/// The verdicts of an audit by rule and outlet.
struct Verdicts {
    by_first: HashMap<(&'static str, u32), VerdictKind>,
    violations: HashMap<(&'static str, u32), usize>,
    /// For each kind of group the first outlet of the group that an outlet is in.
    firsts: [Vec<Option<u32>>; 4],
}

impl Verdicts {
    fn of(audit: &Audit) -> Self {
        let rows = audit.verdicts.iter();
        Self {
            by_first: rows.map(|row| ((row.rule.name, row.first), row.kind)).collect(),
            violations: violations(audit)
                .map(|(place, finding)| ((finding.rule.name, finding.first()), place))
                .collect(),
            firsts: SubjectKind::ALL.map(|kind| firsts(&audit.subjects, kind, audit.outlets.len())),
        }
    }

    /// The verdict of a rule on the subject that an outlet is in.
    fn of_outlet(&self, rule: &'static Rule, outlet: u32) -> Option<Answer> {
        let kinds = SubjectKind::ALL;
        let kind = kinds.iter().position(|kind| *kind == rule.subject)?;
        let first = self.firsts[kind][outlet as usize]?;
        let key = (rule.name, first);
        let violation = self.violations.get(&key).copied();
        // What the authority ruled goes before what the rule gave.
        let kind = match (*self.by_first.get(&key)?, violation) {
            (_, Some(_)) => VerdictKind::Violates,
            (VerdictKind::Violates, None) => VerdictKind::Complies,
            (kind, None) => kind,
        };
        Some(Answer { kind, violation })
    }
}

fn firsts(subjects: &Subjects, kind: SubjectKind, outlets: usize) -> Vec<Option<u32>> {
    let mut firsts = vec![None; outlets];
    for place in 0..subjects.count(kind) {
        let members = subjects.members(kind, place);
        for member in members.iter() {
            firsts[*member as usize] = members.first().copied();
        }
    }
    firsts
}
