//! Unknown facts, decided twice: by the program, and by trying every fully known world.
//!
//! For each rule of outlets, random records with at most four unknown facts are judged by the program,
//! which tries one value of each class that the rule tells apart, in the order in which the rule asks.
//! Here every value of every vocabulary is tried instead, all facts at once, each world is decided with
//! nothing unknown, and the verdicts are combined as the catalogue defines.

#![expect(clippy::unwrap_used, reason = "a number drawn below a count fits")]
#![expect(clippy::cast_possible_wrap, reason = "vocabularies are short")]

use yokecheck::code::EDITIONS;
use yokecheck::outlet::words::{Device, Edition};
use yokecheck::outlet::{Choices, Fact, Field, Gauge, Kind, Length, Outlet, Texts, Value, facts};
use yokecheck::rules::world::around;
use yokecheck::rules::{
    Check, Explorer, Judgement, Missing, MissingFact, RULES, Rule, Subject, Verdict, VerdictKind,
    usual_resolution,
};

/// Random records for each rule.
const CASES: usize = 300;
/// Worlds tried for one record at most; records with more are drawn again.
const WORLDS: usize = 60_000;

/// A small generator (splitmix64), so that a failing case can be run again.
struct Random(u64);

impl Random {
    fn below(&mut self, count: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        usize::try_from((mixed ^ (mixed >> 31)) % count as u64).unwrap()
    }
}

/// Lengths round the limits of all rules, so that a limit which a rule does not declare is found too.
fn lengths() -> Vec<i64> {
    let limits: Vec<Length> = RULES.iter().flat_map(|rule| rule.limits).copied().collect();
    let mut lengths: Vec<i64> = around(&limits).into_iter().map(Value::raw).collect();
    lengths.sort_unstable();
    lengths.dedup();
    lengths
}

/// Every value that a fact could have, as far as the rule could tell them apart.
fn values(field: Field) -> Vec<i64> {
    fn raw<T: Value>(values: Vec<T>) -> Vec<i64> {
        values.into_iter().map(Value::raw).collect()
    }
    match field {
        Field::Edition => return raw(EDITIONS.to_vec()),
        Field::Device => {
            return raw(vec![Device::Receptacle, Device::Switch, Device::Combination]);
        }
        Field::Phases => return raw(yokecheck::outlet::Set::circuits().collect()),
        _ => {}
    }
    match field.kind() {
        Kind::Text | Kind::Volume | Kind::Date => vec![0],
        Kind::Count => (0..5).chain(31..34).collect(),
        Kind::Word(words) => (0..words.len() as i64).collect(),
        Kind::Words(words) => (0..1 << words.len()).collect(),
        Kind::YesNo => vec![1, 0],
        Kind::Length => lengths(),
        Kind::Voltage => [120, 130, 208, 240, 277, 347, 480, 600].map(|v| v * 1000).to_vec(),
        Kind::Current => [10, 15, 20, 25, 30, 40, 45, 50, 60, 100, 125].map(|a| a * 1000).to_vec(),
        Kind::Awg => raw(Gauge::all()),
        Kind::Configuration => raw(yokecheck::outlet::Configuration::all()),
    }
}

/// The values with which an unknown fact of a record is tried: configurations only as far as they agree
/// with the rated amperes and volts that the record has.
fn tried_values(outlet: &Outlet, field: Field) -> Vec<i64> {
    let mut values = values(field);
    if field == Field::Configuration {
        let amps = outlet.get(facts::DEVICE_AMPS).known();
        let volts = outlet.get(facts::DEVICE_VOLTS).known().map(|volts| volts.0 / 1000);
        values.retain(|raw| {
            let made = yokecheck::outlet::Configuration::from_raw(*raw);
            amps.is_none_or(|amps| amps.0 == i64::from(made.amps) * 1000)
                && volts.is_none_or(|volts| rated(made.family().name, volts))
        });
    }
    values
}

/// Whether a family is rated for these volts, by the classes of the catalogue.
fn rated(family: &str, volts: i64) -> bool {
    let families: &[&str] = match volts {
        120 | 125 => &["1", "5", "TT", "L1", "L5"],
        208 | 240 | 250 => &[
            "2", "6", "10", "11", "14", "15", "18", "L2", "L6", "L10", "L11", "L14", "L15", "L18",
            "L21",
        ],
        277 => &["7", "L7"],
        347 => &["24", "L24"],
        480 => &["L8", "L12", "L16", "L19", "L22"],
        600 => &["L9", "L13", "L17", "L20", "L23"],
        _ => &[],
    };
    families.contains(&family)
}

