//! Lengths, volumes, volts, amperes, counts, gauges and days.

use super::tests::*;
use super::*;
use crate::outlet::{Gauge, Volume, VolumeUnit};

const INCH: i64 = 25_400_000;
const MILLIMETRE: i64 = 1_000_000;

/// Source: 1 in = 25.4 mm exactly; U.S. GPO Style Manual 2008, 12.26 to 12.28, for fractions and mixed
/// numbers; Unicode 14.0.0 for the values of fraction characters.
#[test]
fn fractions_of_an_inch_are_exact() {
    let sixteenths = |count: i64| count * INCH / 16;
    let quarter = [
        "1/4\"",
        "1/4 in",
        "¼ in",
        "¼\"",
        "1⁄4 in",
        "0.25 in",
        ".25\"",
        ".25 in",
        "0,25 in",
        "0.25 inches",
        "1/4 inch",
        "¼-inch",
        "0.250 in.",
        "0,250 in",
        "1∕4\u{a0}in",
    ];
    known(Field::BoxSetBack, &quarter.map(|cell| (cell, sixteenths(4))));
    let three = ["3/16\"", "3/16”", "3/16″", "3/16''", "3/16’’", "3/16′′", "³⁄₁₆ in", "³/16\""];
    known(Field::BoxSetBack, &three.map(|cell| (cell, sixteenths(3))));
    let mixed = [
        "1-1/2\"",
        "1 1/2\"",
        "1½\"",
        "1–1/2\"",
        "1\u{2011}1/2 in",
        "1 ½ in",
        "1-½\"",
        "1\u{202f}1/2 in",
        "1.5\"",
        "3/2 in",
    ];
    known(Field::BoxSetBack, &mixed.map(|cell| (cell, sixteenths(24))));
    let box_size = ["4¹¹⁄₁₆\"", "4-11/16\"", "4 11/16 in", "4.6875 in"];
    known(Field::BoxSetBack, &box_size.map(|cell| (cell, sixteenths(75))));
    known(
        Field::BoxSetBack,
        &[
            ("-1/16\"", -sixteenths(1)),
            ("−1/16\"", -sixteenths(1)),
            ("–1/16\"", -sixteenths(1)),
            ("-1½ in", -sixteenths(24)),
            ("⅛ in", sixteenths(2)),
            ("⅜ in", sixteenths(6)),
            ("⅝ in", sixteenths(10)),
            ("⅞ in", sixteenths(14)),
            ("⅟₁₆ in", sixteenths(1)),
            ("⅟16 in", sixteenths(1)),
            ("↉ in", 0),
            ("⅒ in", 2_540_000),
            ("⅕ in", 5_080_000),
        ],
    );
}

/// Source: arithmetic on 25,400,000 nm. A third of an inch is 8,466,666.67 nm, 1/128 in 198,437.5 nm.
#[test]
fn what_is_no_whole_nanometre_is_rounded_to_the_nearest() {
    known(
        Field::BoxSetBack,
        &[
            ("1/3 in", 8_466_667),
            ("⅔ in", 16_933_333),
            ("1/128 in", 198_438),
            ("-1/128 in", -198_438),
            ("0.015 in", 381_000),
        ],
    );
}

