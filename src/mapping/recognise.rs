//! Recognising a schedule: with which mapping a sheet is read, and in which row its header stands.
//!
//! Owns the choice, in this order: a mapping that the user gave, a built-in one, the field names
//! themselves. What is tried when none of these recognises a sheet is added to [`recognise`].

use std::borrow::Cow;

use super::file::{ColumnLine, MappingFile};
use super::glob::Glob;
use super::header::{Header, HeaderKey, HeaderRow};
use crate::ingest::Row;

/// A header is looked for in so many rows, unless a mapping names a later one.
pub(super) const FIRST_ROWS: u32 = 60;

/// The mapping files of a run.
#[derive(Debug, Default)]
pub(super) struct Library {
    /// Those that the user gave, in that order.
    pub(super) given: Vec<MappingFile>,
    /// Those that are built in.
    pub(super) shipped: Vec<MappingFile>,
}

impl Library {
    /// All of them.
    pub(super) fn files(&self) -> impl Iterator<Item = &MappingFile> {
        self.given.iter().chain(&self.shipped)
    }

    /// Whether a mapping has a use for merged cells, however large a workbook is.
    pub(super) fn asks_for_merges(&self) -> bool {
        let fills = |file: &MappingFile| {
            let readings = file.columns.iter().flat_map(|line| &line.says.readings);
            readings.into_iter().any(|reading| reading.fill_down)
        };
        self.files().any(|file| file.table.merged) || self.given.iter().any(fills)
    }

    /// Whether mappings may be drafted: not beside one of the user's that reads columns, since what
    /// that one does not recognise was left out for a reason.
    pub(super) fn may_draft(&self) -> bool {
        self.given.iter().all(|mapping| mapping.columns.is_empty())
    }

    /// How many rows of a sheet are looked at before it is read.
    pub(super) fn rows_to_look_at(&self) -> u32 {
        self.files().filter_map(|file| file.table.header_row).fold(FIRST_ROWS, u32::max)
    }
}

/// The names by which a sheet can be known.
#[derive(Clone, Copy, Debug)]
pub(super) struct Names<'a> {
    /// The name of the sheet; none for a text file.
    pub(super) sheet: Option<&'a str>,
    /// The name of the file without its ending.
    pub(super) file: &'a str,
}

impl Names<'_> {
    /// The name of the sheet, or of the text file that is like one.
    pub(super) fn either(&self) -> &str {
        self.sheet.unwrap_or(self.file)
    }
}

/// How a sheet is to be read.
#[derive(Debug)]
pub(super) struct Choice<'m> {
    /// The mapping; none where the headers are field names.
    pub(super) mapping: Option<&'m MappingFile>,
    /// The header row.
    pub(super) header: HeaderRow,
    /// Why this mapping.
    pub(super) why: String,
    /// Other mappings that recognise the sheet as well.
    pub(super) rivals: Vec<&'m MappingFile>,
}

/// So many names of fields may head a schedule that was made without them in mind.
const FEW_FIELDS: usize = 4;

impl Choice<'_> {
    /// Whether a sheet is read by the names of fields, but by few, so that it may have come to them by
    /// chance.
    pub(super) fn says_little(&self) -> bool {
        let headers = &self.header.headers;
        let (known, all) = (self.header.canonical().len(), headers.len());
        let by_few = known < all && (known <= FEW_FIELDS || known * 2 <= all);
        self.mapping.is_none() && by_few && !headers.iter().any(Header::is_record)
    }
}

/// Why a sheet is not read.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Refusal {
    /// The mapping that recognises it reads other sheets only.
    LeftAside(String),
    /// Nothing recognises it; what was seen.
    Unknown(String),
}

/// How well a mapping recognises a row: recognised headers first, then columns.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
struct Score {
    recognised: usize,
    columns: usize,
}

/// A row that a mapping recognises.
struct Match {
    score: Score,
    header: HeaderRow,
}

