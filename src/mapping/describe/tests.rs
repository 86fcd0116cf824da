//! Descriptions as schedules write them. All invented; common practice, no published source.

use super::*;

/// What a text says, as `field value` in the order of the model.
fn said(text: &str) -> Vec<String> {
    let mut texts = Texts::default();
    let described = describe(text, &Phrases::default(), &mut texts);
    let mut outlet = Outlet::absent(crate::outlet::Origin::default());
    let mut conflicts = Vec::new();
    described.complete(&mut outlet, |field, _| conflicts.push(format!("{} ?", field.name())));
    let known = Field::ALL.iter().filter_map(|field| {
        let raw = outlet.raw(*field).known()?;
        Some(format!("{} {}", field.name(), crate::outlet::shown(*field, raw, &texts)))
    });
    known.chain(conflicts).collect()
}

#[test]
fn abbreviations_of_the_trade_are_facts() {
    let table: &[(&str, &[&str])] = &[
        (
            "20A DUPLEX, GFCI, WP, TR",
            &[
                "device receptacle",
                "receptacles_on_yoke 2",
                "device_amps 20 A",
                "tamper_resistant yes",
                "gfci yes",
            ],
        ),
        (
            "quad recept. 5-20R HG red",
            &[
                "device receptacle",
                "configuration 5-20R",
                "receptacles_on_yoke 4",
                "hospital_grade yes",
            ],
        ),
        ("(2) 277V SW + pilot", &["quantity 2", "device switch", "volts 277 V"]),
        ("+44\" AFF", &["height 1117.6 mm (44 in)"]),
        (
            "Duplex receptacle, 44\" A.F.F.",
            &["height 1117.6 mm (44 in)", "device receptacle", "receptacles_on_yoke 2"],
        ),
        ("6A 3/2 pin socket outlet", &["device receptacle", "device_amps 6 A"]),
        ("Double-pole 240V switch", &["device switch", "volts 240 V"]),
        ("16A/6A socket outlet", &["device receptacle", "device_amps ?"]),
        ("L6-30R", &["device receptacle", "configuration L6-30R"]),
        ("NEMA 14-50 range receptacle", &["device receptacle", "configuration 14-50R"]),
        (
            "20A 5-15R duplex",
            &["device receptacle", "configuration 5-15R", "receptacles_on_yoke 2", "device_amps ?"],
        ),
        ("Duplex without GFCI", &["device receptacle", "receptacles_on_yoke 2", "gfci no"]),
        ("duplex w/o TR", &["device receptacle", "receptacles_on_yoke 2", "tamper_resistant no"]),
        (
            "GFCI receptacle on 120/208V",
            &["device receptacle", "gfci yes", "gfci_in_device yes", "system 208Y/120"],
        ),
        ("orange duplex", &["device receptacle", "receptacles_on_yoke 2"]),
        (
            "2 x Doppelsteckdose 16A, Unterputz",
            &[
                "quantity 2",
                "device receptacle",
                "receptacles_on_yoke 2",
                "device_amps 16 A",
                "box_mount flush",
            ],
        ),
        (
            "125V 20A duplex, while-in-use cover",
            &[
                "device receptacle",
                "receptacles_on_yoke 2",
                "device_amps 20 A",
                "device_volts 125 V",
                "weather_cover in-use",
            ],
        ),
        ("Outlet 230V", &["device receptacle", "volts 230 V"]),
        ("Switch 120V 277V", &["device switch", "volts ?"]),
        (
            "Floor box, duplex @ 18 in",
            &[
                "height 457.2 mm (18 in)",
                "device receptacle",
                "receptacles_on_yoke 2",
                "box floor-box",
            ],
        ),
        ("Room 20A", &["device_amps 20 A"]),
        ("LED 24V + SPOT", &["volts 24 V"]),
        ("Steckdose 2,5 mm²", &["device receptacle"]),
        ("Steckdose TR", &["device receptacle"]),
        ("Outlet not in use", &["device receptacle"]),
        ("Reception desk", &[]),
    ];
    for (text, expected) in table {
        assert_eq!(said(text), *expected, "{text}");
    }
}

proptest::proptest! {
    /// Whatever stands in a description, it is read to its end, and no fact is also a conflict.
    #[test]
    fn any_text_is_read(text in "[ a-zA-Z0-9(),.;:/+@\"'°²½äßçø-]{0,40}|.{0,30}|([+@(]?[0-9]{1,4}[ ]?(A|V|in|\"| AFF|x|R|-20R)[, ]?){1,4}") {
        let described = describe(&text, &Phrases::default(), &mut Texts::default());
        for (field, _) in &described.facts {
            proptest::prop_assert!(!described.conflicts.contains(field));
        }
    }
}
