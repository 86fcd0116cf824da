//! Amperes of a receptacle against those of its circuit.

use crate::code::{Citation, Confidence};
use crate::outlet::words::Edition;
use crate::outlet::{Field, Milli, facts};
use crate::rules::questions::{is_receptacle, since};
use crate::rules::rule::rule;
use crate::rules::verdict::{Measured, Violation};
use crate::rules::world::{Answer, World};

rule! {
    /// The amperes of a receptacle fit its branch circuit.
    ///
    /// ## What it checks
    /// The rating of the receptacle against the circuit: at least the circuit for a single receptacle on an
    /// individual circuit, else the sizes of the table.
    ///
    /// ## Why it matters
    /// A receptacle that is too small burns before the breaker opens; one that is too large invites a plug that
    /// overloads the circuit.
    ///
    /// ## What to do
    /// Fit a receptacle of a size that the circuit takes, or change the overcurrent device, never above what
    /// the conductors carry.
    ///
    /// ## When it does not apply
    /// To devices without a receptacle.
    ///
    /// ## When it cannot tell
    /// When the circuit, the rating, the number of receptacles or whether the circuit is an individual one is
    /// unknown and could matter. Circuit sizes that the table does not name are for the authority, and so are,
    /// in 2023, receptacles above it: the table became a minimum there, and its relation to Table 210.24 is
    /// contested.
    ///
    /// ## Sources
    /// A code reference page on branch circuits; threads of a code forum, for 2023 too; a guide and a course on
    /// 10 A circuits of 2023.
    RECEPTACLE_CIRCUIT_RATING = "receptacle-circuit-rating", Outlet, Rating, Latent,
    cite: Citation::all("210.21(B)", Confidence::Two),
    asks: [CircuitAmps, DeviceAmps, ReceptaclesOnYoke, IndividualCircuit],
    heeds: [Device, Configuration, Edition],
    check: Outlet(check),
}

const TOO_SMALL: Violation = Violation::new(
    "the receptacle is rated below its individual branch circuit",
    "fit a receptacle rated no less than the circuit, or a smaller overcurrent device",
)
.measured(Measured::own(Field::CircuitAmps));
const NOT_FOR_CIRCUIT: Violation = Violation::new(
    "a receptacle of this rating is not allowed on a circuit of this rating",
    "fit a receptacle of a rating that the circuit allows, or have the circuit rebuilt to match it, conductors and overcurrent device together",
)
.measured(Measured::own(Field::CircuitAmps));
const TEN: Violation = Violation::new(
    "receptacles are on a 10 A circuit that is not an individual branch circuit",
    "feed the receptacle from a circuit of 15 A or more",
)
.measured(Measured::own(Field::CircuitAmps));

fn check(world: &mut World<'_>) -> Answer {
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    let circuit = world.ask_among(0, facts::CIRCUIT_AMPS, || whole(&CIRCUITS));
    let individual = world.ask(facts::INDIVIDUAL_CIRCUIT);
    if individual && world.ask_among(0, facts::RECEPTACLES_ON_YOKE, || vec![1, 2]) == 1 {
        return if amps(world) >= circuit { Answer::Complies } else { Answer::Violates(TOO_SMALL) };
    }
    let Some(takes) = takes(circuit) else {
        return size_not_named(world, circuit, individual);
    };
    let device = amps(world);
    if takes.contains(&device) || circuit > Milli::whole(50) && device >= circuit {
        return Answer::Complies;
    }
    let above = takes.iter().all(|largest| device > *largest);
    if circuit <= Milli::whole(50) && above && since(world, Edition::E2023) {
        Answer::Authority("may a receptacle rated above the table be used on this circuit?")
    } else {
        Answer::Violates(NOT_FOR_CIRCUIT)
    }
}

/// Circuits tried where the size is unknown: each of the table, and between, below and above.
const CIRCUITS: [i64; 9] = [10, 12, 15, 20, 25, 30, 40, 50, 60];
/// Receptacles tried where the rating is unknown.
const DEVICES: [i64; 17] = [1, 10, 11, 12, 13, 15, 17, 20, 22, 25, 30, 35, 40, 45, 50, 55, 60];

fn whole(amps: &[i64]) -> Vec<Milli> {
    amps.iter().copied().map(Milli::whole).collect()
}

/// The sizes of receptacles that the table gives a circuit; none for a size that it does not name.
/// Above 50 A nothing is listed: any size from the circuit's up will do.
fn takes(circuit: Milli) -> Option<&'static [Milli]> {
    const A15: Milli = Milli::whole(15);
    const A20: Milli = Milli::whole(20);
    const A30: Milli = Milli::whole(30);
    const A40: Milli = Milli::whole(40);
    const A50: Milli = Milli::whole(50);
    Some(match circuit {
        A15 => &[A15],
        A20 => &[A15, A20],
        A30 => &[A30],
        A40 => &[A40, A50],
        A50 => &[A50],
        larger if larger > A50 => &[],
        _ => return None,
    })
}

fn size_not_named(world: &mut World<'_>, circuit: Milli, individual: bool) -> Answer {
    if circuit == Milli::whole(10) && !individual && since(world, Edition::E2023) {
        Answer::Violates(TEN)
    } else {
        Answer::Authority(
            "may receptacles be used on a circuit of a rating that the table does not name?",
        )
    }
}

/// The amperes of the receptacle: its configuration's, else as rated, else any figure.
fn amps(world: &mut World<'_>) -> Milli {
    if let Some(configuration) = world.recorded(facts::CONFIGURATION) {
        return Milli::whole(i64::from(configuration.amps));
    }
    let circuit = world.recorded(facts::CIRCUIT_AMPS);
    world.ask_among(0, facts::DEVICE_AMPS, || {
        let near = circuit.into_iter().flat_map(|amps| [amps.0 - 1, amps.0, amps.0 + 1].map(Milli));
        whole(&DEVICES).into_iter().chain(near).collect()
    })
}
