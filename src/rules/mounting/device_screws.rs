//! The screws that hold a receptacle to its box.

use crate::code::{Citation, Confidence};
use crate::outlet::words::DeviceScrew;
use crate::outlet::{Field, facts};
use crate::rules::questions::{is_receptacle, on_box};
use crate::rules::rule::rule;
use crate::rules::verdict::{Bound, Measured, Violation};
use crate::rules::world::{Answer, World};

rule! {
    /// The screws that hold a receptacle to its box are those made for it.
    ///
    /// ## What it checks
    /// The kind of screw, and for machine screws the threads per inch: 32.
    ///
    /// ## Why it matters
    /// A coarse screw strips the threads of the box; the device then works loose, and so do its terminals.
    ///
    /// ## What to do
    /// Use the screws that came with the device, or machine screws of 32 threads per inch; replace a box whose
    /// threads are stripped.
    ///
    /// ## When it does not apply
    /// To receptacles that are not mounted on a box.
    ///
    /// ## When it cannot tell
    /// When the screws are unknown, or the thread of machine screws is. Other fasteners are for the authority.
    ///
    /// ## Sources
    /// A device maker's code page for the 2020 edition; the California Electrical Code 2022; for 2014 a
    /// newsletter of a code instructor; a course on the like rule for switches.
    DEVICE_SCREWS = "device-screws", Outlet, Mounting, Workmanship,
    cite: Citation::of(["406.5"; 4], [Confidence::One, Confidence::Two, Confidence::Two, Confidence::Two]),
    asks: [MountedOn, DeviceScrew, ThreadsPerInch],
    heeds: [Device],
    check: Outlet(check),
}

const REMEDY: &str =
    "use the screws that came with the device, or machine screws of 32 threads per inch";
const WRONG_SCREWS: Violation =
    Violation::new("drywall, wood or sheet-metal screws hold the device to its box", REMEDY);
const WRONG_THREAD: Violation =
    Violation::new("the machine screws of the device do not have 32 threads per inch", REMEDY)
        .measured(Measured::own(Field::ThreadsPerInch))
        .limit(Bound::Words("32 threads per inch"));

fn check(world: &mut World<'_>) -> Answer {
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !on_box(world) {
        return Answer::NotApplicable("not mounted on a box");
    }
    match world.ask(facts::DEVICE_SCREW) {
        DeviceScrew::Supplied | DeviceScrew::ListedSystem => Answer::Complies,
        DeviceScrew::Drywall | DeviceScrew::Wood | DeviceScrew::SheetMetal => {
            Answer::Violates(WRONG_SCREWS)
        }
        DeviceScrew::Machine => {
            match world.ask_among(0, facts::THREADS_PER_INCH, || vec![31, 32, 33]) {
                32 => Answer::Complies,
                _ => Answer::Violates(WRONG_THREAD),
            }
        }
        DeviceScrew::Other => {
            Answer::Authority("are these screws, or this way of fastening, listed for the device?")
        }
    }
}