/// Source: the printed pairs of NFPA 70 and of ADA 308 beside their exact conversions: 5 ft 6 in is
/// 1676.4 mm, 18 in 457.2 mm, 46 in 1168.4 mm, 48 in 1219.2 mm.
#[test]
fn heights_are_read_in_feet_inches_and_metric_units() {
    let sixty_six = [
        "5' 6\"",
        "5'-6\"",
        "5′6″",
        "5 ft 6 in",
        "5’ 6”",
        "5' - 6\"",
        "5'6",
        "5' 6",
        "5.5 ft",
        "5½'",
        "5 ft. 6 in.",
        "66\"",
        "1676.4 mm",
        "5 feet 6 inches",
        "1.6764 m",
    ];
    known(Field::Height, &sixty_six.map(|cell| (cell, 1_676_400_000)));
    let eighteen = [
        "+18\"",
        "18\" AFF",
        "18 AFF",
        "1'-6\"",
        "18 in aff",
        "18\" A.F.F.",
        "18 A.F.F.",
        "+18\" AFF",
        "18 in above finished floor",
        "457.2 mm",
        "45.72 cm",
        "1'6\"",
    ];
    known(Field::Height, &eighteen.map(|cell| (cell, 457_200_000)));
    known(
        Field::Height,
        &[
            ("46 in", 1_168_400_000),
            ("48in", 1_219_200_000),
            ("5 ft", 1_524_000_000),
            ("1.5 m", 1_500_000_000),
            ("45 cm", 450_000_000),
            ("3'-6 1/2\"", 42 * INCH + INCH / 2),
            ("3'-6-1/2\"", 42 * INCH + INCH / 2),
            ("0'-6\"", 6 * INCH),
            ("1,220.5 mm", 1_220_500_000),
            ("1.220,5 mm", 1_220_500_000),
            ("1.220 mm", 1_220_000),
            ("1,22 m", 1_220_000_000),
            ("0", 0),
            ("0.0", 0),
        ],
    );
}

/// Source: U.S. GPO Style Manual 2008, 10.6, for the range with both marks; public copies of codes in
/// which scanning turned fractions into other signs.
#[test]
fn what_has_two_meanings_is_refused() {
    refused(
        Field::Height,
        &[
            ("5'-7'", Why::Range),
            ("6-8 in", Why::Range),
            ("18\"-24\"", Why::Range),
            ("6 to 8 in", Why::Range),
            ("1/4-1/2\"", Why::Range),
            ("5'-6", Why::Range),
            ("4 11 16", Why::SideBySide),
            ("4 11 16 in", Why::SideBySide),
            ("Vi in", Why::NotNumber),
            ("% in", Why::NotNumber),
            ("Yq in.", Why::NotNumber),
            ("4o in", Why::Trailing),
            ("1,220 mm", Why::DecimalMark),
            ("18", Why::NoUnit),
            ("1/4", Why::NoUnit),
            ("5' 14\"", Why::SideBySide),
            ("18 V", Why::WrongUnit),
            ("18 in3", Why::WrongUnit),
            ("18 in²", Why::WrongUnit),
            ("1/0 in", Why::NotNumber),
            ("18 in or so", Why::Trailing),
            ("±1 in", Why::NotNumber),
            ("18, in", Why::NotNumber),
            ("1-3/2 in", Why::NotNumber),
        ],
    );
    refused(Field::BoxSetBack, &[("18 AFF", Why::Trailing)]);
    let broken = |numerator, denominator, whole, rest| Why::AmbiguousFraction {
        numerator,
        denominator,
        whole,
        rest,
    };
    refused(
        Field::BoxSetBack,
        &[
            ("11/2\"", broken(11, 2, 1, 1)),
            ("11⁄2 in", broken(11, 2, 1, 1)),
            ("411/16\"", broken(411, 16, 4, 11)),
            ("13/8 in", broken(13, 8, 1, 3)),
        ],
    );
}

