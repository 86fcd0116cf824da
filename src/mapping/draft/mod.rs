//! Drafting a mapping: from header words, units in headers and the shape of the cells.
//!
//! Owns what a column may be (`headers`), what its cells look like (`shape`), the choice between
//! them, and the text of the drafted file (`text`). It must not guess where a wrong guess would do
//! harm: a tie or a doubtful column is left commented out with the choices. Whether the evidence is
//! good enough that a sheet is a schedule of devices is decided here too.
//!
//! A draft is an ordinary mapping file: what it says is read by the same parser as any other.

mod headers;
mod shape;
mod text;

use std::collections::BTreeSet;

use super::footer::footer;
use super::header::{Header, HeaderRow};
use super::kinds::told;
use super::plan::kind_name;
use super::read::{DecimalMark, Unit};
use super::recognise::Names;
use crate::ingest::{Cell, Row};
use crate::outlet::words::Device;
use crate::outlet::{Field, Kind, Word as _};

use headers::{Target, Words};
use shape::{Cells, Named, decimal_mark, is_storey, ratio};

pub use text::{DraftedFile, draft};

/// A header is looked for in so many rows.
const FIRST_ROWS: u32 = 60;
/// Below this a column is not proposed.
/// No schedule has more columns; each would be compared with all that a header can say.
const MOST_HEADERS: usize = 1000;
const ENOUGH: f64 = 0.45;
/// Two fields nearer than this are a tie.
const TIE: f64 = 0.1;

/// What a draft says of one column.
#[derive(Clone, Debug)]
pub(super) struct Proposal {
    /// The header as written.
    header: String,
    /// What it is taken for.
    decision: Decision,
    /// Why: what stands behind `#` above its line.
    evidence: String,
}

/// What a column is taken for.
#[derive(Clone, PartialEq, Debug)]
enum Decision {
    /// The column of a field.
    Field { field: Field, fill_down: bool },
    /// A description of the device.
    Description,
    /// It may give these; the first is the likeliest.
    Choices(Vec<Field>),
    /// A length whose unit nothing tells.
    NoUnit(Field),
    /// The name of a field that means another thing here.
    Misleading,
    /// No field, as far as the headers tell.
    None,
}

impl Draft {
    /// How many columns it reads.
    pub(super) fn columns_read(&self) -> usize {
        let read = |column: &&Proposal| {
            matches!(column.decision, Decision::Field { .. } | Decision::Description)
        };
        self.columns.iter().filter(read).count()
    }
}

/// A draft of one sheet.
#[derive(Clone, Debug)]
pub(super) struct Draft {
    /// The header row.
    pub(super) header: HeaderRow,
    /// Its columns.
    columns: Vec<Proposal>,
    decimal: Option<DecimalMark>,
    /// Facts of every row, with their evidence.
    constants: Vec<(Field, Constant, String)>,
    /// Why this is a schedule of devices.
    pub(super) why: String,
    /// Why it may not be; none when the evidence is good.
    pub(super) against: Option<String>,
}

/// Where the value of a drafted constant comes from.
#[derive(Clone, PartialEq, Eq, Debug)]
enum Constant {
    Word(&'static str),
    SheetName,
}

/// A column while it is judged.
struct Candidate<'h> {
    header: &'h Header,
    words: Words,
    cells: Cells,
    named: Named,
}

/// Drafts the mapping of a sheet from its first rows; why not, where no header is known.
pub(super) fn of_rows(rows: &[Row], names: Names<'_>) -> Result<Draft, String> {
    let header = header_row(rows).ok_or("no header words are known")?;
    let below = |row: &&Row| row.number > header.number && !row.is_empty() && footer(row).is_none();
    let body: Vec<&Row> = rows.iter().filter(below).collect();
    let candidates: Vec<_> = header.headers.iter().map(|one| Candidate::of(one, &body)).collect();
    let figures = candidates.iter().filter(|candidate| !candidate.is_text());
    let decimal = decimal_mark(figures.map(|candidate| &candidate.cells));
    let described = description(&candidates);
    let columns = Judge { candidates: &candidates, described, decimal }.proposals();
    let mut constants = constants(&candidates, &columns, &body, names);
    if described.is_none() && given(&columns, Field::Device).is_none() {
        constants.extend(receptacles(&columns));
    }
    let mut titled = None;
    if described.is_none() && constants.iter().all(|(field, ..)| *field != Field::Device) {
        let title = title(rows, header.number, names);
        titled = title.is_some().then_some(body.len());
        constants.extend(title);
    }
    let (why, against) = verdict(&candidates, &columns, described, names, titled);
    Ok(Draft { header, columns, decimal, constants, why, against })
}

