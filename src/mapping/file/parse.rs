//! The text of a mapping file to a [`MappingFile`]: one function a table, every error kept.

use std::ops::Range;
use std::sync::Arc;

use toml::de::{DeTable, DeValue};

use super::keys::{
    CELLS, COLUMN, CONSTANT, LAST_HEADER_ROW, MOST_HEADERS, RECOGNISE, TABLE, TOP, UNITS, names,
};
use super::walk::{Item, Walk, items, listed};
use super::{
    BuildingLine, Cells, ColumnLine, ColumnReading, ConstantLine, ConstantSource, FieldWords, Line,
    MappingFile, Recognise, TableLines, WordLine,
};
use crate::mapping::describe::{PhraseLine, Phrases};
use crate::mapping::error::{MappingError, Problem, Source, did_you_mean};
use crate::mapping::glob::Glob;
use crate::mapping::header::HeaderKey;
use crate::mapping::read::{
    self, Column, Content, DateOrder, DecimalMark, Reading, Unit, Why, WordMap, fold, same, trim,
};
use crate::mapping::vocabulary;
use crate::outlet::{Field, Kind, Length, Texts};

/// Reads a mapping file; all its errors at once, in the order of the file.
pub(super) fn parse(source: &Arc<Source>) -> Result<MappingFile, Vec<MappingError>> {
    let (document, syntax) = DeTable::parse_recoverable(&source.text);
    let mut walk = Walk { source, errors: Vec::new() };
    for error in syntax {
        let span = error.span().unwrap_or(0..0);
        walk.error(span, Problem::Syntax(error.message().replace('\n', "; ")), None);
    }
    // Half a document would give errors that are none, so its meaning waits for its syntax.
    if !walk.errors.is_empty() {
        return Err(walk.errors);
    }
    let file = walk.document(document.get_ref());
    walk.errors.sort_by_key(|error| error.span.as_ref().map(|span| span.start));
    if walk.errors.is_empty() { Ok(file) } else { Err(walk.errors) }
}

