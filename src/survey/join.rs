//! Observations joined to the outlets of a schedule, by building and `outlet_id`.
//!
//! Owns which of several statements about a fact holds: the later observation; an observation with a day
//! before a schedule without one. Two that contradict each other and cannot be put in an order leave the
//! fact unknown, and are told.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use crate::outlet::{Fact, Field, FieldSet, Origin, Outlet};

use super::name::{Name, name};

/// What came of the joining.
#[derive(Debug, Default)]
pub struct Joined {
    /// Facts that were taken over: the row that has them now, and the row of the observation.
    pub moved: Vec<Moved>,
    /// Statements that contradict each other.
    pub conflicts: Vec<Conflict>,
    /// Observations that could be of several rows, with the first two of these.
    pub ambiguous: Vec<(Origin, [Origin; 2])>,
    /// Observations of outlets that no schedule lists; they stay outlets of their own.
    pub strangers: u64,
    /// Observations that were joined.
    pub joined: u64,
}

/// A fact that was taken over from an observation.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Moved {
    /// The row of the outlet.
    pub to: Origin,
    /// The fact.
    pub field: Field,
    /// The row of the observation.
    pub from: Origin,
    /// Whether it took the place of another value.
    pub replaced: bool,
}

/// Two statements that contradict each other, none of which is known to be the later.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Conflict {
    /// The row of the outlet.
    pub outlet: Origin,
    /// The fact.
    pub field: Field,
    /// The rows, each with its value.
    pub rows: [(Origin, i64); 2],
}

/// What tells observations from the rows of schedules: for a row of an observation the facts that it only
/// repeats from the schedule.
pub type Repeated<'a> = &'a dyn Fn(Origin) -> Option<FieldSet>;

/// Joins the observations to the outlets that they are of. The outlets stay in the order of their rows.
pub fn join(outlets: &mut Vec<Outlet>, repeated: Repeated<'_>) -> Joined {
    let (observed, scheduled): (Vec<Outlet>, Vec<Outlet>) =
        std::mem::take(outlets).into_iter().partition(|outlet| repeated(outlet.origin).is_some());
    let mut round = Round::over(scheduled);
    let mut observed: Vec<(Outlet, FieldSet)> = observed
        .into_iter()
        .map(|outlet| (repeated(outlet.origin).unwrap_or_default(), outlet))
        .map(|(repeated, outlet)| (outlet, repeated))
        .collect();
    observed.sort_by_key(|(outlet, _)| (day(outlet), outlet.origin));
    for (observation, repeated) in observed {
        round.add(observation, repeated);
    }
    let Round { outlets: mut all, joined, .. } = round;
    all.sort_by_key(|outlet| outlet.origin);
    *outlets = all;
    joined
}

/// Who an observation is of: building and `outlet_id`.
fn day(outlet: &Outlet) -> Option<i64> {
    outlet.raw(Field::ObservedOn).known()
}

/// Facts that tell who and when, not what.
const OF_THE_ROW: [Field; 5] =
    [Field::OutletId, Field::Building, Field::ObservedOn, Field::ObservedBy, Field::Evidence];

/// The outlets while observations come in, earlier days first.
struct Round {
    outlets: Vec<Outlet>,
    by_name: HashMap<Name, Vec<usize>>,
    /// The rows of schedules come first in the list.
    scheduled: usize,
    /// Which row a fact comes from, and on which day it was observed, where that is not the outlet's own.
    said: BTreeMap<(usize, Field), (Origin, Option<i64>)>,
    /// Facts that contradicting statements left unknown.
    in_conflict: BTreeSet<(usize, Field)>,
    /// The days on which the schedule itself says that its facts were observed.
    days: BTreeMap<usize, Option<i64>>,
    joined: Joined,
}

impl Round {
    fn over(outlets: Vec<Outlet>) -> Self {
        let mut by_name: HashMap<Name, Vec<usize>> = HashMap::with_capacity(outlets.len());
        for (place, outlet) in outlets.iter().enumerate() {
            if let Some(name) = name(outlet) {
                by_name.entry(name).or_default().push(place);
            }
        }
        Self {
            scheduled: outlets.len(),
            outlets,
            by_name,
            said: BTreeMap::new(),
            in_conflict: BTreeSet::new(),
            days: BTreeMap::new(),
            joined: Joined::default(),
        }
    }

    fn add(&mut self, observation: Outlet, repeated: FieldSet) {
        let places = name(&observation).and_then(|name| self.by_name.get(&name));
        match places.map(Vec::as_slice) {
            Some([place]) => {
                let place = *place;
                self.join(place, &observation, repeated);
            }
            Some([first, second, ..]) => {
                let rows = [*first, *second].map(|place| self.outlets[place].origin);
                self.joined.ambiguous.push((observation.origin, rows));
            }
            Some([]) | None => self.stranger(observation),
        }
    }

