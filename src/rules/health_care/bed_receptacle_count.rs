//! How many receptacles a patient bed location has.

use crate::code::{Citation, Confidence};
use crate::outlet::words::{CareCategory, RoomUse};
use crate::outlet::{Fact, Field, Outlet, facts};
use crate::rules::questions::has_receptacle;
use crate::rules::rule::rule;
use crate::rules::verdict::{Bound, FactRef, Measured, Missing, Verdict, Violation};
use crate::rules::world::{Explorer, Subject};

rule! {
    /// A patient bed location has at least 8 receptacles in category 2, 14 in category 1, 36 in an operating
    /// room.
    ///
    /// ## What it checks
    /// The receptacles of the rows that belong to one bed location, a duplex being two.
    ///
    /// ## Why it matters
    /// Where there are too few, power strips and cords are laid between the beds.
    ///
    /// ## What to do
    /// Add hospital grade receptacles at the bed location.
    ///
    /// ## When it does not apply
    /// To categories 3 and 4, and to bed locations without a receptacle.
    ///
    /// ## When it cannot tell
    /// When the category, the room or a number is unknown and could matter; rows of different categories are a
    /// conflict. We count receptacles; one published answer counts devices: that is contested. Schedules of
    /// older buildings say critical care for category 1 and general care for category 2.
    ///
    /// ## Sources
    /// A device maker's code page; a trade magazine on patient beds; a standards body's community page (2013);
    /// for 36 in operating rooms a thread of a code forum.
    BED_RECEPTACLE_COUNT = "bed-receptacle-count", BedLocation, HealthCare, Latent,
    cite: Citation::of(["517.18(B), 517.19(B), 517.19(C)", "517.18(B), 517.19(B), 517.19(C)", "517.18(B), 517.19(B), 517.19(C)", "517.18(B), 517.19(B), 517.19(C)"], [Confidence::Two, Confidence::Two, Confidence::Two, Confidence::Two]),
    asks: [CareCategory, ReceptaclesOnYoke, RoomUse],
    heeds: [Device, Edition, Quantity],
    check: Group(judge),
}

const TOO_FEW: Violation = Violation::new(
    "the patient bed location has too few receptacles",
    "add hospital grade receptacles at the bed location",
);

/// What a bed location must have in category 2, in category 1, and in an operating room.
const CATEGORY_2: i64 = 8;
const CATEGORY_1: i64 = 14;
const OPERATING_ROOM: i64 = 36;

fn judge(subject: Subject<'_>, explorer: &mut Explorer) -> Verdict {
    explorer.set_evidence(evidence(subject));
    let count = Count::of(subject);
    if count.most == 0 {
        return Verdict::NotApplicable("no receptacle belongs to the bed location");
    }
    let mut categories: Vec<CareCategory> =
        subject.members.iter().filter_map(|row| row.get(facts::CARE_CATEGORY).known()).collect();
    categories.sort_unstable();
    categories.dedup();
    match categories.as_slice() {
        [] => undecided_category(subject, &count),
        [CareCategory::Category3 | CareCategory::Category4] => {
            Verdict::NotApplicable("neither category 1 nor category 2")
        }
        [category] => {
            let wanted = wanted(subject, *category);
            weigh(subject, &count, &wanted)
        }
        _ => undetermined(&[Field::CareCategory]),
    }
}

/// Without a category: enough for the highest one complies, else the category matters.
fn undecided_category(subject: Subject<'_>, count: &Count) -> Verdict {
    let mut wanted = wanted(subject, CareCategory::Category1);
    wanted.insert(0, CATEGORY_2);
    match weigh(subject, count, &wanted) {
        Verdict::Complies => Verdict::Complies,
        Verdict::Undetermined(mut missing) => {
            missing.add_field(Field::CareCategory);
            Verdict::Undetermined(missing)
        }
        _ => undetermined(&[Field::CareCategory]),
    }
}

