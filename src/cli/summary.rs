//! What the terminal shows at the end: what was read, what was found, how much could be decided.

use std::collections::BTreeMap;
use std::path::PathBuf;

use crate::audit::Audit;
use crate::audit::tally::Totals;
use crate::mapping::{Account, InputAccount, SheetReading};
use crate::outlet::Word as _;
use crate::report::Report;
use crate::report::cautions;
use crate::report::wording::{counted, grouped, rulings_told};
use crate::rules::{Grade, VerdictKind};

use super::lines::{plain, wrapped};

/// Rules named in the summary at most.
const MOST_RULES: usize = 6;
/// Things not read, and remarks, named in the summary at most; the workbook names all.
const MOST_LINES: usize = 8;

const LISTED: &str = "listed on the workbook's sheet Sources";
const UNLISTED: &str = "which a workbook would list";

/// Prints the summary, and which files were written; `workbook` when one of them lists what does not
/// fit here.
pub(super) fn print(report: &Report<'_>, written: &[PathBuf], workbook: bool) {
    let audit = report.audit;
    anstream::println!(
        "yokecheck {}: {} in {}, {}, {}\n",
        report.context.version,
        counted(audit.device_count(), "outlet", "outlets"),
        counted(audit.rows, "row", "rows"),
        counted(audit.selection.rules().len() as u64, "rule", "rules"),
        report.context.date
    );
    print_inputs(report.account, if workbook { LISTED } else { UNLISTED });
    print_verdicts(report);
    print_most_violated(audit);
    print_lawful_as_built(audit);
    if !report.rulings.rulings.is_empty() {
        anstream::println!("{}\n", wrapped("Rulings: ", &rulings_told(report.rulings)));
    }
    if !written.is_empty() {
        let paths: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
        anstream::println!("{}\n", wrapped("Written: ", &paths.join(", ")));
    }
    anstream::println!("{}\n", wrapped("", cautions::FIRST));
}

/// Prints which inputs were read and how, and what a person should know of them.
pub(super) fn print_inputs(account: &Account, listed: &str) {
    let folder = common_folder(account);
    if !folder.is_empty() {
        anstream::println!("In {}", plain(folder));
    }
    let lines: Vec<[String; 3]> =
        account.inputs.iter().map(|input| input_line(input, folder)).collect();
    let width = |column: usize| lines.iter().map(|line| line[column].chars().count()).max();
    let (paths, rows) = (width(0).unwrap_or(0), width(1).unwrap_or(0));
    for [path, count, how] in &lines {
        let (path, how) = (plain(path), plain(how));
        anstream::println!("  {path:paths$}  {count:>rows$}  {how}");
    }
    for input in &account.inputs {
        let others = left_out(input);
        if !others.is_empty() {
            let lead = format!(
                "  left out of {}: ",
                input.path.strip_prefix(folder).unwrap_or(&input.path)
            );
            anstream::println!("{}", wrapped(&lead, &others.join("; ")));
        }
    }
    let faults: usize = account.sheets().map(|sheet| sheet.faults.len()).sum();
    if faults > 0 {
        let told = counted(faults as u64, "fault", "faults");
        let text = format!("{told} of the schedules, {listed}");
        anstream::println!("{}", wrapped("  ", &text));
    }
    print_bounded("  not read: ", &not_read(account), folder, listed);
    print_bounded("  note: ", &account.remarks, folder, listed);
    anstream::println!();
}

/// The folder in which all inputs stand, with its closing slash; empty when there is none.
fn common_folder(account: &Account) -> &str {
    let mut paths = account.inputs.iter().map(|input| input.path.as_str());
    let folder_of = |path: &str| path.rfind('/').map_or(0, |slash| slash + 1);
    let Some(first) = paths.next() else { return "" };
    let mut folder = &first[..folder_of(first)];
    for path in paths {
        while !path.starts_with(folder) {
            folder = &folder[..folder_of(&folder[..folder.len() - 1])];
        }
    }
    folder
}

