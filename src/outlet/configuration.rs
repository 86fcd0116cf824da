//! NEMA WD 6 configurations: which exist, and what each family is made for.
//!
//! Source: ANSI/NEMA WD 6-2021 as charted by distributors (check: the wires of a grounding family are
//! its poles and one more). Families 11, 24, TT, L1, L2, L10 to L13, L19 and L24, and the sizes of 14
//! and 15, are from memory.

use std::fmt;

use super::value::{Choices, Value};

/// What a family of configurations is rated for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Rating {
    /// 125 V.
    V125,
    /// 250 V, single-phase.
    V250,
    /// 277 V.
    V277,
    /// 347 V.
    V347,
    /// 480 V.
    V480,
    /// 600 V.
    V600,
    /// 125/250 V, single-phase with neutral.
    V125And250,
    /// 250 V, three-phase.
    V250ThreePhase,
    /// 480 V, three-phase.
    V480ThreePhase,
    /// 600 V, three-phase.
    V600ThreePhase,
    /// 120/208 V, three-phase with neutral.
    Wye208,
    /// 277/480 V, three-phase with neutral.
    Wye480,
    /// 347/600 V, three-phase with neutral.
    Wye600,
}

impl Rating {
    /// Whether it takes three phases.
    pub const fn three_phase(self) -> bool {
        matches!(
            self,
            Self::V250ThreePhase
                | Self::V480ThreePhase
                | Self::V600ThreePhase
                | Self::Wye208
                | Self::Wye480
                | Self::Wye600
        )
    }
}

/// A family of configurations: one pattern of blades in several sizes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Family {
    /// Its designation, `L` for a locking one.
    pub name: &'static str,
    /// What it is rated for.
    pub rating: Rating,
    /// Poles.
    pub poles: u8,
    /// Wires; one more than the poles where one is the equipment grounding conductor.
    pub wires: u8,
    /// Amperes in which it is made.
    pub amps: &'static [u16],
}

impl Family {
    /// Whether it has a grounding contact.
    pub const fn grounding(&self) -> bool {
        self.wires > self.poles
    }

    /// Whether it locks.
    pub fn locking(&self) -> bool {
        self.name.starts_with('L')
    }

    /// The designation without the sign of a locking one: the straight-blade twin's.
    pub fn series(&self) -> &'static str {
        self.name.trim_start_matches('L')
    }
}

const fn family(
    name: &'static str,
    rating: Rating,
    poles: u8,
    wires: u8,
    amps: &'static [u16],
) -> Family {
    Family { name, rating, poles, wires, amps }
}

/// Every family of the standard that the program knows.
pub const FAMILIES: &[Family] = &[
    family("1", Rating::V125, 2, 2, &[15]),
    family("2", Rating::V250, 2, 2, &[15, 20, 30]),
    family("5", Rating::V125, 2, 3, &[15, 20, 30, 50]),
    family("6", Rating::V250, 2, 3, &[15, 20, 30, 50]),
    family("7", Rating::V277, 2, 3, &[15, 20, 30, 50]),
    family("10", Rating::V125And250, 3, 3, &[20, 30, 50]),
    family("11", Rating::V250ThreePhase, 3, 3, &[15, 20, 30, 50]),
    family("14", Rating::V125And250, 3, 4, &[15, 20, 30, 50, 60]),
    family("15", Rating::V250ThreePhase, 3, 4, &[15, 20, 30, 50, 60]),
    family("18", Rating::Wye208, 4, 4, &[15, 20, 30, 50, 60]),
    family("24", Rating::V347, 2, 3, &[15, 20, 30, 50]),
    family("TT", Rating::V125, 2, 3, &[30]),
    family("L1", Rating::V125, 2, 2, &[15]),
    family("L2", Rating::V250, 2, 2, &[20]),
    family("L5", Rating::V125, 2, 3, &[15, 20, 30]),
    family("L6", Rating::V250, 2, 3, &[15, 20, 30]),
    family("L7", Rating::V277, 2, 3, &[15, 20, 30]),
    family("L8", Rating::V480, 2, 3, &[20, 30]),
    family("L9", Rating::V600, 2, 3, &[20, 30]),
    family("L10", Rating::V125And250, 3, 3, &[20, 30]),
    family("L11", Rating::V250ThreePhase, 3, 3, &[20, 30]),
    family("L12", Rating::V480ThreePhase, 3, 3, &[20, 30]),
    family("L13", Rating::V600ThreePhase, 3, 3, &[20, 30]),
    family("L14", Rating::V125And250, 3, 4, &[20, 30]),
    family("L15", Rating::V250ThreePhase, 3, 4, &[20, 30]),
    family("L16", Rating::V480ThreePhase, 3, 4, &[20, 30]),
    family("L17", Rating::V600ThreePhase, 3, 4, &[30]),
    family("L18", Rating::Wye208, 4, 4, &[20, 30]),
    family("L19", Rating::Wye480, 4, 4, &[20, 30]),
    family("L20", Rating::Wye600, 4, 4, &[20, 30]),
    family("L21", Rating::Wye208, 4, 5, &[20, 30]),
    family("L22", Rating::Wye480, 4, 5, &[20, 30]),
    family("L23", Rating::Wye600, 4, 5, &[20, 30]),
    family("L24", Rating::V347, 2, 3, &[20]),
];

