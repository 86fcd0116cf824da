//! Lists of corrections that came back filled in, held against what the later audit found.

use std::collections::{BTreeSet, HashMap};

use crate::audit::Audit;
use crate::audit::Field;
use crate::audit::subjects::text_of;

use super::Comparison;
use super::status::Status;

/// That somebody corrected a violation, as a list of corrections says it.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub struct Claim {
    /// The rule.
    pub rule: String,
    /// The building.
    pub building: String,
    /// The outlet; empty where it has no name.
    pub outlet_id: String,
    /// The row of the schedule from which the list was made.
    pub row: u32,
    /// Who says so, and when, as it was filled in.
    pub by: String,
    /// The file and the row where it stands.
    pub place: String,
}

/// What a claim comes to.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Held {
    /// It is corrected.
    AsClaimed,
    /// It is still open.
    StillOpen,
    /// Nobody can tell: facts went missing, or the outlet is gone.
    NotToBeTold,
    /// The earlier audit found no such violation.
    OfNothing,
}

impl Held {
    /// All of them, in the order of reports.
    pub const ALL: [Self; 4] =
        [Self::StillOpen, Self::NotToBeTold, Self::OfNothing, Self::AsClaimed];

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::AsClaimed => "corrected as claimed",
            Self::StillOpen => "claimed but still open",
            Self::NotToBeTold => "claimed, and not to be told now",
            Self::OfNothing => "claimed, and no violation before",
        }
    }
}

/// Claims held against a comparison.
#[derive(Default)]
pub struct Holding {
    /// The claims, each with what it comes to and the change it is about.
    pub claims: Vec<(Claim, Held, Option<usize>)>,
    /// Corrected violations that nobody claims, as places in the list of changes.
    pub unclaimed: Vec<usize>,
}

impl Holding {
    /// How many claims come to this.
    pub fn count(&self, held: Held) -> usize {
        self.claims.iter().filter(|(_, one, _)| *one == held).count()
    }

    /// The outlets of the later audit on which somebody claims to have worked.
    pub fn worked_on(&self, comparison: &Comparison, before: &Audit) -> BTreeSet<u32> {
        let changes = self.claims.iter().filter_map(|(_, _, change)| *change);
        let findings = changes.filter_map(|change| comparison.changes[change].before);
        let outlets = findings.flat_map(|finding| before.findings[finding].members.iter());
        outlets.filter_map(|outlet| comparison.pairs.later(*outlet)).collect()
    }
}

/// Rule, building and `outlet_id` of a violation.
type Name<'a> = (&'a str, &'a str, &'a str);

/// Holds claims against a comparison; `row_of` tells the row of the schedule from which an outlet of the
/// earlier audit was read first.
pub fn hold(
    comparison: &Comparison,
    before: &Audit,
    row_of: &dyn Fn(u32) -> u32,
    claims: Vec<Claim>,
) -> Holding {
    let mut changes: HashMap<Name<'_>, Vec<(u32, usize)>> = HashMap::new();
    for (place, change) in comparison.changes.iter().enumerate() {
        let Some(finding) = change.before.map(|finding| &before.findings[finding]) else {
            continue;
        };
        let first = finding.first();
        let id = text_of(before.outlet(first), Field::OutletId, &before.texts);
        let name = (change.rule, before.place(first).building, id);
        changes.entry(name).or_default().push((row_of(first), place));
    }
    let mut claimed = vec![false; comparison.changes.len()];
    let mut holding = Holding::default();
    for claim in claims {
        let name = (claim.rule.as_str(), claim.building.as_str(), claim.outlet_id.as_str());
        let change = match changes.get(&name).map(Vec::as_slice) {
            Some([(_, only)]) if !claim.outlet_id.is_empty() => Some(*only),
            // A name that several have, or none: the row tells.
            several => several
                .and_then(|all| all.iter().find(|(row, _)| *row == claim.row))
                .map(|(_, change)| *change),
        };
        if let Some(change) = change {
            claimed[change] = true;
        }
        let held = match change.map(|change| comparison.changes[change].status) {
            Some(Status::Corrected) => Held::AsClaimed,
            Some(Status::Open) => Held::StillOpen,
            Some(Status::UnknownNow | Status::Gone | Status::New) => Held::NotToBeTold,
            None => Held::OfNothing,
        };
        holding.claims.push((claim, held, change));
    }
    let corrected = comparison.changes.iter().enumerate();
    let corrected = corrected.filter(|(_, change)| change.status == Status::Corrected);
    holding.unclaimed =
        corrected.map(|(place, _)| place).filter(|place| !claimed[*place]).collect();
    holding
}
