//! The circuits that each edition names for ground-fault protection: volts, volts to ground, phases and
//! amperes.

use crate::outlet::system::{BANDS, nominal};
use crate::outlet::words::{Conductor, Edition, System};
use crate::outlet::{Field, Milli, Set, Word as _, facts};
use crate::rules::pattern;
use crate::rules::verdict::{FactRef, Inference};
use crate::rules::world::{Answer, World};

use super::ground_fault::Section;

/// Volts to ground up to which protection is asked for.
const TO_GROUND: i64 = 150;

/// Whether the circuit is one of those that the edition names; an answer where facts contradict.
///
/// No conflict is looked for where other facts already put the circuit out of scope.
pub(super) fn in_scope(world: &mut World<'_>, section: Section) -> Result<bool, Answer> {
    let edition = world.edition();
    match section {
        _ if edition < Edition::E2017 => general_125(world),
        Section::Dwelling if edition < Edition::E2020 => general_125(world),
        Section::Dwelling => dwelling_250(world),
        Section::Other => up_to_100_amps(world),
    }
}

/// 125 V and 15 or 20 A.
fn general_125(world: &mut World<'_>) -> Result<bool, Answer> {
    let amps = receptacle_amps(world);
    if amps != Milli::whole(15) && amps != Milli::whole(20) {
        return Ok(false);
    }
    match volts(world) {
        Ok(volts) => Ok(volts.nominal == Some(120)),
        Err(contradiction) => Err(contradiction.answer),
    }
}

/// 125 to 250 V, single-phase, up to 150 V to ground. A 120 V circuit is single-phase.
fn dwelling_250(world: &mut World<'_>) -> Result<bool, Answer> {
    match volts_of_a_system(world) {
        Ok(volts) => Ok(matches!(volts.nominal, Some(120 | 208 | 240))
            && within_to_ground(world, volts)?
            && !three_phase(world, volts)?),
        Err(contradiction)
            if !contradiction.of_phases
                && world.recorded(facts::PHASES).is_some_and(Set::three_phase) =>
        {
            Ok(false)
        }
        Err(contradiction) => Err(contradiction.answer),
    }
}

/// Up to 150 V to ground: 50 A single-phase, 100 A three-phase.
fn up_to_100_amps(world: &mut World<'_>) -> Result<bool, Answer> {
    let amps = circuit_amps(world);
    if amps > Milli::whole(100) {
        return Ok(false);
    }
    let small = amps <= Milli::whole(50);
    match volts_of_a_system(world) {
        Ok(volts) => Ok(volts.nominal.is_some()
            && within_to_ground(world, volts)?
            && (small || three_phase(world, volts)?)),
        Err(contradiction) if !small && single_phase_beside(world, &contradiction) => Ok(false),
        Err(contradiction) => Err(contradiction.answer),
    }
}

/// Facts that cannot all be true.
struct Contradiction {
    answer: Answer,
    /// Whether the conductors are among them.
    of_phases: bool,
}

/// Whether facts that are no part of a contradiction tell that the circuit is single-phase.
fn single_phase_beside(world: &mut World<'_>, contradiction: &Contradiction) -> bool {
    match world.recorded(facts::PHASES) {
        Some(phases) => !contradiction.of_phases && !phases.three_phase(),
        None => read_off_phases(world, None) == Some(false),
    }
}

/// The volts of the circuit.
#[derive(Clone, Copy)]
struct Volts {
    /// The nominal figure; none for a figure in no band.
    nominal: Option<i64>,
    /// The field that says so.
    source: Field,
}

/// The circuit's volts; else those the configuration is made for; else the rated ones; else any. Of
/// several figures only those count that the recorded system gives on the recorded conductors.
fn volts(world: &mut World<'_>) -> Result<Volts, Contradiction> {
    let (source, mut figures) = figures(world);
    let several = figures.len() > 1;
    if let Some(system) = world.recorded(facts::SYSTEM) {
        figures.retain(|volts| system_gives(system, nominal(*volts)));
        let of_system = figures.len();
        if several && let Some(phases) = world.recorded(facts::PHASES) {
            figures.retain(|volts| gives(system, phases, nominal(*volts)));
        }
        if figures.is_empty() {
            return Err(contradiction(world, source, of_system > 0));
        }
    }
    Ok(one_of(world, source, figures))
}

