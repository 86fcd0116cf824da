//! The reports of an audit made by hand, read back: CSV files against golden texts, the page, JSON
//! lines and Parquet tables, the workbook cell by cell.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod corrections;
mod csv_files;
mod example;
mod figure_sheets;
mod figures;
mod page;
mod tables;
mod workbook;