/// Chooses how a sheet is read; the reason for a person when it is no schedule.
pub(super) fn recognise<'m>(
    first_rows: &[Row],
    names: Names<'_>,
    library: &'m Library,
) -> Result<Choice<'m>, Refusal> {
    let headers = HeaderRow::all_of(first_rows);
    if let Some(header) = headers.iter().find(|header| header.headers.iter().any(Header::is_record))
    {
        let why = "a survey, by its column of what was known before".to_owned();
        return Ok(Choice { mapping: None, header: header.clone(), why, rivals: Vec::new() });
    }
    if headers.iter().any(is_of_rulings) {
        return Err(Refusal::LeftAside("it is a table of rulings: see --rulings".to_owned()));
    }
    let mut left_aside = None;
    let mut find = |mapping: &'m MappingFile| {
        let found = matching(mapping, &headers, names)?;
        if !has_name(&mapping.table.sheets, names) {
            left_aside.get_or_insert(mapping);
            return None;
        }
        Some((mapping, found))
    };
    let given = library.given.iter().find_map(&mut find);
    if let Some((mapping, found)) = given {
        return Ok(choice(mapping, &found, Vec::new()));
    }
    let shipped: Vec<_> = library.shipped.iter().filter_map(&mut find).collect();
    let best = first_of_the_best(shipped.iter(), |(_, found)| found.score);
    if let Some((mapping, found)) = best {
        let rivals = shipped.iter().filter(|(_, other)| other.score == found.score);
        let rivals = rivals.skip(1).map(|(rival, _)| *rival).collect();
        return Ok(choice(mapping, found, rivals));
    }
    if let Some(mapping) = left_aside {
        let why = format!("{} reads other sheets only", mapping.source.path);
        return Err(Refusal::LeftAside(why));
    }
    let early = headers.iter().filter(|header| header.number <= FIRST_ROWS);
    let canonical = early.map(|header| under_captions(None, header));
    let canonical = canonical.filter(|header| header.is_canonical()).map(|header| Match {
        score: Score { recognised: 0, columns: header.canonical().len() },
        header: header.into_owned(),
    });
    match first_table(canonical.collect()) {
        Some(Match { score, header }) => Ok(Choice {
            mapping: None,
            why: format!("{} headers are field names", score.columns),
            header,
            rivals: Vec::new(),
        }),
        None => Err(Refusal::Unknown(no_schedule(&headers))),
    }
}

/// Whether a row heads a table of rulings of the authority.
fn is_of_rulings(header: &HeaderRow) -> bool {
    let has = |name: &str| header.headers.iter().any(|one| one.text.eq_ignore_ascii_case(name));
    has("rule") && has("ruling")
}

/// Whether a sheet has one of these names, where there are any.
fn has_name(globs: &[Glob], names: Names<'_>) -> bool {
    globs.is_empty() || globs.iter().any(|glob| glob.matches(names.either()))
}

fn choice<'m>(mapping: &'m MappingFile, found: &Match, rivals: Vec<&'m MappingFile>) -> Choice<'m> {
    let Score { recognised, columns } = found.score;
    let why = match mapping.recognise.headers.len() {
        0 => format!("{columns} of its columns are there"),
        all => format!("{recognised} of its {all} header words are there"),
    };
    Choice { mapping: Some(mapping), header: found.header.clone(), why, rivals }
}

/// The row that a mapping recognises, if there is one.
fn matching(mapping: &MappingFile, headers: &[HeaderRow], names: Names<'_>) -> Option<Match> {
    if !has_name(&mapping.recognise.sheets, names) {
        return None;
    }
    let rows = headers.iter().filter(|header| match mapping.table.header_row {
        Some(row) => header.number == row,
        None => header.number <= FIRST_ROWS,
    });
    let scored = rows.filter_map(|header| {
        let header = under_captions(Some(mapping), header);
        Some(Match { score: score(mapping, &header)?, header: header.into_owned() })
    });
    first_table(scored.collect())
}

/// Of the rows that could be headers the best, unless a good one stands so far above it that a table
/// of its own is between them: the better one is found again as the header of another table.
fn first_table(rows: Vec<Match>) -> Option<Match> {
    let best = first_of_the_best(rows.iter(), |row| row.score)?;
    let (score, number) = (best.score, best.header.number);
    let good = |row: &Match| {
        row.score.recognised * 2 >= score.recognised && row.score.columns * 2 >= score.columns
    };
    // Rows in a block with the best, such as captions, are part of its own header.
    let mut top = number;
    for row in rows.iter().rev().filter(|row| row.header.number < number) {
        if row.header.number + 1 == top {
            top = row.header.number;
        }
    }
    rows.into_iter().find(|row| row.header.number == number || row.header.number < top && good(row))
}

