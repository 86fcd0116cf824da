"""What is wrong with the campus: violations, questions, blanks and unreadable cells, all on purpose.

Each defect takes rows that comply and changes the facts that make it one; what follows from the change
under another rule is named with it. A row is used once, so that no two defects meet by accident.
"""

import datetime
from decimal import Decimal

from campus import CLINIC_FILE, HALL_FILE, HOUSE_FILE, LIGHTING_FILE, WORKS_FILE
from formats import with_unit
from model import feet, inches, millimetres

HALL, CLINIC, HOUSE, WORKS, LIGHTS = (HALL_FILE, CLINIC_FILE, HOUSE_FILE, WORKS_FILE, LIGHTING_FILE)
VIOLATES, AUTHORITY = "violates", "authority"


class Defects:
    """Chooses rows, changes them and keeps the list of what the audit has to find."""

    def __init__(self, schedules):
        self.rows = {schedule.file: schedule.rows for schedule in schedules}
        self.seeded, self.faults, self._used = [], [], set()

    def choose(self, file, count, **where):
        """The next unused rows, alone in their box unless a box is asked for, that match."""
        where.setdefault("enclosure_id", None)
        found = [row for row in self.rows[file]
                 if id(row) not in self._used and all(matches(row, *item) for item in where.items())]
        if len(found) < count:
            raise ValueError(f"{file}: {len(found)} rows match {where}, {count} are needed")
        self._used.update(id(row) for row in found[:count])
        return found[:count]

    def seed(self, rules, file, count, facts, verdict=VIOLATES, **where):
        """Changes so many rows; each then breaks the rules named (parted by blanks)."""
        for row in self.choose(file, count, **where):
            change(row, facts)
            for rule in rules.split():
                self.note(rule, row["outlet_id"], [row], verdict)

    def note(self, rule, subject, rows, verdict=VIOLATES):
        files = ";".join(sorted({row["file"] for row in rows}))
        self.seeded.append((rule, verdict, subject, rows[0]["building"], files))

    def boxes(self, rules, file, count, facts, verdict=VIOLATES, **where):
        """The same for boxes: the facts change on every row of the box in this file."""
        for _ in range(count):
            first = self.choose(file, 1, **{"enclosure_id": some} | where)[0]
            rows = [row for rows in self.rows.values() for row in rows
                    if row["building"] == first["building"]
                    and row.get("enclosure_id") == first["enclosure_id"]]
            self._used.update(id(row) for row in rows)
            for row in rows:
                if row["file"] == file:
                    change(row, facts)
            for rule in rules.split():
                self.note(rule, first["enclosure_id"], rows, verdict)

    def crowd(self, file, count, **where):
        """Puts so many outlets of a place on the circuit of the first: too many for it."""
        found = [row for row in self.rows[file] if all(matches(row, *i) for i in where.items())
                 and row["device"] == "receptacle" and row["individual_circuit"] is False][:count]
        names = ("panel", "circuit", "phases", "volts", "circuit_amps")
        for row in found:
            row.update({name: found[0][name] for name in names})
        self.note("circuit-load", f"{found[0]['panel']}/{found[0]['circuit']}", found)

    def spoil(self, file, count, field, text, fault=True, **where):
        """Writes a text that says nothing, or cannot be read, over so many facts."""
        for row in self.choose(file, count, **where):
            row[field] = text
            if fault:
                shown = with_unit(text) if isinstance(text, Decimal) else str(text)
                self.faults.append((file, row.get("outlet_id", ""), field, shown))


def some(fact):
    return fact is not None


def matches(row, field, wanted):
    fact = row.get(field)
    if callable(wanted):
        return wanted(fact)
    return fact in wanted if isinstance(wanted, (set, range)) else fact == wanted


def change(row, facts):
    row.update(facts)
    for name in [name for name, fact in row.items() if fact is None]:
        del row[name]


def rooms(low, high):
    return {str(number) for number in range(low, high + 1)}


def seed_all(schedules):
    defects = Defects(schedules)
    for group in (mounting, faceplates, boxes, orientation_and_listing, neighbours, ratings,
                  grounding, wet_places, protection, marking_and_care, reach, questions,
                  unknown_facts, unreadable_cells):
        group(defects)
    return defects


UP_UNLISTED = {"facing": "up", "listed_for": ("none",)}
BOXED = {"box_mount": "flush", "mounted_on": "box"}