/// Whether a rule treats this fact as one that may have any value.
fn is_tried(rule: &Rule, field: Field, fact: Fact<i64>) -> bool {
    let only_with_column =
        matches!(field, Field::SinkDistance | Field::TubDistance | Field::Exposure)
            && rule.name.starts_with("gfci");
    // What stands in for another fact is not tried: one that cannot be read does not stand in.
    let stands_in = matches!(field, Field::Configuration | Field::DeviceAmps | Field::DeviceVolts)
        && !rule.asks.contains(&field)
        && !(rule.name == "device-bonding" && field == Field::Configuration);
    match fact {
        Fact::Known(_) => false,
        _ if stands_in => false,
        Fact::Absent if field == Field::Device || only_with_column => false,
        Fact::Unreadable => true,
        Fact::Blank | Fact::Absent => {
            rule.asks.contains(&field) || matches!(field, Field::Device | Field::Edition)
        }
    }
}

/// Until 2017 the rule for tubs asks whether an outlet is in the tub; later it only heeds it. Such
/// records are left to the case document.
fn asked_in_some_editions_only(outlet: &Outlet, tried: &[(Field, Vec<i64>)]) -> bool {
    let early = outlet.get(facts::EDITION).known().is_some_and(|edition| edition < Edition::E2020);
    let blank = outlet.get(facts::IN_TUB_SPACE) != Fact::Unreadable;
    blank && !early && tried.iter().any(|(field, _)| *field == Field::InTubSpace)
}

/// The fields that a rule reads: those it asks for, those it heeds, the device and the edition.
fn fields(rule: &Rule) -> Vec<Field> {
    let mut fields = [rule.asks, rule.heeds, &[Field::Device, Field::Edition]].concat();
    fields.sort_unstable();
    fields.dedup();
    fields
}

/// The fields in any order, so that each of a rule with many fields is unknown as often as another.
fn shuffled(mut fields: Vec<Field>, random: &mut Random) -> Vec<Field> {
    for last in (1..fields.len()).rev() {
        fields.swap(last, random.below(last + 1));
    }
    fields
}

/// The values that a schedule may record: those that an unknown fact is tried with, and now and then
/// a device that is never tried.
fn recorded_values(field: Field, random: &mut Random) -> Vec<i64> {
    match field.kind() {
        Kind::Word(words) if field == Field::Device && random.below(5) == 0 => {
            (0..words.len() as i64).collect()
        }
        _ => values(field),
    }
}

/// Values with which rules reach an outlet: random words alone would seldom meet.
fn telling(rule: &Rule, field: Field) -> Vec<i64> {
    fn raw<T: Value>(values: &[T]) -> Vec<i64> {
        values.iter().map(|value| value.raw()).collect()
    }
    use yokecheck::outlet::words::{Exposure, MountingLocation, Occupancy, RoomUse, System, Work};
    match field {
        Field::Occupancy if rule.name == "gfci-dwelling" => raw(&[Occupancy::Dwelling]),
        Field::Occupancy if rule.name == "gfci-other" => {
            raw(&[Occupancy::Industrial, Occupancy::Business])
        }
        Field::Occupancy => raw(&[Occupancy::Dwelling, Occupancy::Dormitory, Occupancy::Assembly]),
        Field::RoomUse => raw(&[
            RoomUse::Kitchen,
            RoomUse::Bathroom,
            RoomUse::Outdoors,
            RoomUse::Bedroom,
            RoomUse::Laboratory,
            RoomUse::Recreation,
        ]),
        Field::Volts => vec![120_000, 208_000, 240_000],
        Field::CircuitAmps | Field::DeviceAmps => vec![15_000, 20_000],
        Field::System => raw(&[System::Wye208, System::HighLeg240, System::SplitPhase120]),
        Field::Exposure => raw(&[Exposure::Damp, Exposure::Wet]),
        Field::Work => raw(&[Work::New, Work::Replacement]),
        Field::Device => raw(&[Device::Receptacle]),
        Field::Configuration => ["5-20R", "6-20R", "5-15R", "14-30R", "L1-15R"]
            .iter()
            .map(|name| yokecheck::outlet::Configuration::read(name).unwrap().raw())
            .collect(),
        Field::MountingLocation => {
            raw(&[MountingLocation::Wall, MountingLocation::Floor, MountingLocation::Pendant])
        }
        Field::GroundPresent => vec![0],
        _ if field.kind() == Kind::Length => raw(&around(rule.limits)),
        _ if field.kind() == Kind::YesNo && rule.heeds.contains(&field) => vec![0],
        _ => values(field),
    }
}