    /// An outlet of its own, to which later observations of it are joined.
    fn stranger(&mut self, observation: Outlet) {
        if self.scheduled > 0 {
            self.joined.strangers += 1;
        }
        if let Some(name) = name(&observation) {
            self.by_name.entry(name).or_default().push(self.outlets.len());
        }
        self.outlets.push(observation);
    }

    fn join(&mut self, place: usize, observation: &Outlet, repeated: FieldSet) {
        let own_day = *self.days.entry(place).or_insert_with(|| day(&self.outlets[place]));
        let (from, on) = (observation.origin, day(observation));
        let mut says_something = false;
        for field in Field::ALL.iter().filter(|field| !OF_THE_ROW.contains(field)) {
            let Some(new) = observation.raw(*field).known().filter(|_| !repeated.contains(*field))
            else {
                continue;
            };
            says_something = true;
            let outlet = &mut self.outlets[place];
            let own = (outlet.origin, own_day);
            let (old_from, old_day) = self.said.get(&(place, *field)).copied().unwrap_or(own);
            let old = outlet.raw(*field).known();
            let of_schedule = old_from == outlet.origin && place < self.scheduled;
            if old == Some(new) {
                if matches!(order(on, old_day, of_schedule), Order::Later) {
                    self.said.insert((place, *field), (from, on));
                }
                continue;
            }
            let in_conflict = self.in_conflict.contains(&(place, *field));
            match (old, order(on, old_day, of_schedule)) {
                (Some(_), Order::Earlier) => {}
                (_, Order::Later) | (None, _) if old.is_some() || !in_conflict || on > old_day => {
                    outlet.set_raw(*field, Fact::Known(new));
                    self.said.insert((place, *field), (from, on));
                    self.in_conflict.remove(&(place, *field));
                    let (to, replaced) = (outlet.origin, old.is_some());
                    self.joined.moved.push(Moved { to, field: *field, from, replaced });
                }
                (Some(old), _) => {
                    let rows = [(old_from, old), (from, new)];
                    let conflict = Conflict { outlet: outlet.origin, field: *field, rows };
                    outlet.set_raw(*field, Fact::Unreadable);
                    self.said.insert((place, *field), (from, on));
                    self.in_conflict.insert((place, *field));
                    self.joined.conflicts.push(conflict);
                }
                (None, _) => {}
            }
        }
        if says_something {
            self.joined.joined += 1;
            self.sign(place, observation);
        }
    }

    /// The outlet bears the day, the person and the evidence of its last observation.
    fn sign(&mut self, place: usize, observation: &Outlet) {
        let outlet = &mut self.outlets[place];
        if day(observation) < day(outlet) {
            return;
        }
        for field in [Field::ObservedOn, Field::ObservedBy, Field::Evidence] {
            if let Fact::Known(raw) = observation.raw(field) {
                outlet.set_raw(field, Fact::Known(raw));
                let (to, from) = (outlet.origin, observation.origin);
                self.joined.moved.push(Moved { to, field, from, replaced: false });
            }
        }
    }
}

/// How an observation stands to an earlier statement.
enum Order {
    Earlier,
    Later,
    Unknown,
}

