//! The sheets of a COBie workbook: how they are known, and what is kept of their rows.
//!
//! Only what a join needs is kept. An attribute that gives no field is dropped as it is read, since
//! the sheet Attribute may hold hundreds of thousands of rows.

use std::collections::BTreeMap;

use super::attributes::field_of;
use crate::ingest::{Cell, Row};
use crate::mapping::account::SheetAccount;
use crate::mapping::cell::text_of;
use crate::mapping::read::{is_blank_word, same, trim};
use crate::outlet::Field;

/// The most characters of a cell that are kept: no name, category or value has more.
const MOST_CHARACTERS: usize = 1000;

/// A sheet of the format.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(in crate::mapping) enum SheetKind {
    Facility,
    Floor,
    Space,
    Type,
    Component,
    Attribute,
    System,
    /// One that says nothing of an outlet.
    Other,
}

/// The sheets that are joined, each with the header words that it must have in its first row.
const JOINED: &[(SheetKind, &str, &[&str])] = &[
    (SheetKind::Facility, "Facility", &["Name", "LinearUnits"]),
    (SheetKind::Floor, "Floor", &["Name", "CreatedBy"]),
    (SheetKind::Space, "Space", &["Name", "FloorName"]),
    (SheetKind::Type, "Type", &["Name", "Category", "CreatedBy"]),
    (SheetKind::Component, "Component", &["Name", "TypeName", "Space"]),
    (SheetKind::Attribute, "Attribute", &["Name", "SheetName", "RowName", "Value"]),
    (SheetKind::System, "System", &["Name", "ComponentNames"]),
];

const OTHERS: &[&str] = &[
    "Instruction",
    "Instructions",
    "Introduction",
    "Contact",
    "Zone",
    "Assembly",
    "Connection",
    "Spare",
    "Resource",
    "Job",
    "Impact",
    "Document",
    "Coordinate",
    "Issue",
    "PickLists",
    "PickList",
];

/// Header words of the other sheets; any of them will do.
const MARKS: &[&str] = &["CreatedBy", "Category-Facility", "AssetType", "AreaUnit"];

impl SheetKind {
    /// The sheet of this name, if its first row has the words of the format.
    pub(in crate::mapping) fn of(name: &str, first: Option<&Row>) -> Option<Self> {
        let row = first.filter(|row| row.number == 1)?;
        let known = JOINED.iter().find(|(_, sheet, _)| same(sheet, name));
        if let Some((kind, _, words)) = known {
            return words.iter().all(|word| column(row, word).is_some()).then_some(*kind);
        }
        let marked = MARKS.iter().any(|mark| column(row, mark).is_some())
            || row.cells().any(|(_, cell)| {
                matches!(cell, Cell::Text(text) if text.to_lowercase().starts_with("cobie"))
            });
        let other = marked && OTHERS.iter().any(|other| same(other, name));
        other.then_some(Self::Other)
    }

    /// Why the sheet is read as it is.
    pub(in crate::mapping) const fn why(self) -> &'static str {
        match self {
            Self::Component => "its name and its header words are those of the sheet Component",
            Self::Other => "a sheet of the format that says nothing of an outlet; left aside",
            _ => "its name and its header words are those of a sheet that is joined to Component",
        }
    }

    /// Enters how many rows were kept and left in the account of the sheet; the components are counted
    /// as they are joined.
    pub(in crate::mapping) fn count(self, account: &mut SheetAccount, kept: u32, left: u32) {
        let kept_for = if self == Self::Component { 0 } else { kept };
        for (why, rows) in [("joined to components", kept_for), ("nothing of an outlet", left)] {
            if rows > 0 {
                account.rows_skipped.insert(why.to_owned(), rows);
            }
        }
    }
}

/// The column under a header word, from 0.
fn column(header: &Row, word: &str) -> Option<u32> {
    let is_it = |cell| matches!(cell, Cell::Text(text) if trim(text).eq_ignore_ascii_case(word));
    header.cells().find(|(_, cell)| is_it(*cell)).map(|(column, _)| column)
}