/// The path of an input, its rows, and with which mappings it was read.
fn input_line(input: &InputAccount, folder: &str) -> [String; 3] {
    let rows: u64 = input.sheets.iter().map(|sheet| u64::from(sheet.rows_read)).sum();
    let mut mappings: Vec<&str> = input
        .sheets
        .iter()
        .filter_map(|sheet| match &sheet.reading {
            SheetReading::Mapped { mapping, .. } => Some(mapping.as_str()),
            SheetReading::Empty | SheetReading::FormPage | SheetReading::NotASchedule { .. } => {
                None
            }
        })
        .collect();
    mappings.dedup();
    let how = match (mappings.is_empty(), input.sheets.is_empty()) {
        (true, true) => "could not be read: see below".to_owned(),
        (true, false) => "no device schedule".to_owned(),
        (false, _) => mappings.join(", "),
    };
    let path = input.path.strip_prefix(folder).unwrap_or(&input.path);
    [path.to_owned(), counted(rows, "row", "rows"), how]
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

fn print_bounded(lead: &str, lines: &[String], folder: &str, listed: &str) {
    for line in lines.iter().take(MOST_LINES) {
        let line = line.strip_prefix(folder).unwrap_or(line);
        anstream::println!("{}", wrapped(lead, line));
    }
    if let Some(more @ 1..) = lines.len().checked_sub(MOST_LINES) {
        anstream::println!("{lead}{more} more, {listed}");
    }
}

fn print_verdicts(report: &Report<'_>) {
    let totals = Totals::of(&report.audit.tallies);
    let counts = VerdictKind::ALL.map(|kind| grouped(totals.count(kind)));
    let width = counts.iter().map(String::len).max().unwrap_or(0);
    for (kind, count) in VerdictKind::ALL.into_iter().zip(&counts) {
        let beside =
            if kind == VerdictKind::Violates { grades(report) } else { kind.meaning().to_owned() };
        let lead = format!("  {count:>width$} {:<16}", kind.word());
        anstream::println!("{}", wrapped(&lead, &beside));
    }
    anstream::println!();
}

fn grades(report: &Report<'_>) -> String {
    let count = |grade: Grade| -> u64 {
        let of_grade = report.audit.tallies.iter().filter(|tally| tally.rule.grade == grade);
        of_grade.map(|tally| tally.count(VerdictKind::Violates)).sum()
    };
    let named: Vec<String> = Grade::ALL
        .into_iter()
        .map(|grade| format!("{} {}", grouped(count(grade)), grade.word()))
        .collect();
    named.join(", ")
}

fn print_lawful_as_built(audit: &Audit) {
    if let Some(newer) = audit.also_against {
        let lead = format!("Lawful as built, and not under {}: ", newer.word());
        let count = grouped(audit.lawful_as_built.len() as u64);
        let text = format!("{count}; none is a violation (the sheet Lawful as built)");
        anstream::println!("{}\n", wrapped(&lead, &text));
    }
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
        anstream::println!("{}\n", wrapped("Most violated: ", &named.join(", ")));
    }
}

/// The last lines, whatever the outcome.
pub(super) fn print_share_decided(audit: &Audit) {
    let totals = Totals::of(&audit.tallies);
    let Some(share) = totals.decided_share() else {
        anstream::println!("Decided: nothing, since no rule reached an outlet.");
        return;
    };
    let waiting = totals.count(VerdictKind::Undetermined);
    let hint = match waiting {
        0 => "none waits for missing facts".to_owned(),
        1 => "1 waits for missing facts, where no violation is no pass".to_owned(),
        _ => format!("{} wait for missing facts, where no violation is no pass", grouped(waiting)),
    };
    let share = percent(share);
    let text = format!("{share} of the verdicts that reach an outlet; {hint}.");
    anstream::println!("{}", wrapped("Decided: ", &text));
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
    let mut seen = not_read(account);
    let headed = account.inputs.iter().filter(|input| {
        input.sheets.iter().any(|sheet| matches!(sheet.reading, SheetReading::Mapped { .. }))
    });
    seen.extend(headed.map(|input| format!("{}: a header, and no device below it", input.path)));
    if account.problems.is_empty() && seen.is_empty() {
        seen.push("there is nothing to read: no file with the ending of a schedule".to_owned());
    }
    if !seen.is_empty() {
        let seen: Vec<String> = seen.iter().map(|line| wrapped("  ", line)).collect();
        let help = "name the columns by the fields (`yokecheck fields`), or give a mapping file with --mapping";
        super::complain(&format!(
            "no device schedule found\n{}\n{}",
            seen.join("\n"),
            wrapped("  what to do: ", help)
        ));
    }
    anstream::println!("Decided: nothing, since no outlet was read.");
}
