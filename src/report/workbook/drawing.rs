//! Charts that the spreadsheet draws from the table above them: legible in print, and in colours that
//! the colour-blind tell apart.
//!
//! Colours are of M. Okabe and K. Ito, *Color Universal Design* (2008), but for the grades, which differ
//! in lightness as well and have the colours that they have everywhere in the workbook.

use rust_xlsxwriter::{
    Chart, ChartAxis, ChartAxisCrossing, ChartDataLabel, ChartFont, ChartFormat,
    ChartLegendPosition, ChartLine, ChartMarker, ChartMarkerType, ChartSeries, ChartSolidFill,
    ChartType,
};

use super::styles::colour;

/// Okabe-Ito orange.
pub(super) const ORANGE: u32 = 0x00E6_9F00;
/// Okabe-Ito blue.
pub(super) const BLUE: u32 = 0x0000_72B2;
/// Okabe-Ito vermilion.
pub(super) const VERMILION: u32 = 0x00D5_5E00;
/// Okabe-Ito bluish green.
pub(super) const GREEN: u32 = 0x0000_9E73;
/// What is open.
pub(super) const GREY: u32 = 0x00C9_CDD2;

const LINE: u32 = 0x00D0_D4D9;
const INK: u32 = 0x001F_2328;
const WIDTH: u32 = 860;

/// A chart of the table before it.
pub(in crate::report) struct Drawing {
    pub(super) title: &'static str,
    pub(super) shape: Shape,
    /// The column of the names.
    pub(super) names: u16,
    /// The columns of the figures, each with its colour.
    pub(super) figures: Vec<(u16, u32)>,
}

/// What a chart looks like.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Shape {
    /// Upright bars of the first figures, and a line of the second, which are shares.
    Pareto,
    /// Lying bars, the figures of a line one after the other.
    Stacked,
    /// Lying bars of shares that make a whole.
    Shares,
}

/// The chart of a table whose header and last row are given, and its height in pixels.
pub(super) fn chart(drawing: &Drawing, sheet: &str, header: u32, last: u32) -> (Chart, u32) {
    let table = Range { sheet, header, last, names: drawing.names };
    let (mut chart, height) = match drawing.shape {
        Shape::Pareto => (pareto(&table, &drawing.figures), 420),
        Shape::Stacked | Shape::Shares => {
            (lying(&table, drawing), 130 + 21 * (last - header).max(3))
        }
    };
    chart.title().set_name(drawing.title).set_font(ChartFont::new().set_size(13).set_bold());
    chart.legend().set_position(ChartLegendPosition::Bottom).set_font(&font());
    chart.set_width(WIDTH).set_height(height).set_alt_text(drawing.title);
    (chart, height)
}

struct Range<'a> {
    sheet: &'a str,
    header: u32,
    last: u32,
    names: u16,
}

fn font() -> ChartFont {
    let mut font = ChartFont::new();
    font.set_size(10).set_color(colour(INK));
    font
}

/// Adds the figures of a column.
fn series<'c>(
    chart: &'c mut Chart,
    table: &Range<'_>,
    column: u16,
    mut format: ChartFormat,
) -> &'c mut ChartSeries {
    let Range { sheet, header, last, names } = *table;
    chart
        .add_series()
        .set_name((sheet, header, column))
        .set_categories((sheet, header + 1, names, last, names))
        .set_values((sheet, header + 1, column, last, column))
        .set_format(&mut format)
}

/// A fill with a thin outline, so that pale parts stand out on paper.
fn filled(rgb: u32) -> ChartFormat {
    let mut format = ChartFormat::new();
    format.set_solid_fill(ChartSolidFill::new().set_color(colour(rgb)));
    format.set_border(ChartLine::new().set_color(colour(0x0060_6770)).set_width(0.5));
    format
}

fn plain(axis: &mut ChartAxis) -> &mut ChartAxis {
    axis.set_font(&font()).set_major_gridlines_line(ChartLine::new().set_color(colour(LINE)))
}

fn pareto(table: &Range<'_>, figures: &[(u16, u32)]) -> Chart {
    let mut bars = Chart::new(ChartType::Column);
    let mut line = Chart::new(ChartType::Line);
    if let [(counts, bar), (shares, stroke), ..] = figures {
        let label = ChartDataLabel::new().show_value().set_font(&font()).clone();
        series(&mut bars, table, *counts, filled(*bar)).set_gap(30).set_data_label(&label);
        let mut format = ChartFormat::new();
        format.set_line(ChartLine::new().set_color(colour(*stroke)).set_width(2.25));
        let mut marker = ChartMarker::new();
        marker.set_type(ChartMarkerType::Diamond).set_size(8).set_format(&mut filled(*stroke));
        series(&mut line, table, *shares, format).set_marker(&marker).set_secondary_axis(true);
    }
    plain(bars.x_axis()).set_major_gridlines(false);
    plain(bars.y_axis()).set_min(0).set_num_format("#,##0").set_name("Violations");
    bars.y_axis().set_name_font(&font());
    // The second scale belongs to the chart that is drawn first.
    bars.y2_axis().set_min(0).set_max(1).set_num_format("0%").set_font(&font());
    bars.y2_axis().set_name("Share of all, summed up").set_name_font(&font());
    bars.combine(&line);
    bars
}

fn lying(table: &Range<'_>, drawing: &Drawing) -> Chart {
    let mut chart = Chart::new(ChartType::BarStacked);
    for (column, rgb) in &drawing.figures {
        series(&mut chart, table, *column, filled(*rgb)).set_gap(40).set_overlap(100);
    }
    // The first line stands at the top, and the scale below the last.
    plain(chart.y_axis()).set_reverse().set_crossing(ChartAxisCrossing::Max);
    chart.y_axis().set_major_gridlines(false).set_label_interval(1);
    plain(chart.x_axis()).set_major_gridlines(true).set_min(0);
    if drawing.shape == Shape::Shares {
        chart.x_axis().set_max(1).set_major_unit(0.2).set_num_format("0%");
    } else {
        chart.x_axis().set_num_format("#,##0");
    }
    chart
}