/// A header row with its captions, where a mapping or the field names know the two together.
fn under_captions<'h>(mapping: Option<&MappingFile>, header: &'h HeaderRow) -> Cow<'h, HeaderRow> {
    if header.captions.is_empty() {
        return Cow::Borrowed(header);
    }
    let in_mapping = |header: &Header| {
        mapping.is_some_and(|mapping| {
            let columns = mapping.columns.iter().map(|line| &line.says.key);
            columns.chain(&mapping.recognise.headers).any(|key| header.key.is_meant_by(key))
        })
    };
    Cow::Owned(header.under_captions(&|header| header.canonical().is_some() || in_mapping(header)))
}

/// Whether a row is the header of a table that is read with a mapping, or by field names without one.
pub(super) fn is_header(mapping: Option<&MappingFile>, header: &HeaderRow) -> bool {
    mapping.map_or_else(|| header.is_canonical(), |mapping| score(mapping, header).is_some())
}

/// A row further down a sheet as the header of another table of the same kind. Half of its cells must
/// be known, so that a row of devices is not taken for one.
pub(super) fn another_header(mapping: Option<&MappingFile>, row: &Row) -> Option<HeaderRow> {
    let header = HeaderRow::of(row);
    let columns = || mapping.into_iter().flat_map(|mapping| &mapping.columns);
    let known = |header: &&Header| {
        header.canonical().is_some() || columns().any(|line| header.key.is_meant_by(&line.says.key))
    };
    let enough = header.headers.iter().filter(known).count() * 2 >= header.headers.len();
    (enough && is_header(mapping, &header)).then_some(header)
}

/// How well a mapping recognises a row; none when it does not.
fn score(mapping: &MappingFile, header: &HeaderRow) -> Option<Score> {
    let gives = |line: &ColumnLine| !line.readings.is_empty() || line.describe.is_some();
    let lines = mapping.columns.iter().filter(|line| gives(&line.says));
    let keys: Vec<_> = lines.map(|line| &line.says.key).collect();
    let has = |key: &HeaderKey| header.headers.iter().any(|header| header.key.is_meant_by(key));
    let named = keys.iter().filter(|key| has(key)).count();
    let known = |header: &&Header| {
        header.canonical().is_some() || keys.iter().any(|key| header.key.is_meant_by(key))
    };
    let columns = header.headers.iter().filter(known).count();
    let recognised = mapping.recognise.headers.iter().filter(|key| has(key)).count();
    let enough = if mapping.recognise.headers.is_empty() {
        (named >= 1 && columns >= 2) || header.is_canonical()
    } else {
        recognised >= mapping.recognise.at_least && columns >= 1
    };
    enough.then_some(Score { recognised, columns })
}

/// The best of several; the first of those that are equally good.
fn first_of_the_best<T, K: Ord>(all: impl Iterator<Item = T>, key: impl Fn(&T) -> K) -> Option<T> {
    all.reduce(|best, next| if key(&next) > key(&best) { next } else { best })
}

