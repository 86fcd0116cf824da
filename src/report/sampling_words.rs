//! What a sample is and what may be concluded from it, in sentences that the terminal and the workbooks
//! share.

use crate::sampling::characteristic::{count_at, share_at};
use crate::sampling::conclusion::{Conclusion, Decision, Line};
use crate::sampling::design::{Allocation, Design, Plan};
use crate::sampling::size::{FORMULA, least_chance};

use super::wording::{counted, grouped};

/// The notice that a building by itself is no stream of lots.
pub const ISOLATED: &str = "A building by itself is an isolated lot: the switching rules of MIL-STD-105E do not apply, and the limiting-quality plans \
of ISO 2859-2 are the right family where the consumer's risk matters. This plan protects as the figures above say, no more.";
/// What an interval is of.
pub const INTERVALS: &str = "Intervals hold at the confidence of the sample for outlets drawn at random from the listed population. Outlets that the \
schedule does not list are not in it.";

/// What the sample is for, and how large it has to be.
pub fn purpose(design: &Design) -> String {
    match design.plan {
        Plan::Estimate { confidence, margin, expected, n } => format!(
            "To estimate the rate of defective outlets to within {} at {} confidence, expecting {}: n = {}. {FORMULA}.",
            percent(margin).replace('%', "percentage points"),
            percent(confidence),
            percent(expected),
            grouped(n)
        ),
        Plan::Detect { confidence, rate, defective, n } => format!(
            "To find at least one defective outlet with {} confidence if {} of {} or more are defective ({}): n = {}, by the hypergeometric distribution.",
            percent(confidence),
            counted(defective, "outlet", "outlets"),
            grouped(design.population),
            percent(rate),
            grouped(n)
        ),
        Plan::Accept { aql, level, severity, letter, used, n, accept, reject } => {
            let arrow = if used == letter {
                String::new()
            } else {
                format!(" (the arrow leads to {used})")
            };
            let whole = if n >= design.population { ", which is every outlet" } else { "" };
            format!(
                "To accept or reject the lot at an acceptable quality level of {aql} %: MIL-STD-105E, single sampling, level {}, {}, code letter \
                 {letter}{arrow}: n = {}{whole}, Ac = {accept}, Re = {reject}.",
                level.word(),
                severity.word(),
                grouped(n)
            )
        }
    }
}

/// How the outlets were drawn.
pub fn drawn(design: &Design) -> String {
    let outlets = counted(design.drawn.len() as u64, "outlet", "outlets");
    let mut text = format!("{outlets} of {} drawn", grouped(design.population));
    if design.rooms {
        let rooms = design.strata.iter().filter_map(|stratum| stratum.rooms);
        let (all, n) = rooms.fold((0, 0), |sum, one| (sum.0 + one.population, sum.1 + one.n));
        let rooms = counted(n, "whole room", "whole rooms");
        text = format!("{text} in {rooms} of {}", grouped(all));
    }
    if !design.by.is_empty() {
        let by: Vec<&str> = design.by.iter().map(|by| by.word()).collect();
        let strata = counted(design.strata.len() as u64, "stratum", "strata");
        let allocation = match design.allocation {
            Allocation::Proportional => "proportional allocation",
            Allocation::Neyman => "Neyman's allocation by the rates of the earlier audit",
        };
        text = format!("{text} from {strata} by {}, {allocation}", by.join(", "));
    }
    format!("{text}; seed {} ({}).", design.seed, design.generator)
}

/// What a person should know of the draw.
pub fn remarks(design: &Design) -> Vec<String> {
    let mut remarks = Vec::new();
    let (drawn, n) = (design.drawn.len() as u64, design.plan.size());
    if design.rooms {
        remarks.push(
            "The size counts outlets drawn one by one. Outlets of one room are alike, so whole rooms tell less: the interval of the \
             estimate will say how much."
                .to_owned(),
        );
    } else if drawn > n {
        remarks.push(format!(
            "{} more than without strata, so that {}.",
            counted(drawn - n, "outlet", "outlets"),
            match design.plan {
                Plan::Detect { .. } => "each stratum has two where it has so many, and one is found in whatever strata they lie",
                Plan::Accept { .. } => "each stratum has two where it has so many; Ac and Re stay, so the lot is judged more strictly, and the figures \
                     below are those of all that is drawn",
                Plan::Estimate { .. } => "each stratum has two where it has so many",
            }
        ));
    }
    if matches!(design.plan, Plan::Accept { .. }) {
        remarks.extend(characteristic(design));
        remarks.push(ISOLATED.to_owned());
    }
    if matches!(design.plan, Plan::Detect { .. }) && design.strata.len() > 1 {
        let strata: Vec<(u64, u64)> =
            design.strata.iter().map(|stratum| (stratum.population, stratum.n)).collect();
        remarks.push(format!(
            "In whatever strata they lie, one of them is found with at least {} confidence.",
            percent(least_chance(&strata, design.plan.defective()))
        ));
    }
    remarks
}

