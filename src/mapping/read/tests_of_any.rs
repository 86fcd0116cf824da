//! Whatever a cell holds: no panic, and what is printed is read back.

use proptest::prelude::*;

use super::tests::*;
use super::*;
use crate::outlet::{Choices as _, Configuration};

fn fields() -> impl Strategy<Value = Field> {
    (0..Field::ALL.len()).prop_map(|place| Field::ALL[place])
}

/// Any text, and texts of the signs that measurements are made of.
fn cells() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[0-9.,/' \"\u{2019}\u{2033}½¼⅟¹³⁄₁₆+\u{2013}\u{2212}-]{0,12}( ?(in|ft|mm|V|kcmil|AFF|A|#|to|²))?",
        "[0-9]{20,60}[.,/]?[0-9]{0,60}",
    ]
}

proptest! {
    #[test]
    fn any_text_has_a_reading(field in fields(), cell in cells(), comma in any::<Option<bool>>()) {
        let decimal = comma.map(|comma| if comma { DecimalMark::Comma } else { DecimalMark::Point });
        for unit in [None, Some(Unit::Inch), Some(Unit::CubicInch), Some(Unit::Volt)] {
            let column = Column { unit, decimal, ..Column::of(field) };
            let _ = read(Content::Text(&cell), &column, &mut Texts::default());
        }
        let _ = unit_in_header(&cell);
    }

    #[test]
    fn any_number_has_a_reading(field in fields(), number in any::<f64>()) {
        let column = Column { unit: Some(Unit::Inch), ..Column::of(field) };
        let _ = read(Content::Number(number), &column, &mut Texts::default());
    }

    /// A length of so many sixty-fourths of an inch in six ways of printing it.
    #[test]
    fn a_printed_length_is_read_back(count in 1_i64..20_000) {
        let nanometres = count * 396_875;
        let (whole, rest) = (count / 64, count % 64);
        let (feet, inches) = (whole / 12, whole % 12);
        let millimetres = format!("{}.{:06} mm", nanometres / 1_000_000, nanometres % 1_000_000);
        let decimal = format!("{whole}.{:06} in", rest * 15_625);
        let prints = [
            format!("{whole} {rest}/64 in"),
            format!("{whole}-{rest}/64\""),
            format!("{feet}'-{inches} {rest}/64\""),
            millimetres.replace('.', ",").replace(",000 ", ",0000 "),
            millimetres,
            decimal,
        ];
        for print in prints {
            prop_assert_eq!(text(Field::SinkDistance, &print), Reading::Known(nanometres), "{}", print);
        }
    }

    /// A number cell of so many hundredths of a millimetre.
    #[test]
    fn a_number_cell_is_exact(hundredths in 0_i32..10_000_000) {
        let column = Column { unit: Some(Unit::Millimetre), ..Column::of(Field::SinkDistance) };
        let cell = Content::Number(f64::from(hundredths) / 100.0);
        let expected = Reading::Known(i64::from(hundredths) * 10_000);
        prop_assert_eq!(read(cell, &column, &mut Texts::default()), expected);
    }

    /// Source: the shape that Excel shows for a text, however it was blanked.
    #[test]
    fn identifiers_are_the_same_whatever_the_blanks(words in prop::collection::vec("[A-Za-z0-9]{3,6}", 1..4)) {
        let mut texts = Texts::default();
        let column = Column::of(Field::Room);
        let one = read(Content::Text(&words.join(" ")), &column, &mut texts);
        let other = read(Content::Text(&format!(" {}\u{a0}", words.join("\u{a0} \t"))), &column, &mut texts);
        prop_assert_eq!(one, other);
    }
}

#[test]
fn every_configuration_is_read_back() {
    use crate::outlet::Choices;
    for configuration in Configuration::all() {
        known(Field::Configuration, &[(&configuration.to_string(), configuration.raw())]);
    }
}

/// A value of a field, as its integer.
fn values() -> impl Strategy<Value = (Field, i64)> {
    fields().prop_flat_map(|field| {
        let raw = match field.kind() {
            Kind::Text => Just(0).boxed(),
            Kind::Word(words) => (0..i64::try_from(words.len()).unwrap()).boxed(),
            // No list of phases is empty.
            Kind::Words(words) => (i64::from(field == Field::Phases)..1 << words.len()).boxed(),
            Kind::YesNo => (0..=1_i64).boxed(),
            Kind::Awg => (0..=7_i64).boxed(),
            Kind::Count => (0..1000_i64).boxed(),
            Kind::Length => (0..3_000_000_000_i64).boxed(),
            // Ten-thousandths up to 300 of a unit, in inches or centimetres.
            Kind::Volume => (2..6_000_000_i64).boxed(),
            Kind::Voltage | Kind::Current => (1..60_000_i64).boxed(),
            Kind::Date => (7_305..40_000_i64).boxed(),
            Kind::Configuration => (0..i64::try_from(Configuration::all().len()).unwrap()).boxed(),
        };
        (Just(field), raw)
    })
}

proptest! {
    /// What a survey writes of a value is read back as the very same value.
    #[test]
    fn a_written_value_is_read_back((field, raw) in values()) {
        let mut texts = Texts::default();
        let raw = if field.kind() == Kind::Text { texts.intern("B 1").raw() } else { raw };
        let raw = if field.kind() == Kind::Configuration {
            Configuration::all()[usize::try_from(raw).unwrap()].raw()
        } else {
            raw
        };
        let text = crate::outlet::written(field, raw, &texts);
        let reading = read(Content::Text(&text), &Column::of(field), &mut texts);
        // A measurement that cannot be is refused, however it is written; so are phases without a hot one.
        let cannot_be =
            [Why::BeyondSixInches, Why::BeyondOneInch, Why::BeyondThirtyFeet, Why::NoHotConductor];
        let refused = cannot_be.map(Reading::Unreadable).contains(&reading);
        prop_assert!(reading == Reading::Known(raw) || refused, "{field:?}: {text}: {reading:?}");
    }
}
