//! What was read from which column, with cells to check it by.

use crate::mapping::Account;
use crate::mapping::account::{ColumnAccount, SheetAccount, SheetReading, column_letters};

use super::lines::plain;

const BOLD: anstyle::Style = anstyle::Style::new().bold();
const FAINT: anstyle::Style = anstyle::Style::new().dimmed();

/// Shows every sheet: how it was read and why so, its columns with samples, its constants, its rows.
pub(super) fn print(account: &Account) {
    for input in &account.inputs {
        for sheet in &input.sheets {
            let name =
                sheet.name.as_ref().map(|name| format!(", sheet {name}")).unwrap_or_default();
            anstream::println!("{BOLD}{}{}{BOLD:#}", plain(&input.path), plain(&name));
            print_sheet(sheet);
        }
    }
}

fn print_sheet(sheet: &SheetAccount) {
    match &sheet.reading {
        SheetReading::FormPage => anstream::println!("  a page of the form\n"),
        SheetReading::Empty => anstream::println!("  empty\n"),
        SheetReading::NotASchedule { why } => {
            anstream::println!("  not a schedule: {}\n", plain(why));
        }
        SheetReading::Mapped { mapping, why } => {
            anstream::println!("  read with {}: {}", plain(mapping), plain(why));
            if let Some(row) = sheet.header_row {
                anstream::println!("  header in row {row}, {} rows read", sheet.rows_read);
            }
            let skipped = sheet.rows_skipped.iter();
            for (reason, count) in skipped {
                let rows = if *count == 1 { "row" } else { "rows" };
                anstream::println!("  {count} {rows} left out: {reason}");
            }
            sheet.columns.iter().for_each(print_column);
            for constant in &sheet.constants {
                let (field, value, how) =
                    (constant.field.name(), plain(&constant.value), &constant.how);
                anstream::println!("  every row  {BOLD}{field}{BOLD:#} {value} ({how})");
            }
            anstream::println!();
        }
    }
}

fn print_column(column: &ColumnAccount) {
    let letters = column_letters(column.column);
    let header = column.header.replace(['\n', '\r'], " ");
    let header = plain(&header);
    let Some(field) = column.field else {
        let why = if column.how.is_empty() { "no field" } else { &column.how };
        anstream::println!("  {letters:>3} {header}  {FAINT}not used: {why}{FAINT:#}");
        return;
    };
    anstream::println!("  {letters:>3} {header}  {BOLD}{}{BOLD:#}, {}", field.name(), column.how);
    for sample in &column.samples {
        let text = sample.text.replace(['\n', '\r'], " ");
        anstream::println!("        {text:?} is read as {}", plain(&sample.read));
    }
}