fn random_outlet(rule: &Rule, random: &mut Random) -> Outlet {
    let mut outlet = Outlet::absent(yokecheck::outlet::Origin::default());
    let mut unknown = 0;
    for field in shuffled(fields(rule), random) {
        let choices = if random.below(3) == 0 {
            recorded_values(field, random)
        } else {
            telling(rule, field)
        };
        let known = Fact::Known(choices[random.below(choices.len())]);
        let fact = match random.below(16) {
            0 | 1 => Fact::Blank,
            2 if field.kind() != Kind::Text => Fact::Unreadable,
            3 => Fact::Absent,
            _ if field == Field::Edition && random.below(20) == 0 => {
                Fact::Known(Edition::Other.raw())
            }
            _ => known,
        };
        let tried = is_tried(rule, field, fact);
        unknown += usize::from(tried);
        outlet.set_raw(field, if tried && unknown > 4 { known } else { fact });
    }
    outlet
}

fn judge(rule: &Rule, outlet: &Outlet, explorer: &mut Explorer) -> Judgement {
    let editions: Vec<Edition> =
        outlet.get(facts::EDITION).known().map_or(EDITIONS.to_vec(), |edition| vec![edition]);
    let texts = Texts::default();
    let subject = Subject { members: &[outlet], editions: &editions, texts: &texts, amended: None };
    rule.judge(subject, explorer, &usual_resolution)
}

/// What a world answers, with what counts as one taken together.
#[derive(Clone, Copy, PartialEq, Debug)]
enum World {
    Fine { reached: bool },
    Violates,
    Authority,
    Unsettled(Missing),
    Impossible(Missing),
}

impl World {
    fn same(self, other: Self) -> bool {
        match (self, other) {
            (Self::Fine { .. }, Self::Fine { .. })
            | (Self::Unsettled(_), Self::Unsettled(_))
            | (Self::Impossible(_), _)
            | (_, Self::Impossible(_)) => true,
            _ => self == other,
        }
    }
}

/// Whether the system of a world can give its volts on its conductors, where one of them is tried. With
/// a GFCI the rules do not look for such contradictions, so they are looked for here.
fn is_possible(known: &Outlet, tried: &[(Field, Vec<i64>)]) -> bool {
    use yokecheck::outlet::words::{Conductor, System};
    let is_tried = |field| tried.iter().any(|(one, _)| *one == field);
    let Some(system) = known.get(facts::SYSTEM).known() else { return true };
    let (possible, to_neutral): (&[i64], Option<i64>) = match system {
        System::SplitPhase120 => (&[120, 240], Some(120)),
        System::Wye208 => (&[120, 208], Some(120)),
        System::Wye480 => (&[277, 480], Some(277)),
        System::Wye600 => (&[347, 600], Some(347)),
        System::HighLeg240 => (&[120, 208, 240], Some(120)),
        System::Delta240 | System::CornerDelta240 => (&[240], None),
        System::Delta480 | System::CornerDelta480 => (&[480], None),
    };
    let volts = known.get(facts::VOLTS).known().map(|volts| volts.0 / 1000);
    let volts_tried = is_tried(Field::Volts) || is_tried(Field::System);
    if volts_tried && volts.is_some_and(|volts| !possible.contains(&volts)) {
        return false;
    }
    let (Some(volts), Some(phases)) = (volts, known.get(facts::PHASES).known()) else {
        return true;
    };
    if !volts_tried && !is_tried(Field::Phases) {
        return true;
    }
    let all_there = phases.iter().all(|conductor| system.conductors().contains(&conductor));
    let hots: Vec<Conductor> = phases.hots().collect();
    let gives = match hots.as_slice() {
        [Conductor::B] if system == System::HighLeg240 => Some(208),
        [_] => to_neutral,
        _ => possible.last().copied(),
    };
    all_there && gives == Some(volts)
}

