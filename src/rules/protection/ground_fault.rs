//! The questions that both rules for ground-fault protection ask.

use crate::outlet::facts;
use crate::outlet::words::Occupancy;
use crate::rules::questions::{Reach, is_receptacle};
use crate::rules::verdict::Violation;
use crate::rules::world::{Answer, World};

use super::{place, rating};

/// Which of the two sections governs.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Section {
    /// 210.8(A), dwelling units.
    Dwelling,
    /// 210.8(B), everything else.
    Other,
}

const UNPROTECTED: Violation = Violation::new(
    "the receptacle has no ground-fault protection",
    "protect it with a GFCI receptacle, here or upstream, or with a GFCI circuit breaker",
);

/// What a rule for ground-fault protection tells apart among occupancies.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Dwelling,
    Industrial,
    Other,
}

const fn kind_of(occupancy: Occupancy) -> Kind {
    match occupancy {
        Occupancy::Dwelling => Kind::Dwelling,
        Occupancy::Industrial => Kind::Industrial,
        _ => Kind::Other,
    }
}

/// One outlet under one of the sections.
pub(super) fn check(world: &mut World<'_>, section: Section) -> Answer {
    if !is_receptacle(world) {
        return Answer::NotApplicable("not a receptacle");
    }
    if world.heed(facts::GFCI_EXCEPTION, false) {
        return Answer::NotApplicable("a listed exception applies");
    }
    let kind = kind_of(world.ask_by(facts::OCCUPANCY, kind_of));
    if (kind == Kind::Dwelling) != (section == Section::Dwelling) {
        return Answer::NotApplicable(match section {
            Section::Dwelling => "not a dwelling",
            Section::Other => "a dwelling; see gfci-dwelling",
        });
    }
    let reach = place::reach(world, section, kind);
    if reach == Reach::No {
        return Answer::NotApplicable("the edition does not name this place");
    }
    match rating::in_scope(world, section) {
        Ok(true) => protection(world, reach),
        Ok(false) => Answer::NotApplicable("not of the volts and amperes that the edition names"),
        Err(Answer::Unsettled) if world.ask(facts::GFCI) => Answer::Complies,
        Err(answer) => answer,
    }
}

fn protection(world: &mut World<'_>, reach: Reach) -> Answer {
    if world.ask(facts::GFCI) {
        Answer::Complies
    } else if reach == Reach::Similar {
        Answer::Authority("does supervision of this industrial place stand in for a GFCI?")
    } else {
        Answer::Violates(UNPROTECTED)
    }
}
