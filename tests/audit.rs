//! Running rules: one that fails takes nothing else down, and no verdict is lost.
#![expect(clippy::unwrap_used, reason = "a table that cannot be made fails the test")]

use proptest::prelude::*;
use yokecheck::audit::{Audit, Options, Resolution, Selection, run};
use yokecheck::code::{Citation, Confidence};
use yokecheck::outlet::words::{BoxKind, Device, Edition, Surface};
use yokecheck::outlet::{
    Choices as _, Configuration, Fact, Field, Gauge, Kind, Length, Origin, Outlet, Texts,
    Word as _, facts,
};
use yokecheck::rules::{
    Answer, Check, CorrectingTrade, DefectType, Grade, RULES, Rule, SubjectKind, VerdictKind,
    World, rule_named, usual_resolution,
};

fn audit(outlets: Vec<Outlet>, texts: Texts, selection: &Selection) -> Audit {
    let resolution = Some(&resolution as &Resolution<'_>);
    let options = Options { keep_verdicts: true, resolution, ..Options::of(selection) };
    run(outlets, texts, &options)
}

/// Rows are measured as usual, coarsely and finely in turn.
fn resolution(outlet: &Outlet, _: Field) -> Option<Length> {
    [None, Some(Length::INCH), Some(Length(100_000))][outlet.origin.row as usize % 3]
}

fn row(row: u32) -> Outlet {
    Outlet::absent(Origin { source: 0, sheet: 0, row })
}

/// A rule that fails on receptacles and answers for everything else.
static FAILING: Rule = Rule {
    name: "failing",
    subject: SubjectKind::Outlet,
    defect: DefectType::Box,
    grade: Grade::Latent,
    corrects: CorrectingTrade::Electrical,
    citation: Citation::all("0.0", Confidence::Memory),
    asks: &[],
    heeds: &[Field::Device],
    limits: &[],
    amendable: &[],
    on_request: false,
    manual: "",
    check: Check::Outlet(fail_on_receptacles),
};

fn fail_on_receptacles(world: &mut World<'_>) -> Answer {
    assert!(world.recorded(facts::DEVICE) != Some(Device::Receptacle), "no way to judge this");
    Answer::Complies
}

#[test]
fn a_rule_that_fails_is_one_entry_and_harms_no_other() {
    let outlets = |device: Device| {
        [(2, Device::Switch), (3, device), (4, Device::Switch)].map(|(place, device)| {
            let mut outlet = row(place);
            outlet.set(facts::DEVICE, Fact::Known(device));
            outlet.set(facts::FACEPLATE, Fact::Known(false));
            outlet
        })
    };
    let sound = rule_named("box-cover").unwrap();
    let both = Selection::of(vec![&FAILING, sound]);
    let audited = audit(outlets(Device::Receptacle).to_vec(), Texts::default(), &both);

    assert_eq!(audited.crashes.len(), 1);
    let crash = &audited.crashes[0];
    assert_eq!(crash.rule.name, "failing");
    assert_eq!(audited.outlet(crash.first).origin.row, 3);
    assert_eq!(crash.message, "no way to judge this");

    let tally = |name| audited.tallies.iter().find(|tally| tally.rule.name == name).unwrap();
    assert_eq!(tally("failing").count(VerdictKind::Complies), 2, "the subjects before and after");
    assert_eq!(tally("failing").subjects(), 2, "a crash is no verdict");
    let alone = Selection::of(vec![sound]);
    let without = audit(outlets(Device::Receptacle).to_vec(), Texts::default(), &alone);
    assert_eq!(tally("box-cover").count(VerdictKind::Violates), 3);
    assert_eq!(audited.findings.len(), without.findings.len());
    let none = audit(outlets(Device::Switch).to_vec(), Texts::default(), &both);
    assert!(none.crashes.is_empty());
}

/// Two outlets that record the same, and whose figures stand alike to the limit, though one was measured
/// more finely.
#[test]
fn a_length_is_to_be_measured_again_to_its_own_resolution() {
    let outlet = |number| {
        let mut outlet = row(number);
        outlet.set(facts::DEVICE, Fact::Known(Device::Receptacle));
        outlet.set(facts::EDITION, Fact::Known(Edition::E2023));
        outlet.set(facts::SURFACE, Fact::Known(Surface::Gypsum));
        outlet.set(facts::BOX, Fact::Known(BoxKind::DeviceBox));
        outlet.set(facts::BOX_SET_BACK, Fact::Known(Length(6_000_000)));
        outlet
    };
    let selection = Selection::of(vec![rule_named("box-set-back").unwrap()]);
    let resolution = |outlet: &Outlet, _| (outlet.origin.row == 2).then_some(Length(1_000_000));
    let options = Options { resolution: Some(&resolution), ..Options::of(&selection) };
    let audited = run(vec![outlet(2), outlet(3)], Texts::default(), &options);
    let told: Vec<Length> = audited.measure_again.iter().map(|again| again.resolution).collect();
    assert_eq!(told, [Length(1_000_000), usual_resolution(Field::BoxSetBack)]);
}

/// Any value of a field, within what its cells may hold; texts are few, so that rows form groups.
fn values(field: Field) -> BoxedStrategy<i64> {
    let choice = |count: usize| (0..i64::try_from(count).unwrap()).boxed();
    match field.kind() {
        Kind::Text => choice(TEXTS.len()),
        Kind::Count => choice(4),
        Kind::Word(words) => choice(words.len()),
        Kind::Words(words) => choice(1 << words.len()),
        Kind::YesNo => choice(2),
        Kind::Length => (-48_i64..480).prop_map(|eighths| Length::INCH.0 * eighths / 8).boxed(),
        Kind::Volume => (0_i64..100).prop_map(|tenths| tenths * 1000 * 2).boxed(),
        Kind::Voltage => prop::sample::select(vec![120_000, 208_000, 277_000, 480_000]).boxed(),
        Kind::Current => prop::sample::select(vec![15_000, 20_000, 30_000, 50_000]).boxed(),
        Kind::Awg => choice(Gauge::ALL.len()),
        Kind::Date => choice(20_000),
        Kind::Configuration => prop::sample::select(Configuration::all())
            .prop_map(yokecheck::outlet::Value::raw)
            .boxed(),
    }
}

const TEXTS: [&str; 3] = ["A", "B", "C"];

/// An outlet of which about three facts in four are recorded, whatever they are.
fn outlets() -> impl Strategy<Value = Vec<Fact<i64>>> {
    let facts: Vec<BoxedStrategy<Fact<i64>>> = Field::ALL
        .iter()
        .map(|field| {
            prop_oneof![
                6 => values(*field).prop_map(Fact::Known),
                1 => Just(Fact::Blank),
                1 => Just(Fact::Unreadable),
            ]
            .boxed()
        })
        .collect();
    facts
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]

    #[test]
    fn the_verdicts_of_each_rule_add_up_to_its_subjects(
        table in prop::collection::vec(outlets(), 1..40),
    ) {
        let mut texts = Texts::default();
        for text in TEXTS {
            texts.intern(text);
        }
        let outlets = (2..).zip(&table).map(|(number, facts)| {
            let mut outlet = row(number);
            for (field, fact) in Field::ALL.iter().zip(facts) {
                outlet.set_raw(*field, *fact);
            }
            outlet
        });
        let audited = audit(outlets.collect(), texts, &Selection::of(RULES.to_vec()));
        prop_assert!(audited.crashes.is_empty(), "{}", audited.crashes[0].message);
        for tally in &audited.tallies {
            let subjects = audited.subjects.count(tally.rule.subject) as u64;
            prop_assert_eq!(tally.subjects(), subjects, "{}", tally.rule.name);
            let counted = |kind| {
                let of_rule = audited.verdicts.iter().filter(|row| row.rule.name == tally.rule.name);
                of_rule.filter(|row| row.kind == kind).count() as u64
            };
            for kind in VerdictKind::ALL {
                prop_assert_eq!(tally.count(kind), counted(kind));
            }
        }
        let found = audited.findings.len();
        let told = audited.tallies.iter().map(|tally| {
            tally.count(VerdictKind::Violates) + tally.count(VerdictKind::Authority)
        });
        prop_assert_eq!(told.sum::<u64>(), found as u64);
    }
}