def mounting(defects):
    seed = defects.seed
    # Behind the panelling of the seminar rooms every box was left where the plaster would have been.
    panelled = {"surface": "wood", "room": rooms(211, 213), **BOXED}
    seed("box-set-back", HALL, 5, {"box_set_back": inches("0.375"), "yoke_seat": "surface"}, **panelled)
    seed("box-set-back set-back-yoke", HALL, 4, {"box_set_back": inches("0.1875"), "yoke_seat": "box"},
         **panelled)
    seed("box-set-back set-back-yoke", HOUSE, 2,
         {"box_set_back": millimetres(8), "yoke_seat": "loose"}, surface="wood", **BOXED)
    seed("box-set-back", WORKS, 2, {"box_set_back": inches("0.375"), "yoke_seat": "surface"},
         room="201", **BOXED)
    seed("box-set-back", CLINIC, 1, {"box_set_back": inches("0.265625"), "yoke_seat": "surface"},
         room="341", **BOXED)
    seed("set-back-yoke", CLINIC, 3, {"box_set_back": inches("0.125"), "yoke_seat": "box"},
         surface="gypsum", room=rooms(141, 143), **BOXED)
    for file, count, where in ((HALL, 2, {"room": rooms(331, 333)}), (CLINIC, 1, {"room": "145"}),
                               (HOUSE, 2, {"room": "201"})):
        seed("flush-yoke", file, count, {"box_set_back": inches(0), "yoke_seat": "loose"},
             surface="gypsum", **BOXED, **where)
    seed("flush-yoke", WORKS, 2, {"yoke_seat": "loose"}, room="Pump room", box_mount="surface",
         mounted_on="box")

    def screws(kind, threads=None):
        return {"device_screw": kind, "threads_per_inch": threads}

    # One crew fastened a whole floor with what was in the pouch.
    seed("device-screws", HALL, 8, screws("drywall"), room=rooms(301, 304), controlled=False, **BOXED)
    seed("device-screws", CLINIC, 2, screws("sheet-metal"), room="252", **BOXED)
    seed("device-screws", HOUSE, 1, screws("machine", 24), room="202", **BOXED)
    seed("device-screws", WORKS, 1, screws("wood"), room="Stores", **BOXED)
    one = {"cover_screws": 1, "single_screw_cover": False}
    seed("cover-mounted-screws", HALL, 1, one, mounted_on="cover")
    seed("cover-mounted-screws", CLINIC, 2, one, mounted_on="cover")
    seed("cover-mounted-screws", HOUSE, 1, one, mounted_on="cover")
    seed("cover-mounted-screws", WORKS, 1, {"cover_screws": 0}, mounted_on="cover")


def faceplates(defects):
    seed = defects.seed

    def face(material, projection):
        return {"faceplate_material": material, "face_projection": projection}

    seed("face-position", HALL, 4, face("metal", inches(0)), room="100", mounting_location="wall")
    seed("face-position", HOUSE, 2, face("nonmetallic", millimetres("-1.5")), room="203")
    seed("face-position", CLINIC, 2, face("nonmetallic", inches("-0.03")), room="147")
    seed("face-position", WORKS, 1, face("metal", inches("0.01")), room="Boiler room")
    bare = {name: None for name in ("faceplate_material", "faceplate_covers", "faceplate_seated",
                                    "face_projection")} | {"faceplate": False}
    seed("box-cover", HALL, 1, bare, room="B-03")
    seed("box-cover", HOUSE, 1, bare, room="Réserve")
    seed("box-cover", LIGHTS, 1, {"faceplate": False})
    seed("box-cover exposed-terminals", WORKS, 2, bare | {"terminals_exposed": True},
         room="Cable vault")
    seed("exposed-terminals", CLINIC, 1, {"terminals_exposed": True}, room="340", mounted_on="cover")
    seed("exposed-terminals", HALL, 1, {"terminals_exposed": True}, room="B-01")
    seed("faceplate-seat", CLINIC, 2, {"faceplate_covers": False}, room="160")
    seed("faceplate-seat", HALL, 2, {"faceplate_seated": False}, room="150")
    seed("faceplate-seat", HOUSE, 1, {"faceplate_seated": False}, room="Buanderie")
    seed("faceplate-seat", WORKS, 1, {"faceplate_covers": False}, room="Showers")


