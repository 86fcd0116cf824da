//! Schedules that no mapping knows: what is drafted, what is read with the draft, and what is refused.
//!
//! All schedules are invented, each with its number of devices; header words are common practice, no
//! published source.
#![expect(clippy::disallowed_methods, reason = "tests make the files that they read")]
#![expect(clippy::unwrap_used, reason = "a test that cannot make its files has failed")]

use std::path::{Path, PathBuf};

use yokecheck::ingest::find;
use yokecheck::mapping::draft::draft;
use yokecheck::mapping::file::MappingFile;
use yokecheck::mapping::{LoadOptions, Loaded, SheetReading, load};
use yokecheck::outlet::words::{Device, Edition};
use yokecheck::outlet::{Fact, facts};

#[path = "support/page.rs"]
mod page;

use page::page;

struct Folder(tempfile::TempDir);

impl Folder {
    fn of(name: &str, text: &str) -> (Self, PathBuf) {
        let folder = Self(tempfile::tempdir().unwrap());
        let path = folder.0.path().join(name);
        std::fs::write(&path, text).unwrap();
        (folder, path)
    }

    fn workbook(name: &str, sheets: &[(&str, &[&[&str]])]) -> (Self, PathBuf) {
        let folder = Self(tempfile::tempdir().unwrap());
        let path = folder.0.path().join(name);
        let mut book = rust_xlsxwriter::Workbook::new();
        for (sheet, rows) in sheets {
            page(&mut book, sheet, rows);
        }
        book.save(&path).unwrap();
        (folder, path)
    }
}

fn read(path: &Path, mappings: &[PathBuf]) -> Loaded {
    let found = find(&[path.to_path_buf()]);
    load(&found, &LoadOptions { mappings, progress: &|_| {} })
        .unwrap_or_else(|errors| panic!("{}", errors[0]))
}

fn drafted(path: &Path) -> String {
    let found = find(&[path.to_path_buf()]);
    draft(&found.inputs[0]).unwrap().text
}

/// How many rows became a receptacle, a switch, a dimmer, a sensor, and how many are in doubt.
fn counts(loaded: &Loaded) -> [usize; 5] {
    let count = |wanted: Fact<Device>| {
        loaded.outlets.iter().filter(|outlet| outlet.get(facts::DEVICE) == wanted).count()
    };
    [
        count(Fact::Known(Device::Receptacle)),
        count(Fact::Known(Device::Switch)),
        count(Fact::Known(Device::Dimmer)),
        count(Fact::Known(Device::Sensor)),
        count(Fact::Unreadable),
    ]
}

const ENGLISH: &str = "\
Circuits of the house,,,,,,
Item name,Floor,Room,Breaker Box,Breaker,Amps,Volts
Outlet bed center,First Floor,Bedroom 1,Main,12,15,120
Outlet bed left,First Floor,Bedroom 1,Main,12,15,120
Outloot closet,First Floor,Closet,Main,12,15,120
Light switch,First Floor,Bedroom 1,Main,13,15,
Dishwasher,First Floor,Kitchen,Main,14,20,120
Outlet right back,Basement,Laundry,Sub,3,20,120
Telophone Outlet,First Floor,Hall,,,,
Range receptacle 14-50R,First Floor,Kitchen,Main,2,50,240
Smoke detector,First Floor,Hall,Main,9,15,120
";

const GERMAN: &str = "\
Kabelplan EG 230V;;;;;;;
;;;;;;;
Ort;KL;Kabel;Geräte/Gewerke;Verbindung;Länge (m);RCD;Bemerkung
Küche;1;W101;Steckdose links;230 V AC;12,5;1;
;2;W102;Doppelsteckdose;230 V AC;11,25;1;
;3;W103;Deckenleuchte;DALI;9,0;1;
;4;W104;Herd;400V AC;4,5;2;
Wohnzimmer;5;W105;3-fach Steckdose Fernseher;230 V AC;7,5;1;
;6;W106;Netzwerkdose;;14,5;;
;7;W107;Lichtschalter;230 V AC;3,5;;
;8;W108;Taster Eingang;24 V DC;3,5;;
;9;W109;Anschluss ohne Steckdose;230 V AC;3,5;;
Bad;10;W110;Außensteckdose;230 V AC;8,5;1;
;11;W111;Bewegungsmelder;24 V DC;6,5;;
;12;W112;FI-Schutzschalter;;;;
";

