//! The sheet of what could not be decided: facts that no schedule has a column for, told once; then what
//! each outlet lacks.

use std::collections::{BTreeMap, BTreeSet};

use crate::audit::finding::Gap;
use crate::audit::subject_name;
use crate::outlet::{Fact, Field, Outlet};
use crate::report::context::Report;
use crate::report::wording::{counted, grouped};
use crate::rules::{MissingFact, Rule, SubjectKind};

use super::plan::{Block, Cell, Column, Paper, Plan, Table, column};

const EVERYWHERE: &str = "Ask whoever keeps the schedules for these columns. Each holds up the rules beside it, with the number \
of verdicts that wait for it, some for other facts as well.";
const WIRES: &str = "Number of conductors in the box that are counted once, by size";

const FACTS: [Column; 6] = [
    column("Fact", 14, 26),
    column("Verdicts that wait", 10, 18),
    column("Rules that wait", 8, 18),
    column("Recorded as", 10, 24),
    column("What it is", 24, 46),
    column("Rules, each with its verdicts that wait", 24, 44),
];

const OUTLETS: [Column; 7] = [
    column("Building", 10, 26),
    column("Floor", 8, 18),
    column("Room", 8, 18),
    column("Outlet", 10, 24),
    column("Facts that would settle it", 24, 46),
    column("Rules that wait", 24, 44),
    column("Source: file | sheet | row", 20, 40),
];

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Plan<'a> {
    let absent = absent(report);
    let (here, elsewhere): (Vec<&Gap>, Vec<&Gap>) = report
        .audit
        .gaps
        .iter()
        .partition(|gap| gap.missing.facts().any(|fact| !absent.contains(&fact)));
    let here = report.in_walking_order(here, |gap| gap.outlet);
    let note = note(here.len() as u64, elsewhere.len() as u64);
    let present: BTreeSet<MissingFact> = waited_for(report).difference(&absent).copied().collect();
    let (absent_facts, present_facts) = (facts(report, &absent), facts(report, &present));
    let rows = here.len();
    let outlets = Table::new(OUTLETS.to_vec(), rows, move |row| line(report, here[row], &absent));
    Plan {
        name: "Undetermined",
        blocks: vec![
            Block::Title("What could not be decided, and what would settle it".to_owned()),
            Block::Heading("Facts that no schedule has a column for".to_owned()),
            Block::Paragraph(EVERYWHERE.to_owned()),
            absent_facts.or_else("Every fact that is waited for has a column.").into(),
            Block::Heading(
                "Facts that have a column and are blank, unreadable or in conflict".to_owned(),
            ),
            present_facts.or_else("None.").into(),
            Block::Heading("What each outlet lacks".to_owned()),
            Block::Paragraph(note),
            outlets.or_else("No outlet.").into(),
        ],
        paper: Paper::Letter,
        register: true,
        tab: super::UNDECIDED_TAB,
    }
}

/// The facts that verdicts wait for and that no schedule has a column for.
fn absent(report: &Report<'_>) -> BTreeSet<MissingFact> {
    let without_column =
        |fact: &MissingFact| !fact.fields().iter().any(|field| report.account.has_column(*field));
    waited_for(report).into_iter().filter(without_column).collect()
}

fn waited_for(report: &Report<'_>) -> BTreeSet<MissingFact> {
    report.audit.waiting.iter().flat_map(|waiting| waiting.missing.facts()).collect()
}

/// The facts, those that most verdicts wait for first.
fn facts(report: &Report<'_>, facts: &BTreeSet<MissingFact>) -> Table<'static> {
    let mut rows: Vec<(u64, Vec<Cell>)> =
        facts.iter().map(|fact| fact_row(report, *fact)).collect();
    rows.sort_by_key(|(waiting, _)| std::cmp::Reverse(*waiting));
    Table::of(FACTS.to_vec(), rows.into_iter().map(|(_, cells)| cells).collect())
}

fn fact_row(report: &Report<'_>, fact: MissingFact) -> (u64, Vec<Cell>) {
    let mut waiting: BTreeMap<&str, u64> = BTreeMap::new();
    for one in report.audit.waiting.iter().filter(|one| one.waits_for(fact)) {
        *waiting.entry(one.rule.name).or_default() += one.subjects;
    }
    let rules: Vec<String> =
        waiting.iter().map(|(rule, count)| format!("{rule} ({})", grouped(*count))).collect();
    let all = waiting.values().sum();
    let cells = vec![
        Cell::Strong(fact.name().to_owned()),
        Cell::Count(all),
        Cell::Count(waiting.len() as u64),
        Cell::text(fact.fields()[0].kind().name()),
        Cell::text(meaning(fact)),
        Cell::text(rules.join(", ")),
    ];
    (all, cells)
}

pub(super) fn meaning(fact: MissingFact) -> &'static str {
    match fact {
        MissingFact::Field(field) => field.info().meaning,
        MissingFact::Wires => WIRES,
    }
}

fn note(here: u64, elsewhere: u64) -> String {
    let here = match here {
        1 => "1 outlet lacks a fact that a schedule has a column for.".to_owned(),
        _ => format!(
            "{} lack facts that a schedule has a column for.",
            counted(here, "outlet", "outlets")
        ),
    };
    match elsewhere {
        0 => here,
        1 => format!("{here} 1 more waits only for the facts above and is not listed."),
        _ => format!(
            "{here} {} more wait only for the facts above and are not listed.",
            grouped(elsewhere)
        ),
    }
}

fn line(report: &Report<'_>, gap: &Gap, absent: &BTreeSet<MissingFact>) -> Vec<Cell> {
    let audit = report.audit;
    let outlet = audit.outlet(gap.outlet);
    let place = audit.place(gap.outlet);
    let facts: Vec<MissingFact> =
        gap.missing.facts().filter(|fact| !absent.contains(fact)).collect();
    let lacked: Vec<String> = facts.iter().map(|fact| told(outlet, *fact)).collect();
    let rules = gap.rules.iter().map(|rule| audit.selection.rules()[usize::from(*rule)]);
    let waiting: Vec<&str> =
        rules.filter(|rule| turns_on(rule, &facts)).map(|rule| rule.name).collect();
    vec![
        Cell::text(place.building),
        Cell::text(place.floor),
        Cell::text(place.room),
        Cell::Strong(subject_name(SubjectKind::Outlet, outlet, &audit.texts).into()),
        Cell::text(lacked.join(", ")),
        Cell::text(waiting.join(", ")),
        Cell::text(report.source(outlet.origin)),
    ]
}

/// The fact, and what is wrong with it when its cell is not merely blank.
fn told(outlet: &Outlet, fact: MissingFact) -> String {
    let states: Vec<Fact<i64>> = fact.fields().iter().map(|field| outlet.raw(*field)).collect();
    let name = fact.name();
    if states.contains(&Fact::Unreadable) {
        format!("{name} (cannot be read)")
    } else if states.iter().any(Fact::is_known) {
        format!("{name} (recorded here, missing beside it or in conflict)")
    } else {
        name.to_owned()
    }
}

fn turns_on(rule: &Rule, facts: &[MissingFact]) -> bool {
    let fields: Vec<Field> = facts.iter().flat_map(|fact| fact.fields()).copied().collect();
    rule.asks.iter().chain(rule.heeds).any(|field| fields.contains(field))
}
