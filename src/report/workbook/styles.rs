//! How cells look. Grades differ in lightness as well as in hue, and their word stands in the cell: they
//! can be told apart without colours.

use rust_xlsxwriter::{Color, Format, FormatAlign, FormatBorder, FormatUnderline};

use crate::rules::Grade;

use super::plan::Cell;

const RULE_LINE: u32 = 0x00D0_D4D9;
const HEADER: u32 = 0x001F_3A52;
const HEADING: u32 = 0x001F_3A52;
const LINK: u32 = 0x0005_63C1;
const FAINT: u32 = 0x0060_6770;
/// Cells that somebody fills in, and their edge.
const TO_FILL_IN: u32 = 0x00E6_F1FA;
const EDGE: u32 = 0x0090_A4B4;
/// Cells whose content is known already.
const KNOWN: u32 = 0x00EC_ECEC;

/// Colour of a grade: vermilion, orange and yellow of the palette of Okabe and Ito, "Color Universal
/// Design" (2008), which people who tell few hues apart can tell apart; in grey they print dark, middling
/// and light.
pub(super) const fn grade_colour(grade: Grade) -> u32 {
    match grade {
        Grade::Danger => 0x00D5_5E00,
        Grade::Latent => 0x00E6_9F00,
        Grade::Workmanship => 0x00F0_E442,
    }
}

