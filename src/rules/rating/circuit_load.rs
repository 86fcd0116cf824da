//! The calculated load of the receptacles of a circuit.

use crate::code::{Citation, Confidence};
use crate::outlet::Key;
use crate::outlet::words::Occupancy;
use crate::outlet::{Fact, Field, Milli, Outlet, Set, facts};
use crate::rules::questions::has_receptacle;
use crate::rules::rule::rule;
use crate::rules::subject::Subject;
use crate::rules::verdict::{Bound, Measured, Missing, Verdict, Violation};
use crate::rules::world::Explorer;

rule! {
    /// The calculated load of the receptacles listed on a circuit stays within the circuit.
    ///
    /// ## What it checks
    /// 180 VA for each yoke of up to three receptacles, 90 VA for each receptacle of a larger one, against
    /// amperes times volts (times 1.732 on three phases). 20 A at 120 V takes 13 yokes.
    ///
    /// ## Why it matters
    /// A circuit with too many outlets is one that people overload.
    ///
    /// ## What to do
    /// Move receptacles to another circuit, or show that the authority does not limit them.
    ///
    /// ## When it does not apply
    /// To dwellings and guest rooms, to individual circuits, and to circuits without a receptacle.
    ///
    /// ## When it cannot tell
    /// When the amperes or the volts are unknown or in conflict. It is a load calculation: many authorities do
    /// not limit the receptacles of a general circuit by it. It speaks only of the outlets listed.
    ///
    /// ## Sources
    /// Threads of a code forum, one on dwellings.
    CIRCUIT_LOAD = "circuit-load", Circuit, Rating, Workmanship,
    cite: Citation::all("220.14(I)", Confidence::Two),
    asks: [CircuitAmps, Volts, Occupancy],
    heeds: [Device, Edition, IndividualCircuit, ReceptaclesOnYoke, Phases, Quantity],
    check: Group(judge),
}

const OVERLOADED: Violation = Violation::new(
    "the calculated load of the receptacles exceeds the rating of the circuit",
    "move receptacles to another circuit, or have the authority confirm that it does not limit them",
);

/// What all rows of a circuit say of one fact.
enum Agreed<T> {
    Known(T),
    Blank,
    Conflict,
}

/// What a verdict shows as its evidence, where it is recorded.
const READ: [Field; 6] = [
    Field::CircuitAmps,
    Field::Volts,
    Field::Device,
    Field::ReceptaclesOnYoke,
    Field::Quantity,
    Field::Occupancy,
];

/// A device that may be a receptacle is counted both ways.
fn judge(subject: Subject<'_>, explorer: &mut Explorer) -> Verdict {
    explorer.set_evidence(subject.recorded(&READ));
    if subject.members.iter().any(|row| row.get(facts::INDIVIDUAL_CIRCUIT) == Fact::Known(true)) {
        return Verdict::NotApplicable("an individual circuit");
    }
    let least = judge_rows(subject, is_receptacle);
    let most = judge_rows(subject, may_be_receptacle);
    match (least, most) {
        (Verdict::Undetermined(mut missing), Verdict::Undetermined(more)) => {
            missing.extend(more);
            Verdict::Undetermined(missing)
        }
        (least, most) if least.kind() == most.kind() => least,
        (Verdict::NotApplicable(_), Verdict::Complies) => Verdict::Complies,
        (least, most) => {
            let mut missing = Missing::default();
            for verdict in [least, most] {
                if let Verdict::Undetermined(names) = verdict {
                    missing.extend(names);
                }
            }
            missing.add_field(Field::Device);
            Verdict::Undetermined(missing)
        }
    }
}

/// Whether a row is a receptacle for sure.
fn is_receptacle(row: &Outlet) -> bool {
    match row.get(facts::DEVICE) {
        Fact::Known(device) => has_receptacle(device),
        Fact::Absent => true,
        Fact::Blank | Fact::Unreadable => false,
    }
}

/// Whether a row is a receptacle, or may be one.
fn may_be_receptacle(row: &Outlet) -> bool {
    row.get(facts::DEVICE).known().is_none_or(has_receptacle)
}

