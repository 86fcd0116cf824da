//! Bar charts as inline SVG. The colours are those of Okabe and Ito (2008), told apart by people with any
//! kind of colour vision; those of the grades also differ in lightness, and every bar has an edge and its
//! figure, so that a page printed in grey says the same.

use std::io::{self, Write};

use crate::report::wording::grouped;
use crate::report::workbook::plan::{Bars, Cell, Table};
use crate::rules::Grade;
use crate::statistics::FloorLine;

use super::escape::Escaped;

/// Vermilion, orange, yellow, sky blue, blue, bluish green, reddish purple.
const COLOURS: [&str; 7] =
    ["#D55E00", "#E69F00", "#F0E442", "#56B4E9", "#0072B2", "#009E73", "#CC79A7"];
/// Bars of a chart at most.
const MOST_BARS: usize = 30;
/// Letters of a name at most.
const MOST_LETTERS: usize = 34;

const WIDTH: u32 = 760;
/// Where the bars begin.
const LEFT: u32 = 240;
/// Length of the longest bar; its figure stands right of it.
const LONGEST: u32 = 450;
const TOP: u32 = 34;
const BAR: u32 = 17;
const STEP: u32 = 24;

/// Bars, each stacked of the same parts.
struct Chart<'a> {
    title: &'a str,
    parts: Vec<&'a str>,
    bars: Vec<(String, Vec<u64>)>,
}

/// Bars stacked by grade, those with the most violations where there are too many.
pub(super) fn by_grade(
    title: &str,
    lines: Vec<(String, [u64; 3])>,
    out: &mut impl Write,
) -> io::Result<()> {
    let bars = lines.into_iter().map(|(name, figures)| (name, figures.to_vec())).collect();
    Chart { title, parts: Grade::ALL.map(Grade::word).into(), bars }.write(out)
}

/// The chart of a table.
pub(super) fn of_table(bars: &Bars, table: &Table<'_>, out: &mut impl Write) -> io::Result<()> {
    let header = |column: &u16| table.columns.get(usize::from(*column)).map(|one| one.header);
    let parts = bars.figures.iter().filter_map(|(column, _)| header(column)).collect();
    let figure = |cells: &[Cell], column: u16| match cells.get(usize::from(column)) {
        Some(Cell::Count(count)) => *count,
        _ => 0,
    };
    let bar = |row: usize| {
        let cells = (table.row)(row);
        let name = match cells.get(usize::from(bars.names)) {
            Some(Cell::Text(text) | Cell::Strong(text)) => text.clone(),
            Some(Cell::Faint(text)) => (*text).to_owned(),
            _ => String::new(),
        };
        let figures = bars.figures.iter().map(|(column, _)| figure(&cells, *column));
        (name, figures.collect())
    };
    Chart { title: bars.title, parts, bars: (0..table.rows).map(bar).collect() }.write(out)
}

/// The name of a floor with its building.
pub(super) fn floor_name(line: &FloorLine) -> String {
    match (line.building.as_str(), line.floor.as_str()) {
        ("", floor) => recorded(floor),
        (building, "") => building.to_owned(),
        (building, floor) => format!("{building}, {floor}"),
    }
}

/// A name, or that none is recorded.
pub(super) fn recorded(name: &str) -> String {
    if name.is_empty() { "(none recorded)".to_owned() } else { name.to_owned() }
}

