//! Single sampling plans for accepting a lot: MIL-STD-105E, whose tables ISO 2859-1 shares.
//!
//! Table I is kept as it is printed. Tables II-A, II-B and II-C follow one rule each, in the steps that lie
//! between the first letter and the cell: every step down a letter is worth one step of quality. An arrow
//! leads to the letter above or below, whose sample size is used too.

use std::fmt;

use serde::{Deserialize, Serialize};

/// The letters of sample sizes, from the smallest.
pub const LETTERS: [char; 17] =
    ['A', 'B', 'C', 'D', 'E', 'F', 'G', 'H', 'J', 'K', 'L', 'M', 'N', 'P', 'Q', 'R', 'S'];

/// The acceptable quality levels of the tables, in per cent defective (above 10: defects a hundred units).
pub const QUALITY_LEVELS: [f64; 26] = [
    0.010, 0.015, 0.025, 0.040, 0.065, 0.10, 0.15, 0.25, 0.40, 0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10.0,
    15.0, 25.0, 40.0, 65.0, 100.0, 150.0, 250.0, 400.0, 650.0, 1000.0,
];

/// How much is inspected for a lot of a size.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum Level {
    /// The first special level: the smallest samples.
    #[serde(rename = "S-1")]
    S1,
    /// The second special level.
    #[serde(rename = "S-2")]
    S2,
    /// The third special level.
    #[serde(rename = "S-3")]
    S3,
    /// The fourth special level.
    #[serde(rename = "S-4")]
    S4,
    /// The first general level.
    I,
    /// The usual level.
    II,
    /// The third general level: the largest samples.
    III,
}

/// How strictly a lot is judged.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// As inspection begins.
    Normal,
    /// After lots that were refused.
    Tightened,
    /// After many lots that were accepted.
    Reduced,
}

/// A plan: how many outlets to inspect, and how many defective ones settle it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct SinglePlan {
    /// The letter of the size of the lot, from Table I.
    pub letter: char,
    /// The letter to which the arrows led, of which the sample size is.
    pub used: char,
    /// Outlets to inspect; of a lot that is no larger, all.
    pub n: u64,
    /// So many defective outlets or fewer: accept.
    pub accept: u64,
    /// So many or more: reject. Under reduced inspection there may be a gap between: accept, and go back to
    /// normal inspection.
    pub reject: u64,
    /// Whether the whole lot is inspected.
    pub whole: bool,
}

/// Why there is no plan.
#[derive(Clone, PartialEq, Debug, thiserror::Error)]
pub enum NoPlan {
    /// The table begins with lots of two.
    #[error("a lot of {0} has no row in Table I of MIL-STD-105E: inspect every outlet")]
    TooSmall(u64),
    /// A quality level that no column has.
    #[error("there is no acceptable quality level {0}; the levels are {levels}", levels = levels())]
    NoLevel(f64),
}

impl Level {
    /// All levels, from the smallest samples.
    pub const ALL: [Self; 7] =
        [Self::S1, Self::S2, Self::S3, Self::S4, Self::I, Self::II, Self::III];

    /// As the standard writes it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::S1 => "S-1",
            Self::S2 => "S-2",
            Self::S3 => "S-3",
            Self::S4 => "S-4",
            Self::I => "I",
            Self::II => "II",
            Self::III => "III",
        }
    }
}

impl Severity {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Normal, Self::Tightened, Self::Reduced];

    /// As the standard calls it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Tightened => "tightened",
            Self::Reduced => "reduced",
        }
    }
}

impl fmt::Display for SinglePlan {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "n = {}, Ac = {}, Re = {}", self.n, self.accept, self.reject)
    }
}

/// The plan for a lot of so many outlets at an acceptable quality level in per cent.
pub fn plan(
    lot: u64,
    quality: f64,
    level: Level,
    severity: Severity,
) -> Result<SinglePlan, NoPlan> {
    let letter = letter(lot, level).ok_or(NoPlan::TooSmall(lot))?;
    let plan = of_letter(letter, quality, severity).ok_or(NoPlan::NoLevel(quality))?;
    Ok(SinglePlan { n: plan.n.min(lot), whole: plan.n >= lot, ..plan })
}

/// The plan of a letter, from A to R, whatever the lot; none for a letter or quality level that the tables
/// do not have.
pub fn of_letter(letter: char, quality: f64, severity: Severity) -> Option<SinglePlan> {
    let row = LETTERS[..=R].iter().position(|known| *known == letter)?;
    let Found { row, accept, reject } = follow(row, column(quality)?, severity);
    let n = sizes(severity)[row];
    Some(SinglePlan { letter, used: LETTERS[row], n, accept, reject, whole: false })
}

/// The letter of a lot, from Table I; none for a lot of fewer than two.
pub fn letter(lot: u64, level: Level) -> Option<char> {
    let row = LOTS.iter().find(|(least, _)| lot >= *least)?;
    row.1.chars().nth(level as usize)
}