/// Where a text stands: its row and column on a sheet.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct At {
    pub(super) kind: SheetKind,
    pub(super) row: u32,
    pub(super) column: u32,
}

/// A text that says something, and where it stands.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Said {
    pub(super) text: String,
    pub(super) at: At,
}

#[derive(Debug)]
pub(super) struct Facility {
    pub(super) name: Option<Said>,
    pub(super) category: Option<Said>,
    pub(super) linear_units: Option<Said>,
}

#[derive(Debug)]
pub(super) struct Space {
    pub(super) floor: Option<Said>,
    pub(super) category: Option<Said>,
    pub(super) description: Option<Said>,
}

#[derive(Debug)]
pub(super) struct Type {
    pub(super) name: Said,
    pub(super) category: Option<Said>,
    pub(super) description: Option<Said>,
}

#[derive(Debug)]
pub(super) struct Component {
    pub(super) row: u32,
    pub(super) name: Option<Said>,
    pub(super) type_name: Option<Said>,
    pub(super) space: Option<Said>,
    pub(super) description: Option<Said>,
}

#[derive(Debug)]
pub(super) struct System {
    pub(super) name: Said,
    pub(super) category: Option<Said>,
}

/// An attribute that gives a field.
#[derive(Debug)]
pub(super) struct Attribute {
    pub(super) field: Field,
    pub(super) value: Option<Said>,
    pub(super) unit: Option<Said>,
}

/// What was kept of a workbook.
#[derive(Debug, Default)]
pub(in crate::mapping) struct Book {
    /// Place of each sheet in the account of the input.
    pub(super) places: BTreeMap<SheetKind, usize>,
    pub(super) facilities: Vec<Facility>,
    pub(super) floors: BTreeMap<String, At>,
    pub(super) spaces: BTreeMap<String, Space>,
    pub(super) types: BTreeMap<String, Type>,
    pub(super) components: Vec<Component>,
    /// The systems of a component.
    pub(super) systems: BTreeMap<String, Vec<System>>,
    /// The attributes of a type or a component, by its name.
    pub(super) attributes: BTreeMap<(SheetKind, String), Vec<Attribute>>,
}

impl Book {
    /// Whether a sheet of the format was met that is joined.
    pub(in crate::mapping) fn is_empty(&self) -> bool {
        self.places.is_empty()
    }

    /// Begins a sheet; its rows go to what is given back.
    pub(in crate::mapping) fn sheet(
        &mut self,
        kind: SheetKind,
        place: usize,
        header: &Row,
    ) -> Reader<'_> {
        if kind != SheetKind::Other {
            self.places.entry(kind).or_insert(place);
        }
        let columns = HEADERS.iter().map(|word| column(header, word)).collect();
        Reader { book: self, kind, columns }
    }
}

/// The header words that are read on any sheet.
const HEADERS: &[&str] = &[
    "Name",
    "Category",
    "Description",
    "LinearUnits",
    "FloorName",
    "TypeName",
    "Space",
    "SheetName",
    "RowName",
    "Value",
    "Unit",
    "ComponentNames",
];

/// Reads the rows of one sheet.
pub(in crate::mapping) struct Reader<'b> {
    book: &'b mut Book,
    kind: SheetKind,
    /// The columns of [`HEADERS`].
    columns: Vec<Option<u32>>,
}

