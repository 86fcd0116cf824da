//! Facts that rows share: what one row of a box, a panel or a supply records holds for all of them.
//!
//! They fill blank cells, never unreadable ones, and only when all rows that record the fact agree.

use crate::outlet::{Fact, Field, Outlet, facts};

use super::subjects::{Members, grouped, text};

/// Rows of one box, panel or supply that record different values of a shared fact.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Disagreement {
    /// The fact.
    pub field: Field,
    /// What the rows share.
    pub shared_by: Field,
    /// The rows that record it, as places in the list of outlets.
    pub members: Members,
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
pub fn share(outlets: &mut [Outlet]) -> Vec<Disagreement> {
    let mut faults = Vec::new();
    for group in grouped(outlets, |outlet| text(outlet, facts::ENCLOSURE_ID)) {
        for field in BOX_FACTS {
            fill(outlets, &group, *field, Field::EnclosureId, &mut faults);
        }
    }
    for group in grouped(outlets, |outlet| text(outlet, facts::PANEL)) {
        fill(outlets, &group, Field::Supply, Field::Panel, &mut faults);
    }
    share_system(outlets, &mut faults);
    faults
}

fn share_system(outlets: &mut [Outlet], faults: &mut Vec<Disagreement>) {
    let by_panel = grouped(outlets, |outlet| text(outlet, facts::PANEL));
    let agreed_by_panel: Vec<Agreement> =
        by_panel.iter().map(|group| agreement(outlets, group, Field::System)).collect();
    let by_supply = grouped(outlets, |outlet| text(outlet, facts::SUPPLY));
    let mut decided = vec![false; outlets.len()];
    for group in &by_supply {
        if agreement(outlets, group, Field::System) != Agreement::Silent {
            for place in group {
                decided[*place as usize] = true;
            }
        }
        fill(outlets, group, Field::System, Field::Supply, faults);
    }
    for (group, agreed) in by_panel.iter().zip(agreed_by_panel) {
        let open: Members =
            group.iter().copied().filter(|place| !decided[*place as usize]).collect();
        settle(outlets, &open, group, Field::System, Field::Panel, agreed, faults);
    }
}

/// What the rows of a group record of a fact.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Agreement {
    Silent,
    Agreed(i64),
    Disagreed,
}

fn agreement(outlets: &[Outlet], group: &[u32], field: Field) -> Agreement {
    let mut recorded = group.iter().filter_map(|place| outlets[*place as usize].raw(field).known());
    let Some(first) = recorded.next() else { return Agreement::Silent };
    if recorded.all(|value| value == first) {
        Agreement::Agreed(first)
    } else {
        Agreement::Disagreed
    }
}

fn fill(
    outlets: &mut [Outlet],
    group: &[u32],
    field: Field,
    shared_by: Field,
    faults: &mut Vec<Disagreement>,
) {
    if group.len() > 1 {
        let agreed = agreement(outlets, group, field);
        settle(outlets, group, group, field, shared_by, agreed, faults);
    }
}

fn settle(
    outlets: &mut [Outlet],
    blanks_of: &[u32],
    group: &[u32],
    field: Field,
    shared_by: Field,
    agreed: Agreement,
    faults: &mut Vec<Disagreement>,
) {
    match agreed {
        Agreement::Silent => {}
        Agreement::Agreed(value) => {
            for place in blanks_of {
                let outlet = &mut outlets[*place as usize];
                if matches!(outlet.raw(field), Fact::Blank | Fact::Absent) {
                    outlet.set_raw(field, Fact::Known(value));
                }
            }
        }
        Agreement::Disagreed if blanks_of.is_empty() => {}
        Agreement::Disagreed => faults.push(Disagreement {
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
