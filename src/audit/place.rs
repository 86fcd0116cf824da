//! Where an outlet is and whose it is, as its schedule says: what the figures and reports sort by.

use hashbrown::HashMap;

use crate::outlet::{Fact, Field};

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

/// The places and trades of an audit, each once: a storey of thousands of outlets has few.
#[derive(Clone, Debug, Default)]
pub struct Spots {
    /// The spot of each outlet, as a place in the list of firsts.
    pub of: Vec<u32>,
    /// The first outlet of each spot, as a place in the list of outlets.
    pub firsts: Vec<u32>,
}

impl Spots {
    /// The spots in the order of their first outlets.
    pub fn of(audit: &Audit) -> Self {
        let mut known: HashMap<[Fact<i64>; 4], u32> = HashMap::new();
        let mut spots = Self::default();
        for (outlet, place) in audit.outlets.iter().zip(0..) {
            let key = [Field::Building, Field::Floor, Field::Room, Field::Trade];
            let next = u32::try_from(spots.firsts.len()).unwrap_or(u32::MAX);
            let spot = *known.entry(key.map(|field| outlet.raw(field))).or_insert(next);
            if spot == next {
                spots.firsts.push(place);
            }
            spots.of.push(spot);
        }
        spots
    }
}
