//! Header rows: what their cells say, whatever their case, gaps and units.
//!
//! Owns the comparison of headers and the field names as headers. It must not know mapping files.

use std::collections::HashSet;
use std::sync::LazyLock;

use super::read::{Unit, fold, trim, unit_in_header};
use crate::ingest::{Cell, Row};
use crate::outlet::{Field, KNOWN_BEFORE};

/// A header for comparison: folded as words are, and without gaps.
fn folded(header: &str) -> String {
    fold(header).filter(|character| *character != ' ').collect()
}

/// What a header says, whatever its case and gaps.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct HeaderKey {
    /// All of it.
    whole: String,
    /// All but the unit at its end, and that unit.
    measured: Option<(String, Unit)>,
}

/// Headers that were met, of which the first of those that say the same counts.
#[derive(Default)]
pub(super) struct Met<'h> {
    whole: HashSet<&'h str>,
    measured: HashSet<(&'h str, Unit)>,
}

impl<'h> Met<'h> {
    /// Whether a header is exactly one that was met before.
    pub(super) fn again(&mut self, key: &'h HeaderKey) -> bool {
        let whole = !self.whole.insert(&key.whole);
        let measured = key.measured.as_ref();
        measured.is_some_and(|(words, unit)| !self.measured.insert((words, *unit))) || whole
    }
}

impl HeaderKey {
    pub(super) fn of(header: &str) -> Self {
        let measured = unit_in_header(header).map(|(words, unit)| (folded(&words), unit));
        Self { whole: folded(header), measured }
    }

    /// Whether a header is the one that a mapping means, which may leave its unit out.
    pub(super) fn is_meant_by(&self, meant: &Self) -> bool {
        let without_unit = self.measured.as_ref().is_some_and(|(words, _)| *words == meant.whole);
        self.is_exactly(meant) || without_unit
    }

    /// Whether two headers say the same, their units too, however these are written.
    pub(super) fn is_exactly(&self, other: &Self) -> bool {
        self.whole == other.whole || self.measured.is_some() && self.measured == other.measured
    }
}

/// The fields by the keys of their names, in order of the keys.
static NAMES: LazyLock<Vec<(String, Field)>> = LazyLock::new(|| {
    let mut names: Vec<_> = Field::ALL.iter().map(|field| (folded(field.name()), *field)).collect();
    names.sort();
    names
});

fn field_named(key: &str) -> Option<Field> {
    let place = NAMES.binary_search_by(|(name, _)| name.as_str().cmp(key)).ok()?;
    Some(NAMES[place].1)
}

/// Fields that lists of other things than outlets have too: of rooms, circuits, finishes, permits.
const COMMON: &[Field] = &[
    Field::Quantity,
    Field::Building,
    Field::Floor,
    Field::Room,
    Field::RoomUse,
    Field::Occupancy,
    Field::Height,
    Field::BedLocation,
    Field::CareCategory,
    Field::Trade,
    Field::Installer,
    Field::ObservedOn,
    Field::ObservedBy,
    Field::Evidence,
    Field::Edition,
    Field::PermitDate,
    Field::Work,
    Field::Panel,
    Field::Circuit,
    Field::Supply,
    Field::System,
    Field::Phases,
    Field::Volts,
    Field::CircuitAmps,
    Field::Surface,
    Field::SurfaceCombustible,
];

/// A header has no more characters than this; what follows are remarks, or no header.
const MOST_CHARACTERS: usize = 1000;

/// One cell of a header row.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Header {
    /// Place of the column, from 0.
    pub(super) column: u32,
    /// As a person names the column, trimmed; with the caption of its group where that was needed.
    pub(super) text: String,
    /// The same for comparison.
    pub(super) key: HeaderKey,
    /// What stands in its cell of the header row; empty where only the row above says something.
    pub(super) written: String,
}

impl Header {
    fn of(column: u32, cell: Cell<'_>) -> Option<Self> {
        let text = match cell {
            Cell::Text(text) => trim(text).chars().take(MOST_CHARACTERS).collect(),
            Cell::Number(number) => number.to_string(),
            _ => return None,
        };
        let key = HeaderKey::of(&text);
        (!key.whole.is_empty()).then(|| Self { column, written: text.clone(), text, key })
    }

    /// The same column below the caption of its group.
    fn under(&self, captions: &[Self]) -> Option<Self> {
        let caption = captions.iter().rev().find(|caption| caption.column <= self.column)?;
        let text = format!("{} {}", caption.text, self.text);
        Some(Self { key: HeaderKey::of(&text), text, ..self.clone() })
    }

    /// The field whose name it is, with or without a unit of that field.
    pub(super) fn canonical(&self) -> Option<Field> {
        field_named(&self.key.whole).or_else(|| {
            let (words, unit) = self.key.measured.as_ref()?;
            field_named(words).filter(|field| unit.suits(field.kind()))
        })
    }

