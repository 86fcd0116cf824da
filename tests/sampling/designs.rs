//! Drawing from a population, and reading back what was drawn.

use std::collections::BTreeSet;

use yokecheck::audit::{self, Audit, Selection};
use yokecheck::outlet::{Fact, Field, Origin, Outlet, Texts, Value as _, facts};
use yokecheck::sampling::acceptance::{Level, Severity};
use yokecheck::sampling::conclusion::{Decision, decide};
use yokecheck::sampling::design::{Allocation, By, Design, Plan};
use yokecheck::sampling::frame::{Frame, Order, Sample};
use yokecheck::sampling::observe::{Found, Measure, Observations, Observed, Reading};

/// Three floors with eight rows each, of which the last stands for three outlets.
fn population() -> Audit {
    let mut texts = Texts::default();
    let mut outlets = Vec::new();
    for row in 0..24_u32 {
        let mut outlet = Outlet::absent(Origin { source: 0, sheet: 0, row: row + 2 });
        let mut set = |key, text: String| outlet.set(key, Fact::Known(texts.intern(&text)));
        set(facts::OUTLET_ID, format!("R-{row}"));
        set(facts::BUILDING, "North".to_owned());
        set(facts::FLOOR, (row / 8 + 1).to_string());
        set(facts::ROOM, format!("{}", row / 2));
        if row % 8 == 7 {
            outlet.set(facts::QUANTITY, Fact::Known(3));
        }
        outlet.set(facts::FACEPLATE, Fact::Known(true));
        outlets.push(outlet);
    }
    audited(outlets, texts)
}

fn audited(outlets: Vec<Outlet>, texts: Texts) -> Audit {
    let selection = Selection::new(&["box-cover".to_owned()], &[]).unwrap();
    let options = audit::Options { keep_verdicts: true, ..audit::Options::of(&selection) };
    audit::run(outlets, texts, &options)
}

fn order(frame: &Frame<'_>, n: u64, seed: u64, rooms: bool) -> Order {
    Order {
        plan: Plan::Estimate { confidence: 0.95, margin: 0.05, expected: 0.5, n },
        seed,
        allocation: Allocation::Proportional,
        sizes: frame.proportional(n),
        expected: None,
        rooms,
    }
}

fn text(sample: &Sample, outlet: &Outlet, field: Field) -> String {
    let raw = outlet.raw(field).known();
    raw.map(|raw| sample.texts.get(yokecheck::outlet::Text::from_raw(raw)).to_owned())
        .unwrap_or_default()
}

#[test]
fn rows_with_a_quantity_are_drawn_as_that_many_outlets() {
    let audit = population();
    let frame = Frame::of(&audit, &[By::Floor]);
    assert_eq!(frame.population(), 30);
    assert_eq!(frame.populations(), [10, 10, 10]);
    let sample = frame.draw(&order(&frame, 30, 1, false));
    let names: BTreeSet<&str> =
        sample.design.drawn.iter().map(|drawn| drawn.outlet.as_str()).collect();
    assert_eq!(names.len(), 30, "no two drawn outlets have one name");
    assert!(names.contains("R-7 (2 of 3)") && names.contains("R-0"), "{names:?}");
    assert_eq!(sample.outlets.len(), 30);
    for (outlet, drawn) in sample.outlets.iter().zip(&sample.design.drawn) {
        assert_eq!(outlet.get(facts::QUANTITY), Fact::Known(1));
        assert_eq!(text(&sample, outlet, Field::OutletId), drawn.outlet);
    }
}

#[test]
fn the_same_seed_draws_the_same_and_another_another() {
    let audit = population();
    let frame = Frame::of(&audit, &[]);
    let drawn = |seed| frame.draw(&order(&frame, 8, seed, false)).design.drawn;
    assert_eq!(drawn(5), drawn(5));
    assert_ne!(drawn(5), drawn(6));
    // Drawn once and for all: a change of this list would change every sample that was ever planned.
    let names: Vec<String> = drawn(5).into_iter().map(|drawn| drawn.outlet).collect();
    assert_eq!(names, FIRST);
}

/// What seed 5 draws: checked by `tests/outside/sampling.py` with a generator of its own.
const FIRST: [&str; 8] = ["R-0", "R-9", "R-12", "R-14", "R-16", "R-18", "R-19", "R-23 (3 of 3)"];

#[test]
fn without_strata_the_sample_is_as_large_as_the_plan_asks() {
    let audit = population();
    assert_eq!(Frame::of(&audit, &[]).proportional(1), [1]);
    assert_eq!(Frame::of(&audit, &[]).proportional(99), [30]);
    assert_eq!(Frame::of(&audit, &[By::Floor]).proportional(1), [2, 2, 2]);
}

#[test]
fn every_stratum_gets_its_part_and_the_weights_add_up() {
    let audit = population();
    let frame = Frame::of(&audit, &[By::Floor, By::Building]);
    let design = frame.draw(&order(&frame, 7, 3, false)).design;
    let named: Vec<(&str, u64, u64)> =
        design.strata.iter().map(|one| (one.name.as_str(), one.population, one.n)).collect();
    assert_eq!(named.iter().map(|one| one.2).sum::<u64>(), 7);
    assert_eq!(named[0].0, "North / 1");
    assert!(design.strata.iter().all(|one| one.n >= 2 && one.building.as_deref() == Some("North")));
    let weights: f64 = design.strata.iter().map(|one| one.weight).sum();
    assert!((weights - 1.0).abs() < 1e-12);
}

