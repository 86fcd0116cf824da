"""The buildings of Mellorbrisk, an invented campus: their rooms, panels, companies and devices.

Nothing here is real: no campus, building, company or person of these names is known to us. Every row
complies; what is wrong with the campus is in defects.py.
"""

from model import Dice, Panel, Schedule, feet, inches, millimetres

HALL, CLINIC, HOUSE, WORKS = "Tessorwold Hall", "Ondravell Clinic", "Quennifold House", "Harbrisk Works"
HALL_FILE = "tessorwold-hall.csv"
CLINIC_FILE = "ondravell-clinic-power.xlsx"
HOUSE_FILE = "quennifold-house.csv"
WORKS_FILE = "harbrisk-works.ods"
LIGHTING_FILE = "lighting-controls.xlsx"


def build():
    """Every schedule of the campus, in the order of the files' names."""
    dice = Dice("Mellorbrisk")
    lighting = Schedule(LIGHTING_FILE, dice, trade="Lighting", installer="Luxarrend Controls",
                        work="new", mounting_location="wall")
    works = harbrisk_works(dice)
    clinic = ondravell_clinic(dice, lighting)
    house = quennifold_house(dice)
    hall = tessorwold_hall(dice, lighting)
    return [works, lighting, clinic, house, hall]


def lighting_bank(lighting, place, panel, gangs, same_phase=True, **facts):
    """A box of lighting switches at 277 V; on one phase, or on several with secured dividers."""
    room = place["room"]
    box = lighting.identify(f"GB-{room}") if gangs > 1 else None
    circuit = panel.circuit(neutral=False)
    for gang in range(1, gangs + 1):
        if gang > 1 and not same_phase:
            panel.next_phase()
            circuit = panel.circuit(neutral=False)
        device = "sensor" if gangs == 1 and lighting.dice.chance(0.3) else "switch"
        lighting.add(outlet_id=lighting.identify(f"S-{room}"), device=device, height=inches(46),
                     enclosure_id=box, gang=gang if box else None, device_wire=12, faceplate=True,
                     barrier="none" if same_phase else "secured", **place, **circuit, **facts)


def shared_box(schedule, lighting, place, feed, lights, barrier, **facts):
    """A receptacle and the lighting contractor's switch in one box: two rows of two files."""
    box = schedule.identify(f"MB-{place['room']}")
    received = schedule.receptacle(f"R-{place['room']}", feed, **place, **facts, enclosure_id=box,
                                   gang=1, barrier=barrier, **schedule.gang_box(2))
    switch_place = {name: place[name] for name in ("building", "floor", "room", "edition")}
    lighting.add(outlet_id=lighting.identify(f"S-{place['room']}"), device="switch",
                 height=inches(46), enclosure_id=box, gang=2, device_wire=12, faceplate=True,
                 **switch_place, **lights)
    return received


# ---------------------------------------------------------------- Tessorwold Hall, 2017


