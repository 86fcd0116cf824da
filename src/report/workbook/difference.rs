//! Whether groups differ, in a sentence for people who do not calculate.

use crate::statistics::Figures;
use crate::statistics::association::{
    Association, ChiSquare, Fisher, Joined, LEVEL, Why, association,
};

/// One group and several of them: `("floor", "floors")`.
pub(super) type Noun = (&'static str, &'static str);

/// Whether the shares of outlets with a violation differ between groups.
pub(super) fn between(noun: Noun, groups: impl Iterator<Item = Figures>) -> String {
    let lines: Vec<Vec<u64>> = groups
        .map(|figures| vec![figures.violating, figures.outlets.saturating_sub(figures.violating)])
        .collect();
    sentence(noun, "in their share of outlets with a violation", "shares", &association(&lines))
}

/// Whether the mix of defect types differs between groups, one line a group. A test that had to count
/// most groups as one says nothing of them.
pub(super) fn mix(noun: Noun, lines: &[Vec<u64>]) -> String {
    let found = association(lines);
    let counted = lines.iter().filter(|line| line.iter().any(|count| *count > 0)).count() as u64;
    let found = match joined(&found) {
        Some(joined) if 2 * joined.lines > counted => Association::Nothing(Why::TooFew),
        _ => found,
    };
    sentence(noun, "in their mix of defect types", "mixes", &found)
}

const fn joined(found: &Association) -> Option<Joined> {
    match found {
        Association::ChiSquare(test) => Some(test.joined),
        Association::Fisher(test) => Some(test.joined),
        Association::Nothing(_) => None,
    }
}

fn sentence(noun: Noun, how: &str, what: &str, found: &Association) -> String {
    let (_, more) = noun;
    let Some(p) = found.p() else { return nothing(noun, how, found) };
    let by_chance = format!("{what} as far apart as these would come by chance in {}", odds(p));
    let answer = if p < LEVEL {
        format!("The {more} really differ {how}: if they were all alike, {by_chance}.")
    } else {
        format!(
            "The {more} are not shown to differ {how}: even if they were all alike, {by_chance}. \
             That is no proof that they are alike."
        )
    };
    format!("{answer} ({}.{})", figures(found), told_joined(more, found))
}

fn nothing(noun: Noun, how: &str, found: &Association) -> String {
    let (one, more) = noun;
    match found {
        Association::Nothing(Why::OneGroup) => {
            format!("There are not two {more} to compare: no {one} stands beside another.")
        }
        Association::Nothing(Why::OneOutcome) => {
            format!("The {more} do not differ {how}: all came out the same.")
        }
        _ => format!(
            "Too little was counted to say whether the {more} differ {how}: chance alone could have made \
             any difference that shows."
        ),
    }
}

/// How often chance alone would do it, as a person would bet on it.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a probability, times ten thousand at most"
)]
fn odds(p: f64) -> String {
    let of = |whole: f64| (p * whole).round() as u64;
    if p < 0.0001 {
        "fewer than 1 of 10,000 such audits".to_owned()
    } else if p < 0.001 {
        format!("about {} of 10,000 such audits", of(10_000.0))
    } else if p < 0.01 {
        format!("about {} of 1,000 such audits", of(1000.0))
    } else if p < 0.995 {
        format!("about {} of 100 such audits", of(100.0))
    } else {
        "nearly every such audit".to_owned()
    }
}

fn probability(p: f64) -> String {
    if p < 0.0001 { "p below 0.0001".to_owned() } else { format!("p {p:.4}") }
}

fn figures(found: &Association) -> String {
    match found {
        Association::ChiSquare(ChiSquare { statistic, degrees, p, cramers_v, .. }) => {
            let freedom = if *degrees == 1 { "degree" } else { "degrees" };
            format!(
                "Chi-square {statistic:.2} with {degrees} {freedom} of freedom, {}; Cramér's V \
                 {cramers_v:.2}, where 0 is no difference and 1 the greatest",
                probability(*p)
            )
        }
        Association::Fisher(Fisher { p, .. }) => {
            format!("Fisher's exact test, two-sided, {}", probability(*p))
        }
        Association::Nothing(_) => String::new(),
    }
}

fn told_joined(more: &str, found: &Association) -> String {
    let Some(joined) = joined(found) else { return String::new() };
    let mut parts = Vec::new();
    if joined.lines > 0 {
        parts.push(format!("the {} smallest {more}", joined.lines));
    }
    if joined.columns > 0 {
        parts.push(format!("the {} rarest defect types", joined.columns));
    }
    if parts.is_empty() {
        return String::new();
    }
    format!(
        " For the test {} were counted as one, since so few of them show nothing by themselves.",
        parts.join(", and ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(lines: &[(u64, u64)]) -> String {
        let figures = |(violating, outlets): &(u64, u64)| Figures {
            violating: *violating,
            outlets: *outlets,
            ..Figures::default()
        };
        between(("floor", "floors"), lines.iter().map(figures))
    }

    /// The figures are those of the tests of `statistics::association`, where their sources stand.
    #[test]
    fn a_difference_is_told_as_what_chance_would_do() {
        let text = said(&[(83, 86), (90, 93), (129, 136), (70, 82)]);
        assert!(text.starts_with("The floors really differ"), "{text}");
        assert!(text.contains("about 6 of 1,000 such audits"), "{text}");
        assert!(text.contains("Chi-square 12.60 with 3 degrees of freedom, p 0.0056"), "{text}");
        let text = said(&[(31, 200), (19, 200)]);
        assert!(text.starts_with("The floors are not shown to differ"), "{text}");
        assert!(text.contains("about 10 of 100 such audits"), "{text}");
        assert!(text.contains("no proof that they are alike"), "{text}");
        assert!(text.contains("Fisher's exact test, two-sided, p 0.0956"), "{text}");
    }

    #[test]
    fn nothing_is_made_of_nothing() {
        assert!(said(&[]).contains("not two floors"));
        assert!(said(&[(0, 9), (0, 7)]).contains("all came out the same"));
        assert!(said(&[(1, 9), (0, 7)]).contains("Too little was counted"));
    }
}
