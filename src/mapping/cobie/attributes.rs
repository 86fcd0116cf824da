//! Attributes: which field a name gives, and what its value and unit say.
//!
//! Names are compared without case, blanks and punctuation. Left out on purpose: `Height` and
//! `NominalHeight`, which are those of the faceplate, `Phase`, which is four different things, and
//! `NumberOfGangs`, which counts the buttons of a switch.

use super::sheets::{Attribute, Said};
use crate::mapping::read::{self, Column, Content, DecimalMark, Reading, Unit, Why};
use crate::outlet::{Field, Kind, Texts};

/// The names of attributes, without blanks and punctuation, and the fields that they give.
const NAMES: &[(&str, Field)] = &[
    ("voltage", Field::DeviceVolts),
    ("nominalvoltage", Field::DeviceVolts),
    ("ratedvoltage", Field::DeviceVolts),
    ("voltagerating", Field::DeviceVolts),
    ("volts", Field::DeviceVolts),
    ("current", Field::DeviceAmps),
    ("nominalcurrent", Field::DeviceAmps),
    ("ratedcurrent", Field::DeviceAmps),
    ("currentrating", Field::DeviceAmps),
    ("amperage", Field::DeviceAmps),
    ("amps", Field::DeviceAmps),
    ("nemaconfigno", Field::Configuration),
    ("nemaconfig", Field::Configuration),
    ("nemaconfiguration", Field::Configuration),
    ("nematype", Field::Configuration),
    ("hospitalgrade", Field::HospitalGrade),
    ("tamperresistant", Field::TamperResistant),
    ("weatherresistant", Field::WeatherResistant),
    ("isolatedground", Field::IsolatedGround),
    ("gfciprotected", Field::Gfci),
    ("mountingheight", Field::Height),
    ("circuit", Field::Circuit),
    ("circuitnumber", Field::Circuit),
    ("circuitno", Field::Circuit),
    ("panel", Field::Panel),
    ("panelname", Field::Panel),
    ("panelboard", Field::Panel),
];

/// The field that an attribute of this name gives. Beside the names above, that of a field with two
/// words or more is understood.
pub(super) fn field_of(name: &str) -> Option<Field> {
    let name: String =
        name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect();
    let known = NAMES.iter().find(|(known, _)| *known == name).map(|(_, field)| *field);
    known.or_else(|| {
        let same =
            |field: &Field| field.name().contains('_') && field.name().replace('_', "") == name;
        let barred = [Field::OutletId];
        Field::ALL.iter().copied().find(|field| same(field) && !barred.contains(field))
    })
}

/// Square feet of a square metre: a value in lumens, candela or volts that was converted by it.
const FEET_IN_METRE: f64 = 10.763_910_4;

/// What the value of an attribute says, in the unit of the attribute, else in that of the facility.
pub(super) fn read(
    attribute: &Attribute,
    linear: Option<Unit>,
    texts: &mut Texts,
) -> Result<Option<i64>, String> {
    let Some(value) = &attribute.value else { return Ok(None) };
    let kind = attribute.field.kind();
    let mut column = Column { decimal: Some(DecimalMark::Point), ..Column::of(attribute.field) };
    if matches!(kind, Kind::Length | Kind::Volume | Kind::Voltage | Kind::Current) {
        // A figure of zero is how the format writes what its source did not know.
        if value.text.parse::<f64>().is_ok_and(|figure| figure == 0.0) && kind != Kind::Length {
            return Ok(None);
        }
        column.unit = unit(attribute.unit.as_ref(), kind, linear)?;
    }
    if kind == Kind::Voltage {
        converted(value)?;
    }
    match read::read(Content::Text(&value.text), &column, texts) {
        Reading::Known(raw) | Reading::NoneDropped(raw) => Ok(Some(raw)),
        Reading::Blank => Ok(None),
        Reading::Unreadable(why) => Err(why.to_string()),
        Reading::NotADevice(what) => Err(format!("names a {what}")),
    }
}

/// The unit of a measured attribute: its own, else that of the facility for lengths.
fn unit(said: Option<&Said>, kind: Kind, linear: Option<Unit>) -> Result<Option<Unit>, String> {
    let Some(said) = said else {
        return Ok(linear.filter(|unit| unit.suits(kind)));
    };
    match Unit::of(&said.text).filter(|unit| unit.suits(kind)) {
        Some(unit) => Ok(Some(unit)),
        None => Err(format!("{} (here {})", Why::WrongUnit, said.text)),
    }
}

/// Refuses volts that went through a conversion of areas: 240 V came out as 22.2967.
fn converted(value: &Said) -> Result<(), String> {
    let Ok(figure) = value.text.parse::<f64>() else { return Ok(()) };
    let before = figure * FEET_IN_METRE;
    let slipped = (figure - figure.round()).abs() > 1e-6 && (before - before.round()).abs() < 1e-4;
    if slipped {
        return Err(format!(
            "looks like {} V divided by the square feet of a square metre; write the volts",
            before.round()
        ));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::sheets::{At, SheetKind};
    use super::*;

    fn said(text: &str) -> Option<Said> {
        let at = At { kind: SheetKind::Attribute, row: 2, column: 6 };
        (!text.is_empty()).then(|| Said { text: text.to_owned(), at })
    }

    fn value(name: &str, value: &str, unit: &str) -> Result<Option<i64>, String> {
        let field = field_of(name).expect("a name that gives a field");
        let attribute = Attribute { field, value: said(value), unit: said(unit) };
        read(&attribute, Some(Unit::Metre), &mut Texts::default())
    }

    #[test]
    fn a_value_is_read_in_the_unit_of_the_attribute_or_of_the_facility() {
        assert_eq!(value("Voltage", "125", "Volts"), Ok(Some(125_000)));
        assert_eq!(value("Current", "20", "Amp"), Ok(Some(20_000)));
        assert_eq!(value("Rated current", "20", ""), Ok(Some(20_000)));
        assert_eq!(value("MountingHeight", "1.2", ""), Ok(Some(1_200_000_000)));
        assert_eq!(value("Box set-back", "4", "millimeters"), Ok(Some(4_000_000)));
        assert_eq!(value("HospitalGrade?", "False", "boolean"), Ok(Some(0)));
        assert_eq!(value("NominalVoltage", "0.0", "n/a"), Ok(None));
    }

    #[test]
    fn a_wrong_unit_and_a_slip_of_conversion_are_refused() {
        assert!(value("Voltage", "125", "Watt").is_err_and(|why| why.contains("Watt")));
        assert!(value("Current", "20", "75 Degrees C").is_err());
        let slipped = value("NominalVoltage", "22.2967296", "Volts");
        assert!(slipped.is_err_and(|why| why.contains("240 V")));
    }

    #[test]
    fn names_that_mislead_give_no_field() {
        for name in ["NominalHeight", "Height", "Phase", "NumberOfGangs", "Outlet Id", "Power"] {
            assert_eq!(field_of(name), None, "{name}");
        }
        assert_eq!(field_of("NEMAConfig.No."), Some(Field::Configuration));
    }
}
