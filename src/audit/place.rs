//! Where an outlet is and whose it is, as its schedule says: what the figures and reports sort by.

use crate::outlet::Field;

use super::run::Audit;
use super::subjects::text_of;

/// Place and trade of an outlet; each empty where nothing is recorded.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Place<'a> {
    /// Its building.
    pub building: &'a str,
    /// Its storey.
    pub floor: &'a str,
    /// Its room.
    pub room: &'a str,
    /// The trade that the schedule names.
    pub trade: &'a str,
}

impl Audit {
    /// Place and trade of the outlet at a place of the list.
    pub fn place(&self, outlet: u32) -> Place<'_> {
        let get = |field| text_of(self.outlet(outlet), field, &self.texts);
        Place {
            building: get(Field::Building),
            floor: get(Field::Floor),
            room: get(Field::Room),
            trade: get(Field::Trade),
        }
    }
}
