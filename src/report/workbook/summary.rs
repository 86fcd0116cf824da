//! The first sheet: what was audited, how it came out, what share could be decided, and the cautions.

use std::collections::BTreeMap;

use crate::audit::run::devices;
use crate::audit::tally::Totals;
use crate::outlet::words::Edition;
use crate::outlet::{Word as _, facts};
use crate::report::cautions;
use crate::report::context::{Context, Report};
use crate::report::wording::{counted, grouped, rulings_told};
use crate::rules::{Grade, VerdictKind};
use crate::statistics::{Figures, FloorLine, Line};

use super::plan::{Bars, Block, Cell, Column, Paper, Plan, Table, column};
use super::styles::grade_colour;
use super::{by_trade, figures, measure_again};

/// Lines of a short table.
const SHORT: usize = 8;
const OTHER_EDITION: &str = "another code or edition: not judged here, which is no pass";
const NO_EDITION: &str = "no edition recorded: tried in all four";

const PLACE: Column = column("", 24, 40);
/// Columns of a table with a remark.
const ON_TO: usize = 6;
/// A column that only carries a remark on to the right.
const ON: Column = column("", 8, 12);

/// The title of the workbook.
pub(super) fn title(context: &Context) -> String {
    if context.project.is_empty() {
        "Audit of receptacle outlets".to_owned()
    } else {
        format!("Audit of receptacle outlets: {}", context.project)
    }
}

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Plan<'a> {
    let statistics = report.statistics;
    let heading = |text: &str| Block::Heading(text.to_owned());
    let mut blocks = vec![
        Block::Title(title(report.context)),
        Block::Warning(cautions::FIRST.to_owned()),
        Block::Pairs(head(report)),
    ];
    blocks.extend(alarms(report).into_iter().map(Block::Warning));
    blocks.extend([heading("Verdicts"), verdicts(report).into()]);
    blocks.push(Block::Paragraph(decided(report)));
    blocks.extend([
        heading("Violations by grade (the grades are ours)"),
        grades(&statistics.by_grade).into(),
    ]);
    blocks.extend([heading("Editions of NFPA 70 that govern"), editions(report).into()]);
    blocks.push(heading("Further cautions"));
    blocks.extend(cautions::ALL[1..].iter().map(|text| Block::Paragraph((*text).to_owned())));
    blocks.push(heading("How the figures are counted"));
    blocks.push(Block::Paragraph(figures::note()));
    blocks.push(Block::Paragraph(format!("Trades: {}", by_trade::NOTE)));
    blocks.extend([Block::PageBreak, heading("Violations by defect type, most first")]);
    blocks.extend(defect_types(&statistics.by_defect_type));
    blocks.push(heading("Floors"));
    blocks.extend(floors(&statistics.by_floor));
    blocks.push(heading("Trades"));
    blocks.extend(trades(&statistics.by_trade));
    Plan { name: "Summary", blocks, paper: Paper::LetterUpright, register: false, tab: 0x001F_3A52 }
}

fn head(report: &Report<'_>) -> Vec<(&'static str, Cell)> {
    let all = &report.statistics.all;
    let totals = Totals::of(&report.audit.tallies);
    let faults = report.account.sheets().map(|sheet| sheet.faults.len() as u64).sum();
    let project = report.context.project.as_str();
    vec![
        ("Project", Cell::text(if project.is_empty() { "(not named)" } else { project })),
        ("Date of the audit", Cell::Date(report.context.date)),
        ("Outlets", Cell::Count(all.outlets)),
        ("Rows of the schedules", Cell::Count(all.rows)),
        ("Outlets with a violation", Cell::Count(all.violating)),
        ("Violations", Cell::Count(all.all_violations())),
        (
            "Share of verdicts decided",
            Cell::share(totals.decided_share(), "no rule reached an outlet"),
        ),
        (
            "Measurements to take again",
            Cell::Count(measure_again::listed(report.audit).count() as u64),
        ),
        ("Files read", Cell::Count(report.account.inputs.len() as u64)),
        ("Faults of the schedules", Cell::Count(faults)),
        ("Made by", Cell::text(format!("yokecheck {}", report.context.version))),
    ]
}

/// What makes the figures incomplete, or other than the rules alone would.
fn alarms(report: &Report<'_>) -> Vec<String> {
    let mut alarms = Vec::new();
    if !report.rulings.rulings.is_empty() {
        alarms.push(rulings_told(report.rulings));
    }
    let problems = report.account.problems.len() as u64;
    if problems > 0 {
        let inputs = counted(problems, "input", "inputs");
        alarms
            .push(format!("{inputs} could not be read, or not to the end: see the sheet Sources."));
    }
    let crashes = report.audit.crashes.len() as u64;
    if crashes > 0 {
        let subjects = counted(crashes, "verdict", "verdicts");
        alarms.push(format!(
            "{subjects} could not be reached because a rule failed: see the sheet Sources."
        ));
    }
    alarms
}

