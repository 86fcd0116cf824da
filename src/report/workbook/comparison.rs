//! The workbook of a comparison: how far the corrections have come, by trade and floor; every violation
//! with what became of it; claims held against what was found; facts that changed.

use std::collections::BTreeMap;
use std::io::{Seek, Write};

use crate::audit::{SubjectKind, subject_name};
use crate::compare::{Change, Held, Holding, Status};
use crate::report::comparison::{ComparisonReport, probability, verdict};
use crate::report::wording::{grouped, wrong};
use crate::report::{Report, cautions};
use crate::statistics::Paired;
use crate::statistics::natural::{FloorKey, NaturalKey};

use super::book::{Book, Guard};
use super::plan::{Block, Cell, Column, Paper, Plan, SECTION, Table, column};
use super::{FIGURES_TAB, Limits, UNDECIDED_TAB, WorkbookError, layout, properties, sources};

const NOTE: &str = "Both sides are judged by the same rules. Outlets are the same where building and outlet_id are. A violation \
counts as corrected only where the later side decided that there is none: where facts went missing it is unknown now, where its \
outlet left the schedule it is gone.";
const PAIRS: &str = "Shares are of the rows that stand on both sides, a row counting as one whatever its quantity, and a violation that is unknown now as \
still there. Only outlets that \
changed tell of a change: McNemar's test, exact up to 25 of them; the range of the difference is Newcombe's for pairs, at 95 %. Both \
take outlets as independent of each other; work that one hand did in one go is not, so the true range is wider.";
const SHIFTS: &str = "Facts of outlets on both sides that changed, the most outlets first, apart from outlets on which a list of corrections \
claims work: the same change on many outlets of a floor on one day may be a correction of the work, or of the paper alone. Go and see some \
of them.";
const NAMES: &str = "Outlets that stand on one side only, where one such outlet of each side is in the same room and on the same circuit. \
Nothing here was taken for granted: to count a pair as one outlet, write it into a table with the columns building, before and after \
and give that with --renamed.";

const STATUSES: [Column; 3] = [column("", 14, 24), column("Violations", 9, 12), column("", 7, 10)];

const COUNTS: [Column; 5] = [
    column("Open", 7, 10),
    column("New", 7, 10),
    column("Unknown now", 8, 10),
    column("Gone", 7, 10),
    column("Corrected", 8, 11),
];

const SHARES: [Column; 6] = [
    column("Outlets on both sides", 9, 12),
    column("With a violation before", 9, 12),
    column("After", 8, 10),
    column("Points lower", 9, 12),
    column("95 % range of it", 16, 20),
    column("p", 8, 13),
];

const CHANGES: [Column; 15] = [
    column("What became of it", 10, 13),
    column("Grade (ours)", 8, 13),
    column("Building", 8, 16),
    column("Floor", 6, 10),
    column("Room", 6, 14),
    column("Outlet or group", 9, 16),
    column("What is or was wrong", 20, 34),
    column("Before", 9, 13),
    column("After", 9, 14),
    column("What changed", 20, 44),
    column("Trade that corrects", 9, 14),
    SECTION,
    column("Rule", 10, 24),
    column("Claimed by", 9, 22),
    column("Source: file | sheet | row | cells", 20, 44),
];

const CLAIMS: [Column; 7] = [
    column("What it comes to", 12, 28),
    column("Rule", 10, 24),
    column("Building", 8, 16),
    column("Outlet", 9, 14),
    column("Claimed by", 10, 30),
    column("What changed", 20, 44),
    column("List: file | sheet | row", 20, 44),
];

const SHIFTED: [Column; 8] = [
    column("Outlets", 8, 10),
    column("Fact", 12, 24),
    column("Was", 10, 24),
    column("Is", 10, 24),
    column("Building", 8, 16),
    column("Floor", 6, 10),
    column("Observed on", 10, 12),
    column("Which", 20, 60),
];

/// Outlets of one change of a fact that are named.
const NAMED: usize = 12;