def boxes(defects):
    seed = defects.seed
    gone = ("box_size", "box_volume", "box_material", "bonding", "clamps", "wires_12",
            "ground_wires", "ground_wire_size", "box_fastened", "mounted_on")
    seed("box-or-assembly", WORKS, 2, {name: None for name in gone} | {"box": "none"},
         room="Boiler room")
    seed("box-or-assembly", HALL, 2, {"box": "raceway", "box_identified": False, "box_size": None,
                                      "box_volume": None}, room="B-20", surface="plywood")
    for file, count, room in ((HALL, 2, "B-04"), (WORKS, 2, "Machine hall"), (CLINIC, 1, "251"),
                              (HOUSE, 1, "204")):
        seed("box-fastened", file, count, {"box_fastened": False}, room=room,
             mounting_location="wall")
    small = {"box": "device-box", "box_material": "metal", "bonding": "self-grounding",
             "wires_12": 4, "clamps": False}
    seed("box-fill", HALL, 3, small | {"box_size": "3 x 2 x 2 device", "box_volume": None},
         room={"B-05", "B-06"})
    seed("box-fill", HOUSE, 3, small | {"box_size": "3 x 2 x 2-1/2 device",
                                        "box_volume": ("205", "cm3")},
         room=rooms(205, 206), mounting_location="wall", room_use="bedroom")
    seed("wall-gap", WORKS, 2, {"wall_gap": inches("0.25")}, room="202", surface="gypsum")
    seed("wall-gap", HALL, 3, {"wall_gap": inches("0.1875")}, room="110", surface="gypsum")
    seed("wall-gap", HOUSE, 2, {"wall_gap": millimetres(6)}, room="Accueil", surface="gypsum")
    seed("pendant-box", HALL, 2, {"strain_relief": False}, mounting_location="pendant")
    seed("pendant-box", WORKS, 2, {"strain_relief": False}, mounting_location="pendant")
    unlisted = {"box": "square", "listed_for": ("none",), "box_size": "4 x 2-1/8 square"}
    seed("floor-box-listing", HALL, 2, unlisted | {"box_volume": None}, room="320",
         mounting_location="floor")
    seed("floor-box-listing", HOUSE, 1, unlisted | {"box_volume": ("497", "cm3")},
         mounting_location="floor")


def orientation_and_listing(defects):
    seed = defects.seed
    both = "countertop-listing face-up-surface"
    seed(both, CLINIC, 2, UP_UNLISTED, mounting_location="countertop")
    seed(both, HOUSE, 1, UP_UNLISTED, room="Cuisine commune", mounting_location="countertop")
    seed(both, HOUSE, 1, UP_UNLISTED, occupancy="dwelling", mounting_location="countertop")
    seed("countertop-listing", HALL, 2, {"listed_for": ("work-surface",)}, room="120",
         mounting_location="countertop")
    seed("countertop-listing", HALL, 1, {"listed_for": ("none",)}, room="125")
    seed("face-up-surface", WORKS, 2, UP_UNLISTED, mounting_location="work-surface")
    for row in defects.choose(HALL, 2, room="205", mounting_location="work-surface", facing="side"):
        change(row, UP_UNLISTED)
        defects.note("face-up-surface", row["outlet_id"], [row])
        defects.note("work-surface-listing", row["outlet_id"], [row], AUTHORITY)
    seed("face-up-below-sink", CLINIC, 2, {"facing": "up"}, mounting_location="sink-base")
    seed("face-up-below-sink", HOUSE, 1, {"facing": "up"}, room="Cuisine commune",
         mounting_location="sink-base")
    seed("face-up-below-sink", HOUSE, 1, {"facing": "up"}, occupancy="dwelling",
         mounting_location="sink-base")
    for file, count in ((HALL, 2), (CLINIC, 2), (HOUSE, 1)):
        seed("face-up-seating", file, count, UP_UNLISTED, mounting_location="seating")


def neighbours(defects):
    both = "adjacent-voltage switch-adjacent-voltage"
    # 277 V on two phases of one supply: the receptacle in one file, the switch in the other.
    defects.boxes(both, HALL, 3, {"barrier": "none"}, room="220", barrier="secured")
    defects.boxes("adjacent-voltage", WORKS, 2, {"barrier": "unsecured"}, room="Test bay", gang=1)
    # One wing: banks of three switches on three phases, no dividers.
    defects.boxes("switch-adjacent-voltage", LIGHTS, 6, {"barrier": "none"},
                  building="Ondravell Clinic", barrier="secured", gang=1)
    defects.boxes("switch-adjacent-voltage", LIGHTS, 1, {"barrier": "unsecured"},
                  building="Tessorwold Hall", barrier="secured", gang=1)
    # 120 V beside 277 V of another transformer: 157 to 397 V, for someone to analyse.
    defects.boxes(both, CLINIC, 2, {"barrier": "none"}, AUTHORITY, barrier="secured")
    defects.boxes(both, HALL, 1, {"barrier": "none"}, AUTHORITY, room="213")