    /// Whether it heads the column that tells what was known before a survey.
    pub(super) fn is_record(&self) -> bool {
        self.key.whole == folded(KNOWN_BEFORE)
    }

    /// The unit that it ends with, if the field is measured in it.
    pub(super) fn unit_of(&self, field: Field) -> Option<Unit> {
        self.key.measured.as_ref().map(|(_, unit)| *unit).filter(|unit| unit.suits(field.kind()))
    }
}

/// A row with more headers than this is read without the captions above it.
const MOST_UNDER_CAPTIONS: usize = 400;

/// A row as a header row.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct HeaderRow {
    /// The row of the sheet, from 1.
    pub(super) number: u32,
    /// Its cells that say something, by column.
    pub(super) headers: Vec<Header>,
    /// The cells of the row above it, which may name groups of columns.
    pub(super) captions: Vec<Header>,
    /// Each header below the caption of its group, if there is one.
    joined: Vec<Option<Header>>,
}

impl HeaderRow {
    pub(super) fn of(row: &Row) -> Self {
        let headers = row.cells().filter_map(|(column, cell)| Header::of(column, cell)).collect();
        Self { number: row.number, headers, captions: Vec::new(), joined: Vec::new() }
    }

    /// The rows as header rows, each with the one straight above it.
    pub(super) fn all_of(rows: &[Row]) -> Vec<Self> {
        let mut all: Vec<Self> = Vec::with_capacity(rows.len());
        for row in rows {
            let mut header = Self::of(row);
            let above = all.last().filter(|above| above.number + 1 == row.number);
            let few = |row: &Self| row.headers.len() <= MOST_UNDER_CAPTIONS;
            if let Some(above) = above.filter(|above| few(above) && few(&header)) {
                header.captions.clone_from(&above.headers);
                header.joined =
                    header.headers.iter().map(|word| word.under(&header.captions)).collect();
            }
            all.push(header);
        }
        all
    }

    /// The row with what the captions above it add: a word below a caption is read with it where the
    /// two are known together, or where the word stands in several groups; a cell that is empty takes
    /// the header above it where that is known.
    ///
    /// A caption holds to the right until the next one, as merged cells do.
    pub(super) fn under_captions(&self, known: &dyn Fn(&Header) -> bool) -> Self {
        let mut row = Self { headers: Vec::new(), joined: Vec::new(), ..self.clone() };
        let together: Vec<_> = self
            .joined
            .iter()
            .map(|joined| joined.as_ref().filter(|joined| known(joined)))
            .collect();
        let words = self.headers.iter().zip(self.joined.iter().zip(&together));
        for (header, (joined, read)) in words.clone() {
            // A word that stands in several groups, of which one is known, is not that of this one.
            let in_several = || {
                words.clone().any(|(twin, (_, read))| {
                    read.is_some()
                        && twin.column != header.column
                        && twin.key.is_exactly(&header.key)
                })
            };
            let read = read.or_else(|| joined.as_ref().filter(|_| in_several()));
            row.headers.push(read.unwrap_or(header).clone());
        }
        for caption in &self.captions {
            let free = self.headers.iter().all(|header| header.column != caption.column);
            if free && known(caption) {
                row.headers.push(Header { written: String::new(), ..caption.clone() });
            }
        }
        row.headers.sort_by_key(|header| header.column);
        row
    }

    /// The tables that stand side by side under this row: itself when there is only one.
    ///
    /// A table begins where the first header of the one before comes again, or behind a column without
    /// a header. Each must be a table by itself and share two headers with the first.
    pub(super) fn side_by_side(&self, is_table: &dyn Fn(&Self) -> bool) -> Vec<Self> {
        let again = |block: &[Header], next: &Header| {
            block.first().is_some_and(|first| first.key.is_exactly(&next.key))
        };
        let gap = |block: &[Header], next: &Header| {
            block.last().is_some_and(|last| last.column + 1 < next.column)
        };
        let sound = |blocks: &[Self]| {
            blocks.len() > 1
                && blocks.iter().all(|block| is_table(block) && block.shares(&blocks[0]))
        };
        let by_name = self.cut(&again);
        if sound(&by_name) {
            return by_name;
        }
        let by_gap = self.cut(&gap);
        if sound(&by_gap) { by_gap } else { vec![self.clone()] }
    }

    fn cut(&self, begins: &dyn Fn(&[Header], &Header) -> bool) -> Vec<Self> {
        let mut blocks: Vec<Self> = Vec::new();
        for header in &self.headers {
            match blocks.last_mut() {
                Some(block) if !begins(&block.headers, header) => {
                    block.headers.push(header.clone());
                }
                _ => blocks.push(Self { headers: vec![header.clone()], ..self.clone() }),
            }
        }
        blocks
    }