/// Declares the formats of a workbook, and their order.
macro_rules! styles {
    ($($(#[doc = $doc:literal])* $name:ident,)*) => {
        /// The formats of a workbook.
        pub(super) struct Styles {
            $($(#[doc = $doc])* pub(super) $name: Format,)*
            grades: [Format; 3],
            /// The lines between the rows of a register, as a condition that always holds: the format of no
            /// cell.
            pub(super) lines: Format,
        }

        impl Styles {
            /// All formats of cells, always in the same order.
            pub(super) fn all(&self) -> impl Iterator<Item = &Format> {
                [$(&self.$name),*].into_iter().chain(&self.grades)
            }
        }
    };
}

styles! {
    title,
    heading,
    paragraph,
    warning,
    header,
    /// The header of a column of figures.
    figure_header,
    name,
    /// Values of pairs: no lines, no wrapping.
    value,
    value_count,
    value_share,
    value_date,
    note,
    text,
    strong,
    faint,
    no_share,
    count,
    count_or_dash,
    linked_count,
    decimal,
    share,
    date,
    link,
    to_fill_in,
    date_to_fill_in,
    known,
    open,
    /// Columns of registers: their cells get their lines from `lines`, all at once.
    text_column,
    strong_column,
    count_column,
}

// Each leaves the width of a letter at its right, since the next column may begin with text.
const COUNT: &str = "#,##0_M";
const COUNT_OR_DASH: &str = "#,##0_M;-#,##0_M;–_M";
const DECIMAL: &str = "#,##0.0_M;-#,##0.0_M;–_M";
const SHARE: &str = "0.0%_M";
const BESIDE_FIGURES: &str = "@_M";
const DATE: &str = "yyyy-mm-dd";

impl Styles {
    pub(super) fn new() -> Self {
        let plain = || Format::new().set_align(FormatAlign::Top);
        let ruled = || {
            plain().set_border_bottom(FormatBorder::Thin).set_border_bottom_color(colour(RULE_LINE))
        };
        let wrapped = || ruled().set_text_wrap();
        let bare = |format: Format| format.set_border_bottom(FormatBorder::None);
        let figure = |format: Format| format.set_align(FormatAlign::Right);
        let header = || {
            let white = plain().set_bold().set_text_wrap().set_font_color(Color::White);
            white.set_background_color(colour(HEADER))
        };
        let left = || plain().set_align(FormatAlign::Left);
        let grade = |grade: Grade| {
            let format = ruled().set_background_color(colour(grade_colour(grade)));
            if grade == Grade::Workmanship { format } else { format.set_bold() }
        };
        let to_fill_in = || {
            let boxed = plain().set_border(FormatBorder::Thin).set_border_color(colour(EDGE));
            boxed.set_text_wrap().set_background_color(colour(TO_FILL_IN)).set_unlocked()
        };
        let open = || {
            let boxed = plain().set_border(FormatBorder::Thin).set_border_color(colour(RULE_LINE));
            boxed.set_text_wrap().set_num_format("@").set_unlocked()
        };
        Self {
            title: plain().set_bold().set_font_size(18).set_font_color(colour(HEADING)),
            heading: plain().set_bold().set_font_size(13).set_font_color(colour(HEADING)),
            paragraph: plain().set_text_wrap(),
            warning: plain()
                .set_text_wrap()
                .set_bold()
                .set_background_color(colour(0x00FF_F1D6))
                .set_border(FormatBorder::Thin)
                .set_border_color(colour(0x00B0_3A12)),
            header: header(),
            figure_header: figure(header()).set_num_format(BESIDE_FIGURES),
            name: plain().set_font_color(colour(FAINT)),
            value: left(),
            value_count: left().set_num_format(COUNT),
            value_share: left().set_num_format(SHARE),
            value_date: left().set_num_format(DATE),
            note: ruled(),
            text: wrapped(),
            strong: wrapped().set_bold(),
            faint: wrapped().set_font_color(colour(FAINT)).set_italic(),
            no_share: figure(ruled().set_font_color(colour(FAINT)).set_italic())
                .set_num_format(BESIDE_FIGURES),
            count: figure(ruled().set_num_format(COUNT)),
            count_or_dash: figure(ruled().set_num_format(COUNT_OR_DASH)),
            // In black: blue would not stand out from a shade.
            linked_count: figure(ruled().set_num_format(COUNT))
                .set_underline(FormatUnderline::Single),
            decimal: figure(ruled().set_num_format(DECIMAL)),
            share: figure(ruled().set_num_format(SHARE)),
            date: ruled().set_num_format(DATE).set_align(FormatAlign::Left),
            link: wrapped().set_font_color(colour(LINK)).set_underline(FormatUnderline::Single),
            grades: Grade::ALL.map(grade),
            to_fill_in: to_fill_in().set_num_format("@"),
            date_to_fill_in: to_fill_in().set_num_format(DATE),
            known: open().set_font_color(colour(FAINT)).set_background_color(colour(KNOWN)),
            open: open(),
            text_column: bare(wrapped()),
            strong_column: bare(wrapped().set_bold()),
            count_column: bare(figure(ruled().set_num_format(COUNT))),
            lines: Format::new()
                .set_border_bottom(FormatBorder::Thin)
                .set_border_bottom_color(colour(RULE_LINE)),
        }
    }

    /// The format of a cell of a table.
    pub(super) const fn of(&self, cell: &Cell) -> &Format {
        match cell {
            Cell::Blank | Cell::Text(_) => &self.text,
            Cell::Strong(_) => &self.strong,
            Cell::Faint(_) => &self.faint,
            Cell::NoShare(_) => &self.no_share,
            Cell::Note(_) | Cell::Carried(_) => &self.note,
            Cell::Count(_) => &self.count,
            Cell::CountAt(_, None) => &self.count_or_dash,
            Cell::CountAt(_, Some(_)) => &self.linked_count,
            Cell::Decimal(_) => &self.decimal,
            Cell::Share(_) => &self.share,
            Cell::Date(_) => &self.date,
            Cell::Link(_) => &self.link,
            Cell::Grade(grade) => &self.grades[*grade as usize],
            Cell::ToFillIn | Cell::ToCheck(_) => &self.to_fill_in,
            Cell::DateToFillIn => &self.date_to_fill_in,
            Cell::Known(_) => &self.known,
            Cell::Open => &self.open,
        }
    }

    /// How a column looks most of whose cells are like this one: such a cell by itself, and the column
    /// of a register, which makes cells of this look that name no format. None where the cells are boxes.
    pub(super) const fn of_column(&self, like: &Cell) -> Option<(&Format, &Format)> {
        match like {
            Cell::ToFillIn
            | Cell::DateToFillIn
            | Cell::Open
            | Cell::Known(_)
            | Cell::ToCheck(_) => None,
            Cell::Strong(_) => Some((&self.strong, &self.strong_column)),
            Cell::Count(_) => Some((&self.count, &self.count_column)),
            _ => Some((&self.text, &self.text_column)),
        }
    }

    /// The format of a value beside its name.
    pub(super) const fn of_value(&self, cell: &Cell) -> &Format {
        match cell {
            Cell::Count(_) => &self.value_count,
            Cell::Share(_) => &self.value_share,
            Cell::Date(_) => &self.value_date,
            _ => &self.value,
        }
    }
}

/// A colour of three bytes.
pub(super) const fn colour(rgb: u32) -> Color {
    Color::RGB(rgb)
}