/// The verdicts and findings of an audit, each told with the row of its first outlet.
fn told(audited: &Audit) -> Vec<String> {
    let verdicts = audited.verdicts.iter().map(|row| {
        let first = audited.outlet(row.first).origin.row;
        format!(
            "{first} {} {:?} {} {}",
            row.rule.name,
            row.kind,
            row.missing.text(),
            row.borderline
        )
    });
    let findings = audited.findings.iter().map(|finding| {
        let row = |place: &u32| audited.outlet(*place).origin.row;
        let evidence = finding.evidence().map(|(place, field)| (row(&place), field.name()));
        let members: Vec<u32> = finding.members.iter().map(row).collect();
        let evidence: Vec<_> = evidence.collect();
        format!("{} {:?} {members:?} {evidence:?}", finding.rule.name, finding.answer)
    });
    let gaps = audited.gaps.iter().map(|gap| {
        let row = audited.outlet(gap.outlet).origin.row;
        format!("{row} waits for {} under {:?}", gap.missing.text(), gap.rules)
    });
    let again = audited.measure_again.iter().map(|again| {
        let row = audited.outlet(again.outlet).origin.row;
        let name = audited.selection.rules()[usize::from(again.rule)].name;
        format!("{row} {name} {:?} to {:?}", again.field, again.resolution)
    });
    let mut told: Vec<String> = verdicts.chain(findings).chain(gaps).chain(again).collect();
    told.sort_unstable();
    told
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(24) })]

    /// Subjects that are alike share one judgement: it must be the one that each gets by itself. Each
    /// building holds a few rows; every other one is the building before it with one fact changed.
    #[test]
    fn a_building_among_others_is_judged_as_if_alone(
        buildings in prop::collection::vec(
            (prop::collection::vec(outlets(), 1..4), prop::sample::select(Field::ALL)), 1..5,
        ),
    ) {
        let mut texts = Texts::default();
        for text in TEXTS {
            texts.intern(text);
        }
        let mut parts: Vec<Vec<Outlet>> = Vec::new();
        let mut number = 2;
        for (table, changed) in &buildings {
            for change in [None, None, Some(*changed)] {
                let name = texts.intern(&format!("building {}", parts.len()));
                let part = table.iter().map(|facts| {
                    let mut outlet = row(number);
                    number += 1;
                    for (field, fact) in Field::ALL.iter().zip(facts) {
                        outlet.set_raw(*field, *fact);
                    }
                    if let Some(field) = change {
                        let other = table.last().unwrap()[field as usize];
                        outlet.set_raw(field, if other.is_known() { Fact::Blank } else { Fact::Known(1) });
                    }
                    outlet.set(facts::BUILDING, Fact::Known(name));
                    outlet
                });
                parts.push(part.collect());
            }
        }
        let selection = Selection::of(RULES.to_vec());
        let together = told(&audit(parts.concat(), texts.clone(), &selection));
        let mut alone: Vec<String> = parts
            .into_iter()
            .flat_map(|part| told(&audit(part, texts.clone(), &selection)))
            .collect();
        alone.sort_unstable();
        prop_assert_eq!(together, alone);
    }
}