/// The same where a system is asked for: 208 and 240 V must be those of some system on the recorded
/// conductors.
fn volts_of_a_system(world: &mut World<'_>) -> Result<Volts, Contradiction> {
    let (source, mut figures) = figures(world);
    match (world.recorded(facts::SYSTEM), world.recorded(facts::PHASES)) {
        (None, Some(phases)) => {
            let of_any =
                |volts| System::ALL.iter().any(|system| gives(*system, phases, Some(volts)));
            figures.retain(|volts| match nominal(*volts) {
                Some(volts @ (208 | 240)) => of_any(volts),
                _ => true,
            });
            if figures.is_empty() {
                return Err(contradiction(world, source, true));
            }
            Ok(one_of(world, source, figures))
        }
        _ => volts(world),
    }
}

fn one_of(world: &mut World<'_>, source: Field, figures: Vec<Milli>) -> Volts {
    let volts = match figures.as_slice() {
        [volts] => *volts,
        _ => world.choose(FactRef::own(Field::Volts), || figures),
    };
    Volts { nominal: nominal(volts), source }
}

fn contradiction(world: &mut World<'_>, source: Field, of_phases: bool) -> Contradiction {
    let phases = of_phases.then_some(Field::Phases);
    let names = [source, Field::System].into_iter().chain(phases);
    let names: Vec<FactRef> = names.map(FactRef::own).collect();
    Contradiction { answer: world.contradiction(&names), of_phases }
}

/// The figures that the circuit's volts may have, and the field that says so.
fn figures(world: &mut World<'_>) -> (Field, Vec<Milli>) {
    let whole = |figures: &[i64]| figures.iter().copied().map(Milli::whole).collect::<Vec<_>>();
    if let Some(volts) = world.recorded(facts::VOLTS) {
        return (Field::Volts, vec![volts]);
    }
    if let Some(pattern) = pattern::recorded(world) {
        world.infer(Inference::VoltsFromDevice);
        let configured = world.recorded(facts::CONFIGURATION).is_some();
        let source = if configured { Field::Configuration } else { Field::DeviceVolts };
        return (source, whole(pattern::nominal_volts(pattern.family)));
    }
    if let Some(volts) = world.recorded(facts::DEVICE_VOLTS) {
        world.infer(Inference::VoltsFromDevice);
        let figures = match pattern::volts_class(volts) {
            Some(125) => whole(&[120]),
            Some(250) => whole(&[208, 240]),
            _ => vec![volts],
        };
        return (Field::DeviceVolts, figures);
    }
    (Field::Volts, BANDS.iter().map(|(volts, ..)| *volts).chain([1]).map(Milli::whole).collect())
}

/// Whether a system gives these nominal volts in any arrangement of its conductors.
fn system_gives(system: System, volts: Option<i64>) -> bool {
    volts.is_some() && arrangements(system, volts).next().is_some()
}

/// Whether these conductors belong to the system and give these nominal volts.
fn gives(system: System, phases: Set<Conductor>, volts: Option<i64>) -> bool {
    arrangements(system, volts).any(|set| set == phases)
}

fn arrangements(system: System, volts: Option<i64>) -> impl Iterator<Item = Set<Conductor>> {
    Set::circuits()
        .filter(move |set| set.iter().all(|conductor| system.conductors().contains(&conductor)))
        .filter(move |set| system.nominal_of(*set) == volts)
}

/// At most 150 V to ground. A 120 V circuit is; 208 and 240 V depend on the system.
fn within_to_ground(world: &mut World<'_>, volts: Volts) -> Result<bool, Answer> {
    let system = match (world.recorded(facts::SYSTEM), volts.nominal) {
        (Some(system), _) => system,
        (None, Some(120)) => return Ok(true),
        (None, Some(208 | 240)) => try_system(world, volts)?,
        (None, _) => return Ok(false),
    };
    Ok(match system {
        System::SplitPhase120 | System::Wye208 => true,
        System::HighLeg240 => to_ground_on_high_leg(world, volts)? <= TO_GROUND,
        System::Wye480
        | System::Wye600
        | System::Delta240
        | System::CornerDelta240
        | System::Delta480
        | System::CornerDelta480 => false,
    })
}

