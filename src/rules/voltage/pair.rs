//! The voltage between two neighbouring devices: exact within one supply, bounded between two.

use crate::outlet::words::{Barrier, Conductor, System};
use crate::outlet::{Fact, Field, Milli, Set, Text, facts};
use crate::rules::questions::has_receptacle;
use crate::rules::verdict::{Bound, FactRef, Inference, Measured, Violation};
use crate::rules::world::{Answer, World};

use super::neighbours::{Devices, Divider, both};

/// Volts that may stand between neighbours without a divider; exactly so many still may.
const LIMIT: i64 = 300;

const OVER: Violation = Violation::new(
    "more than 300 V between neighbouring devices, with no secured divider",
    "install an identified divider, secured in place; or move one device to another box, or feed both from one phase of one supply",
)
.limit(Bound::VoltsAtMost(LIMIT));

const OPEN: &str = "is the voltage between these devices more than 300 V? The phase angles of their systems \
     decide: have a qualified person determine it";

/// What can be said of the voltage between two devices.
enum Voltage {
    /// At most the limit.
    Within,
    /// Over the limit, by these volts or more.
    Over(i64),
    /// The angle between two systems decides.
    Open,
    /// Nothing in this world: see [`Answer::Unsettled`] and [`Answer::Impossible`].
    None(Answer),
}

/// How the supplies of two devices stand to each other.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Supplies {
    /// The same supply, or the same panel where a supply is blank.
    One,
    /// Both unknown on one side: taken as one where the systems are the same.
    Assumed,
    /// Different ones.
    Two,
}

/// One pair in one world.
pub(super) fn check(world: &mut World<'_>, devices: Devices, divider: Divider) -> Answer {
    if divider != Divider::Unknown {
        both(world, facts::BARRIER);
    }
    if divider == Divider::Secured {
        return Answer::Complies;
    }
    let voltage = voltage(world, devices);
    if matches!(voltage, Voltage::Within) {
        return Answer::Complies;
    }
    match divider {
        Divider::Conflict => return world.waits_for(&[Field::Barrier]),
        Divider::Unknown if tried_secured(world) => return Answer::Complies,
        Divider::Unknown | Divider::Missing | Divider::Secured => {}
    }
    match voltage {
        Voltage::Within => Answer::Complies,
        Voltage::Over(volts) => Answer::Violates(OVER.measured(Measured::Volts(volts))),
        Voltage::Open => open(world),
        Voltage::None(answer) => answer,
    }
}

/// A divider of which nothing is recorded, in the worlds with and without it.
fn tried_secured(world: &mut World<'_>) -> bool {
    let fact = FactRef::own(Field::Barrier);
    let barrier = world.choose(fact, || vec![Barrier::None, Barrier::Secured]);
    barrier == Barrier::Secured
}

/// Two systems of unknown angle are for the authority, unless they may be one supply after all.
fn open(world: &mut World<'_>) -> Answer {
    let systems = both(world, facts::SYSTEM);
    let supplies = both(world, facts::SUPPLY);
    if systems[0] == systems[1] && supplies.iter().any(|supply| !supply.is_known()) {
        world.waits_for(&[Field::Supply])
    } else {
        Answer::Authority(OPEN)
    }
}

fn voltage(world: &mut World<'_>, devices: Devices) -> Voltage {
    let (Fact::Known(left), Fact::Known(right)) =
        (world.fact_of(0, facts::SYSTEM), world.fact_of(1, facts::SYSTEM))
    else {
        return without_system(world);
    };
    let supplies = supplies(world);
    if supplies == Supplies::One && left != right {
        return Voltage::None(world.waits_for(&[Field::System]));
    }
    let circuits = [conductors(world, 0, left, devices), conductors(world, 1, right, devices)];
    let (one, other) = match circuits {
        [Ok(one), Ok(other)] => (one, other),
        [Err(answer), _] | [_, Err(answer)] => return Voltage::None(answer),
    };
    if supplies == Supplies::Assumed && left == right {
        world.infer(Inference::OneSupply);
    }
    if supplies == Supplies::Two || left != right {
        between_systems(left, one, right, other)
    } else {
        within_system(left, one, other)
    }
}

