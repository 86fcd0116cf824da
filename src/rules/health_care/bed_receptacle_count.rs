//! How many receptacles a patient bed location has.

use crate::code::{Citation, Confidence};
use crate::outlet::words::{CareCategory, RoomUse};
use crate::outlet::{Fact, Field, Outlet, facts};
use crate::rules::questions::has_receptacle;
use crate::rules::rule::rule;
use crate::rules::subject::Subject;
use crate::rules::verdict::{Bound, Measured, Missing, Verdict, Violation};
use crate::rules::world::Explorer;

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
const CATEGORY_2: u32 = 8;
const CATEGORY_1: u32 = 14;
const OPERATING_ROOM: u32 = 36;

/// What a verdict shows as its evidence, where it is recorded.
const READ: [Field; 4] =
    [Field::ReceptaclesOnYoke, Field::Quantity, Field::CareCategory, Field::RoomUse];

fn judge(subject: Subject<'_>, explorer: &mut Explorer) -> Verdict {
    explorer.set_evidence(subject.recorded(&READ));
    let sums = Sums::of(subject, None);
    if sums == Sums::NO_RECEPTACLE {
        return Verdict::NotApplicable("no receptacle belongs to the bed location");
    }
    let mut categories: Vec<CareCategory> =
        subject.members.iter().filter_map(|row| row.get(facts::CARE_CATEGORY).known()).collect();
    categories.sort_unstable();
    categories.dedup();
    match categories.as_slice() {
        [CareCategory::Category3 | CareCategory::Category4] => {
            Verdict::NotApplicable("neither category 1 nor category 2")
        }
        [] => weigh(
            subject,
            sums,
            Wanted { category_2: true, of_category_1: rooms(subject), none: true },
        ),
        [CareCategory::Category2] => {
            weigh(subject, sums, Wanted { category_2: true, of_category_1: &[], none: false })
        }
        [CareCategory::Category1] => weigh(
            subject,
            sums,
            Wanted { category_2: false, of_category_1: rooms(subject), none: false },
        ),
        _ => {
            let mut missing = Missing::default();
            missing.add_field(Field::CareCategory);
            Verdict::Undetermined(missing)
        }
    }
}

/// The numbers that may be asked for.
#[derive(Clone, Copy)]
struct Wanted {
    /// That of category 2.
    category_2: bool,
    /// Those of category 1: of ordinary and of operating rooms.
    of_category_1: &'static [u32],
    /// None at all: categories 3 and 4.
    none: bool,
}

impl Wanted {
    fn numbers(self) -> impl Iterator<Item = u32> {
        self.category_2.then_some(CATEGORY_2).into_iter().chain(self.of_category_1.iter().copied())
    }
}

