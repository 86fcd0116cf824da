//! The devices of an enclosure, pair by pair: who stands beside whom, and what divides them.

use std::cell::RefCell;

use crate::outlet::words::{Barrier, Device};
use crate::outlet::{Fact, Field, Outlet, facts};
use crate::rules::questions;
use crate::rules::subject::Subject;
use crate::rules::verdict::{FactRef, Inferences, Missing, Verdict, VerdictKind};
use crate::rules::world::{Answer, Explorer, World};

use super::pair;

/// Whether a device is of the kind that a rule looks at.
pub(super) type Wanted = fn(Device) -> bool;

/// What is recorded of the divider between two devices.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Divider {
    /// Identified and securely installed.
    Secured,
    /// None, or one that is not secured.
    Missing,
    /// Nothing is recorded.
    Unknown,
    /// Both devices of a box of two record it, and differ.
    Conflict,
}

/// Two devices and the divider between them; places among the members of the enclosure.
#[derive(Clone, Copy, Debug)]
struct Pair {
    left: usize,
    right: usize,
    divider: Divider,
}

/// Unknown devices of one box that are tried together at most. In a box with more of them each pair is
/// judged by itself, which may leave undetermined what trying all of them would settle.
const DEVICES_TRIED: usize = 6;

/// The verdict of an enclosure, with every kind that its unknown devices may be of.
pub(super) fn judge(subject: Subject<'_>, explorer: &mut Explorer, wanted: Wanted) -> Verdict {
    let unknown =
        |member: &&&Outlet| matches!(member.get(facts::DEVICE), Fact::Blank | Fact::Unreadable);
    let count = subject.members.iter().filter(unknown).count();
    if count == 0 || count > DEVICES_TRIED || subject.members.len() < 2 {
        return judge_pairs(subject, explorer, wanted);
    }
    let inner = RefCell::new(Explorer::default());
    let verdict = explorer.explore(subject, None, &|world| {
        let known: Vec<Outlet> = subject
            .members
            .iter()
            .enumerate()
            .map(|(place, member)| {
                let mut known = (*member).clone();
                known.set(facts::DEVICE, Fact::Known(questions::device(world, place)));
                known
            })
            .collect();
        let members: Vec<&Outlet> = known.iter().collect();
        let subject = Subject { members: &members, ..subject };
        world.answer_of(judge_pairs(subject, &mut inner.borrow_mut(), wanted))
    });
    let inner = inner.into_inner();
    explorer.set_evidence(inner.evidence().to_vec());
    explorer.set_inferences(inner.inferences());
    verdict
}

/// The verdict of an enclosure whose devices are known: the worst of its pairs.
fn judge_pairs(subject: Subject<'_>, explorer: &mut Explorer, wanted: Wanted) -> Verdict {
    let (pairs, ordered) = pairs_of(subject);
    let mut judged = Vec::new();
    for pair in pairs {
        let verdict = judge_pair(pair, subject, explorer, wanted);
        if verdict.kind() != VerdictKind::NotApplicable {
            let evidence = members_of(pair, explorer);
            judged.push(Judged { verdict, evidence, inferences: explorer.inferences() });
        }
    }
    let verdict = if ordered { worst(&judged) } else { agreed(&judged) };
    tell_of_faulty_pairs(&judged, explorer);
    verdict
}

/// A pair with a device of the kind that the rule looks at, and what its verdict rests on.
struct Judged {
    verdict: Verdict,
    evidence: Vec<FactRef>,
    inferences: Inferences,
}

/// The evidence of a box names every pair that is not in order; all of them where all are.
fn tell_of_faulty_pairs(judged: &[Judged], explorer: &mut Explorer) {
    let in_order = |pair: &Judged| pair.verdict.kind() == VerdictKind::Complies;
    let all_in_order = judged.iter().all(in_order);
    let mut evidence = Vec::new();
    let mut inferences = Inferences::default();
    for pair in judged.iter().filter(|pair| all_in_order || !in_order(pair)) {
        for fact in &pair.evidence {
            if !evidence.contains(fact) {
                evidence.push(*fact);
            }
        }
        inferences.extend(pair.inferences);
    }
    explorer.set_evidence(evidence);
    explorer.set_inferences(inferences);
}

/// The neighbouring pairs, and whether they are known to be neighbours: in a larger box in which a gang
/// is blank or stands twice, every pair may be one.
fn pairs_of(subject: Subject<'_>) -> (Vec<Pair>, bool) {
    let count = subject.members.len();
    if count == 2 {
        return (vec![Pair { left: 0, right: 1, divider: only_divider(subject) }], true);
    }
    let gangs: Vec<Option<u16>> =
        subject.members.iter().map(|member| member.get(facts::GANG).known()).collect();
    let all = (0..count).flat_map(|left| (left + 1..count).map(move |right| (left, right)));
    let mut sorted = gangs.clone();
    sorted.sort_unstable();
    let repeated = sorted.windows(2).any(|pair| pair[0] == pair[1]);
    if repeated || gangs.contains(&None) {
        let candidate =
            |(left, right)| Pair { left, right, divider: any_divider(subject, left, right) };
        return (all.map(candidate).collect(), false);
    }
    let neighbours = all.filter_map(|(one, other)| {
        let (first, second) = (gangs[one]?, gangs[other]?);
        let (left, right) = if first < second { (one, other) } else { (other, one) };
        (first.abs_diff(second) == 1).then(|| Pair {
            left,
            right,
            divider: recorded(barrier(subject, left)),
        })
    });
    (neighbours.collect(), true)
}