/// The least size of lots and their letters at S-1, S-2, S-3, S-4, I, II and III: Table I, the largest lots
/// first.
const LOTS: [(u64, &str); 15] = [
    (500_001, "DEHKNQR"),
    (150_001, "DEGJMPQ"),
    (35_001, "DEGJLNP"),
    (10_001, "CDFHKMN"),
    (3_201, "CDFGJLM"),
    (1_201, "CDEGHKL"),
    (501, "CCEFGJK"),
    (281, "BCDEFHJ"),
    (151, "BCDEEGH"),
    (91, "BBCDDFG"),
    (51, "BBCCCEF"),
    (26, "ABBCCDE"),
    (16, "AABBBCD"),
    (9, "AAAAABC"),
    (2, "AAAAAAB"),
];

/// Sample sizes by letter, for normal and tightened inspection; S is for tightened alone.
const SIZES: [u64; 17] =
    [2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000, 3150];
/// The same for reduced inspection, which has no S.
const REDUCED_SIZES: [u64; 17] =
    [2, 2, 2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 800];

const fn sizes(severity: Severity) -> &'static [u64; 17] {
    match severity {
        Severity::Reduced => &REDUCED_SIZES,
        Severity::Normal | Severity::Tightened => &SIZES,
    }
}

/// The place of R, the last letter that lots have.
const R: usize = 15;
/// The first step at which a cell has a plan, in tables II-A and II-C.
const FIRST: usize = 14;
/// The last letter of small samples, whose plans allow more defects than there are outlets.
const LAST_OF_SMALL: usize = 4;

/// What stands in a cell.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Cell {
    Plan(u64, u64),
    Above,
    Below,
}

/// Where the arrows lead.
struct Found {
    row: usize,
    accept: u64,
    reject: u64,
}

fn follow(mut row: usize, column: usize, severity: Severity) -> Found {
    loop {
        let cell = match severity {
            Severity::Normal => normal(row, column),
            Severity::Tightened => tightened(row, column),
            Severity::Reduced => reduced(row, column),
        };
        match cell {
            Cell::Plan(accept, reject) => return Found { row, accept, reject },
            Cell::Above => row -= 1,
            Cell::Below => row += 1,
        }
    }
}

/// The acceptance numbers from the step at which one defect is allowed; the last two of small samples only.
const NORMAL: [u64; 10] = [1, 2, 3, 5, 7, 10, 14, 21, 30, 44];
const TIGHTENED: [u64; 9] = [1, 2, 3, 5, 8, 12, 18, 27, 41];
const REDUCED: [(u64, u64); 10] =
    [(0, 2), (1, 3), (1, 4), (2, 5), (3, 6), (5, 8), (7, 10), (10, 13), (14, 17), (21, 24)];
/// The same of the two smallest letters, where the gap is narrower.
const REDUCED_A: [(u64, u64); 9] =
    [(1, 2), (2, 3), (3, 4), (5, 6), (7, 8), (10, 11), (14, 15), (21, 22), (30, 31)];
const REDUCED_B: [(u64, u64); 10] =
    [(0, 2), (1, 3), (2, 4), (3, 5), (5, 6), (7, 8), (10, 11), (14, 15), (21, 22), (30, 31)];

/// A cell of Table II-A.
fn normal(row: usize, column: usize) -> Cell {
    match row + column {
        ..FIRST => Cell::Below,
        FIRST => Cell::Plan(0, 1),
        15 if row > 0 => Cell::Above,
        16 if row == R => Cell::Above,
        15 | 16 => Cell::Below,
        step => allowed(row, step, NORMAL.get(step - 17), 24),
    }
}

/// A cell of Table II-B.
fn tightened(row: usize, column: usize) -> Cell {
    match row + column {
        15 if row > 0 => Cell::Plan(0, 1),
        16 if row == R => Cell::Above,
        ..18 => Cell::Below,
        _ if row > R => Cell::Plan(1, 2),
        step => allowed(row, step, TIGHTENED.get(step - 18), 24),
    }
}

/// A plan that small samples have to the end, and others up to a step.
fn allowed(row: usize, step: usize, accept: Option<&u64>, last: usize) -> Cell {
    match accept {
        Some(accept) if step <= last || row <= LAST_OF_SMALL => Cell::Plan(*accept, accept + 1),
        _ => Cell::Above,
    }
}

/// A cell of Table II-C.
fn reduced(row: usize, column: usize) -> Cell {
    let step = row + column;
    let numbers = match (row, step) {
        (_, ..FIRST) => return Cell::Below,
        (_, FIRST) => return Cell::Plan(0, 1),
        (1.., 15) | (R, 16) => return Cell::Above,
        (_, 15 | 16) => return Cell::Below,
        (0, _) => REDUCED_A.get(step - 17),
        (1, _) => REDUCED_B.get(step - 17),
        _ => REDUCED.get(step - 17),
    };
    match numbers {
        Some((accept, reject)) if step <= 24 || row <= LAST_OF_SMALL => {
            Cell::Plan(*accept, *reject)
        }
        _ => Cell::Above,
    }
}

fn column(quality: f64) -> Option<usize> {
    QUALITY_LEVELS.iter().position(|level| (level - quality).abs() <= level * 1e-9)
}

fn levels() -> String {
    QUALITY_LEVELS.map(|level| level.to_string()).join(", ")
}
