//! Supply systems as phasors: what stands between two conductors.
//!
//! Nominal magnitudes. Between two hot conductors of one system the nominal figure of the system holds
//! (480 V, not 479.8 V); the phasors give it to within a per cent, which a test checks.

use super::quantity::Milli;
use super::value::Set;
#[cfg(test)]
use super::value::Word;
use super::words::{Conductor, System};

/// A voltage to ground: volts and an angle in degrees.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Phasor {
    /// Volts to ground.
    pub volts: i64,
    /// Degrees.
    pub angle: f64,
}

impl Phasor {
    const fn new(volts: i64, angle: f64) -> Self {
        Self { volts, angle }
    }

    /// Volts between the ends of two phasors of one system.
    #[expect(clippy::cast_precision_loss, reason = "nominal voltages are small")]
    pub fn difference(self, other: Self) -> f64 {
        let (sine, cosine) = self.angle.to_radians().sin_cos();
        let (other_sine, other_cosine) = other.angle.to_radians().sin_cos();
        let (own, others) = (self.volts as f64, other.volts as f64);
        (own * cosine - others * other_cosine).hypot(own * sine - others * other_sine)
    }
}

impl System {
    /// The conductors that a device of this system can have.
    pub fn conductors(self) -> &'static [Conductor] {
        use Conductor::{A, B, C, N};
        match self {
            Self::SplitPhase120 => &[A, C, N],
            Self::Wye208 | Self::Wye480 | Self::Wye600 | Self::HighLeg240 => &[A, B, C, N],
            Self::Delta240 | Self::CornerDelta240 | Self::Delta480 | Self::CornerDelta480 => {
                &[A, B, C]
            }
        }
    }

    /// Whether it has a neutral.
    pub fn has_neutral(self) -> bool {
        self.conductors().contains(&Conductor::N)
    }

    /// Whether no conductor of it is grounded, so that its voltages to ground float.
    pub const fn ungrounded(self) -> bool {
        matches!(self, Self::Delta240 | Self::Delta480)
    }

    /// Nominal volts between two different hot conductors.
    pub const fn between_hots(self) -> i64 {
        match self {
            Self::SplitPhase120 | Self::HighLeg240 | Self::Delta240 | Self::CornerDelta240 => 240,
            Self::Wye208 => 208,
            Self::Wye480 | Self::Delta480 | Self::CornerDelta480 => 480,
            Self::Wye600 => 600,
        }
    }

    /// The phasor of a conductor; none where the system has no such conductor, or floats.
    pub const fn phasor(self, conductor: Conductor) -> Option<Phasor> {
        use Conductor::{A, B, C, N};
        Some(match (self, conductor) {
            (Self::Delta240 | Self::Delta480, _)
            | (Self::SplitPhase120, B)
            | (Self::CornerDelta240 | Self::CornerDelta480, N) => return None,
            (_, N) | (Self::CornerDelta240 | Self::CornerDelta480, B) => Phasor::new(0, 0.0),
            (Self::SplitPhase120 | Self::HighLeg240 | Self::Wye208, A) => Phasor::new(120, 0.0),
            (Self::SplitPhase120 | Self::HighLeg240, C) => Phasor::new(120, 180.0),
            (Self::HighLeg240, B) => Phasor::new(208, 90.0),
            (Self::Wye208, B) => Phasor::new(120, -120.0),
            (Self::Wye208, C) => Phasor::new(120, 120.0),
            (Self::Wye480, A) => Phasor::new(277, 0.0),
            (Self::Wye480, B) => Phasor::new(277, -120.0),
            (Self::Wye480, C) => Phasor::new(277, 120.0),
            (Self::Wye600, A) => Phasor::new(347, 0.0),
            (Self::Wye600, B) => Phasor::new(347, -120.0),
            (Self::Wye600, C) => Phasor::new(347, 120.0),
            (Self::CornerDelta240, A) => Phasor::new(240, 30.0),
            (Self::CornerDelta240, C) => Phasor::new(240, 90.0),
            (Self::CornerDelta480, A) => Phasor::new(480, 30.0),
            (Self::CornerDelta480, C) => Phasor::new(480, 90.0),
        })
    }

    /// Nominal volts between two conductors of this one system.
    pub fn between(self, one: Conductor, other: Conductor) -> i64 {
        if one == other {
            return 0;
        }
        match (one, other) {
            (Conductor::N, hot) | (hot, Conductor::N) => {
                self.phasor(hot).map_or(0, |phasor| phasor.volts)
            }
            _ => self.between_hots(),
        }
    }
}

