//! The sheet of rulings: what the authority approved, with its reference, and what became of its other
//! rulings.

use crate::audit::Finding;
use crate::report::context::Report;
use crate::report::wording::{rulings_told, wrong};
use crate::rulings::{Answer, Ruled, Ruling, Standing};

use super::plan::{Block, Cell, Column, MARKS, Paper, Plan, SECTION, Table, column};

const NOTE: &str = "What the authority having jurisdiction approved is out of the counts of violations and questions, and stands \
here with its reference. A question that it refused counts as a violation. A ruling holds from its date to the end of its last \
day; a finding whose ruling has ended is back among the others.";

const RULING: [Column; 6] = [
    column("Ruling", 9, 12),
    column("By", 10, 24),
    column("Reference", 10, 22),
    column("Date", 10, 11),
    column("Until", 10, 11),
    column("Line of the file", 7, 9),
];

const FINDING: [Column; 10] = [
    column("What became of it", 14, 26),
    column("Grade (ours)", 8, 13),
    column("Building", 8, 16),
    column("Floor", 6, 10),
    column("Room", 6, 14),
    column("Outlet or group", 9, 14),
    column("What was found", 20, 34),
    SECTION,
    column("Rule", 10, 24),
    column("Source: file | sheet | row | cells", 20, 44),
];

const UNUSED: [Column; 6] = [
    column("Rule", 10, 26),
    column("Outlet", 9, 16),
    column("Building", 8, 16),
    column("Floor", 6, 10),
    column("Room", 6, 14),
    column("Trade", 8, 16),
];

/// The sheet, when there are rulings.
pub(super) fn plan<'a>(report: &'a Report<'a>) -> Option<Plan<'a>> {
    let ruled = report.rulings;
    if ruled.rulings.is_empty() {
        return None;
    }
    let mut blocks = vec![
        Block::Title("Rulings of the authority having jurisdiction".to_owned()),
        Block::Paragraph(NOTE.to_owned()),
        Block::Paragraph(rulings_told(ruled)),
        Block::Paragraph(MARKS.to_owned()),
    ];
    let unused = ruled.unused();
    if !unused.is_empty() {
        blocks.push(Block::Heading("Rulings about nothing that this audit found".to_owned()));
        blocks.push(unused_rulings(ruled, &unused).into());
    }
    blocks.push(Block::Heading("Findings with a ruling".to_owned()));
    let lines = report.in_walking_order(lines(report), |line| line.finding.first());
    let columns = FINDING.into_iter().chain(RULING).collect();
    let table = Table::new(columns, lines.len(), move |row| cells(report, &lines[row]));
    blocks.push(table.or_else("None.").into());
    Some(Plan { name: "Rulings", blocks, paper: Paper::Tabloid, register: true, tab: 0x006B_4C9A })
}

/// What became of a finding, in a few words.
pub(super) fn standing(ruling: &Ruling, standing: Standing) -> String {
    match (standing, ruling.until, ruling.date) {
        (Standing::Refused, ..) => "refused: it stands".to_owned(),
        (Standing::Deferred, ..) => "deferred: it stands".to_owned(),
        (Standing::Ended, Some(until), _) => format!("back: the ruling ended on {until}"),
        (Standing::NotYet, _, Some(date)) => format!("stands until the ruling of {date} holds"),
        (Standing::Ended | Standing::NotYet, ..) => "it stands".to_owned(),
    }
}

struct Line<'a> {
    finding: &'a Finding,
    ruling: &'a Ruling,
    became: String,
}

fn lines<'a>(report: &Report<'a>) -> Vec<Line<'a>> {
    let ruled = report.rulings;
    let approved = ruled.approved.iter().map(|(place, finding)| Line {
        finding,
        ruling: &ruled.rulings[*place],
        became: if finding.is_violation() {
            "approved: no longer counted".to_owned()
        } else {
            "approved: answered".to_owned()
        },
    });
    let others = report.audit.findings.iter().filter_map(|finding| {
        let (ruling, reason) = ruled.about(finding)?;
        Some(Line { finding, ruling, became: standing(ruling, reason) })
    });
    approved.chain(others).collect()
}

fn cells(report: &Report<'_>, line: &Line<'_>) -> Vec<Cell> {
    let Line { finding, ruling, .. } = line;
    let audit = report.audit;
    let place = audit.place(finding.first());
    let mut cells = vec![
        Cell::text(&line.became),
        Cell::Grade(finding.rule.grade),
        Cell::text(place.building),
        Cell::text(place.floor),
        Cell::text(place.room),
        Cell::Strong(audit.subject(finding).into()),
        Cell::text(wrong(finding)),
        Cell::text(audit.marked_citation(finding)),
        Cell::text(finding.rule.name),
        Cell::text(report.source_cells(finding)),
    ];
    cells.extend(of_ruling(ruling));
    cells
}

fn of_ruling(ruling: &Ruling) -> [Cell; 6] {
    let day = |day: Option<jiff::civil::Date>| day.map_or(Cell::Blank, Cell::Date);
    [
        Cell::text(Answer::word(ruling.answer)),
        Cell::text(&ruling.by),
        Cell::text(&ruling.reference),
        day(ruling.date),
        day(ruling.until),
        Cell::Count(ruling.line.into()),
    ]
}

fn unused_rulings(ruled: &Ruled, unused: &[usize]) -> Table<'static> {
    let row = |place: &usize| {
        let ruling = &ruled.rulings[*place];
        let texts = [
            &ruling.rule,
            &ruling.outlet_id,
            &ruling.building,
            &ruling.floor,
            &ruling.room,
            &ruling.trade,
        ];
        let mut cells: Vec<Cell> = texts.map(Cell::text).into();
        cells.extend(of_ruling(ruling));
        cells
    };
    let columns = UNUSED.into_iter().chain(RULING).collect();
    Table::of(columns, unused.iter().map(row).collect())
}
