//! The keys of mapping files, table by table: from these lists the parser knows a key, and the JSON
//! schema is printed, so that the two cannot disagree.

/// What may stand behind a key.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Shape {
    /// A text.
    Text,
    /// One of these texts.
    OneOf(&'static [&'static str]),
    /// A list of texts, or one text.
    Texts,
    /// A whole number from 1 to this.
    Whole(u32),
    /// True or false.
    Truth,
    /// The name of a field.
    Field,
    /// A table with these keys and no others.
    Keys(&'static [Key]),
    /// A table whose keys are headers, and whose values are columns.
    Columns,
    /// A table whose keys are words of a schedule, and whose values are their meanings.
    Words,
    /// A table whose keys are fields, and whose values are tables of words.
    FieldWords,
    /// A table whose keys are fields, and whose values are facts or where they come from.
    Constants,
    /// A table whose keys are names of buildings, and whose values are tables of facts.
    Buildings,
    /// True, or a table whose keys are phrases, and whose values are tables of facts.
    Phrases,
}

/// A key with its meaning.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Key {
    /// The key.
    pub(super) name: &'static str,
    /// What may stand behind it.
    pub(super) shape: Shape,
    /// What it means.
    pub(super) meaning: &'static str,
}

const fn key(name: &'static str, shape: Shape, meaning: &'static str) -> Key {
    Key { name, shape, meaning }
}

/// The last row on which a header is expected; a mapping that names a later one has slipped.
pub(super) const LAST_HEADER_ROW: u32 = 1000;
/// The most header words that may be asked for.
pub(super) const MOST_HEADERS: u32 = 1000;

const DECIMAL: Key =
    key("decimal", Shape::OneOf(&[",", "."]), "the mark between whole and decimal digits");
const DATES: Key = key(
    "dates",
    Shape::OneOf(&["day-month-year", "month-day-year"]),
    "for dates whose day and month could be exchanged",
);

pub(super) const TOP: &[Key] = &[
    key("name", Shape::Text, "what the mapping is for"),
    key("recognise", Shape::Keys(RECOGNISE), "how to know a schedule of this source"),
    key("table", Shape::Keys(TABLE), "where the table stands"),
    key("cells", Shape::Keys(CELLS), "how cells are written"),
    key("columns", Shape::Columns, "which column gives which field"),
    key("words", Shape::FieldWords, "words of the schedule, by field"),
    key("constants", Shape::Constants, "facts of every row"),
    key("buildings", Shape::Buildings, "facts of every row of a building"),
];

pub(super) const RECOGNISE: &[Key] = &[
    key("headers", Shape::Texts, "words of its header row"),
    key("at_least", Shape::Whole(MOST_HEADERS), "how many of them must be there"),
    key("sheets", Shape::Texts, "names that its sheets have; * stands for any characters"),
];

pub(super) const TABLE: &[Key] = &[
    key("sheets", Shape::Texts, "the sheets to read; * stands for any characters"),
    key("header_row", Shape::Whole(LAST_HEADER_ROW), "row of the header, from 1"),
    key("stop_at", Shape::Texts, "the table ends at a row whose first cell begins so"),
    key("skip", Shape::Texts, "rows whose first cell begins so are passed over"),
    key("merged", Shape::Truth, "merged cells are looked up in a workbook of any size"),
    key("devices_only", Shape::Truth, "rows that name no device are passed over"),
];

pub(super) const CELLS: &[Key] = &[DECIMAL, DATES];

pub(super) const COLUMN: &[Key] = &[
    key("field", Shape::Field, "the field that the column gives"),
    key("unit", Shape::OneOf(UNITS), "the unit of a figure without one"),
    DECIMAL,
    DATES,
    key("resolution", Shape::Text, "how finely a length was measured: 0.5 mm, 1/32 in"),
    key("fill_down", Shape::Truth, "an empty cell means the value above it"),
    key("words", Shape::Words, "words of this column; they go before those of [words]"),
    key("describe", Shape::Phrases, "the column describes the device in words and figures"),
    key("optional", Shape::Truth, "a schedule may do without the column"),
    key("ignore", Shape::Truth, "the column is left aside on purpose"),
];

pub(super) const CONSTANT: &[Key] = &[
    key("from", Shape::OneOf(&["sheet", "file"]), "the name that the value is taken from"),
    key("pattern", Shape::Text, "the first * stands for the value"),
];

/// The units that a mapping may name.
pub(super) const UNITS: &[&str] = &["in", "ft", "mm", "cm", "m", "in3", "cm3", "V", "kV", "A"];

/// The names of keys.
pub(super) fn names(keys: &[Key]) -> Vec<&'static str> {
    keys.iter().map(|key| key.name).collect()
}
