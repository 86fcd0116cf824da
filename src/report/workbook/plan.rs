//! The plan of a sheet: its blocks from top to bottom. A plan says what stands there; [`super::layout`]
//! says where and writes it, and the page of [`crate::report::html`] shows the same blocks.

use jiff::civil::Date;

use crate::rules::Grade;

/// A sheet of the workbook.
pub(in crate::report) struct Plan<'a> {
    /// Its name; further parts get a number.
    pub(in crate::report) name: &'static str,
    /// Its blocks, from the top.
    pub(in crate::report) blocks: Vec<Block<'a>>,
    /// Paper on which it is printed.
    pub(in crate::report) paper: Paper,
    /// Whether it is mainly its one table: its header stays in sight and its columns can be filtered.
    pub(in crate::report) register: bool,
    /// Colour of its tab.
    pub(in crate::report) tab: u32,
}

/// How a sheet is printed: one page wide.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::report) enum Paper {
    /// 8.5 x 11 in upright, at a fixed scale, since fitted pages have no breaks of our own.
    LetterUpright,
    /// 11 x 8.5 in.
    Letter,
    /// 17 x 11 in.
    Tabloid,
}

/// A part of a sheet.
pub(in crate::report) enum Block<'a> {
    /// The title of the sheet.
    Title(String),
    /// The heading of what follows.
    Heading(String),
    /// Running text.
    Paragraph(String),
    /// Running text that must not be overlooked.
    Warning(String),
    /// Names and values, one pair a line.
    Pairs(Vec<(&'static str, Cell)>),
    /// A table.
    Table(Table<'a>),
    /// A chart of the table before it.
    Chart(Bars),
    /// What follows is printed on a new page.
    PageBreak,
}

/// A table: its rows are made when they are written.
pub(in crate::report) struct Table<'a> {
    pub(in crate::report) columns: Vec<Column>,
    pub(in crate::report) rows: usize,
    pub(in crate::report) row: Box<dyn Fn(usize) -> Vec<Cell> + 'a>,
    /// What stands in place of the rows when there is none.
    pub(in crate::report) empty: &'static str,
}

/// A column of a table.
#[derive(Clone, Copy, Debug)]
pub(in crate::report) struct Column {
    /// Its header.
    pub(in crate::report) header: &'static str,
    /// Least width, in characters.
    pub(in crate::report) least: u16,
    /// Greatest width, in characters; longer texts wrap.
    pub(in crate::report) most: u16,
}

/// What stands in a cell.
#[derive(Clone, PartialEq, Debug)]
pub(in crate::report) enum Cell {
    Blank,
    Text(String),
    Strong(String),
    /// A remark at the end of a row: it does not wrap and runs on to the right.
    Note(&'static str),
    /// What is not there, in grey.
    Faint(&'static str),
    /// Why there is no share, in grey.
    NoShare(&'static str),
    Count(u64),
    /// A share from 0 to 1, shown in per cent.
    Share(f64),
    Date(Date),
    Grade(Grade),
    /// A link to a page, shown as it is.
    Link(String),
}

/// Bars for the rows of a table, stacked by some of its columns.
pub(in crate::report) struct Bars {
    pub(in crate::report) title: &'static str,
    /// The column of the names.
    pub(in crate::report) names: u16,
    /// The columns of the figures, each with its colour.
    pub(in crate::report) figures: Vec<(u16, u32)>,
}

/// A column that fits its content between two widths.
pub(in crate::report) const fn column(header: &'static str, least: u16, most: u16) -> Column {
    Column { header, least, most }
}

impl Column {
    /// The same width under another header.
    pub(in crate::report) const fn named(self, header: &'static str) -> Self {
        Self { header, ..self }
    }
}

impl<'a> Table<'a> {
    /// A table whose rows are made one by one.
    pub(in crate::report) fn new(
        columns: Vec<Column>,
        rows: usize,
        row: impl Fn(usize) -> Vec<Cell> + 'a,
    ) -> Self {
        Self { columns, rows, row: Box::new(row), empty: "None." }
    }

    /// A table of rows that are there.
    pub(in crate::report) fn of(columns: Vec<Column>, rows: Vec<Vec<Cell>>) -> Self {
        Self::new(columns, rows.len(), move |row| rows[row].clone())
    }

    /// With a sentence in place of rows when there is none.
    pub(in crate::report) fn or_else(self, empty: &'static str) -> Self {
        Self { empty, ..self }
    }
}

impl<'a> From<Table<'a>> for Block<'a> {
    fn from(table: Table<'a>) -> Self {
        Self::Table(table)
    }
}

impl Cell {
    /// A text; blank when it is empty.
    pub(in crate::report) fn text(text: impl Into<String>) -> Self {
        let text = text.into();
        if text.is_empty() { Self::Blank } else { Self::Text(text) }
    }

    /// A recorded text, or that none is recorded.
    pub(in crate::report) fn recorded(text: &str) -> Self {
        if text.is_empty() { Self::Faint("(none recorded)") } else { Self::Text(text.to_owned()) }
    }

    /// Whether it stands at the right of its column.
    pub(in crate::report) const fn is_figure(&self) -> bool {
        matches!(self, Self::Count(_) | Self::Share(_) | Self::NoShare(_))
    }

    /// A share, or why there is none.
    pub(in crate::report) fn share(share: Option<f64>, otherwise: &'static str) -> Self {
        share.map_or(Self::NoShare(otherwise), Self::Share)
    }
}