def tessorwold_hall(dice, lighting):
    hall = Schedule(HALL_FILE, dice, building=HALL, edition="2017", work="new", trade="Power",
                    occupancy="business", permit_date="2018-04-16", observed_on="2024-09-12",
                    observed_by="I. Marrenti")
    mains = Panel("LP-1", "TH-MAIN", "480Y/277")
    panels = {floor: Panel(f"RP-{floor}", "TH-XF1", "208Y/120") for floor in ("B1", "1", "2", "3")}
    kitchen = Panel("KP-1", "TH-XF1", "208Y/120")
    crew = {"B1": "Orrelfund Power", "1": "Skaldane Electric", "2": "Skaldane Electric",
            "3": "Orrelfund Power", "Roof": "Orrelfund Power"}

    def at(floor, room, use, **facts):
        return {"floor": floor, "room": room, "room_use": use, "installer": crew[floor],
                "in_tub_space": False if use == "bathroom" else None,
                "sink_distance": feet(dice.between(12, 40))} | facts

    def row(place, count, configuration="5-20R", panel=None, **facts):
        panel = panel or panels[place["floor"]]
        load = 180 * facts.get("quantity", 1)
        for _ in range(count):
            hall.receptacle(f"R-{place['room']}", panel.general(place["room"], load), configuration,
                            **place | facts)

    for number in range(1, 7):
        row(at("B1", f"B-{number:02d}", "mechanical" if number < 3 else "storage"), 6,
            surface="concrete" if number < 3 else "gypsum")
    for room in ("B-11", "B-12"):
        row(at("B1", room, "locker-room", sink_distance=feet(8)), 7, surface="tile")
    store = at("B1", "B-20", "other")
    row(store, 10, surface="plywood")
    row(store, 4, mounted_on="cover", box_mount="surface", kind="square", surface="concrete")

    lobby = at("1", "100", "lobby")
    row(lobby, 10, surface="stone")
    row(lobby | {"trade": "Furnishings", "installer": "Corrowan Interiors"}, 8, surface="wood",
        mounting_location="seating", listed_for=("furnishing",), facing="side")
    row(lobby, 4, mounting_location="floor", kind="floor", listed_for=("floor-box",), facing="up",
        surface="stone", height=None)
    theatre = at("1", "110", "auditorium", occupancy="assembly")
    row(theatre, 26, surface="gypsum")
    row(theatre, 14, mounting_location="floor", kind="floor", listed_for=("floor-box",), facing="up",
        surface="concrete", height=None)
    cafe = at("1", "120", "kitchen", sink_distance=feet(9), trade="Kitchen equipment",
              installer="Melliprand Kitchens")
    row(cafe, 16, panel=kitchen, height=inches(44), surface="tile")
    row(cafe | {"sink_distance": feet(4)}, 6, panel=kitchen, height=inches(44), surface="tile",
        serves_countertop=True)
    row(cafe, 8, panel=kitchen, mounting_location="countertop", surface="stone", facing="up",
        listed_for=("countertop",), serves_countertop=True, height=None)
    # Lawful under the edition of this building, and not under the ones since 2020.
    row(cafe | {"sink_distance": feet(2)}, 2, panel=kitchen, mounting_location="sink-base",
        facing="up", dedicated_appliance=True)
    row(cafe, 6, panel=kitchen, mounting_location="pendant", facing="down", box_mount="surface",
        kind="fd", strain_relief=True, hub=True, height=inches(84), reach_exempt=True)
    for _ in range(4):
        hall.receptacle("R-120", kitchen.circuit(30, 3, neutral=True), "L21-30R", 1, **cafe,
                        height=inches(44), surface="tile")
    row(at("1", "125", "buffet", trade="Kitchen equipment", installer="Melliprand Kitchens"), 8,
        panel=kitchen, mounting_location="countertop", listed_for=("countertop", "work-surface"),
        facing="side", surface="laminate", height=None)
    for room in ("130", "132"):
        row(at("1", room, "classroom", occupancy="child-care", sink_distance=feet(10)), 12)
    for room in ("140", "141"):
        row(at("1", room, "corridor"), 8, surface="masonry")
    for floor, room in (("1", "150"), ("1", "152"), ("2", "250"), ("3", "350")):
        row(at(floor, room, "bathroom", sink_distance=feet(3)), 4, surface="tile", height=inches(42))

    for number in range(201, 207):
        bench = at("2", str(number), "laboratory")
        row(bench, 6)
        row(bench, 7, mounting_location="work-surface", listed_for=("work-surface",),
            surface="other", height=None)
        row(bench | {"sink_distance": feet("4.5")}, 3, height=inches(44))
        row(bench, 1, mounting_location="work-surface", listed_for=("countertop",), facing="up",
            surface="stone", height=None, quantity=4)
        for _ in range(2):
            hall.receptacle(f"R-{number}", panels["2"].circuit(20, 2), "6-20R", 1, **bench)
        hall.receptacle(f"R-{number}", panels["2"].circuit(30, 3, neutral=True), "L21-30R", 1,
                        **bench)
    for number in range(211, 215):
        seminar = at("2", str(number), "classroom")
        row(seminar, 9, surface="wood")
        shared_box(hall, lighting, {"building": HALL, "edition": "2017"} | seminar,
                   panels["2"].general(str(number)), mains.circuit(neutral=False), "secured",
                   height=inches(46))
        lighting_bank(lighting, hall_lights("2", str(number)), mains, 3)
    rig = at("2", "220", "laboratory")
    row(rig, 6)
    for barrier in ("none", "none", "secured", "secured", "secured"):
        tested, lights = mains.circuit(), mains.circuit(neutral=False)
        if barrier == "none":
            lights = tested | {"phases": tested["phases"][:1]}
        elif lights["phases"][0] == tested["phases"][0]:
            lights = mains.circuit(neutral=False)
        shared_box(hall, lighting, {"building": HALL, "edition": "2017"} | rig, tested, lights,
                   barrier, configuration="7-20R", faces=1, height=inches(46))
    for number in range(231, 239):
        office = at("2", str(number), "office", trade="Data and power")
        row(office, 4)
        row(office, 1, isolated_ground=True)
        lighting_bank(lighting, hall_lights("2", str(number)), mains, 1)

    for number in range(301, 311):
        room = at("3", str(number), "classroom")
        row(room, 8)
        row(room, 3, controlled=True)
        lighting_bank(lighting, hall_lights("3", str(number)), mains, 2, number % 2 == 0)
    plan = at("3", "320", "office", trade="Data and power")
    row(plan, 16, mounting_location="floor", kind="floor", listed_for=("floor-box",), facing="up",
        surface="concrete", height=None)
    row(plan | {"trade": "Furnishings", "installer": "Corrowan Interiors"}, 12, surface="laminate",
        mounting_location="furniture", listed_for=("furniture-power",), facing="side", height=None,
        mounted_on="assembly", box_mount="surface", kind="square")
    for number in range(331, 339):
        office = at("3", str(number), "office", trade="Data and power")
        row(office, 5)
        lighting_bank(lighting, hall_lights("3", str(number)), mains, 1)
    replaced = at("3", "340", "office", work="replacement", trade="Maintenance",
                  installer="Mellorbrisk Estates", observed_on="2025-02-03")
    for ground in (True, True, False, False, False, False, False, False):
        hall.receptacle("R-340", panels["3"].general("340", amps=15), "5-15R", **replaced
                        | {"ground_present": ground, "gfci": True, "gfci_in_device": ground,
                           "no_ground_label": None if ground else "plate",
                           "gfci_label": None if ground else "receptacle"})

    row(at("Roof", "R-01", "rooftop"), 6, panel=panels["3"], exposure="wet", box_mount="surface",
        kind="fd", surface="masonry", height=inches(24))
    row(at("1", "190", "outdoors"), 8, exposure="wet", kind="fd", surface="masonry",
        box_mount="surface", height=inches(24))
    row(at("1", "191", "outdoors"), 4, exposure="damp", kind="fd", surface="masonry",
        box_mount="surface", height=inches(24))
    return hall


