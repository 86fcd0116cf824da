//! The blocks of a sheet as parts of the page.

use std::io::{self, Write};

use crate::report::cautions;
use crate::report::wording::grouped;
use crate::report::workbook::plan::{Block, Cell, Plan, Table};

use super::charts;
use super::escape::Escaped;

/// Opens a section with its heading; its anchor is made of its name.
pub(super) fn open_section(name: &str, heading: &str, out: &mut impl Write) -> io::Result<()> {
    let anchor = anchor(name);
    writeln!(
        out,
        "<section id=\"{anchor}\" aria-labelledby=\"{anchor}-heading\">\n<h2 id=\"{anchor}-heading\">{}</h2>",
        Escaped(heading)
    )
}

/// The anchor of a section: `by-floor`.
pub(super) fn anchor(name: &str) -> String {
    name.to_lowercase().replace(' ', "-")
}

/// The heading of a sheet: its title, else its name.
pub(super) fn heading<'p>(plan: &'p Plan<'_>) -> &'p str {
    plan.title().unwrap_or(plan.name)
}

/// Writes the blocks of a sheet without its title, tables up to so many rows.
pub(super) fn write(plan: &Plan<'_>, limit: usize, out: &mut impl Write) -> io::Result<()> {
    let mut above = heading(plan);
    let mut last_table = None;
    for block in &plan.blocks {
        match block {
            // The page has charts of its own at its head; the tables below a drawing say the same.
            Block::Title(_) | Block::PageBreak | Block::Drawing(_) => {}
            // It stands at the head of the page already.
            Block::Warning(text) if text == cautions::FIRST => {}
            Block::Heading(text) => {
                above = text;
                writeln!(out, "<h3>{}</h3>", Escaped(text))?;
            }
            Block::Paragraph(text) => writeln!(out, "<p>{}</p>", Escaped(text))?,
            Block::Warning(text) => {
                writeln!(out, "<p class=\"warning\" role=\"note\">{}</p>", Escaped(text))?;
            }
            Block::Pairs(pairs) => write_pairs(pairs, out)?,
            Block::Table(table) => {
                write_table(table, above, plan.register, limit, out)?;
                last_table = Some(table);
            }
            Block::Chart(bars) => {
                if let Some(table) = last_table {
                    charts::of_table(bars, table, out)?;
                }
            }
        }
    }
    Ok(())
}

fn write_pairs(pairs: &[(&str, Cell)], out: &mut impl Write) -> io::Result<()> {
    writeln!(out, "<dl>")?;
    for (name, value) in pairs {
        if !name.is_empty() {
            write!(out, "<dt>{}</dt>", Escaped(name))?;
        }
        write!(out, "<dd>")?;
        write_content(value, out)?;
        writeln!(out, "</dd>")?;
    }
    writeln!(out, "</dl>")
}

fn write_table(
    table: &Table<'_>,
    name: &str,
    register: bool,
    limit: usize,
    out: &mut impl Write,
) -> io::Result<()> {
    if table.rows == 0 {
        return writeln!(out, "<p>{}</p>", Escaped(table.empty));
    }
    open_table(name, out)?;
    let first = (table.row)(0);
    for (place, column) in table.columns.iter().enumerate() {
        let figures = first.get(place).is_some_and(Cell::is_figure);
        write_header(column.header, figures, out)?;
    }
    writeln!(out, "</tr></thead>\n<tbody>")?;
    let shown = table.rows.min(limit);
    for row in 0..shown {
        write_row(&(table.row)(row), register, out)?;
    }
    close_table(out)?;
    write_bound(shown, table.rows, out)
}

/// Opens a table up to its header cells; a region that scrolls must be reachable by keyboard.
pub(super) fn open_table(name: &str, out: &mut impl Write) -> io::Result<()> {
    let name = Escaped(name);
    write!(
        out,
        "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"{name}\">\n<table aria-label=\"{name}\">\n\
         <thead><tr>"
    )
}

pub(super) fn close_table(out: &mut impl Write) -> io::Result<()> {
    writeln!(out, "</tbody>\n</table>\n</div>")
}

pub(super) fn write_header(text: &str, figures: bool, out: &mut impl Write) -> io::Result<()> {
    let class = if figures { " class=\"figure\"" } else { "" };
    if text.is_empty() {
        write!(out, "<td></td>")
    } else {
        write!(out, "<th scope=\"col\"{class}>{}</th>", Escaped(text))
    }
}

/// Says that a table goes on elsewhere.
pub(super) fn write_bound(shown: usize, all: usize, out: &mut impl Write) -> io::Result<()> {
    if shown == all {
        return Ok(());
    }
    let (shown, all) = (grouped(shown as u64), grouped(all as u64));
    writeln!(
        out,
        "<p class=\"warning\" role=\"note\">The first {shown} of {all} rows. The workbook holds all.</p>"
    )
}

/// The first cell names the row, in a register the cell that stands out.
fn write_row(cells: &[Cell], register: bool, out: &mut impl Write) -> io::Result<()> {
    write!(out, "<tr>")?;
    for (cell, place) in cells.iter().zip(0..) {
        let names = matches!(cell, Cell::Strong(_)) || (place == 0 && !register);
        let (open, close) = if names { ("th scope=\"row\"", "th") } else { (open_tag(cell), "td") };
        write!(out, "<{open}>")?;
        write_content(cell, out)?;
        write!(out, "</{close}>")?;
    }
    writeln!(out, "</tr>")
}

const fn open_tag(cell: &Cell) -> &'static str {
    match cell {
        Cell::Count(_) | Cell::CountAt(..) | Cell::Decimal(_) | Cell::Share(_) => {
            "td class=\"figure\""
        }
        Cell::NoShare(_) => "td class=\"figure faint\"",
        Cell::Faint(_) | Cell::Note(_) => "td class=\"faint\"",
        _ => "td",
    }
}

fn write_content(cell: &Cell, out: &mut impl Write) -> io::Result<()> {
    match cell {
        Cell::Blank | Cell::ToFillIn | Cell::DateToFillIn | Cell::Open => Ok(()),
        Cell::Text(text)
        | Cell::Strong(text)
        | Cell::Known(text)
        | Cell::ToCheck(text)
        | Cell::Carried(text) => {
            write!(out, "{}", Escaped(text))
        }
        Cell::Note(text) | Cell::Faint(text) | Cell::NoShare(text) => {
            write!(out, "{}", Escaped(text))
        }
        Cell::Count(count) | Cell::CountAt(count, _) => write!(out, "{}", grouped(*count)),
        Cell::Decimal(figure) => write!(out, "{figure:.1}"),
        Cell::Share(share) => write!(out, "{:.1}\u{a0}%", share * 100.0),
        Cell::Date(date) => write!(out, "<time>{date}</time>"),
        Cell::Grade(grade) => write_grade(grade.word(), out),
        Cell::Link(link) => write_link(link, link, out),
    }
}

pub(super) fn write_grade(word: &str, out: &mut impl Write) -> io::Result<()> {
    write!(out, "<span class=\"grade {word}\">{word}</span>")
}

/// A link to the web; anything else is a text, lest a schedule bring a script along.
pub(super) fn write_link(link: &str, text: &str, out: &mut impl Write) -> io::Result<()> {
    let web = ["https://", "http://"].iter().any(|scheme| link.starts_with(scheme));
    if web && !link.contains(char::is_whitespace) {
        let (link, text) = (Escaped(link), Escaped(text));
        write!(out, "<a href=\"{link}\" rel=\"noopener noreferrer\">{text}</a>")
    } else {
        write!(out, "{}", Escaped(link))
    }
}