#[test]
fn rooms_are_drawn_whole() {
    let audit = population();
    let frame = Frame::of(&audit, &[By::Floor]);
    let sample = frame.draw(&order(&frame, 9, 11, true));
    for (stratum, number) in sample.design.strata.iter().zip(0..) {
        let rooms = stratum.rooms.unwrap();
        assert_eq!((rooms.population, rooms.n), (4, 2));
        let drawn: Vec<_> =
            sample.design.drawn.iter().filter(|drawn| drawn.stratum == number).collect();
        assert_eq!(drawn.len() as u64, stratum.n);
        let distinct: BTreeSet<_> = drawn.iter().map(|drawn| drawn.room).collect();
        assert_eq!(distinct.len(), 2);
    }
    // Two rows to a room, and four outlets in the last room of a floor.
    assert!(sample.design.drawn.len() == 12 || sample.design.drawn.len() > 12);
}

#[test]
fn rows_that_share_a_box_come_along_and_are_not_counted() {
    let mut audit = population();
    let mut texts = audit.texts.clone();
    for row in [0, 1, 2] {
        audit.outlets[row].set(facts::ENCLOSURE_ID, Fact::Known(texts.intern("B-1")));
    }
    let selection = Selection::new(&["box-fill".to_owned()], &[]).unwrap();
    let audit = audit::run(audit.outlets, texts, &audit::Options::of(&selection));
    let frame = Frame::of(&audit, &[]);
    let with_box = (0..100).map(|seed| frame.draw(&order(&frame, 2, seed, false))).find(|sample| {
        sample.design.drawn.iter().any(|drawn| ["R-0", "R-1", "R-2"].contains(&&*drawn.outlet))
    });
    let sample = with_box.unwrap();
    assert_eq!(sample.design.drawn.len(), 2);
    assert_eq!(sample.outlets.len(), 4, "two drawn, two of the box undrawn");
}

/// A design travels as text, and comes back as it was.
#[test]
fn a_design_is_read_back_as_it_was_written() {
    let audit = population();
    let frame = Frame::of(&audit, &[By::Floor]);
    let design = frame.draw(&order(&frame, 9, 11, true)).design;
    let text = serde_json::to_string(&design).unwrap();
    assert_eq!(serde_json::from_str::<Design>(&text).unwrap(), design);
}

fn found(sample: &Sample, change: impl Fn(usize, &mut Outlet)) -> Vec<Found> {
    let mut outlets = sample.outlets.clone();
    for (place, outlet) in outlets.iter_mut().enumerate() {
        outlet.origin.row = u32::try_from(place).unwrap() + 2;
        change(place, outlet);
    }
    let audit = audited(outlets, sample.texts.clone());
    let measure = Measure { name: "all".to_owned(), rules: ["box-cover"].into() };
    let inspected = |origin: Origin| origin.row != 6;
    Observations::of(&audit, &sample.design, &inspected).by(&measure).found
}

const WANTED: [Found; 5] =
    [Found::Good, Found::Defective, Found::Undetermined, Found::Good, Found::Uninspected];

/// One defective, one blank, one not inspected.
fn change(place: usize, outlet: &mut Outlet) {
    match place {
        1 => outlet.set(facts::FACEPLATE, Fact::Known(false)),
        2 => outlet.set(facts::FACEPLATE, Fact::Blank),
        _ => {}
    }
}

#[test]
fn outlets_are_good_defective_undetermined_or_not_inspected() {
    let audit = population();
    let frame = Frame::of(&audit, &[]);
    let sample = frame.draw(&order(&frame, 5, 2, false));
    assert_eq!(found(&sample, change), WANTED);
    let observed = Observed { found: WANTED.to_vec() };
    let counts = |reading| {
        let counted = observed.strata(&sample.design, reading)[0];
        (counted.population, counted.inspected, counted.defective)
    };
    assert_eq!(counts(Reading::AsFound), (30, 4, 1));
    assert_eq!(counts(Reading::AllGood), (30, 5, 1));
    assert_eq!(counts(Reading::AllDefective), (30, 5, 3));
}

/// An acceptance plan with these numbers, decided by what was found.
fn decided(accept: u64, reject: u64, found: &[Found]) -> Decision {
    let plan = Plan::Accept {
        aql: 1.5,
        level: Level::II,
        severity: Severity::Reduced,
        letter: 'A',
        used: 'A',
        n: 5,
        accept,
        reject,
    };
    decide(&plan, &Observed { found: found.to_vec() }).unwrap()
}

/// MIL-STD-105E: up to Ac accept, from Re on reject, between them accept and go back to normal
/// inspection. What is not decided may go either way, unless it changes nothing.
#[test]
fn a_lot_is_decided_once_nothing_can_change_it() {
    assert_eq!(decided(0, 1, &WANTED), Decision::Reject, "one is enough, whatever the others are");
    assert_eq!(decided(1, 2, &WANTED), Decision::Undecided);
    assert_eq!(decided(3, 4, &WANTED), Decision::Accept, "three at most");
    assert_eq!(decided(1, 4, &WANTED), Decision::Undecided, "accepted, yet in the gap or not");
    let defective = [Found::Defective, Found::Defective, Found::Good];
    assert_eq!(decided(1, 4, &defective), Decision::AcceptAndReturnToNormal);
    assert_eq!(decided(2, 3, &defective), Decision::Accept);
}
