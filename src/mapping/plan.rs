//! The plan of a sheet: which column gives which field and how, settled once before its rows are read.
//!
//! Owns tying headers to fields, and the constants of a sheet. A header that a mapping names goes
//! first, then a field name; of two columns with one field the first is read.

use std::collections::BTreeMap;

use super::account::{
    ColumnAccount, ConstantAccount, Fault, Resolutions, SheetAccount, column_letters,
};
use super::describe::Phrases;
use super::file::{
    BuildingLine, ColumnLine, ColumnReading, ConstantLine, ConstantSource, Line, MappingFile,
};
use super::header::{Header, Met};
use super::read::{self, Column, Content, Reading, Unit, trim};
use super::recognise::{Choice, Library, Names};
use super::storey::is_storey;
use crate::outlet::{Fact, Field, Kind, Origin, Outlet, Texts};

/// How the account calls a floor that only the name of the sheet gives.
pub(super) const FLOOR_FROM_NAME: &str = "no column gives it; the sheet is named like a storey";

/// A column of the plan.
pub(super) struct PlannedColumn<'m> {
    /// Place of the column, from 0.
    pub(super) place: u32,
    /// How it is read.
    pub(super) read: Column<'m>,
    /// Whether an empty cell means the value above it.
    pub(super) fill_down: bool,
}

/// A column of descriptions.
pub(super) struct PlannedDescription<'m> {
    /// Place of the column, from 0.
    pub(super) place: u32,
    /// Its header as written.
    pub(super) header: String,
    /// The phrases of the mapping.
    pub(super) phrases: &'m Phrases,
}

/// A building of a mapping file.
#[derive(Clone, Copy)]
pub(super) struct KnownBuilding<'m> {
    pub(super) mapping: &'m MappingFile,
    pub(super) line: &'m Line<BuildingLine>,
}

/// The buildings that the rows of a sheet may stand in: those of all mappings that the user gave, and
/// of the one that the sheet is read with.
pub(super) fn buildings<'m>(choice: &Choice<'m>, library: &'m Library) -> Vec<KnownBuilding<'m>> {
    let shipped = choice
        .mapping
        .filter(|mapping| !library.given.iter().any(|given| std::ptr::eq(given, *mapping)));
    let mappings = library.given.iter().chain(shipped);
    mappings
        .flat_map(|mapping| {
            mapping.buildings.iter().map(move |line| KnownBuilding { mapping, line })
        })
        .collect()
}

/// Facts of a building, by the handle of its name.
pub(super) struct Building<'m> {
    pub(super) name: i64,
    pub(super) facts: Vec<(Field, i64)>,
    mapping: &'m MappingFile,
    line: &'m Line<BuildingLine>,
}

impl Building<'_> {
    /// Notes that an outlet stands in the building.
    pub(super) fn mark_used(&self) {
        self.line.mark_used();
        self.mapping.used.mark_used();
    }
}

/// How the rows of a sheet are read.
pub(super) struct Plan<'m> {
    pub(super) mapping: Option<&'m MappingFile>,
    /// The columns that give fields, by place.
    pub(super) columns: Vec<PlannedColumn<'m>>,
    /// The columns of descriptions.
    pub(super) descriptions: Vec<PlannedDescription<'m>>,
    /// Whether rows that name no device are passed over.
    pub(super) devices_only: bool,
    /// An outlet with the constants of the sheet, and blanks where a column may give a fact.
    pub(super) template: Outlet,
    /// One more than the place of the last header.
    pub(super) width: u32,
    /// The first two headers that are read, to know the header again further down.
    pub(super) repeated: Vec<(u32, String)>,
    /// The first two captions above the header, where it needs them.
    pub(super) captions: Vec<(u32, String)>,
    /// Facts of buildings.
    pub(super) buildings: Vec<Building<'m>>,
    /// The column that tells what was known before a survey.
    pub(super) known_before: Option<u32>,
    /// The columns in which a table of an earlier audit tells where its rows stood, and which facts were
    /// unknown.
    pub(super) earlier: Option<EarlierColumns>,
}

