//! Volts of the circuit against those the receptacle is made for.

use crate::code::{Citation, Confidence};
use crate::outlet::system::{BANDS, nominal};
use crate::outlet::{Field, Milli, facts};
use crate::rules::pattern::{self, Pattern};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::{Measured, Violation};
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle stands on a circuit of the volts for which its configuration is made.
    ///
    /// ## What it checks
    /// The nominal volts of the circuit, within the usual bands, against the family of the configuration.
    ///
    /// ## Why it matters
    /// What is plugged in gets what the circuit gives: 208 V from a high leg, or 277 V, burns a 120 V
    /// appliance.
    ///
    /// ## What to do
    /// De-energise and verify; fit the receptacle that belongs to the circuit, or correct the circuit.
    ///
    /// ## When it does not apply
    /// To devices without a receptacle, and to receptacles of no known family.
    ///
    /// ## When it cannot tell
    /// When the configuration or the volts are unknown. Rated amperes and volts stand in for a configuration. A
    /// voltage in no band violates.
    ///
    /// ## Sources
    /// The California Electrical Code 2022; a trade magazine on article 406 of 2023; NEMA WD 6 for the
    /// configurations. The bands of nominal volts are common practice, no published source.
    CONFIGURATION_VOLTAGE = "configuration-voltage", Outlet, Rating, Danger,
    cite: Citation::all("406.4(A)", Confidence::Two),
    asks: [Configuration, Volts],
    heeds: [Device, DeviceAmps, DeviceVolts],
    check: Outlet(check),
}

const MISMATCH: Violation = Violation::new(
    "the voltage of the circuit is not the one that the receptacle is made for",
    "de-energise and verify; fit a receptacle that matches the circuit, or correct the circuit",
)
.measured(Measured::own(Field::Volts));

fn check(world: &mut World<'_>) -> Answer {
    let made_for = |pattern: Pattern| pattern::nominal_volts(pattern.family);
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    let Some(pattern) = pattern::ask(world, made_for) else {
        return Answer::NotApplicable("of no family of configurations");
    };
    let volts = world.ask_among(0, facts::VOLTS, nominal_and_none);
    match nominal(volts) {
        Some(volts) if made_for(pattern).contains(&volts) => Answer::Complies,
        _ => Answer::Violates(MISMATCH),
    }
}

/// One figure of each band, and one that lies in none.
fn nominal_and_none() -> Vec<Milli> {
    BANDS.iter().map(|(volts, ..)| *volts).chain([1]).map(Milli::whole).collect()
}
