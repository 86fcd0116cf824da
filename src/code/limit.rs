//! Limits of the code, each with both figures that it prints.
//!
//! The metric and the inch figure of a pair are rounded, not exact, and compliance in either counts
//! (90.9(D), confirmed by one published summary): so the lenient figure of each pair decides.

use crate::outlet::Length;

/// A length that the code sets, as it prints it and as it decides.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Limit {
    /// What it limits, in a few words.
    pub name: &'static str,
    /// The lenient figure of the pair.
    pub length: Length,
    /// Both figures as printed; empty for a limit that a local amendment changed.
    pub printed: &'static str,
}

impl Limit {
    /// Set-back of a box in a noncombustible finish, 314.20.
    pub const SET_BACK: Self = Self::new("set-back", 6350, "6 mm (1/4 in)");
    /// Gap between a box and the finish, 314.21.
    pub const WALL_GAP: Self = Self::new("gap", 3175, "3 mm (1/8 in)");
    /// Projection of a face from a metal faceplate, 406.5(D).
    pub const FACE_PROJECTION: Self = Self::new("projection", 381, "0.4 mm (0.015 in)");
    /// "Within 6 ft" of a sink, a tub or a shower, 210.8.
    pub const NEAR_WATER: Self = Self::new("distance", 1_800_000, "1.8 m (6 ft)");
    /// "Within 3 ft" of a tub or a shower, 406.9(C).
    pub const TUB_ZONE: Self = Self::new("distance", 900_000, "900 mm (3 ft)");
    /// "Up to 8 ft" above a tub rim or a shower threshold, 406.9(C).
    pub const TUB_ZONE_RISE: Self = Self::new("rise", 2_438_400, "2.5 m (8 ft)");
    /// "More than 5 1/2 ft" above the floor, 406.12.
    pub const OUT_OF_REACH_OF_CHILDREN: Self = Self::new("height", 1_676_400, "1.7 m (5 1/2 ft)");

    /// The limit as people read it.
    pub fn text(&self) -> String {
        if self.printed.is_empty() {
            format!("{} (amended)", self.length)
        } else {
            self.printed.to_owned()
        }
    }

    const fn new(name: &'static str, micrometres: i64, printed: &'static str) -> Self {
        Self { name, length: Length::micrometres(micrometres), printed }
    }
}