fn editions(report: &Report<'_>) -> Table<'static> {
    let mut counts: BTreeMap<Option<Edition>, u64> = BTreeMap::new();
    for outlet in &report.audit.outlets {
        *counts.entry(outlet.get(facts::EDITION).known()).or_default() += devices(outlet);
    }
    let unknown = counts.remove(&None);
    let mut rows: Vec<Vec<Cell>> = counts
        .iter()
        .filter_map(|(edition, count)| edition.map(|edition| edition_row(edition, *count)))
        .collect();
    if let Some(count) = unknown {
        let cells = vec![Cell::text("not recorded"), Cell::Count(count), Cell::Note(NO_EDITION)];
        rows.push(carried_on(cells));
    }
    let columns = vec![PLACE.named("Edition"), column("Outlets", 8, 12), ON, ON, ON, ON];
    Table::of(columns, rows).or_else("No outlet was read.")
}

fn edition_row(edition: Edition, count: u64) -> Vec<Cell> {
    let note = if edition == Edition::Other { Cell::Note(OTHER_EDITION) } else { Cell::Blank };
    carried_on(vec![Cell::text(edition.word()), Cell::Count(count), note])
}

/// A row with blank cells after it, over which its remark runs on.
fn carried_on(mut cells: Vec<Cell>) -> Vec<Cell> {
    cells.resize(ON_TO, Cell::Blank);
    cells
}

fn verdicts(report: &Report<'_>) -> Table<'static> {
    let totals = Totals::of(&report.audit.tallies);
    let row = |kind: VerdictKind| {
        let count = Cell::Count(totals.count(kind));
        carried_on(vec![Cell::text(kind.word()), count, Cell::Note(kind.meaning())])
    };
    let meaning = column("Meaning", 8, 12);
    let columns = vec![PLACE.named("Verdict"), column("Verdicts", 8, 12), meaning, ON, ON, ON];
    Table::of(columns, VerdictKind::ALL.map(row).into())
}

fn decided(report: &Report<'_>) -> String {
    let totals = Totals::of(&report.audit.tallies);
    let reached = totals.reached();
    let open = totals.count(VerdictKind::Undetermined);
    let reached = counted(reached, "verdict", "verdicts");
    format!(
        "A rule reaches its subject in {reached}; {} of them wait for facts, named on the sheet \
         Undetermined. What is not decided is not passed.",
        grouped(open)
    )
}

fn grades(lines: &[Line]) -> Table<'_> {
    let columns = vec![
        PLACE.named("Grade"),
        column("Violations", 8, 12),
        column("Outlets", 8, 12),
        column("Meaning", 8, 12),
        ON,
        ON,
    ];
    Table::new(columns, lines.len(), |row| {
        let (grade, figures) = (Grade::ALL[row], &lines[row].figures);
        carried_on(vec![
            Cell::Grade(grade),
            Cell::Count(figures.all_violations()),
            Cell::Count(figures.violating),
            Cell::Note(grade.meaning()),
        ])
    })
}

/// The types with a violation, most first, and their chart.
fn defect_types(lines: &[Line]) -> Vec<Block<'_>> {
    let mut found: Vec<&Line> =
        lines.iter().filter(|line| line.figures.all_violations() > 0).collect();
    found.sort_by_key(|line| std::cmp::Reverse(line.figures.all_violations()));
    if found.is_empty() {
        return vec![Block::Paragraph(
            "No violation was found among the verdicts that could be decided.".to_owned(),
        )];
    }
    let mut columns = vec![PLACE.named("Defect type"), column("Violations", 8, 12)];
    columns.extend(Grade::ALL.map(|grade| column(grade.word(), 8, 12)));
    columns.push(column("Outlets with a violation", 8, 12));
    let table = Table::new(columns, found.len(), move |row| {
        let Line { name, figures } = found[row];
        let mut cells = vec![Cell::text(name), Cell::Count(figures.all_violations())];
        cells.extend(figures.violations.map(Cell::Count));
        cells.push(Cell::Count(figures.violating));
        cells
    });
    let bars = Bars {
        title: "Violations by defect type and grade",
        names: 0,
        figures: (2..).zip(Grade::ALL.map(grade_colour)).collect(),
    };
    vec![table.into(), Block::Chart(bars)]
}

const FIGURES: [Column; 4] = [
    column("Outlets", 8, 12),
    column("With a violation", 9, 12),
    column("Share with a violation", 9, 12),
    column("Violations", 8, 12),
];

fn short_figures(figures: &Figures) -> [Cell; 4] {
    let [outlets, violating, share] = figures::outlets(figures);
    [outlets, violating, share, Cell::Count(figures.all_violations())]
}

/// The lines with the most violations where there are too many, in their own order.
fn worst<T>(lines: &[T], violations: impl Fn(&T) -> u64) -> Vec<&T> {
    let mut places: Vec<usize> = (0..lines.len()).collect();
    places.sort_by_key(|place| std::cmp::Reverse(violations(&lines[*place])));
    places.truncate(SHORT);
    places.sort_unstable();
    places.into_iter().map(|place| &lines[place]).collect()
}

fn shortened(all: usize, sheet: &str) -> Option<Block<'static>> {
    let text =
        format!("The {SHORT} with the most violations of {all}; all stand on the sheet {sheet}.");
    (all > SHORT).then_some(Block::Paragraph(text))
}

fn floors(lines: &[FloorLine]) -> Vec<Block<'_>> {
    let shown = worst(lines, |line| line.figures.all_violations());
    let mut columns = vec![PLACE.named("Building"), column("Floor", 8, 12)];
    columns.extend(FIGURES);
    let table = Table::new(columns, shown.len(), move |row| {
        let line = shown[row];
        let mut cells = vec![Cell::recorded(&line.building), Cell::recorded(&line.floor)];
        cells.extend(short_figures(&line.figures));
        cells
    });
    let mut blocks = vec![table.or_else("No outlet was read.").into()];
    blocks.extend(shortened(lines.len(), "By floor"));
    blocks
}

fn trades(lines: &[Line]) -> Vec<Block<'_>> {
    let shown = worst(lines, |line| line.figures.all_violations());
    let mut columns = vec![PLACE.named("Trade")];
    columns.extend(FIGURES);
    let table = Table::new(columns, shown.len(), move |row| {
        let line = shown[row];
        let mut cells = vec![Cell::recorded(&line.name)];
        cells.extend(short_figures(&line.figures));
        cells
    });
    let mut blocks = vec![table.or_else("No outlet was read.").into()];
    blocks.extend(shortened(lines.len(), "By trade"));
    blocks
}
