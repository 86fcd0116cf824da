//! The five verdicts and what stands behind each.

use crate::code::Limit;
use crate::outlet::{Field, Volume};

/// What a rule answers for one subject.
#[derive(Clone, PartialEq, Debug)]
pub enum Verdict {
    /// No missing fact could make it a violation.
    Complies,
    /// The facts on record break the rule, whatever the missing ones turn out to be.
    Violates(Violation),
    /// The rule does not reach this subject, or is not in its edition; why.
    NotApplicable(&'static str),
    /// Missing or conflicting facts decide.
    Undetermined(Missing),
    /// The rule leaves it to the authority having jurisdiction; the question.
    Authority(&'static str),
}

/// The five verdicts without what stands behind them, in the order of reports.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum VerdictKind {
    /// See [`Verdict::Violates`].
    Violates,
    /// See [`Verdict::Complies`].
    Complies,
    /// See [`Verdict::Undetermined`].
    Undetermined,
    /// See [`Verdict::Authority`].
    Authority,
    /// See [`Verdict::NotApplicable`].
    NotApplicable,
}

impl VerdictKind {
    /// All five, in the order of reports.
    pub const ALL: [Self; 5] =
        [Self::Violates, Self::Complies, Self::Undetermined, Self::Authority, Self::NotApplicable];

    /// The word of the verdict in files and reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Violates => "violates",
            Self::Complies => "complies",
            Self::Undetermined => "undetermined",
            Self::Authority => "authority",
            Self::NotApplicable => "not-applicable",
        }
    }

    /// What the verdict means, in a line.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Violates => "the recorded facts break the rule, whatever is missing",
            Self::Complies => "no missing fact could turn it into a violation",
            Self::Undetermined => "missing or conflicting facts decide; they are named",
            Self::Authority => "for the authority having jurisdiction to decide",
            Self::NotApplicable => "not in the edition, or does not reach the subject",
        }
    }
}

impl Verdict {
    /// Which of the five it is.
    pub const fn kind(&self) -> VerdictKind {
        match self {
            Self::Complies => VerdictKind::Complies,
            Self::Violates(_) => VerdictKind::Violates,
            Self::NotApplicable(_) => VerdictKind::NotApplicable,
            Self::Undetermined(_) => VerdictKind::Undetermined,
            Self::Authority(_) => VerdictKind::Authority,
        }
    }
}

/// A fact of one member of a subject.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct FactRef {
    /// Place of the outlet among the members of the subject; 0 for an outlet rule.
    pub member: u16,
    /// The field.
    pub field: Field,
}

impl FactRef {
    /// A fact of the first member.
    pub const fn own(field: Field) -> Self {
        Self { member: 0, field }
    }
}

/// What an undetermined verdict waits for: a set of facts.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub struct Missing(u128);

/// A fact that is missing, or in conflict.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum MissingFact {
    /// A field of the model.
    Field(Field),
    /// Any one of the columns that count conductors by size.
    Wires,
}

/// The columns that count conductors by size.
static WIRES: [Field; 7] = [
    Field::Wires18,
    Field::Wires16,
    Field::Wires14,
    Field::Wires12,
    Field::Wires10,
    Field::Wires8,
    Field::Wires6,
];

impl MissingFact {
    /// Its name in files and reports.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Field(field) => field.name(),
            Self::Wires => "wires",
        }
    }

    /// The fields that would settle it.
    pub fn fields(self) -> &'static [Field] {
        match self {
            Self::Field(field) => {
                let place = field as usize;
                &Field::ALL[place..=place]
            }
            Self::Wires => &WIRES,
        }
    }

    const fn bit(self) -> u128 {
        match self {
            Self::Field(field) => 1 << field as u8,
            Self::Wires => 1 << 127,
        }
    }
}

impl Missing {
    /// Adds a fact.
    pub const fn add(&mut self, fact: MissingFact) {
        self.0 |= fact.bit();
    }

    /// Adds a field.
    pub const fn add_field(&mut self, field: Field) {
        self.add(MissingFact::Field(field));
    }

    /// Adds all facts of another.
    pub const fn extend(&mut self, other: Self) {
        self.0 |= other.0;
    }

