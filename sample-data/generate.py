#!/usr/bin/env python3
"""Makes the sample data again: the schedules, the list of what is wrong in them, and its table.

    python3 generate.py                      the schedules, what followed, seeded.csv, tables of README.md
    python3 generate.py --canonical OUT.csv  every row as one file with the field names as headers

All of it is invented: campus, buildings, companies, people and outlets. It shows a program at work; it
is evidence of nothing about any place, and no guide to work on an installation. Only the standard
library is used, and the same Python writes the same bytes on every machine (another build of zlib may
compress the workbooks differently; what they hold is the same).
"""

import argparse
import sys
from collections import Counter
from pathlib import Path

sys.dont_write_bytecode = True

import follow_up  # noqa: E402
import shapes  # noqa: E402
from campus import build  # noqa: E402
from defects import seed_all  # noqa: E402
from formats import text_file, write  # noqa: E402

HERE = Path(__file__).resolve().parent
SEEDED = ["rule", "verdict", "subject", "building", "source"]


def canonical(schedules):
    """Every row with what its file says of it, and the constants that its mapping adds."""
    rows = []
    for schedule in schedules:
        told = {column.field for column in shapes.SHAPES[schedule.file].columns}
        told |= set(schedule.constants) | {"building", "floor"}
        rows += [{name: fact for name, fact in row.items() if name in told}
                 for row in schedule.rows]
    return text_file(shapes.CANONICAL.table(rows))


def summary(defects, verdict):
    """A table of the rules with this verdict: how often, and in which files."""
    counts, places = Counter(), {}
    for rule, its, _, _, source in defects.seeded:
        if its == verdict:
            counts[rule] += 1
            places.setdefault(rule, Counter()).update(source.split(";"))
    lines = [f"| rule | {verdict} | where |", "|---|---|---|"]
    for rule in sorted(counts):
        where = ", ".join(f"`{file}` {count}" for file, count in sorted(places[rule].items()))
        lines.append(f"| `{rule}` | {counts[rule]} | {where} |")
    return "\n".join([*lines, f"| all | {sum(counts.values())} | |"])


def fault_table(defects):
    lines = ["| file | outlet | field | what stands there |", "|---|---|---|---|"]
    lines += [f"| `{file}` | {outlet or 'nameless'} | {field} | {text} |"
              for file, outlet, field, text in defects.faults]
    return "\n".join(lines)


def file_table(schedules):
    lines = ["| file in `schedules` | rows | columns | what it looks like |", "|---|---|---|---|"]
    for schedule in schedules:
        shape = shapes.SHAPES[schedule.file]
        lines.append(f"| `{schedule.file}` | {len(schedule.rows)} | {len(shape.columns)} | "
                     f"{shape.about} |")
    total = sum(len(schedule.rows) for schedule in schedules)
    return "\n".join([*lines, f"| all | {total} | | |"])


def fill(text, name, table):
    """Puts a table between its two marks in the README."""
    start, end = f"<!-- {name} -->\n", f"<!-- end of {name} -->"
    before, rest = text.split(start)
    return before + start + table + "\n" + end + rest.split(end)[1]


def main():
    parser = argparse.ArgumentParser(description="Makes the sample data again.")
    parser.add_argument("--canonical", metavar="OUT.csv", help="write all rows as one file instead")
    arguments = parser.parse_args()
    schedules = build()
    defects = seed_all(schedules)
    if arguments.canonical:
        write(arguments.canonical, canonical(schedules))
        return
    for schedule in schedules:
        write(HERE / "schedules" / schedule.file, shapes.content(schedule))
    hall = (HERE / "schedules" / "tessorwold-hall.csv").read_bytes()
    for name, content in follow_up.files(hall).items():
        write(HERE / "follow-up" / name, content)
    write(HERE / "seeded.csv", text_file([SEEDED, *sorted(defects.seeded)]))
    readme = (HERE / "README.md").read_text(encoding="utf-8")
    for name, table in (("files", file_table(schedules)),
                        ("violations", summary(defects, "violates")),
                        ("questions", summary(defects, "authority")),
                        ("faults", fault_table(defects))):
        readme = fill(readme, name, table)
    write(HERE / "README.md", readme.encode("utf-8"))


if __name__ == "__main__":
    main()