/// Columns of a table that an earlier audit wrote.
#[derive(Clone, Copy)]
pub(super) struct EarlierColumns {
    /// File, sheet and row of the schedule.
    pub(super) place: [u32; 3],
    /// The facts whose cells were blank; those that could not be read; all other unknown ones had no column.
    pub(super) blank: u32,
    pub(super) unreadable: u32,
}

/// What the plan of a sheet is made from.
pub(super) struct Maker<'a, 'm> {
    pub(super) choice: &'a Choice<'m>,
    pub(super) names: Names<'a>,
    pub(super) origin: Origin,
    pub(super) texts: &'a mut Texts,
    pub(super) sheet: &'a mut SheetAccount,
    pub(super) resolutions: &'a mut Resolutions,
}

impl<'m> Maker<'_, 'm> {
    /// The plan; columns and constants are entered in the account of the sheet.
    pub(super) fn plan(mut self, buildings: &[KnownBuilding<'m>]) -> Plan<'m> {
        let headers = &self.choice.header.headers;
        let mut plan = Plan {
            mapping: self.choice.mapping,
            columns: Vec::new(),
            descriptions: Vec::new(),
            devices_only: self.choice.mapping.is_some_and(|mapping| mapping.table.devices_only),
            template: Outlet::absent(self.origin),
            width: headers.last().map_or(0, |header| header.column + 1),
            repeated: Vec::new(),
            captions: Vec::new(),
            buildings: Vec::new(),
            known_before: None,
            earlier: EarlierColumns::among(headers),
        };
        let mut met = Met::default();
        for header in headers {
            let before = self.sheet.columns.len();
            if met.again(&header.key) {
                self.repeated_header(header);
            } else {
                self.column(header, &mut plan);
            }
            let read = self.sheet.columns[before..].iter().any(|column| column.field.is_some())
                || plan.descriptions.last().is_some_and(|last| last.place == header.column);
            if read && plan.repeated.len() < 2 && !header.written.is_empty() {
                plan.repeated.push((header.column, header.written.clone()));
            }
        }
        if headers.iter().any(|header| header.text != header.written) {
            let captions = self.choice.header.captions.iter().take(2);
            plan.captions =
                captions.map(|caption| (caption.column, caption.text.clone())).collect();
        }
        for column in &plan.columns {
            plan.template.set_raw(column.read.field, Fact::Blank);
        }
        if let Some(mapping) = self.choice.mapping {
            for line in &mapping.constants {
                self.constant(line, mapping, &mut plan);
            }
        }
        self.storey(&mut plan);
        plan.buildings = self.buildings(buildings);
        plan
    }

    fn column(&mut self, header: &Header, plan: &mut Plan<'m>) {
        if header.is_record() && plan.known_before.is_none() {
            plan.known_before = Some(header.column);
            self.sheet.observations = Some(BTreeMap::new());
            return self.unread(header, "what was known before the survey");
        }
        let line = self.choice.mapping.and_then(|mapping| line_of(mapping, header));
        if let Some(line) = line {
            line.mark_used();
            if let Some(phrases) = &line.says.describe {
                let (place, header) = (header.column, header.text.clone());
                plan.descriptions.push(PlannedDescription { place, header, phrases });
            } else if line.says.readings.is_empty() {
                return self.unread(header, "left aside by the mapping");
            }
            for reading in &line.says.readings {
                self.mapped(header, reading, plan);
            }
        } else if let Some(field) = header.canonical().filter(|field| !self.is_mapped(*field)) {
            let mut column =
                self.choice.mapping.map_or(Column::of(field), |file| file.plain(field));
            column.unit = header.unit_of(field);
            self.add(header, column, false, plan);
        } else {
            let by_another =
                header.canonical().map(|_| "the mapping takes its field from another column");
            self.unread(header, by_another.unwrap_or_default());
        }
    }

    /// Whether the mapping takes a field from a header of its own, which then goes before the name of
    /// the field.
    fn is_mapped(&self, field: Field) -> bool {
        let Some(mapping) = self.choice.mapping else { return false };
        let headers = self.choice.header.headers.iter();
        let mut readings = headers
            .filter_map(|header| line_of(mapping, header))
            .flat_map(|line| &line.says.readings);
        readings.any(|reading| reading.field == field)
    }

    fn mapped(&mut self, header: &Header, reading: &'m ColumnReading, plan: &mut Plan<'m>) {
        let mut column = reading.column();
        if let Some(unit) = header.unit_of(reading.field) {
            if column.unit.is_some_and(|mapped| mapped != unit) {
                let why =
                    "the header names another unit than the mapping; that of the header counts";
                self.fault(header, Some(reading.field), why.to_owned());
            }
            column.unit = Some(unit);
        }
        if let Some(resolution) = reading.resolution {
            self.resolutions.set(self.origin, reading.field, resolution);
        }
        self.add(header, column, reading.fill_down, plan);
    }

    fn add(&mut self, header: &Header, read: Column<'m>, fill_down: bool, plan: &mut Plan<'m>) {
        let field = read.field;
        if let Some(first) = plan.columns.iter().find(|column| column.read.field == field) {
            let first = column_letters(first.place);
            let name = field.name();
            let why = format!("column {first} gives {name} already; this column is not read");
            self.fault(header, Some(field), why);
            return self.unread(header, "its field is given by another column");
        }
        self.sheet.columns.push(ColumnAccount {
            column: header.column,
            header: header.text.clone(),
            field: Some(field),
            how: how(&read, fill_down),
            samples: Vec::new(),
        });
        plan.columns.push(PlannedColumn { place: header.column, read, fill_down });
    }

    fn repeated_header(&mut self, header: &Header) {
        let why = "this header stands twice; the first column is read".to_owned();
        self.fault(header, None, why);
        self.unread(header, "its header stands twice");
    }

    fn unread(&mut self, header: &Header, how: &str) {
        self.sheet.columns.push(ColumnAccount {
            column: header.column,
            header: header.text.clone(),
            field: None,
            how: how.to_owned(),
            samples: Vec::new(),
        });
    }

    fn fault(&mut self, header: &Header, field: Option<Field>, why: String) {
        self.sheet.faults.push(Fault {
            row: self.choice.header.number,
            column: Some(header.column),
            field,
            text: header.text.clone(),
            why,
        });
    }

    /// A constant; a blank cell of a column of the same field takes it too.
    fn constant(&mut self, line: &ConstantLine, mapping: &'m MappingFile, plan: &mut Plan<'m>) {
        let (value, how) = match &line.from {
            ConstantSource::Text(text) => (Some(text.as_str()), "constant of the mapping"),
            ConstantSource::Sheet(pattern) => (
                self.names.sheet.and_then(|name| pattern.capture(name)),
                "from the name of the sheet",
            ),
            ConstantSource::File(pattern) => {
                (pattern.capture(self.names.file), "from the name of the file")
            }
        };
        let value = value.unwrap_or_default();
        let reading = read::read(Content::Text(value), &mapping.plain(line.field), self.texts);
        let fact = match reading {
            Reading::Known(raw) | Reading::NoneDropped(raw) => Fact::Known(raw),
            Reading::Blank => Fact::Blank,
            Reading::Unreadable(_) | Reading::NotADevice(_) => Fact::Unreadable,
        };
        let why = match reading {
            Reading::Unreadable(why) => Some(format!("the constant cannot be read: {why}")),
            Reading::Blank if !matches!(line.from, ConstantSource::Text(_)) => {
                Some(format!("the mapping takes {} {how}, which says nothing", line.field.name()))
            }
            _ => None,
        };
        self.sheet.faults.extend(why.map(|why| Fault {
            row: self.choice.header.number,
            column: None,
            field: Some(line.field),
            text: value.to_owned(),
            why,
        }));
        self.sheet.constants.push(ConstantAccount {
            field: line.field,
            value: value.to_owned(),
            how: how.to_owned(),
        });
        plan.template.set_raw(line.field, fact);
    }

    /// The floor of a sheet that is named like a storey, where neither a column nor a constant gives it.
    fn storey(&mut self, plan: &mut Plan<'m>) {
        let name = trim(self.names.either());
        if plan.template.raw(Field::Floor) != Fact::Absent || !is_storey(name) {
            return;
        }
        let column = Column::of(Field::Floor);
        if let Reading::Known(raw) = read::read(Content::Text(name), &column, self.texts) {
            plan.template.set_raw(Field::Floor, Fact::Known(raw));
            let how = FLOOR_FROM_NAME.to_owned();
            let value = name.to_owned();
            self.sheet.constants.push(ConstantAccount { field: Field::Floor, value, how });
        }
    }

    fn buildings(&mut self, known: &[KnownBuilding<'m>]) -> Vec<Building<'m>> {
        let mut buildings = Vec::new();
        for KnownBuilding { mapping, line } in known {
            let building = &line.says;
            let Reading::Known(name) =
                read::read(Content::Text(&building.name), &Column::of(Field::Building), self.texts)
            else {
                continue;
            };
            let facts = building.facts.iter().filter_map(|(field, value)| {
                match read::read(Content::Text(value), &mapping.plain(*field), self.texts) {
                    Reading::Known(raw) | Reading::NoneDropped(raw) => Some((*field, raw)),
                    Reading::Blank | Reading::Unreadable(_) | Reading::NotADevice(_) => None,
                }
            });
            buildings.push(Building { name, facts: facts.collect(), mapping, line });
        }
        buildings
    }
}

impl EarlierColumns {
    fn among(headers: &[Header]) -> Option<Self> {
        let place = |name| headers.iter().find(|header| header.text == name).map(|one| one.column);
        Some(Self {
            place: [place("source")?, place("sheet")?, place("row")?],
            blank: place("blank")?,
            unreadable: place("unreadable")?,
        })
    }
}

/// The line of a mapping for a header: one that names it with its unit, else one that does not.
fn line_of<'m>(mapping: &'m MappingFile, header: &Header) -> Option<&'m Line<ColumnLine>> {
    let mut lines = mapping.columns.iter();
    let exactly = lines.clone().find(|line| header.key.is_exactly(&line.says.key));
    exactly.or_else(|| lines.find(|line| header.key.is_meant_by(&line.says.key)))
}

/// What the cells of a column of a kind are read as, for a person.
pub(super) const fn kind_name(kind: Kind) -> &'static str {
    match kind {
        Kind::Text => "texts",
        Kind::Count => "counts",
        Kind::Word(_) => "words",
        Kind::Words(_) => "lists of words",
        Kind::YesNo => "yes or no",
        Kind::Length => "lengths",
        Kind::Volume => "volumes",
        Kind::Voltage => "volts",
        Kind::Current => "amperes",
        Kind::Awg => "wire gauges",
        Kind::Date => "dates",
        Kind::Configuration => "configurations",
    }
}

/// How a column is read, for a person.
fn how(column: &Column<'_>, fill_down: bool) -> String {
    let mut how = kind_name(column.field.kind()).to_owned();
    if let Some(unit) = column.unit {
        how.push_str(" in ");
        how.push_str(symbol(unit));
    }
    if column.words.is_some() {
        how.push_str(", with words of the mapping");
    }
    if fill_down {
        how.push_str(", filled down");
    }
    how
}

const fn symbol(unit: Unit) -> &'static str {
    match unit {
        Unit::Inch => "in",
        Unit::Foot => "ft",
        Unit::Millimetre => "mm",
        Unit::Centimetre => "cm",
        Unit::Metre => "m",
        Unit::CubicInch => "in3",
        Unit::CubicCentimetre => "cm3",
        Unit::Volt => "V",
        Unit::Kilovolt => "kV",
        Unit::Ampere => "A",
    }
}