/// Source: our own contract, that a mapping or a header settles what the cell leaves open.
#[test]
fn a_column_gives_the_unit_and_the_decimal_mark() {
    let mut texts = Texts::default();
    let mut with = |cell, unit, decimal| {
        let column = Column { unit, decimal, ..Column::of(Field::BoxSetBack) };
        read(cell, &column, &mut texts)
    };
    let (inch, metric) = (Some(Unit::Inch), Some(Unit::Millimetre));
    let (point, comma) = (Some(DecimalMark::Point), Some(DecimalMark::Comma));
    for (cell, unit, decimal, value) in [
        (Content::Text(".25"), inch, None, INCH / 4),
        (Content::Text("1/4"), inch, None, INCH / 4),
        (Content::Text("6 mm"), inch, None, 6 * MILLIMETRE),
        (Content::Text("6"), metric, None, 6 * MILLIMETRE),
        (Content::Text("1,220 in"), None, comma, 30_988_000),
        (Content::Number(0.015), inch, None, 381_000),
        (Content::Number(0.015), inch, comma, 381_000),
        (Content::Number(0.1 + 0.2), inch, None, 7_620_000),
        (Content::Number(-6.35), metric, point, -6_350_000),
        (Content::Number(0.0), None, None, 0),
    ] {
        assert_eq!(with(cell, unit, decimal), Reading::Known(value), "{cell:?}");
    }
    for (cell, decimal, why) in [
        (Content::Text("1.220 mm"), comma, Why::BeyondSixInches),
        (Content::Text("1,220 mm"), point, Why::BeyondSixInches),
        (Content::Text("0,25 in"), point, Why::NotNumber),
        (Content::Text("0.001.220"), None, Why::NotNumber),
        (Content::Text("0.25 in"), comma, Why::NotNumber),
        (Content::Number(f64::NAN), None, Why::OutOfRange),
        (Content::Number(1e300), None, Why::OutOfRange),
        (Content::Number(18.0), None, Why::NoUnit),
        (Content::Date(Date(20_000)), None, Why::DateForValue),
        (Content::Boolean(true), None, Why::NotNumber),
    ] {
        assert_eq!(with(cell, None, decimal), Reading::Unreadable(why), "{cell:?}");
    }
    let height = Column { unit: metric, ..Column::of(Field::Height) };
    let read = read(Content::Text("457 AFF"), &height, &mut texts);
    assert_eq!(
        read,
        Reading::Known(457 * MILLIMETRE),
        "a named unit comes before the custom of AFF"
    );
}

/// Source: our own list of faults, with each bound met exactly still believed.
#[test]
fn a_measurement_that_cannot_be_is_refused() {
    known(Field::BoxSetBack, &[("6 in", 6 * INCH), ("-6 in", -6 * INCH)]);
    known(Field::WallGap, &[("6 in", 6 * INCH)]);
    known(Field::FaceProjection, &[("1 in", INCH), ("-1 in", -INCH), ("0.4 mm", 400_000)]);
    known(Field::Height, &[("30 ft", 360 * INCH)]);
    known(Field::TubRise, &[("-3 ft", -36 * INCH)]);
    refused(
        Field::BoxSetBack,
        &[("6.01 in", Why::BeyondSixInches), ("-153 mm", Why::BeyondSixInches)],
    );
    refused(Field::WallGap, &[("-1/8 in", Why::Negative), ("7 in", Why::BeyondSixInches)]);
    refused(
        Field::FaceProjection,
        &[("26 mm", Why::BeyondOneInch), ("-26 mm", Why::BeyondOneInch)],
    );
    refused(Field::Height, &[("30.1 ft", Why::BeyondThirtyFeet), ("-1 in", Why::Negative)]);
    for field in [Field::SinkDistance, Field::TubDistance, Field::ObstructionDepth] {
        refused(field, &[("-1 ft", Why::Negative)]);
    }
    refused(Field::BoxVolume, &[("-18 in3", Why::Negative)]);
    refused(Field::Volts, &[("0", Why::NotPositive), ("-120 V", Why::NotPositive)]);
    refused(Field::CircuitAmps, &[("0 A", Why::NotPositive)]);
    refused(Field::Volts, &[("9999999999", Why::OutOfRange)]);
}

/// Source: common practice, no published source.
#[test]
fn volumes_keep_the_unit_they_were_typed_in() {
    let volume = |amount, unit| Volume { amount, unit }.raw();
    let inches = |amount| volume(amount, VolumeUnit::CubicInches);
    let centimetres = |amount| volume(amount, VolumeUnit::CubicCentimetres);
    known(
        Field::BoxVolume,
        &[
            ("18 in3", inches(180_000)),
            ("18.0 in3", inches(180_000)),
            ("18 in³", inches(180_000)),
            ("18.0in³", inches(180_000)),
            ("30.3 cu. in.", inches(303_000)),
            ("30.3 cu in", inches(303_000)),
            ("22.5 cubic inches", inches(225_000)),
            ("295 cm³", centimetres(2_950_000)),
            ("295 cc", centimetres(2_950_000)),
            ("295 ml", centimetres(2_950_000)),
            ("0", 0),
        ],
    );
    refused(
        Field::BoxVolume,
        &[("18", Why::NoUnit), ("18 in", Why::WrongUnit), ("18 in3 max", Why::Trailing)],
    );
    let column = Column { unit: Some(Unit::CubicInch), ..Column::of(Field::BoxVolume) };
    let read = read(Content::Number(30.3), &column, &mut Texts::default());
    assert_eq!(read, Reading::Known(inches(303_000)));
}

