//! NEMA configurations against the outside: what each family of ANSI/NEMA WD 6-2021 is made for.
//!
//! Sources: the standard as charted by a distributor
//! (<https://grainger-prod.adobecqms.net/content/grainger/know-how/us/en/equipment/kh-nema-plug-configuration-chart>);
//! ratings from 15 to 60 A and from 125 to 600 V
//! (<https://a.osmarks.net/content/wikipedia_en_all_maxi_2020-08/A/NEMA_connector>); the meaning of each
//! series (<http://www.twacomm.com/info/levitonnema.htm>); the locking sizes of a university's list
//! (<https://facilities.soe.ucsc.edu/node/27>); that a grounding family has one wire more than poles
//! (<http://openagro.eu/wire-size-amp-chart-pdf/>). Rows marked `Memory` are recalled.

#![expect(clippy::unwrap_used, reason = "a configuration that is not there fails the test")]

use yokecheck::outlet::configuration::{FAMILIES, Family, Rating};
use yokecheck::outlet::{Choices, Configuration};

/// Where a row comes from; a failing check says so.
#[derive(Clone, Copy, Debug)]
enum Mark {
    /// Read in one of the sources.
    Read,
    /// The series was read, its sizes are from memory.
    SizesFromMemory,
    /// From memory.
    Memory,
}
use Mark::{Memory, Read, SizesFromMemory};

type Row = (&'static str, Rating, u8, u8, bool, &'static [u16], Mark);

const TABLE: [Row; 34] = [
    ("1", Rating::V125, 2, 2, false, &[15], Read),
    // A chart that gives the series 115 V is wrong; the distributor's has 2-20 at 250 V.
    ("2", Rating::V250, 2, 2, false, &[15, 20, 30], Read),
    ("5", Rating::V125, 2, 3, true, &[15, 20, 30, 50], Read),
    ("6", Rating::V250, 2, 3, true, &[15, 20, 30, 50], Read),
    ("7", Rating::V277, 2, 3, true, &[15, 20, 30, 50], Read),
    ("10", Rating::V125And250, 3, 3, false, &[20, 30, 50], Read),
    ("11", Rating::V250ThreePhase, 3, 3, false, &[15, 20, 30, 50], Memory),
    ("14", Rating::V125And250, 3, 4, true, &[15, 20, 30, 50, 60], SizesFromMemory),
    // A chart that gives the series 120/208 V is wrong.
    ("15", Rating::V250ThreePhase, 3, 4, true, &[15, 20, 30, 50, 60], SizesFromMemory),
    ("18", Rating::Wye208, 4, 4, false, &[15, 20, 30, 50, 60], Read),
    ("24", Rating::V347, 2, 3, true, &[15, 20, 30, 50], Memory),
    ("TT", Rating::V125, 2, 3, true, &[30], Memory),
    ("L1", Rating::V125, 2, 2, false, &[15], Memory),
    ("L2", Rating::V250, 2, 2, false, &[20], Memory),
    ("L5", Rating::V125, 2, 3, true, &[15, 20, 30], Read),
    // The university's list has L6-15, -20 and -30, at 208 V: a use, not the rating.
    ("L6", Rating::V250, 2, 3, true, &[15, 20, 30], Read),
    ("L7", Rating::V277, 2, 3, true, &[15, 20, 30], Read),
    ("L8", Rating::V480, 2, 3, true, &[20, 30], Read),
    ("L9", Rating::V600, 2, 3, true, &[20, 30], Read),
    ("L10", Rating::V125And250, 3, 3, false, &[20, 30], Memory),
    ("L11", Rating::V250ThreePhase, 3, 3, false, &[20, 30], Memory),
    ("L12", Rating::V480ThreePhase, 3, 3, false, &[20, 30], Memory),
    ("L13", Rating::V600ThreePhase, 3, 3, false, &[20, 30], Memory),
    ("L14", Rating::V125And250, 3, 4, true, &[20, 30], Read),
    ("L15", Rating::V250ThreePhase, 3, 4, true, &[20, 30], Read),
    ("L16", Rating::V480ThreePhase, 3, 4, true, &[20, 30], Read),
    ("L17", Rating::V600ThreePhase, 3, 4, true, &[30], Read),
    ("L18", Rating::Wye208, 4, 4, false, &[20, 30], Read),
    ("L19", Rating::Wye480, 4, 4, false, &[20, 30], Memory),
    ("L20", Rating::Wye600, 4, 4, false, &[20, 30], Read),
    ("L21", Rating::Wye208, 4, 5, true, &[20, 30], Read),
    ("L22", Rating::Wye480, 4, 5, true, &[20, 30], Read),
    ("L23", Rating::Wye600, 4, 5, true, &[20, 30], Read),
    ("L24", Rating::V347, 2, 3, true, &[20], Memory),
];

