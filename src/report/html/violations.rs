//! The table of violations in walking order, with the filters of the script.

use std::collections::BTreeSet;
use std::io::{self, Write};

use crate::audit::Finding;
use crate::audit::run::devices;
use crate::audit::subjects::text_of;
use crate::outlet::Field;
use crate::report::context::Report;
use crate::report::wording::{counted, wrong, years};
use crate::rules::{DefectType, Grade, VerdictKind};
use crate::statistics::natural::{FloorKey, NaturalKey};

use super::blocks::{close_table, open_table, write_bound, write_grade, write_header, write_link};
use super::charts::recorded;
use super::escape::Escaped;

const COLUMNS: [&str; 14] = [
    "Grade",
    "Building",
    "Floor",
    "Room",
    "Outlet or group",
    "What is wrong",
    "Measured",
    "Allowed",
    "What to do",
    "Section",
    "To correct by",
    "Defect type",
    "Rule",
    "Source",
];

/// A choice of values of one column; the name is that of its part of the page's address.
struct Filter {
    name: &'static str,
    label: &'static str,
    column: usize,
    values: Vec<String>,
}

/// Writes the filters and the table, up to so many rows.
pub(super) fn write(report: &Report<'_>, limit: usize, out: &mut impl Write) -> io::Result<()> {
    let findings = report.audit.findings.iter();
    let found = findings.filter(|finding| finding.kind() == VerdictKind::Violates).collect();
    let found: Vec<&Finding> = report.in_walking_order(found, |finding| finding.first());
    if found.is_empty() {
        let nothing = "No violation was found among the verdicts that could be decided.";
        return writeln!(out, "<p>{nothing}</p>");
    }
    let shown = &found[..found.len().min(limit)];
    write_filters(&filters(report, shown), out)?;
    let count = counted(shown.len() as u64, "violation", "violations");
    writeln!(out, "<p id=\"shown\" role=\"status\">{count}, building by building</p>")?;
    write_bound(shown.len(), found.len(), out)?;
    open_table("Violations", out)?;
    for header in COLUMNS {
        write_header(header, false, out)?;
    }
    writeln!(out, "</tr></thead>\n<tbody>")?;
    for finding in shown {
        write_row(report, finding, out)?;
    }
    close_table(out)
}

fn filters(report: &Report<'_>, shown: &[&Finding]) -> [Filter; 5] {
    let audit = report.audit;
    let places = || shown.iter().map(|finding| audit.place(finding.first()));
    let natural = |texts: BTreeSet<String>| sorted(texts, NaturalKey::of);
    let grades: BTreeSet<Grade> = shown.iter().map(|finding| finding.rule.grade).collect();
    let types: BTreeSet<DefectType> = shown.iter().map(|finding| finding.rule.defect).collect();
    let filter = |name, label, column, values| Filter { name, label, column, values };
    let buildings = natural(places().map(|place| recorded(place.building)).collect());
    let floors = places().map(|place| recorded(place.floor)).collect();
    let floors = sorted(floors, FloorKey::of);
    let trades = natural(shown.iter().map(|finding| audit.trade(finding).0.to_owned()).collect());
    let grades = grades.into_iter().map(|grade| grade.word().to_owned()).collect();
    let types = types.into_iter().map(|kind| kind.word().to_owned()).collect();
    [
        filter("building", "Building", 1, buildings),
        filter("floor", "Floor", 2, floors),
        filter("trade", "To correct by", 10, trades),
        filter("grade", "Grade", 0, grades),
        filter("defect-type", "Defect type", 11, types),
    ]
}

fn sorted<K: Ord>(texts: BTreeSet<String>, key: impl Fn(&str) -> K) -> Vec<String> {
    let mut texts: Vec<String> = texts.into_iter().collect();
    texts.sort_by_cached_key(|text| key(text));
    texts
}

/// Hidden until the script, without which they do nothing, shows them.
fn write_filters(filters: &[Filter], out: &mut impl Write) -> io::Result<()> {
    writeln!(
        out,
        "<form id=\"filters\" aria-label=\"Filters\" hidden>\n<label>Text\n\
         <input type=\"search\" name=\"text\" autocomplete=\"off\"></label>"
    )?;
    for Filter { name, label, column, values } in filters {
        writeln!(
            out,
            "<label>{label}\n<select name=\"{name}\" data-column=\"{column}\"><option value=\"\">all</option>"
        )?;
        for value in values {
            writeln!(out, "<option>{}</option>", Escaped(value))?;
        }
        writeln!(out, "</select></label>")?;
    }
    writeln!(out, "<button type=\"reset\">Show all</button>\n</form>")
}

fn write_row(report: &Report<'_>, finding: &Finding, out: &mut impl Write) -> io::Result<()> {
    let audit = report.audit;
    let place = audit.place(finding.first());
    write!(out, "<tr><td>")?;
    write_grade(finding.rule.grade.word(), out)?;
    write!(out, "</td>")?;
    write_place(place.building, out)?;
    write_place(place.floor, out)?;
    write!(out, "<td>{}</td>", Escaped(place.room))?;
    write!(out, "<th scope=\"row\">{}</th>", Escaped(&named(report, finding)))?;
    let borderline = if finding.borderline { "\n(borderline: measure again)" } else { "" };
    let section = audit.marked_citation(finding);
    for text in [
        wrong(finding),
        audit.measured_text(finding) + borderline,
        audit.limit_text(finding),
        audit.remedy(finding).to_owned(),
        format!("{section}\n{}", years(&finding.editions, ", ")),
        audit.trade(finding).0.to_owned(),
        finding.rule.defect.word().to_owned(),
        finding.rule.name.to_owned(),
    ] {
        write!(out, "<td>{}</td>", Escaped(&text))?;
    }
    write!(out, "<td>{}", Escaped(&report.source_cells(finding)))?;
    let evidence = text_of(audit.outlet(finding.first()), Field::Evidence, &audit.texts);
    if !evidence.is_empty() {
        writeln!(out)?;
        write_link(evidence, "photo or note", out)?;
    }
    writeln!(out, "</td></tr>")
}

fn write_place(name: &str, out: &mut impl Write) -> io::Result<()> {
    let class = if name.is_empty() { " class=\"faint\"" } else { "" };
    write!(out, "<td{class}>{}</td>", Escaped(&recorded(name)))
}

/// The subject, how many devices it stands for, and the outlets that the finding also rests on.
fn named(report: &Report<'_>, finding: &Finding) -> String {
    let mut lines = vec![report.audit.subject(finding).into_owned()];
    let devices = devices(report.audit.outlet(finding.first()));
    if devices > 1 {
        lines.push(format!("({devices} devices)"));
    }
    let others = report.audit.others(finding);
    if !others.is_empty() {
        lines.push(format!("with {}", others.join(", ")));
    }
    lines.join("\n")
}
