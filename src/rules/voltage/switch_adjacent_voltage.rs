//! Volts between a switch and its neighbour.

use crate::code::{Citation, Confidence};
use crate::rules::questions::has_switch;
use crate::rules::rule::rule;
use crate::rules::subject::Subject;
use crate::rules::verdict::Verdict;
use crate::rules::world::Explorer;

use super::neighbours;

rule! {
    /// No more than 300 V stand between a switch and its neighbour, unless a secured divider parts them.
    ///
    /// ## What it checks
    /// Each pair of neighbours in which there is a switch. Devices of one supply: the exact difference between their
    /// conductors, by phase. Devices of two supplies: the bounds, since the angle between them is unknown.
    ///
    /// ## Why it matters
    /// Whoever works on one device of the box meets the other's voltage: 480 V where 277 V was expected.
    ///
    /// ## What to do
    /// Install an identified divider, secured in place, or move one device to another box or to the same phase.
    ///
    /// ## When it does not apply
    /// To a device alone in its box, and to boxes without such neighbours.
    ///
    /// ## When it cannot tell
    /// When the supply system, the conductors, the divider or the order in the box is unknown and could matter.
    /// Two systems whose angle decides are for the authority. Devices in one box of which neither supply nor
    /// panel is known are taken to be on one supply when their systems are the same; the evidence says so.
    ///
    /// ## Sources
    /// Two threads of a code forum on 277 V switches in one box; a thread of an electricians' forum; a course.
    /// Nominal voltages: 480/sqrt(3) is 277 V; the high leg of a 240/120 V delta stands at 208 V to neutral.
    SWITCH_ADJACENT_VOLTAGE = "switch-adjacent-voltage", Enclosure, VoltageBetweenDevices, Danger,
    cite: Citation::all("404.8(B)", Confidence::Two),
    asks: [System, Phases, Volts, Barrier],
    heeds: [Device, Edition, Gang, Supply, Panel],
    check: Group(judge),
}

fn judge(subject: Subject<'_>, explorer: &mut Explorer) -> Verdict {
    neighbours::judge(subject, explorer, has_switch)
}