    fn shares(&self, other: &Self) -> bool {
        let there =
            |header: &&Header| other.headers.iter().any(|other| other.key.is_exactly(&header.key));
        self.headers.iter().filter(there).count() > 1
    }

    /// The field names among its headers, each once.
    pub(super) fn canonical(&self) -> Vec<Field> {
        let mut fields: Vec<_> = self.headers.iter().filter_map(Header::canonical).collect();
        fields.sort_unstable();
        fields.dedup();
        fields
    }

    /// Whether its field names alone make it the header of a schedule: two of them, one of which
    /// only lists of outlets have.
    pub(super) fn is_canonical(&self) -> bool {
        let fields = self.canonical();
        fields.len() >= 2 && fields.iter().any(|field| !COMMON.contains(field))
    }

    /// Its first headers, for a person.
    pub(super) fn shown(&self) -> String {
        const MOST: usize = 12;
        let shown: Vec<_> =
            self.headers.iter().take(MOST).map(|header| header.text.as_str()).collect();
        let more = self.headers.len().saturating_sub(MOST);
        let rest = if more > 0 { format!(" and {more} more") } else { String::new() };
        format!("{}{rest}", shown.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(texts: &[&str]) -> HeaderRow {
        HeaderRow::of(&Row::of(1, texts))
    }

    #[test]
    fn field_names_are_headers_in_any_case_and_with_any_gaps() {
        let header =
            row(&["Outlet ID", "BOX-SET-BACK (mm)", "wall gap, in", "OutletId", "Volts (mm)"]);
        let fields: Vec<_> = header.headers.iter().map(Header::canonical).collect();
        let expected = [
            Some(Field::OutletId),
            Some(Field::BoxSetBack),
            Some(Field::WallGap),
            Some(Field::OutletId),
            None,
        ];
        assert_eq!(fields, expected);
        assert_eq!(header.headers[1].unit_of(Field::BoxSetBack), Some(Unit::Millimetre));
        assert_eq!(header.headers[1].unit_of(Field::Volts), None);
    }

    fn texts(row: &HeaderRow) -> Vec<&str> {
        row.headers.iter().map(|header| header.text.as_str()).collect()
    }

    #[test]
    fn a_word_in_several_groups_is_read_with_its_caption() {
        let rows = [
            Row::of(3, &["Outlet ID", "Box", "", "Plate", "", "Room"]),
            Row::of(4, &["", "Material", "Set-back (mm)", "Material", "Colour", ""]),
        ];
        let all = HeaderRow::all_of(&rows);
        let read = all[1].under_captions(&|header| header.canonical().is_some());
        let expected =
            ["Outlet ID", "Box Material", "Box Set-back (mm)", "Plate Material", "Colour", "Room"];
        assert_eq!(texts(&read), expected);
        assert_eq!(read.headers[1].written, "Material");
        assert_eq!(read.canonical().len(), 4);
    }

    #[test]
    fn a_title_is_no_caption() {
        let rows = [
            Row::of(1, &["Devices of the east wing", "Rev. 3"]),
            Row::of(2, &["Outlet ID", "Room", "Room"]),
        ];
        let read =
            HeaderRow::all_of(&rows)[1].under_captions(&|header| header.canonical().is_some());
        assert_eq!(texts(&read), ["Outlet ID", "Room", "Room"]);
    }

    #[test]
    fn tables_side_by_side_repeat_their_headers() {
        let is_table = |row: &HeaderRow| row.is_canonical();
        let count = |texts: &[&str]| row(texts).side_by_side(&is_table).len();
        assert_eq!(count(&["Outlet ID", "Room", "Volts", "", "Outlet ID", "Volts", "Room"]), 2);
        assert_eq!(count(&["Outlet ID", "Room", "Outlet ID", "Room", "Outlet ID", "Room"]), 3);
        assert_eq!(count(&["No.", "Outlet ID", "Room", "", "No", "Room", "Outlet id"]), 2);
        assert_eq!(count(&["Outlet ID", "Room", "Volts", "", "Room", "Floor"]), 1);
        assert_eq!(count(&["Outlet ID", "Room", "Room"]), 1);
    }

    #[test]
    fn a_list_of_rooms_or_of_circuits_is_no_schedule_of_outlets() {
        for (texts, expected) in [
            (&["Building", "Floor", "Room", "Height"][..], false),
            (&["Panel", "Circuit", "Volts"], false),
            (&["Room", "Surface"], false),
            (&["outlet_id"], false),
            (&["outlet_id", "Remarks"], false),
            (&["Outlet ID", "Room"], true),
            (&["Room", "Facing"], true),
        ] {
            assert_eq!(row(texts).is_canonical(), expected, "{texts:?}");
        }
    }
}