def hall_lights(floor, room):
    return {"building": HALL, "edition": "2017", "floor": floor, "room": room}


# ---------------------------------------------------------------- Ondravell Clinic, 2020


def ondravell_clinic(dice, lighting):
    clinic = Schedule(CLINIC_FILE, dice, building=CLINIC, edition="2020", work="new", trade="Power",
                      installer="Fennordal Power")
    normal = {floor: Panel(f"N{floor}", "OC-T1", "208Y/120") for floor in "123"}
    critical = {floor: Panel(f"CR{floor}", "OC-T2", "208Y/120") for floor in "123"}
    mains = Panel("NL1", "OC-MAIN", "480Y/277")
    headwall = {"trade": "Medical equipment", "installer": "Tolvarrend Care Fittings",
                "mounting_location": "wall", "kind": "square", "height": inches(42)}
    casework = {"trade": "Furnishings", "installer": "Corrowan Interiors", "height": None}

    def at(floor, room, use, **facts):
        occupancy = "outpatient" if floor == "1" else "hospital"
        return {"floor": floor, "room": room, "room_use": use, "occupancy": occupancy,
                "sink_distance": feet(dice.between(12, 30))} | facts

    def row(place, count, configuration="5-20R", panel=None, **facts):
        panel = panel or normal[place["floor"]]
        load = 360 if facts.get("faces") == 4 else 180 * facts.get("quantity", 1)
        for _ in range(count):
            clinic.receptacle(f"P{place['room']}", panel.general(place["room"], load),
                              configuration, **place | facts)

    for room in ("101", "102", "103"):
        waiting = at("1", room, "waiting-room")
        row(waiting, 8)
        row(waiting | casework, 3, mounting_location="seating", listed_for=("furnishing",),
            surface="laminate")
    for number in range(111, 135):
        exam = at("1", str(number), "exam-room")
        row(exam | {"sink_distance": feet("4.5")}, 1, height=inches(44))
        row(exam, 3)
        row(exam | casework, 1, mounting_location="work-surface", listed_for=("work-surface",),
            surface="laminate")
        if number % 2:
            shared_box(clinic, lighting, {"building": CLINIC, "edition": "2020"} | exam,
                       normal["1"].general(str(number)), mains.circuit(neutral=False), "secured",
                       height=inches(46))
        else:
            lighting_bank(lighting, clinic_lights("1", str(number)), mains, 2)
    for room in ("135", "136"):
        row(at("1", room, "corridor"), 8, height=inches(18), surface="vinyl")
    for number in range(141, 149):
        row(at("1", str(number), "office"), 5)
        lighting_bank(lighting, clinic_lights("1", str(number)), mains, 1)
    lounge = at("1", "150", "kitchen")
    row(lounge | {"sink_distance": feet(3)}, 5, height=inches(44), surface="tile",
        mounting_location="wall")
    row(lounge | casework | {"sink_distance": feet(4)}, 4, mounting_location="countertop",
        listed_for=("countertop",), facing="up", surface="stone")
    row(lounge | {"sink_distance": feet(2)}, 3, mounting_location="sink-base", height=None)
    for room in ("160", "161", "260", "360"):
        row(at(room[0], room, "bathroom", sink_distance=feet(2)), 3, surface="tile",
            height=inches(42))
    row(at("1", "190", "outdoors"), 6, exposure="damp", kind="fd", box_mount="surface",
        surface="masonry", height=inches(24))

    for number in range(201, 223):
        ward = at("2", str(number), "patient-sleeping")
        for bed in "AB":
            place = ward | {"bed_location": f"{number}-{bed}", "care_category": "category-2",
                            "hospital_grade": True, "sink_distance": feet(9)}
            row(place | headwall, 2, panel=critical["2"])
            row(place | headwall, 2)
        row(ward, 3)
        lighting_bank(lighting, clinic_lights("2", str(number)), mains, 3, number < 209)
    station = at("2", "240", "office")
    row(station, 8)
    row(station | casework, 6, mounting_location="work-surface", listed_for=("work-surface",),
        surface="laminate")
    for room in ("250", "251", "252"):
        row(at("2", room, "corridor"), 6, surface="vinyl")

    for number in range(301, 309):
        place = at("3", str(number), "patient-sleeping", bed_location=str(number),
                   care_category="category-1", hospital_grade=True, sink_distance=feet(9))
        row(place | headwall, 4, panel=critical["3"])
        row(place | headwall, 3)
        row(at("3", str(number), "patient-sleeping"), 1)
    for room in ("321", "322", "323"):
        theatre = at("3", room, "operating-room", bed_location=room, care_category="category-1",
                     hospital_grade=True)
        row(theatre | headwall, 5, panel=critical["3"], faces=4)
        row(theatre | headwall, 4, faces=4)
        for _ in range(2):
            clinic.receptacle(f"P{room}", critical["3"].circuit(30, 2), "L6-30R", 1, **at(
                "3", room, "operating-room"))
    laboratory = at("3", "330", "laboratory")
    row(laboratory, 8)
    row(laboratory | {"sink_distance": feet(5)}, 3, height=inches(44))
    row(laboratory, 4, isolated_ground=True)
    row(at("3", "340", "mechanical"), 8, surface="masonry", box_mount="surface", mounted_on="cover",
        kind="square")
    row(at("3", "341", "storage"), 6)
    row(at("3", "343", "storage"), 4, quantity=3)
    row(at("Roof", "R-1", "rooftop"), 8, panel=normal["3"], exposure="wet", kind="fd",
        box_mount="surface", surface="metal", height=inches(24))
    row(at("3", "342", "laboratory"), 4, mounting_location="pendant", facing="down", kind="fd",
        box_mount="surface", height=inches(78))
    return clinic


