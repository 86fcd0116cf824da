//! The population of an audit as single outlets, in strata and rooms, and the draw from it.
//!
//! A row with a quantity is that many outlets. A drawn outlet gets a row of its own, with a name that no
//! other outlet of its building has; the rows that share its box, its circuit or its bed come along
//! undrawn, since some rules judge them together.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use crate::audit::run::devices;
use crate::audit::subjects::text_of;
use crate::audit::{Audit, Place};
use crate::outlet::{Fact, Field, Outlet, Texts, facts};
use crate::statistics::natural::{FloorKey, NaturalKey};

use super::allocate::{LEAST, allocate, proportional};
use super::design::{Allocation, By, Design, Drawn, FORM, Plan, Rooms, Stratum};
use super::draw::{GENERATOR, least, numbers};

/// The outlets of an audit, one by one.
pub struct Frame<'a> {
    audit: &'a Audit,
    by: Vec<By>,
    units: Vec<Unit>,
    /// The strata in order, each with its units, as places in the list.
    strata: Vec<Part<'a>>,
}

/// One outlet.
#[derive(Clone, Copy)]
struct Unit {
    /// Its row, as a place in the list of the audit.
    row: u32,
    /// Which of the outlets of the row it is, from 1.
    number: u64,
    /// How many outlets the row stands for.
    of: u64,
}

/// A stratum.
struct Part<'a> {
    name: String,
    place: Place<'a>,
    units: Vec<usize>,
}

/// A sample: its design, and the rows that go into the survey.
pub struct Sample {
    /// How it was drawn.
    pub design: Design,
    /// A row for each drawn outlet, in the order of the design, then the rows that come along undrawn.
    pub outlets: Vec<Outlet>,
    /// Their texts.
    pub texts: Texts,
}

/// What a sample is drawn by.
#[derive(Clone, Debug)]
pub struct Order {
    /// What it is for.
    pub plan: Plan,
    /// The seed.
    pub seed: u64,
    /// How it is parted among the strata.
    pub allocation: Allocation,
    /// The outlets of each stratum, in the order of the strata.
    pub sizes: Vec<u64>,
    /// The rate that an earlier audit lets expect in each stratum, when there is one.
    pub expected: Option<Vec<f64>>,
    /// Whether rooms are drawn.
    pub rooms: bool,
}

/// The one stratum of a sample that has none.
const WHOLE: &str = "all outlets";
const NONE: &str = "(none recorded)";

/// The name of the stratum of an outlet.
pub fn stratum_name(place: Place<'_>, by: &[By]) -> String {
    let part = |by: &By| match *by {
        By::Building => place.building,
        By::Floor => place.floor,
        By::Trade => place.trade,
    };
    let parts: Vec<&str> =
        by.iter().map(part).map(|text| if text.is_empty() { NONE } else { text }).collect();
    if parts.is_empty() { WHOLE.to_owned() } else { parts.join(" / ") }
}

impl<'a> Frame<'a> {
    /// The outlets of an audit, in strata made by these, which are sorted and named once.
    pub fn of(audit: &'a Audit, by: &[By]) -> Self {
        let by: Vec<By> = By::ALL.into_iter().filter(|one| by.contains(one)).collect();
        let mut units = Vec::new();
        let mut strata: BTreeMap<_, Part<'a>> = BTreeMap::new();
        for (outlet, row) in audit.outlets.iter().zip(0..) {
            let place = audit.place(row);
            let name = stratum_name(place, &by);
            let key: Vec<_> = by.iter().map(|by| sort_key(place, *by)).collect();
            let part = strata.entry((key, name.clone())).or_insert_with(|| Part {
                name,
                place,
                units: Vec::new(),
            });
            let of = devices(outlet);
            for number in 1..=of {
                part.units.push(units.len());
                units.push(Unit { row, number, of });
            }
        }
        Self { audit, by, units, strata: strata.into_values().collect() }
    }

    /// How many outlets there are.
    pub fn population(&self) -> u64 {
        self.units.len() as u64
    }

    /// The outlets of each stratum, in order.
    pub fn populations(&self) -> Vec<u64> {
        self.strata.iter().map(|stratum| stratum.units.len() as u64).collect()
    }

