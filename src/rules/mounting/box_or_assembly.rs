//! The receptacle stands in a box or an assembly that is made for it.

use crate::code::{Citation, Confidence};
use crate::outlet::words::BoxKind;
use crate::outlet::{Fact, Field, facts};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::{FactRef, Inference, Violation};
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle is mounted in a box or an assembly that is identified for the use.
    ///
    /// ## What it checks
    /// The kind of box, and whether a raceway, an assembly or a box of unknown kind is identified for the use.
    ///
    /// ## Why it matters
    /// A device without a box leaves splices and terminals open to the cavity of the wall: a fault there finds
    /// dry wood, and a hand finds live parts.
    ///
    /// ## What to do
    /// Mount the receptacle in a box or an assembly that is identified for the use.
    ///
    /// ## When it does not apply
    /// To devices without a receptacle.
    ///
    /// ## When it cannot tell
    /// When the box is unknown and nothing says that it is identified, or when a raceway or an assembly is not
    /// said to be. A box made for devices is taken as identified unless the schedule says otherwise.
    ///
    /// ## Sources
    /// A trade magazine's code quiz on receptacle mounting; a device maker's code page for the 2020 edition;
    /// the California Electrical Code 2022.
    BOX_OR_ASSEMBLY = "box-or-assembly", Outlet, Box, Danger,
    cite: Citation::all("406.5", Confidence::Two),
    asks: [Box, BoxIdentified],
    heeds: [Device],
    check: Outlet(check),
}

const NO_BOX: Violation = Violation::new(
    "the receptacle has no box or assembly",
    "mount it in a box or an assembly that is identified for the use",
);
const NOT_IDENTIFIED: Violation = Violation::new(
    "the box or assembly is not identified for the use",
    "replace it with a box or an assembly that is identified for the use",
);

/// What the rule tells apart among the kinds of box.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    None,
    MadeForDevices,
    Other,
}

const fn kind_of(kind: BoxKind) -> Kind {
    match kind {
        BoxKind::None => Kind::None,
        BoxKind::Raceway | BoxKind::Assembly => Kind::Other,
        BoxKind::DeviceBox
        | BoxKind::Square
        | BoxKind::Octagon
        | BoxKind::Masonry
        | BoxKind::FloorBox
        | BoxKind::Fs
        | BoxKind::Fd => Kind::MadeForDevices,
    }
}

fn check(world: &mut World<'_>) -> Answer {
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    let recorded = world.fact(facts::BOX).is_known();
    let kind = kind_of(world.ask_by(facts::BOX, kind_of));
    let identified = match world.fact(facts::BOX_IDENTIFIED) {
        Fact::Blank | Fact::Absent if recorded && kind == Kind::None => {
            return Answer::Violates(NO_BOX);
        }
        Fact::Blank | Fact::Absent if recorded && kind == Kind::MadeForDevices => {
            world.infer(Inference::BoxMadeForDevices);
            true
        }
        _ => world.ask(facts::BOX_IDENTIFIED),
    };
    match (kind, identified) {
        (Kind::None, true) => {
            world.contradiction(&[FactRef::own(Field::Box), FactRef::own(Field::BoxIdentified)])
        }
        (Kind::None, false) => Answer::Violates(NO_BOX),
        (_, false) => Answer::Violates(NOT_IDENTIFIED),
        (_, true) => Answer::Complies,
    }
}
