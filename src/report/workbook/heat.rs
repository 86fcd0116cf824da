//! The heat table: floors and trades down, defect types across, shaded; then the rooms and the buildings
//! with the most violations. Counts lead to the first of their violations.

use std::collections::BTreeMap;

use crate::report::context::Report;
use crate::report::wording::grouped;
use crate::rules::VerdictKind;
use crate::statistics::breakdown::LEAST_FOR_A_RATE;
use crate::statistics::{Figures, Line};

use super::plan::{Block, Cell, Column, Paper, Plan, Table, column};
use super::{difference, figures, violations};

/// Rooms that are listed.
const ROOMS: usize = 25;
/// Columns before those of the defect types.
const BEFORE: u16 = 3;

const COUNTS: &str = "How many violations of each type stand where: the darker, the more. A count leads to the first of its \
violations on the sheet Violations, which is sorted by building, floor and room; those of a trade stand apart there.";
const RATES: &str = "Violations of each type per 100 outlets of the floor: the darker, the more. An outlet may have several. No \
rate is told for fewer than 5 outlets.";
const TRADES: &str = "Violations stand with the trade that is to correct them. Rates would mislead here: the outlets that a \
trade installed are not those whose violations it corrects.";

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Option<Plan<'a>> {
    let statistics = report.statistics;
    if statistics.all.all_violations() == 0 {
        return None;
    }
    let marks = Marks::of(report);
    let heading = |text: &str| Block::Heading(text.to_owned());
    let floors = statistics.by_floor.iter().zip(&statistics.floors_by_defect_type);
    let named = floors.filter(|(line, _)| !line.floor.is_empty());
    let mixes: Vec<Vec<u64>> = named.map(|(_, counts)| counts.clone()).collect();
    let mut blocks = vec![
        Block::Title("Where which defects stand".to_owned()),
        heading("Violations by floor and defect type"),
        Block::Paragraph(COUNTS.to_owned()),
        floor_counts(report, &marks).into(),
        Block::Paragraph(difference::mix(("floor", "floors"), &mixes)),
        heading("The same per 100 outlets"),
        Block::Paragraph(RATES.to_owned()),
        floor_rates(report).into(),
        heading("Violations by trade and defect type"),
        Block::Paragraph(TRADES.to_owned()),
        trade_counts(report, &marks).into(),
        heading("Rooms with the most violations"),
        rooms(report, &marks).into(),
    ];
    let all = statistics.by_room.len();
    if all > ROOMS {
        blocks.push(Block::Paragraph(format!(
            "The first {ROOMS} of {} rooms with a violation.",
            grouped(all as u64)
        )));
    }
    if statistics.by_building.len() > 1 {
        blocks.push(heading("Buildings, the greatest share of outlets with a violation first"));
        blocks.push(buildings(report, &marks).into());
        let named = super::hazard::named(&statistics.by_building);
        let sentence = difference::between(("building", "buildings"), named);
        blocks.push(Block::Paragraph(sentence));
    }
    Some(Plan {
        name: "Heat table",
        blocks,
        paper: Paper::Tabloid,
        register: false,
        tab: super::FIGURES_TAB,
    })
}