def clinic_lights(floor, room):
    return {"building": CLINIC, "edition": "2020", "floor": floor, "room": room}


# ---------------------------------------------------------------- Quennifold House, 2023


def quennifold_house(dice):
    house = Schedule(HOUSE_FILE, dice, metric=True, building=HOUSE, edition="2023", work="new",
                     trade="Électricité", installer="Électricité Quarvèze",
                     observed_on="2025-06-20", observed_by="K. Thérouval")
    panels = {floor: Panel(f"T{floor}", "QH-T1", "208Y/120") for floor in ("B1", "1", "2")}
    joinery = {"trade": "Menuiserie", "installer": "Ébénisterie Valtrême", "height": None}

    def at(floor, room, use, occupancy="dormitory", **facts):
        return {"floor": floor, "room": room, "room_use": use, "occupancy": occupancy,
                "sink_distance": millimetres(dice.between(30, 90) * 100),
                "tub_distance": millimetres(dice.between(30, 90) * 100)} | facts

    def row(panel, place, count, configuration="5-20R", **facts):
        for _ in range(count):
            house.receptacle(f"P{place['room']}", panel.general(place["room"]), configuration,
                             **place | facts)

    row(panels["B1"], at("B1", "S01", "garage"), 12, surface="concrete")
    row(panels["B1"], at("B1", "Buanderie", "laundry", sink_distance=millimetres(1500)), 8,
        surface="tile")
    row(panels["B1"], at("B1", "Réserve", "storage"), 6, surface="plywood")
    row(panels["B1"], at("B1", "Chaufferie", "mechanical"), 4, surface="concrete",
        box_mount="surface", mounted_on="cover", kind="square")
    kitchen = at("1", "Cuisine commune", "kitchen", sink_distance=millimetres(1200))
    row(panels["1"], kitchen, 8, surface="tile", height=millimetres(1100))
    row(panels["1"], kitchen | joinery, 5, mounting_location="countertop", surface="stone",
        facing="up", listed_for=("countertop",), serves_countertop=True)
    row(panels["1"], kitchen | {"sink_distance": millimetres(600)}, 3, height=None,
        mounting_location="sink-base", dedicated_appliance=True)
    row(panels["1"], at("1", "Salle à manger", "dining"), 8)
    lounge = at("1", "Foyer", "recreation")
    row(panels["1"], lounge, 10, surface="wood")
    row(panels["1"], lounge | joinery, 6, mounting_location="seating", listed_for=("furnishing",),
        surface="fabric")
    row(panels["1"], lounge, 6, mounting_location="floor", kind="floor", surface="wood",
        listed_for=("floor-box",), facing="up", height=None)
    row(panels["1"], at("1", "Accueil", "lobby"), 8)
    row(panels["1"], at("1", "Terrasse", "outdoors"), 5, exposure="wet", kind="fd",
        surface="masonry", box_mount="surface", height=millimetres(600))
    row(panels["1"], at("1", "Porche", "outdoors"), 3, exposure="damp", kind="fd",
        surface="masonry", box_mount="surface", height=millimetres(600))

    for number in range(201, 233):
        room = at("2", str(number), "bedroom")
        row(panels["2"], room, 4, "5-15R")
        row(panels["2"], room | joinery, 1, "5-15R", mounting_location="furniture",
            surface="laminate", listed_for=("furnishing",), kind="device")
        bath = at("2", str(number), "bathroom", sink_distance=millimetres(700),
                  tub_distance=millimetres(1400), tub_rise=millimetres(1000))
        row(panels["2"], bath, 1, surface="tile", height=millimetres(1100))
        ganged_room(house, room, panels["2"])
    for number in range(1001, 1010):
        apartment(house, dice, str(number), at, joinery)
    row(panels["2"], at("10", "Toiture", "rooftop", "dwelling-common"), 5, exposure="wet",
        kind="fd", surface="metal", box_mount="surface", height=millimetres(600))
    return house


