//! From the sheets of a workbook to its outlets: one for each component that is a receptacle or a
//! switch, with the facts of its type, its spaces, its facility and its systems.

use std::collections::{BTreeMap, BTreeSet};

use super::attributes;
use super::sheets::{At, Book, Component, Said, SheetKind, System, Type, key, listed};
use crate::mapping::account::{CellPlace, Fault, SheetAccount};
use crate::mapping::describe::{Phrases, describe};
use crate::mapping::kinds::{Kind, told};
use crate::mapping::read::{Unit, Why, is_no_place};
use crate::mapping::vocabulary;
use crate::outlet::words::Device;
use crate::outlet::{Fact, Field, Origin, Outlet, Texts, Value};

/// Why a component is no outlet.
const NO_OUTLET: &str = "no receptacle and no switch";

/// The fields that no attribute has to give: blank where the workbook leaves them out.
const ALWAYS: &[Field] =
    &[Field::OutletId, Field::Building, Field::Floor, Field::Room, Field::RoomUse, Field::Device];

/// The join of one workbook.
pub(in crate::mapping) struct Join<'a> {
    book: &'a Book,
    source: u32,
    texts: &'a mut Texts,
    /// The accounts of the sheets of the input.
    sheets: &'a mut [SheetAccount],
    linear: Option<Unit>,
    /// The fields that any attribute gives.
    given: BTreeSet<Field>,
    /// Faults, so that an attribute that many components share is told once.
    faults: BTreeSet<(SheetKind, Fault)>,
    /// What else the components are, and how many of each there are.
    others: BTreeMap<&'static str, u32>,
    /// Types that sound like outlets and are none, with their components.
    left_out: BTreeMap<String, u32>,
    /// Components of which nothing says what they are in words of this trade.
    unsaid: u32,
}

impl Book {
    /// The outlets of the workbook, and remarks on what sounds like one and is none. Where each fact
    /// stands is entered in the account of the sheet Component, and the faults with their sheets.
    pub(in crate::mapping) fn join(
        &self,
        source: u32,
        texts: &mut Texts,
        sheets: &mut [SheetAccount],
    ) -> (Vec<Outlet>, Vec<String>) {
        if self.components.is_empty() {
            let why = "it has sheets of a COBie workbook, but no component on a sheet Component with the columns Name, TypeName and Space";
            return (Vec::new(), vec![why.to_owned()]);
        }
        let units = self.facilities.first().and_then(|facility| facility.linear_units.as_ref());
        let linear = units.and_then(|units| Unit::of(&units.text));
        let given = self.attributes.values().flatten();
        let join = Join {
            given: given.map(|attribute| attribute.field).collect(),
            book: self,
            source,
            texts,
            sheets,
            linear,
            faults: BTreeSet::new(),
            others: BTreeMap::new(),
            left_out: BTreeMap::new(),
            unsaid: 0,
        };
        join.outlets()
    }
}