const PORTUGUESE: &str = "\
ETIQUETA,DESCRIÇÃO,AMBIENTE (LOCAL DO INTERRUPTOR),PAVIMENTO,QUADRO,CICRUITO,Qtde,Tensão
T1,Tomada 2P+T 10A,Sala,Térreo,QD1,3,2,220
T2,Tomada dupla,Cozinha,Térreo,QD1,4,1,220
I1,Interruptor paralelo,Sala,Térreo,QD1,1,1,220
I2,Interruptor simples,Quarto,Superior,QD1,1,1,220
L1,Ponto de luz,Quarto,Superior,QD1,1,1,220
R1,Tomada RJ45,Escritório,Superior,,,2,
";

const SPANISH: &str = "\
Código,Descripción,Habitación,Planta,Cuadro,Circuito,Cantidad
E-1,Enchufe doble,Cocina,Baja,CG,C5,2
E-2,Base de enchufe 16A,Salón,Baja,CG,C2,3
E-3,Interruptor sencillo,Salón,Baja,CG,C1,1
E-4,Toma de datos,Salón,Baja,,,1
E-5,Interruptor diferencial,Entrada,Baja,CG,,1
E-6,Conmutador,Pasillo,Primera,CG,C1,2
";

const FRENCH: &str = "\
Repère;Désignation;Pièce;Étage;Tableau;Circuit;Quantité;Tension
P1;Prise de courant 16A;Séjour;RDC;T1;3;4;230 V
P2;Prise double;Cuisine;RDC;T1;4;1;230 V
S1;Interrupteur va-et-vient;Couloir;RDC;T1;1;2;230 V
S2;Interrupteur;Chambre;1er;T1;1;1;230 V
R1;Prise RJ45;Séjour;RDC;;;2;
D1;Interrupteur différentiel;Entrée;RDC;T1;;1;230 V
V1;Variateur;Séjour;RDC;T1;1;1;230 V
";

const LANGUAGES: &[(&str, &str, [usize; 5])] = &[
    ("english.csv", ENGLISH, [5, 1, 0, 0, 0]),
    ("german.csv", GERMAN, [4, 1, 0, 1, 1]),
    ("portuguese.csv", PORTUGUESE, [2, 2, 0, 0, 0]),
    ("spanish.csv", SPANISH, [2, 2, 0, 0, 0]),
    ("french.csv", FRENCH, [2, 2, 1, 0, 0]),
];

#[test]
fn devices_are_counted_in_five_languages() {
    for (name, text, expected) in LANGUAGES {
        let (_folder, path) = Folder::of(name, text);
        let loaded = read(&path, &[]);
        assert_eq!(counts(&loaded), *expected, "{name}: {:#?}", loaded.account);
        let sheet = &loaded.account.inputs[0].sheets[0];
        let SheetReading::Mapped { mapping, why } = &sheet.reading else { panic!("{name}") };
        assert_eq!(mapping, "drafted");
        assert!(why.contains("name a device"), "{why}");
        let remark = loaded.account.remarks.iter().find(|remark| remark.contains("drafted"));
        assert!(remark.is_some_and(|remark| remark.contains("yokecheck draft")), "{name}");
    }
}