/// The places of the first violations on their sheet, by what they are counted under.
struct Marks<'a> {
    buildings: BTreeMap<&'a str, usize>,
    floors: BTreeMap<[&'a str; 2], usize>,
    rooms: BTreeMap<[&'a str; 3], usize>,
    floor_types: BTreeMap<([&'a str; 2], &'static str), usize>,
    trades: BTreeMap<String, usize>,
    trade_types: BTreeMap<(String, &'static str), usize>,
}

impl<'a> Marks<'a> {
    fn of(report: &'a Report<'a>) -> Self {
        let mut marks = Self {
            buildings: BTreeMap::new(),
            floors: BTreeMap::new(),
            rooms: BTreeMap::new(),
            floor_types: BTreeMap::new(),
            trades: BTreeMap::new(),
            trade_types: BTreeMap::new(),
        };
        let findings = violations::of_kind(report, VerdictKind::Violates);
        for (place, finding) in findings.into_iter().enumerate() {
            let stands = report.audit.place(finding.first());
            let defect = finding.rule.defect.word();
            // A schedule may spell a trade otherwise than the rules do.
            let trade = report.audit.trade(finding).0.to_lowercase();
            let floor = [stands.building, stands.floor];
            marks.buildings.entry(stands.building).or_insert(place);
            marks.floors.entry(floor).or_insert(place);
            marks.rooms.entry([stands.building, stands.floor, stands.room]).or_insert(place);
            marks.floor_types.entry((floor, defect)).or_insert(place);
            marks.trades.entry(trade.clone()).or_insert(place);
            marks.trade_types.entry((trade, defect)).or_insert(place);
        }
        marks
    }
}

/// The columns of a heat table: two names, the outlets, the types, and all types together.
fn columns(report: &Report<'_>, names: [&'static str; 2], last: &'static str) -> Vec<Column> {
    let mut columns =
        vec![column(names[0], 14, 34), column(names[1], 10, 24), column("Outlets", 9, 12)];
    columns.extend(types(report).into_iter().map(|word| column(word, 9, 11)));
    columns.push(column(last, 10, 12));
    columns
}

/// The words of the defect types whose rules ran, in the order of the figures.
fn types(report: &Report<'_>) -> Vec<&'static str> {
    let rules = report.audit.selection.rules();
    let mut types: Vec<_> = rules.iter().map(|rule| rule.defect).collect();
    types.sort_unstable();
    types.dedup();
    types.into_iter().map(crate::rules::DefectType::word).collect()
}

/// Shades the columns of the types.
fn heat(table: Table<'_>, types: usize) -> Table<'_> {
    let types = u16::try_from(types).unwrap_or_default();
    if types == 0 { table } else { table.shaded(BEFORE, BEFORE + types - 1) }
}

fn floor_counts(report: &Report<'_>, marks: &Marks<'_>) -> Table<'static> {
    let types = types(report);
    let count = types.len();
    let statistics = report.statistics;
    let rows = statistics.by_floor.len();
    let names = columns(report, ["Building", "Floor"], "All types");
    let table = Table::of(
        names,
        (0..rows)
            .map(|row| {
                let line = &statistics.by_floor[row];
                let floor = [line.building.as_str(), line.floor.as_str()];
                let mut cells = place_cells(&line.building, &line.floor, &line.figures);
                let counts = &statistics.floors_by_defect_type[row];
                cells.extend(counts.iter().zip(&types).map(|(count, word)| {
                    Cell::CountAt(*count, marks.floor_types.get(&(floor, *word)).copied())
                }));
                let first = marks.floors.get(&floor).copied();
                cells.push(Cell::CountAt(line.figures.all_violations(), first));
                cells
            })
            .collect(),
    );
    heat(table, count)
}

fn place_cells(building: &str, floor: &str, figures: &Figures) -> Vec<Cell> {
    vec![Cell::recorded(building), Cell::recorded(floor), Cell::Count(figures.outlets)]
}

/// A count per 100 outlets; none for too few.
#[expect(clippy::cast_precision_loss, reason = "a rate for people")]
fn per_hundred(count: u64, outlets: u64) -> Cell {
    let rate = (outlets >= LEAST_FOR_A_RATE).then(|| 100.0 * count as f64 / outlets as f64);
    Cell::decimal(rate, figures::TOO_FEW)
}

fn floor_rates<'a>(report: &'a Report<'a>) -> Table<'a> {
    let statistics = report.statistics;
    let count = types(report).len();
    let names = columns(report, ["Building", "Floor"], "All types");
    let table = Table::new(names, statistics.by_floor.len(), move |row| {
        let line = &statistics.by_floor[row];
        let outlets = line.figures.outlets;
        let mut cells = place_cells(&line.building, &line.floor, &line.figures);
        let counts = &statistics.floors_by_defect_type[row];
        cells.extend(counts.iter().map(|count| per_hundred(*count, outlets)));
        cells.push(per_hundred(line.figures.all_violations(), outlets));
        cells
    });
    heat(table, count)
}

fn trade_counts(report: &Report<'_>, marks: &Marks<'_>) -> Table<'static> {
    let types = types(report);
    let statistics = report.statistics;
    let row = |(line, counts): (&Line, &Vec<u64>)| {
        let trade = line.name.to_lowercase();
        let mut cells =
            vec![Cell::recorded(&line.name), Cell::Blank, Cell::Count(line.figures.outlets)];
        cells.extend(counts.iter().zip(&types).map(|(count, word)| {
            Cell::CountAt(*count, marks.trade_types.get(&(trade.clone(), *word)).copied())
        }));
        let first = marks.trades.get(&trade).copied();
        cells.push(Cell::CountAt(line.figures.all_violations(), first));
        cells
    };
    let lines = statistics.by_trade.iter().zip(&statistics.trades_by_defect_type);
    let names = columns(report, ["Trade", ""], "All types");
    heat(Table::of(names, lines.map(row).collect()), types.len())
}

fn rooms(report: &Report<'_>, marks: &Marks<'_>) -> Table<'static> {
    let columns = vec![
        column("Building", 14, 34),
        column("Floor", 10, 24),
        column("Room", 9, 18),
        column("Outlets", 9, 11),
        column("Violations", 9, 11),
        column("danger", 9, 11),
        column("latent", 9, 11),
        column("workmanship", 9, 11),
    ];
    let lines = report.statistics.by_room.iter().take(ROOMS);
    let row = |line: &crate::statistics::RoomLine| {
        let room = [line.building.as_str(), line.floor.as_str(), line.room.as_str()];
        let mut cells = room.map(Cell::recorded).to_vec();
        cells.push(Cell::Count(line.figures.outlets));
        let first = marks.rooms.get(&room).copied();
        cells.push(Cell::CountAt(line.figures.all_violations(), first));
        cells.extend(line.figures.violations.map(Cell::Count));
        cells
    };
    Table::of(columns, lines.map(row).collect())
}

fn buildings(report: &Report<'_>, marks: &Marks<'_>) -> Table<'static> {
    let mut lines: Vec<&Line> = report.statistics.by_building.iter().collect();
    let rate = |line: &Line| line.figures.rate().unwrap_or(-1.0);
    lines.sort_by(|one, other| rate(other).total_cmp(&rate(one)));
    let mut columns = vec![column("Building", 14, 34), column("", 10, 24)];
    columns.extend(figures::OUTLETS.into_iter().chain(figures::RANGE));
    columns.extend([column("Violations", 9, 11), column("Share of verdicts decided", 9, 11)]);
    let row = |line: &&Line| {
        let figures = &line.figures;
        let mut cells = vec![Cell::recorded(&line.name), Cell::Blank];
        cells.extend(figures::outlets(figures));
        cells.extend(figures::range(figures.violating, figures.outlets));
        let first = marks.buildings.get(line.name.as_str()).copied();
        cells.push(Cell::CountAt(figures.all_violations(), first));
        cells.push(Cell::share(figures.decided_share(), "none reached"));
        cells
    };
    Table::of(columns, lines.iter().map(row).collect())
}
