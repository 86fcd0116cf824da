//! How a sample was drawn: all that an estimate must know of it, in a form that travels with the survey.

use serde::{Deserialize, Serialize};

use super::acceptance::{Level, Severity, SinglePlan};

/// The form of this description; a later one gets another number.
pub const FORM: u32 = 1;

/// A sample, as it was drawn.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Design {
    /// The form of this description.
    pub form: u32,
    /// What the sample is for.
    pub plan: Plan,
    /// The seed of the draw.
    pub seed: u64,
    /// How chance was made of it.
    pub generator: String,
    /// What the strata are made by; none for one stratum.
    pub by: Vec<By>,
    /// How the sample was parted among them.
    pub allocation: Allocation,
    /// Whether rooms were drawn, and every outlet in them.
    pub rooms: bool,
    /// Outlets of the population.
    pub population: u64,
    /// The parts of the population from which was drawn, in order.
    pub strata: Vec<Stratum>,
    /// The outlets that were drawn, in the order of their rows.
    pub drawn: Vec<Drawn>,
}

/// What a sample is for.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum Plan {
    /// To estimate the rate of defective outlets.
    Estimate {
        /// Confidence of the interval, from 0 to 1.
        confidence: f64,
        /// Its half-width, as a share.
        margin: f64,
        /// The rate that was thought likely.
        expected: f64,
        /// The sample size of the formula.
        n: u64,
    },
    /// To find a defective outlet if there are enough of them.
    Detect {
        /// The confidence of finding one, from 0 to 1.
        confidence: f64,
        /// The share of defective outlets from which on one is to be found.
        rate: f64,
        /// The same as a number of outlets.
        defective: u64,
        /// The sample size.
        n: u64,
    },
    /// To accept or reject the building as a lot.
    Accept {
        /// The acceptable quality level, in per cent.
        aql: f64,
        /// The level of inspection.
        level: Level,
        /// How strictly it is judged.
        severity: Severity,
        /// The letter of the lot, from Table I.
        letter: char,
        /// The letter to which the arrows led.
        used: char,
        /// The sample size.
        n: u64,
        /// The acceptance number.
        accept: u64,
        /// The rejection number.
        reject: u64,
    },
}

/// What strata are made by.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum By {
    /// The building.
    Building,
    /// The floor.
    Floor,
    /// The trade.
    Trade,
}

/// How a sample is parted among the strata.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Allocation {
    /// By their outlets.
    Proportional,
    /// By their outlets and the spread that an earlier audit lets expect.
    Neyman,
}

/// A part of the population.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Stratum {
    /// Its name: building, floor and trade, as far as the strata are made by them.
    pub name: String,
    /// Its building, where the strata are made by buildings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub building: Option<String>,
    /// Its outlets.
    pub population: u64,
    /// Its share of the outlets of the population.
    pub weight: f64,
    /// Outlets that were drawn.
    pub n: u64,
    /// The rate that an earlier audit let expect.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub expected: Option<f64>,
    /// Its rooms, where rooms were drawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rooms: Option<Rooms>,
}

/// Rooms of a stratum.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Rooms {
    /// All of them.
    pub population: u64,
    /// Those that were drawn.
    pub n: u64,
}

/// An outlet that was drawn.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Drawn {
    /// Its stratum, as a place in the list.
    pub stratum: u32,
    /// Its building.
    pub building: String,
    /// The name by which its row of the survey is known: its `outlet_id`, or one made for it.
    pub outlet: String,
    /// Which of the drawn rooms it is in, numbered through the whole sample.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub room: Option<u32>,
}

/// Why a design that was read back cannot be the one that was written.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
pub enum BrokenDesign {
    /// It was written by another version of the program.
    #[error("it has the form {0}, and this program reads {FORM}")]
    Form(u32),
    /// The strata are not the population.
    #[error("its strata have {strata} outlets, and the population {population}")]
    Population {
        /// The outlets of the strata together.
        strata: u64,
        /// Those of the population.
        population: u64,
    },
    /// A stratum has not the outlets that were drawn.
    #[error("{listed} outlets of the stratum {name} are listed as drawn, and {n} were")]
    Stratum {
        /// Its name.
        name: String,
        /// Outlets listed.
        listed: u64,
        /// Outlets drawn.
        n: u64,
    },
}

impl Design {
    /// Its acceptance plan with the outlets that are really inspected, which strata may make more than the
    /// plan's; none for other plans.
    pub fn inspected_plan(&self) -> Option<SinglePlan> {
        let Plan::Accept { letter, used, accept, reject, .. } = self.plan else { return None };
        let n = self.drawn.len() as u64;
        Some(SinglePlan { letter, used, n, accept, reject, whole: n >= self.population })
    }

    /// Checks that nothing of it was lost on the way.
    pub fn check(&self) -> Result<(), BrokenDesign> {
        if self.form != FORM {
            return Err(BrokenDesign::Form(self.form));
        }
        let strata = self.strata.iter().map(|stratum| stratum.population).sum();
        if strata != self.population || strata == 0 {
            return Err(BrokenDesign::Population { strata, population: self.population });
        }
        for (stratum, place) in self.strata.iter().zip(0..) {
            let listed = self.drawn.iter().filter(|drawn| drawn.stratum == place).count() as u64;
            if listed != stratum.n {
                let (name, n) = (stratum.name.clone(), stratum.n);
                return Err(BrokenDesign::Stratum { name, listed, n });
            }
        }
        Ok(())
    }

    /// The confidence of the intervals of its estimates: that of the plan, 0.95 for an acceptance plan.
    pub const fn confidence(&self) -> f64 {
        match self.plan {
            Plan::Estimate { confidence, .. } | Plan::Detect { confidence, .. } => confidence,
            Plan::Accept { .. } => 0.95,
        }
    }
}

impl Plan {
    /// The word for its kind.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Estimate { .. } => "estimate",
            Self::Detect { .. } => "detect",
            Self::Accept { .. } => "accept",
        }
    }

    /// The defective outlets of which a search finds one; 0 for other plans.
    pub const fn defective(&self) -> u64 {
        match self {
            Self::Detect { defective, .. } => *defective,
            Self::Estimate { .. } | Self::Accept { .. } => 0,
        }
    }

    /// The sample size that it asks for, before strata and rooms.
    pub const fn size(&self) -> u64 {
        match self {
            Self::Estimate { n, .. } | Self::Detect { n, .. } | Self::Accept { n, .. } => *n,
        }
    }
}

impl By {
    /// All of them, the largest parts first.
    pub const ALL: [Self; 3] = [Self::Building, Self::Floor, Self::Trade];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Building => "building",
            Self::Floor => "floor",
            Self::Trade => "trade",
        }
    }
}

impl Allocation {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Proportional => "proportional",
            Self::Neyman => "Neyman",
        }
    }
}