impl Chart<'_> {
    fn write(mut self, out: &mut impl Write) -> io::Result<()> {
        self.bars.retain(|(_, figures)| figures.iter().any(|figure| *figure > 0));
        let all = self.bars.len();
        self.keep_the_longest();
        let most = self.bars.iter().map(total).max().unwrap_or_default().max(1);
        let bottom = TOP + STEP * u32::try_from(self.bars.len()).unwrap_or_default();
        let title = Escaped(self.title);
        writeln!(
            out,
            "<figure>\n<figcaption>{title}</figcaption>\n\
             <svg viewBox=\"0 0 {WIDTH} {}\" role=\"img\" aria-label=\"{title}; the figures stand in the tables\">",
            bottom + 8
        )?;
        self.legend(out)?;
        writeln!(
            out,
            "<line class=\"axis\" x1=\"{LEFT}\" y1=\"{TOP}\" x2=\"{LEFT}\" y2=\"{bottom}\"/>"
        )?;
        for (bar, place) in self.bars.iter().zip(0..) {
            self.bar(bar, TOP + STEP * place + (STEP - BAR) / 2, most, out)?;
        }
        writeln!(out, "</svg>")?;
        if self.bars.len() < all {
            writeln!(out, "<p>The {MOST_BARS} with the most violations of {all}.</p>")?;
        }
        writeln!(out, "</figure>")
    }

    /// Those with the highest sums, in their own order.
    fn keep_the_longest(&mut self) {
        let mut places: Vec<usize> = (0..self.bars.len()).collect();
        places.sort_by_key(|place| std::cmp::Reverse(total(&self.bars[*place])));
        places.truncate(MOST_BARS);
        let mut place = 0;
        self.bars.retain(|_| {
            place += 1;
            places.contains(&(place - 1))
        });
    }

    fn legend(&self, out: &mut impl Write) -> io::Result<()> {
        let mut left = LEFT;
        for (part, colour) in self.parts.iter().zip(COLOURS) {
            let text = left + 18;
            writeln!(
                out,
                "<rect class=\"part\" x=\"{left}\" y=\"8\" width=\"12\" height=\"12\" fill=\"{colour}\"/>\
                 <text x=\"{text}\" y=\"18\">{}</text>",
                Escaped(part)
            )?;
            let letters = u32::try_from(part.chars().count()).unwrap_or_default();
            left = text + letters * 8 + 16;
        }
        Ok(())
    }

    fn bar(
        &self,
        bar: &(String, Vec<u64>),
        top: u32,
        most: u64,
        out: &mut impl Write,
    ) -> io::Result<()> {
        let (name, figures) = bar;
        let line = top + BAR - 4;
        writeln!(
            out,
            "<text class=\"name\" x=\"{}\" y=\"{line}\">{}<title>{}</title></text>",
            LEFT - 8,
            Escaped(&shortened(name)),
            Escaped(name)
        )?;
        let mut sum = 0;
        for ((figure, part), colour) in figures.iter().zip(&self.parts).zip(COLOURS) {
            let from = along(sum, most);
            sum += figure;
            if *figure > 0 {
                writeln!(
                    out,
                    "<rect class=\"part\" x=\"{from:.1}\" y=\"{top}\" width=\"{:.1}\" height=\"{BAR}\" fill=\"{colour}\">\
                     <title>{}, {}: {}</title></rect>",
                    along(sum, most) - from,
                    Escaped(name),
                    Escaped(part),
                    grouped(*figure)
                )?;
            }
        }
        let after = along(sum, most) + 7.0;
        writeln!(out, "<text x=\"{after:.1}\" y=\"{line}\">{}</text>", grouped(sum))
    }
}

fn total(bar: &(String, Vec<u64>)) -> u64 {
    bar.1.iter().sum()
}

/// Where a bar of this length ends.
#[expect(clippy::cast_precision_loss, reason = "tenths of a pixel")]
fn along(figure: u64, most: u64) -> f64 {
    f64::from(LEFT) + f64::from(LONGEST) * figure as f64 / most as f64
}

fn shortened(name: &str) -> String {
    if name.chars().count() <= MOST_LETTERS {
        return name.to_owned();
    }
    name.chars().take(MOST_LETTERS - 1).chain(['…']).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance of a colour, from 0 to 1 (WCAG 2.2, definition of relative luminance).
    fn luminance(colour: &str) -> f64 {
        let part = |from| {
            let share = f64::from(u8::from_str_radix(&colour[from..from + 2], 16).unwrap()) / 255.0;
            if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
    }

    /// Contrast of two colours, from 1 to 21 (WCAG 2.2, definition of contrast ratio).
    fn contrast(one: f64, other: f64) -> f64 {
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    #[test]
    fn grades_are_told_apart_in_grey_and_their_words_can_be_read_on_them() {
        let greys: Vec<f64> = COLOURS[..3].iter().map(|colour| luminance(colour)).collect();
        assert!((luminance("#FFFFFF") - 1.0).abs() < 1e-9 && luminance("#000000") < 1e-9);
        for pair in greys.windows(2) {
            assert!(pair[0] < pair[1] && contrast(pair[0], pair[1]) > 1.6, "{greys:?}");
        }
        for grey in greys {
            // Success criterion 1.4.3 asks for 4.5 between text and ground.
            assert!(contrast(grey, luminance("#000000")) > 4.5);
        }
    }

    #[test]
    fn the_longest_bars_keep_their_order() {
        let bar = |place: u32| (format!("bar {place}"), vec![u64::from(place % 40)]);
        let mut chart = Chart { title: "x", parts: vec!["y"], bars: (0..80).map(bar).collect() };
        chart.keep_the_longest();
        assert_eq!(chart.bars.len(), MOST_BARS);
        assert!(chart.bars.iter().all(|bar| bar.1[0] >= 25));
        assert_eq!(chart.bars[0].0, "bar 25");
    }

    #[test]
    fn a_long_name_is_cut_where_letters_end() {
        assert_eq!(shortened(&"é".repeat(34)).chars().count(), 34);
        assert_eq!(shortened(&"é".repeat(35)), "é".repeat(33) + "…");
    }
}
