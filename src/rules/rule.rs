//! What a rule is, and how one is declared.

use crate::code::{Citation, Limit};
use crate::outlet::words::Edition;
use crate::outlet::{Field, Length};

use super::subject::Subject;
use super::verdict::{Missing, Verdict, VerdictKind};
use super::world::{Answer, Explorer, Moved, World};

/// How bad a violation is. For sorting: the grades are ours, and no part of the code.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Grade {
    /// A path to shock or fire as it stands.
    Danger,
    /// One foreseeable event (a spill, a loosened screw, a fault) away from it.
    Latent,
    /// Marking or finish.
    Workmanship,
}

impl Grade {
    /// All grades, the worst first.
    pub const ALL: [Self; 3] = [Self::Danger, Self::Latent, Self::Workmanship];

    /// Its word in files and reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Danger => "danger",
            Self::Latent => "latent",
            Self::Workmanship => "workmanship",
        }
    }

    /// What it means.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Danger => "a path to shock or fire as it stands",
            Self::Latent => "one foreseeable event away from shock or fire",
            Self::Workmanship => "marking or finish",
        }
    }
}

/// The kind of defect that a rule finds: the third axis of the statistics.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum DefectType {
    /// The box itself.
    Box,
    /// How the device is mounted.
    Mounting,
    /// The plate, the face and what they cover.
    Faceplate,
    /// Where the face looks.
    Orientation,
    /// What the device is listed for.
    UseListing,
    /// Volts between neighbouring devices.
    VoltageBetweenDevices,
    /// Volts, amperes and load.
    Rating,
    /// Grounding and bonding.
    Grounding,
    /// Damp and wet locations.
    DampAndWet,
    /// Tamper resistance.
    TamperResistance,
    /// Ground-fault protection.
    ShockProtection,
    /// Arc-fault protection.
    ArcProtection,
    /// Labels and marks.
    Marking,
    /// Patient care.
    HealthCare,
    /// Reach ranges.
    Accessibility,
}

impl DefectType {
    /// All types, in the order of reports.
    pub const ALL: [Self; 15] = [
        Self::Box,
        Self::Mounting,
        Self::Faceplate,
        Self::Orientation,
        Self::UseListing,
        Self::VoltageBetweenDevices,
        Self::Rating,
        Self::Grounding,
        Self::DampAndWet,
        Self::TamperResistance,
        Self::ShockProtection,
        Self::ArcProtection,
        Self::Marking,
        Self::HealthCare,
        Self::Accessibility,
    ];

    /// Its name in files and reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Box => "box",
            Self::Mounting => "mounting",
            Self::Faceplate => "faceplate",
            Self::Orientation => "orientation",
            Self::UseListing => "use listing",
            Self::VoltageBetweenDevices => "voltage between devices",
            Self::Rating => "rating",
            Self::Grounding => "grounding",
            Self::DampAndWet => "damp and wet",
            Self::TamperResistance => "tamper resistance",
            Self::ShockProtection => "shock protection",
            Self::ArcProtection => "arc protection",
            Self::Marking => "marking",
            Self::HealthCare => "health care",
            Self::Accessibility => "accessibility",
        }
    }
}

/// The trade that corrects a violation when the schedule names none.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum CorrectingTrade {
    /// Electricians.
    Electrical,
    /// Drywall, plaster, tile.
    Finishes,
    /// Furniture and its power units.
    Furnishings,
}

impl CorrectingTrade {
    /// Its name in files and reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Electrical => "electrical",
            Self::Finishes => "finishes",
            Self::Furnishings => "furnishings",
        }
    }
}

/// What a rule answers for.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum SubjectKind {
    /// A row of a schedule.
    Outlet,
    /// The rows of a building that share a box.
    Enclosure,
    /// The rows of a building that share a panel and a circuit.
    Circuit,
    /// The rows of a building that serve one patient bed location.
    BedLocation,
}

impl SubjectKind {
    /// All kinds.
    pub const ALL: [Self; 4] = [Self::Outlet, Self::Enclosure, Self::Circuit, Self::BedLocation];

    /// Its word in files and reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Outlet => "outlet",
            Self::Enclosure => "enclosure",
            Self::Circuit => "circuit",
            Self::BedLocation => "bed-location",
        }
    }
}