/// The row whose headers are known best.
fn header_row(rows: &[Row]) -> Option<HeaderRow> {
    let mut best: Option<(f64, HeaderRow)> = None;
    for row in rows.iter().filter(|row| row.number <= FIRST_ROWS) {
        let header = HeaderRow::of(row);
        if header.headers.len() > MOST_HEADERS {
            continue;
        }
        let mut known: BTreeSet<Target> = BTreeSet::new();
        let mut score = 0.0;
        for one in &header.headers {
            if let Some((target, weight)) = targets(one, &Words::of(&one.text)).first()
                && *weight >= 0.5
                && known.insert(*target)
            {
                score += weight;
            }
        }
        if known.len() >= 2 && best.as_ref().is_none_or(|(best, _)| score > *best) {
            best = Some((score, header));
        }
    }
    best.map(|(_, header)| header)
}

/// What a header may mean: the field that it names, else by the header words.
fn targets(header: &Header, words: &Words) -> Vec<(Target, f64)> {
    match header.canonical() {
        Some(field) => vec![(Target::Field(field), 1.0)],
        None => words.targets(),
    }
}

impl<'h> Candidate<'h> {
    fn of(header: &'h Header, body: &[&Row]) -> Self {
        let words = Words::of(&header.text);
        let cells = Cells::of(body, header.column);
        let sure = targets(header, &words).first().is_some_and(|(target, score)| {
            *score >= 0.95
                && !matches!(
                    target,
                    Target::Description | Target::Field(Field::Device | Field::OutletId)
                )
        });
        let named = if sure { Named::default() } else { cells.named() };
        Self { header, words, cells, named }
    }

    /// Whether its header is that of texts, in which a comma parts what it parts.
    fn is_text(&self) -> bool {
        let targets = targets(self.header, &self.words);
        matches!(targets.first(), Some((Target::Field(field), _)) if field.kind() == Kind::Text)
    }

    fn description_score(&self) -> f64 {
        let targets = self.words.targets();
        let device = self.header.canonical() == Some(Field::Device);
        let found = targets.iter().find(|(target, _)| *target == Target::Description);
        if device { 1.0 } else { found.map_or(0.0, |(_, score)| *score) }
    }
}

/// The column that names the devices: the one whose cells name the most.
fn description(candidates: &[Candidate<'_>]) -> Option<usize> {
    let names_some = |candidate: &Candidate<'_>| {
        let share = ratio(candidate.named.devices, candidate.cells.count());
        let known = candidate.description_score() > 0.0;
        candidate.named.devices > 0 && (known || share >= 0.3)
    };
    let found = candidates.iter().enumerate().filter(|(_, candidate)| names_some(candidate));
    let key = |candidate: &Candidate<'_>| (candidate.named.devices, candidate.description_score());
    let better = |one: &(usize, &Candidate<'_>), other: &(usize, &Candidate<'_>)| {
        let (one, other) = (key(one.1), key(other.1));
        one.0.cmp(&other.0).then(one.1.total_cmp(&other.1))
    };
    // Of equals the first stands: `max_by` would give the last.
    found.rev().max_by(better).map(|(place, _)| place)
}

/// A field that a column may give.
#[derive(Clone, Debug)]
struct Claim {
    field: Field,
    /// Words and cells together, from 0 to 1.
    score: f64,
    evidence: String,
    /// Whether its figures lack a unit.
    no_unit: bool,
}

struct Judge<'a, 'h> {
    candidates: &'a [Candidate<'h>],
    described: Option<usize>,
    decimal: Option<DecimalMark>,
}