#[test]
fn a_drafted_file_is_sound_and_reads_as_the_draft_does() {
    for (name, text, expected) in LANGUAGES {
        let (folder, path) = Folder::of(name, text);
        let drafted = drafted(&path);
        MappingFile::parse("draft.toml", &drafted)
            .unwrap_or_else(|errors| panic!("{}\n{drafted}", errors[0]));
        let mapping = folder.0.path().join("draft.toml");
        std::fs::write(&mapping, &drafted).unwrap();
        let loaded = read(&path, &[mapping]);
        assert_eq!(counts(&loaded), *expected, "{name}\n{drafted}");
        assert!(loaded.account.remarks.iter().all(|remark| !remark.contains("drafted")));
    }
}

#[test]
fn rows_that_are_no_devices_are_counted_by_their_reason() {
    let (_folder, path) = Folder::of("german.csv", GERMAN);
    let loaded = read(&path, &[]);
    let skipped: Vec<_> = loaded.account.inputs[0].sheets[0].rows_skipped.iter().collect();
    let expected = [
        ("above the header", 1),
        ("empty", 0),
        ("no device named (Herd)", 1),
        ("no device: breaker, fuse or disconnect", 1),
        ("no device: luminaire", 1),
        ("no device: names a device only to say that there is none", 1),
        ("no device: telephone, data or network outlet", 1),
    ];
    let expected: Vec<_> = expected.iter().filter(|(_, count)| *count > 0).collect();
    let skipped: Vec<_> = skipped.iter().map(|(why, count)| (why.as_str(), **count)).collect();
    let expected: Vec<_> = expected.iter().map(|(why, count)| (*why, *count)).collect();
    assert_eq!(skipped, expected);
    let faults = &loaded.account.inputs[0].sheets[0].faults;
    assert!(
        faults
            .iter()
            .any(|fault| fault.text == "Taster Eingang" && fault.why.contains("push button"))
    );
}

#[test]
fn what_a_draft_reads_beside_the_kind() {
    let (_folder, path) = Folder::of("german.csv", GERMAN);
    let loaded = read(&path, &[]);
    let rooms: Vec<_> = loaded
        .outlets
        .iter()
        .map(|outlet| outlet.get(facts::ROOM).known().map(|room| loaded.texts.get(room)))
        .collect();
    let (kitchen, living, bath) = (Some("Küche"), Some("Wohnzimmer"), Some("Bad"));
    assert_eq!(rooms, [kitchen, kitchen, living, living, living, bath, bath], "filled down");
    let other = loaded
        .outlets
        .iter()
        .all(|outlet| outlet.get(facts::EDITION) == Fact::Known(Edition::Other));
    assert!(other, "230 V is under another code");
    let text = drafted(&path);
    assert!(text.contains("decimal = \",\""), "{text}");
    assert!(text.contains("fill_down = true"), "{text}");
    let (_folder, path) = Folder::of("english.csv", ENGLISH);
    let text = drafted(&path);
    for line in [
        "# \"Amps\" = \"circuit_amps\"",
        "# \"Amps\" = \"device_amps\"",
        "\"Item name\" = { describe = true }",
        "# \"Floor\": header words 1.00, 9 cells, 2 distinct, suit it by 1.00",
        "# \"Volts\": header words 1.00, 7 of 7 cells read as volts",
    ] {
        assert!(text.lines().any(|found| found == line), "{line}\n{text}");
    }
    assert!(!text.contains("edition"), "{text}");
}

