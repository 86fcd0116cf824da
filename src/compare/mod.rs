//! Two audits of the same outlets: what was corrected, what is open, what is new.
//!
//! Owns the pairing of outlets, the status of every violation, and the facts that changed. It judges
//! nothing: both sides are audits by the same rules. A violation counts as corrected only where the later
//! audit decided that there is none; where facts went missing it is unknown now.

mod claims;
mod facts;
mod pairs;
mod status;

pub use claims::{Claim, Held, Holding, hold};
pub use facts::{FactShift, shifts};
pub use pairs::{Pairs, Rename};
pub use status::{Change, Status};

use crate::audit::Audit;

/// What became of the violations of an audit.
pub struct Comparison {
    /// Which outlets are the same.
    pub pairs: Pairs,
    /// Every violation of either side: those of the earlier audit in its order, then the new ones.
    pub changes: Vec<Change>,
}

impl Comparison {
    /// Compares two audits that kept their verdicts. `renamed` are outlets that somebody says are the same.
    pub fn of(before: &Audit, after: &Audit, renamed: &[Rename]) -> Self {
        let pairs = Pairs::of(before, after, renamed);
        let changes = status::changes(before, after, &pairs);
        Self { pairs, changes }
    }

    /// How many violations have a status.
    pub fn count(&self, status: Status) -> usize {
        self.changes.iter().filter(|change| change.status == status).count()
    }

    /// Whether anything is open or new.
    pub fn is_unfinished(&self) -> bool {
        self.count(Status::Open) + self.count(Status::New) > 0
    }

    /// The outlets that stand on both sides, by whether they have a violation: on both sides, before only,
    /// after only, on neither. One that is unknown now counts as still there.
    pub fn paired(&self, before: &Audit, after: &Audit, of: &dyn Fn(u32) -> bool) -> [u64; 4] {
        let violating = |audit: &Audit| {
            let mut violating = vec![false; audit.outlets.len()];
            for finding in audit.findings.iter().filter(|finding| finding.is_violation()) {
                violating[finding.first() as usize] = true;
            }
            violating
        };
        let (was, mut is) = (violating(before), violating(after));
        let unknown = self.changes.iter().filter(|change| change.status == Status::UnknownNow);
        for finding in unknown.filter_map(|change| before.findings.get(change.before?)) {
            if let Some(later) = self.pairs.later(finding.first()) {
                is[later as usize] = true;
            }
        }
        let mut counts = [0; 4];
        for (earlier, later) in self.pairs.both().filter(|(earlier, _)| of(*earlier)) {
            let place = match (was[earlier as usize], is[later as usize]) {
                (true, true) => 0,
                (true, false) => 1,
                (false, true) => 2,
                (false, false) => 3,
            };
            counts[place] += 1;
        }
        counts
    }
}