/// Writes the workbook of a comparison.
pub fn write(
    report: &ComparisonReport<'_>,
    limits: Limits,
    out: impl Write + Seek + Send,
) -> Result<(), WorkbookError> {
    let context = report.after.context;
    let page_header = layout::page_header(&context.project, context.date);
    let mut book = Book::new(&properties(&report.after), limits, page_header);
    let mut plans = vec![progress(report), changes(report)];
    plans.extend(report.holding.map(|holding| claims(report, holding)));
    plans.push(shifts(report));
    if !report.comparison.pairs.proposed.is_empty() {
        plans.push(names(report));
    }
    plans.push(Plan { name: "Sources before", ..sources::plan(&report.before) });
    plans.push(Plan { name: "Sources after", ..sources::plan(&report.after) });
    book.add(&plans, Guard::Open)?;
    book.save(out)
}

fn progress<'a>(report: &'a ComparisonReport<'a>) -> Plan<'a> {
    let heading = |text: &str| Block::Heading(text.to_owned());
    let comparison = report.comparison;
    let row = |status: Status| {
        let count = comparison.count(status) as u64;
        vec![
            Cell::Strong(status.word().to_owned()),
            Cell::Count(count),
            Cell::Note(report.meaning(status)),
        ]
    };
    let project = report.after.context.project.as_str();
    let title = if project.is_empty() {
        "What became of the violations".to_owned()
    } else {
        format!("What became of the violations: {project}")
    };
    let mut told = report.change_told(report.paired(&|_| true));
    told[..1].make_ascii_uppercase();
    Plan {
        name: "Progress",
        blocks: vec![
            Block::Title(title),
            Block::Warning(cautions::FIRST.to_owned()),
            Block::Paragraph(NOTE.to_owned()),
            Table::of(STATUSES.to_vec(), Status::ALL.map(row).into()).into(),
            Block::Paragraph(format!("{told}.")),
            heading("By trade that corrects"),
            by_trade(report).into(),
            heading("By floor"),
            by_floor(report).into(),
            Block::Paragraph(PAIRS.to_owned()),
            heading("Further cautions"),
            Block::Paragraph(cautions::ALL[1..].join(" ")),
        ],
        paper: Paper::Letter,
        register: false,
        tab: FIGURES_TAB,
    }
}

/// Counts of changes by status.
type Counts = BTreeMap<Status, u64>;

fn counts(counts: &Counts) -> impl Iterator<Item = Cell> {
    Status::ALL.into_iter().map(|status| Cell::Count(counts.get(&status).copied().unwrap_or(0)))
}