/// All worlds of a record, in mixed-radix order of the tried facts; nothing when there are too many.
fn worlds(
    rule: &Rule,
    outlet: &Outlet,
    tried: &[(Field, Vec<i64>)],
    explorer: &mut Explorer,
) -> Option<Vec<World>> {
    let count: usize = tried.iter().map(|(_, values)| values.len()).product();
    if count > WORLDS {
        return None;
    }
    let is_tried = |missing: Missing| {
        tried.iter().any(|(field, _)| missing.contains(MissingFact::Field(*field)))
    };
    let world = |mut index: usize| {
        let mut known = outlet.clone();
        for (field, values) in tried {
            known.set_raw(*field, Fact::Known(values[index % values.len()]));
            index /= values.len();
        }
        if rule.name.starts_with("gfci") && !is_possible(&known, tried) {
            return World::Impossible(Missing::default());
        }
        match judge(rule, &known, explorer).verdict {
            Verdict::Complies => World::Fine { reached: true },
            Verdict::NotApplicable(_) => World::Fine { reached: false },
            Verdict::Violates(_) => World::Violates,
            Verdict::Authority(_) => World::Authority,
            Verdict::Undetermined(missing) if is_tried(missing) => {
                let mut recorded = Missing::default();
                for fact in missing.facts() {
                    if !tried.iter().any(|(field, _)| MissingFact::Field(*field) == fact) {
                        recorded.add(fact);
                    }
                }
                World::Impossible(recorded)
            }
            Verdict::Undetermined(missing) => World::Unsettled(missing),
        }
    };
    Some((0..count).map(world).collect())
}

/// The verdict of all worlds together, by the definition of the catalogue.
fn combined(tried: &[(Field, Vec<i64>)], worlds: &[World]) -> (VerdictKind, Missing) {
    let any = |test: fn(&World) -> bool| worlds.iter().any(test);
    let complies = any(|world| matches!(world, World::Fine { reached: true }));
    let away = any(|world| matches!(world, World::Fine { reached: false }));
    let violates = any(|world| *world == World::Violates);
    let authority = any(|world| *world == World::Authority);
    let unsettled = any(|world| matches!(world, World::Unsettled(_)));
    match (complies || away, violates, authority, unsettled) {
        (true, false, false, false) if complies => (VerdictKind::Complies, Missing::default()),
        (true, false, false, false) => (VerdictKind::NotApplicable, Missing::default()),
        (false, true, false, false) => (VerdictKind::Violates, Missing::default()),
        (false, false, true, false) => (VerdictKind::Authority, Missing::default()),
        (false, false, false, false) => (VerdictKind::Undetermined, named(worlds)),
        _ => (VerdictKind::Undetermined, mattering(tried, worlds)),
    }
}

/// No world is left: the recorded facts that contradict each other.
fn named(worlds: &[World]) -> Missing {
    let mut missing = Missing::default();
    for world in worlds {
        if let World::Impossible(names) = world {
            missing.extend(*names);
        }
    }
    missing
}

/// The facts that alone, in some world, change the verdict; and the conflicts of any world.
fn mattering(tried: &[(Field, Vec<i64>)], worlds: &[World]) -> Missing {
    let mut missing = Missing::default();
    for world in worlds {
        if let World::Unsettled(names) = world {
            missing.extend(*names);
        }
    }
    let mut stride = 1;
    for (field, values) in tried {
        let changes = (0..worlds.len()).any(|index| {
            let place = index / stride % values.len();
            (place + 1..values.len())
                .any(|other| !worlds[index].same(worlds[index + (other - place) * stride]))
        });
        if changes {
            missing.add_field(*field);
        }
        stride *= values.len();
    }
    missing
}