impl Judge<'_, '_> {
    fn proposals(&self) -> Vec<Proposal> {
        let claims: Vec<Vec<Claim>> =
            (0..self.candidates.len()).map(|place| self.claims(place)).collect();
        let winner = |field: Field| {
            let firsts = claims.iter().enumerate().filter_map(|(place, claims)| {
                let first = claims.first()?;
                (first.field == field && !is_tie(claims)).then_some((place, first.score))
            });
            firsts.rev().max_by(|one, other| one.1.total_cmp(&other.1)).map(|(place, _)| place)
        };
        let propose = |place: usize| {
            let candidate = &self.candidates[place];
            let header = candidate.header.text.clone();
            if Some(place) == self.described {
                return Self::describing(candidate);
            }
            let claims = &claims[place];
            if candidate.header.canonical() == Some(Field::Height) && self.is_own_height(candidate)
            {
                let evidence = "a height beside a width is the thing's own".to_owned();
                return Proposal { header, decision: Decision::Misleading, evidence };
            }
            let Some(first) = claims.first() else {
                let evidence = Self::unclaimed(candidate);
                return Proposal { header, decision: Decision::None, evidence };
            };
            let same = self.candidates[..place]
                .iter()
                .any(|other| other.header.key.is_exactly(&candidate.header.key));
            let won = winner(first.field);
            let (decision, evidence) = if is_tie(claims) {
                let fields = claims.iter().map(|claim| claim.field).collect();
                (Decision::Choices(fields), format!("{}; it may give any of these", first.evidence))
            } else if same || won.is_some_and(|won| won != place) {
                let other = won.map_or("", |won| self.candidates[won].header.text.as_str());
                let why = format!(
                    "{}; but \"{other}\" gives {} already",
                    first.evidence,
                    first.field.name()
                );
                (Decision::Choices(vec![first.field]), why)
            } else if first.no_unit {
                (Decision::NoUnit(first.field), format!("{}; no unit is told", first.evidence))
            } else {
                let groups = [Field::Building, Field::Floor, Field::Room, Field::Panel];
                let fill_down = groups.contains(&first.field) && candidate.cells.filled_down();
                let down =
                    if fill_down { "; each value stands once above empty cells" } else { "" };
                (
                    Decision::Field { field: first.field, fill_down },
                    format!("{}{down}", first.evidence),
                )
            };
            Proposal { header, decision, evidence }
        };
        (0..self.candidates.len()).map(propose).collect()
    }

    fn describing(candidate: &Candidate<'_>) -> Proposal {
        let Named { devices, others, words, .. } = &candidate.named;
        let evidence = format!(
            "header words {:.2}, {devices} of {} cells name a device ({}), {others} something else or both",
            candidate.description_score(),
            candidate.cells.count(),
            words.join(", ")
        );
        Proposal {
            header: candidate.header.text.clone(),
            decision: Decision::Description,
            evidence,
        }
    }

    fn unclaimed(candidate: &Candidate<'_>) -> String {
        let count = candidate.cells.count();
        let shown: BTreeSet<&String> = candidate.cells.texts.iter().collect();
        let shown: Vec<_> = shown.into_iter().take(3).map(|text| text.replace('\n', " ")).collect();
        if count == 0 {
            "no cell holds anything".to_owned()
        } else {
            format!("{count} cells, such as {}", shown.join(", "))
        }
    }

    /// Whether a height stands beside a width or a depth, and nothing says that it is above the floor.
    fn is_own_height(&self, candidate: &Candidate<'_>) -> bool {
        let height = Target::Field(Field::Height);
        let targets = candidate.words.targets();
        let says = targets.iter().any(|(target, score)| *target == height && *score >= 0.9);
        !says && self.candidates.iter().any(|other| other.words.is_size())
    }

    /// The fields that a column may give, the likeliest first.
    fn claims(&self, place: usize) -> Vec<Claim> {
        let candidate = &self.candidates[place];
        let mut claims: Vec<Claim> = targets(candidate.header, &candidate.words)
            .into_iter()
            .filter_map(|(target, words)| match target {
                Target::Field(field) if words >= 0.5 => self.claim(candidate, field, words),
                _ => None,
            })
            .filter(|claim| claim.score >= ENOUGH)
            .collect();
        claims.sort_by(|one, other| {
            other.score.total_cmp(&one.score).then(one.field.cmp(&other.field))
        });
        claims
    }

