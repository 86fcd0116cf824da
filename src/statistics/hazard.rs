//! The physical hazard index: violations weighed by grade, per 100 outlets.
//!
//! An insurer's word: a physical hazard is a condition that makes a loss likelier. The weights are a
//! judgement: no published source ties such defects to losses, so they can be set, and whoever shows
//! the index says whose they are. An index counts what was found; with it belongs the share of verdicts
//! that could be decided, without which a thin schedule looks safe.

use std::fmt;
use std::str::FromStr;

use super::breakdown::{Figures, LEAST_FOR_A_RATE};
use super::events::GRADES;

/// How much a violation of each grade weighs, in the order of the grades.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Weights([f64; 3]);

/// Why weights could not be read.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
pub enum WeightsError {
    /// A part is not of the form `grade=number`.
    #[error("`{0}` is not a grade with its weight, such as danger=10")]
    Form(String),
    /// No grade has this name.
    #[error("there is no grade `{0}`; there are danger, latent and workmanship")]
    Grade(String),
    /// The weight is not a number from 0 to 1000.
    #[error("the weight of {grade} is `{text}`; a weight is a number from 0 to 1000")]
    Weight {
        /// The grade.
        grade: &'static str,
        /// What was given.
        text: String,
    },
    /// A grade is named twice.
    #[error("{0} has two weights")]
    Twice(&'static str),
}

impl Default for Weights {
    /// Our judgement: a path to shock or fire weighs ten times a blemish, a fault that is one event
    /// away from it three times.
    fn default() -> Self {
        Self([10.0, 3.0, 1.0])
    }
}

impl FromStr for Weights {
    type Err = WeightsError;

    /// Reads `danger=10,latent=3,workmanship=1`; a grade that is not named keeps its default.
    fn from_str(text: &str) -> Result<Self, WeightsError> {
        let mut weights = Self::default();
        let mut named = [false; 3];
        for part in text.split(',') {
            let (name, weight) =
                part.split_once('=').ok_or_else(|| WeightsError::Form(part.trim().to_owned()))?;
            let place = GRADES.iter().position(|grade| *grade == name.trim());
            let place = place.ok_or_else(|| WeightsError::Grade(name.trim().to_owned()))?;
            let grade = GRADES[place];
            let weight = weight.trim();
            let number = weight.parse::<f64>().ok().filter(|one| (0.0..=1000.0).contains(one));
            weights.0[place] =
                number.ok_or_else(|| WeightsError::Weight { grade, text: weight.to_owned() })?;
            if std::mem::replace(&mut named[place], true) {
                return Err(WeightsError::Twice(grade));
            }
        }
        Ok(weights)
    }
}

impl fmt::Display for Weights {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [danger, latent, workmanship] = self.0;
        write!(f, "danger={danger},latent={latent},workmanship={workmanship}")
    }
}

impl Weights {
    /// The weights, in the order of the grades.
    pub const fn by_grade(&self) -> [f64; 3] {
        self.0
    }

    /// The weighed violations of some outlets per 100 of them; none for fewer than
    /// [`LEAST_FOR_A_RATE`].
    #[expect(clippy::cast_precision_loss, reason = "an index for people")]
    pub fn index(&self, figures: &Figures) -> Option<f64> {
        let weighed = figures.violations.iter().zip(self.0);
        let weighed: f64 = weighed.map(|(count, weight)| *count as f64 * weight).sum();
        let outlets = figures.outlets;
        (outlets >= LEAST_FOR_A_RATE).then(|| 100.0 * weighed / outlets as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_index_weighs_violations_per_hundred_outlets() {
        let figures =
            Figures { outlets: 40, violations: [1, 2, 4], violating: 5, ..Figures::default() };
        assert_eq!(Weights::default().index(&figures), Some(50.0));
        let flat: Weights = "danger=1, latent=1".parse().unwrap();
        assert_eq!(flat.index(&figures), Some(17.5));
        let few = Figures { outlets: 4, ..figures };
        assert_eq!(Weights::default().index(&few), None);
    }

    #[test]
    fn weights_are_read_and_written_back() {
        let text = "danger=8,latent=2.5,workmanship=0";
        assert_eq!(text.parse::<Weights>().unwrap().to_string(), text);
        let error = |text: &str| text.parse::<Weights>().unwrap_err().to_string();
        assert!(error("danger").contains("`danger`"));
        assert!(error("").contains("such as danger=10"));
        assert!(error("grave=1").contains("no grade `grave`"));
        assert!(error("latent=-1").contains("0 to 1000"));
        assert!(error("latent=NaN").contains("0 to 1000"));
        assert!(error("latent=1,latent=2").contains("two weights"));
    }
}
