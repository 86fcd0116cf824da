//! The voltages between neighbours, decided a second time with complex numbers.
//!
//! Pairs of circuits of every pair of systems stand in a box of two, with the phases recorded or not: all
//! pairs on one supply, a third of those on two. Here the conductors are points of the complex plane, in volts; a pair is decided in each
//! arrangement that is possible, and the arrangements are combined as possible worlds. Voltages are exact
//! (480/sqrt(3) to the neutral and so on) where the program takes the nominal ones: no pair lies so near
//! to 300 V that it matters. Angles and magnitudes: textbook three-phase circuits; the high leg of a delta
//! at 208 V to the neutral is derived in a home-repair forum, thread 47703.

use std::f64::consts::PI;

use yokecheck::audit::{Options, Selection, VerdictRow, run};
use yokecheck::mapping::read::{Column, Content, Reading, read};
use yokecheck::outlet::{Fact, Field, Origin, Outlet, Texts};

/// A conductor: its letter, and its potential against the ground or, ungrounded, the centre.
type End = (char, [f64; 2]);

struct System {
    name: &'static str,
    ends: Vec<End>,
    grounded: bool,
    /// Readings of a voltmeter at one hot and the neutral, and between hots, with an arrangement's hots.
    volts: &'static [(&'static str, &'static [&'static str])],
}

fn polar(letter: char, volts: f64, degrees: f64) -> End {
    let angle = degrees * PI / 180.0;
    (letter, [volts * angle.cos(), volts * angle.sin()])
}

fn wye(line: f64) -> Vec<End> {
    let phase = line / 3.0_f64.sqrt();
    vec![
        polar('A', phase, 0.0),
        polar('B', phase, -120.0),
        polar('C', phase, 120.0),
        ('N', [0.0; 2]),
    ]
}

/// A triangle of lines with one of its points, or its centre, at the origin.
fn delta(line: f64, corner: bool) -> Vec<End> {
    let mut ends = wye(line);
    ends.pop();
    let ground = if corner { ends[1].1 } else { [0.0; 2] };
    ends.iter().map(|(letter, [x, y])| (*letter, [x - ground[0], y - ground[1]])).collect()
}

const TWO_OR_THREE: &[&str] = &["AB", "AC", "BC", "ABC"];
const ONE: &[&str] = &["A", "B", "C"];

fn systems() -> Vec<System> {
    let system = |name, ends, grounded, volts| System { name, ends, grounded, volts };
    let split = vec![polar('A', 120.0, 0.0), polar('C', 120.0, 180.0), ('N', [0.0; 2])];
    let mut high_leg = split.clone();
    high_leg.push(polar('B', 240.0 * 3.0_f64.sqrt() / 2.0, 90.0));
    vec![
        system("120/240", split, true, &[("120 V", &["A", "C"]), ("240 V", &["AC"])]),
        system("208Y/120", wye(208.0), true, &[("120 V", ONE), ("208 V", TWO_OR_THREE)]),
        system("480Y/277", wye(480.0), true, &[("277 V", ONE), ("480 V", TWO_OR_THREE)]),
        system("600Y/347", wye(600.0), true, &[("347 V", ONE), ("600 V", TWO_OR_THREE)]),
        system(
            "240/120-high-leg",
            high_leg,
            true,
            &[("120 V", &["A", "C"]), ("208 V", &["B"]), ("240 V", TWO_OR_THREE)],
        ),
        system("240-delta", delta(240.0, false), false, &[("240 V", TWO_OR_THREE)]),
        system("240-delta-corner", delta(240.0, true), true, &[("240 V", TWO_OR_THREE)]),
        system("480-delta", delta(480.0, false), false, &[("480 V", TWO_OR_THREE)]),
        system("480-delta-corner", delta(480.0, true), true, &[("480 V", TWO_OR_THREE)]),
    ]
}

impl System {
    fn neutral(&self) -> bool {
        self.ends.iter().any(|end| end.0 == 'N')
    }