def ratings(defects):
    seed = defects.seed
    seed("configuration-voltage", WORKS, 2, {"phases": ("B", "N"), "volts": 208}, panel="TP-3")
    plain = {"configuration": "5-20R", "device_amps": 20, "device_volts": 125}
    seed("configuration-voltage", HALL, 1, plain, configuration="6-20R")
    seed("configuration-voltage", CLINIC, 1, {"configuration": "L5-30R"}, configuration="L6-30R")
    big = {"configuration": "5-20R", "device_amps": 20}
    seed("receptacle-circuit-rating", HALL, 2, big, room="340", ground_present=True)
    seed("receptacle-circuit-rating", HOUSE, 1, {"configuration": "14-30R"}, configuration="14-50R")
    for file in (CLINIC, WORKS):
        seed("receptacle-circuit-rating", file, 1,
             {"configuration": "L6-20R", "device_amps": 20}, configuration="L6-30R")
    defects.crowd(HALL, 15, room="110", mounting_location="wall")
    defects.crowd(WORKS, 16, room="Machine hall", mounting_location="wall", mounted_on="box")
    defects.crowd(CLINIC, 14, room="240")
    defects.crowd(HOUSE, 15, room="Foyer")


def grounding(defects):
    seed = defects.seed
    old = {"configuration": "1-15R", "device_amps": 15}
    seed("grounding-type", WORKS, 2, old, room="203")
    seed("grounding-type", HALL, 1, old, room="B-02")
    seed("replacement-grounding replacement-labels", HALL, 1,
         {"gfci": False, "gfci_label": "none"}, room="340", ground_present=False)
    seed("replacement-grounding", WORKS, 1, old, room="210", ground_present=True)
    seed("replacement-labels", HALL, 1, {"no_ground_label": "none"}, room="340",
         ground_present=False)
    seed("replacement-labels", WORKS, 2, {"no_ground_label": "plate"}, room="210",
         ground_present=False)
    flush = {"box_material": "metal", **BOXED}
    seed("device-bonding", CLINIC, 3, {"bonding": "none"}, room=rooms(114, 118), **flush)
    seed("device-bonding", HALL, 1, {"bonding": "none"}, room=rooms(334, 336), **flush)
    seed("device-bonding", WORKS, 2, {"bonding": "metal-to-metal"}, room=rooms(204, 206), **flush)


def wet_places(defects):
    seed = defects.seed
    wet, damp = {"exposure": "wet"}, {"exposure": "damp"}
    seed("weather-resistant", HALL, 2, {"weather_resistant": False}, room="190", **wet)
    seed("weather-resistant", WORKS, 2, {"weather_resistant": False}, room="Fan deck", **wet)
    seed("weather-resistant", HOUSE, 1, {"weather_resistant": False}, room="Terrasse", **wet)
    for file, count in ((WORKS, 2), (HALL, 1), (CLINIC, 1)):
        seed("damp-cover", file, count, {"weather_cover": "none"}, **damp)
    closed = {"weather_cover": "closed", "cover_is_hood": None, "extra_duty": None}
    seed("wet-cover", WORKS, 2, closed, room="Fan deck", **wet)
    seed("wet-cover", HALL, 1, {"extra_duty": False}, room="190", **wet)
    seed("wet-cover", CLINIC, 1, closed, **wet)
    seed("wet-cover", HOUSE, 1, closed | {"weather_cover": "none"}, room="Toiture", **wet)
    seed("bath-shower-zone", HOUSE, 1, {"tub_distance": millimetres(600)}, room_use="bathroom",
         occupancy="dormitory")
    seed("bath-shower-zone", HOUSE, 2, {"tub_distance": millimetres(500)}, room_use="bathroom",
         occupancy="dwelling")
    seed("bath-shower-zone", WORKS, 1, {"in_tub_space": True}, room="Showers")