/// How a rule decides.
#[derive(Clone, Copy)]
pub enum Check {
    /// In one world of one outlet.
    Outlet(fn(&mut World<'_>) -> Answer),
    /// Over the outlets of a group.
    Group(fn(Subject<'_>, &mut Explorer) -> Verdict),
}

/// A rule of the catalogue.
pub struct Rule {
    /// Its name: a slug of trade words.
    pub name: &'static str,
    /// What it answers for.
    pub subject: SubjectKind,
    /// The kind of defect that it finds.
    pub defect: DefectType,
    /// How bad a violation is.
    pub grade: Grade,
    /// The trade that usually corrects a violation.
    pub corrects: CorrectingTrade,
    /// Where it stands in each edition.
    pub citation: Citation,
    /// Facts that are missing when they are blank.
    pub asks: &'static [Field],
    /// Facts that count when recorded and are never asked for.
    pub heeds: &'static [Field],
    /// Lengths at which its verdict changes.
    pub limits: &'static [Length],
    /// Limits of the code that a local amendment may change.
    pub amendable: &'static [Limit],
    /// Whether it runs only when named.
    pub on_request: bool,
    /// Its manual page, in Markdown: the first paragraph is its summary.
    pub manual: &'static str,
    /// How it decides.
    pub check: Check,
}

/// What a rule answers, and what a measurement of ordinary care could answer otherwise.
#[derive(Clone, PartialEq, Debug)]
pub struct Judgement {
    /// The verdict.
    pub verdict: Verdict,
    /// The measurement on which the verdict hangs, when it hangs on one.
    pub swing: Option<Swing>,
}

/// A recorded length that turns the verdict when it is moved by its resolution, either way.
#[derive(Clone, PartialEq, Debug)]
pub struct Swing {
    /// The field of the length; the subject is one outlet.
    pub field: Field,
    /// How finely it was measured.
    pub resolution: Length,
    /// The verdict one step away.
    pub otherwise: Verdict,
}

impl Judgement {
    /// Whether a violation or a compliance turns into another verdict when one recorded measurement is
    /// moved by its resolution.
    pub const fn is_borderline(&self) -> bool {
        self.swing.is_some() && matches!(self.verdict, Verdict::Violates(_) | Verdict::Complies)
    }

    /// The swing, when it parts right from wrong: a violation that could be none, or a verdict without
    /// fault that could be one, or could be open. That a rule is kept and that it does not reach its
    /// subject count as one here.
    pub fn to_measure_again(&self) -> Option<&Swing> {
        let swing = self.swing.as_ref()?;
        let fault =
            |verdict: &Verdict| !matches!(verdict, Verdict::Complies | Verdict::NotApplicable(_));
        (fault(&self.verdict) || fault(&swing.otherwise)).then_some(swing)
    }
}

impl std::fmt::Debug for Rule {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name)
    }
}

impl Rule {
    /// Whether a fact can matter to its verdict: it asks for it or heeds it, or the fact is the edition.
    pub fn reads(&self, field: Field) -> bool {
        field == Field::Edition || self.asks.contains(&field) || self.heeds.contains(&field)
    }

    /// The first paragraph of its manual page, as one line.
    pub fn summary(&self) -> String {
        let paragraph = self.manual.trim_start().split("\n\n").next().unwrap_or_default();
        paragraph.lines().map(str::trim).collect::<Vec<_>>().join(" ")
    }

    /// The verdict on a subject; `resolution` gives how finely a length of it was measured.
    ///
    /// The explorer keeps the evidence of the verdict until its next use.
    pub fn judge(
        &self,
        subject: Subject<'_>,
        explorer: &mut Explorer,
        resolution: &dyn Fn(Field) -> Length,
    ) -> Judgement {
        let Some(change) = subject.amended else {
            return self.judge_as_governed(subject, explorer, resolution);
        };
        if change.off {
            explorer.set_evidence(Vec::new());
            let verdict = Verdict::NotApplicable("switched off by a local amendment");
            return Judgement { verdict, swing: None };
        }
        let mut editions: Vec<Edition> =
            subject.editions.iter().map(|edition| change.edition(*edition)).collect();
        editions.sort_unstable();
        editions.dedup();
        let subject = Subject { editions: &editions, ..subject };
        self.judge_as_governed(subject, explorer, resolution)
    }

    /// The verdict under the editions that govern, amendments followed.
    fn judge_as_governed(
        &self,
        subject: Subject<'_>,
        explorer: &mut Explorer,
        resolution: &dyn Fn(Field) -> Length,
    ) -> Judgement {
        let verdict = self.verdict(subject, None, explorer);
        let decided = !matches!(verdict, Verdict::Undetermined(_) | Verdict::Authority(_));
        let measured = matches!(self.check, Check::Outlet(_)) && !explorer.lengths().is_empty();
        if !(decided && measured) {
            return Judgement { verdict, swing: None };
        }
        let inferences = explorer.park();
        let swing = self.swing(verdict.kind(), subject, explorer, resolution);
        explorer.restore(inferences);
        Judgement { verdict, swing }
    }

    /// The measurement that turns a verdict, the one that makes most difference where there are several.
    fn swing(
        &self,
        stands: VerdictKind,
        subject: Subject<'_>,
        explorer: &mut Explorer,
        resolution: &dyn Fn(Field) -> Length,
    ) -> Option<Swing> {
        let mut found: Option<Swing> = None;
        for place in 0..explorer.parked_lengths().len() {
            let fact = explorer.parked_lengths()[place];
            let record = subject.members[usize::from(fact.member)].raw(fact.field);
            let Some(value) = record.known() else { continue };
            let resolution = resolution(fact.field);
            for value in [value - resolution.0, value + resolution.0] {
                let otherwise = self.verdict(subject, Some(Moved { fact, value }), explorer);
                let rank = turn(stands, otherwise.kind());
                if rank > found.as_ref().map_or(0, |swing| turn(stands, swing.otherwise.kind())) {
                    found = Some(Swing { field: fact.field, resolution, otherwise });
                }
            }
        }
        found
    }

    fn verdict(
        &self,
        subject: Subject<'_>,
        moved: Option<Moved>,
        explorer: &mut Explorer,
    ) -> Verdict {
        let in_force = |edition: &Edition| match self.citation {
            Citation::Nfpa70(_) => self.citation.section(*edition).is_some(),
            Citation::Other { .. } => true,
        };
        if !subject.editions.iter().any(in_force) {
            explorer.set_evidence(Vec::new());
            return Verdict::NotApplicable(match subject.editions {
                [Edition::Other] => "under another code or edition",
                _ => "not in this edition",
            });
        }
        match self.check {
            Check::Group(judge) if subject.editions.iter().all(in_force) => {
                judge(subject, explorer)
            }
            Check::Group(judge) => {
                let editions: Vec<Edition> =
                    subject.editions.iter().copied().filter(in_force).collect();
                waiting_for_edition(judge(Subject { editions: &editions, ..subject }, explorer))
            }
            Check::Outlet(check) if subject.editions.iter().all(in_force) => {
                explorer.explore_rule(self, subject, moved, &check)
            }
            Check::Outlet(check) => explorer.explore_rule(self, subject, moved, &|world| {
                let edition = world.edition();
                if in_force(&edition) {
                    check(world)
                } else {
                    Answer::NotApplicable("not in this edition")
                }
            }),
        }
    }
}

/// How much difference a turn of the verdict makes: 0 for none, or for one that nobody has to hear of.
///
/// A rule that does not reach its subject matters only where a step makes it a violation.
const fn turn(stands: VerdictKind, otherwise: VerdictKind) -> u8 {
    use VerdictKind::{Authority, Complies, NotApplicable, Undetermined, Violates};
    match (stands, otherwise) {
        (Complies | NotApplicable, Violates) | (Violates, Complies) => 4,
        (Complies, Authority) | (Violates, NotApplicable) => 3,
        (Complies, Undetermined) | (Violates, Authority) => 2,
        (Complies, NotApplicable) | (Violates, Undetermined) => 1,
        _ => 0,
    }
}

/// The verdict on a group when one of its rows is under an edition without the rule: what the others
/// find hangs on which edition governs.
fn waiting_for_edition(verdict: Verdict) -> Verdict {
    let mut missing = match verdict {
        Verdict::Complies | Verdict::NotApplicable(_) => return verdict,
        Verdict::Violates(_) | Verdict::Authority(_) => Missing::default(),
        Verdict::Undetermined(missing) => missing,
    };
    missing.add_field(Field::Edition);
    Verdict::Undetermined(missing)
}

/// How finely a length is measured where a mapping does not say: 1/32 in for set-backs and gaps,
/// 0.005 in for the projection of a face, 1/2 in for everything else.
pub fn usual_resolution(field: Field) -> Length {
    match field {
        Field::BoxSetBack | Field::WallGap => Length(Length::INCH.0 / 32),
        Field::FaceProjection => Length(Length::INCH.0 / 200),
        _ => Length(Length::INCH.0 / 2),
    }
}

/// Declares a rule. Its doc comment is its manual page.
macro_rules! rule {
    (
        $(#[doc = $line:literal])*
        $constant:ident = $name:literal, $subject:ident, $defect:ident, $grade:ident,
        cite: $citation:expr,
        asks: [$($asks:ident),* $(,)?],
        heeds: [$($heeds:ident),* $(,)?],
        $(limits: [$($limit:expr),* $(,)?],)?
        $(amendable: [$($amendable:expr),* $(,)?],)?
        $(corrects: $corrects:ident,)?
        $(on_request: $on_request:literal,)?
        check: $kind:ident($check:path),
    ) => {
        $(#[doc = $line])*
        pub static $constant: $crate::rules::rule::Rule = $crate::rules::rule::Rule {
            name: $name,
            subject: $crate::rules::rule::SubjectKind::$subject,
            defect: $crate::rules::rule::DefectType::$defect,
            grade: $crate::rules::rule::Grade::$grade,
            corrects: rule!(@corrects $($corrects)?),
            citation: $citation,
            asks: &[$($crate::outlet::Field::$asks,)*],
            heeds: &[$($crate::outlet::Field::$heeds,)*],
            limits: &[$($($limit,)*)?],
            amendable: &[$($($amendable,)*)?],
            on_request: rule!(@on_request $($on_request)?),
            manual: concat!($($line, "\n",)*),
            check: $crate::rules::rule::Check::$kind($check),
        };
    };
    (@corrects) => { $crate::rules::rule::CorrectingTrade::Electrical };
    (@corrects $corrects:ident) => { $crate::rules::rule::CorrectingTrade::$corrects };
    (@on_request) => { false };
    (@on_request $on_request:literal) => { $on_request };
}

pub(super) use rule;
