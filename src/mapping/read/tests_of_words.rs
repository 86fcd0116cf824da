//! Blanks, yes and no, words, lists, identifiers and the mapping's own words.

use super::tests::*;
use super::*;
use crate::outlet::words::{Conductor, Device, Listing, Surface, System};
use crate::outlet::{Configuration, Set};

/// Source: our own contract; the errors are those of common spreadsheet formats.
#[test]
fn a_place_that_is_none_is_blank_where_places_stand() {
    for word in ["Default space", "DEFAULT_SPACE", "Unplaced", "not enclosed"] {
        assert_eq!(text(Field::Room, word), Reading::Blank, "{word}");
        assert_eq!(text(Field::Floor, word), Reading::Blank, "{word}");
        assert!(matches!(text(Field::Panel, word), Reading::Known(_)), "{word}");
    }
}

#[test]
fn words_for_not_knowing_are_blank_in_every_field() {
    let blanks = [
        "",
        "  ",
        "n/a",
        "N/A",
        "na",
        " NA ",
        "-",
        "--",
        "?",
        "Unknown",
        "TBD",
        "–",
        "—",
        "\u{a0}",
        "\u{a0}n/a\u{202f}",
        "\u{feff}",
        "#N/A",
        "#DIV/0!",
    ];
    for field in Field::ALL {
        for blank in blanks {
            assert_eq!(text(*field, blank), Reading::Blank, "{}: `{blank}`", field.name());
        }
        let error = read(Content::Error, &Column::of(*field), &mut Texts::default());
        assert_eq!(error, Reading::Blank);
    }
}

/// Source: our own contract; check marks and German, French, Spanish, Portuguese words are common
/// practice, no published source.
#[test]
fn yes_and_no() {
    let yes = [
        "yes",
        "Y",
        "true",
        "TRUE",
        "T",
        "x",
        "X",
        "1",
        "✓",
        "✔",
        "✔\u{fe0f}",
        "☑",
        "√",
        "ja",
        "Oui",
        "sí",
        "SÍ",
        "sim",
    ];
    known(Field::Gfci, &yes.map(|cell| (cell, 1)));
    let no = ["no", "N", "false", "F", "none", "None", "0", "nein", "non", "não", "no."];
    known(Field::Gfci, &no.map(|cell| (cell, 0)));
    let neither = ["✗", "☐", "maybe", "yes/no", "2", "-1", "installed", "☒"];
    refused(Field::Gfci, &neither.map(|cell| (cell, Why::NotYesNo)));
    let column = Column::of(Field::Gfci);
    for (cell, value) in [
        (Content::Boolean(true), 1),
        (Content::Boolean(false), 0),
        (Content::Number(1.0), 1),
        (Content::Number(0.0), 0),
        (Content::Number(-0.0), 0),
    ] {
        assert_eq!(read(cell, &column, &mut Texts::default()), Reading::Known(value));
    }
    assert_eq!(
        read(Content::Number(-1.0), &column, &mut Texts::default()),
        Reading::Unreadable(Why::NotYesNo)
    );
}

#[test]
fn every_canonical_word_is_read_as_itself() {
    for field in Field::ALL {
        if let Kind::Word(words) = field.kind() {
            for (word, place) in words.iter().zip(0..) {
                known(*field, &[(word, place), (&word.to_uppercase(), place)]);
            }
        }
    }
}

