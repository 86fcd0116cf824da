//! Wire gauges: those of the box fill table, and all larger ones as one.

use super::Why;
use super::text::trim;
use crate::outlet::{Gauge, Value, Word as _};

/// What may stand before or behind the figure.
const PREFIXES: &[&str] = &["awg", "no.", "no", "#"];
const SUFFIXES: &[&str] = &["awg", "gauge", "ga.", "ga"];

/// Reads a wire gauge: `12`, `#12 AWG`, `No. 12`, `1/0`, `250 kcmil`, `above 6 AWG`.
pub(super) fn read(text: &str) -> Result<i64, Why> {
    if text.ends_with('²') || text.to_ascii_lowercase().ends_with("mm2") {
        return Err(Why::MetricGauge);
    }
    if text.eq_ignore_ascii_case(Gauge::Larger.word()) {
        return Ok(Gauge::Larger.raw());
    }
    let figure = PREFIXES.iter().fold(text, |text, prefix| {
        trim(without(text, text.get(..prefix.len()), prefix, |cut| &text[cut..]))
    });
    let (figure, circular_mils) =
        ["kcmil", "mcm"].iter().fold((figure, false), |(text, found), mark| {
            let cut = without_suffix(text, mark);
            (cut, found || cut.len() < text.len())
        });
    let figure = SUFFIXES.iter().fold(figure, |text, suffix| without_suffix(text, suffix));
    let gauge = if circular_mils { of_circular_mils(figure) } else { of_figure(figure) };
    gauge.map(Value::raw).ok_or(Why::NotGauge)
}

fn without<'a>(
    text: &'a str,
    piece: Option<&str>,
    mark: &str,
    cut: impl Fn(usize) -> &'a str,
) -> &'a str {
    if piece.is_some_and(|piece| piece.eq_ignore_ascii_case(mark)) { cut(mark.len()) } else { text }
}

/// The text without a word at its end, and without the blanks and the hyphen before that.
fn without_suffix<'a>(text: &'a str, suffix: &str) -> &'a str {
    let Some(start) = text.len().checked_sub(suffix.len()) else { return text };
    let cut = without(text, text.get(start..), suffix, |_| &text[..start]);
    if cut.len() < text.len() { trim(cut.trim_end_matches(['-', ' '])) } else { text }
}

fn of_figure(figure: &str) -> Option<Gauge> {
    if ["1/0", "2/0", "3/0", "4/0"].contains(&figure) {
        return Some(Gauge::Larger);
    }
    Some(match whole(figure)? {
        18 => Gauge::Awg18,
        16 => Gauge::Awg16,
        14 => Gauge::Awg14,
        12 => Gauge::Awg12,
        10 => Gauge::Awg10,
        8 => Gauge::Awg8,
        6 => Gauge::Awg6,
        1..=4 => Gauge::Larger,
        _ => return None,
    })
}

/// Sizes in thousands of circular mils begin above 4/0, at 250.
fn of_circular_mils(figure: &str) -> Option<Gauge> {
    (250..=2000).contains(&whole(figure)?).then_some(Gauge::Larger)
}

fn whole(figure: &str) -> Option<u16> {
    let digits = figure.strip_suffix(".0").unwrap_or(figure);
    digits.bytes().all(|byte| byte.is_ascii_digit()).then(|| digits.parse().ok()).flatten()
}