/// Without a system only the sum of both voltages can be known to be small enough.
fn without_system(world: &mut World<'_>) -> Voltage {
    match both(world, facts::VOLTS) {
        [Fact::Known(one), Fact::Known(other)] if Milli(one.0 + other.0) <= Milli::whole(LIMIT) => {
            Voltage::Within
        }
        _ => Voltage::None(world.waits_for(&[Field::System])),
    }
}

fn supplies(world: &mut World<'_>) -> Supplies {
    let [left, right] = both(world, facts::SUPPLY).map(Fact::known);
    if let (Some(left), Some(right)) = (left, right) {
        return if left == right { Supplies::One } else { Supplies::Two };
    }
    let [left_panel, right_panel] = both(world, facts::PANEL).map(Fact::known);
    if left_panel.is_some() && left_panel == right_panel {
        return Supplies::One;
    }
    let nothing = |supply: Option<Text>, panel: Option<Text>| supply.is_none() && panel.is_none();
    if nothing(left, left_panel) || nothing(right, right_panel) {
        Supplies::Assumed
    } else {
        Supplies::Two
    }
}

/// The conductors at a device: as recorded, else every arrangement that gives its volts.
fn conductors(
    world: &mut World<'_>,
    member: usize,
    system: System,
    devices: Devices,
) -> Result<Set<Conductor>, Answer> {
    let number = u16::try_from(member).unwrap_or(u16::MAX);
    let fact = |field| FactRef { member: number, field };
    let recorded = world.fact_of(member, facts::PHASES);
    let phases = if let Fact::Known(phases) = recorded {
        if !phases.iter().all(|conductor| system.conductors().contains(&conductor)) {
            let names = [fact(Field::Phases), fact(Field::System)];
            return Err(world.contradiction(&names));
        }
        phases
    } else {
        let volts = world.fact_of(member, facts::VOLTS).known();
        let arrangements = arrangements(system, volts);
        if arrangements.is_empty() {
            let names = [fact(Field::Volts), fact(Field::System)];
            return Err(world.contradiction(&names));
        }
        world.choose(fact(Field::Phases), || arrangements)
    };
    let fed_by_one = phases.hots().count() == 1;
    if has_receptacle(devices[member]) && system.has_neutral() && fed_by_one {
        return Ok(phases.with(Conductor::N));
    }
    Ok(phases)
}

/// The arrangements of conductors that a system has; with volts, those that give them.
fn arrangements(system: System, volts: Option<Milli>) -> Vec<Set<Conductor>> {
    let has =
        |set: &Set<Conductor>| set.iter().all(|conductor| system.conductors().contains(&conductor));
    Set::circuits()
        .filter(has)
        .filter(|set| volts.is_none_or(|volts| system.gives(*set, volts)))
        .collect()
}

/// Within one system: the largest difference between a conductor of one and a conductor of the other.
fn within_system(system: System, one: Set<Conductor>, other: Set<Conductor>) -> Voltage {
    let largest = one
        .iter()
        .flat_map(|left| other.iter().map(move |right| system.between(left, right)))
        .max()
        .unwrap_or_default();
    if largest <= LIMIT { Voltage::Within } else { Voltage::Over(largest) }
}

/// Between two systems of unknown angle: each pair of hots lies between the difference and the sum of
/// its voltages to ground.
fn between_systems(
    left: System,
    one: Set<Conductor>,
    right: System,
    other: Set<Conductor>,
) -> Voltage {
    if left.ungrounded() || right.ungrounded() {
        return Voltage::Open;
    }
    let to_ground = |system: System, conductor| system.phasor(conductor).map_or(0, |end| end.volts);
    let mut least = 0;
    let mut most = 0;
    for a in one.iter().map(|conductor| to_ground(left, conductor)) {
        for b in other.iter().map(|conductor| to_ground(right, conductor)) {
            least = least.max((a - b).abs());
            most = most.max(a + b);
        }
    }
    if most <= LIMIT {
        Voltage::Within
    } else if least > LIMIT {
        Voltage::Over(least)
    } else {
        Voltage::Open
    }
}