/// Source: common practice, no published source.
#[test]
fn words_of_the_trade_are_read() {
    let device = |cells: &[&str], device: Device| {
        known(Field::Device, &cells.iter().map(|cell| (*cell, device.raw())).collect::<Vec<_>>());
    };
    device(&["recept", "Duplex Receptacle", "OUTLET", "rcpt.", "Steckdose"], Device::Receptacle);
    device(&["sw", "3-way switch", "Toggle_Switch", "Schalter"], Device::Switch);
    device(&["switch / receptacle", "combo"], Device::Combination);
    known(
        Field::Surface,
        &[
            ("GWB", Surface::Gypsum.raw()),
            ("Gyp Bd.", Surface::Gypsum.raw()),
            ("drywall", Surface::Gypsum.raw()),
        ],
    );
    let wye = [
        "120/208",
        "208/120",
        "120/208V 3ph 4w",
        "208Y/120V",
        "120/208V, 3Ø, 4W",
        "208Y/120",
        "120 / 208 V",
    ];
    known(Field::System, &wye.map(|cell| (cell, System::Wye208.raw())));
    known(
        Field::System,
        &[("480/277V", System::Wye480.raw()), ("120/240 1ph", System::SplitPhase120.raw())],
    );
    let edition = ["NEC 2020", "2020 NEC", "NFPA 70-2020", "nfpa 70 (2020)", "2020"];
    known(Field::Edition, &edition.map(|cell| (cell, 2)));
    known(Field::Edition, &[("2011", 4), ("NEC 2026", 4), ("NFPA 70-2017", 1)]);
    known(
        Field::CareCategory,
        &[("1", 0), ("Cat. 1", 0), ("critical", 0), ("general", 1), ("Category 3", 2)],
    );
    refused(
        Field::Device,
        &[
            ("fridge", Why::UnknownWord),
            ("outlets?", Why::MayBeADevice("its own question mark doubts it")),
        ],
    );
    for cell in ["network switch", "data outlet", "switchboard", "waste receptacle"] {
        let told = text(Field::Device, cell);
        assert!(matches!(told, Reading::NotADevice(_)), "{cell}: {told:?}");
    }
    let other = ["230/400 V", "400/230V", "220/380", "3x400V", "415Y/240", "230 V"];
    refused(Field::System, &other.map(|cell| (cell, Why::OtherSystem)));
    refused(
        Field::System,
        &["240/120", "240V delta", "277", "120"].map(|cell| (cell, Why::UnknownWord)),
    );
    let year = read(Content::Number(2023.0), &Column::of(Field::Edition), &mut Texts::default());
    assert_eq!(year, Reading::Known(3));
}

/// Source: common practice, no published source.
#[test]
fn conductors_are_read_together_or_apart() {
    use Conductor::{A, B, C, N};
    let phases = |cells: &[&str], conductors: &[Conductor]| {
        let raw = Set::of(conductors).raw();
        known(Field::Phases, &cells.iter().map(|cell| (*cell, raw)).collect::<Vec<_>>());
    };
    phases(&["A", "a", "Phase A", "A-phase"], &[A]);
    phases(&["AB", "A,B", "A;B", "A/B", "A-B", "A and B", "A & B", "BA"], &[A, B]);
    phases(&["A-N", "A;N", "AN", "A, neutral"], &[A, N]);
    phases(&["ABC", "A/B/C", "A B C", "CAB"], &[A, B, C]);
    phases(&["ABCN", "A|B|C|N"], &[A, B, C, N]);
    refused(
        Field::Phases,
        &[
            ("N", Why::NoHotConductor),
            ("neutral", Why::NoHotConductor),
            ("none", Why::UnknownWord),
            ("L1", Why::UnknownWord),
            ("3", Why::UnknownWord),
            ("AA", Why::UnknownWord),
        ],
    );
}

#[test]
fn a_list_of_special_uses_drops_none_beside_another() {
    let set = |words: &[Listing]| Set::of(words).raw();
    let both = set(&[Listing::Countertop, Listing::WorkSurface]);
    for cell in [
        "countertop; work-surface",
        "countertop, Work surface",
        "countertop/worksurface",
        "countertop + work surface",
        "countertop|work-surface",
        "countertop & work surface",
        "countertop and work surface",
        "work surface AND countertop;",
    ] {
        known(Field::ListedFor, &[(cell, both)]);
    }
    known(Field::ListedFor, &[("none", 0), ("None", 0), ("FPDU", set(&[Listing::FurniturePower]))]);
    assert_eq!(
        text(Field::ListedFor, "none; countertop"),
        Reading::NoneDropped(set(&[Listing::Countertop]))
    );
    refused(Field::ListedFor, &[("countertop; sink", Why::UnknownWord)]);
    assert_eq!(text(Field::ListedFor, ";"), Reading::Blank);
}

/// Source: ANSI/NEMA WD 6-2021, by the outlet model.
#[test]
fn a_plug_is_no_configuration_of_an_outlet() {
    let raw = |family, amps| Configuration::new(family, amps).map(Value::raw);
    assert_eq!(
        text(Field::Configuration, "NEMA 5-20R"),
        raw("5", 20).map_or(Reading::Blank, Reading::Known)
    );
    refused(
        Field::Configuration,
        &["5-20P", "5-40R", "duplex"].map(|cell| (cell, Why::UnknownConfiguration)),
    );
    let date =
        read(Content::Date(Date(20_000)), &Column::of(Field::Configuration), &mut Texts::default());
    assert_eq!(date, Reading::Unreadable(Why::DateForValue));
}

