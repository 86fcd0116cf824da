//! The name by which an observation finds its outlet.

use crate::outlet::{Outlet, Text, facts};

/// The building, where one is recorded, and the `outlet_id`.
pub(super) type Name = (Option<Text>, Text);

/// The name of an outlet; none without an `outlet_id`.
pub(super) fn name(outlet: &Outlet) -> Option<Name> {
    let id = outlet.get(facts::OUTLET_ID).known()?;
    Some((outlet.get(facts::BUILDING).known(), id))
}
