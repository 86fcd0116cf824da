"""What happened after the first audit of Tessorwold Hall: a survey that came back, rulings of the
authority, lists of corrections that came back, the next revision of the schedule.

Everything is invented. Owns what each file says; the rows come from the schedule of the hall as its file
says them, so that nothing here can drift away from it.
"""

import csv
import io

HALL = "Tessorwold Hall"

# Seen on the walk, by outlet: the header of the survey and what was written there.
SEEN = {
    "R-B-01-02": {"box_set_back (in)": "0", "yoke_seat": "box", "wall_gap (in)": "1/16",
                  "bonding": "jumper", "clamps": "yes", "device_screw": "supplied",
                  "faceplate_material": "metal", "face_projection (in)": "0.02"},
    "R-B-01-03": {"box_set_back (in)": "3/8", "yoke_seat": "loose", "wall_gap (in)": "1/16",
                  "bonding": "jumper", "clamps": "yes", "device_screw": "supplied",
                  "faceplate_material": "metal", "face_projection (in)": "0.02"},
    "R-110-04": {"box_set_back (in)": "1/8"},
    "R-110-05": {"box_set_back (in)": "5/16"},
    "R-110-06": {"wall_gap (in)": "1/16", "bonding": "jumper"},
    "R-132-03": {"box_fastened": "yes"},
    "R-132-04": {"box_fastened": "no"},
    "R-132-05": {"box_set_back (in)": "3/16", "bonding": "none"},
    # A grey cell that was found to be wrong.
    "R-211-05": {"box_set_back (in)": "1/8"},
}
ASKED = ["box_set_back (in)", "yoke_seat", "wall_gap (in)", "bonding", "clamps", "box_fastened",
         "device_screw", "faceplate_material", "face_projection (in)"]

RULINGS = [
    ["rule", "outlet_id", "building", "floor", "room", "ruling", "by", "reference", "date", "until"],
    ["face-position", "", HALL, "1", "100", "approved", "Board of Electrical Safety", "BES-2026-014",
     "2026-02-16", "2027-02-16"],
    ["box-fill", "", HALL, "B1", "B-05", "approved", "Board of Electrical Safety", "BES-2025-201",
     "2025-03-03", "2026-03-03"],
    ["face-up-surface", "R-120-25", HALL, "", "", "approved", "Board of Electrical Safety",
     "BES-2026-015", "2026-02-16", ""],
    ["face-up-surface", "R-120-26", HALL, "", "", "refused", "Board of Electrical Safety",
     "BES-2026-016", "2026-02-16", ""],
    ["controlled-mark", "", HALL, "3", "", "deferred", "Board of Electrical Safety", "BES-2026-017",
     "2026-02-16", ""],
    ["wet-cover", "R-190-07", HALL, "", "", "approved", "Board of Electrical Safety", "BES-2026-018",
     "2026-02-16", ""],
]

# What the lists that came back claim: rule, outlets.
CLAIMED = [
    ("device-screws", [f"R-301-0{n}" for n in range(1, 9)]),
    ("gfci-other", ["R-120-01", "R-201-14", "R-201-15"]),
    ("wall-gap", ["R-110-01", "R-110-02"]),
    ("box-cover", ["R-B-03-01"]),
]

# The next revision: outlet, field, what it says now. An empty text is a cell that was cleared.
REVISED = [
    *((f"R-301-0{n}", "device_screw", "supplied") for n in range(1, 8)),
    ("R-120-01", "gfci", "yes"),
    ("R-201-14", "gfci", "yes"),
    ("R-201-15", "gfci", "yes"),
    ("R-110-01", "wall_gap", "0.0625 in"),
    ("R-110-02", "wall_gap", ""),
    ("R-B-03-01", "faceplate", "yes"),
    # Nobody claims to have worked in the seminar room, and yet on one day five set-backs are right.
    *((f"R-211-0{n}", "box_set_back", "0 in") for n in range(1, 6)),
    *((f"R-211-0{n}", "observed_on", "2026-05-04") for n in range(1, 6)),
    ("R-334-03", "bonding", "jumper"),
    # Something went wrong that was right.
    ("R-302-01", "box_fastened", "no"),
]
RENAMED = {"R-340-01": "R-340-21"}
GONE = {"R-B-20-11"}


def rows_of(content):
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))


def table(lines):
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(lines)
    return text.getvalue().encode("utf-8")


def survey(rows):
    """The survey as a spreadsheet program saved it, with what was seen filled in."""
    by_name = {row["outlet_id"]: row for row in rows}
    lines = [["building", "floor", "room", "outlet_id", *ASKED, "observed_on", "observed_by",
              "evidence", "known_before"]]
    for number, (outlet, seen) in enumerate(SEEN.items(), 1):
        row = by_name[outlet]
        known = {name: value for name, value in row.items() if value}
        cells = [seen.get(header, known.get(header.split(" ")[0], "")) for header in ASKED]
        record = "\n".join(f"{name}={value}" for name, value in known.items())
        lines.append([row["building"], row["floor"], row["room"], outlet, *cells, "2026-04-21",
                      "L. Quistrel", f"walk-2026-04-21/{number:03}.jpg", record])
    return table(lines)


def corrected(rows):
    """A list of corrections that came back, as a spreadsheet program saved it."""
    by_name = {row["outlet_id"]: row for row in rows}
    lines = [["Outlet", "Corrected by", "Date", "Initials", "Photo", "Match: rule", "Match: building",
              "Match: outlet_id", "Match: row"]]
    places = {row["outlet_id"]: place for place, row in enumerate(rows, 2)}
    for rule, outlets in CLAIMED:
        for outlet in outlets:
            lines.append([outlet, "Orrelfund Power", "2026-05-02", "tk", "", rule,
                          by_name[outlet]["building"], outlet, places[outlet]])
    return table(lines)


def revision(rows):
    """The schedule as its next revision says it."""
    changed = {(outlet, field): value for outlet, field, value in REVISED}
    lines = [list(rows[0])]
    for row in rows:
        outlet = row["outlet_id"]
        if outlet in GONE:
            continue
        now = {field: changed.get((outlet, field), value) for field, value in row.items()}
        now["outlet_id"] = RENAMED.get(outlet, outlet)
        lines.append(list(now.values()))
    return table(lines)


def files(hall):
    """Name and content of each file, from the content of the hall's schedule."""
    rows = rows_of(hall)
    renamed = [["building", "before", "after"], *([HALL, *pair] for pair in RENAMED.items())]
    return {
        "survey-filled-in.csv": survey(rows),
        "rulings.csv": table(RULINGS),
        "corrected/power-corrections.csv": corrected(rows),
        "tessorwold-hall-next.csv": revision(rows),
        "renamed.csv": table(renamed),
    }