fn family(name: &str) -> &'static Family {
    FAMILIES.iter().find(|family| family.name == name).unwrap()
}

#[test]
fn every_family_has_its_rating_its_poles_its_wires_and_its_sizes() {
    assert_eq!(FAMILIES.len(), TABLE.len());
    for (name, rating, poles, wires, grounding, amps, mark) in TABLE {
        let family = family(name);
        assert_eq!(family.rating, rating, "{name}, {mark:?}: rating");
        assert_eq!(
            (family.poles, family.wires),
            (poles, wires),
            "{name}, {mark:?}: poles and wires"
        );
        assert_eq!(family.grounding(), grounding, "{name}, {mark:?}: grounding");
        assert_eq!(family.amps, amps, "{name}, {mark:?}: sizes");
        assert_eq!(family.locking(), name.starts_with('L'), "{name}, {mark:?}: locking");
    }
}

/// Read: the one wire that a family has beyond its poles is the grounding conductor.
#[test]
fn no_family_has_more_than_one_wire_beyond_its_poles() {
    for family in FAMILIES {
        assert!((0..=1).contains(&(family.wires - family.poles)), "{}", family.name);
    }
}

/// Read: sizes run from 15 to 60 A; a three-phase family has three poles at least.
#[test]
fn sizes_and_poles_are_within_the_standard() {
    for family in FAMILIES {
        assert!(family.amps.is_sorted() && !family.amps.is_empty(), "{}", family.name);
        assert!(family.amps.iter().all(|amps| (15..=60).contains(amps)), "{}", family.name);
        assert_eq!(family.rating.three_phase(), is_three_phase(family), "{}", family.name);
        assert!(!family.rating.three_phase() || family.poles >= 3, "{}", family.name);
    }
}

/// The three-phase series by their numbers, as charted.
fn is_three_phase(family: &Family) -> bool {
    ["11", "12", "13", "15", "16", "17", "18", "19", "20", "21", "22", "23"]
        .contains(&family.series())
}

/// A locking family is rated as its straight-blade twin of the same number: the `L` is a prefix, read.
#[test]
fn locking_families_are_rated_as_their_straight_twins() {
    for locking in FAMILIES.iter().filter(|family| family.locking()) {
        let twin = FAMILIES.iter().find(|family| family.name == locking.series());
        if let Some(twin) = twin {
            assert_eq!(twin.rating, locking.rating, "{}", locking.name);
            assert_eq!(
                (twin.poles, twin.wires),
                (locking.poles, locking.wires),
                "{}",
                locking.name
            );
        }
    }
}

/// Suffix `R` is a receptacle and `P` a plug, read. A size outside the list is none.
#[test]
fn every_configuration_is_read_and_no_other() {
    const SIZES: [u16; 8] = [10, 15, 20, 25, 30, 40, 50, 60];
    let mut count = 0;
    for (name, _, _, _, _, amps, _) in TABLE {
        for size in SIZES {
            let listed = amps.contains(&size);
            count += usize::from(listed);
            for text in [
                format!("{name}-{size}R"),
                format!("{name}-{size}"),
                format!("NEMA {name}-{size}R"),
                format!("{name}-{size}r").to_lowercase(),
            ] {
                let read = Configuration::read(&text);
                assert_eq!(read.is_some(), listed, "{text}");
                let named = read.map(|read| (read.family().name, read.amps));
                assert_eq!(named, listed.then_some((name, size)), "{text}");
            }
            assert_eq!(Configuration::read(&format!("{name}-{size}P")), None, "{name}-{size}P");
        }
    }
    assert_eq!(Configuration::all().len(), count);
    for text in ["3-15R", "4-20R", "8-20R", "L3-20R", "L4-30R", "L25-20R", "TT-20R", "5-15-R", "R"]
    {
        assert_eq!(Configuration::read(text), None, "{text}");
    }
}