impl Walk<'_> {
    fn document(&mut self, document: &DeTable<'_>) -> MappingFile {
        let mut file = MappingFile {
            source: Arc::clone(self.source),
            name: String::new(),
            recognise: Recognise::default(),
            table: TableLines::default(),
            cells: Cells::default(),
            columns: Vec::new(),
            words: Vec::new(),
            constants: Vec::new(),
            buildings: Vec::new(),
            used: Line::new((), 0..0),
        };
        let items = items(document);
        // How cells are written and what words mean is needed to read the rest.
        for item in &items {
            match item.key {
                "cells" => file.cells = self.cells(*item),
                "words" => file.words = self.words(*item),
                _ => {}
            }
        }
        for item in &items {
            match item.key {
                "name" => self.name(*item, &mut file),
                "recognise" => file.recognise = self.recognise(*item),
                "table" => file.table = self.table_lines(*item),
                "columns" => file.columns = self.columns(*item, &file),
                "constants" => file.constants = self.constants(*item, &file),
                "buildings" => file.buildings = self.buildings(*item, &file),
                "cells" | "words" => {}
                _ => self.unknown_key(*item, "a mapping file", &names(TOP)),
            }
        }
        if !items.iter().any(|item| item.key == "name") {
            let help = "say in `name` what the mapping is for".to_owned();
            self.error(0..0, Problem::MissingKey { key: "name" }, help);
        }
        file
    }

    fn name(&mut self, item: Item<'_, '_>, file: &mut MappingFile) {
        self.text(item).unwrap_or_default().clone_into(&mut file.name);
        file.used.span = item.span();
    }

    fn recognise(&mut self, item: Item<'_, '_>) -> Recognise {
        let mut recognise = Recognise::default();
        let mut at_least = None;
        for item in self.table(item).unwrap_or_default() {
            match item.key {
                "headers" => {
                    let headers = self.texts(item);
                    recognise.headers =
                        headers.iter().map(|(text, _)| HeaderKey::of(text)).collect();
                }
                "at_least" => {
                    at_least = self.whole(item, MOST_HEADERS).map(|least| (item, least as usize));
                }
                "sheets" => recognise.sheets = self.globs(item),
                _ => self.unknown_key(item, "[recognise]", &names(RECOGNISE)),
            }
        }
        let all = recognise.headers.len();
        recognise.at_least = at_least.map_or(all, |(_, least)| least);
        if let Some((item, _)) = at_least.filter(|(_, least)| *least > all) {
            self.wrong_value(item, format!("it is at most {all}, the number of `headers`"));
        }
        recognise
    }

    fn globs(&mut self, item: Item<'_, '_>) -> Vec<Glob> {
        self.texts(item).into_iter().map(|(text, _)| Glob::new(text)).collect()
    }

    fn table_lines(&mut self, item: Item<'_, '_>) -> TableLines {
        let mut table = TableLines::default();
        for item in self.table(item).unwrap_or_default() {
            match item.key {
                "sheets" => table.sheets = self.globs(item),
                "header_row" => table.header_row = self.whole(item, LAST_HEADER_ROW),
                "stop_at" => table.stop_at = self.beginnings(item),
                "skip" => table.skip = self.beginnings(item),
                "merged" => table.merged = self.truth(item),
                "devices_only" => table.devices_only = self.truth(item),
                _ => self.unknown_key(item, "[table]", &names(TABLE)),
            }
        }
        table
    }

    /// How first cells begin; an empty beginning would be that of any cell.
    fn beginnings(&mut self, item: Item<'_, '_>) -> Vec<Line<String>> {
        let mut lines = Vec::new();
        for (text, span) in self.texts(item) {
            let key: String = fold(text).collect();
            if key.is_empty() {
                let problem = Problem::WrongValue { key: item.key.into(), found: "empty".into() };
                self.error(span, problem, "write how the first cell begins".to_owned());
            } else {
                lines.push(Line::new(key, span));
            }
        }
        lines
    }

    fn cells(&mut self, item: Item<'_, '_>) -> Cells {
        let mut cells = Cells::default();
        for item in self.table(item).unwrap_or_default() {
            if !self.cell_key(item, &mut cells) {
                self.unknown_key(item, "[cells]", &names(CELLS));
            }
        }
        cells
    }

    /// Reads a key that says how cells are written; false for any other.
    fn cell_key(&mut self, item: Item<'_, '_>, cells: &mut Cells) -> bool {
        match item.key {
            "decimal" => match self.text(item) {
                Some(",") => cells.decimal = Some(DecimalMark::Comma),
                Some(".") => cells.decimal = Some(DecimalMark::Point),
                Some(_) => self.wrong_value(item, "the decimal mark is `,` or `.`"),
                None => {}
            },
            "dates" => match self.text(item) {
                Some("day-month-year") => cells.dates = Some(DateOrder::DayFirst),
                Some("month-day-year") => cells.dates = Some(DateOrder::MonthFirst),
                Some(_) => self.wrong_value(
                    item,
                    "it is `day-month-year` or `month-day-year`; a year in front is always read",
                ),
                None => {}
            },
            _ => return false,
        }
        true
    }

    fn words(&mut self, item: Item<'_, '_>) -> Vec<FieldWords> {
        let mut words = Vec::new();
        for item in self.table(item).unwrap_or_default() {
            let field = self.field(item.key, item.span());
            let lines = self.word_lines(item, field.map(Column::of));
            if let Some(field) = field {
                let map = self.word_map(&lines);
                words.push(FieldWords { field, lines, map });
            }
        }
        words
    }

    /// The words of a table, each with a meaning that its field has.
    fn word_lines(&mut self, item: Item<'_, '_>, column: Option<Column<'_>>) -> Vec<WordLine> {
        let mut lines = Vec::new();
        for item in self.table(item).unwrap_or_default() {
            let Some(meaning) = self.scalar(item) else { continue };
            if let Some(column) = column {
                self.check(&meaning, column, item.value.span());
            }
            lines.push(WordLine { word: item.key.to_owned(), meaning, span: item.span() });
        }
        lines
    }

    /// The map of these words; those that cannot be meant are noted and left out.
    fn word_map(&mut self, lines: &[WordLine]) -> WordMap {
        let mut sound: Vec<&WordLine> = Vec::new();
        for line in lines {
            let same = |other: &&&WordLine| fold(&other.word).eq(fold(&line.word));
            if trim(&line.word).is_empty() {
                let help = "use `fill_down`, or a constant for the whole column".to_owned();
                self.error(line.span.clone(), Problem::EmptyWord(line.meaning.clone()), help);
            } else if let Some(first) = sound.iter().find(same) {
                let problem = Problem::WordTwice {
                    word: line.word.clone(),
                    first: first.meaning.clone(),
                    second: line.meaning.clone(),
                };
                self.error(line.span.clone(), problem, "keep one of the two lines".to_owned());
            } else {
                sound.push(line);
            }
        }
        map_of(sound)
    }

    /// Notes a value that is none of its field. An empty one means that nothing is known.
    fn check(&mut self, value: &str, column: Column<'_>, span: Range<usize>) -> bool {
        let plain = Column { words: None, ..column };
        let why = match read::read(Content::Text(value), &plain, &mut Texts::default()) {
            // A cell may describe a device; a mapping names it, or calls the word none.
            Reading::Known(_) if column.field == Field::Device && !names_device(value) => {
                Why::UnknownWord
            }
            Reading::NotADevice(_) if !same(value, NO_DEVICE) => Why::UnknownWord,
            Reading::Unreadable(why) => why,
            _ => return true,
        };
        let known = match column.field.kind() {
            Kind::Word(words) | Kind::Words(words) => words,
            Kind::YesNo => &["yes", "no"],
            _ => &[],
        };
        // Years look alike without meaning the same.
        let near = value.contains(char::is_alphabetic);
        let near = near.then(|| did_you_mean(value, known.iter().copied())).flatten();
        let help = near
            .or_else(|| (!known.is_empty()).then(|| format!("the words are {}", listed(known))));
        let why = why.to_string();
        // The list of the words says more than that there is one.
        let why = if known.is_empty() { why } else { "it is not a word of the field".to_owned() };
        let problem = Problem::NoValue { value: value.to_owned(), field: column.field.name(), why };
        self.error(span, problem, help);
        false
    }

    fn field(&mut self, name: &str, span: Range<usize>) -> Option<Field> {
        let field = Field::of(name);
        if field.is_none() {
            let help = did_you_mean(name, Field::ALL.iter().map(|field| field.name()));
            let help = help.unwrap_or_else(|| fields_like(name));
            self.error(span, Problem::UnknownField(name.to_owned()), help);
        }
        field
    }

    fn columns(&mut self, item: Item<'_, '_>, file: &MappingFile) -> Vec<Line<ColumnLine>> {
        let mut lines: Vec<Line<ColumnLine>> = Vec::new();
        for item in self.table(item).unwrap_or_default() {
            let key = HeaderKey::of(item.key);
            let same = |line: &&Line<ColumnLine>| line.says.key.is_exactly(&key);
            if let Some(first) = lines.iter().find(same) {
                let first = self.source.line(first.span.start);
                let problem = Problem::ColumnTwice { header: item.key.to_owned(), first };
                let help = "a column that gives two fields has a list: `[\"room\", \"floor\"]`";
                self.error(item.span(), problem, help.to_owned());
                continue;
            }
            lines.push(Line::new(self.column_line(item, file), item.span()));
        }
        lines
    }

    fn column_line(&mut self, item: Item<'_, '_>, file: &MappingFile) -> ColumnLine {
        let mut line = ColumnLine {
            header: item.key.to_owned(),
            key: HeaderKey::of(item.key),
            optional: false,
            readings: Vec::new(),
            describe: None,
        };
        match item.value.get_ref() {
            DeValue::Array(list) => {
                for value in list {
                    self.column_reading(Item { value, ..item }, file, &mut line);
                }
            }
            _ => self.column_reading(item, file, &mut line),
        }
        line
    }

    fn column_reading(&mut self, item: Item<'_, '_>, file: &MappingFile, line: &mut ColumnLine) {
        let value = item.value.get_ref();
        if !value.is_table() {
            let Some(name) = value.as_str() else {
                return self.wrong_type(item, "the name of a field, or a table");
            };
            let field = self.field(name, item.value.span());
            line.readings.extend(field.map(|field| reading(field, file.cells)));
            if let Some(reading) = line.readings.last_mut() {
                self.add_words(reading, file);
            }
            return;
        }
        let keys = self.table(item).unwrap_or_default();
        let mut ignore = false;
        let mut field = None;
        for key in &keys {
            match key.key {
                "ignore" => ignore = self.truth(*key),
                "optional" => line.optional = self.truth(*key),
                "describe" => line.describe = self.describe(*key, file),
                "field" => {
                    field = self.text(*key).map(|name| self.field(name, key.value.span()));
                }
                _ => {}
            }
        }
        match field {
            Some(Some(field)) if !ignore => {
                let reading = self.reading(field, &keys, file);
                line.readings.push(reading);
            }
            Some(_) => {}
            None if ignore || line.describe.is_some() => {}
            None => {
                let help = "name the field, or write `ignore = true`".to_owned();
                self.error(item.value.span(), Problem::MissingKey { key: "field" }, help);
            }
        }
        let known = names(COLUMN);
        for key in keys.iter().filter(|key| !known.contains(&key.key)) {
            self.unknown_key(*key, "a column", &known);
        }
    }

    /// `true`, or the phrases of a column of descriptions with their facts.
    fn describe(&mut self, item: Item<'_, '_>, file: &MappingFile) -> Option<Phrases> {
        if item.value.get_ref().as_bool().is_some() {
            return self.truth(item).then(Phrases::default);
        }
        if !item.value.get_ref().is_table() {
            self.wrong_type(item, "true, or a table of phrases");
            return None;
        }
        let mut phrases = Phrases::default();
        for phrase in self.table(item).unwrap_or_default() {
            let mut facts = Vec::new();
            for fact in self.table(phrase).unwrap_or_default() {
                let field = self.field(fact.key, fact.span());
                let (Some(field), Some(value)) = (field, self.scalar(fact)) else { continue };
                // Any number shows whether the field takes one.
                let shown = value.replace('#', "1");
                if self.check(&shown, file.plain(field), fact.value.span()) {
                    facts.push((field, value));
                }
            }
            let line = PhraseLine::new(phrase.key, facts);
            phrases.lines.push(Line::new(line, phrase.span()));
        }
        Some(phrases)
    }

    fn reading(
        &mut self,
        field: Field,
        keys: &[Item<'_, '_>],
        file: &MappingFile,
    ) -> ColumnReading {
        let mut reading = reading(field, file.cells);
        for key in keys {
            match key.key {
                "unit" => reading.unit = self.unit(*key, field),
                "resolution" => reading.resolution = self.resolution(*key, field),
                "fill_down" => reading.fill_down = self.truth(*key),
                _ => {
                    self.cell_key(*key, &mut reading.cells);
                }
            }
        }
        if let Some(words) = keys.iter().find(|key| key.key == "words") {
            let column = reading.column();
            reading.own_words = self.word_lines(*words, Some(column));
        }
        self.add_words(&mut reading, file);
        reading
    }

    /// Gives a column its words: its own, and those of the field that it does not have itself.
    fn add_words(&mut self, reading: &mut ColumnReading, file: &MappingFile) {
        self.word_map(&reading.own_words);
        let of_field = file.words.iter().find(|words| words.field == reading.field);
        // The first of two words is kept, so the column's own stand in front.
        let mut words: Vec<&WordLine> = Vec::new();
        for line in
            reading.own_words.iter().chain(of_field.into_iter().flat_map(|words| &words.lines))
        {
            if !words.iter().any(|other| fold(&other.word).eq(fold(&line.word))) {
                words.push(line);
            }
        }
        reading.words = (!words.is_empty()).then(|| map_of(words));
    }

    fn unit(&mut self, item: Item<'_, '_>, field: Field) -> Option<Unit> {
        let text = self.text(item)?;
        let span = item.value.span();
        let Some(unit) = Unit::of(text) else {
            let help = format!("the units are {}", listed(UNITS));
            self.error(span, Problem::UnknownUnit(text.to_owned()), help);
            return None;
        };
        if !unit.suits(field.kind()) {
            let unit = text.to_owned();
            self.error(span, Problem::WrongUnit { field: field.name(), unit }, None);
            return None;
        }
        Some(unit)
    }

    fn resolution(&mut self, item: Item<'_, '_>, field: Field) -> Option<Length> {
        let text = self.text(item)?;
        if field.kind() != Kind::Length {
            let problem = Problem::KeyOfOtherKind { key: "resolution", field: field.name() };
            self.error(item.span(), problem, "only lengths have one".to_owned());
            return None;
        }
        // The rise above a tub may be any length, so that its reader refuses none.
        let column = Column::of(Field::TubRise);
        match read::read(Content::Text(text), &column, &mut Texts::default()) {
            Reading::Known(nanometres) if nanometres > 0 => Some(Length(nanometres)),
            _ => {
                self.wrong_value(item, "it is a length above 0 with its unit: `0.5 mm`, `1/32 in`");
                None
            }
        }
    }

    fn constants(&mut self, item: Item<'_, '_>, file: &MappingFile) -> Vec<ConstantLine> {
        let mut lines = Vec::new();
        for item in self.table(item).unwrap_or_default() {
            let field = self.field(item.key, item.span());
            let from = if item.value.get_ref().is_table() {
                self.constant_from_name(item)
            } else {
                self.scalar(item).map(ConstantSource::Text)
            };
            let (Some(field), Some(from)) = (field, from) else { continue };
            if field == Field::OutletId {
                let place = "by a constant";
                let problem = Problem::MisplacedField { field: field.name(), place };
                self.error(item.span(), problem, "each outlet has its own".to_owned());
                continue;
            }
            if let ConstantSource::Text(value) = &from {
                self.check(value, file.plain(field), item.value.span());
            }
            lines.push(ConstantLine { field, from });
        }
        lines
    }

    fn constant_from_name(&mut self, item: Item<'_, '_>) -> Option<ConstantSource> {
        let (mut from, mut pattern) = (None, "*");
        for item in self.table(item)? {
            match item.key {
                "from" => from = self.text(item).map(|from| (item, from)),
                "pattern" => pattern = self.text(item)?,
                _ => self.unknown_key(item, "a constant", &names(CONSTANT)),
            }
        }
        match from {
            Some((_, "sheet")) => Some(ConstantSource::Sheet(Glob::new(pattern))),
            Some((_, "file")) => Some(ConstantSource::File(Glob::new(pattern))),
            Some((item, _)) => {
                self.wrong_value(item, "it is `sheet` or `file`");
                None
            }
            None => {
                let help = "write where it comes from: `sheet` or `file`".to_owned();
                self.error(item.value.span(), Problem::MissingKey { key: "from" }, help);
                None
            }
        }
    }

    fn buildings(&mut self, item: Item<'_, '_>, file: &MappingFile) -> Vec<Line<BuildingLine>> {
        let mut lines = Vec::new();
        for item in self.table(item).unwrap_or_default() {
            let mut facts = Vec::new();
            for fact in self.table(item).unwrap_or_default() {
                let field = self.field(fact.key, fact.span());
                let value = self.scalar(fact);
                let (Some(field), Some(value)) = (field, value) else { continue };
                if matches!(field, Field::OutletId | Field::Building) {
                    let place = "by the table of buildings";
                    let problem = Problem::MisplacedField { field: field.name(), place };
                    self.error(fact.span(), problem, None);
                } else if self.check(&value, file.plain(field), fact.value.span()) {
                    facts.push((field, value));
                }
            }
            let name = item.key.to_owned();
            lines.push(Line::new(BuildingLine { name, facts }, item.span()));
        }
        lines
    }
}

/// What a word of `[words.device]` means when its rows are no devices.
const NO_DEVICE: &str = "no device";

fn names_device(value: &str) -> bool {
    vocabulary::place_of(Field::Device, value).is_some()
}

/// The fields that have a word in their names.
fn fields_like(word: &str) -> String {
    let names = Field::ALL.iter().map(|field| field.name());
    let like: Vec<_> = names.filter(|name| name.contains(word)).collect();
    match like.as_slice() {
        [] => format!("it is none of the {} fields of an outlet", Field::ALL.len()),
        [one] => format!("there is `{one}`"),
        several => format!("there are {}", listed(several)),
    }
}

/// The map of words that are not empty and of which no two are the same.
fn map_of(lines: Vec<&WordLine>) -> WordMap {
    let lines = lines.into_iter().filter(|line| !trim(&line.word).is_empty());
    let pairs = lines.map(|line| (line.word.as_str(), line.meaning.as_str()));
    WordMap::new(pairs).unwrap_or_default()
}

/// A column of which nothing but its field is known.
const fn reading(field: Field, cells: Cells) -> ColumnReading {
    ColumnReading {
        field,
        unit: None,
        cells,
        resolution: None,
        fill_down: false,
        words: None,
        own_words: Vec::new(),
    }
}