/// What an acceptance plan lets through.
fn characteristic(design: &Design) -> Option<String> {
    let plan = design.inspected_plan()?;
    let at = |probability| {
        let count = grouped(count_at(&plan, design.population, probability));
        format!("{} ({count} of this lot)", percent(share_at(&plan, probability)))
    };
    Some(format!(
        "Operating characteristic: lots are accepted 95 times in 100 with {} defective, 50 times with {}, 10 times with {}.",
        at(0.95),
        at(0.5),
        at(0.1)
    ))
}

/// The decision, as a sentence.
pub fn decision(design: &Design, conclusion: &Conclusion) -> Option<String> {
    let line = conclusion.whole()?;
    let defective = counted(line.found.defective, "defective outlet", "defective outlets");
    let open = line.undetermined + line.uninspected;
    let (accept, reject) = match design.plan {
        Plan::Accept { accept, reject, .. } => (accept, reject),
        _ => (0, 1),
    };
    Some(match conclusion.decision? {
        Decision::Accept => format!("Accept: {defective} found, Ac {accept}."),
        Decision::AcceptAndReturnToNormal => format!(
            "Accept, and go back to normal inspection: {defective} found, between Ac {accept} and Re {reject}."
        ),
        Decision::Reject => format!("Reject: {defective} found, Re {reject}."),
        Decision::DefectiveFound => format!("Found: {defective} in the sample."),
        Decision::NoneFound => {
            let left = conclusion.at_most.map(|most| {
                format!(
                    " With {} confidence {} in the population are defective at most.",
                    percent(design.confidence()),
                    counted(most, "outlet", "outlets")
                )
            });
            format!("None found, and every drawn outlet decided.{}", left.unwrap_or_default())
        }
        Decision::Undecided => format!(
            "Not decided: {defective} found, and {} not inspected or not decided, which can change it.",
            counted(open, "outlet is", "outlets are")
        ),
    })
}

/// What outlets that were not inspected or not decided do to the figures.
pub fn open(line: &Line) -> Vec<String> {
    let mut told = Vec::new();
    if line.uninspected > 0 {
        told.push(format!(
            "{} of {} drawn not inspected. The estimate leaves them out, which is right only if they were left for reasons that have \
             nothing to do with their state; outlets behind locked doors are seldom like the others.",
            grouped(line.uninspected),
            counted(line.drawn, "outlet", "outlets")
        ));
    }
    if line.undetermined > 0 {
        told.push(format!(
            "{} with no violation found and something that could not be decided. They count as good in what was found, and either \
             way in the bounds.",
            counted(line.undetermined, "inspected outlet", "inspected outlets")
        ));
    }
    if line.uninspected + line.undetermined > 0 {
        let range = |estimate: &crate::sampling::estimate::Estimate| {
            let interval = estimate.interval();
            let rate = estimate.rate.map_or_else(|| "no rate".to_owned(), percent);
            format!("{rate} ({} to {})", percent(interval.lower), percent(interval.upper))
        };
        told.push(format!(
            "Bounds: if all of them are good {}, if all are defective {}.",
            range(&line.all_good),
            range(&line.all_defective)
        ));
    }
    told
}

/// What must be said of a survey that nobody filled in.
pub const AS_SCHEDULED: &str = "No line of this survey is filled in: what follows rests on what the schedule says of the drawn outlets. \
Nobody has looked at them, so it says nothing of the building beyond its schedule.";

/// A share in per cent.
pub fn percent(share: f64) -> String {
    let text = format!("{:.2}", share * 100.0);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    format!("{text} %")
}
