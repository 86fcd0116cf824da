//! The sheet of sources: what was read, how, what was not, and the run itself. Nothing that a schedule
//! holds is dropped without a line here.

use crate::audit::Disagreement;
use crate::audit::finding::Crash;
use crate::audit::wording::value_text;
use crate::mapping::account::{
    ColumnAccount, Fault, InputAccount, SheetAccount, SheetReading, column_letters,
};
use crate::report::context::Report;
use crate::report::wording::{grouped, yes_no};

use super::plan::{Block, Cell, Column, Paper, Plan, Table, column};

const FAULTS: &str = "Faults of the schedules are no violations of the code: cells and rows that need mending. What could not \
be read counts as missing.";

/// A sheet with its place: the path of its file and its own name.
#[derive(Clone, Copy)]
struct Sheet<'a> {
    path: &'a str,
    account: &'a SheetAccount,
}

impl Sheet<'_> {
    fn place(&self) -> [Cell; 2] {
        let name = match &self.account.name {
            Some(name) => Cell::text(name),
            None => Cell::Faint("(text file)"),
        };
        [Cell::text(self.path), name]
    }
}

const FILE: Column = column("File", 18, 44);
const SHEET: Column = column("Sheet", 12, 26);

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Plan<'a> {
    let account = report.account;
    let sheets = sheets(&account.inputs);
    let mut blocks = vec![Block::Title("Sources and run".to_owned())];
    let heading = |text: &str| Block::Heading(text.to_owned());
    blocks.extend([heading("The run"), Block::Pairs(run(report))]);
    blocks.extend([heading("Files"), files(&account.inputs).into()]);
    blocks.extend([heading("Sheets"), read_sheets(&sheets).into()]);
    if !account.problems.is_empty() {
        blocks.push(heading("Problems: inputs that could not be read, or not to their end"));
        blocks.extend(account.problems.iter().map(|text| Block::Warning(text.clone())));
    }
    if !report.audit.crashes.is_empty() {
        blocks.extend([heading("Rules that failed"), crashes(report).into()]);
    }
    blocks.extend([heading("Faults of the schedules"), Block::Paragraph(FAULTS.to_owned())]);
    blocks.push(faults(&sheets).into());
    blocks.extend([
        heading("Rows that share a box, a panel or a supply and disagree on it"),
        disagreements(report).into(),
    ]);
    blocks.extend([heading("Columns that were not used"), columns(&sheets, false).into()]);
    blocks.extend([heading("Columns that were used"), columns(&sheets, true).into()]);
    blocks.extend([heading("Files that were passed over"), skipped(report).into()]);
    blocks.push(heading("Remarks"));
    if account.remarks.is_empty() {
        blocks.push(Block::Paragraph("None.".to_owned()));
    }
    blocks.extend(account.remarks.iter().map(|text| Block::Paragraph(text.clone())));
    Plan { name: "Sources", blocks, paper: Paper::Letter, register: false, tab: 0x001F_3A52 }
}

fn sheets(inputs: &[InputAccount]) -> Vec<Sheet<'_>> {
    let mut sheets = Vec::new();
    for input in inputs {
        sheets.extend(input.sheets.iter().map(|account| Sheet { path: &input.path, account }));
    }
    sheets
}

fn run(report: &Report<'_>) -> Vec<(&'static str, Cell)> {
    let context = report.context;
    let mut pairs = vec![
        ("Program", Cell::text(format!("yokecheck {}", context.version))),
        ("Date of the audit", Cell::Date(context.date)),
    ];
    let options = context.options.iter().zip(["Options"].into_iter().chain(std::iter::repeat("")));
    pairs.extend(options.map(|(option, name)| (name, Cell::text(option))));
    pairs
}

fn files(inputs: &[InputAccount]) -> Table<'static> {
    let columns =
        vec![FILE, column("Sheets", 7, 9), column("Rows read", 7, 9), column("SHA-256", 64, 66)];
    let row = |input: &InputAccount| {
        let read: u64 = input.sheets.iter().map(|sheet| u64::from(sheet.rows_read)).sum();
        vec![
            Cell::text(&input.path),
            Cell::Count(input.sheets.len() as u64),
            Cell::Count(read),
            Cell::text(&input.sha256),
        ]
    };
    Table::of(columns, inputs.iter().map(row).collect())
}