/// Source: common practice, no published source; forms such as `24 V DC` and `16A/6A` stand in public
/// device lists.
#[test]
fn volts_and_amperes_are_read_in_thousandths() {
    known(
        Field::Volts,
        &[
            ("120", 120_000),
            ("120 V", 120_000),
            ("277V", 277_000),
            ("120VAC", 120_000),
            ("230 V AC", 230_000),
            ("120 volts", 120_000),
            ("0.48 kV", 480_000),
            ("24 V DC", 24_000),
            ("120.0", 120_000),
            ("0,4 kV", 400_000),
        ],
    );
    refused(
        Field::Volts,
        &[
            ("120/240", Why::SystemForVoltage),
            ("208Y/120", Why::SystemForVoltage),
            ("120-240 V", Why::Range),
            ("20 A", Why::WrongUnit),
            ("DALI", Why::NotNumber),
            ("120 V 60 Hz", Why::Trailing),
            ("1,000 V", Why::DecimalMark),
        ],
    );
    known(
        Field::CircuitAmps,
        &[
            ("20", 20_000),
            ("20 A", 20_000),
            ("20A", 20_000),
            ("20 amps", 20_000),
            ("20-amp", 20_000),
            ("12.5 A", 12_500),
        ],
    );
    refused(
        Field::CircuitAmps,
        &[("15/20 A", Why::Several), ("16A/6A", Why::Several), ("120 V", Why::WrongUnit)],
    );
    let column = Column { unit: Some(Unit::Kilovolt), ..Column::of(Field::Volts) };
    assert_eq!(
        read(Content::Number(0.48), &column, &mut Texts::default()),
        Reading::Known(480_000)
    );
}

/// Source: common practice, no published source.
#[test]
fn counts_are_whole() {
    known(
        Field::CoverScrews,
        &[("2", 2), ("2.0", 2), ("2 pcs", 2), ("1 screw", 1), ("none", 0), ("0", 0)],
    );
    known(Field::ReceptaclesOnYoke, &[("duplex", 2), ("Single", 1), ("quad", 4)]);
    known(Field::BoxGangs, &[("2-gang", 2), ("single gang", 1), ("3 Gang", 3)]);
    known(Field::ThreadsPerInch, &[("32", 32), ("32 TPI", 32)]);
    known(Field::Quantity, &[("0", 0), ("12 ea.", 12), ("65000", 65_000)]);
    refused(
        Field::Quantity,
        &[
            ("1+3", Why::Several),
            ("-1", Why::NotWhole),
            ("1.5", Why::NotWhole),
            ("1½", Why::NotWhole),
            ("6/3", Why::Several),
            ("none", Why::NotNumber),
            ("2 boxes", Why::Trailing),
            ("70000", Why::OutOfRange),
            ("1,000", Why::DecimalMark),
        ],
    );
    let column = Column::of(Field::Wires12);
    assert_eq!(read(Content::Number(4.0), &column, &mut Texts::default()), Reading::Known(4));
}