/// The system in this world, where none is recorded; it must give the volts and have the conductors.
fn try_system(world: &mut World<'_>, volts: Volts) -> Result<System, Answer> {
    let system = world.ask(facts::SYSTEM);
    let phases = world.recorded(facts::PHASES);
    let fits = match phases {
        Some(phases) => gives(system, phases, volts.nominal),
        None => system_gives(system, volts.nominal),
    };
    if fits {
        return Ok(system);
    }
    Err(world.contradiction(&[
        FactRef::own(Field::System),
        FactRef::own(Field::Volts),
        FactRef::own(volts.source),
        FactRef::own(Field::Phases),
    ]))
}

/// On a high leg: 120 V is one of the other legs, 208 V the high one, 240 V depends on the conductors.
fn to_ground_on_high_leg(world: &mut World<'_>, volts: Volts) -> Result<i64, Answer> {
    match volts.nominal {
        Some(120) => Ok(120),
        Some(208) => Ok(208),
        _ => {
            phases(world, volts).map(|phases| if phases.contains(Conductor::B) { 208 } else { 120 })
        }
    }
}

/// The conductors: recorded, or each set that gives the volts on the system, recorded or tried, and has
/// as many phases as the configuration.
fn phases(world: &mut World<'_>, volts: Volts) -> Result<Set<Conductor>, Answer> {
    if let Some(phases) = world.recorded(facts::PHASES) {
        return Ok(phases);
    }
    let phases =
        world.choose(FactRef::own(Field::Phases), || Set::<Conductor>::circuits().collect());
    let system = system_of_world(world);
    let of_system = system.is_none_or(|system| gives(system, phases, volts.nominal));
    let of_device = read_off_phases(world, volts.nominal);
    if of_device.is_some() {
        world.infer(Inference::PhasesFromOther);
    }
    let of_device = of_device.is_none_or(|three| three == phases.three_phase());
    if of_system && of_device {
        return Ok(phases);
    }
    Err(world.contradiction(&[
        FactRef::own(Field::Phases),
        FactRef::own(Field::Volts),
        FactRef::own(volts.source),
        FactRef::own(Field::System),
    ]))
}

/// Three phases at the outlet: by its conductors, else as read off another fact.
fn three_phase(world: &mut World<'_>, volts: Volts) -> Result<bool, Answer> {
    if let Some(phases) = world.recorded(facts::PHASES) {
        return Ok(phases.three_phase());
    }
    if let Some(three_phase) = read_off_phases(world, volts.nominal) {
        world.infer(Inference::PhasesFromOther);
        return Ok(three_phase);
    }
    phases(world, volts).map(Set::three_phase)
}

/// The system, recorded or tried.
fn system_of_world(world: &mut World<'_>) -> Option<System> {
    world.recorded(facts::SYSTEM).or_else(|| world.tried(facts::SYSTEM))
}

/// Three phases or not, where volts, system or configuration tell.
fn read_off_phases(world: &mut World<'_>, volts: Option<i64>) -> Option<bool> {
    let split = system_of_world(world) == Some(System::SplitPhase120);
    if volts == Some(120) || split {
        return Some(false);
    }
    pattern::recorded(world).map(|pattern| pattern.family.rating.three_phase())
}

const AMPS: [i64; 8] = [10, 15, 20, 30, 50, 60, 100, 125];

fn any_amps() -> Vec<Milli> {
    AMPS.into_iter().map(Milli::whole).collect()
}

/// Amperes of the receptacle: its configuration's, else as rated, else the circuit's.
fn receptacle_amps(world: &mut World<'_>) -> Milli {
    if let Some(amps) = configured_amps(world) {
        return amps;
    }
    if let Some(amps) = world.recorded(facts::DEVICE_AMPS) {
        return amps;
    }
    world.infer(Inference::AmpsFromOther);
    world.ask_among(0, facts::CIRCUIT_AMPS, any_amps)
}

/// Amperes of the circuit, else the configuration's, else as rated.
fn circuit_amps(world: &mut World<'_>) -> Milli {
    if let Some(amps) = world.recorded(facts::CIRCUIT_AMPS) {
        return amps;
    }
    let other = configured_amps(world).or_else(|| world.recorded(facts::DEVICE_AMPS));
    if let Some(amps) = other {
        world.infer(Inference::AmpsFromOther);
        return amps;
    }
    world.ask_among(0, facts::CIRCUIT_AMPS, any_amps)
}

fn configured_amps(world: &mut World<'_>) -> Option<Milli> {
    world.recorded(facts::CONFIGURATION).map(|made| Milli::whole(i64::from(made.amps)))
}