/// The verdict with these rows as the receptacles of the circuit.
fn judge_rows(subject: Subject<'_>, receptacle: fn(&Outlet) -> bool) -> Verdict {
    let rows = || subject.members.iter().copied().filter(|row| receptacle(row));
    if rows().next().is_none() {
        return Verdict::NotApplicable("no receptacle stands on the circuit");
    }
    let occupancy = occupancy(subject);
    if matches!(occupancy, Agreed::Known(false)) {
        return Verdict::NotApplicable("the circuit of a dwelling or a guest room");
    }
    let mut missing = unreadable(subject);
    if rows().any(|row| row.get(facts::RECEPTACLES_ON_YOKE) == Fact::Unreadable) {
        missing.add_field(Field::ReceptaclesOnYoke);
    }
    if matches!(occupancy, Agreed::Conflict) {
        missing.add_field(Field::Occupancy);
    }
    let amps = known(&agreed(subject, facts::CIRCUIT_AMPS), Field::CircuitAmps, &mut missing);
    let volts = known(&agreed(subject, facts::VOLTS), Field::Volts, &mut missing);
    let blank = matches!(occupancy, Agreed::Blank);
    let (Some(amps), Some(volts), true) = (amps, volts, missing.is_empty()) else {
        if blank {
            missing.add_field(Field::Occupancy);
        }
        return Verdict::Undetermined(missing);
    };
    weigh(rows().map(load).sum(), capacity(subject, amps, volts), blank)
}

/// The verdict of a load against what the circuit carries, in thousandths of a volt-ampere.
fn weigh(load: i64, capacity: i64, occupancy_blank: bool) -> Verdict {
    if load * 1000 <= capacity {
        return Verdict::Complies;
    }
    if occupancy_blank {
        let mut missing = Missing::default();
        missing.add_field(Field::Occupancy);
        return Verdict::Undetermined(missing);
    }
    let violation = OVERLOADED
        .measured(Measured::VoltAmperes(load))
        .limit(Bound::VoltAmperesAtMost(capacity / 1000));
    Verdict::Violates(violation)
}

/// 180 VA for a yoke of up to three receptacles, 90 VA for each receptacle of a larger one.
fn load(row: &Outlet) -> i64 {
    let on_yoke = i64::from(row.get(facts::RECEPTACLES_ON_YOKE).known().unwrap_or(2));
    let yoke = if on_yoke >= 4 { 90 * on_yoke } else { 180 };
    yoke * i64::from(row.get(facts::QUANTITY).known().unwrap_or(1))
}

/// What the circuit carries, in thousandths of a volt-ampere.
fn capacity(subject: Subject<'_>, amps: Milli, volts: Milli) -> i64 {
    let product = amps.0 * volts.0 / 1000;
    if three_phase(subject) { product * 1732 / 1000 } else { product }
}

/// Whether the rule reaches the occupancy: not dwellings, not guest rooms.
fn occupancy(subject: Subject<'_>) -> Agreed<bool> {
    let reached = |occupancy| !matches!(occupancy, Occupancy::Dwelling | Occupancy::GuestRoom);
    one_value(
        subject.members.iter().filter_map(|row| row.get(facts::OCCUPANCY).known()).map(reached),
    )
}

fn agreed(subject: Subject<'_>, key: Key<Milli>) -> Agreed<Milli> {
    one_value(subject.members.iter().filter_map(|row| row.get(key).known()))
}

fn one_value<T: PartialEq>(mut values: impl Iterator<Item = T>) -> Agreed<T> {
    let Some(first) = values.next() else { return Agreed::Blank };
    if values.all(|value| value == first) { Agreed::Known(first) } else { Agreed::Conflict }
}

fn known(agreed: &Agreed<Milli>, field: Field, missing: &mut Missing) -> Option<Milli> {
    match agreed {
        Agreed::Known(value) => Some(*value),
        Agreed::Blank | Agreed::Conflict => {
            missing.add_field(field);
            None
        }
    }
}

/// Facts that count when recorded, and cannot be read.
fn unreadable(subject: Subject<'_>) -> Missing {
    let mut missing = Missing::default();
    let any = |field| subject.members.iter().any(|row| row.raw(field) == Fact::Unreadable);
    if any(Field::IndividualCircuit) {
        missing.add_field(Field::IndividualCircuit);
    }
    if any(Field::Phases) && !three_phase(subject) {
        missing.add_field(Field::Phases);
    }
    missing
}

/// Whether a row records all three phases.
fn three_phase(subject: Subject<'_>) -> bool {
    subject.members.iter().any(|row| row.get(facts::PHASES).known().is_some_and(Set::three_phase))
}