def protection(defects):
    seed = defects.seed
    plain = {"tamper_resistant": False}
    seed("tamper-resistant", HALL, 3, plain, room="130")
    seed("tamper-resistant", HOUSE, 3, plain, room=rooms(207, 208), room_use="bedroom")
    seed("tamper-resistant", HOUSE, 1, plain, room="1005", room_use="bedroom")
    seed("tamper-resistant", CLINIC, 2, plain, room="101")
    open_ = {"gfci": False}
    for use, count in (("kitchen", 1), ("laundry", 1), ("outdoors", 1)):
        seed("gfci-dwelling", HOUSE, count, open_, room="1002", room_use=use, configuration="5-20R",
             mounting_location="wall")
    seed("gfci-dwelling", HOUSE, 1, open_, configuration="14-50R")
    seed("gfci-other", HALL, 3, open_, room=rooms(201, 203), sink_distance=feet("4.5"))
    seed("gfci-other", HALL, 1, open_, room="120", mounting_location="wall",
         configuration="5-20R")
    seed("gfci-other", CLINIC, 2, open_, room=rooms(120, 126), sink_distance=feet("4.5"))
    seed("gfci-other", CLINIC, 1, open_, room_use="rooftop")
    seed("gfci-other", WORKS, 1, open_, room="Break room")
    seed("gfci-other", WORKS, 2, open_, room="Vehicle bay")
    seed("gfci-other", HOUSE, 1, open_, room_use="garage")
    seed("afci", HOUSE, 2, {"afci": False}, room="210", room_use="bedroom")
    seed("afci", HOUSE, 2, {"afci": False}, room="1006", room_use="living", device="receptacle")
    seed("afci", HOUSE, 1, {"afci": False}, room="1006", room_use="living", device="switch")


def marking_and_care(defects):
    seed = defects.seed
    seed("controlled-mark", HALL, 2, {"controlled_mark": "symbol"}, controlled=True)
    seed("controlled-mark", HALL, 1, {"controlled_mark_on": "plate"}, controlled=True)
    seed("controlled-mark", HALL, 1, {"controlled_mark": "none", "controlled_mark_on": None},
         controlled=True)
    seed("isolated-ground-mark", HALL, 2, {"isolated_ground_mark": False}, isolated_ground=True)
    seed("isolated-ground-mark", CLINIC, 1, {"isolated_ground_mark": False}, isolated_ground=True)
    seed("hospital-grade", CLINIC, 3, {"hospital_grade": False}, room=rooms(203, 204),
         bed_location=some)
    seed("hospital-grade", CLINIC, 1, {"hospital_grade": False}, room="302", bed_location=some)
    for bed, faces in (("206-A", 1), ("206-B", 1), ("211-B", 1), ("304", 1), ("322", 2)):
        row = defects.choose(CLINIC, 1, bed_location=bed)[0]
        row["receptacles_on_yoke"] = faces
        defects.note("bed-receptacle-count", bed, [row])


def reach(defects):
    """The accessibility rule, which an audit runs only when it is named."""
    for file, count, height, where in (
            (HALL, 2, inches(10), {"room": "141"}), (CLINIC, 2, inches(52), {"room": "250"}),
            (LIGHTS, 1, inches(54), {"building": "Ondravell Clinic"}),
            (WORKS, 1, inches(60), {"room": "Machine hall", "mounting_location": "wall"})):
        defects.seed("reach-range", file, count, {"height": height, "reach_exempt": False}, **where)


def questions(defects):
    """What the code leaves to the authority having jurisdiction."""
    def ask(rules, file, count, facts, **where):
        defects.seed(rules, file, count, facts, AUTHORITY, **where)

    ask("work-surface-listing", HALL, 4, {"listed_for": ("none",)}, room="204", facing="side",
        mounting_location="work-surface")
    ask("work-surface-listing", CLINIC, 3, {"listed_for": ("furniture-power",)}, room="240",
        mounting_location="work-surface")
    ask("face-up-surface", WORKS, 2, {"facing": "up"}, mounting_location="work-surface")
    ask("face-up-surface", HALL, 2, {"facing": "tilted"}, room="120",
        mounting_location="countertop")
    ask("face-up-seating", HALL, 2, UP_UNLISTED, mounting_location="furniture")
    ask("wall-gap", CLINIC, 3, {"wall_gap": inches("0.25")}, room="135", surface="vinyl")
    ask("box-set-back", CLINIC, 2, {"box_set_back": inches("0.125"), "yoke_seat": "surface"},
        room="136", surface="vinyl", **BOXED)
    ask("pendant-box", WORKS, 2, {"hub": False}, mounting_location="pendant")
    ask("device-screws", WORKS, 2, {"device_screw": "other", "threads_per_inch": None},
        room="Boiler room", mounted_on="box")
    ask("gfci-other", WORKS, 3, {"gfci": False}, room="Yard")
    ask("receptacle-circuit-rating", HOUSE, 2, {"configuration": "5-20R"}, room="1003",
        room_use="living")


