//! Lists of corrections: a sheet a trade, one line an outlet, in the order of a walk through the buildings,
//! with room for whoever corrects to say what was done.
//!
//! They stand in the workbook of the audit, and in workbooks of their own that are sent out and come back
//! filled in. Their last columns tell a later run which findings a line is about. No header of these is the
//! name of a field, so that a list that lies among schedules is not taken for one.

use std::io::{Seek, Write};

use rust_xlsxwriter::DocProperties;

use crate::audit::finding::Finding;
use crate::audit::run::devices;
use crate::audit::subject_name;
use crate::audit::subjects::text_of;
use crate::outlet::Field;
use crate::report::cautions;
use crate::report::context::Report;
use crate::report::corrections::{Line, List, Parcel, joined, lists};
use crate::report::names::Given;
use crate::report::wording::{counted, wrong};
use crate::rules::SubjectKind;

use super::book::{Book, Guard};
use super::plan::{Block, Cell, Column, MARKS, Paper, Plan, SECTION, Table, column};
use super::{Limits, MARK, WorkbookError, layout};

/// Sheets of corrections in one workbook at most.
pub const MOST_LISTS: usize = 20;
/// The value of the mark of a workbook that is sent out: it comes back as an input.
pub const CORRECTIONS: &str = "corrections";

const COLUMNS: [Column; 22] = [
    column("Grade (ours)", 8, 11).noted(GRADES),
    column("Building", 8, 14),
    column("Floor", 6, 10),
    column("Room", 6, 14),
    column("Outlet", 9, 14),
    column("What is wrong", 24, 31),
    column("Measured", 9, 12),
    column("Allowed", 9, 13),
    column("What to do", 24, 31),
    SECTION,
    column(TO_FILL_IN[0], 13, 13),
    column(TO_FILL_IN[1], 10, 10),
    column(TO_FILL_IN[2], 8, 8),
    column(TO_FILL_IN[3], 9, 9).noted(PHOTO),
    column("Devices", 7, 9).noted(ON_SCREEN),
    column("Installed by", 9, 20),
    column("Trade from", 10, 12).noted(TRADE_FROM),
    column("Source: file | sheet | row", 20, 44),
    column(MATCHED_BY[0], 12, 24).noted(MATCH),
    column(MATCHED_BY[1], 10, 16),
    column(MATCHED_BY[2], 10, 14),
    column(MATCHED_BY[3], 8, 10),
];

/// The columns that whoever corrects fills in.
pub const TO_FILL_IN: [&str; 4] = ["Corrected by", "Date", "Initials", "Photo"];

/// The columns by which a later run knows which violations a line is about: the rules, joined by `;`, the
/// building, the `outlet_id` and the row.
pub const MATCHED_BY: [&str; 4] =
    ["Match: rule", "Match: building", "Match: outlet_id", "Match: row"];

/// The trade of a line, where a list holds several.
const TRADE: Column = column("Trade", 8, 16);

/// Columns that are printed.
const PRINTED: u16 = 14;
/// Members of a group that are named at most.
const MOST_OTHERS: usize = 6;

const GRADES: &str = "The gravest of the line. danger: a path to shock or fire as it stands; latent: one foreseeable event away from it; workmanship: marking or finish. The grades are the program's own, for sorting: the code has none.";
const PHOTO: &str = "The name or number of a photograph of the corrected work, or its address.";
const ON_SCREEN: &str =
    "How many devices the row stands for. From this column on nothing is printed.";
const TRADE_FROM: &str = "schedule: it names this trade; rule: it names none, and this is the trade that usually corrects such a violation.";
const MATCH: &str = "By this and the next columns a later run knows which violations the line is about: leave them as they are.";

/// How a list is used.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Use {
    /// It stands in the workbook of the audit, which shows the cautions elsewhere too.
    Kept,
    /// It is sent out alone.
    SentOut,
}

/// The lists of an audit, each with the name of its sheet.
pub(super) struct Sheets<'a> {
    sheets: Vec<(String, List<'a>)>,
}

