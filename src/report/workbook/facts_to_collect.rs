//! The sheet of facts to collect: what each holds up, and the order that decides the most soonest.

use crate::outlet::Field;
use crate::report::context::Report;
use crate::report::wording::{counted, grouped};
use crate::rules::MissingFact;
use crate::survey::{FactLine, Step, Survey};

use super::plan::{Block, Cell, Column, Paper, Plan, Table, column};
use super::undetermined::meaning;

/// Steps told in a sentence.
const TOLD: usize = 3;

const HONEST: &str = "A verdict counts as decided here once every fact that it names is collected. What comes in may do more: \
one fact can settle a verdict by itself, whatever the others are. It may also bring up a fact that nobody had to ask for \
before, so run the audit again after each round. Facts that stand in one step \
belong together: one by one they would decide little.";
const SAFETY: &str = "Facts inside a box are collected by qualified persons, with the circuit de-energised, locked out and \
verified dead before the cover comes off.";

const STEPS: [Column; 6] = [
    column("Step", 5, 6),
    column("Collect", 26, 40),
    column("Rows to see", 10, 14),
    column("Verdicts that this decides", 10, 14),
    column("Decided so far", 10, 14),
    column("Share of verdicts decided then", 12, 40),
];

const FACTS: [Column; 9] = [
    column("", 5, 6),
    column("Fact", 26, 40),
    column("Verdicts that wait for it", 10, 14),
    column("For it alone", 10, 14),
    column("Rules that wait", 10, 14),
    column("Is there a column?", 12, 40),
    column("Rows: no column", 10, 14),
    column("Rows: cell blank", 10, 14),
    column("Rows: cell not readable", 10, 14),
];
const MORE: [Column; 2] =
    [column("What it is", 24, 56), column("Rules, each with its verdicts", 24, 60)];

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Plan<'a> {
    let survey = Survey::of(report.audit);
    let mut blocks = vec![Block::Title("Facts to collect".to_owned())];
    blocks.push(Block::Paragraph(promise(&survey)));
    if survey.waiting > 0 {
        blocks.extend([HONEST, SAFETY].map(|text| Block::Paragraph(text.to_owned())));
        blocks.extend([heading("In which order"), steps(report, &survey).into()]);
        blocks.extend([heading("What each fact holds up"), facts(report, survey.facts).into()]);
    }
    Plan {
        name: "Facts to collect",
        blocks,
        paper: Paper::Tabloid,
        register: false,
        tab: super::UNDECIDED_TAB,
    }
}

fn heading(text: &str) -> Block<'static> {
    Block::Heading(text.to_owned())
}

/// What the first steps bring, in a sentence.
fn promise(survey: &Survey) -> String {
    let waiting = match survey.waiting {
        0 => return "No verdict waits for a fact: there is nothing to collect.".to_owned(),
        1 => "1 verdict waits for facts.".to_owned(),
        count => format!("{} wait for facts.", counted(count, "verdict", "verdicts")),
    };
    let told = survey.steps.iter().take(TOLD).enumerate().map(|(place, step)| {
        let facts = spoken(step);
        let so_far = grouped(step.decided_so_far);
        match place {
            0 if step.decided_so_far == 1 => format!("With {facts}, 1 of them is decided"),
            0 => format!("With {facts}, {so_far} of them are decided"),
            _ => format!("with {facts} too, {so_far}"),
        }
    });
    format!("{waiting} {}.", told.collect::<Vec<_>>().join("; "))
}

fn names(step: &Step) -> Vec<&'static str> {
    step.facts.iter().map(|fact| fact.name()).collect()
}

/// `one`, `one and two`, `one, two and three`.
fn spoken(step: &Step) -> String {
    match names(step).as_slice() {
        [before @ .., last] if !before.is_empty() => format!("{} and {last}", before.join(", ")),
        names => names.concat(),
    }
}

#[expect(clippy::cast_precision_loss, reason = "a share for people")]
fn steps(report: &Report<'_>, survey: &Survey) -> Table<'static> {
    let reached = report.statistics.all.reached.max(1) as f64;
    let open = report.statistics.all.reached.saturating_sub(survey.waiting) as f64;
    let row = |(step, place): (&Step, u64)| {
        vec![
            Cell::Count(place),
            Cell::Strong(names(step).join(", ")),
            Cell::Count(step.rows),
            Cell::Count(step.decided),
            Cell::Count(step.decided_so_far),
            Cell::Share((open + step.decided_so_far as f64) / reached),
        ]
    };
    Table::of(STEPS.to_vec(), survey.steps.iter().zip(1..).map(row).collect())
}

fn facts<'a>(report: &'a Report<'a>, lines: Vec<FactLine>) -> Table<'a> {
    let mut columns = FACTS.to_vec();
    columns.extend(MORE);
    Table::new(columns, lines.len(), move |row| {
        let line = &lines[row];
        let rules = line.rules.iter().map(|(rule, count)| format!("{rule} ({})", grouped(*count)));
        vec![
            Cell::Blank,
            Cell::Strong(line.fact.name().to_owned()),
            Cell::Count(line.waiting),
            Cell::Count(line.alone),
            Cell::Count(line.rules.len() as u64),
            Cell::text(column_of(report, line)),
            Cell::Count(line.without_column),
            Cell::Count(line.blank),
            Cell::Count(line.unreadable),
            Cell::text(meaning(line.fact)),
            Cell::text(rules.collect::<Vec<_>>().join(", ")),
        ]
    })
}

/// Whether the schedules have a column for the fact.
fn column_of(report: &Report<'_>, line: &FactLine) -> &'static str {
    let has = |field: &Field| report.account.has_column(*field);
    let fields = line.fact.fields();
    let known = fields.iter().any(has);
    match (known, line.without_column, line.fact) {
        (false, _, _) => "no schedule has one: ask for it",
        (true, 0, MissingFact::Field(_)) => "yes: fill in the cells",
        (true, 0, MissingFact::Wires) => "yes, in part: fill in the cells",
        (true, _, _) => "some schedules have none",
    }
}