    /// The names of the strata, in order.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.strata.iter().map(|stratum| stratum.name.as_str())
    }

    /// The sizes of proportional allocation; without strata the sample itself.
    pub fn proportional(&self, sample: u64) -> Vec<u64> {
        match self.populations().as_slice() {
            [population] => vec![sample.min(*population)],
            populations => allocate(sample, &proportional(populations)),
        }
    }

    /// Draws a sample.
    pub fn draw(&self, order: &Order) -> Sample {
        let mut strata = Vec::new();
        let mut drawn: Vec<(usize, u32, Option<u32>)> = Vec::new();
        let numbers = numbers(order.seed, self.units.len());
        let mut rooms_so_far = 0;
        for (place, stratum) in self.strata.iter().enumerate() {
            let size = order.sizes[place];
            let number = u32::try_from(place).unwrap_or(u32::MAX);
            let before = drawn.len();
            let rooms = order.rooms.then(|| {
                let rooms = self.rooms(stratum);
                let chosen = draw_rooms(&rooms, &numbers, size, stratum.units.len() as u64);
                let n = chosen.len() as u64;
                for room in chosen {
                    let units = rooms[room].iter();
                    drawn.extend(units.map(|unit| (*unit, number, Some(rooms_so_far))));
                    rooms_so_far += 1;
                }
                Rooms { population: rooms.len() as u64, n }
            });
            if rooms.is_none() {
                let chosen = least(&stratum.units, &numbers, size);
                drawn.extend(chosen.into_iter().map(|unit| (unit, number, None)));
            }
            let n = (drawn.len() - before) as u64;
            strata.push(self.described(stratum, place, n, rooms, order));
        }
        drawn.sort_by_key(|(unit, ..)| *unit);
        self.written(order, strata, &drawn)
    }

    #[expect(clippy::cast_precision_loss, reason = "counts of outlets are far below 2^52")]
    fn described(
        &self,
        stratum: &Part<'_>,
        place: usize,
        n: u64,
        rooms: Option<Rooms>,
        order: &Order,
    ) -> Stratum {
        Stratum {
            name: stratum.name.clone(),
            building: self.by.contains(&By::Building).then(|| stratum.place.building.to_owned()),
            population: stratum.units.len() as u64,
            weight: stratum.units.len() as f64 / self.units.len() as f64,
            n,
            expected: order.expected.as_ref().map(|rates| rates[place]),
            rooms,
        }
    }

    /// The rooms of a stratum, each with its units, in the order of their first rows. An outlet whose room
    /// is not recorded is a room by itself.
    fn rooms(&self, stratum: &Part<'_>) -> Vec<Vec<usize>> {
        let mut rooms: Vec<Vec<usize>> = Vec::new();
        let mut known = HashMap::new();
        for unit in &stratum.units {
            let place = self.audit.place(self.units[*unit].row);
            let key = (place.building, place.floor, place.room);
            let room = if place.room.is_empty() {
                rooms.push(Vec::new());
                rooms.len() - 1
            } else {
                *known.entry(key).or_insert_with(|| {
                    rooms.push(Vec::new());
                    rooms.len() - 1
                })
            };
            rooms[room].push(*unit);
        }
        rooms
    }

    fn written(
        &self,
        order: &Order,
        strata: Vec<Stratum>,
        drawn: &[(usize, u32, Option<u32>)],
    ) -> Sample {
        let mut texts = self.audit.texts.clone();
        let names = self.names_of_outlets(drawn.iter().map(|(unit, ..)| *unit));
        let mut outlets = Vec::new();
        let mut described = Vec::new();
        for ((unit, stratum, room), name) in drawn.iter().zip(names) {
            let unit = self.units[*unit];
            let mut outlet = self.audit.outlet(unit.row).clone();
            outlet.set(facts::OUTLET_ID, Fact::Known(texts.intern(&name)));
            outlet.set(facts::QUANTITY, Fact::Known(1));
            described.push(Drawn {
                stratum: *stratum,
                building: text_of(&outlet, Field::Building, &texts).to_owned(),
                outlet: name,
                room: *room,
            });
            outlets.push(outlet);
        }
        outlets.extend(self.coming_along(drawn, &mut texts));
        let design = Design {
            form: FORM,
            plan: order.plan.clone(),
            seed: order.seed,
            generator: GENERATOR.to_owned(),
            by: self.by.clone(),
            allocation: order.allocation,
            rooms: order.rooms,
            population: self.population(),
            strata,
            drawn: described,
        };
        Sample { design, outlets, texts }
    }

    /// Names for drawn outlets that no other outlet of their building has.
    fn names_of_outlets(&self, drawn: impl Iterator<Item = usize>) -> Vec<String> {
        let rows = self.rows_by_id();
        let name = |unit: usize| {
            let Unit { row, number, of } = self.units[unit];
            let name = self.name_of_row(row, &rows);
            if of > 1 { format!("{name} ({number} of {of})") } else { name }
        };
        drawn.map(name).collect()
    }

    /// How many rows of a building have an id.
    fn rows_by_id(&self) -> HashMap<(&'a str, &'a str), u32> {
        let mut rows = HashMap::new();
        for row in 0..u32::try_from(self.audit.outlets.len()).unwrap_or(u32::MAX) {
            *rows.entry((self.audit.place(row).building, self.id(row))).or_default() += 1;
        }
        rows
    }

    /// The id of a row, and where the row stands unless that id is its own.
    fn name_of_row(&self, row: u32, rows: &HashMap<(&str, &str), u32>) -> String {
        let (id, origin) = (self.id(row), self.audit.outlet(row).origin);
        let alone = rows.get(&(self.audit.place(row).building, id)) == Some(&1);
        if alone && !id.is_empty() {
            return id.to_owned();
        }
        let (source, sheet) = (origin.source + 1, origin.sheet + 1);
        let stands = format!("(file {source} sheet {sheet} row {})", origin.row);
        if id.is_empty() { stands } else { format!("{id} {stands}") }
    }

    fn id(&self, row: u32) -> &'a str {
        text_of(self.audit.outlet(row), Field::OutletId, &self.audit.texts)
    }

    /// The rows that rules judge together with drawn ones, less the outlets of them that were drawn.
    fn coming_along(&self, drawn: &[(usize, u32, Option<u32>)], texts: &mut Texts) -> Vec<Outlet> {
        let by_id = self.rows_by_id();
        let mut taken: HashMap<u32, u64> = HashMap::new();
        for (unit, ..) in drawn {
            *taken.entry(self.units[*unit].row).or_default() += 1;
        }
        let mut rows: BTreeSet<u32> = BTreeSet::new();
        for members in groups(self.audit) {
            if members.iter().any(|row| taken.contains_key(row)) {
                rows.extend(members);
            }
        }
        let left = rows.into_iter().filter_map(|row| {
            let mut outlet = self.audit.outlet(row).clone();
            let left = devices(&outlet) - taken.get(&row).copied().unwrap_or_default();
            let quantity = u16::try_from(left).ok().filter(|left| *left > 0)?;
            outlet.set(facts::QUANTITY, Fact::Known(quantity));
            let name = self.name_of_row(row, &by_id);
            outlet.set(facts::OUTLET_ID, Fact::Known(texts.intern(&name)));
            Some(outlet)
        });
        left.collect()
    }
}