    fn claim(&self, candidate: &Candidate<'_>, field: Field, words: f64) -> Option<Claim> {
        if field == Field::Height && self.is_own_height(candidate) {
            return None;
        }
        let (cells, count) = (&candidate.cells, candidate.cells.count());
        let unit = candidate.header.unit_of(field);
        let mut no_unit = false;
        let (share, read) = if count == 0 {
            (0.8, "no cell holds anything".to_owned())
        } else if field.kind() == Kind::Text {
            let suits = cells.suits(field);
            (suits, format!("{count} cells, {} distinct, suit it by {suits:.2}", cells.distinct()))
        } else {
            let mut readable = cells.readable(field, unit, self.decimal);
            if matches!(field.kind(), Kind::Length) && unit.is_none() {
                let with_unit = cells.readable(field, Some(Unit::Millimetre), self.decimal);
                no_unit = with_unit > readable;
                readable = readable.max(with_unit);
            }
            (
                ratio(readable, count),
                format!("{readable} of {count} cells read as {}", readings(field)),
            )
        };
        let unit = unit.map_or("", |_| ", its unit in the header");
        let evidence = format!("header words {words:.2}{unit}, {read}");
        Some(Claim { field, score: words * share, evidence, no_unit })
    }
}

/// Whether the two likeliest fields of a column are too near to choose.
fn is_tie(claims: &[Claim]) -> bool {
    matches!(claims, [one, other, ..] if one.score - other.score < TIE)
}

/// What the cells of a field are read as, for a person.
const fn readings(field: Field) -> &'static str {
    match field.kind() {
        Kind::Word(_) | Kind::Words(_) => "its words",
        kind => kind_name(kind),
    }
}

fn given(columns: &[Proposal], field: Field) -> Option<&Proposal> {
    let gives = |column: &&Proposal| matches!(&column.decision, Decision::Field { field: given, .. } if *given == field);
    columns.iter().find(gives)
}