impl Join<'_> {
    fn outlets(mut self) -> (Vec<Outlet>, Vec<String>) {
        let book = self.book;
        let mut outlets = Vec::new();
        for component in &book.components {
            outlets.extend(self.component(component));
        }
        let read = u32::try_from(outlets.len()).unwrap_or(u32::MAX);
        let others: Vec<_> = self
            .others
            .iter()
            .map(|(what, count)| (format!("no device: {what}"), *count))
            .chain((self.unsaid > 0).then(|| (NO_OUTLET.to_owned(), self.unsaid)))
            .collect();
        if let Some(sheet) = self.sheet(SheetKind::Component) {
            sheet.rows_read = read;
            sheet.rows_skipped.extend(others);
        }
        for (kind, fault) in std::mem::take(&mut self.faults) {
            if let Some(sheet) = self.sheet(kind) {
                sheet.faults.push(fault);
            }
        }
        (outlets, self.remarks())
    }

    /// What was left out though its name has a word of an outlet, so that a person can object.
    fn remarks(&self) -> Vec<String> {
        if self.left_out.is_empty() {
            return Vec::new();
        }
        let types: Vec<_> =
            self.left_out.iter().map(|(name, count)| format!("{name} ({count})")).collect();
        vec![format!("taken for no power outlets by their types: {}", types.join(", "))]
    }

    fn sheet(&mut self, kind: SheetKind) -> Option<&mut SheetAccount> {
        let place = *self.book.places.get(&kind)?;
        self.sheets.get_mut(place)
    }

    fn component(&mut self, component: &Component) -> Option<Outlet> {
        let book = self.book;
        let own = component.type_name.as_ref().and_then(|name| book.types.get(&key(&name.text)));
        let (device, by) = self.device(component, own)?;
        let sheet = *book.places.get(&SheetKind::Component)?;
        let origin = Origin {
            source: self.source,
            sheet: u32::try_from(sheet).unwrap_or(u32::MAX),
            row: component.row,
        };
        let mut outlet = Outlet::absent(origin);
        for field in ALWAYS.iter().chain(&self.given) {
            outlet.set_raw(*field, Fact::Blank);
        }
        match device {
            Ok(device) => self.set(&mut outlet, Field::Device, device.raw(), by.at),
            Err(why) => {
                outlet.set_raw(Field::Device, Fact::Unreadable);
                self.fault(by, Field::Device, Why::MayBeADevice(why).to_string());
            }
        }
        self.name(&mut outlet, component);
        self.facility(&mut outlet);
        self.spaces(&mut outlet, component);
        self.attributes(&mut outlet, component);
        if let Some(own) = own {
            self.named(&mut outlet, &own.name);
        } else if let Some(name) = &component.type_name {
            let why = "the sheet Type does not have it; the outlet has no facts of its type";
            self.fault(name, Field::Device, why.to_owned());
        }
        self.systems(&mut outlet, component);
        Some(outlet)
    }

    /// What device a component is, and the text that says so: the name of its type, else what is said
    /// of the type, else of the component, else the category. The first that decides counts; where
    /// none does, what may be a device is kept with the reason of the doubt.
    fn device<'s>(
        &mut self,
        component: &'s Component,
        own: Option<&'s Type>,
    ) -> Option<(Result<Device, &'static str>, &'s Said)> {
        let type_name = own.map(|own| &own.name).or(component.type_name.as_ref());
        let description = own.and_then(|own| own.description.as_ref());
        let category = own.and_then(|own| own.category.as_ref());
        let all = [
            type_name,
            description,
            component.name.as_ref(),
            component.description.as_ref(),
            category,
        ];
        let mut doubt = None;
        for said in all.into_iter().flatten() {
            match told(title(&said.text)).kind {
                Kind::Device(device) => return Some((Ok(device), said)),
                Kind::Other(what) => {
                    *self.others.entry(what).or_default() += 1;
                    if all.into_iter().flatten().any(|said| sounds_like_an_outlet(&said.text)) {
                        let name = type_name.map_or("without a type", |name| &name.text);
                        *self.left_out.entry(name.to_owned()).or_default() += 1;
                    }
                    return None;
                }
                Kind::Either(why) => doubt = doubt.or(Some((Err(why), said))),
                Kind::Unsaid => {}
            }
        }
        self.unsaid += u32::from(doubt.is_none());
        doubt
    }

    fn name(&mut self, outlet: &mut Outlet, component: &Component) {
        if let Some(name) = &component.name {
            self.text(outlet, Field::OutletId, &name.text, name.at);
        } else {
            let row = component.row;
            let why = format!("no outlet_id; the outlet is called row {row}");
            let field = Some(Field::OutletId);
            let fault = Fault { row, column: None, field, text: String::new(), why };
            self.faults.insert((SheetKind::Component, fault));
        }
    }

    fn facility(&mut self, outlet: &mut Outlet) {
        // With several facilities no row says in which of them it stands.
        let [facility] = self.book.facilities.as_slice() else { return };
        if let Some(name) = &facility.name {
            self.text(outlet, Field::Building, &name.text, name.at);
        }
        if let Some(category) = &facility.category
            && let Some(place) = vocabulary::place_of(Field::Occupancy, title(&category.text))
        {
            self.set(outlet, Field::Occupancy, place.into(), category.at);
        }
    }

    /// Room, use and floor. The name of a space may hold a comma, so the whole is tried first.
    fn spaces(&mut self, outlet: &mut Outlet, component: &Component) {
        let Some(said) = &component.space else { return };
        if is_no_place(Field::Room, &said.text) {
            return;
        }
        self.text(outlet, Field::Room, &said.text, said.at);
        let book = self.book;
        let whole = key(&said.text);
        let names = if book.spaces.contains_key(&whole) { vec![whole] } else { listed(&said.text) };
        let mut floors: Vec<&Said> = Vec::new();
        let mut uses: Vec<(u8, At)> = Vec::new();
        for name in &names {
            let Some(space) = book.spaces.get(name) else {
                let why = format!("the sheet Space does not have {name}; its floor is not known");
                self.fault(said, Field::Room, why);
                continue;
            };
            floors.extend(&space.floor);
            uses.extend(room_use(space.description.as_ref(), space.category.as_ref()));
        }
        if let Some((first, others)) = floors.split_first() {
            if others.iter().any(|other| key(&other.text) != key(&first.text)) {
                let why = "its spaces are on several floors, so that its floor is not known";
                self.fault(said, Field::Floor, why.to_owned());
            } else {
                self.floor(outlet, first);
            }
        }
        // A room whose use is not known leaves that of all of them open.
        if uses.len() == names.len()
            && let Some((first, others)) = uses.split_first()
            && others.iter().all(|other| other.0 == first.0)
        {
            self.set(outlet, Field::RoomUse, first.0.into(), first.1);
        }
    }

    fn floor(&mut self, outlet: &mut Outlet, floor: &Said) {
        if !self.book.floors.is_empty() && !self.book.floors.contains_key(&key(&floor.text)) {
            let why = "the sheet Floor does not have it; it is taken as it stands".to_owned();
            self.fault(floor, Field::Floor, why);
        }
        self.text(outlet, Field::Floor, &floor.text, floor.at);
    }

    /// The attributes of the component, and for what they leave open those of its type.
    fn attributes(&mut self, outlet: &mut Outlet, component: &Component) {
        let owners = [
            (SheetKind::Component, component.name.as_ref()),
            (SheetKind::Type, component.type_name.as_ref()),
        ];
        for (kind, name) in owners {
            let Some(name) = name else { continue };
            let Some(list) = self.book.attributes.get(&(kind, key(&name.text))) else { continue };
            // What the component says is settled before its type is asked.
            let before = outlet.clone();
            for attribute in list {
                let Some(value) = &attribute.value else { continue };
                if !matches!(before.raw(attribute.field), Fact::Blank | Fact::Absent) {
                    continue;
                }
                match attributes::read(attribute, self.linear, self.texts) {
                    Ok(Some(raw)) => self.attribute(outlet, attribute.field, raw, value),
                    Ok(None) => {}
                    Err(why) => {
                        if !outlet.raw(attribute.field).is_known() {
                            outlet.set_raw(attribute.field, Fact::Unreadable);
                        }
                        self.fault(value, attribute.field, why);
                    }
                }
            }
        }
    }

    fn attribute(&mut self, outlet: &mut Outlet, field: Field, raw: i64, value: &Said) {
        match outlet.raw(field) {
            Fact::Known(other) if other != raw => {
                outlet.set_raw(field, Fact::Unreadable);
                let why =
                    format!("another attribute gives another {}; neither is taken", field.name());
                self.fault(value, field, why);
            }
            Fact::Known(_) | Fact::Unreadable => {}
            Fact::Blank | Fact::Absent => self.set(outlet, field, raw, value.at),
        }
    }

    /// What the type's own name says and no attribute does. Its category is not asked: it says that
    /// there are ground-fault receptacles among what it covers, not that this is one.
    fn named(&mut self, outlet: &mut Outlet, name: &Said) {
        let described = describe(&name.text, &Phrases::default(), self.texts);
        for (field, raw) in described.facts {
            if matches!(outlet.raw(field), Fact::Blank | Fact::Absent) && field != Field::Quantity {
                self.set(outlet, field, raw, name.at);
            }
        }
        for field in described.conflicts {
            let why = format!("says two things of {}; neither is taken", field.name());
            self.fault(name, field, why);
        }
    }

    /// The circuit of a component: a system that is one by its name or its category.
    fn systems(&mut self, outlet: &mut Outlet, component: &Component) {
        let Some(name) = &component.name else { return };
        let Some(systems) = self.book.systems.get(&key(&name.text)) else { return };
        let mut circuits = systems.iter().filter(|system| is_circuit(system));
        let Some(first) = circuits.next() else { return };
        if outlet.raw(Field::Circuit).is_known() {
            return;
        }
        if circuits.any(|other| key(&other.name.text) != key(&first.name.text)) {
            outlet.set_raw(Field::Circuit, Fact::Unreadable);
            let why = "the sheet System has it in several circuits; none is taken".to_owned();
            return self.fault(name, Field::Circuit, why);
        }
        self.text(outlet, Field::Circuit, &first.name.text, first.name.at);
    }

    fn text(&mut self, outlet: &mut Outlet, field: Field, text: &str, at: At) {
        let raw = self.texts.intern(&key(text)).raw();
        self.set(outlet, field, raw, at);
    }

    /// Records a fact and where it stands.
    fn set(&mut self, outlet: &mut Outlet, field: Field, raw: i64, at: At) {
        outlet.set_raw(field, Fact::Known(raw));
        let Some(sheet) = self.book.places.get(&at.kind) else { return };
        let sheet = u32::try_from(*sheet).unwrap_or(u32::MAX);
        let origin = Origin { sheet, row: at.row, ..outlet.origin };
        let place = CellPlace { origin, column: at.column };
        let row = outlet.origin.row;
        if let Some(account) = self.sheet(SheetKind::Component) {
            account.elsewhere.entry(field).or_default().insert(row, place);
        }
    }

    fn fault(&mut self, said: &Said, field: Field, why: String) {
        let (row, column) = (said.at.row, Some(said.at.column));
        let fault = Fault { row, column, field: Some(field), text: said.text.clone(), why };
        self.faults.insert((said.at.kind, fault));
    }
}