impl<'a> Sheets<'a> {
    /// Those of the workbook of the audit.
    pub(super) fn of(report: &Report<'a>) -> Self {
        Self::named(lists(report))
    }

    fn named(lists: Vec<List<'a>>) -> Self {
        let mut given = Given::default();
        let named = |list: List<'a>| (given.sheet("Corrections", &list.trade), list);
        Self { sheets: joined(lists, MOST_LISTS).into_iter().map(named).collect() }
    }

    /// Their plans.
    pub(super) fn plans<'s>(
        &'s self,
        report: &'s Report<'s>,
        used: Use,
    ) -> impl Iterator<Item = Plan<'s>> {
        self.sheets.iter().map(move |(name, list)| plan(report, name, list, used))
    }
}

/// Writes the workbook of one addressee, to be sent out and filled in.
pub fn write(
    report: &Report<'_>,
    parcel: &Parcel<'_>,
    limits: Limits,
    out: impl Write + Seek + Send,
) -> Result<(), WorkbookError> {
    let context = report.context;
    let page_header = layout::page_header(&context.project, context.date);
    let mut book = Book::new(&properties(report, parcel), limits, page_header);
    let sheets = Sheets::named(parcel.lists.clone());
    let plans: Vec<Plan<'_>> = sheets.plans(report, Use::SentOut).collect();
    book.add(&plans, Guard::Guarded)?;
    book.save(out)
}

fn properties(report: &Report<'_>, parcel: &Parcel<'_>) -> DocProperties {
    let date = report.context.date;
    let title = format!("Corrections: {}", parcel.addressee.as_deref().unwrap_or("no company"));
    let properties = DocProperties::new()
        .set_title(title.chars().take(255).collect::<String>())
        .set_author("yokecheck")
        .set_custom_property(MARK.0, CORRECTIONS);
    properties.set_creation_datetime(&layout::excel_date(date).unwrap_or_default())
}

fn plan<'a>(report: &'a Report<'a>, name: &'a str, list: &'a List<'a>, used: Use) -> Plan<'a> {
    let mut blocks = vec![Block::Title(format!("Corrections: {}", list.trade))];
    match used {
        Use::Kept => blocks.push(Block::Warning(cautions::FIRST.to_owned())),
        Use::SentOut => {
            blocks.extend(cautions::ALL.map(|caution| Block::Warning(caution.to_owned())));
        }
    }
    blocks.push(Block::Paragraph(lead(report, list, used)));
    blocks.push(Block::Paragraph(MARKS.to_owned()));
    let mut columns = COLUMNS.to_vec();
    if list.joined {
        columns.insert(0, TRADE);
    }
    let printed = PRINTED + u16::from(list.joined);
    let table = Table::new(columns, list.lines.len(), move |row| {
        let line = &list.lines[row];
        let mut cells = cells(report, line);
        if list.joined {
            cells.insert(0, Cell::text(&line.trade));
        }
        cells
    });
    blocks.push(table.into());
    let paper = Paper::ToFillIn(printed, 5 + u16::from(list.joined));
    Plan { name, blocks, paper, register: true, tab: 0x00B0_3A12 }
}

/// What the list holds, whose trade it is, and what is to be filled in.
fn lead(report: &Report<'_>, list: &List<'_>, used: Use) -> String {
    let rows = list.lines.len() as u64;
    let outlets = counted(rows, "line", "lines");
    let violations: usize = list.lines.iter().map(|line| line.findings.len()).sum();
    let violations = counted(violations as u64, "violation", "violations");
    let mut text = format!(
        "{outlets}, one an outlet or group, with {violations}, as of {}, in the order of a walk through the buildings. ",
        report.context.date
    );
    text.push_str(&whose(list));
    if list.joined {
        text.push_str(
            " These are the trades with the fewest lines; the other trades have a sheet each.",
        );
    }
    text.push_str(match used {
        Use::Kept => " The coloured cells are for whoever corrects.",
        Use::SentOut => {
            " Fill in the coloured cells, one line for each outlet whose violations are all corrected, and send the file back as it is. Whatever cannot be corrected stays blank."
        }
    });
    text
}

