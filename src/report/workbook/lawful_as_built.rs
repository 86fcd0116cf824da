//! The sheet of what is lawful as built and would fail under a newer edition: never violations.

use crate::audit::finding::Finding;
use crate::outlet::Word as _;
use crate::report::context::Report;
use crate::report::wording::{wrong, years};

use super::plan::{Block, Cell, Column, Paper, Plan, Table, column};

const NOTE: &str = "Judged again by the newer edition that was asked for. Each line keeps the edition under which it was built, \
or that edition does not reach it: it is no violation, and counts as none. A renovation may bring it under the newer edition; \
the authority having jurisdiction says when.";

const COLUMNS: [Column; 11] = [
    column("Building", 8, 20),
    column("Floor", 6, 14),
    column("Room", 6, 16),
    column("Outlet or group", 9, 18),
    column("Built under", 7, 10),
    column("Would be", 20, 38),
    column("Measured", 9, 18),
    column("Allowed", 9, 18),
    column("What would help", 20, 36),
    column("Section of the newer edition", 9, 22),
    column("Rule", 10, 24),
];

/// The sheet, when a newer edition was asked for.
pub(super) fn plan<'a>(report: &'a Report<'a>) -> Option<Plan<'a>> {
    let newer = report.audit.also_against?;
    let findings = report.audit.lawful_as_built.iter().collect();
    let findings: Vec<&Finding> = report.in_walking_order(findings, |finding| finding.first());
    let rows = findings.len();
    let table = Table::new(COLUMNS.to_vec(), rows, move |row| line(report, findings[row]));
    Some(Plan {
        name: "Lawful as built",
        blocks: vec![
            Block::Title(format!("Lawful as built, and not under {}", newer.word())),
            Block::Paragraph(NOTE.to_owned()),
            table
                .or_else("Nothing that is lawful as built would fail under the newer edition.")
                .into(),
        ],
        paper: Paper::Tabloid,
        register: true,
        tab: 0x006B_4C9A,
    })
}

fn line(report: &Report<'_>, finding: &Finding) -> Vec<Cell> {
    let audit = report.audit;
    let place = audit.place(finding.first());
    let built = audit.governing(finding);
    vec![
        Cell::text(place.building),
        Cell::text(place.floor),
        Cell::text(place.room),
        Cell::Strong(audit.subject(finding).into()),
        Cell::text(years(&built, ", ")),
        Cell::text(wrong(finding)),
        Cell::text(audit.measured_text(finding)),
        Cell::text(audit.limit_text(finding)),
        Cell::text(audit.remedy(finding)),
        Cell::text(audit.marked_citation(finding)),
        Cell::text(finding.rule.name),
    ]
}