    /// What is left without the facts of another.
    #[must_use]
    pub const fn minus(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Whether nothing is missing.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Whether a fact is among them.
    pub const fn contains(self, fact: MissingFact) -> bool {
        self.0 & fact.bit() != 0
    }

    /// The facts in the order of the model.
    pub fn facts(self) -> impl Iterator<Item = MissingFact> {
        let mut rest = self.0;
        std::iter::from_fn(move || {
            let bit = rest.trailing_zeros() as usize;
            rest &= rest.wrapping_sub(1);
            match bit {
                128 => None,
                127 => Some(MissingFact::Wires),
                place => Field::ALL.get(place).map(|field| MissingFact::Field(*field)),
            }
        })
    }

    /// The names, sorted and joined with `;`, as the CSV files write lists.
    pub fn text(self) -> String {
        let mut names: Vec<&str> = self.facts().map(MissingFact::name).collect();
        names.sort_unstable();
        names.join(";")
    }
}

/// What breaks a rule, and what is to be done.
#[derive(Clone, PartialEq, Debug)]
pub struct Violation {
    /// What is wrong, in a clause.
    pub what: &'static str,
    /// What to do, in words of the trade.
    pub remedy: &'static str,
    /// What was measured or counted, where a figure decides.
    pub measured: Option<Measured>,
    /// What is allowed, where a figure decides.
    pub limit: Option<Bound>,
}

impl Violation {
    /// A violation without figures.
    pub const fn new(what: &'static str, remedy: &'static str) -> Self {
        Self { what, remedy, measured: None, limit: None }
    }

    /// With the recorded fact that decides.
    #[must_use]
    pub const fn measured(mut self, measured: Measured) -> Self {
        self.measured = Some(measured);
        self
    }

    /// With what is allowed.
    #[must_use]
    pub const fn limit(mut self, limit: Bound) -> Self {
        self.limit = Some(limit);
        self
    }
}

/// What was measured or counted.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Measured {
    /// A recorded fact of one member.
    Fact(FactRef),
    /// Volts between two devices, computed.
    Volts(i64),
    /// A volume that the conductors and devices of a box take, or that it has.
    Volume(Volume),
    /// A number of receptacles, screws or yokes.
    Count(i64),
    /// A load in volt-amperes.
    VoltAmperes(i64),
}

impl Measured {
    /// A recorded fact of an outlet rule.
    pub const fn own(field: Field) -> Self {
        Self::Fact(FactRef::own(field))
    }
}

/// What is allowed.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Bound {
    /// At most this length.
    AtMost(Limit),
    /// At least this length.
    AtLeast(Limit),
    /// Said in words.
    Words(&'static str),
    /// At most so many volts.
    VoltsAtMost(i64),
    /// At most this volume.
    VolumeAtMost(Volume),
    /// At least so many.
    CountAtLeast(i64),
    /// At most so many volt-amperes.
    VoltAmperesAtMost(i64),
}

/// A conclusion that was drawn from what is recorded, instead of trying every value.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
#[repr(u8)]
pub enum Inference {
    /// Rated amperes and volts stand in for a configuration.
    StandIn,
    /// The circuit's volts were read off the configuration or the rating of the device.
    VoltsFromDevice,
    /// Amperes were read off another fact than the one the edition names.
    AmpsFromOther,
    /// Single- or three-phase was read off the configuration, the system or the volts.
    PhasesFromOther,
    /// Two devices in one box were taken to be on one supply.
    OneSupply,
    /// A loose yoke is loose wherever its box stands.
    LooseYoke,
    /// A box made for devices is taken as identified for the use.
    BoxMadeForDevices,
    /// The box was taken as metal for the table of its trade size.
    MetalBox,
    /// A row that says nothing of a tub or shower is judged by its room.
    NoTubRecorded,
}

impl Inference {
    /// All of them.
    pub const ALL: [Self; 9] = [
        Self::StandIn,
        Self::VoltsFromDevice,
        Self::AmpsFromOther,
        Self::PhasesFromOther,
        Self::OneSupply,
        Self::LooseYoke,
        Self::BoxMadeForDevices,
        Self::MetalBox,
        Self::NoTubRecorded,
    ];

    /// The sentence that the evidence adds.
    pub const fn sentence(self) -> &'static str {
        match self {
            Self::StandIn => "the rated amperes and volts stand in for a configuration",
            Self::VoltsFromDevice => "the volts were read off the device, not off the circuit",
            Self::AmpsFromOther => "the amperes were read off another fact",
            Self::PhasesFromOther => "single- or three-phase was read off another fact",
            Self::OneSupply => "both devices were taken to be on one supply",
            Self::LooseYoke => "a loose yoke is loose wherever its box stands",
            Self::BoxMadeForDevices => "a box made for devices was taken as identified for the use",
            Self::MetalBox => "the box was taken as metal",
            Self::NoTubRecorded => "nothing is recorded of a tub or shower",
        }
    }
}

/// A set of inferences.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Inferences(u16);

impl Inferences {
    /// Adds one.
    pub const fn add(&mut self, inference: Inference) {
        self.0 |= 1 << inference as u8;
    }

    /// Adds all of another set.
    pub const fn extend(&mut self, other: Self) {
        self.0 |= other.0;
    }

    /// Those that were drawn.
    pub fn iter(self) -> impl Iterator<Item = Inference> {
        Inference::ALL.into_iter().filter(move |one| self.0 & (1 << *one as u8) != 0)
    }
}
