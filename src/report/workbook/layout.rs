//! Writes the plan of a sheet: rows from top to bottom, on as many sheets as they need.

use rust_xlsxwriter::{
    Chart, ChartAxisCrossing, ChartDataLabel, ChartFont, ChartFormat, ChartLegendPosition,
    ChartLine, ChartSolidFill, ChartType, ConditionalFormat2ColorScale, ConditionalFormatFormula,
    ExcelDateTime, Format, Note, ProtectionOptions, Url, Worksheet, XlsxError,
};

use super::drawing;
use super::entry;
use super::measure::{LINE_HEIGHT, fitting, height, lines, text_span, widths};
use crate::report::cautions;
use crate::report::names::sheet_part;

use super::book::{Book, Guard};
use super::plan::{Bars, Block, Cell, MARKS, Paper, Plan, Table};
use super::styles::colour;
use super::violations;

/// Characters that a link holds at most.
const LINK_LIMIT: usize = 2079;
/// Rows at the top that may stay in sight: more would leave no room to scroll.
const FROZEN_ROWS: u32 = 8;
/// Numbers of the paper sizes in the file format.
const LETTER: u8 = 1;
const TABLOID: u8 = 3;
/// Per cent at which an upright page holds the columns of the summary.
const UPRIGHT_SCALE: u16 = 68;
/// Sizes of a chart of bars, in pixels.
const BARS_FRAME: u32 = 96;
const BAR: u32 = 19;
const BARS_WIDTH: u32 = 800;
/// Edge of a bar: it parts neighbours that print in like greys.
const BAR_EDGE: u32 = 0x0040_4040;
const GRID: u32 = 0x00D0_D4D9;
/// A number, and nothing for 0.
const NO_ZEROS: &str = "#,##0;;;";
/// Characters that the header or footer of a page holds at most.
const PAGE_LINE_LIMIT: usize = 255;

/// Lays a plan out on as many sheets as it needs.
pub(super) fn laid_out(
    plan: &Plan<'_>,
    book: &Book,
    guard: Guard,
) -> Result<Vec<Worksheet>, XlsxError> {
    let mut layout = Layout {
        plan,
        book,
        guard,
        widths: widths(plan),
        sheet: new_sheet(book, plan)?,
        full: Vec::new(),
        row: 0,
        links: 0,
        breaks: Vec::new(),
        table: None,
        usual: Vec::new(),
    };
    let before = std::iter::once(None).chain(plan.blocks.iter().map(Some));
    for (block, before) in plan.blocks.iter().zip(before) {
        layout.gap(before, block);
        layout.block(block)?;
    }
    layout.finish()?;
    let Layout { mut full, sheet, .. } = layout;
    full.push(sheet);
    Ok(full)
}

/// Registers are long and are streamed; a sheet with a chart is kept, since the chart reads it.
fn new_sheet(book: &Book, plan: &Plan<'_>) -> Result<Worksheet, XlsxError> {
    let is_chart = |block: &Block<'_>| matches!(block, Block::Chart(_) | Block::Drawing(_));
    let charted = plan.blocks.iter().any(is_chart);
    if charted { Ok(Worksheet::new()) } else { book.streamed_sheet() }
}

/// Where a table stands on its sheet: its header and its last row.
#[derive(Clone, Copy)]
struct Stand {
    header: u32,
    last: u32,
    columns: u16,
}

struct Layout<'p> {
    plan: &'p Plan<'p>,
    book: &'p Book,
    guard: Guard,
    widths: Vec<f64>,
    sheet: Worksheet,
    /// The sheets before it.
    full: Vec<Worksheet>,
    row: u32,
    links: usize,
    /// The first rows of new pages.
    breaks: Vec<u32>,
    /// The last table on this sheet.
    table: Option<Stand>,
    /// In a register, the format that the cells of each column mostly have and need not name: to look a
    /// format up for each cell takes longer than all else. None for columns that are filled in.
    usual: Vec<Option<&'p Format>>,
}

