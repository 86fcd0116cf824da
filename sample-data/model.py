"""What the invented campus is made of: rows, panels, circuits, boxes and the facts that comply.

Owns the habits of good work: every row that leaves this module complies with every rule of the
catalogue, or is plainly out of its reach. What is wrong with the campus is seeded in defects.py.

A row is a dictionary by canonical field name. Lengths are millimetres (Decimal), volumes a pair of
figure and unit, yes and no are booleans, lists are tuples; a text in such a field is written as it is.
"""

import random
from decimal import Decimal

TAMPER_OCCUPANCIES = {"dwelling", "dwelling-common", "dormitory", "guest-room", "child-care",
                      "outpatient", "assembly"}
ARC_OCCUPANCIES = {"dwelling", "dormitory", "guest-room"}
GROUND_FAULT_ROOMS = {"bathroom", "garage", "service-bay", "outdoors", "rooftop", "crawl-space",
                      "basement-unfinished", "basement-finished", "laundry", "kitchen",
                      "food-preparation", "buffet", "locker-room"}
WIRE_OF_AMPS = {15: 14, 20: 12, 30: 10, 50: 6}
VOLTS_OF_FAMILY = {"6": 250, "L6": 250, "14": 250, "L21": 208, "7": 277, "L8": 480, "L16": 480}
FIGURES_OF_SYSTEM = {"120/240": (120, 240), "208Y/120": (120, 208), "480Y/277": (277, 480)}


def inches(figure):
    return Decimal(str(figure)) * Decimal("25.4")


def feet(figure):
    return inches(figure) * 12


def millimetres(figure):
    return Decimal(str(figure))


class Dice:
    """The same numbers on every machine: built on random(), which Python keeps stable."""

    def __init__(self, seed):
        self._random = random.Random(seed)

    def chance(self, share):
        return self._random.random() < share

    def pick(self, options):
        return options[int(self._random.random() * len(options))]

    def between(self, low, high):
        return low + int(self._random.random() * (high - low + 1))


class Panel:
    """A panel of one supply; hands out circuits and fills them to four fifths at 180 VA a yoke."""

    def __init__(self, name, supply, system):
        self.name, self.supply, self.system = name, supply, system
        self._next, self._open = 1, {}

    def _conductors(self, poles):
        """Conductors of the next circuit: phases turn from row to row of the panel."""
        turn = (self._next - 1) // 2
        letters = "AC" if self.system == "120/240" else "ABC"
        return tuple(sorted(letters[(turn + step) % len(letters)] for step in range(poles)))

    def next_phase(self):
        """Skips a space, so that the next circuit starts on another phase."""
        self._next += 1

    def circuit(self, amps=20, poles=1, volts=None, neutral=None):
        """A new circuit. With a neutral when it has one pole, unless said otherwise."""
        hots = self._conductors(poles)
        if volts is None:
            volts = FIGURES_OF_SYSTEM[self.system][poles > 1]
        number = ",".join(str(self._next + 2 * step) for step in range(poles))
        self._next += 1 if poles == 1 else 2 * poles
        neutral = poles == 1 if neutral is None else neutral
        return {"panel": self.name, "circuit": number, "supply": self.supply,
                "system": self.system, "phases": hots + (("N",) if neutral else ()),
                "volts": volts, "circuit_amps": amps, "individual_circuit": poles > 1}

    def general(self, place, load=180, amps=20):
        """The circuit of the place that still has room for this load, else a new one."""
        left, circuit = self._open.get((place, amps), (0, None))
        if left < load:
            circuit = self.circuit(amps)
            left = circuit["circuit_amps"] * circuit["volts"] * 4 // 5
        self._open[place, amps] = (left - load, circuit)
        return dict(circuit)