/// Where the trade of the lines comes from.
fn whose(list: &List<'_>) -> String {
    let usual = list.lines.iter().filter(|line| !line.named).count() as u64;
    match usual {
        0 => "The trade is the one that the schedule names.".to_owned(),
        _ if usual == list.lines.len() as u64 => {
            "The schedule names no trade for these: it is the one that usually corrects such violations.".to_owned()
        }
        _ => format!(
            "The trade is the one that the schedule names; where it names none, in {}, the one that usually corrects such violations.",
            counted(usual, "line", "lines")
        ),
    }
}

fn cells(report: &Report<'_>, line: &Line<'_>) -> Vec<Cell> {
    let audit = report.audit;
    let outlet = audit.outlet(line.outlet);
    let place = audit.place(line.outlet);
    let recorded = |field| Cell::text(text_of(outlet, field, &audit.texts));
    let each = |text: &dyn Fn(&Finding) -> String| Cell::text(numbered(line, text));
    let rules: Vec<&str> = line.findings.iter().map(|finding| finding.rule.name).collect();
    let gravest = line.findings.first().map_or(Cell::Blank, |one| Cell::Grade(one.rule.grade));
    vec![
        gravest,
        Cell::text(place.building),
        Cell::text(place.floor),
        Cell::text(place.room),
        Cell::Strong(subject_name(SubjectKind::Outlet, outlet, &audit.texts).into()),
        each(&|finding| what(report, line, finding)),
        each(&|finding| audit.measured_text(finding)),
        each(&|finding| audit.limit_text(finding)),
        each(&|finding| to_do(report, finding)),
        each(&|finding| audit.marked_citation(finding)),
        Cell::ToFillIn,
        Cell::DateToFillIn,
        Cell::ToFillIn,
        Cell::ToFillIn,
        Cell::Count(devices(outlet)),
        recorded(Field::Installer),
        Cell::text(if line.named { "schedule" } else { "rule" }),
        Cell::text(report.source(outlet.origin)),
        Cell::text(rules.join(";")),
        Cell::text(place.building),
        recorded(Field::OutletId),
        Cell::Count(outlet.origin.row.into()),
    ]
}

/// A text of each violation of a line, numbered where there are several.
fn numbered(line: &Line<'_>, text: &dyn Fn(&Finding) -> String) -> String {
    if let [finding] = line.findings.as_slice() {
        return text(finding);
    }
    let texts = line.findings.iter().zip(1..).map(|(finding, number)| (number, text(finding)));
    let told = texts.filter(|(_, text)| !text.is_empty());
    told.map(|(number, text)| format!("{number}. {text}")).collect::<Vec<_>>().join("\n")
}

/// What is wrong, with the group that it is about, and the grade where the line has several.
fn what(report: &Report<'_>, line: &Line<'_>, finding: &Finding) -> String {
    let mut text = wrong(finding);
    let kind = finding.rule.subject;
    let subject = report.audit.subject(finding);
    let others = report.audit.others(finding);
    if kind != SubjectKind::Outlet && !others.is_empty() {
        let more = others.len().saturating_sub(MOST_OTHERS);
        let mut named = others[..others.len() - more].join(", ");
        if more > 0 {
            named = format!("{named} and {more} more");
        }
        text = format!("{text} ({} {subject}, with {named})", group(kind));
    }
    let grade = finding.rule.grade;
    if line.findings.iter().any(|other| other.rule.grade != grade) {
        text = format!("{text} [{}]", grade.word());
    }
    text
}

const fn group(kind: SubjectKind) -> &'static str {
    match kind {
        SubjectKind::Outlet => "outlet",
        SubjectKind::Enclosure => "box",
        SubjectKind::Circuit => "circuit",
        SubjectKind::BedLocation => "bed location",
    }
}

fn to_do(report: &Report<'_>, finding: &Finding) -> String {
    let remedy = report.audit.remedy(finding);
    if finding.borderline {
        format!("measure again first; then {remedy}")
    } else {
        remedy.to_owned()
    }
}