    /// Every circuit that the system can feed: its hots, with the neutral and without.
    fn circuits(&self) -> Vec<String> {
        let hots = [ONE, TWO_OR_THREE].concat();
        let has = |hots: &&&str| hots.chars().all(|hot| self.ends.iter().any(|end| end.0 == hot));
        hots.iter().filter(has).flat_map(|hots| self.with_neutral(hots)).collect()
    }

    fn with_neutral(&self, hots: &str) -> Vec<String> {
        let neutral = self.neutral().then(|| format!("{hots}N"));
        std::iter::once(hots.to_owned()).chain(neutral).collect()
    }

    fn giving(&self, volts: &str) -> Vec<String> {
        let (_, hots) = self.volts.iter().find(|(reading, _)| *reading == volts).expect("listed");
        hots.iter().flat_map(|hots| self.with_neutral(hots)).collect()
    }

    fn ends_at(&self, circuit: &str, device: &str) -> Vec<[f64; 2]> {
        let one_hot = circuit.trim_end_matches('N').len() == 1;
        let adds_neutral = device == "receptacle" && one_hot && self.neutral();
        let at = |end: &&End| circuit.contains(end.0) || (adds_neutral && end.0 == 'N');
        self.ends.iter().filter(at).map(|end| end.1).collect()
    }
}

/// One device of a pair as its schedule records it, and the circuits that it may be on.
struct Side<'a> {
    system: &'a System,
    device: &'static str,
    phases: String,
    volts: &'static str,
    possible: Vec<String>,
}

fn sides(system: &System) -> Vec<Side<'_>> {
    let mut sides = Vec::new();
    for device in ["receptacle", "switch"] {
        let side =
            |phases: String, volts, possible| Side { system, device, phases, volts, possible };
        for circuit in system.circuits() {
            sides.push(side(circuit.clone(), "", vec![circuit]));
        }
        for (volts, _) in system.volts {
            sides.push(side(String::new(), volts, system.giving(volts)));
        }
        sides.push(side(String::new(), "", system.circuits()));
    }
    sides
}

fn size([x, y]: [f64; 2]) -> f64 {
    x.hypot(y)
}

/// The verdict on a pair without a divider in one arrangement.
fn world(one: &Side<'_>, here: &str, other: &Side<'_>, there: &str, same: bool) -> &'static str {
    let (mut least, mut most): (f64, f64) = (0.0, 0.0);
    for a in one.system.ends_at(here, one.device) {
        for b in other.system.ends_at(there, other.device) {
            let apart = size([a[0] - b[0], a[1] - b[1]]);
            least = least.max(if same { apart } else { (size(a) - size(b)).abs() });
            most = most.max(if same { apart } else { size(a) + size(b) });
        }
    }
    let bounded = same || (one.system.grounded && other.system.grounded);
    assert!((least - 300.0).abs() > 5.0 && (most - 300.0).abs() > 5.0, "{least} {most}");
    match (bounded, most <= 300.0, least > 300.0) {
        (true, true, _) => "complies",
        (true, _, true) => "violates",
        _ => "authority",
    }
}

/// The verdict of all arrangements together, and the facts that it waits for.
fn wanted(one: &Side<'_>, other: &Side<'_>, same: bool, divider: &str) -> (&'static str, String) {
    let grid: Vec<Vec<&str>> = one
        .possible
        .iter()
        .map(|here| {
            other.possible.iter().map(|there| world(one, here, other, there, same)).collect()
        })
        .collect();
    let all: Vec<&str> = grid.iter().flatten().copied().collect();
    let alike = all.iter().all(|verdict| *verdict == all[0]);
    let fine = alike && all[0] == "complies";
    let mut missing = Vec::new();
    if divider.is_empty() && !fine {
        missing.push("barrier");
    }
    let along = |row: &Vec<&str>| row.windows(2).any(|pair| pair[0] != pair[1]);
    let across = grid.windows(2).any(|rows| rows[0] != rows[1]);
    let matter = [(one, across), (other, grid.iter().any(along))];
    if !alike {
        missing.push("phases");
        if matter.iter().any(|(side, matters)| *matters && side.volts.is_empty()) {
            missing.push("volts");
        }
    }
    if missing.is_empty() { (all[0], String::new()) } else { ("undetermined", missing.join(";")) }
}

