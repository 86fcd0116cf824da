//! Sheets of texts in the workbooks that tests make.

use rust_xlsxwriter::{Workbook, Worksheet};

/// Adds a sheet of texts; an empty one leaves its cell empty.
pub(crate) fn page<'b>(book: &'b mut Workbook, name: &str, rows: &[&[&str]]) -> &'b mut Worksheet {
    let page = book.add_worksheet().set_name(name).unwrap();
    for (row, cells) in (0..).zip(rows) {
        for (column, text) in (0..).zip(*cells) {
            if !text.is_empty() {
                page.write_string(row, column, *text).unwrap();
            }
        }
    }
    page
}