impl Reader<'_> {
    /// Keeps what a row says; false when that is nothing.
    pub(in crate::mapping) fn row(&mut self, row: &Row) -> bool {
        let said = |word: &str| self.said(row, word);
        let name = said("Name");
        match self.kind {
            SheetKind::Facility => {
                let (category, linear_units) = (said("Category"), said("LinearUnits"));
                self.book.facilities.push(Facility { name, category, linear_units });
            }
            SheetKind::Floor => {
                let Some(name) = name else { return false };
                self.book.floors.entry(key(&name.text)).or_insert(name.at);
            }
            SheetKind::Space => {
                let Some(name) = name else { return false };
                let (category, description) = (said("Category"), said("Description"));
                let space = Space { floor: said("FloorName"), category, description };
                self.book.spaces.entry(key(&name.text)).or_insert(space);
            }
            SheetKind::Type => {
                let Some(name) = name else { return false };
                let (category, description) = (said("Category"), said("Description"));
                let key = key(&name.text);
                self.book.types.entry(key).or_insert(Type { name, category, description });
            }
            SheetKind::Component => {
                let (type_name, space) = (said("TypeName"), said("Space"));
                let description = said("Description");
                if name.is_none() && type_name.is_none() {
                    return false;
                }
                let row = row.number;
                let component = Component { row, name, type_name, space, description };
                self.book.components.push(component);
            }
            SheetKind::System => return self.system(row, name),
            SheetKind::Attribute => return self.attribute(row, name),
            SheetKind::Other => return false,
        }
        true
    }

    fn system(&mut self, row: &Row, name: Option<Said>) -> bool {
        let (Some(name), Some(components)) = (name, self.said(row, "ComponentNames")) else {
            return false;
        };
        for component in listed(&components.text) {
            let system = System { name: name.clone(), category: self.said(row, "Category") };
            self.book.systems.entry(component).or_default().push(system);
        }
        true
    }

    fn attribute(&mut self, row: &Row, name: Option<Said>) -> bool {
        let sheet = self.said(row, "SheetName");
        let kind = match sheet.map(|sheet| sheet.text.to_lowercase()).as_deref() {
            Some("type") => SheetKind::Type,
            Some("component") => SheetKind::Component,
            _ => return false,
        };
        let Some(field) = name.and_then(|name| field_of(&name.text)) else { return false };
        let Some(owner) = self.said(row, "RowName") else { return false };
        let attribute =
            Attribute { field, value: self.said(row, "Value"), unit: self.said(row, "Unit") };
        // The name of a component may hold a comma: the whole is one of its keys.
        let mut owners = listed(&owner.text);
        owners.retain(|other| *other != key(&owner.text));
        for other in owners {
            let again =
                Attribute { field, value: attribute.value.clone(), unit: attribute.unit.clone() };
            self.book.attributes.entry((kind, other)).or_default().push(again);
        }
        self.book.attributes.entry((kind, key(&owner.text))).or_default().push(attribute);
        true
    }

    /// What a row says under a header word: nothing where the cell is empty or says `n/a`.
    fn said(&self, row: &Row, word: &str) -> Option<Said> {
        let place = HEADERS.iter().position(|header| *header == word)?;
        let column = (*self.columns.get(place)?)?;
        let cell = row.cell(column);
        if matches!(cell, Cell::Error(_)) {
            return None;
        }
        let text = text_of(cell);
        let end = text.char_indices().nth(MOST_CHARACTERS).map_or(text.len(), |(end, _)| end);
        let text = trim(&text[..end]);
        let unknown = is_blank_word(text) || text.eq_ignore_ascii_case("n\\a");
        let at = At { kind: self.kind, row: row.number, column };
        (!unknown).then(|| Said { text: text.to_owned(), at })
    }
}

/// A name for comparison: inner runs of blanks as one, its case as it is.
pub(super) fn key(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The names of a list with commas.
pub(super) fn listed(list: &str) -> Vec<String> {
    list.split(',').map(key).filter(|name| !name.is_empty()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_is_known_by_its_name_and_the_words_of_its_first_row() {
        let header = |number, words: &[&str]| Row::of(number, words);
        let of = |name, row: &Row| SheetKind::of(name, Some(row));
        let component = header(1, &["TypeName", "Space", "Name", "ProjectStages"]);
        assert_eq!(of("Component", &component), Some(SheetKind::Component));
        assert_eq!(of("component ", &component), Some(SheetKind::Component));
        assert_eq!(of("Devices", &component), None);
        assert_eq!(of("Component", &header(2, &["Name", "TypeName", "Space"])), None);
        assert_eq!(of("Component", &header(1, &["Name", "Space"])), None);
        assert_eq!(of("PickLists", &header(1, &["AreaUnit", "AssetType"])), Some(SheetKind::Other));
        assert_eq!(of("Instruction", &header(1, &["Title", "COBie2"])), Some(SheetKind::Other));
        assert_eq!(of("Instruction", &header(1, &["Read me"])), None);
    }
}