/// The members of every group of outlets that a rule of the audit judges as one.
fn groups(audit: &Audit) -> Vec<Vec<u32>> {
    let mut kinds: BTreeMap<u8, _> = BTreeMap::new();
    for rule in audit.selection.rules() {
        kinds.insert(rule.subject as u8, rule.subject);
    }
    let members = |kind| {
        (0..audit.subjects.count(kind)).map(move |place| audit.subjects.members(kind, place))
    };
    let several = |members: &Vec<u32>| {
        let outlet = audit.outlet(members[0]);
        let named = |field| outlet.raw(field).is_known();
        members.len() > 1
            || devices(outlet) > 1
                && [Field::EnclosureId, Field::Circuit, Field::BedLocation].into_iter().any(named)
    };
    let members = kinds.into_values().flat_map(members).map(|members| members.to_vec());
    members.filter(several).collect()
}

/// The rooms of a stratum whose first outlets have the least numbers, as many as hold the sample on
/// average, and at least two.
fn draw_rooms(rooms: &[Vec<usize>], numbers: &[u64], sample: u64, outlets: u64) -> Vec<usize> {
    let count = rooms.len() as u64;
    let wanted = (u128::from(sample) * u128::from(count)).div_ceil(u128::from(outlets.max(1)));
    let wanted = u64::try_from(wanted).unwrap_or(u64::MAX).max(LEAST).min(count);
    let firsts: Vec<u64> = rooms.iter().map(|units| numbers[units[0]]).collect();
    let all: Vec<usize> = (0..rooms.len()).collect();
    least(&all, &firsts, wanted)
}

#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum SortKey {
    Floor(FloorKey),
    Other(NaturalKey),
}

fn sort_key(place: Place<'_>, by: By) -> SortKey {
    match by {
        By::Building => SortKey::Other(NaturalKey::of(place.building)),
        By::Floor => SortKey::Floor(FloorKey::of(place.floor)),
        By::Trade => SortKey::Other(NaturalKey::of(place.trade)),
    }
}