/// Source: common practice, no published source; sizes above 4/0 begin at 250 kcmil, from memory.
#[test]
fn gauges_are_those_of_the_box_fill_table_or_larger() {
    let twelve = [
        "12", "#12", "12 AWG", "AWG 12", "No. 12", "12ga", "12 ga.", "#12 AWG", "12-gauge",
        "no 12", "AWG #12", "12awg",
    ];
    known(Field::DeviceWire, &twelve.map(|cell| (cell, Gauge::Awg12.raw())));
    let larger = [
        "1/0",
        "2/0",
        "3/0",
        "4/0",
        "#1/0 AWG",
        "4",
        "3",
        "2",
        "1",
        "250 kcmil",
        "250 MCM",
        "500kcmil",
    ];
    known(Field::DeviceWire, &larger.map(|cell| (cell, Gauge::Larger.raw())));
    let none = ["13", "11", "20", "0", "12/2", "5/0", "AWG", "250", "-12", "12.5", "12 THHN"];
    refused(Field::DeviceWire, &none.map(|cell| (cell, Why::NotGauge)));
    refused(Field::DeviceWire, &[("2.5 mm²", Why::MetricGauge), ("4 mm2", Why::MetricGauge)]);
    assert_eq!(
        read(Content::Number(12.0), &Column::of(Field::DeviceWire), &mut Texts::default()),
        Reading::Known(Gauge::Awg12.raw())
    );
}

/// Source: ISO 8601 for year-month-day; 2026-03-31 is day 20,543 from 1970-01-01, computed with
/// Python's `datetime`; the other orders are common practice, no published source.
#[test]
fn days_are_read_when_only_one_order_is_possible() {
    let day = [
        "2026-03-31",
        "31.03.2026",
        "3/31/2026",
        "31/03/2026",
        "31 Mar 2026",
        "31-Mar-2026",
        "March 31, 2026",
        "2026/03/31",
        "2026-03-31T00:00:00",
        "2026-03-31 00:00:00",
        "31-03-2026",
        "2026-Mar-31",
        "3/31/2026 12:00 AM",
    ];
    known(Field::ObservedOn, &day.map(|cell| (cell, 20_543)));
    known(Field::ObservedOn, &[("1970-01-01", 0), ("3/3/1970", 61), ("1969-12-31", -1)]);
    refused(
        Field::ObservedOn,
        &[
            ("3/4/2026", Why::DateOrder),
            ("3/31/26", Why::NotDate),
            ("2026-02-30", Why::NotDate),
            ("46112", Why::NotDate),
            ("31 March", Why::NotDate),
            ("Q1 2026", Why::NotDate),
            ("13/13/2026", Why::NotDate),
        ],
    );
    let ordered = |dates| Column { dates: Some(dates), ..Column::of(Field::PermitDate) };
    let read = |cell, dates| read(Content::Text(cell), &ordered(dates), &mut Texts::default());
    assert_eq!(read("4/3/1970", DateOrder::DayFirst), Reading::Known(62));
    assert_eq!(read("4/3/1970", DateOrder::MonthFirst), Reading::Known(92));
    assert_eq!(read("31/3/1970", DateOrder::MonthFirst), Reading::Unreadable(Why::NotDate));
}

/// Source: header words of public device lists.
#[test]
fn a_header_may_end_with_its_unit() {
    for (header, words, unit) in [
        ("Setback (mm)", "Setback", Unit::Millimetre),
        ("Height [in]", "Height", Unit::Inch),
        ("Wall gap, mm", "Wall gap", Unit::Millimetre),
        ("Spannung (V)", "Spannung", Unit::Volt),
        ("box vol. in³", "box vol.", Unit::CubicInch),
        ("Box volume (cu. in.)", "Box volume", Unit::CubicInch),
        ("Volume cu in", "Volume", Unit::CubicInch),
        ("Höhe in mm", "Höhe", Unit::Millimetre),
        ("Höhe / cm", "Höhe", Unit::Centimetre),
        ("Height (\")", "Height", Unit::Inch),
        ("height_mm", "height", Unit::Millimetre),
        ("Breaker Amps", "Breaker", Unit::Ampere),
        ("Set-back - mm", "Set-back", Unit::Millimetre),
        ("Gap (in.)", "Gap", Unit::Inch),
    ] {
        assert_eq!(unit_in_header(header), Some((words.to_owned(), unit)), "{header}");
    }
    for header in
        ["Panel A", "built_in", "Plug in", "mm", "(mm)", "Height", "", "Zone m", "Ort (EG)"]
    {
        assert_eq!(unit_in_header(header), None, "{header}");
    }
    assert!(!Unit::Ampere.suits(Field::Panel.kind()));
    assert!(Unit::Millimetre.suits(Field::Height.kind()));
}