fn read_sheets(sheets: &[Sheet<'_>]) -> Table<'static> {
    let columns = vec![
        FILE,
        SHEET,
        column("Header row", 7, 10),
        column("How it was read, and why so", 20, 60),
        column("Rows skipped", 14, 40),
        column("Rows read", 7, 9),
        column("Hidden", 7, 8),
    ];
    let row = |sheet: &Sheet<'_>| {
        let account = sheet.account;
        let skipped: Vec<String> = account
            .rows_skipped
            .iter()
            .map(|(reason, count)| format!("{reason}: {}", grouped(u64::from(*count))))
            .collect();
        let [path, name] = sheet.place();
        vec![
            path,
            name,
            account.header_row.map_or(Cell::Blank, |row| Cell::Count(row.into())),
            Cell::text(reading(&account.reading)),
            Cell::text(skipped.join(", ")),
            Cell::Count(account.rows_read.into()),
            Cell::text(yes_no(account.hidden)),
        ]
    };
    Table::of(columns, sheets.iter().map(row).collect())
}

fn reading(reading: &SheetReading) -> String {
    match reading {
        SheetReading::FormPage => "a page of the form".to_owned(),
        SheetReading::Empty => "empty".to_owned(),
        SheetReading::Mapped { mapping, why } => format!("{mapping}: {why}"),
        SheetReading::NotASchedule { why } => format!("not a schedule of devices: {why}"),
    }
}

fn faults<'a>(sheets: &[Sheet<'a>]) -> Table<'a> {
    let columns = vec![
        FILE,
        SHEET,
        column("Cell", 7, 10),
        column("What is wrong", 20, 60),
        column("Text of the cell", 14, 40),
        column("Fact", 10, 22),
    ];
    let faults: Vec<(Sheet<'a>, &Fault)> = sheets
        .iter()
        .flat_map(|sheet| sheet.account.faults.iter().map(move |fault| (*sheet, fault)))
        .collect();
    Table::new(columns, faults.len(), move |row| {
        let (sheet, fault) = faults[row];
        let [path, name] = sheet.place();
        let cell = match fault.column {
            Some(column) => format!("{}{}", column_letters(column), fault.row),
            None => format!("row {}", fault.row),
        };
        vec![
            path,
            name,
            Cell::text(cell),
            Cell::text(&fault.why),
            Cell::text(&fault.text),
            Cell::text(fault.field.map_or("", |field| field.name())),
        ]
    })
}

fn disagreements<'a>(report: &'a Report<'a>) -> Table<'a> {
    let columns = vec![
        column("They share", 18, 44),
        column("They disagree on", 12, 26),
        column("Rows", 7, 10),
        column("What they record", 20, 60),
    ];
    let all = &report.audit.disagreements;
    Table::new(columns, all.len(), |row| disagreement(report, &all[row]))
}

fn disagreement(report: &Report<'_>, one: &Disagreement) -> Vec<Cell> {
    let audit = report.audit;
    let value = |place: u32, field| value_text(audit.outlet(place), field, &audit.texts);
    let shared = one.members.first().map_or(String::new(), |first| value(*first, one.shared_by));
    let record = |place: &u32| {
        let origin = audit.outlet(*place).origin;
        format!("{}: {}", report.source(origin), value(*place, one.field))
    };
    vec![
        Cell::text(format!("{} {shared}", one.shared_by.name())),
        Cell::text(one.field.name()),
        Cell::Count(one.members.len() as u64),
        Cell::text(one.members.iter().map(record).collect::<Vec<_>>().join("\n")),
    ]
}

fn columns<'a>(sheets: &[Sheet<'a>], used: bool) -> Table<'a> {
    let mut columns = vec![FILE, SHEET, column("Column", 7, 10), column("Header", 20, 60)];
    if used {
        columns.extend([column("How it was read", 14, 40), column("Fact", 10, 22)]);
    }
    let lines: Vec<(Sheet<'a>, &ColumnAccount)> = sheets
        .iter()
        .flat_map(|sheet| sheet.account.columns.iter().map(move |column| (*sheet, column)))
        .filter(|(_, column)| column.field.is_some() == used)
        .collect();
    Table::new(columns, lines.len(), move |row| {
        let (sheet, column) = lines[row];
        let [path, name] = sheet.place();
        let letters = Cell::text(column_letters(column.column));
        let mut cells = vec![path, name, letters, Cell::text(&column.header)];
        if let Some(field) = column.field {
            cells.extend([Cell::text(&column.how), Cell::text(field.name())]);
        }
        cells
    })
}

fn skipped<'a>(report: &'a Report<'a>) -> Table<'a> {
    let files = &report.account.skipped_files;
    Table::new(vec![FILE, column("Why", 12, 26)], files.len(), |row| {
        vec![Cell::text(&files[row].path), Cell::text(&files[row].reason)]
    })
}

fn crashes<'a>(report: &'a Report<'a>) -> Table<'a> {
    let columns = vec![
        column("Row", 18, 44),
        column("Rule", 12, 26),
        column("", 7, 10),
        column("What it said", 20, 60),
    ];
    let crashes = &report.audit.crashes;
    Table::new(columns, crashes.len(), |row| {
        let Crash { rule, first, message } = &crashes[row];
        vec![
            Cell::text(report.source(report.audit.outlet(*first).origin)),
            Cell::text(rule.name),
            Cell::Blank,
            Cell::text(message),
        ]
    })
}
