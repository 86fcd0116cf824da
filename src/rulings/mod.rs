//! Rulings of the authority having jurisdiction on findings: which finding each is about, whether it still
//! holds, and what it does to the counts.
//!
//! An approved finding leaves the findings of the audit and is kept beside them, with its reference. A
//! question that the authority refused becomes a violation. Everything else stays where it is and is only
//! noted. The room touches no file and never guesses: a ruling is about findings of its rule that are at
//! all the places it names.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::audit::{Audit, Finding};

/// What the authority said.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Answer {
    /// It is accepted as it is.
    #[default]
    Approved,
    /// It is not.
    Refused,
    /// Not yet: it stays as it is.
    Deferred,
}

impl Answer {
    /// All of them, in the order of their words in files.
    pub const ALL: [Self; 3] = [Self::Approved, Self::Refused, Self::Deferred];

    /// The word in files and reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Approved => "approved",
            Self::Refused => "refused",
            Self::Deferred => "deferred",
        }
    }
}

/// A ruling. An empty text names nothing, so it holds wherever the others do.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Ruling {
    /// Its line in its file.
    pub line: u32,
    /// The rule by its name.
    pub rule: String,
    /// The outlet, or the group by the name that findings give it.
    pub outlet_id: String,
    /// The building.
    pub building: String,
    /// The storey.
    pub floor: String,
    /// The room.
    pub room: String,
    /// The trade that corrects.
    pub trade: String,
    /// What was said.
    pub answer: Answer,
    /// Who said so.
    pub by: String,
    /// Number or name of the ruling.
    pub reference: String,
    /// Its day: before, it does not hold.
    pub date: Option<Date>,
    /// The last day on which it holds.
    pub until: Option<Date>,
}

/// Why a finding that a ruling is about stands all the same.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Standing {
    /// The authority refused it.
    Refused,
    /// The authority put it off.
    Deferred,
    /// The ruling ended: the finding is back.
    Ended,
    /// The ruling does not hold yet.
    NotYet,
}

/// A finding that stands, by its first outlet and its rule.
pub type StandingKey = (u32, &'static str);

/// What rulings did to an audit.
#[derive(Default)]
pub struct Ruled {
    /// The file of the rulings, for reports.
    pub path: String,
    /// The rulings, in the order of their file.
    pub rulings: Vec<Ruling>,
    /// Findings that were approved, each with the place of its ruling, by row and rule.
    pub approved: Vec<(usize, Finding)>,
    /// Which rulings are about a finding, whether they decide it or another one does.
    about: Vec<bool>,
    /// Findings that stand, each with the place of the ruling about it, and why.
    pub standing: BTreeMap<StandingKey, (usize, Standing)>,
}

impl Ruled {
    /// The places of rulings that are about no finding of the audit.
    pub fn unused(&self) -> Vec<usize> {
        let about = self.about.iter().enumerate();
        about.filter(|(_, about)| !**about).map(|(ruling, _)| ruling).collect()
    }

    /// The ruling about a finding that stands, and why it does.
    pub fn about(&self, finding: &Finding) -> Option<(&Ruling, Standing)> {
        let (ruling, standing) = self.standing.get(&(finding.first(), finding.rule.name))?;
        Some((&self.rulings[*ruling], *standing))
    }

    /// How many approved findings are violations.
    pub fn approved_violations(&self) -> usize {
        self.approved.iter().filter(|(_, finding)| finding.is_violation()).count()
    }

    /// How many findings stand for a reason.
    pub fn count(&self, reason: Standing) -> usize {
        self.standing.values().filter(|(_, standing)| *standing == reason).count()
    }
}

/// Applies the rulings to an audit as of a day.
pub fn apply(audit: &mut Audit, path: String, rulings: Vec<Ruling>, as_of: Date) -> Ruled {
    let about = vec![false; rulings.len()];
    let mut ruled = Ruled { path, rulings, about, ..Ruled::default() };
    let mut kept = Vec::with_capacity(audit.findings.len());
    for mut finding in std::mem::take(&mut audit.findings) {
        let about: Vec<usize> = (0..ruled.rulings.len())
            .filter(|place| is_about(audit, &finding, &ruled.rulings[*place]))
            .collect();
        for place in &about {
            ruled.about[*place] = true;
        }
        let Some(place) = deciding(&about, &ruled.rulings, as_of) else {
            kept.push(finding);
            continue;
        };
        let ruling = &ruled.rulings[place];
        let standing = match (force(ruling, as_of), ruling.answer) {
            (Force::Ended, _) => Standing::Ended,
            (Force::NotYet, _) => Standing::NotYet,
            (Force::Holds, Answer::Deferred) => Standing::Deferred,
            (Force::Holds, Answer::Refused) => {
                audit.refuse(&mut finding);
                Standing::Refused
            }
            (Force::Holds, Answer::Approved) => {
                audit.settle(&finding);
                ruled.approved.push((place, finding));
                continue;
            }
        };
        ruled.standing.insert((finding.first(), finding.rule.name), (place, standing));
        kept.push(finding);
    }
    audit.findings = kept;
    ruled
}

/// Whether a ruling holds on a day.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Force {
    Holds,
    Ended,
    NotYet,
}

fn force(ruling: &Ruling, as_of: Date) -> Force {
    if ruling.date.is_some_and(|date| date > as_of) {
        Force::NotYet
    } else if ruling.until.is_some_and(|until| until < as_of) {
        Force::Ended
    } else {
        Force::Holds
    }
}

/// Of the rulings about a finding the one that decides: one that holds before one that does not, then the
/// latest, then the last of the file.
fn deciding(about: &[usize], rulings: &[Ruling], as_of: Date) -> Option<usize> {
    let rank = |place: usize| (force(&rulings[place], as_of) == Force::Holds, rulings[place].date);
    about.iter().copied().max_by_key(|place| (rank(*place), *place))
}

/// Whether a ruling is about a finding: one of its outlets is at all the places that the ruling names.
fn is_about(audit: &Audit, finding: &Finding, ruling: &Ruling) -> bool {
    let says = |text: &str, is: &str| text.is_empty() || text == is;
    let here = |outlet: &u32| {
        let place = audit.place(*outlet);
        says(&ruling.building, place.building)
            && says(&ruling.floor, place.floor)
            && says(&ruling.room, place.room)
    };
    let named = || {
        ruling.outlet_id.is_empty()
            || audit.outlet_ids(finding).any(|id| id == ruling.outlet_id)
            || audit.subject(finding) == ruling.outlet_id
    };
    let trade = || {
        ruling.trade.is_empty()
            || audit.trade(finding).0.to_lowercase() == ruling.trade.to_lowercase()
    };
    ruling.rule == finding.rule.name && finding.members.iter().any(here) && named() && trade()
}
