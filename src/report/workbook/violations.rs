//! The sheet of violations: what is wrong and what to do, in the order of a walk through the buildings.

use crate::audit::finding::Finding;
use crate::audit::run::devices;
use crate::audit::subjects::text_of;
use crate::outlet::{Date, Field, facts};
use crate::report::context::Report;
use crate::report::wording::{wrong, years};
use crate::rules::VerdictKind;

use super::plan::{Cell, Column, Paper, Plan, SECTION, Table, column};
use super::rulings;

const COLUMNS: [Column; 20] = [
    column("Grade (ours)", 8, 13).noted(GRADES),
    column("Building", 8, 16),
    column("Floor", 6, 10),
    column("Room", 6, 14),
    column("Outlet or group", 9, 14),
    column("Together with", 9, 12),
    column("What is wrong", 20, 32),
    column("Measured", 9, 15),
    column("Allowed", 9, 16),
    column("Borderline", 5, 12).noted(BORDERLINE),
    column("What to do", 20, 32),
    SECTION,
    column("Trade that corrects", 9, 13),
    column("Devices", 7, 9).noted(ON_SCREEN),
    column("Edition", 7, 10),
    column("Installed by", 9, 20),
    column("Rule", 10, 24),
    column("Observed on", 10, 11),
    column("Photo or note", 8, 22),
    column("Source: file | sheet | row | cells", 20, 60),
];

/// Name of the sheet.
pub(super) const NAME: &str = "Violations";
/// Row of the first violation, from 0: the header stands above it.
pub(super) const FIRST_ROW: u32 = 1;
/// Columns that are printed: what whoever walks and corrects needs.
const PRINTED: u16 = 13;

const GRADES: &str = "danger: a path to shock or fire as it stands; latent: one foreseeable event away from it; workmanship: marking or finish. The grades are the program's own, for sorting: the code has none.";
const BORDERLINE: &str = "yes: one more measurement of the same resolution could come out otherwise. Measure again before anybody corrects it: see the sheet Measure again.";
const ON_SCREEN: &str =
    "How many devices the row stands for. From this column on nothing is printed.";

pub(super) fn plan<'a>(report: &'a Report<'a>) -> Plan<'a> {
    let findings = of_kind(report, VerdictKind::Violates);
    let rows = findings.len();
    let table = Table::new(COLUMNS.to_vec(), rows, move |row| line(report, findings[row]));
    Plan {
        name: NAME,
        blocks: vec![
            table
                .or_else("No violation was found among the verdicts that could be decided.")
                .into(),
        ],
        paper: Paper::LetterOf(PRINTED),
        register: true,
        tab: 0x00B0_3A12,
    }
}

/// The findings of a kind, in walking order.
pub(super) fn of_kind<'a>(report: &'a Report<'a>, kind: VerdictKind) -> Vec<&'a Finding> {
    let findings = report.audit.findings.iter().filter(|finding| finding.kind() == kind);
    report.in_walking_order(findings.collect(), |finding| finding.first())
}

fn line(report: &Report<'_>, finding: &Finding) -> Vec<Cell> {
    let audit = report.audit;
    let first = audit.outlet(finding.first());
    let place = audit.place(finding.first());
    let text = |field| Cell::text(text_of(first, field, &audit.texts));
    vec![
        Cell::Grade(finding.rule.grade),
        Cell::text(place.building),
        Cell::text(place.floor),
        Cell::text(place.room),
        Cell::Strong(audit.subject(finding).into()),
        Cell::text(audit.others(finding).join(", ")),
        Cell::text(what(report, finding)),
        Cell::text(audit.measured_text(finding)),
        Cell::text(audit.limit_text(finding)),
        Cell::text(if finding.borderline { "yes" } else { "" }),
        Cell::text(audit.remedy(finding)),
        Cell::text(report.audit.marked_citation(finding)),
        Cell::text(audit.trade(finding).0),
        Cell::Count(devices(first)),
        Cell::text(years(&finding.editions, ", ")),
        text(Field::Installer),
        Cell::text(finding.rule.name),
        first.get(facts::OBSERVED_ON).known().and_then(Date::civil).map_or(Cell::Blank, Cell::Date),
        evidence(text_of(first, Field::Evidence, &audit.texts)),
        Cell::text(report.source_cells(finding)),
    ]
}

/// What is wrong, and why it stands although the authority ruled.
fn what(report: &Report<'_>, finding: &Finding) -> String {
    let wrong = wrong(finding);
    match report.rulings.about(finding) {
        Some((ruling, standing)) => {
            format!("{wrong} ({})", rulings::standing(ruling, standing))
        }
        None => wrong,
    }
}

/// A photograph or note on the web is a link; any other reference is a text.
fn evidence(reference: &str) -> Cell {
    let web = ["https://", "http://"].iter().any(|scheme| reference.starts_with(scheme));
    if web && !reference.contains(char::is_whitespace) {
        Cell::Link(reference.to_owned())
    } else {
        Cell::text(reference)
    }
}