#[test]
fn what_is_no_schedule_of_devices_is_refused_with_what_was_seen() {
    let quantities = "Sl No,Description,Unit,Qty,Rate,Amount\n\
        1,Excavation in all kinds of soil,cum,120,350,42000\n\
        2,Supply and fixing 6A 3/2 pin socket outlet,Nos,25,120,3000\n\
        3,Supply and fixing 6A one way switch,Nos,40,80,3200\n";
    let partitions = "Name,Type,SubType,Offset,Size,Flags\nnvs,data,nvs,0x9000,0x6000,\nfactory,app,factory,0x10000,1M,\n";
    let words = "English,Deutsch,Category\nswitch,Schalter,noun\noutlet,Steckdose,noun\n";
    let template = "Tag,Description,Room,Panel,Circuit\n,,,,\n";
    let network = "Name,Type,Room,Floor\nSW-1,Switch,101,1\nSW-2,Switch,102,1\nR-1,Router,101,1\n";
    let panel = "Ckt,Description,Poles,Trip,VA,Phase\n1,Receptacles room 101,1,20,1080,A\n3,Receptacles room 102,1,20,900,B\n";
    let flats = "Unit,Type,Floor,Room\n1,Duplex apartment,2,201\n2,Duplex apartment,3,301\n3,Retail outlet,1,101\n";
    let tools = "Item,Description,Qty,Location\n1,Wrench sockets,4,Store\n2,Socket set,2,Store\n3,Waste receptacle,1,Store\n";
    for (name, text, why) in [
        ("quantities.csv", quantities, "bill of quantities"),
        ("partitions.csv", partitions, "no header words are known"),
        ("words.csv", words, "no header words are known"),
        ("template.csv", template, "0 cells name a device"),
        ("network.csv", network, "computer network"),
        ("panel.csv", panel, "where the devices are"),
        ("flats.csv", flats, "0 cells name a device"),
        ("tools.csv", tools, "0 cells name a device"),
    ] {
        let (_folder, path) = Folder::of(name, text);
        let loaded = read(&path, &[]);
        assert!(loaded.outlets.is_empty(), "{name}");
        let reading = &loaded.account.inputs[0].sheets[0].reading;
        let SheetReading::NotASchedule { why: said } = reading else {
            panic!("{name}: {reading:?}")
        };
        assert!(said.contains(why), "{name}: {said}");
        let headers = text.lines().next().unwrap().replace(',', ", ");
        assert!(said.contains(&headers), "{name}: {said}");
    }
}

#[test]
fn one_file_is_drafted_for_the_sheets_of_a_workbook_and_the_others_are_left_aside() {
    let header = ["Tag", "Type", "Room", "Panel"];
    let (folder, path) = Folder::workbook(
        "campus.xlsx",
        &[
            (
                "Level 1",
                &[
                    &header,
                    &["R-1", "Duplex receptacle", "101", "LP1"],
                    &["R-2", "Receptacle", "102", "LP1"],
                ],
            ),
            (
                "Level 2",
                &[
                    &header,
                    &["S-1", "Light switch", "201", "LP2"],
                    &["S-2", "Switch", "202", "LP2"],
                ],
            ),
            ("Finishes", &[&["Room", "Wall finish"], &["101", "Paint"]]),
        ],
    );
    let text = drafted(&path);
    assert!(text.contains("sheets = [\"Level 1\", \"Level 2\"]"), "{text}");
    assert!(text.contains("floor = { from = \"sheet\" }"), "{text}");
    assert!(text.contains("Left aside: Finishes"), "{text}");
    let mapping = folder.0.path().join("draft.toml");
    std::fs::write(&mapping, &text).unwrap();
    for mappings in [vec![], vec![mapping]] {
        let loaded = read(&path, &mappings);
        assert_eq!(counts(&loaded), [2, 2, 0, 0, 0]);
        let floors: Vec<_> = loaded
            .outlets
            .iter()
            .map(|outlet| outlet.get(facts::FLOOR).known().map(|floor| loaded.texts.get(floor)))
            .collect();
        assert_eq!(floors, [Some("Level 1"), Some("Level 1"), Some("Level 2"), Some("Level 2")]);
    }
}

#[test]
fn a_mapping_of_the_user_is_not_joined_by_drafts() {
    let (folder, path) = Folder::of("english.csv", ENGLISH);
    let mapping = folder.0.path().join("mine.toml");
    let text = "name = \"Mine\"\n[recognise]\nheaders = [\"No such header\"]\n[columns]\n\"No such header\" = { field = \"room\", optional = true }\n";
    std::fs::write(&mapping, text).unwrap();
    assert!(read(&path, &[mapping]).outlets.is_empty());
}

