//! What the terminal shows at the end: what was read, what was found, how much could be decided.

use std::collections::BTreeMap;
use std::path::PathBuf;

use crate::audit::Audit;
use crate::audit::tally::Totals;
use crate::mapping::{Account, InputAccount, SheetReading};
use crate::report::Report;
use crate::report::cautions;
use crate::report::wording::grouped;
use crate::rules::{Grade, VerdictKind};

/// Rules named in the summary at most.
const MOST_RULES: usize = 6;
/// Remarks, skipped files and sheets named in the summary at most; the workbook names all.
const MOST_LINES: usize = 8;

/// Prints the summary.
pub(super) fn print(report: &Report<'_>, written: &[PathBuf]) {
    let audit = report.audit;
    anstream::println!(
        "yokecheck {}: {} outlets in {} rows, {} rules, {}\n",
        report.context.version,
        grouped(audit.device_count()),
        grouped(audit.outlets.len() as u64),
        audit.selection.rules().len(),
        report.context.date
    );
    print_inputs(report.account);
    print_verdicts(report);
    print_most_violated(audit);
    if !written.is_empty() {
        let paths: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
        anstream::println!("Written: {}\n", paths.join(", "));
    }
    anstream::println!("{}", cautions::FIRST);
}

fn print_inputs(account: &Account) {
    let width = account.inputs.iter().map(|input| input.path.chars().count()).max().unwrap_or(0);
    for input in &account.inputs {
        let rows: u64 = input.sheets.iter().map(|sheet| u64::from(sheet.rows_read)).sum();
        let mut mappings: Vec<&str> = input
            .sheets
            .iter()
            .filter_map(|sheet| match &sheet.reading {
                SheetReading::Mapped { mapping, .. } => Some(mapping.as_str()),
                SheetReading::Empty | SheetReading::NotASchedule { .. } => None,
            })
            .collect();
        mappings.dedup();
        let how =
            if mappings.is_empty() { "no device schedule".to_owned() } else { mappings.join(", ") };
        anstream::println!("  {:width$}  {:>9} rows  {how}", input.path, grouped(rows));
        let others = left_out(input);
        if !others.is_empty() {
            anstream::println!("  {:width$}  left out: {}", "", others.join("; "));
        }
    }
    let faults: usize = account.sheets().map(|sheet| sheet.faults.len()).sum();
    if faults > 0 {
        let cells = if faults == 1 { "fault" } else { "faults" };
        anstream::println!(
            "  {} {cells} of the schedules: the sheet Sources of the workbook lists them",
            grouped(faults as u64)
        );
    }
    print_bounded(not_read(account));
    print_bounded(account.remarks.clone());
    anstream::println!();
}

/// Rows of an input that name no device, counted by what they name instead.
fn left_out(input: &InputAccount) -> Vec<String> {
    let mut counts: BTreeMap<&str, u64> = BTreeMap::new();
    let skipped = input.sheets.iter().flat_map(|sheet| &sheet.rows_skipped);
    for (reason, count) in skipped.filter(|(reason, _)| reason.starts_with("no device")) {
        let named = reason.strip_prefix("no device: ").unwrap_or(reason);
        *counts.entry(named).or_default() += u64::from(*count);
    }
    counts.iter().map(|(named, count)| format!("{} {named}", grouped(*count))).collect()
}

/// Sheets and files that are no device schedules, with what was seen.
fn not_read(account: &Account) -> Vec<String> {
    let mut lines = Vec::new();
    for input in &account.inputs {
        for sheet in &input.sheets {
            if let SheetReading::NotASchedule { why } = &sheet.reading {
                let name = sheet.name.as_ref().map(|name| format!(", sheet {name}"));
                lines.push(format!("{}{}: {why}", input.path, name.unwrap_or_default()));
            }
        }
    }
    let skipped = account.skipped_files.iter();
    lines.extend(skipped.map(|file| format!("{}: {}", file.path, file.reason)));
    lines
}

fn print_bounded(lines: Vec<String>) {
    let more = lines.len().saturating_sub(MOST_LINES);
    for line in lines.into_iter().take(MOST_LINES) {
        anstream::println!("  not read or to know: {line}");
    }
    if more > 0 {
        anstream::println!("  and {more} more: the sheet Sources of the workbook lists them");
    }
}

fn print_verdicts(report: &Report<'_>) {
    let totals = Totals::of(&report.audit.tallies);
    for kind in VerdictKind::ALL {
        let count = grouped(totals.count(kind));
        let beside =
            if kind == VerdictKind::Violates { grades(report) } else { kind.meaning().to_owned() };
        let line = format!("  {count:>11} {:<14}  {beside}", kind.word());
        anstream::println!("{}", line.trim_end());
    }
    anstream::println!();
}

fn grades(report: &Report<'_>) -> String {
    let violations = report.statistics.all.violations;
    let named: Vec<String> = Grade::ALL
        .into_iter()
        .zip(violations)
        .map(|(grade, count)| format!("{} {}", grouped(count), grade.word()))
        .collect();
    named.join(", ")
}

fn print_most_violated(audit: &Audit) {
    let mut rules: Vec<(u64, &str)> = audit
        .tallies
        .iter()
        .map(|tally| (tally.count(VerdictKind::Violates), tally.rule.name))
        .filter(|(count, _)| *count > 0)
        .collect();
    rules.sort_by(|one, other| other.0.cmp(&one.0).then(one.1.cmp(other.1)));
    let named: Vec<String> = rules
        .iter()
        .take(MOST_RULES)
        .map(|(count, name)| format!("{name} {}", grouped(*count)))
        .collect();
    if !named.is_empty() {
        anstream::println!("Most violated: {}\n", named.join(", "));
    }
}

/// The last line, whatever the outcome; returns the share.
pub(super) fn print_share_decided(audit: &Audit) -> Option<f64> {
    let totals = Totals::of(&audit.tallies);
    let share = totals.decided_share();
    match share {
        None => anstream::println!("Decided: nothing, since no rule reached an outlet."),
        Some(share) => {
            let waiting = totals.count(VerdictKind::Undetermined);
            let hint = if waiting == 0 {
                "nothing waits for missing facts".to_owned()
            } else {
                format!(
                    "{} wait for missing facts; no violation is no pass there",
                    grouped(waiting)
                )
            };
            anstream::println!(
                "Decided: {} of the verdicts that reach an outlet; {hint}.",
                percent(share)
            );
        }
    }
    share
}

/// A share in per cent; never 100 % when something is missing, never 0 % when something is there.
fn percent(share: f64) -> String {
    let tenths = share * 1000.0;
    let shown = if share < 1.0 { tenths.floor() } else { tenths };
    format!("{:.1} %", shown / 10.0)
}

/// Nothing could be audited: says what was seen instead.
pub(super) fn nothing_read(account: &Account) {
    for problem in &account.problems {
        super::complain(problem);
    }
    let seen = not_read(account);
    if account.problems.is_empty() || !seen.is_empty() {
        let seen = if seen.is_empty() { "nothing to read".to_owned() } else { seen.join("\n  ") };
        super::complain(&format!(
            "no device schedule found\n  {seen}\n  name the columns by the fields (`yokecheck fields`), or write a mapping (mappings/README.md)"
        ));
    }
    anstream::println!("Decided: nothing, since no outlet was read.");
}