fn rows(
    side: &Side<'_>,
    place: (u32, u32),
    supply: &str,
    divider: &str,
    texts: &mut Texts,
) -> Outlet {
    let (enclosure, gang) = place;
    let mut outlet = Outlet::absent(Origin { row: 2 * enclosure + gang, ..Origin::default() });
    let phases: Vec<String> = side.phases.chars().map(String::from).collect();
    let cells = [
        (Field::Edition, "2023".to_owned()),
        (Field::Device, side.device.to_owned()),
        (Field::EnclosureId, format!("B{enclosure}")),
        (Field::Gang, gang.to_string()),
        (Field::Supply, supply.to_owned()),
        (Field::System, side.system.name.to_owned()),
        (Field::Phases, phases.join(";")),
        (Field::Volts, side.volts.to_owned()),
        (Field::Barrier, divider.to_owned()),
    ];
    for (field, cell) in cells.into_iter().filter(|(_, cell)| !cell.is_empty()) {
        match read(Content::Text(&cell), &Column::of(field), texts) {
            Reading::Known(raw) => outlet.set_raw(field, Fact::Known(raw)),
            _ => panic!("{cell}"),
        }
    }
    outlet
}

fn verdicts(rule: &str, outlets: Vec<Outlet>, texts: Texts) -> Vec<VerdictRow> {
    let selection = Selection::new(&[rule.to_owned()], &[]).expect("a rule of the catalogue");
    let options = Options { keep_verdicts: true, ..Options::of(&selection) };
    run(outlets, texts, &options).verdicts
}

#[test]
fn pairs_of_circuits_come_out_as_the_complex_plane_says() {
    let systems = systems();
    let sides: Vec<Side<'_>> = systems.iter().flat_map(sides).collect();
    let mut outlets = Vec::new();
    let mut texts = Texts::default();
    let mut wants = Vec::new();
    let mut enclosure = 0;
    for (place, one) in sides.iter().enumerate() {
        for (step, other) in sides[place..].iter().enumerate() {
            for supply in ["one", "other"] {
                let same = supply == "one";
                // One supply is one system; of two supplies, the many pairs, a third is enough.
                let skipped = if same {
                    one.system.name != other.system.name
                } else {
                    (place + step) % 3 > 0
                };
                if skipped {
                    continue;
                }
                let divider = if enclosure % 2 == 0 { "none" } else { "" };
                outlets.push(rows(one, (enclosure, 1), "one", divider, &mut texts));
                outlets.push(rows(other, (enclosure, 2), supply, divider, &mut texts));
                let told = [one, other].map(|side| {
                    format!("{} {} {} {}", side.device, side.system.name, side.phases, side.volts)
                });
                wants.push((told, [one.device, other.device], wanted(one, other, same, divider)));
                enclosure += 1;
            }
        }
    }
    for (rule, device) in
        [("adjacent-voltage", "receptacle"), ("switch-adjacent-voltage", "switch")]
    {
        let found = verdicts(rule, outlets.clone(), texts.clone());
        assert_eq!(found.len(), wants.len());
        for (verdict, (told, devices, (kind, missing))) in found.iter().zip(&wants) {
            let came = (verdict.kind.word(), verdict.missing.text());
            if devices.contains(&device) {
                assert_eq!(came, (*kind, missing.clone()), "{rule}: {told:?}");
            } else {
                assert_eq!(came.0, "not-applicable", "{rule}: {told:?}");
            }
        }
    }
}