class Schedule:
    """The rows of one file, with how its people measure and what holds for all of them."""

    def __init__(self, file, dice, metric=False, **constants):
        self.file, self.dice, self.metric, self.constants = file, dice, metric, constants
        self.rows, self._counts = [], {}

    def identify(self, prefix):
        self._counts[prefix] = self._counts.get(prefix, 0) + 1
        return f"{prefix}-{self._counts[prefix]:02d}"

    def small(self, eighths, metric):
        """A small length, as the crew reads it: sixteenths of an inch, or whole millimetres."""
        if self.metric:
            return millimetres(self.dice.pick(metric))
        return inches(Decimal(self.dice.pick(eighths)) / 16)

    def add(self, **facts):
        row = {**self.constants, **facts, "file": self.file}
        complete(row)
        self.rows.append(row)
        return row

    def mounting(self, surface="gypsum", mounted_on="box", box_mount="flush"):
        """Set-back, gap, seat, screws and plate of a device that is mounted as it should be."""
        sound = surface in ("gypsum", "plaster", "tile", "concrete", "masonry", "metal")
        back = self.small((0, 0, 0, 1, 2, 3) if sound else (0,), (0, 0, 1, 3, 5) if sound else (0,))
        facts = {"surface": surface, "box_mount": box_mount, "mounted_on": mounted_on}
        if box_mount == "flush":
            facts["box_set_back"] = back
            facts["wall_gap"] = self.small((0, 1, 1, 2), (0, 1, 2, 3))
        if mounted_on == "box":
            seat = "box" if box_mount == "surface" else "surface" if back else "box"
            supplied = self.dice.chance(0.8)
            facts |= {"yoke_seat": seat, "device_screw": "supplied" if supplied else "machine"}
            if not supplied:
                facts["threads_per_inch"] = 32
        if mounted_on == "cover":
            facts |= {"yoke_seat": "cover", "cover_screws": 2}
        return facts | self.plate()

    def plate(self):
        metal = self.dice.chance(0.3)
        out = self.dice.pick((("0.4", "0.5", "1") if metal else ("0", "0.5", "1")))
        out_inches = self.dice.pick((("0.015", "0.02", "0.04") if metal else ("0", "0.02", "0.04")))
        return {"faceplate": True, "faceplate_material": "metal" if metal else "nonmetallic",
                "faceplate_covers": True, "faceplate_seated": True, "terminals_exposed": False,
                "face_projection": millimetres(out) if self.metric else inches(out_inches)}

    def box(self, amps=20, kind=None):
        """A box for one device, with what is in it; every volume has room for its conductors."""
        wire = WIRE_OF_AMPS[amps]
        kind = kind or ("large" if amps > 20 else self.dice.pick(("device", "square", "plastic")))
        through = {10: 4, 6: 3}.get(wire) or self.dice.pick((2, 4))
        facts = {f"wires_{wire}": through, "device_wire": wire, "ground_wires": 2,
                 "ground_wire_size": 10 if wire == 6 else wire, "clamps": self.dice.chance(0.5),
                 "box_fastened": True, "bonding": "self-grounding", "box_material": "metal"}
        if kind == "device":
            facts |= {"box": "device-box", "box_size": "3 x 2 x 3-1/2 device",
                      "box_volume": ("295", "cm3") if self.metric else None}
        elif kind == "square":
            facts |= {"box": "square", "box_size": "4 x 2-1/8 square", "bonding": "jumper",
                      "box_volume": ("497", "cm3") if self.metric else None}
        elif kind == "large":
            facts |= {"box": "square", "box_size": "4-11/16 x 2-1/8 square", "bonding": "jumper",
                      "box_volume": ("689", "cm3") if self.metric else None, "clamps": False}
        elif kind == "fd":
            facts |= {"box": "fd", "clamps": False, "bonding": "jumper",
                      "box_volume": ("295", "cm3") if self.metric else None}
        elif kind == "floor":
            facts |= {"box": "floor-box", "clamps": False, "bonding": "jumper",
                      "box_volume": ("640", "cm3") if self.metric else ("39", "in3")}
        else:
            facts |= {"box": "device-box", "box_material": "nonmetallic", "bonding": None,
                      "box_volume": ("344", "cm3") if self.metric else ("22", "in3")}
        return facts

    def gang_box(self, gangs, wire=12):
        """What several devices in one box share: a masonry box of so many gangs."""
        return {"box": "masonry", "box_size": "3-3/4 x 2 x 3-1/2 masonry", "box_gangs": gangs,
                "box_volume": (str(344 * gangs), "cm3") if self.metric else None,
                f"wires_{wire}": 2 * gangs, "ground_wires": 4, "ground_wire_size": wire,
                "clamps": False, "box_fastened": True, "box_material": "metal"}

    def receptacle(self, prefix, feed, configuration="5-20R", faces=2, amps=None, kind=None,
                   surface="gypsum", mounted_on="box", box_mount="flush", **facts):
        """A receptacle of a room with everything that belongs to it."""
        amps = amps or feed["circuit_amps"]
        own = {"outlet_id": self.identify(prefix), "device": "receptacle", "listed_for": ("none",),
               "configuration": configuration, "receptacles_on_yoke": faces,
               "device_amps": int(configuration.split("-")[1].rstrip("R")),
               "device_volts": VOLTS_OF_FAMILY.get(configuration.split("-")[0], 125),
               "mounting_location": "wall", "facing": "side", "exposure": "dry",
               "height": millimetres(self.dice.pick((400, 450))) if self.metric
               else inches(self.dice.pick((16, 18, 18))),
               "ground_present": True, "isolated_ground": False, "controlled": False}
        mounting = self.mounting(surface, mounted_on, box_mount)
        return self.add(**own | mounting | self.box(amps, kind) | feed | facts)

    def switch(self, prefix, feed, surface="gypsum", device="switch", kind=None, **facts):
        own = {"outlet_id": self.identify(prefix), "device": device, "mounting_location": "wall",
               "exposure": "dry", "height": millimetres(1150) if self.metric else inches(46)}
        mounting = self.mounting(surface)
        for fact in ("mounted_on", "yoke_seat", "device_screw", "threads_per_inch",
                     "face_projection", "faceplate_covers", "faceplate_seated"):
            mounting.pop(fact, None)
        box = self.box(feed["circuit_amps"], kind)
        box.pop("bonding")
        return self.add(**own | mounting | box | feed | facts)


