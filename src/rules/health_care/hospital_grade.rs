//! Hospital grade at patient beds.

use crate::code::{Citation, Confidence};
use crate::outlet::facts;
use crate::outlet::words::CareCategory;
use crate::rules::questions::{at_patient_bed, is_receptacle};
use crate::rules::rule::rule;
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

rule! {
    /// A receptacle at a patient bed of category 1 or 2 is listed as hospital grade.
    ///
    /// ## What it checks
    /// The listing of receptacles that belong to a bed location.
    ///
    /// ## Why it matters
    /// Plugs at a bed are pulled, bumped and rolled into; a contact that lets go can stop what keeps a patient
    /// alive.
    ///
    /// ## What to do
    /// Replace it by a receptacle that is listed as hospital grade.
    ///
    /// ## When it does not apply
    /// To receptacles that belong to no bed location, and to categories 3 and 4. Schedules of older buildings
    /// say critical care for category 1 and general care for category 2.
    ///
    /// ## When it cannot tell
    /// When the category or the listing is unknown.
    ///
    /// ## Sources
    /// A device maker's code page; a trade magazine on patient beds; a standards body's community page (2013).
    HOSPITAL_GRADE = "hospital-grade", Outlet, HealthCare, Latent,
    cite: Citation::all("517.18(B), 517.19(B)", Confidence::Two),
    asks: [CareCategory, HospitalGrade],
    heeds: [Device, BedLocation],
    check: Outlet(check),
}

const NOT_HOSPITAL_GRADE: Violation = Violation::new(
    "the receptacle at a patient bed is not listed as hospital grade",
    "replace it with one that is listed as hospital grade",
);

fn check(world: &mut World<'_>) -> Answer {
    let close = |care| matches!(care, CareCategory::Category1 | CareCategory::Category2);
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if !at_patient_bed(world) {
        return Answer::NotApplicable("not at a patient bed");
    }
    if !close(world.ask_by(facts::CARE_CATEGORY, close)) {
        return Answer::NotApplicable("neither category 1 nor category 2");
    }
    if world.ask(facts::HOSPITAL_GRADE) {
        Answer::Complies
    } else {
        Answer::Violates(NOT_HOSPITAL_GRADE)
    }
}