#[test]
fn every_rule_of_outlets_answers_as_all_worlds_together() {
    let mut explorer = Explorer::default();
    for rule in RULES {
        if !matches!(rule.check, Check::Outlet(_)) {
            continue;
        }
        let mut random = Random(rule.name.bytes().map(u64::from).sum());
        let (mut drawn, mut compared, mut kinds) = (0, 0, std::collections::BTreeMap::new());
        while compared < CASES {
            let outlet = random_outlet(rule, &mut random);
            let tried: Vec<(Field, Vec<i64>)> = fields(rule)
                .into_iter()
                .filter(|field| is_tried(rule, *field, outlet.raw(*field)))
                .map(|field| (field, tried_values(&outlet, field)))
                .filter(|(_, values)| !values.is_empty())
                .collect();
            if asked_in_some_editions_only(&outlet, &tried) {
                continue;
            }
            let Some(worlds) = worlds(rule, &outlet, &tried, &mut explorer) else { continue };
            drawn += 1;
            let impossible = worlds.iter().all(|world| matches!(world, World::Impossible(_)));
            if impossible && rule.name.starts_with("gfci") {
                continue;
            }
            assert!(drawn < 60 * CASES, "{}: nearly every record draws an inference", rule.name);
            let verdict = judge(rule, &outlet, &mut explorer).verdict;
            if explorer.inferences().iter().next().is_some() {
                continue;
            }
            compared += 1;
            let (kind, missing) = combined(&tried, &worlds);
            assert_eq!(verdict.kind(), kind, "{} on {outlet:?}", rule.name);
            // Volts, system and phases hang together: where two of them are unknown, none may change
            // alone. The rules for ground faults ask for them one by one, and name what they ask.
            let together = [Field::System, Field::Phases, Field::Volts]
                .iter()
                .filter(|field| tried.iter().any(|(one, _)| one == *field));
            let both = together.count() > 1;
            if let Verdict::Undetermined(named) = verdict
                && !(both && rule.name.starts_with("gfci"))
            {
                assert_eq!(named.text(), missing.text(), "{} on {outlet:?}", rule.name);
            }
            *kinds.entry(kind).or_insert(0) += 1;
        }
        assert!(kinds.len() >= 3, "{} gave only {kinds:?}: the records are too alike", rule.name);
    }
}

#[test]
fn rules_read_no_fact_that_they_do_not_declare() {
    let mut explorer = Explorer::default();
    for rule in RULES {
        let mut random = Random(7);
        for _ in 0..CASES {
            let mut outlet = random_outlet(rule, &mut random);
            for field in Field::ALL {
                if outlet.raw(*field) == Fact::Absent && random.below(2) == 0 {
                    let choices = match field.kind() {
                        Kind::Length => vec![Length::INCH.0],
                        _ => values(*field),
                    };
                    outlet.set_raw(*field, Fact::Known(choices[random.below(choices.len())]));
                }
            }
            judge(rule, &outlet, &mut explorer);
            for fact in explorer.evidence() {
                assert!(fields(rule).contains(&fact.field), "{} reads {:?}", rule.name, fact.field);
            }
        }
    }
}

/// Whether moving one recorded length by its resolution changes the verdict, by trying every length.
fn is_borderline(rule: &Rule, outlet: &Outlet, kind: VerdictKind, explorer: &mut Explorer) -> bool {
    let measured = matches!(kind, VerdictKind::Violates | VerdictKind::Complies);
    measured
        && fields(rule).into_iter().filter(|field| field.kind() == Kind::Length).any(|field| {
            let Fact::Known(value) = outlet.raw(field) else { return false };
            let step = usual_resolution(field).0;
            [value - step, value + step].into_iter().any(|moved| {
                let mut other = outlet.clone();
                other.set_raw(field, Fact::Known(moved));
                judge(rule, &other, explorer).verdict.kind() != kind
            })
        })
}

#[test]
fn a_verdict_is_borderline_when_a_length_moved_by_its_resolution_changes_it() {
    let mut explorer = Explorer::default();
    for rule in RULES.iter().filter(|rule| matches!(rule.check, Check::Outlet(_))) {
        let lengths = fields(rule).into_iter().filter(|field| field.kind() == Kind::Length);
        let lengths: Vec<Field> = lengths.collect();
        let mut random = Random(11);
        let mut found = [0, 0];
        for _ in 0..CASES {
            let mut outlet = random_outlet(rule, &mut random);
            for field in &lengths {
                if let Fact::Known(value) = outlet.raw(*field) {
                    let step = usual_resolution(*field).0;
                    let apart = [-step - 1, -step, 1 - step, 0, step - 1, step, step + 1];
                    let moved = value + apart[random.below(apart.len())];
                    outlet.set_raw(*field, Fact::Known(moved));
                }
            }
            let judgement = judge(rule, &outlet, &mut explorer);
            let wanted = is_borderline(rule, &outlet, judgement.verdict.kind(), &mut explorer);
            assert_eq!(judgement.borderline, wanted, "{} on {outlet:?}", rule.name);
            found[usize::from(wanted)] += 1;
        }
        let both = found.into_iter().all(|count| count > 0);
        assert!(both || lengths.is_empty(), "{}: {found:?} are too alike", rule.name);
    }
}