def unknown_facts(defects):
    """Cells that nobody filled, or filled with a word for not knowing."""
    spoil = defects.spoil
    survey = ("box_set_back", "yoke_seat", "wall_gap", "device_screw", "threads_per_inch",
              "face_projection", "faceplate_material", "bonding", "clamps")
    for file, where in ((HALL, {"room": {"B-01", "B-03"}}), (HOUSE, {"room": "S01"}),
                        (WORKS, {"room": "220"}), (CLINIC, {"room": "148"})):
        for row in defects.choose(file, 3, **where):
            change(row, {name: None for name in survey})
    for file, room, words in ((HALL, "132", ("n/a", "?")), (CLINIC, "136", ("?", "TBD")),
                              (HOUSE, "1008", ("?", "-")), (WORKS, "Vehicle bay", ("n/a", "?"))):
        for field in ("gfci", "box_fastened", "box_set_back"):
            for word in words:
                spoil(file, 1, field, word, fault=False, room=room, mounting_location="wall",
                      device="receptacle")
    spoil(CLINIC, 2, "volts", "#N/A", fault=False, room="252")
    for row in defects.choose(HALL, 3, room="320", mounting_location="floor"):
        change(row, {"panel": None, "circuit": None, "supply": None, "system": None})
    for edition in (None, "other"):
        for row in defects.choose(LIGHTS, 3, building="Tessorwold Hall", device="switch"):
            change(row, {"edition": edition})
    for file, room, field in ((HALL, "214", "barrier"), (CLINIC, "133", "barrier")):
        change(defects.choose(file, 1, room=room, enclosure_id=some)[0], {field: None})


def unreadable_cells(defects):
    """Texts that no reader can take for a value; each stands in the list of faults."""
    spoil = defects.spoil
    for count, field, text, room in (
            (3, "height", "18", "140"), (1, "configuration", "5-40R", "140"),
            (1, "configuration", "5-20P", "140"), (2, "box_set_back", "see photo", "110"),
            (1, "wall_gap", "hairline", "110"), (1, "gfci", "upstream", "120"),
            (1, "receptacles_on_yoke", "double", "140"), (1, "surface", "TBC by designer", "110")):
        spoil(HALL, count, field, text, room=room, mounting_location="wall", configuration="5-20R")
    repeated = defects.choose(HALL, 2, room="B-06")
    repeated[1]["outlet_id"] = repeated[0]["outlet_id"]
    defects.faults.append((HALL, repeated[0]["outlet_id"], "outlet_id", "used twice"))
    nameless = defects.choose(HALL, 1, room="B-11")[0]
    del nameless["outlet_id"]
    defects.faults.append((HALL, "", "outlet_id", "missing"))
    for day in (datetime.date(2025, 1, 3), datetime.date(2025, 2, 4)):
        spoil(CLINIC, 1, "circuit", day, room="251")
    spoil(CLINIC, 2, "box_set_back", inches(12), room="146", **BOXED)
    spoil(CLINIC, 1, "surface", "see ID dwgs", room="146")
    spoil(HOUSE, 2, "height", "env. 450", room="213", room_use="bedroom")
    spoil(HOUSE, 1, "phases", "N", room="214", room_use="bathroom")
    spoil(HOUSE, 1, "wall_gap", "petit", room="Salle à manger")
    spoil(WORKS, 2, "height", "18", room="205")
    spoil(WORKS, 2, "box", "junction", room="Machine hall", mounted_on="box")
    spoil(WORKS, 1, "observed_on", "last Tuesday", room="206")
    spoil(LIGHTS, 1, "phases", "N", building="Tessorwold Hall")
    odd = defects.choose(HOUSE, 1, room="215", enclosure_id=some)[0]
    odd["ground_wires"] = 3
    defects.faults.append((HOUSE, odd["outlet_id"], "ground_wires", "rows of one box disagree"))