/// Source: identifiers of public device lists that type guessing has broken.
#[test]
fn identifiers_keep_what_they_are() {
    let mut texts = Texts::default();
    let mut name = |cell, field| match read(cell, &Column::of(field), &mut texts) {
        Reading::Known(raw) => texts.get(Value::from_raw(raw)).to_owned(),
        other => format!("{other:?}"),
    };
    for (cell, printed) in [
        (Content::Text("1E01"), "1E01"),
        (Content::Text(" 00-1401 "), "00-1401"),
        (Content::Text("Room\u{a0} 12  a"), "Room 12 a"),
        (Content::Text("0/1/-"), "0/1/-"),
        (Content::Text("'=A1"), "=A1"),
        (Content::Text("'tis"), "'tis"),
        (Content::Number(12.0), "12"),
        (Content::Number(22.23), "22.23"),
        (Content::Number(1e21), "1000000000000000000000"),
        (Content::Number(-1.0), "-1"),
        (Content::Number(-0.0), "0"),
        (Content::Number(1e-7), "0.0000001"),
        (Content::Boolean(true), "TRUE"),
    ] {
        assert_eq!(name(cell, Field::Circuit), printed, "{cell:?}");
    }
    let date = read(Content::Date(Date(20_000)), &Column::of(Field::Circuit), &mut texts);
    assert_eq!(date, Reading::Unreadable(Why::DateForIdentifier));
}

#[test]
fn the_words_of_a_mapping_come_first() {
    let words = [
        ("Main-Duplex", "receptacle"),
        ("-", "switch"),
        ("DUPLEX", "other"),
        ("spare", ""),
        ("lost", "rubbish"),
        ("unseen", "sensor"),
    ];
    let map = WordMap::new(words).expect("no word twice");
    let column = Column { words: Some(&map), ..Column::of(Field::Device) };
    let read_word = |cell| read(Content::Text(cell), &column, &mut Texts::default());
    assert_eq!(read_word("main duplex"), Reading::Known(Device::Receptacle.raw()));
    assert_eq!(read_word("-"), Reading::Known(Device::Switch.raw()));
    assert_eq!(
        read_word("duplex"),
        Reading::Known(Device::Other.raw()),
        "before the synonyms of the trade"
    );
    assert_eq!(read_word("Spare"), Reading::Blank);
    assert_eq!(read_word("lost"), Reading::Unreadable(Why::UnknownWord));
    assert_eq!(read_word(""), Reading::Blank, "an empty cell is blank whatever a mapping says");
    assert_eq!(map.unused().collect::<Vec<_>>(), ["unseen"]);

    let twice = WordMap::new([("A b", "yes"), ("a-b", "no")]);
    assert!(matches!(twice, Err(WordError::Twice { .. })));
    assert!(matches!(WordMap::new([(" ", "no")]), Err(WordError::Empty { .. })));

    let flush =
        WordMap::new([("flush", "0"), ("deep", "0.5 in"), ("12", "1 in")]).expect("no word twice");
    let column = Column {
        words: Some(&flush),
        decimal: Some(DecimalMark::Comma),
        ..Column::of(Field::BoxSetBack)
    };
    for (cell, value) in [
        (Content::Text("Flush"), 0),
        (Content::Text("deep"), 12_700_000),
        (Content::Number(12.0), 25_400_000),
    ] {
        assert_eq!(read(cell, &column, &mut Texts::default()), Reading::Known(value), "{cell:?}");
    }
    let legs =
        WordMap::new([("L1", "A"), ("L2", "C"), ("both legs", "A,C")]).expect("no word twice");
    let column = Column { words: Some(&legs), ..Column::of(Field::Phases) };
    for cell in ["L1, L2", "both legs", "L1-L2"] {
        let both = Set::of(&[Conductor::A, Conductor::C]).raw();
        assert_eq!(
            read(Content::Text(cell), &column, &mut Texts::default()),
            Reading::Known(both),
            "{cell}"
        );
    }
}

#[test]
fn a_reason_is_a_sentence_for_a_person() {
    let why = Why::AmbiguousFraction { numerator: 11, denominator: 2, whole: 1, rest: 1 };
    assert_eq!(
        why.to_string(),
        "may be the fraction 11/2 or 1 1/2; write it as 1-1/2 or as a decimal"
    );
}
