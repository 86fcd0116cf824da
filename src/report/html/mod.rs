//! The page: an audit as one HTML file that a browser shows, prints and filters without a network.
//!
//! Owns how the blocks of the workbook's sheets look in a browser, the charts, and the table of
//! violations with its filters. What the sections say comes from the plans of [`super::workbook`], so
//! that page and workbook never differ; a new sheet is a new section by itself. The page works without
//! its script, which only filters. Whatever comes from an input passes `escape::Escaped`; a policy in
//! the head of the page forbids every script and style but its own, and every request.

mod blocks;
mod charts;
mod escape;
mod violations;

use std::io::{self, Write};

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;
use sha2::{Digest as _, Sha256};

use super::cautions;
use super::context::Report;
use super::workbook;
use super::workbook::plan::{Block, Plan};
use escape::Escaped;

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");

/// Name of the sheet that the page shows in its own way.
const VIOLATIONS: &str = "Violations";

/// Name of the section of the page's own drawings.
const OVERVIEW: &str = "Floors and trades";

const FROM_THE_WORKBOOK: &str =
    "The sections below are the sheets of the workbook of the same audit.";

/// What a page shows at most: a browser must stay quick.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Limits {
    /// Rows of the table of violations.
    pub violations: usize,
    /// Rows of any other table.
    pub rows: usize,
}

impl Default for Limits {
    /// 20,000 violations, 2,000 rows of any other table.
    fn default() -> Self {
        Self { violations: 20_000, rows: 2_000 }
    }
}

/// Writes the page.
pub fn write(report: &Report<'_>, limits: Limits, mut out: impl Write) -> io::Result<()> {
    let out = &mut out;
    let plans: Vec<Plan<'_>> = workbook::plans(report).collect();
    let title = title(&plans);
    head(report, title, out)?;
    top(title, &plans, out)?;
    writeln!(out, "<main>")?;
    for (plan, place) in plans.iter().zip(0..) {
        let heading = if place == 0 { plan.name } else { blocks::heading(plan) };
        blocks::open_section(plan.name, heading, out)?;
        if plan.name == VIOLATIONS {
            violations::write(report, limits.violations, out)?;
        } else {
            blocks::write(plan, limits.rows, out)?;
        }
        writeln!(out, "</section>")?;
        if place == 0 {
            overview(report, out)?;
        }
    }
    writeln!(out, "</main>")?;
    foot(report, out)
}

/// The title of the first sheet is that of the page.
fn title<'p>(plans: &'p [Plan<'_>]) -> &'p str {
    plans.first().map_or("", blocks::heading)
}

fn head(report: &Report<'_>, title: &str, out: &mut impl Write) -> io::Result<()> {
    writeln!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; \
         style-src '{}'; script-src '{}'; base-uri 'none'; form-action 'none'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"referrer\" content=\"no-referrer\">\n\
         <meta name=\"generator\" content=\"yokecheck {}\">\n\
         <link rel=\"icon\" href=\"data:,\">\n<title>{}</title>\n<style>{STYLE}</style>\n</head>",
        fingerprint(STYLE),
        fingerprint(SCRIPT),
        Escaped(&report.context.version),
        Escaped(title),
    )
}

/// How a policy names the one text that it admits.
fn fingerprint(text: &str) -> String {
    format!("sha256-{}", BASE64_STANDARD.encode(Sha256::digest(text)))
}

fn top(title: &str, plans: &[Plan<'_>], out: &mut impl Write) -> io::Result<()> {
    writeln!(
        out,
        "<body>\n<a class=\"skip\" href=\"#violations\">To the violations</a>\n<header>\n<h1>{}</h1>\n\
         <p class=\"warning\" role=\"note\">{}</p>\n<nav aria-label=\"Sections\"><ul>",
        Escaped(title),
        cautions::FIRST
    )?;
    for (plan, place) in plans.iter().zip(0..) {
        writeln!(out, "<li><a href=\"#{}\">{}</a></li>", blocks::anchor(plan.name), plan.name)?;
        if place == 0 {
            writeln!(out, "<li><a href=\"#{}\">{OVERVIEW}</a></li>", blocks::anchor(OVERVIEW))?;
        }
    }
    writeln!(
        out,
        "<li><a href=\"#cautions\">Cautions</a></li>\n</ul></nav>\n\
         <p class=\"faint\">{FROM_THE_WORKBOOK}</p>\n</header>"
    )
}

/// The charts of floors and trades; that of defect types stands in the summary.
fn overview(report: &Report<'_>, out: &mut impl Write) -> io::Result<()> {
    let statistics = report.statistics;
    blocks::open_section(OVERVIEW, OVERVIEW, out)?;
    if statistics.all.all_violations() == 0 {
        writeln!(out, "<p>Nothing to show: no violation was found.</p>")?;
    } else {
        let floors = statistics.by_floor.iter();
        let floors = floors.map(|line| (charts::floor_name(line), line.figures.violations));
        charts::by_grade("Violations by floor and grade", floors.collect(), out)?;
        let trades = statistics.by_trade.iter();
        let trades = trades.map(|line| (charts::recorded(&line.name), line.figures.violations));
        charts::by_grade("Violations by trade and grade", trades.collect(), out)?;
    }
    writeln!(out, "</section>")
}

fn foot(report: &Report<'_>, out: &mut impl Write) -> io::Result<()> {
    writeln!(out, "<footer id=\"cautions\">\n<h2>Cautions</h2>\n<ul>")?;
    for caution in cautions::ALL {
        writeln!(out, "<li>{caution}</li>")?;
    }
    let context = report.context;
    writeln!(
        out,
        "</ul>\n<p>Audit of <time>{}</time>, made by yokecheck {}.</p>\n</footer>\n\
         <script>{SCRIPT}</script>\n</body>\n</html>",
        context.date,
        Escaped(&context.version)
    )
}

impl Plan<'_> {
    /// The title of the sheet, when it has one.
    fn title(&self) -> Option<&str> {
        self.blocks.iter().find_map(|block| match block {
            Block::Title(title) => Some(title.as_str()),
            _ => None,
        })
    }
}
