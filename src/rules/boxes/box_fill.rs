//! Whether the conductors and devices of a box fit into it.

use crate::code::{Citation, Confidence};
use crate::outlet::Field;
use crate::outlet::words::Edition;
use crate::rules::rule::rule;
use crate::rules::subject::Subject;
use crate::rules::verdict::{Bound, FactRef, Measured, Missing, Verdict, Violation};
use crate::rules::world::Explorer;

use super::fill::{Account, Contents, Fill, Room};

rule! {
    /// The conductors, devices, clamps, fittings and grounds of a box take no more than its volume.
    ///
    /// ## What it checks
    /// The free volume of the box (marked, or from the table of trade sizes, with rings and covers) against the
    /// allowances of all that is in it, for all devices of the box. Grounds: one allowance for all until 2017;
    /// from 2020 one for the first four and a quarter for each beyond. Dividers take their share from 2017,
    /// terminal blocks from 2023.
    ///
    /// ## Why it matters
    /// Conductors that are forced into a full box are nicked and squeezed, and heat what they touch.
    ///
    /// ## What to do
    /// Fit a larger box or an extension ring, or take conductors out. Never trust outside dimensions: the
    /// marking or the table counts.
    ///
    /// ## When it does not apply
    /// Where there is no box, to assemblies, and to conductors larger than 6 AWG (314.28).
    ///
    /// ## When it cannot tell
    /// When the box is not over-full by what is recorded and a fact that counts is missing: the volume, the
    /// conductors, the wire at each device, the grounds or the clamps. Rows of one box that disagree are a
    /// conflict. The spaces on either side of a divider are not judged one by one.
    ///
    /// ## Sources
    /// Box fill examples of trade magazines and textbooks, checked one by one in the tests; a course on the
    /// dividers of 2017; threads of a code forum on the grounds of 2020; a course and a trade magazine on the
    /// terminal blocks of 2023; a thread on wide devices. That isolated grounds take an allowance of their own
    /// until 2017 is from memory.
    BOX_FILL = "box-fill", Enclosure, Box, Latent,
    cite: Citation::all("314.16", Confidence::Two),
    asks: [BoxVolume, Wires18, Wires16, Wires14, Wires12, Wires10, Wires8, Wires6, DeviceWire, GroundWires, GroundWireSize, Clamps, TerminalBlockWire, BoxMaterial],
    heeds: [Edition, Box, BoxSize, BoxGangs, ExtraVolume, DeviceGangs, IsolatedGroundWires, Fittings, TerminalBlocks, Barrier, Gang],
    check: Group(judge),
}

const OVER_FULL: Violation = Violation::new(
    "the conductors and devices take more volume than the box has",
    "fit a larger box or an extension ring, or remove conductors",
);

fn judge(subject: Subject<'_>, explorer: &mut Explorer) -> Verdict {
    explorer.set_evidence(evidence(subject));
    let contents = Contents::of(subject);
    if contents.has_wire_above_6() {
        return Verdict::NotApplicable("conductors larger than 6 AWG; see 314.28");
    }
    if contents.is_no_box() {
        return Verdict::NotApplicable("no box, or an assembly");
    }
    let verdicts: Vec<Verdict> =
        subject.editions.iter().map(|edition| contents.judge(*edition)).collect();
    agreed(verdicts)
}

/// The verdict of all editions, when they agree; else the edition decides.
fn agreed(verdicts: Vec<Verdict>) -> Verdict {
    let mut missing = Missing::default();
    for verdict in &verdicts {
        if let Verdict::Undetermined(names) = verdict {
            missing.extend(*names);
        }
    }
    let same = verdicts.windows(2).all(|pair| pair[0].kind() == pair[1].kind());
    if !same {
        missing.add_field(Field::Edition);
    }
    match verdicts.into_iter().next() {
        Some(verdict) if same && missing.is_empty() => verdict,
        _ => Verdict::Undetermined(missing),
    }
}

impl Contents<'_> {
    /// The verdict under one edition.
    fn judge(&self, edition: Edition) -> Verdict {
        let mut account = Account::default();
        let volume = self.volume(&mut account);
        let fill = self.fill(edition, &mut account);
        if edition < Edition::E2017 {
            return verdict(volume, fill, &account);
        }
        let [least, most] = self.dividers(&mut account);
        let verdicts = [least, most].map(|dividers| verdict(volume, fill.plus(dividers), &account));
        let [with_least, with_most] = verdicts;
        if with_least.kind() == with_most.kind() {
            return with_least;
        }
        account.missing.add_field(Field::Gang);
        Verdict::Undetermined(account.missing)
    }
}

/// The verdict on what is in a box against what it holds.
fn verdict(volume: Option<Room>, fill: Fill, account: &Account) -> Verdict {
    if !account.conflicts.is_empty() {
        let mut names = account.conflicts;
        names.extend(account.missing);
        return Verdict::Undetermined(names);
    }
    match volume {
        Some(volume) if !volume.holds(fill) => Verdict::Violates(
            OVER_FULL
                .measured(Measured::Volume(fill.shown(volume.unit)))
                .limit(Bound::VolumeAtMost(volume.shown())),
        ),
        _ if !account.missing.is_empty() => Verdict::Undetermined(account.missing),
        _ => Verdict::Complies,
    }
}

fn evidence(subject: Subject<'_>) -> Vec<FactRef> {
    let rows = subject.members.iter().zip(0..);
    let read =
        || BOX_FILL.asks.iter().chain(BOX_FILL.heeds).filter(|field| **field != Field::Edition);
    rows.flat_map(|(row, member)| {
        read()
            .filter(|field| row.raw(**field).is_known())
            .map(move |field| FactRef { member, field: *field })
    })
    .collect()
}
