//! The bond between a receptacle and its metal box.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::outlet::words::{Bonding, BoxKind, BoxMount, Material, MountedOn};
use crate::rules::pattern::{self};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// The grounding contact of a receptacle is bonded to its metal box.
    ///
    /// ## What it checks
    /// How the contact is bonded: a jumper, a self-grounding yoke, an isolated ground, or metal contact, which
    /// is enough on a surface-mounted box only.
    ///
    /// ## Why it matters
    /// An unbonded box stays live after a fault, and the breaker stays closed.
    ///
    /// ## What to do
    /// Connect a bonding jumper from the grounding terminal to the box, or use a self-grounding receptacle.
    ///
    /// ## When it does not apply
    /// To nonmetallic boxes, to receptacles without a grounding contact, and where there is no equipment
    /// ground.
    ///
    /// ## When it cannot tell
    /// When the box or the bond is unknown. Covers and floor boxes that bond by contact must be listed for it:
    /// they are for the authority.
    ///
    /// ## Sources
    /// A code instructor's video page; a thread of a home improvement forum; a thread of a code forum.
    DEVICE_BONDING = "device-bonding", Outlet, Grounding, Danger,
    cite: Citation::all("250.146", Confidence::Two),
    asks: [BoxMaterial, Bonding, BoxMount, MountedOn],
    heeds: [Device, Configuration, DeviceAmps, DeviceVolts, GroundPresent, Box],
    check: Outlet(check),
}

const NOT_BONDED: Violation = Violation::new(
    "the grounding contact of the receptacle is not bonded to its metal box",
    "connect a bonding jumper from the grounding terminal to the box",
);
const FLUSH_CONTACT: Violation = Violation::new(
    "metal contact alone bonds the receptacle to a flush box",
    "connect a bonding jumper, or use a self-grounding receptacle",
);

fn check(world: &mut World<'_>) -> Answer {
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !world.heed(facts::GROUND_PRESENT, true) {
        return Answer::NotApplicable("there is no equipment ground");
    }
    if !pattern::heed_grounding(world) {
        return Answer::NotApplicable("the receptacle has no grounding contact");
    }
    if world.ask(facts::BOX_MATERIAL) == Material::Nonmetallic {
        return Answer::NotApplicable("the box is not metal");
    }
    match world.ask(facts::BONDING) {
        Bonding::Jumper | Bonding::SelfGrounding | Bonding::Isolated => Answer::Complies,
        Bonding::None => Answer::Violates(NOT_BONDED),
        Bonding::MetalToMetal => by_contact(world),
    }
}

/// Contact between yoke and box: enough on a surface box, not on a flush one.
fn by_contact(world: &mut World<'_>) -> Answer {
    let floor_box = |kind| kind == BoxKind::FloorBox;
    let on_cover = |mounted| mounted == MountedOn::Cover;
    if floor_box(world.heed_by(facts::BOX, BoxKind::DeviceBox, floor_box))
        || on_cover(world.ask_by(facts::MOUNTED_ON, on_cover))
    {
        return Answer::Authority("is this cover or floor box listed to bond by contact?");
    }
    match world.ask(facts::BOX_MOUNT) {
        BoxMount::Surface => Answer::Complies,
        BoxMount::Flush => Answer::Violates(FLUSH_CONTACT),
    }
}