impl Layout<'_> {
    /// Leaves a row free between blocks that do not belong together.
    fn gap(&mut self, before: Option<&Block<'_>>, block: &Block<'_>) {
        let together = match (before, block) {
            (None | Some(Block::Heading(_) | Block::PageBreak), _)
            | (Some(Block::Paragraph(_)), Block::Paragraph(_))
            | (Some(Block::Warning(_)), Block::Warning(_)) => true,
            _ => self.row == 0,
        };
        if !together {
            self.next_row();
        }
    }

    fn block(&mut self, block: &Block<'_>) -> Result<(), XlsxError> {
        let styles = &self.book.styles;
        match block {
            Block::Title(text) => self.line(text, &styles.title, 27.0),
            Block::Heading(text) => self.line(text, &styles.heading, 20.0),
            Block::Paragraph(text) => self.running(text, &styles.paragraph),
            Block::Warning(text) => self.running(text, &styles.warning),
            Block::Pairs(pairs) => pairs.iter().try_for_each(|(name, value)| {
                self.room(1)?;
                self.sheet.write_string_with_format(self.row, 0, *name, &styles.name)?;
                self.cell(1, value.clone(), styles.of_value(value))?;
                self.next_row();
                Ok(())
            }),
            Block::Table(table) => self.table(table),
            Block::Chart(bars) => self.chart(bars),
            Block::Drawing(drawing) => {
                let Some(Stand { header, last, .. }) = self.table else { return Ok(()) };
                let (chart, height) = drawing::chart(drawing, &self.name(), header, last);
                self.sheet.insert_chart(self.row, 0, &chart)?;
                self.row += height / 20 + 2;
                Ok(())
            }
            Block::PageBreak => {
                self.breaks.push(self.row);
                Ok(())
            }
        }
    }

    fn line(&mut self, text: &str, format: &Format, height: f64) -> Result<(), XlsxError> {
        self.room(1)?;
        self.sheet.set_row_height(self.row, height)?;
        self.string(0, text, format)?;
        self.next_row();
        Ok(())
    }

    /// Text across columns, as high as it needs: merged cells do not fit themselves.
    fn running(&mut self, text: &str, format: &Format) -> Result<(), XlsxError> {
        self.room(1)?;
        let (span, width) = text_span(&self.widths);
        self.sheet.set_row_height(self.row, f64::from(lines(text, width)) * LINE_HEIGHT + 3.0)?;
        if span > 1 {
            let last = span - 1;
            let text = fitting(text.to_owned());
            self.sheet.merge_range(self.row, 0, self.row, last, &text, format)?;
        } else {
            self.string(0, text, format)?;
        }
        self.next_row();
        Ok(())
    }

    fn table(&mut self, table: &Table<'_>) -> Result<(), XlsxError> {
        self.room(2)?;
        self.header(table)?;
        if table.rows == 0 {
            self.cell(0, Cell::Note(table.empty), &self.book.styles.value)?;
            self.next_row();
        }
        for row in 0..table.rows {
            if self.row >= self.book.limits.rows {
                self.end_table(table)?;
                self.next_sheet()?;
                self.header(table)?;
            }
            let cells = (table.row)(row);
            self.fit(cells.iter().map(Cell::wrapping))?;
            for (cell, column) in cells.into_iter().zip(0..) {
                let format = self.book.styles.of(&cell);
                self.cell(column, cell, format)?;
            }
            if let Some(stand) = &mut self.table {
                stand.last = self.row;
            }
            self.next_row();
        }
        self.end_table(table)
    }

    /// What a table needs when its last row on this sheet is written.
    fn end_table(&mut self, table: &Table<'_>) -> Result<(), XlsxError> {
        self.shade(table)?;
        self.rule_lines()?;
        self.guide_entries(table)
    }

    /// Guides what is typed into the columns of a table, as far as it stands on this sheet.
    fn guide_entries(&mut self, table: &Table<'_>) -> Result<(), XlsxError> {
        let Some(Stand { header, last, .. }) = self.table else { return Ok(()) };
        for (column, place) in table.columns.iter().zip(0..) {
            if column.hidden {
                self.sheet.set_column_hidden(place)?;
            }
            if let Some(entry) = column.entry.filter(|_| last > header) {
                let guide = entry::guide(entry)?;
                self.sheet.add_data_validation(header + 1, place, last, place, &guide)?;
            }
        }
        Ok(())
    }

    /// Shades the part of a table that stands on this sheet.
    fn shade(&mut self, table: &Table<'_>) -> Result<(), XlsxError> {
        let (Some((from, to)), Some(Stand { header, last, .. })) = (table.shaded, self.table)
        else {
            return Ok(());
        };
        if last > header {
            let scale = ConditionalFormat2ColorScale::new()
                .set_minimum_color(colour(0x00FF_FFFF))
                .set_maximum_color(colour(drawing::ORANGE));
            self.sheet.add_conditional_format(header + 1, from, last, to, &scale)?;
        }
        Ok(())
    }

    /// Gives the columns of a register the look that most of their cells have.
    fn usual_formats(&mut self, first: &[Cell]) -> Result<(), XlsxError> {
        self.usual.clear();
        for (like, column) in first.iter().zip(0..).filter(|_| self.plan.register) {
            let formats = self.book.styles.of_column(like);
            if let Some((_, of_column)) = formats {
                self.sheet.set_column_format(column, of_column)?;
            }
            self.usual.push(formats.map(|(of_cell, _)| of_cell));
        }
        Ok(())
    }

    /// Draws the lines between the rows of a register, blank cells included.
    fn rule_lines(&mut self) -> Result<(), XlsxError> {
        let Some(Stand { header, last, .. }) = self.table else { return Ok(()) };
        let always = ConditionalFormatFormula::new().set_rule("TRUE");
        let lines = always.set_format(&self.book.styles.lines);
        let mut next = 0;
        for run in self.usual.chunk_by(|one, other| one.is_some() == other.is_some()) {
            let first = next;
            next += u16::try_from(run.len()).unwrap_or(u16::MAX);
            if last > header && run[0].is_some() {
                self.sheet.add_conditional_format(header + 1, first, last, next - 1, &lines)?;
            }
        }
        Ok(())
    }

    fn header(&mut self, table: &Table<'_>) -> Result<(), XlsxError> {
        let first = if table.rows > 0 { (table.row)(0) } else { Vec::new() };
        self.usual_formats(&first)?;
        self.fit(table.columns.iter().map(|column| column.header))?;
        for (column, place) in table.columns.iter().zip(0..) {
            let figures = first.get(usize::from(place)).is_some_and(Cell::is_figure);
            let format =
                if figures { &self.book.styles.figure_header } else { &self.book.styles.header };
            self.sheet.write_string_with_format(self.row, place, column.header, format)?;
            if let Some(note) = column.note {
                self.sheet.insert_note(self.row, place, &header_note(note))?;
            }
        }
        let columns = u16::try_from(table.columns.len()).unwrap_or(u16::MAX);
        self.table = Some(Stand { header: self.row, last: self.row, columns });
        self.next_row();
        Ok(())
    }

    /// Makes the row as high as its texts need: programs do not do so by themselves.
    fn fit<'t>(&mut self, texts: impl Iterator<Item = &'t str>) -> Result<(), XlsxError> {
        if let Some(height) = height(texts.zip(self.widths.iter().copied())) {
            self.sheet.set_row_height(self.row, height)?;
        }
        Ok(())
    }

    fn cell(&mut self, column: u16, cell: Cell, format: &Format) -> Result<(), XlsxError> {
        match cell {
            // The column has the look already.
            Cell::Blank if self.is_usual(column, format) => Ok(()),
            Cell::Blank | Cell::ToFillIn | Cell::DateToFillIn | Cell::Open => {
                self.sheet.write_blank(self.row, column, format).map(drop)
            }
            Cell::Text(text)
            | Cell::Strong(text)
            | Cell::Known(text)
            | Cell::ToCheck(text)
            | Cell::Carried(text) => self.string(column, text, format),
            Cell::Faint(text) | Cell::NoShare(text) | Cell::Note(text) => {
                self.string(column, text, format)
            }
            Cell::Count(count) => self.number(column, count, format),
            Cell::CountAt(count, violation) => {
                if let Some(place) = violation {
                    self.link_to_violation(column, place, format)?;
                }
                self.number(column, count, format)
            }
            Cell::Decimal(figure) | Cell::Share(figure) => {
                self.sheet.write_number_with_format(self.row, column, figure, format).map(drop)
            }
            Cell::Date(date) => match excel_date(date) {
                Some(day) => {
                    self.sheet.write_datetime_with_format(self.row, column, &day, format).map(drop)
                }
                None => self.string(column, date.to_string(), format),
            },
            Cell::Grade(grade) => self.string(column, grade.word(), format),
            Cell::Link(link) if self.links < self.book.limits.links && link.len() <= LINK_LIMIT => {
                self.links += 1;
                self.sheet.write_url_with_format(self.row, column, Url::new(link), format).map(drop)
            }
            Cell::Link(link) => self.string(column, link, format),
        }
    }

    /// Whether the cells of a column look so without being told.
    fn is_usual(&self, column: u16, format: &Format) -> bool {
        let usual = self.usual.get(usize::from(column)).copied().flatten();
        usual.is_some_and(|usual| std::ptr::eq(usual, format))
    }

    fn string(
        &mut self,
        column: u16,
        text: impl Into<String>,
        format: &Format,
    ) -> Result<(), XlsxError> {
        let text = fitting(text.into());
        if self.is_usual(column, format) {
            self.sheet.write_string(self.row, column, text).map(drop)
        } else {
            self.sheet.write_string_with_format(self.row, column, text, format).map(drop)
        }
    }

    #[expect(clippy::cast_precision_loss, reason = "a spreadsheet holds doubles only")]
    fn number(&mut self, column: u16, count: u64, format: &Format) -> Result<(), XlsxError> {
        if self.is_usual(column, format) {
            self.sheet.write_number(self.row, column, count as f64).map(drop)
        } else {
            self.sheet.write_number_with_format(self.row, column, count as f64, format).map(drop)
        }
    }

    /// Links a cell to a violation, unless it stands on a further part of their sheet. The text of the
    /// link is then written over by the figure of the cell.
    fn link_to_violation(
        &mut self,
        column: u16,
        place: usize,
        format: &Format,
    ) -> Result<(), XlsxError> {
        let row = u32::try_from(place).unwrap_or(u32::MAX).saturating_add(violations::FIRST_ROW);
        if row >= self.book.limits.rows || self.links >= self.book.limits.links {
            return Ok(());
        }
        self.links += 1;
        let link = Url::new(format!("internal:{}!A{}", violations::NAME, row + 1)).set_text(" ");
        self.sheet.write_url_with_format(self.row, column, link, format)?;
        Ok(())
    }

    fn chart(&mut self, bars: &Bars) -> Result<(), XlsxError> {
        let Some(Stand { header, last, .. }) = self.table else { return Ok(()) };
        let name = self.name();
        let first = header + 1;
        let mut chart = Chart::new(ChartType::BarStacked);
        let edge = ChartLine::new().set_color(colour(BAR_EDGE)).set_width(0.5).clone();
        let mut figures = ChartDataLabel::new();
        figures.show_value().set_num_format(NO_ZEROS).set_font(ChartFont::new().set_size(9));
        for (column, rgb) in &bars.figures {
            let fill = ChartSolidFill::new().set_color(colour(*rgb)).clone();
            chart
                .add_series()
                .set_name((name.as_str(), header, *column))
                .set_categories((name.as_str(), first, bars.names, last, bars.names))
                .set_values((name.as_str(), first, *column, last, *column))
                .set_format(ChartFormat::new().set_solid_fill(&fill).set_border(&edge))
                .set_data_label(&figures)
                .set_gap(35)
                .set_overlap(100);
        }
        chart.title().set_name(bars.title).set_font(ChartFont::new().set_size(12).set_bold());
        chart.legend().set_position(ChartLegendPosition::Bottom);
        chart.y_axis().set_reverse().set_crossing(ChartAxisCrossing::Max);
        let grid = ChartLine::new().set_color(colour(GRID)).set_width(0.5).clone();
        chart.x_axis().set_num_format("#,##0").set_major_gridlines_line(&grid);
        let height = BARS_FRAME + BAR * (last - header);
        chart.set_width(BARS_WIDTH).set_height(height).set_alt_text(bars.title);
        self.sheet.insert_chart(self.row, 0, &chart)?;
        self.row += height.div_ceil(20);
        Ok(())
    }

    const fn next_row(&mut self) {
        self.row += 1;
    }

    /// Goes on on the next sheet unless this one has room for so many rows.
    fn room(&mut self, rows: u32) -> Result<(), XlsxError> {
        if self.row + rows > self.book.limits.rows { self.next_sheet() } else { Ok(()) }
    }

    fn next_sheet(&mut self) -> Result<(), XlsxError> {
        self.finish()?;
        let next = new_sheet(self.book, self.plan)?;
        self.full.push(std::mem::replace(&mut self.sheet, next));
        self.row = 0;
        self.links = 0;
        self.breaks.clear();
        self.table = None;
        Ok(())
    }

    fn name(&self) -> String {
        match self.full.len() {
            0 => self.plan.name.to_owned(),
            before => sheet_part(self.plan.name, u32::try_from(before + 1).unwrap_or(u32::MAX)),
        }
    }

    fn finish(&mut self) -> Result<(), XlsxError> {
        let name = self.name();
        let sheet = &mut self.sheet;
        sheet.set_name(name)?;
        sheet.set_tab_color(colour(self.plan.tab));
        for (width, column) in self.widths.iter().zip(0..) {
            sheet.set_column_width(column, *width)?;
        }
        if let Some(Stand { header, last, columns }) = self.table
            && self.plan.register
        {
            if header < FROZEN_ROWS {
                let columns = match self.plan.paper {
                    Paper::ToFillIn(_, columns) => columns,
                    _ => 0,
                };
                sheet.set_freeze_panes(header + 1, columns)?;
            }
            sheet.set_repeat_rows(header, header)?;
            if last > header {
                sheet.autofilter(header, 0, last, columns - 1)?;
            }
        }
        sheet.set_screen_gridlines(false);
        match self.plan.paper {
            Paper::LetterUpright => {
                sheet.set_paper_size(LETTER).set_portrait().set_print_scale(UPRIGHT_SCALE);
            }
            Paper::LetterPage => {
                sheet.set_paper_size(LETTER).set_portrait().set_print_fit_to_pages(1, 1);
            }
            Paper::Letter => {
                sheet.set_paper_size(LETTER).set_landscape().set_print_fit_to_pages(1, 0);
            }
            Paper::LetterOf(columns) | Paper::ToFillIn(columns, _) => {
                sheet.set_paper_size(LETTER).set_landscape().set_print_fit_to_pages(1, 0);
                let last = self.row.saturating_sub(1);
                sheet.set_print_area(0, 0, last, columns.saturating_sub(1))?;
            }
            Paper::Tabloid => {
                sheet.set_paper_size(TABLOID).set_landscape().set_print_fit_to_pages(1, 0);
            }
        }
        sheet.set_page_breaks(&self.breaks)?;
        let bottom = if self.plan.is_filled_in() { 0.85 } else { 0.65 };
        sheet.set_margins(0.4, 0.4, 0.65, bottom, 0.3, 0.3);
        sheet.set_header(&self.book.page_header);
        sheet.set_footer(page_footer(self.plan));
        if self.guard == Guard::Guarded {
            sheet.protect_with_options(&guarded());
        }
        Ok(())
    }
}