/// The numbers that may be asked for, the smallest first.
fn wanted(subject: Subject<'_>, category: CareCategory) -> Vec<i64> {
    if category == CareCategory::Category2 {
        return vec![CATEGORY_2];
    }
    let rooms = subject.members.iter().map(|row| row.get(facts::ROOM_USE).known());
    if rooms.clone().any(|room| room == Some(RoomUse::OperatingRoom)) {
        vec![OPERATING_ROOM]
    } else if rooms.into_iter().all(|room| room.is_some()) {
        vec![CATEGORY_1]
    } else {
        vec![CATEGORY_1, OPERATING_ROOM]
    }
}

fn weigh(subject: Subject<'_>, count: &Count, wanted: &[i64]) -> Verdict {
    let (fewest, most) = (wanted[0], wanted[wanted.len() - 1]);
    if count.least >= most {
        return Verdict::Complies;
    }
    if count.most < fewest && count.surely {
        let violation =
            TOO_FEW.measured(Measured::Count(count.most)).limit(Bound::CountAtLeast(fewest));
        return Verdict::Violates(violation);
    }
    let mut missing = Missing::default();
    let crosses = |number: &i64| count.least < *number && count.most >= *number;
    if wanted.iter().any(crosses) || !count.surely {
        name_uncertain_rows(subject, wanted.iter().any(crosses), &mut missing);
    }
    if wanted.contains(&CATEGORY_1)
        && wanted.contains(&OPERATING_ROOM)
        && count.most >= CATEGORY_1
        && count.least < OPERATING_ROOM
    {
        missing.add_field(Field::RoomUse);
    }
    Verdict::Undetermined(missing)
}

/// Rows whose number, or whose being a receptacle at all, is unknown.
fn name_uncertain_rows(subject: Subject<'_>, number_matters: bool, missing: &mut Missing) {
    for row in subject.members {
        if may_be(row) {
            missing.add_field(Field::Device);
        }
        let receptacle = row.get(facts::DEVICE).known().is_none_or(has_receptacle);
        if number_matters && receptacle && !row.get(facts::RECEPTACLES_ON_YOKE).is_known() {
            missing.add_field(Field::ReceptaclesOnYoke);
        }
    }
}

fn undetermined(fields: &[Field]) -> Verdict {
    let mut missing = Missing::default();
    for field in fields {
        missing.add_field(*field);
    }
    Verdict::Undetermined(missing)
}

/// Whether a row may or may not be a receptacle.
fn may_be(row: &Outlet) -> bool {
    matches!(row.get(facts::DEVICE), Fact::Blank | Fact::Unreadable)
}

/// How many receptacles the rows have, at the least and at the most. Where no row is a receptacle for
/// sure, the least is that of the smallest row that may be one: without any, the rule is not reached.
#[derive(Default)]
struct Count {
    least: i64,
    most: i64,
    /// Whether at least one row is a receptacle for sure.
    surely: bool,
}

impl Count {
    fn of(subject: Subject<'_>) -> Self {
        let mut count = Self::default();
        let mut least_of_uncertain = i64::MAX;
        for row in subject.members {
            if !row.get(facts::DEVICE).known().is_none_or(has_receptacle) {
                continue;
            }
            let quantity = i64::from(row.get(facts::QUANTITY).known().unwrap_or(1));
            let (least, most) = match row.get(facts::RECEPTACLES_ON_YOKE).known() {
                Some(number) => (i64::from(number), i64::from(number)),
                None => (1, 4),
            };
            count.most += most * quantity;
            if may_be(row) {
                least_of_uncertain = least_of_uncertain.min(least * quantity);
            } else {
                count.least += least * quantity;
                count.surely = true;
            }
        }
        if !count.surely {
            count.least = least_of_uncertain;
        }
        count
    }
}

fn evidence(subject: Subject<'_>) -> Vec<FactRef> {
    const READ: [Field; 4] =
        [Field::ReceptaclesOnYoke, Field::Quantity, Field::CareCategory, Field::RoomUse];
    let rows = subject.members.iter().zip(0..);
    let facts = rows.flat_map(|(row, member)| {
        READ.into_iter()
            .filter(|field| row.raw(*field).is_known())
            .map(move |field| (member, field))
    });
    facts.map(|(member, field)| FactRef { member, field }).collect()
}