def ganged_room(house, room, panel):
    """By the door: two switches and a receptacle at 120 V in one box."""
    box = house.identify(f"B{room['room']}")
    shared = {"enclosure_id": box, "barrier": "none", **house.gang_box(3)}
    feed = panel.general(room["room"])
    for gang in (1, 2):
        house.switch(f"I{room['room']}", feed, **room | shared | {"gang": gang})
    house.receptacle(f"P{room['room']}", feed, "5-15R", **room | shared
                     | {"gang": 3, "height": millimetres(1150)})
    boxed = house.rows[-3:]
    for name in ("surface", "wall_gap", "box_set_back", "box_mount"):
        for row in boxed:
            row[name] = boxed[2][name]


def apartment(house, dice, number, at, joinery):
    """A staff flat: a dwelling with its own panel of 120/240 V."""
    panel = Panel(f"L{number}", "QH-S2", "120/240")

    def row(use, count, **facts):
        place = at("10", number, use, "dwelling")
        for _ in range(count):
            circuit = f"{number} {use}"
            house.receptacle(f"P{number}", panel.general(circuit, amps=facts.get("amps", 20)),
                             **place | facts)

    row("kitchen", 4, sink_distance=millimetres(1100), serves_countertop=True,
        height=millimetres(1100), surface="tile")
    row("kitchen", 1, mounting_location="countertop", listed_for=("countertop",), facing="up",
        surface="stone", **joinery, serves_countertop=True, sink_distance=millimetres(1600))
    row("kitchen", 1, mounting_location="sink-base", height=None, dedicated_appliance=True,
        sink_distance=millimetres(500))
    row("living", 5, configuration="5-15R", amps=15)
    row("bedroom", 4, configuration="5-15R", amps=15)
    row("dining", 2, configuration="5-15R", amps=15)
    row("hallway", 1, configuration="5-15R", amps=15)
    row("bathroom", 2, sink_distance=millimetres(600), tub_distance=millimetres(1300),
        tub_rise=millimetres(900), surface="tile", height=millimetres(1100))
    row("laundry", 1, sink_distance=millimetres(1500))
    row("outdoors", 1, exposure="wet", surface="masonry", kind="fd", box_mount="surface",
        height=millimetres(600))
    for use, amps, configuration in (("kitchen", 50, "14-50R"), ("laundry", 30, "14-30R")):
        house.receptacle(f"P{number}", panel.circuit(amps, 2, neutral=True), configuration, 1,
                         **at("10", number, use, "dwelling"), gfci=True)
    for use in ("living", "bedroom", "hallway"):
        feed = panel.general(f"{number} {use}", 0, amps=15)
        house.switch(f"I{number}", feed, **at("10", number, use, "dwelling"))