/// A configuration of the standard: a family in one size.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Configuration {
    family: u8,
    /// Amperes.
    pub amps: u16,
}

impl Configuration {
    /// The family it belongs to.
    pub const fn family(self) -> &'static Family {
        &FAMILIES[self.family as usize]
    }

    /// The configuration of this family and size.
    pub fn new(family: &str, amps: u16) -> Option<Self> {
        let index = FAMILIES.iter().position(|known| known.name == family)?;
        let configuration = Self { family: u8::try_from(index).ok()?, amps };
        FAMILIES[index].amps.contains(&amps).then_some(configuration)
    }

    /// Reads a designation: `5-20R`, `NEMA L6-30`, `l14-30r`, with a hyphen or a dash.
    ///
    /// A plug (suffix `P`), or a configuration outside the standard, is none.
    pub fn read(text: &str) -> Option<Self> {
        let text = text.trim().to_ascii_uppercase();
        let text = text.strip_prefix("NEMA").unwrap_or(&text).trim_start_matches([' ', ':']);
        let (family, size) = text.split_once(['-', '\u{2010}', '\u{2011}', '\u{2013}'])?;
        let size = size.trim();
        let size = size.strip_suffix('R').unwrap_or(size).trim_end();
        if size.is_empty() || !size.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        Self::new(family.trim(), size.parse().ok()?)
    }
}

impl Choices for Configuration {
    fn all() -> Vec<Self> {
        let all = FAMILIES.iter().zip(0..).flat_map(|(known, family)| {
            known.amps.iter().map(move |amps| Self { family, amps: *amps })
        });
        all.collect()
    }
}

/// Families take five sizes at most: 15, 20, 30, 50 and 60 A.
const SIZES: [u16; 5] = [15, 20, 30, 50, 60];

impl Value for Configuration {
    fn from_raw(raw: i64) -> Self {
        let raw = usize::try_from(raw).unwrap_or_default();
        let family = u8::try_from(raw / SIZES.len()).unwrap_or_default();
        Self { family, amps: SIZES[raw % SIZES.len()] }
    }

    fn raw(self) -> i64 {
        let size = SIZES.iter().zip(0..).find(|(amps, _)| **amps == self.amps);
        i64::from(self.family) * 5 + size.map_or(0, |(_, index)| index)
    }
}

impl fmt::Display for Configuration {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}R", self.family().name, self.amps)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn designations_are_read_as_people_write_them() {
        for text in ["5-20R", "5-20", "NEMA 5-20R", " nema 5-20r ", "5\u{2013}20R"] {
            assert_eq!(Configuration::read(text), Configuration::new("5", 20), "{text}");
        }
        for text in ["5-20P", "5-40R", "L5", "", "5-", "5-+20", "X-20R", "5-20RR"] {
            assert_eq!(Configuration::read(text), None, "{text}");
        }
    }

    #[test]
    fn every_configuration_survives_storage() {
        for configuration in Configuration::all() {
            assert_eq!(Configuration::from_raw(configuration.raw()), configuration);
        }
    }
}