/// Nominal circuit voltages, each with the band of recorded figures that mean it.
///
/// 120, 208, 240, 277, 347, 480 and 600 V; the bands are common practice, no published source.
pub const BANDS: [(i64, i64, i64); 7] = [
    (120, 110, 127),
    (208, 200, 215),
    (240, 220, 250),
    (277, 265, 277),
    (347, 346, 347),
    (480, 440, 480),
    (600, 575, 600),
];

/// The nominal voltage that a recorded figure means; none where it lies in no band.
pub fn nominal(volts: Milli) -> Option<i64> {
    let within = |(_, low, high): &&(i64, i64, i64)| {
        Milli::whole(*low) <= volts && volts <= Milli::whole(*high)
    };
    BANDS.iter().find(within).map(|(nominal, ..)| *nominal)
}

impl System {
    /// Whether this arrangement of conductors gives these volts: to neutral on one hot conductor,
    /// between hots on two or three.
    pub fn gives(self, conductors: Set<Conductor>, volts: Milli) -> bool {
        nominal(volts).is_some() && nominal(volts) == self.nominal_of(conductors)
    }

    /// Nominal volts of an arrangement of conductors; none for one hot conductor without a neutral.
    pub fn nominal_of(self, conductors: Set<Conductor>) -> Option<i64> {
        let mut hots = conductors.hots();
        match (hots.next(), hots.next()) {
            (Some(hot), None) if self.has_neutral() => self.phasor(hot).map(|phasor| phasor.volts),
            (Some(_), Some(_)) => Some(self.between_hots()),
            _ => None,
        }
    }
}

impl Set<Conductor> {
    /// The hot conductors.
    pub fn hots(self) -> impl Iterator<Item = Conductor> {
        self.iter().filter(|conductor| *conductor != Conductor::N)
    }

    /// Whether all three phases are there.
    pub fn three_phase(self) -> bool {
        self.hots().count() == 3
    }

    /// Every set with at least one hot conductor.
    pub fn circuits() -> impl Iterator<Item = Self> {
        (1..16)
            .map(<Self as super::value::Value>::from_raw)
            .filter(|set| set.hots().next().is_some())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Check values: 208Y/120 gives 207.846 V between phases and 480Y/277 479.778 V, computed; the high
    /// leg of 240/120 stands at 207.846 V to neutral (derivation published in an electricians' forum).
    #[test]
    fn the_phasors_give_the_nominal_voltages_between_hots() {
        for system in System::ALL.iter().copied().filter(|system| !system.ungrounded()) {
            for one in system.conductors() {
                for other in system.conductors() {
                    let (Some(a), Some(b)) = (system.phasor(*one), system.phasor(*other)) else {
                        panic!("{} has {one:?} and {other:?}", system.word());
                    };
                    let exact = a.difference(b);
                    #[expect(clippy::cast_precision_loss, reason = "nominal voltages are small")]
                    let nominal = system.between(*one, *other) as f64;
                    let off = (exact - nominal).abs();
                    assert!(off <= nominal * 0.01, "{}: {exact} for {nominal}", system.word());
                }
            }
        }
        let wye = |conductor| System::Wye480.phasor(conductor).expect("a phase of the system");
        let between = wye(Conductor::A).difference(wye(Conductor::B));
        assert!((between - 479.778).abs() < 0.001, "{between}");
    }
}