# ---------------------------------------------------------------- Harbrisk Works, 2014


def harbrisk_works(dice):
    works = Schedule(WORKS_FILE, dice, building=WORKS, edition="2014", work="new",
                     trade="Plant electrical", installer="Bruckhollow Plant Electric",
                     observed_on="2024-11-05", observed_by="J. Olvassy")
    power = {floor: Panel(f"DP-{floor}", "HW-T1", "208Y/120") for floor in ("B1", "1", "2")}
    mains = Panel("MP-1", "HW-SVC", "480Y/277")

    def at(floor, room, use, occupancy="industrial", **facts):
        return {"floor": floor, "room": room, "room_use": use, "occupancy": occupancy,
                "in_tub_space": False if use in ("bathroom", "locker-room") else None,
                "sink_distance": feet(dice.between(15, 60))} | facts

    def row(place, count, configuration="5-20R", panel=None, **facts):
        panel = panel or power[place["floor"] if place["floor"] in power else "2"]
        for _ in range(count):
            works.receptacle("HW", panel.general(place["room"]), configuration, **place | facts)

    plant = {"box_mount": "surface", "kind": "fd", "surface": "concrete", "height": inches(42)}
    row(at("B1", "Pump room", "mechanical"), 16, **plant)
    row(at("B1", "Boiler room", "mechanical"), 14, **plant)
    row(at("B1", "Cable vault", "basement-unfinished"), 8, **plant)
    row(at("B1", "Stores", "storage"), 10, surface="plywood")
    hall = at("1", "Machine hall", "other")
    row(hall, 30, **plant)
    row(hall, 12, surface="concrete", box_mount="surface", mounted_on="cover", kind="square")
    row(hall, 10, mounting_location="pendant", facing="down", kind="fd", box_mount="surface",
        strain_relief=True, hub=True, height=inches(90), reach_exempt=True)
    for _ in range(8):
        works.receptacle("HW", mains.circuit(30, 3, neutral=False), "L16-30R", 1,
                         **hall | plant | {"kind": "large"})
    for _ in range(8):
        works.receptacle("HW", power["1"].circuit(30, 2), "L6-30R", 1, **hall | plant
                         | {"kind": "large"})
    row(at("1", "Vehicle bay", "service-bay"), 14, **plant)
    row(at("1", "Bench shop", "other"), 14, mounting_location="work-surface", surface="plywood",
        listed_for=("work-surface",), height=None)
    row(at("1", "Changing room", "locker-room", sink_distance=feet(7)), 8, surface="tile")
    row(at("1", "Showers", "bathroom", sink_distance=feet(4)), 6, surface="tile", height=inches(42))
    row(at("1", "Break room", "kitchen", sink_distance=feet(4)), 8, surface="tile",
        height=inches(44), serves_countertop=True)
    row(at("1", "Yard", "outdoors"), 10, exposure="wet", **plant | {"height": inches(24)})
    for room in ("201", "202", "203", "204", "205", "206"):
        row(at("2", room, "office", "business"), 6)
    replaced = at("2", "210", "office", "business", work="replacement", trade="Maintenance",
                  installer="Mellorbrisk Estates")
    for ground in (True, True, True, False, False, False, False, False, False):
        works.receptacle("HW", power["2"].general("210", amps=15), "5-15R", **replaced
                         | {"ground_present": ground, "gfci": True, "gfci_in_device": ground,
                            "no_ground_label": None if ground else "receptacle",
                            "gfci_label": None if ground else "receptacle"})
    row(at("2", "220", "storage"), 8)
    row(at("Roof", "Fan deck", "rooftop"), 10, exposure="wet", **plant | {"height": inches(24)})
    row(at("Roof", "Plant canopy", "rooftop"), 4, exposure="damp", **plant | {"height": inches(24)})
    test_bay(works, at)
    return works


def test_bay(works, at):
    """Motor test bay: 480 V and 120 V receptacles in one box behind secured dividers."""
    bay = at("1", "Test bay", "other")
    delta = Panel("TP-2", "HW-OLD", "480-delta-corner")
    wye = Panel("TP-1", "HW-T1", "208Y/120")
    high = Panel("TP-3", "HW-T3", "240/120-high-leg")
    shared = {"surface": "concrete", "box_mount": "surface", "height": inches(42)}
    for _ in range(5):
        box = {"enclosure_id": works.identify("TB"), **works.gang_box(2)}
        hot = {**delta.circuit(20, 1, 480, neutral=False), "phases": ("A", "B"),
               "individual_circuit": True}
        works.receptacle("HW", hot, "L8-20R", 1, **bay | shared | box,
                         gang=1, barrier="secured")
        works.receptacle("HW", wye.general("Test bay"), **bay | shared | box, gang=2)
    for _ in range(4):
        feed = {**high.circuit(20, 1, 120), "phases": ("A", "N")}
        works.receptacle("HW", feed, **bay | shared, kind="fd")