fn barrier(subject: Subject<'_>, member: usize) -> Fact<Barrier> {
    subject.members[member].get(facts::BARRIER)
}

const fn recorded(barrier: Fact<Barrier>) -> Divider {
    match barrier {
        Fact::Known(Barrier::Secured) => Divider::Secured,
        Fact::Known(Barrier::None | Barrier::Unsecured) => Divider::Missing,
        Fact::Blank | Fact::Unreadable | Fact::Absent => Divider::Unknown,
    }
}

/// A box of two has one divider, and either row may record it.
fn only_divider(subject: Subject<'_>) -> Divider {
    match (recorded(barrier(subject, 0)), recorded(barrier(subject, 1))) {
        (Divider::Unknown, known) | (known, Divider::Unknown) => known,
        (one, other) if one == other => one,
        _ => Divider::Conflict,
    }
}

/// Where the order is unknown, a divider is known only when both devices record the same.
fn any_divider(subject: Subject<'_>, left: usize, right: usize) -> Divider {
    let (one, other) = (recorded(barrier(subject, left)), recorded(barrier(subject, right)));
    if one == other { one } else { Divider::Unknown }
}

fn judge_pair(
    pair: Pair,
    subject: Subject<'_>,
    explorer: &mut Explorer,
    wanted: Wanted,
) -> Verdict {
    let members = [subject.members[pair.left], subject.members[pair.right]];
    let pair_subject = Subject { members: &members, ..subject };
    let verdict = explorer.explore(pair_subject, None, &|world| {
        let devices = [questions::device(world, 0), questions::device(world, 1)];
        if !devices.into_iter().any(wanted) {
            return Answer::NotApplicable("no such device in the pair");
        }
        pair::check(world, devices, pair.divider)
    });
    name_volts_beside_phases(verdict, members, explorer)
}

/// Where the conductors of a device matter and its volts are unknown too, either would help.
fn name_volts_beside_phases(
    verdict: Verdict,
    members: [&Outlet; 2],
    explorer: &Explorer,
) -> Verdict {
    let Verdict::Undetermined(mut missing) = verdict else { return verdict };
    for fact in explorer.mattering() {
        let member = members[usize::from(fact.member).min(1)];
        if fact.field == Field::Phases && !member.get(facts::VOLTS).is_known() {
            missing.add_field(Field::Volts);
        }
    }
    Verdict::Undetermined(missing)
}

/// The recorded facts of a pair, with the members' places in the enclosure.
fn members_of(pair: Pair, explorer: &Explorer) -> Vec<FactRef> {
    let place = |fact: &FactRef| FactRef {
        member: u16::try_from(if fact.member == 0 { pair.left } else { pair.right })
            .unwrap_or(u16::MAX),
        field: fact.field,
    };
    explorer.evidence().iter().map(place).collect()
}

const WORST_FIRST: [VerdictKind; 4] = [
    VerdictKind::Violates,
    VerdictKind::Undetermined,
    VerdictKind::Authority,
    VerdictKind::Complies,
];

const NO_PAIR: Verdict = Verdict::NotApplicable("no such devices stand side by side");

/// The worst verdict. Undetermined pairs join what they miss.
fn worst(judged: &[Judged]) -> Verdict {
    let of_kind = |kind| {
        judged.iter().map(|pair| &pair.verdict).filter(move |verdict| verdict.kind() == kind)
    };
    let Some(kind) = WORST_FIRST.into_iter().find(|kind| of_kind(*kind).next().is_some()) else {
        return NO_PAIR;
    };
    if kind == VerdictKind::Undetermined {
        return Verdict::Undetermined(missing_of(judged));
    }
    of_kind(kind).max_by_key(|verdict| volts(verdict)).cloned().unwrap_or(NO_PAIR)
}

/// The verdict that all candidate pairs share; else the gangs decide.
fn agreed(judged: &[Judged]) -> Verdict {
    let same = judged.windows(2).all(|pair| pair[0].verdict.kind() == pair[1].verdict.kind());
    if same {
        return worst(judged);
    }
    let mut missing = missing_of(judged);
    missing.add_field(Field::Gang);
    Verdict::Undetermined(missing)
}

fn missing_of(judged: &[Judged]) -> Missing {
    let mut all = Missing::default();
    for pair in judged {
        if let Verdict::Undetermined(missing) = pair.verdict {
            all.extend(missing);
        }
    }
    all
}

/// The volts of a violating pair, to name the worst.
const fn volts(verdict: &Verdict) -> i64 {
    use crate::rules::verdict::Measured;
    match verdict {
        Verdict::Violates(violation) => match violation.measured {
            Some(Measured::Volts(volts)) => volts,
            _ => 0,
        },
        _ => 0,
    }
}

/// The devices of a pair as a check of the pair sees them.
pub(super) type Devices = [Device; 2];

/// Reads a fact of either member, so that it counts as evidence.
pub(super) fn both<T: crate::outlet::Value>(
    world: &mut World<'_>,
    key: crate::outlet::Key<T>,
) -> [Fact<T>; 2] {
    [world.fact_of(0, key), world.fact_of(1, key)]
}