/// The facts of every row: the storey from the name of the sheet, another code from the voltages.
fn constants(
    candidates: &[Candidate<'_>],
    columns: &[Proposal],
    body: &[&Row],
    names: Names<'_>,
) -> Vec<(Field, Constant, String)> {
    let mut constants = Vec::new();
    if let Some(sheet) = names.sheet.filter(|sheet| is_storey(sheet))
        && given(columns, Field::Floor).is_none()
    {
        constants.push((
            Field::Floor,
            Constant::SheetName,
            format!("the sheet is called \"{sheet}\""),
        ));
    }
    if given(columns, Field::Edition).is_none()
        && let Some(evidence) = other_code(candidates, body, names)
    {
        constants.push((Field::Edition, Constant::Word("other"), evidence));
    }
    constants
}

/// A list of configurations is one of receptacles, since plugs have none of their own here.
fn receptacles(columns: &[Proposal]) -> Option<(Field, Constant, String)> {
    let column = given(columns, Field::Configuration)?;
    let evidence = format!(
        "\"{}\" gives configurations of receptacles, and no column names devices",
        column.header
    );
    Some((Field::Device, Constant::Word("receptacle"), evidence))
}

/// The kind of device that the name of the sheet or a title above the header tells.
fn title(rows: &[Row], header: u32, names: Names<'_>) -> Option<(Field, Constant, String)> {
    let above = rows.iter().filter(|row| row.number < header).flat_map(Row::cells);
    let above = above.filter_map(|(_, cell)| match cell {
        Cell::Text(text) => Some(text),
        _ => None,
    });
    let mut titles = names.sheet.into_iter().chain(above);
    titles.find_map(|title| match told(title).kind {
        super::kinds::Kind::Device(device @ (Device::Receptacle | Device::Switch)) => {
            let evidence = format!("the title says \"{title}\", and no column names devices");
            Some((Field::Device, Constant::Word(device.word()), evidence))
        }
        _ => None,
    })
}

/// What shows that the circuits are of 220 to 240 V to neutral, under another code than NFPA 70.
fn other_code(candidates: &[Candidate<'_>], body: &[&Row], names: Names<'_>) -> Option<String> {
    let (mut other, mut nfpa) = (0_usize, 0_usize);
    for candidate in candidates {
        let volts = targets(candidate.header, &candidate.words).first().map(|target| target.0)
            == Some(Target::Field(Field::Volts));
        for text in &candidate.cells.texts {
            for token in super::kinds::tokens(text) {
                let figure = token.trim_end_matches('v');
                let counted = volts || figure.len() < token.len();
                other +=
                    usize::from(counted && ["220", "230", "380", "400", "415"].contains(&figure));
                nfpa +=
                    usize::from(counted && ["120", "208", "277", "347", "480"].contains(&figure));
            }
        }
    }
    if other > nfpa {
        return Some(format!(
            "{other} cells name 220 to 240 or 380 to 415 V, {nfpa} of {} rows volts of NFPA 70",
            body.len()
        ));
    }
    let telling = names.sheet.into_iter().chain([names.file]).find(|name| {
        let tokens = super::kinds::tokens(name);
        tokens
            .iter()
            .any(|token| ["230v", "220v", "400v", "380v", "230", "220"].contains(&token.as_str()))
    });
    telling.filter(|_| nfpa == 0).map(|name| format!("\"{name}\" names its volts"))
}

/// Why a sheet is a schedule of devices, and why it may not be.
fn verdict(
    candidates: &[Candidate<'_>],
    columns: &[Proposal],
    described: Option<usize>,
    names: Names<'_>,
    titled: Option<usize>,
) -> (String, Option<String>) {
    let known: Vec<_> = columns
        .iter()
        .filter(|column| matches!(column.decision, Decision::Field { .. } | Decision::Description))
        .map(|column| column.header.as_str())
        .collect();
    let headers = format!("{} headers are known ({})", known.len(), known.join(", "));
    let shapes = given(columns, Field::Configuration).map_or(0, |column| {
        let candidate = candidates.iter().find(|candidate| candidate.header.text == column.header);
        candidate.map_or(0, |candidate| candidate.cells.readable(Field::Configuration, None, None))
    });
    let naming = described.map(|place| &candidates[place]);
    let devices = naming.map_or(0, |candidate| candidate.named.devices);
    let rows = naming.map_or(0, |candidate| candidate.cells.count());
    let why = match naming {
        Some(candidate) => format!(
            "{headers}; {devices} of {rows} cells of \"{}\" name a device",
            candidate.header.text
        ),
        None if titled.is_some() => format!("{headers}; its title names the devices"),
        None => format!("{headers}; {shapes} cells are configurations"),
    };
    let place = [Field::Room, Field::Floor, Field::Building, Field::OutletId]
        .into_iter()
        .find(|field| given(columns, *field).is_some());
    let priced = candidates.iter().any(|candidate| candidate.words.is_price());
    let network = candidates.iter().any(|candidate| candidate.named.network > 0)
        && naming.is_some_and(|candidate| candidate.named.bare_switches == candidate.named.devices);
    let storey = names.sheet.is_some_and(is_storey);
    let doubts = naming.map_or(0, |candidate| candidate.named.doubts);
    let enough = devices.max(shapes) >= 2 || devices == 1 && (doubts > 0 || rows <= 5);
    // A title is less than cells: the rows must have a name or a circuit, and a place.
    let gives = |field| given(columns, field).is_some();
    let titled = titled.unwrap_or(0) >= 2
        && (gives(Field::OutletId) || gives(Field::Circuit))
        && (gives(Field::Room) || gives(Field::Floor));
    let against = if titled && !priced {
        None
    } else if !enough || ratio(devices.max(shapes), rows.max(shapes)) < 0.02 {
        Some(format!("{} cells name a device", devices.max(shapes)))
    } else if network {
        Some("its switches are of a computer network".to_owned())
    } else if priced && given(columns, Field::Room).is_none() {
        Some("a bill of quantities: prices, and no column of rooms".to_owned())
    } else if place.is_none() && !storey {
        Some("no column says where the devices are or what they are called".to_owned())
    } else {
        None
    };
    (why, against)
}

#[cfg(test)]
mod tests;