/// What category 1 may ask for: 36 in an operating room, 14 elsewhere, either where a room is unknown.
fn rooms(subject: Subject<'_>) -> &'static [u32] {
    let mut rooms = subject.members.iter().map(|row| row.get(facts::ROOM_USE).known());
    if rooms.clone().any(|room| room == Some(RoomUse::OperatingRoom)) {
        &[OPERATING_ROOM]
    } else if rooms.all(|room| room.is_some()) {
        &[CATEGORY_1]
    } else {
        &[CATEGORY_1, OPERATING_ROOM]
    }
}

fn weigh(subject: Subject<'_>, sums: Sums, wanted: Wanted) -> Verdict {
    if wanted.numbers().all(|number| !sums.too_few(number)) {
        return Verdict::Complies;
    }
    if !wanted.none && wanted.numbers().all(|number| !sums.enough(number)) {
        let fewest = wanted.numbers().min().unwrap_or_default();
        let violation = TOO_FEW
            .measured(Measured::Count(sums.most().into()))
            .limit(Bound::CountAtLeast(fewest.into()));
        return Verdict::Violates(violation);
    }
    Verdict::Undetermined(missing(subject, sums, wanted))
}

/// The facts that alone, in some world, turn enough into too few.
fn missing(subject: Subject<'_>, sums: Sums, wanted: Wanted) -> Missing {
    let mut missing = Missing::default();
    let categories = wanted.none || wanted.category_2 && !wanted.of_category_1.is_empty();
    if categories && wanted.numbers().any(|number| sums.too_few(number)) {
        missing.add_field(Field::CareCategory);
    }
    if let [ordinary, operating] = wanted.of_category_1
        && (*ordinary..*operating).any(|sum| sums.has(sum))
    {
        missing.add_field(Field::RoomUse);
    }
    for (place, row) in subject.members.iter().enumerate() {
        let others = Sums::of(subject, Some(place));
        let options = Options::of(row);
        for number in wanted.numbers() {
            if options.may_be_none && options.device_matters(others, number) {
                missing.add_field(Field::Device);
            }
            if options.count_matters(others, number) {
                missing.add_field(Field::ReceptaclesOnYoke);
            }
        }
    }
    missing
}

/// How many receptacles a row may stand for.
#[derive(Clone, Copy)]
struct Options {
    /// Whether the row may be no receptacle.
    may_be_none: bool,
    /// On its yoke, at the least and at the most; nothing for a device without a receptacle.
    on_yoke: Option<(u32, u32)>,
    quantity: u32,
}

impl Options {
    fn of(row: &Outlet) -> Self {
        let device = row.get(facts::DEVICE);
        let receptacle = device.known().is_none_or(has_receptacle);
        let on_yoke = match row.get(facts::RECEPTACLES_ON_YOKE).known() {
            Some(number) => (number.into(), number.into()),
            None => (1, 4),
        };
        Self {
            may_be_none: matches!(device, Fact::Blank | Fact::Unreadable),
            on_yoke: receptacle.then_some(on_yoke),
            quantity: u32::from(row.get(facts::QUANTITY).known().unwrap_or(1)),
        }
    }

    fn counts(self) -> impl Iterator<Item = u32> {
        let (least, most) = self.on_yoke.unwrap_or((1, 0));
        (least..=most).map(move |number| number.saturating_mul(self.quantity))
    }

    /// Whether being a receptacle or not decides beside some sum of the others.
    fn device_matters(self, others: Sums, number: u32) -> bool {
        others.any(|sum, receptacle| {
            let without = receptacle && sum < number;
            self.counts().any(|count| (sum + count < number) != without)
        })
    }

    /// Whether the number on the yoke decides beside some sum of the others.
    fn count_matters(self, others: Sums, number: u32) -> bool {
        others.any(|sum, _| {
            let enough = |count: u32| sum + count >= number;
            self.counts().any(enough) && !self.counts().all(enough)
        })
    }
}

/// The sums that the rows can come to, each with whether any of them is a receptacle; as bits, the
/// largest number that is ever asked for standing for all above it.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Sums {
    without: bool,
    with: u64,
}

impl Sums {
    /// No row is a receptacle.
    const NO_RECEPTACLE: Self = Self { without: true, with: 0 };

    /// The sums of all rows but one.
    fn of(subject: Subject<'_>, but: Option<usize>) -> Self {
        let rows = subject.members.iter().enumerate().filter(|(place, _)| Some(*place) != but);
        rows.fold(Self::NO_RECEPTACLE, |sums, (_, row)| sums.plus(Options::of(row)))
    }

    fn plus(self, options: Options) -> Self {
        if options.on_yoke.is_none() {
            return self;
        }
        let mut sums = if options.may_be_none { self } else { Self { without: false, with: 0 } };
        self.any(|sum, _| {
            for count in options.counts() {
                sums.with |= 1 << (sum + count).min(OPERATING_ROOM);
            }
            false
        });
        sums
    }

    /// Whether a test holds of some sum.
    fn any(self, mut test: impl FnMut(u32, bool) -> bool) -> bool {
        self.without && test(0, false)
            || (0..=OPERATING_ROOM).any(|sum| self.has(sum) && test(sum, true))
    }

    const fn has(self, sum: u32) -> bool {
        self.with & (1 << sum) != 0
    }

    /// Whether some sum is too small.
    fn too_few(self, number: u32) -> bool {
        self.any(|sum, receptacle| receptacle && sum < number)
    }

    /// Whether some sum is large enough, or no row a receptacle.
    fn enough(self, number: u32) -> bool {
        self.any(|sum, receptacle| !receptacle || sum >= number)
    }

    const fn most(self) -> u32 {
        63_u32.saturating_sub(self.with.leading_zeros())
    }
}