/// The line at the foot of each page: what it is, what must not be overlooked on it, its number.
fn page_footer(plan: &Plan<'_>) -> String {
    if plan.is_filled_in() {
        // A footer does not wrap by itself.
        let caution = cautions::FIRST.replacen("persons ", "persons\n", 1);
        return format!("&L&8&A&C&8{caution}&R&8Page &P of &N");
    }
    let middle = if plan.cites() { MARKS } else { "" };
    format!("&L&8&F: &A&C&8{middle}&R&8Page &P of &N")
}

/// What may be done to a sheet whose other cells are guarded against slips: no password, since that is
/// all the guard is for.
fn guarded() -> ProtectionOptions {
    ProtectionOptions {
        format_columns: true,
        format_rows: true,
        use_autofilter: true,
        ..ProtectionOptions::new()
    }
}

/// A note that shows when a header is rested on.
fn header_note(text: &str) -> Note {
    Note::new(text).add_author_prefix(false).set_width(280).set_height(110)
}

/// A date as a spreadsheet counts it; none before 1900.
pub(super) fn excel_date(date: jiff::civil::Date) -> Option<ExcelDateTime> {
    let year = u16::try_from(date.year()).ok()?;
    let month = u8::try_from(date.month()).ok()?;
    let day = u8::try_from(date.day()).ok()?;
    ExcelDateTime::from_ymd(year, month, day).ok()
}

/// The line at the head of each page: the project at the left, the date at the right.
pub(super) fn page_header(project: &str, date: jiff::civil::Date) -> String {
    let right = format!("&RAudit of {date}");
    let mut left = String::from("&L");
    for one in project.chars().filter(|one| !one.is_control()) {
        let more = if one == '&' { "&&".to_owned() } else { one.to_string() };
        let used: usize = left.chars().count() + more.len() + right.len();
        if used > PAGE_LINE_LIMIT {
            break;
        }
        left.push_str(&more);
    }
    left + &right
}
