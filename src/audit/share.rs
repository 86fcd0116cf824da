//! Facts that rows share: what one row of a box, a panel or a supply records holds for all of them.
//!
//! They fill blank cells, never unreadable ones, and only when all rows that record the fact agree. What
//! was filled, and from which row, is kept: a report names the cell where the fact stands.

use crate::outlet::{Alike, Fact, Field, Outlet, facts};

use super::subjects::{Groups, Sharing, text};

/// Rows of one box, panel or supply that record different values of a shared fact.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Disagreement {
    /// The fact.
    pub field: Field,
    /// What the rows share.
    pub shared_by: Field,
    /// The rows that record it, as places in the list of outlets.
    pub members: Vec<u32>,
}

/// The facts that were filled in: an outlet and a field of it, and the outlet whose row records it.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Shared {
    /// Sorted by outlet and field, so that a million of them take little room.
    pub(super) filled: Vec<(u32, Field, u32)>,
}

impl Shared {
    /// The outlet whose row records a fact of an outlet: itself, unless the fact was filled in.
    pub fn recorded_by(&self, outlet: u32, field: Field) -> u32 {
        let key = (outlet, field);
        let found = self.filled.binary_search_by_key(&key, |(outlet, field, _)| (*outlet, *field));
        found.map_or(outlet, |place| self.filled[place].2)
    }
}

/// Box facts: what holds for the box, not for one device in it.
const BOX_FACTS: &[Field] = &[
    Field::Box,
    Field::BoxIdentified,
    Field::BoxFastened,
    Field::BoxMaterial,
    Field::BoxMount,
    Field::BoxSize,
    Field::BoxGangs,
    Field::BoxVolume,
    Field::ExtraVolume,
    Field::Wires18,
    Field::Wires16,
    Field::Wires14,
    Field::Wires12,
    Field::Wires10,
    Field::Wires8,
    Field::Wires6,
    Field::GroundWires,
    Field::GroundWireSize,
    Field::IsolatedGroundWires,
    Field::Clamps,
    Field::Fittings,
    Field::TerminalBlocks,
    Field::TerminalBlockWire,
    Field::BoxSetBack,
    Field::WallGap,
    Field::Surface,
    Field::SurfaceCombustible,
];

/// Fills the blanks, in the order of the catalogue: box facts, then the supply of a panel, then the
/// system of a supply (of a panel, where no row of the supply records one).
pub(super) fn share(outlets: &mut [Outlet], groups: &Sharing) -> (Shared, Vec<Disagreement>) {
    let mut ledger = Ledger::default();
    for group in groups.enclosures.iter() {
        let before = ledger.shared.filled.len();
        for field in BOX_FACTS {
            fill(outlets, group, *field, Field::EnclosureId, &mut ledger);
        }
        ledger.keep_alike(outlets, before);
    }
    for group in groups.panels.iter() {
        fill(outlets, group, Field::Supply, Field::Panel, &mut ledger);
    }
    share_system(outlets, &groups.panels, &mut ledger);
    ledger.shared.filled.sort_unstable();
    (ledger.shared, ledger.faults)
}

/// What came of the sharing.
#[derive(Default)]
struct Ledger {
    shared: Shared,
    faults: Vec<Disagreement>,
    alike: Alike,
}

impl Ledger {
    /// Lets the outlets that were filled since then share their facts with those that record the same.
    fn keep_alike(&mut self, outlets: &mut [Outlet], since: usize) {
        for (place, _, _) in &self.shared.filled[since..] {
            self.alike.share(&mut outlets[*place as usize]);
        }
    }
}

fn share_system(outlets: &mut [Outlet], by_panel: &Groups, ledger: &mut Ledger) {
    let agreed_by_panel: Vec<Agreement> =
        by_panel.iter().map(|group| agreement(outlets, group, Field::System)).collect();
    let mut decided = vec![false; outlets.len()];
    for group in Groups::of(outlets, |outlet| text(outlet, facts::SUPPLY)).iter() {
        if agreement(outlets, group, Field::System) != Agreement::Silent {
            for place in group {
                decided[*place as usize] = true;
            }
        }
        let before = ledger.shared.filled.len();
        fill(outlets, group, Field::System, Field::Supply, ledger);
        ledger.keep_alike(outlets, before);
    }
    for (group, agreed) in by_panel.iter().zip(agreed_by_panel) {
        let open: Vec<u32> =
            group.iter().copied().filter(|place| !decided[*place as usize]).collect();
        let before = ledger.shared.filled.len();
        settle(outlets, &open, group, Field::System, Field::Panel, agreed, ledger);
        ledger.keep_alike(outlets, before);
    }
}

/// What the rows of a group record of a fact.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Agreement {
    Silent,
    /// This value; the first outlet that records it.
    Agreed(i64, u32),
    Disagreed,
}

fn agreement(outlets: &[Outlet], group: &[u32], field: Field) -> Agreement {
    let value = |place: u32| outlets[place as usize].raw(field).known();
    let mut recorded = group.iter().filter_map(|place| value(*place).map(|value| (value, *place)));
    let Some((first, from)) = recorded.next() else { return Agreement::Silent };
    if recorded.all(|(value, _)| value == first) {
        Agreement::Agreed(first, from)
    } else {
        Agreement::Disagreed
    }
}

fn fill(
    outlets: &mut [Outlet],
    group: &[u32],
    field: Field,
    shared_by: Field,
    ledger: &mut Ledger,
) {
    if group.len() > 1 {
        let agreed = agreement(outlets, group, field);
        settle(outlets, group, group, field, shared_by, agreed, ledger);
    }
}

fn settle(
    outlets: &mut [Outlet],
    blanks_of: &[u32],
    group: &[u32],
    field: Field,
    shared_by: Field,
    agreed: Agreement,
    ledger: &mut Ledger,
) {
    match agreed {
        Agreement::Silent => {}
        Agreement::Agreed(value, from) => {
            for place in blanks_of {
                let outlet = &mut outlets[*place as usize];
                if matches!(outlet.raw(field), Fact::Blank | Fact::Absent) {
                    outlet.set_raw(field, Fact::Known(value));
                    ledger.shared.filled.push((*place, field, from));
                }
            }
        }
        Agreement::Disagreed if blanks_of.is_empty() => {}
        Agreement::Disagreed => ledger.faults.push(Disagreement {
            field,
            shared_by,
            members: group
                .iter()
                .copied()
                .filter(|place| outlets[*place as usize].raw(field).is_known())
                .collect(),
        }),
    }
}