/// Whether a text has a word that an outlet could be named by, whatever else it says.
fn sounds_like_an_outlet(text: &str) -> bool {
    const WORDS: &[&str] = &[
        "outlet",
        "outlets",
        "receptacle",
        "receptacles",
        "socket",
        "sockets",
        "switch",
        "switches",
    ];
    let text = text.to_lowercase();
    text.split(|c: char| !c.is_alphanumeric()).any(|word| WORDS.contains(&word))
}

/// The words of a category behind its number: `13-41 11 14 11: Bathroom`.
fn title(category: &str) -> &str {
    let numbered = category.split_once(':').filter(|(number, _)| {
        number.contains(|c: char| c.is_ascii_digit())
            && number.chars().all(|c| c.is_ascii_alphanumeric() || " -_.".contains(c))
            && !number.trim().contains(char::is_lowercase)
    });
    numbered.map_or(category, |(_, title)| title.trim())
}

/// The use of a room by its own words without a number behind them, else by its category.
fn room_use(description: Option<&Said>, category: Option<&Said>) -> Option<(u8, At)> {
    let of = |said: &Said, words: &str| {
        vocabulary::place_of(Field::RoomUse, words.trim()).map(|place| (place, said.at))
    };
    let counted = |c: char| c.is_ascii_digit() || c.is_whitespace();
    description
        .and_then(|said| of(said, said.text.trim_end_matches(counted)))
        .or_else(|| category.and_then(|said| of(said, title(&said.text))))
}

fn is_circuit(system: &System) -> bool {
    let says = |said: &Said| {
        let words = said.text.to_lowercase();
        words
            .split(|c: char| !c.is_alphanumeric())
            .any(|word| matches!(word, "circuit" | "circuits"))
    };
    says(&system.name) || system.category.as_ref().is_some_and(says)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_category_is_read_behind_its_number() {
        assert_eq!(title("13-41 11 14 11: Bathroom"), "Bathroom");
        assert_eq!(title("Ss_70_30: Switches"), "Ss_70_30: Switches");
        assert_eq!(title("Lighting Switches:Single Pole"), "Lighting Switches:Single Pole");
        assert_eq!(title("Bathroom"), "Bathroom");
    }
}