#[test]
fn circuits_of_230_volts_are_told_to_be_under_another_code() {
    let text = "outlet_id,room,device,volts\nE-1,101,receptacle,230\nE-2,102,receptacle,230 V\nE-3,103,switch,120\n";
    let (_folder, path) = Folder::of("plan.csv", text);
    let loaded = read(&path, &[]);
    let remark = loaded.account.remarks.iter().find(|remark| remark.contains("another code"));
    let remark = remark.unwrap_or_else(|| panic!("{:?}", loaded.account.remarks));
    assert!(
        remark.contains("2 of 3 circuits") && remark.contains("edition = \"other\""),
        "{remark}"
    );
}

#[test]
fn samples_show_how_each_column_was_read() {
    let text = "outlet_id,room,Setback (in),volts\nE-1,101,1/4,120\nE-2,102,deep,277\n";
    let (_folder, path) = Folder::of("plan.csv", text);
    let text = std::fs::read_to_string(&path).unwrap().replace("Setback", "box_set_back");
    std::fs::write(&path, text).unwrap();
    let loaded = read(&path, &[]);
    let column = &loaded.account.inputs[0].sheets[0].columns[2];
    let read: Vec<_> =
        column.samples.iter().map(|sample| (sample.text.as_str(), sample.read.as_str())).collect();
    assert_eq!(read[0], ("1/4", "6.35 mm (0.25 in)"));
    assert!(read[1].0 == "deep" && read[1].1.starts_with("not read: no number"), "{read:?}");
}

/// Runs the program: its exit code, what it printed, and what it complained of.
fn run(arguments: &[&str]) -> (Option<i32>, String, String) {
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_yokecheck"))
        .args(arguments)
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code(), text(output.stdout), text(output.stderr))
}

#[test]
fn the_commands_draft_explain_and_refuse() {
    let (folder, path) = Folder::of("english.csv", ENGLISH);
    let (path, out) = (path.display().to_string(), folder.0.path().join("draft.toml"));
    let out = out.display().to_string();
    let (code, printed, _) = run(&["draft", &path]);
    assert_eq!(code, Some(0));
    assert!(printed.contains("\"Item name\" = { describe = true }"), "{printed}");
    let (code, said, complaint) = run(&["draft", &path, "--out", &out]);
    assert_eq!(code, Some(0), "{complaint}");
    assert!(said.contains("Check every line"), "{said}");
    assert_eq!(std::fs::read_to_string(&out).unwrap(), printed);
    let (code, said, complaint) =
        run(&["audit", &path, "--mapping", &out, "--no-workbook", "--explain-mapping"]);
    assert!(matches!(code, Some(0 | 1)), "{complaint}");
    for line in [
        "G Volts  volts, volts",
        "\"120\" is read as 120 V",
        "\"Outloot closet\" is read as receptacle",
        "F Amps  not used: no field",
        "1 row left out: no device: telephone, data or network outlet",
    ] {
        assert!(said.contains(line), "{line}\n{said}");
    }
    let (code, _, complaint) = run(&["draft", &path, "--out", &path]);
    assert_eq!(code, Some(2), "an input is never overwritten: {complaint}");
}

#[test]
fn a_file_without_devices_is_refused_by_every_command() {
    let (_folder, path) = Folder::of("rooms.csv", "Room,Floor,Area\n101,1,20\n102,1,30\n");
    let path = path.display().to_string();
    for arguments in [&["draft", &path][..], &["audit", &path, "--no-workbook"]] {
        let (code, _, complaint) = run(arguments);
        assert_eq!(code, Some(2), "{complaint}");
        assert!(complaint.contains("no device schedule found"), "{complaint}");
        assert!(complaint.contains("Floor"), "{complaint}");
    }
}

#[test]
fn the_schema_is_printed_as_json() {
    let (code, printed, _) = run(&["schema"]);
    assert_eq!(code, Some(0));
    let schema: serde_json::Value = serde_json::from_str(&printed).unwrap();
    assert_eq!(schema["required"][0], "name");
    assert!(schema["properties"]["table"]["properties"]["devices_only"].is_object());
}
