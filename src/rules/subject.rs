//! What a rule answers for.

use crate::code::Change;
use crate::outlet::words::Edition;
use crate::outlet::{Field, Outlet, Texts};

use super::verdict::FactRef;

/// What a rule answers for: one outlet, or the outlets of an enclosure, a circuit, a bed location.
#[derive(Clone, Copy, Debug)]
pub struct Subject<'a> {
    /// Its outlets; one for an outlet rule.
    pub members: &'a [&'a Outlet],
    /// The editions that may govern: one when it is recorded, all four when it is not.
    pub editions: &'a [Edition],
    /// The texts of the outlets.
    pub texts: &'a Texts,
    /// What a local amendment changes of the rule.
    pub amended: Option<&'a Change>,
}

impl Subject<'_> {
    /// Those of the fields that its outlets record, outlet by outlet.
    pub(super) fn recorded(self, fields: &[Field]) -> Vec<FactRef> {
        let rows = self.members.iter().zip(0..);
        let facts = rows.flat_map(|(row, member)| {
            let recorded = fields.iter().filter(|field| row.raw(**field).is_known());
            recorded.map(move |field| FactRef { member, field: *field })
        });
        facts.collect()
    }
}