fn no_schedule(headers: &[HeaderRow]) -> String {
    let fullest = first_of_the_best(headers.iter(), |header| header.headers.len());
    let seen = fullest.filter(|header| !header.headers.is_empty()).map_or_else(
        || "no header was seen".to_owned(),
        |header| format!("row {} has {}", header.number, header.shown()),
    );
    format!(
        "none of its first {FIRST_ROWS} rows has two field names, one of them of an outlet; {seen}"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    const DEVICES: &str = r#"
name = "Devices"
[recognise]
headers = ["No.", "Face", "Plate"]
at_least = 2
[columns]
"No." = "outlet_id"
"Face" = "facing"
"#;

    fn file(path: &str, text: &str) -> MappingFile {
        MappingFile::parse(path, text).unwrap_or_else(|errors| panic!("{}", errors[0]))
    }

    fn rows(rows: &[&[&str]]) -> Vec<Row> {
        (1..).zip(rows).map(|(number, texts)| Row::of(number, texts)).collect()
    }

    const NAMES: Names<'_> = Names { sheet: Some("Level 3"), file: "plan" };

    fn chosen(library: &Library, first: &[Row]) -> Result<(String, u32, usize), Refusal> {
        let choice = recognise(first, NAMES, library)?;
        let path = choice.mapping.map_or("", |mapping| &mapping.source.path).to_owned();
        Ok((path, choice.header.number, choice.rivals.len()))
    }

    #[test]
    fn the_best_built_in_mapping_is_taken_and_equals_are_named() {
        let more = DEVICES.replace("\"Face\" =", "\"Room no\" = \"room\"\n\"Face\" =");
        let first =
            rows(&[&["Group", "", "Mounting"], &["No", "Room no", "FACE"], &["1", "2", "up"]]);
        let shipped = vec![file("a", DEVICES), file("b", &more), file("c", &more)];
        let mut library = Library { shipped, ..Library::default() };
        assert_eq!(chosen(&library, &first), Ok(("b".into(), 2, 1)));
        library.given = vec![file("mine", DEVICES)];
        assert_eq!(chosen(&library, &first), Ok(("mine".into(), 2, 0)));
    }

    #[test]
    fn too_few_header_words_or_another_sheet_are_not_recognised() {
        let first = rows(&[&["No.", "Room"], &["1", "up"]]);
        let library = Library { given: vec![file("a", DEVICES)], ..Library::default() };
        assert!(chosen(&library, &first).is_err());
        let roof = DEVICES.replace("at_least", "sheets = [\"Roof*\"]\nat_least");
        let first = rows(&[&["No.", "Face"], &["1", "up"]]);
        let library = Library { given: vec![file("a", &roof)], ..Library::default() };
        assert!(chosen(&library, &first).is_err());
    }

    #[test]
    fn a_sheet_that_its_mapping_leaves_aside_is_not_read_by_its_field_names() {
        let table = "[table]\nsheets = [\"Roof\"]\n[columns]\n\"Room no\" = \"room\"";
        let aside = DEVICES.replace("[columns]", table);
        let first = rows(&[&["No.", "Face", "outlet_id", "room"], &["1", "up"]]);
        let library = Library { shipped: vec![file("a", &aside)], ..Library::default() };
        assert_eq!(
            chosen(&library, &first),
            Err(Refusal::LeftAside("a reads other sheets only".into()))
        );
    }

    #[test]
    fn a_header_row_may_be_named() {
        let named = DEVICES.replace("[columns]", "[table]\nheader_row = 70\n[columns]");
        let library = Library { given: vec![file("a", &named)], ..Library::default() };
        assert_eq!(library.rows_to_look_at(), 70);
        let header = |number| vec![Row::of(number, &["No.", "Face", "Plate"])];
        assert_eq!(chosen(&library, &header(70)), Ok(("a".into(), 70, 0)));
        assert!(chosen(&library, &header(3)).is_err());
    }

    #[test]
    fn merged_cells_are_asked_for_where_a_mapping_has_a_use_for_them() {
        let merged = DEVICES.replace("[columns]", "[table]\nmerged = true\n[columns]");
        let filled = DEVICES.replace("\"facing\"", "{ field = \"facing\", fill_down = true }");
        let given = |text: &str| Library { given: vec![file("a", text)], ..Library::default() };
        let shipped = |text: &str| Library { shipped: vec![file("a", text)], ..Library::default() };
        assert!(given(&merged).asks_for_merges() && shipped(&merged).asks_for_merges());
        assert!(given(&filled).asks_for_merges() && !shipped(&filled).asks_for_merges());
        assert!(!given(DEVICES).asks_for_merges());
    }

    #[test]
    fn the_first_of_several_tables_is_taken_and_captions_belong_to_their_header() {
        let library = Library { given: vec![file("a", DEVICES)], ..Library::default() };
        let first = rows(&[
            &["Title", "No."],
            &["No.", "Face"],
            &["1", "up"],
            &["", ""],
            &["No.", "Face", "Plate", "room"],
        ]);
        assert_eq!(chosen(&library, &first), Ok(("a".into(), 2, 0)));
    }
}
