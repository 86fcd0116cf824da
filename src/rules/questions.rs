//! Questions that several rules ask: is it a receptacle, does the finish burn.

use crate::outlet::words::{
    BoxKind, BoxMount, Device, Edition, MountedOn, MountingLocation, Surface, Work,
};
use crate::outlet::{Fact, facts};

use super::verdict::FactRef;
use super::world::World;

/// Whether a device has a receptacle: a receptacle or a combination.
pub fn has_receptacle(device: Device) -> bool {
    matches!(device, Device::Receptacle | Device::Combination)
}

/// Whether a device has a switch: a switch, a dimmer or a combination.
pub fn has_switch(device: Device) -> bool {
    matches!(device, Device::Switch | Device::Dimmer | Device::Combination)
}

/// The device of a member. A schedule without such a column holds receptacles; a blank device is tried
/// as a receptacle, as a switch and as both on one yoke.
pub fn device(world: &mut World<'_>, member: usize) -> Device {
    match world.fact_of(member, facts::DEVICE) {
        Fact::Known(device) => device,
        Fact::Absent => Device::Receptacle,
        Fact::Blank | Fact::Unreadable => {
            let member = u16::try_from(member).unwrap_or(u16::MAX);
            world.choose(FactRef { member, field: facts::DEVICE.field }, || {
                vec![Device::Receptacle, Device::Switch, Device::Combination]
            })
        }
    }
}

/// Whether the outlet is a receptacle.
pub fn is_receptacle(world: &mut World<'_>) -> bool {
    has_receptacle(device(world, 0))
}

/// Whether the outlet replaces an older one.
pub fn is_replacement(world: &mut World<'_>) -> bool {
    let replacement = |work| work == Work::Replacement;
    replacement(world.ask_by(facts::WORK, replacement))
}

/// Whether the device is mounted on its box, not on a cover or an assembly.
pub fn on_box(world: &mut World<'_>) -> bool {
    let on_box = |mounted| mounted == MountedOn::Box;
    on_box(world.ask_by(facts::MOUNTED_ON, on_box))
}

/// What a finish does in a fire.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Finish {
    /// It does not burn.
    Noncombustible,
    /// It burns.
    Combustible,
    /// The code does not settle it.
    Unsettled,
}

/// What a finish material implies.
pub const fn finish_of(surface: Surface) -> Finish {
    match surface {
        Surface::Gypsum
        | Surface::Plaster
        | Surface::Tile
        | Surface::Concrete
        | Surface::Masonry
        | Surface::Stone
        | Surface::Glass
        | Surface::Metal => Finish::Noncombustible,
        Surface::Wood | Surface::Plywood | Surface::Mdf => Finish::Combustible,
        Surface::Laminate
        | Surface::Vinyl
        | Surface::Frp
        | Surface::Fabric
        | Surface::AcousticTile
        | Surface::Other => Finish::Unsettled,
    }
}

/// Whether the finish at the box burns: as recorded, else as its material implies.
pub fn finish(world: &mut World<'_>) -> Finish {
    let burns = match world.fact(facts::SURFACE_COMBUSTIBLE) {
        Fact::Known(burns) => burns,
        Fact::Unreadable => world.ask(facts::SURFACE_COMBUSTIBLE),
        Fact::Blank | Fact::Absent => return finish_of(world.ask_by(facts::SURFACE, finish_of)),
    };
    if burns { Finish::Combustible } else { Finish::Noncombustible }
}

/// Whether the box stands on the finish instead of in it.
pub fn surface_mounted(world: &mut World<'_>) -> bool {
    world.heed(facts::BOX_MOUNT, BoxMount::Flush) == BoxMount::Surface
}

/// Whether the record says that there is no box.
pub fn without_box(world: &mut World<'_>) -> bool {
    let none = |kind| kind == BoxKind::None;
    none(world.heed_by(facts::BOX, BoxKind::DeviceBox, none))
}

/// Whether the outlet hangs: rules for the finish round a box do not reach it.
pub fn pendant(world: &mut World<'_>) -> bool {
    let pendant = |location| location == MountingLocation::Pendant;
    pendant(world.heed_by(facts::MOUNTING_LOCATION, MountingLocation::Wall, pendant))
}

/// Whether the outlet belongs to a patient bed location, as far as is recorded.
pub fn at_patient_bed(world: &mut World<'_>) -> bool {
    match world.fact(facts::BED_LOCATION) {
        Fact::Known(_) => true,
        Fact::Blank | Fact::Absent => false,
        Fact::Unreadable => {
            world.choose(FactRef::own(facts::BED_LOCATION.field), || vec![true, false])
        }
    }
}

/// Whether an edition is this one or a later one.
pub fn since(world: &mut World<'_>, edition: Edition) -> bool {
    world.edition() >= edition
}

/// Whether an edition names a place.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Reach {
    /// It does not.
    No,
    /// It names places like it: what complies complies, what violates is for the authority.
    Similar,
    /// It does.
    Yes,
}

impl Reach {
    /// Named when this holds.
    pub const fn when(named: bool) -> Self {
        if named { Self::Yes } else { Self::No }
    }
}
