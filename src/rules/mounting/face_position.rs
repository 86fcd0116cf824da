//! Where the face of a receptacle stands against its faceplate.

use crate::code::{Citation, Confidence, Limit};
use crate::outlet::words::Material;
use crate::outlet::{Field, Length, facts};
use crate::rules::questions::is_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::{Bound, Measured, Violation};
use crate::rules::world::{Answer, World};

rule! {
    /// The face of a receptacle is flush with, or stands out of, its faceplate; out of a metal one by 0.4 mm.
    ///
    /// ## What it checks
    /// How far the face projects: at least 0.4 mm (0.015 in) from a metal faceplate, not recessed in any.
    ///
    /// ## Why it matters
    /// Behind a recessed face a plug does not seat and its blades stay bare; a metal plate that lies close to the
    /// blades can bridge them.
    ///
    /// ## What to do
    /// Bring the face out with spacers under the yoke, or use the faceplate that fits the device.
    ///
    /// ## When it does not apply
    /// Where no faceplate is in place (see box-cover), and to a listed kit or plate that is excepted, unless the
    /// plate is metal.
    ///
    /// ## When it cannot tell
    /// When the projection was not measured, or when it lies between flush and 0.4 mm and the material of the
    /// plate is unknown.
    ///
    /// ## Sources
    /// A trade magazine's code quiz on the position of receptacle faces; a thread of a code forum; the
    /// California Electrical Code 2022.
    FACE_POSITION = "face-position", Outlet, Faceplate, Latent,
    cite: Citation::all("406.5(D)", Confidence::Two),
    asks: [FaceplateMaterial, FaceProjection],
    heeds: [Device, Faceplate, FaceKit],
    limits: [Length(0), Limit::FACE_PROJECTION.length],
    amendable: [Limit::FACE_PROJECTION],
    check: Outlet(check),
}

const REMEDY: &str =
    "bring the face out with spacers under the yoke, or use the faceplate that fits the device";
const RECESSED: Violation =
    Violation::new("the face of the receptacle is recessed behind its faceplate", REMEDY)
        .measured(Measured::own(Field::FaceProjection))
        .limit(Bound::Words("flush or projecting"));
const NEAR_METAL: Violation =
    Violation::new("the face projects too little from a metal faceplate", REMEDY)
        .measured(Measured::own(Field::FaceProjection));

fn check(world: &mut World<'_>) -> Answer {
    let limit = world.limit(Limit::FACE_PROJECTION);
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !world.heed(facts::FACEPLATE, true) {
        return Answer::NotApplicable("no faceplate is in place; see box-cover");
    }
    if world.heed(facts::FACE_KIT, false)
        && world.ask(facts::FACEPLATE_MATERIAL) == Material::Nonmetallic
    {
        return Answer::NotApplicable("a listed kit or plate is excepted");
    }
    let projection = world.ask_length(facts::FACE_PROJECTION, &[Length(0), limit.length]);
    if projection >= limit.length {
        return Answer::Complies;
    }
    if projection < Length(0) {
        return Answer::Violates(RECESSED);
    }
    match world.ask(facts::FACEPLATE_MATERIAL) {
        Material::Nonmetallic => Answer::Complies,
        Material::Metal => Answer::Violates(NEAR_METAL.limit(Bound::AtLeast(limit))),
    }
}
