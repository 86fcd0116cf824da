//! The plan of a sheet: its blocks from top to bottom. A plan says what stands there; [`super::layout`]
//! says where and writes it, and the page of [`crate::report::html`] shows the same blocks.

use jiff::civil::Date;

use crate::rules::Grade;

use super::drawing::Drawing;

/// A sheet of the workbook.
pub(in crate::report) struct Plan<'a> {
    /// Its name; further parts get a number.
    pub(in crate::report) name: &'a str,
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
    /// 8.5 x 11 in upright, all on one page.
    LetterPage,
    /// 11 x 8.5 in.
    Letter,
    /// 11 x 8.5 in, and only the first columns: the rest is for the screen.
    LetterOf(u16),
    /// The same, with the first caution at the foot of each page and room to write; the second number is of
    /// columns that stay in sight at the left.
    ToFillIn(u16, u16),
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
    /// A drawing of the table before it.
    Drawing(Drawing),
    /// What follows is printed on a new page.
    PageBreak,
}

/// A table: its rows are made when they are written.
pub(in crate::report) struct Table<'a> {
    pub(in crate::report) columns: Vec<Column>,
    pub(in crate::report) rows: usize,
    pub(in crate::report) row: Box<dyn Fn(usize) -> Vec<Cell> + Send + Sync + 'a>,
    /// What stands in place of the rows when there is none.
    pub(in crate::report) empty: &'static str,
    /// Columns that are shaded together, the darker the greater, from the first to the last.
    pub(in crate::report) shaded: Option<(u16, u16)>,
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
    /// What is told to whoever rests on its header.
    pub(in crate::report) note: Option<&'static str>,
    /// What may be typed below its header.
    pub(in crate::report) entry: Option<Entry>,
    /// Whether it is out of sight.
    pub(in crate::report) hidden: bool,
}

/// What may be typed into the cells of a column.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::report) enum Entry {
    /// One of these words.
    Word(&'static [&'static str]),
    /// One of the words in a column of the sheet of lists, so many.
    Listed(u16, u32),
    /// A whole number from 0.
    Count,
    /// A day.
    Day,
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
    /// A count that leads to one of the violations on their sheet, by its place there; a dash for 0.
    CountAt(u64, Option<usize>),
    /// A figure with one decimal.
    Decimal(f64),
    /// A share from 0 to 1, shown in per cent.
    Share(f64),
    Date(Date),
    Grade(Grade),
    /// Room for a text that somebody fills in.
    ToFillIn,
    /// Room for a date that somebody fills in.
    DateToFillIn,
    /// What is known already, in grey; it can be changed.
    Known(String),
    /// What is recorded and in conflict with something else: to be looked at again.
    ToCheck(String),
    /// Room that nobody is asked to fill, and may.
    Open,
    /// What a later run reads: in one line, out of sight.
    Carried(String),
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
    Column { header, least, most, note: None, entry: None, hidden: false }
}

/// The column of citations, each with its mark of confidence.
pub(in crate::report) const SECTION: Column = column("Section", 9, 15).noted(MARKS);

/// What the marks beside sections mean.
pub(in crate::report) const MARKS: &str = "Sections are of NFPA 70. [c2]: confirmed by two or more published summaries; [c1]: by one; [m]: from memory. Check all against the adopted book.";

/// Whose the grades are.
pub(in crate::report) const GRADES_ARE_OURS: &str =
    "Grades are the program's own, for sorting. The code has none.";

impl Column {
    /// The same width under another header.
    pub(in crate::report) const fn named(self, header: &'static str) -> Self {
        Self { header, ..self }
    }

    /// With what may be typed below it.
    pub(in crate::report) const fn entered(self, entry: Entry) -> Self {
        Self { entry: Some(entry), ..self }
    }

    /// Out of sight.
    pub(in crate::report) const fn hidden(self) -> Self {
        Self { hidden: true, ..self }
    }

    /// With a note on its header.
    pub(in crate::report) const fn noted(self, note: &'static str) -> Self {
        Self { note: Some(note), ..self }
    }
}

impl Plan<'_> {
    /// Whether it has room that somebody fills in.
    pub(in crate::report) const fn is_filled_in(&self) -> bool {
        matches!(self.paper, Paper::ToFillIn(..))
    }

    /// Whether sections stand on it, with their marks.
    pub(in crate::report) fn cites(&self) -> bool {
        self.blocks.iter().any(|block| match block {
            Block::Table(table) => {
                table.columns.iter().any(|column| column.header == SECTION.header)
            }
            _ => false,
        })
    }
}

impl<'a> Table<'a> {
    /// A table whose rows are made one by one.
    pub(in crate::report) fn new(
        columns: Vec<Column>,
        rows: usize,
        row: impl Fn(usize) -> Vec<Cell> + Send + Sync + 'a,
    ) -> Self {
        Self { columns, rows, row: Box::new(row), empty: "None.", shaded: None }
    }

    /// A table of rows that are there.
    pub(in crate::report) fn of(columns: Vec<Column>, rows: Vec<Vec<Cell>>) -> Self {
        Self::new(columns, rows.len(), move |row| rows[row].clone())
    }

    /// With a sentence in place of rows when there is none.
    pub(in crate::report) fn or_else(self, empty: &'static str) -> Self {
        Self { empty, ..self }
    }

    /// With columns that are shaded together, from the first to the last.
    pub(in crate::report) fn shaded(self, first: u16, last: u16) -> Self {
        Self { shaded: Some((first, last)), ..self }
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
        matches!(
            self,
            Self::Count(_)
                | Self::CountAt(..)
                | Self::Decimal(_)
                | Self::Share(_)
                | Self::NoShare(_)
        )
    }

    /// A figure with one decimal, or why there is none.
    pub(in crate::report) fn decimal(figure: Option<f64>, otherwise: &'static str) -> Self {
        figure.map_or(Self::NoShare(otherwise), Self::Decimal)
    }

    /// A share, or why there is none.
    pub(in crate::report) fn share(share: Option<f64>, otherwise: &'static str) -> Self {
        share.map_or(Self::NoShare(otherwise), Self::Share)
    }
}