/// By their days; any day is later than what a schedule says without one.
fn order(new: Option<i64>, old: Option<i64>, of_schedule: bool) -> Order {
    match (new, old) {
        (Some(new), Some(old)) if new > old => Order::Later,
        (Some(new), Some(old)) if new < old => Order::Earlier,
        (Some(_), None) if of_schedule => Order::Later,
        _ => Order::Unknown,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outlet::words::Facing;
    use crate::outlet::{Date, Texts, facts};

    struct Case {
        texts: Texts,
        outlets: Vec<Outlet>,
        repeated: BTreeMap<Origin, FieldSet>,
    }

    impl Case {
        fn new() -> Self {
            Self { texts: Texts::default(), outlets: Vec::new(), repeated: BTreeMap::new() }
        }

        fn row(
            &mut self,
            source: u32,
            id: &str,
            facing: Option<Facing>,
            on: Option<i32>,
        ) -> &mut Outlet {
            let row = u32::try_from(self.outlets.len()).unwrap() + 2;
            let mut outlet = Outlet::absent(Origin { source, sheet: 0, row });
            outlet.set(facts::OUTLET_ID, Fact::Known(self.texts.intern(id)));
            outlet.set(facts::FACING, facing.map_or(Fact::Blank, Fact::Known));
            outlet.set(facts::OBSERVED_ON, on.map_or(Fact::Blank, |day| Fact::Known(Date(day))));
            self.outlets.push(outlet);
            self.outlets.last_mut().unwrap()
        }

        fn scheduled(mut self, id: &str, facing: Option<Facing>, on: Option<i32>) -> Self {
            self.row(0, id, facing, on);
            self
        }

        fn observed(mut self, id: &str, facing: Option<Facing>, on: Option<i32>) -> Self {
            let origin = self.row(1, id, facing, on).origin;
            self.repeated.insert(origin, FieldSet::default());
            self
        }

        /// The facing of each outlet that is left, and what came of the joining.
        fn joined(mut self) -> (Vec<Fact<Facing>>, Joined) {
            let joined = join(&mut self.outlets, &|origin| self.repeated.get(&origin).copied());
            (self.outlets.iter().map(|outlet| outlet.get(facts::FACING)).collect(), joined)
        }
    }

    const UP: Option<Facing> = Some(Facing::Up);
    const SIDE: Option<Facing> = Some(Facing::Side);

    #[test]
    fn a_blank_is_filled_with_and_without_a_day() {
        let (facing, joined) =
            Case::new().scheduled("A", None, None).observed("A", UP, None).joined();
        assert_eq!(facing, [Fact::Known(Facing::Up)]);
        assert_eq!((joined.joined, joined.moved.len(), joined.conflicts.len()), (1, 1, 0));
    }

    #[test]
    fn a_later_day_replaces_whatever_the_order_of_the_files() {
        let days = [(Some(10), Some(9), Facing::Side), (Some(9), Some(10), Facing::Up)];
        for (first, second, wanted) in days {
            let case = Case::new().scheduled("A", SIDE, Some(5));
            let (facing, joined) =
                case.observed("A", SIDE, first).observed("A", UP, second).joined();
            assert_eq!(facing, [Fact::Known(wanted)]);
            assert!(joined.conflicts.is_empty());
        }
    }

    #[test]
    fn a_day_goes_before_a_schedule_without_one_and_never_back_in_time() {
        let (facing, _) =
            Case::new().scheduled("A", SIDE, None).observed("A", UP, Some(1)).joined();
        assert_eq!(facing, [Fact::Known(Facing::Up)]);
        let (facing, joined) =
            Case::new().scheduled("A", SIDE, Some(5)).observed("A", UP, Some(4)).joined();
        assert_eq!((facing[0], joined.conflicts.len()), (Fact::Known(Facing::Side), 0));
    }

    #[test]
    fn contradictions_that_have_no_order_leave_the_fact_unknown() {
        for days in [(None, None), (Some(3), Some(3)), (None, Some(3))] {
            let case = Case::new().scheduled("A", None, None);
            let (facing, joined) =
                case.observed("A", SIDE, days.0).observed("A", UP, days.1).joined();
            assert_eq!((facing[0], joined.conflicts.len()), (Fact::Unreadable, 1), "{days:?}");
        }
        let (facing, joined) =
            Case::new().scheduled("A", SIDE, None).observed("A", UP, None).joined();
        assert_eq!((facing[0], joined.conflicts.len()), (Fact::Unreadable, 1));
    }

    #[test]
    fn the_day_of_a_confirmation_counts() {
        for order in [[UP, SIDE], [SIDE, UP]] {
            let mut case = Case::new().scheduled("A", UP, None);
            for facing in order {
                case = case.observed("A", facing, Some(9));
            }
            let (facing, joined) = case.joined();
            assert_eq!((facing[0], joined.conflicts.len()), (Fact::Unreadable, 1), "{order:?}");
        }
    }

    #[test]
    fn a_contradiction_is_settled_by_a_later_day_only() {
        for (third, wanted) in [
            (Some(3), Fact::Unreadable),
            (None, Fact::Unreadable),
            (Some(4), Fact::Known(Facing::Up)),
        ] {
            let case = Case::new().scheduled("A", None, None).observed("A", SIDE, Some(3));
            let (facing, _) = case.observed("A", UP, Some(3)).observed("A", UP, third).joined();
            assert_eq!(facing[0], wanted, "{third:?}");
        }
    }

    #[test]
    fn what_an_observation_only_repeats_is_none() {
        let mut case = Case::new().scheduled("A", UP, None).observed("A", SIDE, Some(9));
        for repeated in case.repeated.values_mut() {
            repeated.add(Field::Facing);
        }
        let (facing, joined) = case.joined();
        assert_eq!((facing[0], joined.joined), (Fact::Known(Facing::Up), 0));
    }

    #[test]
    fn strangers_stay_and_what_could_be_of_two_is_told() {
        let case = Case::new().scheduled("A", SIDE, None).scheduled("A", SIDE, None);
        let (facing, joined) = case.observed("A", UP, Some(1)).observed("B", UP, Some(1)).joined();
        assert_eq!(facing.len(), 3);
        assert_eq!((joined.ambiguous.len(), joined.strangers), (1, 1));
    }

    #[test]
    fn observations_alone_are_outlets_and_join_each_other() {
        let case = Case::new().observed("A", SIDE, Some(1)).observed("A", UP, Some(2));
        let (facing, joined) = case.joined();
        assert_eq!(facing, [Fact::Known(Facing::Up)]);
        assert_eq!((joined.strangers, joined.joined), (0, 1));
    }
}