def complete(row):
    """Adds the protection, listing and marking that the place of the row calls for."""
    for name in [name for name, fact in row.items() if fact is None]:
        del row[name]
    near = [row.get(name) for name in ("sink_distance", "tub_distance")]
    near = any(isinstance(length, Decimal) and length < 1900 for length in near)
    receptacle = row["device"] in ("receptacle", "combination")
    exposure = row.get("exposure")
    if receptacle:
        in_scope = near or row.get("room_use") in GROUND_FAULT_ROOMS or exposure in ("damp", "wet")
        row.setdefault("gfci", in_scope)
        small = row.get("configuration") in ("5-15R", "5-20R", "6-15R", "6-20R")
        row.setdefault("tamper_resistant", small and row.get("occupancy") in TAMPER_OCCUPANCIES)
        row.setdefault("weather_resistant", exposure in ("damp", "wet"))
        if exposure == "damp":
            row.setdefault("weather_cover", "closed")
        if exposure == "wet":
            row.setdefault("weather_cover", "in-use")
            row.setdefault("cover_is_hood", True)
            row.setdefault("extra_duty", True)
        if row.get("isolated_ground") is True:
            row.setdefault("isolated_ground_mark", True)
        if row.get("controlled") is True:
            row.setdefault("controlled_mark", "symbol-and-word")
            row.setdefault("controlled_mark_on", "face")
    if row.get("occupancy") in ARC_OCCUPANCIES:
        row.setdefault("afci", True)
    if row.get("box_material") == "nonmetallic":
        row.pop("bonding", None)
    elif receptacle and "box_material" in row:
        row.setdefault("bonding", "self-grounding")
