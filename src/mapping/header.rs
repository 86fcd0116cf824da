//! Header rows: what their cells say, whatever their case, gaps and units.
//!
//! Owns the comparison of headers and the field names as headers. It must not know mapping files.

use std::sync::LazyLock;

use super::read::{Unit, fold, trim, unit_in_header};
use crate::ingest::{Cell, Row};
use crate::outlet::Field;

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

/// One cell of a header row.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Header {
    /// Place of the column, from 0.
    pub(super) column: u32,
    /// As it is written, trimmed.
    pub(super) text: String,
    /// The same for comparison.
    pub(super) key: HeaderKey,
}

impl Header {
    fn of(column: u32, cell: Cell<'_>) -> Option<Self> {
        let text = match cell {
            Cell::Text(text) => trim(text).to_owned(),
            Cell::Number(number) => number.to_string(),
            _ => return None,
        };
        let key = HeaderKey::of(&text);
        (!key.whole.is_empty()).then_some(Self { column, text, key })
    }

    /// The field whose name it is, with or without a unit of that field.
    pub(super) fn canonical(&self) -> Option<Field> {
        field_named(&self.key.whole).or_else(|| {
            let (words, unit) = self.key.measured.as_ref()?;
            field_named(words).filter(|field| unit.suits(field.kind()))
        })
    }

    /// The unit that it ends with, if the field is measured in it.
    pub(super) fn unit_of(&self, field: Field) -> Option<Unit> {
        self.key.measured.as_ref().map(|(_, unit)| *unit).filter(|unit| unit.suits(field.kind()))
    }
}

/// A row as a header row.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct HeaderRow {
    /// The row of the sheet, from 1.
    pub(super) number: u32,
    /// Its cells that say something, by column.
    pub(super) headers: Vec<Header>,
}

impl HeaderRow {
    pub(super) fn of(row: &Row) -> Self {
        let headers = row.cells().filter_map(|(column, cell)| Header::of(column, cell)).collect();
        Self { number: row.number, headers }
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