fn by_trade(report: &ComparisonReport<'_>) -> Table<'static> {
    let mut trades: BTreeMap<(NaturalKey, String), (String, Counts)> = BTreeMap::new();
    for change in &report.comparison.changes {
        let Some(stand) = report.stand(change) else { continue };
        let trade = stand.side.audit.trade(stand.finding).0;
        let folded = trade.to_lowercase();
        let line = trades.entry((NaturalKey::of(&folded), folded));
        let (_, counts) = line.or_insert_with(|| (trade.to_owned(), Counts::new()));
        *counts.entry(change.status).or_default() += 1;
    }
    let columns = [column("Trade", 14, 30)].into_iter().chain(COUNTS).collect();
    let row = |(trade, of): (String, Counts)| {
        std::iter::once(Cell::Strong(trade)).chain(counts(&of)).collect()
    };
    Table::of(columns, trades.into_values().map(row).collect())
        .or_else("No violation on either side.")
}

fn by_floor(report: &ComparisonReport<'_>) -> Table<'static> {
    type Floor<'a> = (&'a str, &'a str);
    let mut floors: BTreeMap<(NaturalKey, FloorKey), (Floor<'_>, Counts)> = BTreeMap::new();
    let key = |(building, floor): Floor<'_>| (NaturalKey::of(building), FloorKey::of(floor));
    let audit = report.before.audit;
    for outlet in 0..u32::try_from(audit.outlets.len()).unwrap_or(u32::MAX) {
        let place = audit.place(outlet);
        let floor = (place.building, place.floor);
        floors.entry(key(floor)).or_insert_with(|| (floor, Counts::new()));
    }
    for change in &report.comparison.changes {
        let Some(stand) = report.stand(change) else { continue };
        let place = stand.side.audit.place(stand.finding.first());
        let floor = (place.building, place.floor);
        let (_, counts) = floors.entry(key(floor)).or_insert_with(|| (floor, Counts::new()));
        *counts.entry(change.status).or_default() += 1;
    }
    let columns = [column("Building", 12, 24), column("Floor", 7, 14)];
    let columns = columns.into_iter().chain(COUNTS).chain(SHARES).collect();
    let row = |((building, floor), of): (Floor<'_>, Counts)| {
        let here = |outlet: u32| {
            let place = audit.place(outlet);
            (place.building, place.floor) == (building, floor)
        };
        let mut cells = vec![Cell::recorded(building), Cell::recorded(floor)];
        cells.extend(counts(&of));
        cells.extend(shares(report.paired(&here)));
        cells
    };
    Table::of(columns, floors.into_values().map(row).collect())
}

fn shares(paired: Paired) -> [Cell; 6] {
    const NONE: Cell = Cell::NoShare("none");
    let Some((difference, range)) = paired.difference() else {
        return [Cell::Count(0), NONE, NONE, NONE, Cell::Blank, Cell::Blank];
    };
    #[expect(clippy::cast_precision_loss, reason = "a share for people")]
    let share = |count: u64| Cell::Share(count as f64 / paired.all() as f64);
    let ends = [range.lower, range.upper].map(|end| format!("{:.1}", end * 100.0));
    let p = paired.mcnemar().map_or("none changed".to_owned(), |test| probability(test.p));
    [
        Cell::Count(paired.all()),
        share(paired.before()),
        share(paired.after()),
        Cell::Decimal(difference * 100.0),
        Cell::text(ends.join(" to ")),
        Cell::text(p),
    ]
}

fn changes<'a>(report: &'a ComparisonReport<'a>) -> Plan<'a> {
    let mut order: Vec<usize> = (0..report.comparison.changes.len()).collect();
    order.sort_by_cached_key(|place| walk(report, &report.comparison.changes[*place], *place));
    let claimed = claimed(report.holding);
    let rows = order.len();
    let table = Table::new(CHANGES.to_vec(), rows, move |row| {
        let place = order[row];
        let by = claimed.get(&place).cloned().unwrap_or_default();
        change_cells(report, &report.comparison.changes[place], by)
    });
    Plan {
        name: "Changes",
        blocks: vec![table.or_else("No violation on either side.").into()],
        paper: Paper::Tabloid,
        register: true,
        tab: 0x00B0_3A12,
    }
}

/// Walking order.
fn walk(
    report: &ComparisonReport<'_>,
    change: &Change,
    place: usize,
) -> (NaturalKey, FloorKey, NaturalKey, usize) {
    let at = report.stand(change).map(|stand| stand.side.audit.place(stand.finding.first()));
    let (building, floor, room) =
        at.map_or(("", "", ""), |place| (place.building, place.floor, place.room));
    (NaturalKey::of(building), FloorKey::of(floor), NaturalKey::of(room), place)
}

/// Who claims to have corrected each change.
fn claimed(holding: Option<&Holding>) -> BTreeMap<usize, String> {
    let claims = holding.into_iter().flat_map(|holding| &holding.claims);
    claims.filter_map(|(claim, _, change)| Some(((*change)?, claim.by.clone()))).collect()
}

fn change_cells(report: &ComparisonReport<'_>, change: &Change, by: String) -> Vec<Cell> {
    let Some(stand) = report.stand(change) else { return Vec::new() };
    let (finding, side) = (stand.finding, stand.side);
    let audit = side.audit;
    let place = audit.place(finding.first());
    vec![
        Cell::Strong(change.status.word().to_owned()),
        Cell::Grade(finding.rule.grade),
        Cell::text(place.building),
        Cell::text(place.floor),
        Cell::text(place.room),
        Cell::text(audit.subject(finding)),
        Cell::text(wrong(finding)),
        Cell::text(verdict(change.was)),
        Cell::text(verdict(change.is)),
        Cell::text(&change.what_changed),
        Cell::text(audit.trade(finding).0),
        Cell::text(audit.marked_citation(finding)),
        Cell::text(change.rule),
        Cell::text(by),
        Cell::text(side.source_cells(finding)),
    ]
}

fn claims<'a>(report: &'a ComparisonReport<'a>, holding: &'a Holding) -> Plan<'a> {
    let mut order: Vec<usize> = (0..holding.claims.len()).collect();
    let rank = |held: Held| Held::ALL.iter().position(|one| *one == held);
    order.sort_by_key(|place| (rank(holding.claims[*place].1), *place));
    let rows = order.len();
    let table = Table::new(CLAIMS.to_vec(), rows, move |row| {
        let (claim, held, change) = &holding.claims[order[row]];
        let changed = change.map(|change| report.comparison.changes[change].what_changed.as_str());
        vec![
            Cell::Strong(held.words().to_owned()),
            Cell::text(&claim.rule),
            Cell::text(&claim.building),
            Cell::text(&claim.outlet_id),
            Cell::text(&claim.by),
            Cell::text(changed.unwrap_or_default()),
            Cell::text(&claim.place),
        ]
    });
    let counts =
        Held::ALL.map(|held| format!("{} {}", grouped(holding.count(held) as u64), held.words()));
    let unclaimed = grouped(holding.unclaimed.len() as u64);
    Plan {
        name: "Claims",
        blocks: vec![
            Block::Title("What was claimed to be corrected".to_owned()),
            Block::Paragraph(format!(
                "{}; {unclaimed} corrected without a claim (they stand on the sheet Changes).",
                counts.join("; ")
            )),
            table.or_else("No line of the lists was filled in.").into(),
        ],
        paper: Paper::Tabloid,
        register: true,
        tab: UNDECIDED_TAB,
    }
}

fn shifts<'a>(report: &'a ComparisonReport<'a>) -> Plan<'a> {
    let audit = report.after.audit;
    let table = Table::new(SHIFTED.to_vec(), report.shifts.len(), move |row| {
        let shift = &report.shifts[row];
        let known = |text: &str| {
            if text.is_empty() { Cell::Faint("(unknown)") } else { Cell::text(text) }
        };
        let named = shift.outlets.iter().take(NAMED);
        let name =
            |outlet: &u32| subject_name(SubjectKind::Outlet, audit.outlet(*outlet), &audit.texts);
        let mut which: Vec<String> = named.map(|outlet| name(outlet).into()).collect();
        if let Some(more @ 1..) = shift.outlets.len().checked_sub(NAMED) {
            which.push(format!("and {more} more"));
        }
        vec![
            Cell::Count(shift.outlets.len() as u64),
            Cell::Strong(shift.fact.field.name().to_owned()),
            known(&shift.fact.before),
            known(&shift.fact.after),
            Cell::text(&shift.building),
            Cell::text(&shift.floor),
            Cell::text(&shift.observed_on),
            Cell::text(which.join(", ")),
        ]
    });
    Plan {
        name: "Changed facts",
        blocks: vec![
            Block::Title("Facts that changed and that nobody claims to have worked on".to_owned()),
            Block::Paragraph(SHIFTS.to_owned()),
            table.or_else("None.").into(),
        ],
        paper: Paper::Tabloid,
        register: true,
        tab: UNDECIDED_TAB,
    }
}

fn names<'a>(report: &'a ComparisonReport<'a>) -> Plan<'a> {
    let pairs = &report.comparison.pairs.proposed;
    let columns = vec![
        column("Building", 10, 20),
        column("Floor", 7, 14),
        column("Room", 8, 18),
        column("Circuit", 8, 16),
        column("Before", 10, 18),
        column("After", 10, 18),
    ];
    let table = Table::new(columns, pairs.len(), move |row| {
        let (before, after) = pairs[row];
        let name = |side: &Report<'_>, kind, outlet| {
            subject_name(kind, side.audit.outlet(outlet), &side.audit.texts).into_owned()
        };
        let place = report.before.audit.place(before);
        vec![
            Cell::text(place.building),
            Cell::text(place.floor),
            Cell::text(place.room),
            Cell::text(name(&report.before, SubjectKind::Circuit, before)),
            Cell::Strong(name(&report.before, SubjectKind::Outlet, before)),
            Cell::Strong(name(&report.after, SubjectKind::Outlet, after)),
        ]
    });
    Plan {
        name: "Other names",
        blocks: vec![
            Block::Title("Outlets that may go by another name now".to_owned()),
            Block::Paragraph(NAMES.to_owned()),
            table.into(),
        ],
        paper: Paper::Letter,
        register: true,
        tab: UNDECIDED_TAB,
    }
}
