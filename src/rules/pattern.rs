//! The configuration of a receptacle as rules ask for it: recorded, stood in for, or tried.
//!
//! Rated amperes and volts stand in for a configuration that is not recorded; with only one of them,
//! the configurations that agree with it are tried.

use crate::outlet::configuration::{FAMILIES, Family, Rating};
use crate::outlet::{Choices, Configuration, Fact, Field, Milli, facts};

use super::verdict::{FactRef, Inference};
use super::world::World;

/// A family of configurations in one size; the size of a stand-in need not be in the standard.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Pattern {
    /// The family.
    pub family: &'static Family,
    /// Amperes.
    pub amps: Milli,
}

impl From<Configuration> for Pattern {
    fn from(configuration: Configuration) -> Self {
        let amps = Milli::whole(i64::from(configuration.amps));
        Self { family: configuration.family(), amps }
    }
}

impl Pattern {
    /// Whether it is 15 or 20 A.
    pub fn is_15_or_20(&self) -> bool {
        self.amps == Milli::whole(15) || self.amps == Milli::whole(20)
    }

    /// Whether it is a nonlocking grounding receptacle of 125 V and 15 or 20 A: 5-15, 5-20.
    pub fn is_general_125(&self) -> bool {
        self.family.name == "5" && self.is_15_or_20()
    }

    /// The same of 250 V: 6-15, 6-20.
    pub fn is_general_250(&self) -> bool {
        self.family.name == "6" && self.is_15_or_20()
    }
}

/// The class of a rated voltage, in volts: 120 and 125 V are one, and so are 208, 240 and 250 V.
pub fn volts_class(volts: Milli) -> Option<i64> {
    match volts.0 {
        120_000 | 125_000 => Some(125),
        208_000 | 240_000 | 250_000 => Some(250),
        277_000 => Some(277),
        347_000 => Some(347),
        480_000 => Some(480),
        600_000 => Some(600),
        _ => None,
    }
}

/// The class of what a family is rated for.
const fn rating_class(rating: Rating) -> i64 {
    match rating {
        Rating::V125 => 125,
        Rating::V250 | Rating::V125And250 | Rating::V250ThreePhase | Rating::Wye208 => 250,
        Rating::V277 => 277,
        Rating::V347 => 347,
        Rating::V480 | Rating::V480ThreePhase | Rating::Wye480 => 480,
        Rating::V600 | Rating::V600ThreePhase | Rating::Wye600 => 600,
    }
}

/// What is recorded of the configuration: itself, or what stands in for it.
pub fn recorded(world: &mut World<'_>) -> Option<Pattern> {
    if let Some(configuration) = world.recorded(facts::CONFIGURATION) {
        return Some(configuration.into());
    }
    let amps = world.recorded(facts::DEVICE_AMPS)?;
    let family = match volts_class(world.recorded(facts::DEVICE_VOLTS)?)? {
        125 => "5",
        250 => "6",
        _ => return None,
    };
    world.infer(Inference::StandIn);
    let family = FAMILIES.iter().find(|known| known.name == family)?;
    Some(Pattern { family, amps })
}

/// The configuration of the receptacle, trying one of each class where it is unknown; none when no
/// configuration of the standard agrees with what is recorded.
pub fn ask<C: PartialEq>(world: &mut World<'_>, class: impl Fn(Pattern) -> C) -> Option<Pattern> {
    if let Some(pattern) = recorded(world) {
        return Some(pattern);
    }
    let amps = world.recorded(facts::DEVICE_AMPS);
    let volts = world.recorded(facts::DEVICE_VOLTS);
    let agrees = |configuration: &Configuration| {
        let pattern = Pattern::from(*configuration);
        amps.is_none_or(|amps| amps == pattern.amps)
            && volts
                .is_none_or(|volts| volts_class(volts) == Some(rating_class(pattern.family.rating)))
    };
    let mut classes = Vec::new();
    let mut tried = Vec::new();
    for configuration in Configuration::all().into_iter().filter(agrees) {
        let class = class(configuration.into());
        if !classes.contains(&class) {
            classes.push(class);
            tried.push(configuration);
        }
    }
    if tried.is_empty() {
        return None;
    }
    Some(world.choose(FactRef::own(Field::Configuration), || tried).into())
}

/// Whether the receptacle has a grounding contact, as far as is recorded: unknown ones are taken to
/// have one, unreadable ones are tried.
pub fn heed_grounding(world: &mut World<'_>) -> bool {
    let grounding = |pattern: Pattern| pattern.family.grounding();
    match world.fact(facts::CONFIGURATION) {
        Fact::Known(configuration) => grounding(configuration.into()),
        Fact::Unreadable => ask(world, grounding).is_none_or(grounding),
        Fact::Blank | Fact::Absent => true,
    }
}

/// Nominal circuit volts for which a family is made.
pub fn nominal_volts(family: &Family) -> &'static [i64] {
    match family.rating {
        Rating::V125 => &[120],
        Rating::V250 | Rating::V125And250 | Rating::V250ThreePhase => &[208, 240],
        Rating::Wye208 => &[208, 120],
        Rating::V277 => &[277],
        Rating::V347 => &[347],
        Rating::V480 | Rating::V480ThreePhase => &[480],
        Rating::Wye480 => &[480, 277],
        Rating::V600 | Rating::V600ThreePhase => &[600],
        Rating::Wye600 => &[600, 347],
    }
}
