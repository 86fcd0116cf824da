"""Sharded audits add up: the Parquet tables of one audit a building, taken together, are those of one audit of all.

    python shards.py PROGRAM

Three buildings are made from a schedule of the sample, each with other rows of it left out, in a file of its
own. They are audited one by one, as shards on many machines would be, and together. DuckDB, which is
independent of the library that wrote the tables, adds the shards up.
"""

import csv
import subprocess
import sys
import tempfile
from pathlib import Path

import duckdb

ROOT = Path(__file__).resolve().parents[2]
SCHEDULE = ROOT / "sample-data" / "schedules" / "tessorwold-hall.csv"
BUILDINGS = ["North", "East", "South"]


def make_shards(folder):
    """A file a building: all rows but every fifth, sixth or seventh, under another name of the building."""
    with open(SCHEDULE, newline="", encoding="utf-8") as file:
        header, *rows = csv.reader(file)
    place = header.index("building")
    for building, step in zip(BUILDINGS, range(5, 8)):
        kept = [row for number, row in enumerate(rows) if number % step]
        with open(folder / f"{building}.csv", "w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            writer.writerow(header)
            writer.writerows(row[:place] + [building] + row[place + 1:] for row in kept)


def audit(program, folder, tables, *inputs):
    run = [program, "audit", *inputs, "--as-of", "2026-03-31", "--no-workbook", "--quiet", "--parquet", tables]
    done = subprocess.run(run, cwd=folder, capture_output=True, text=True)
    assert done.returncode == 1, done.stderr


def same(db, what, one, other):
    """Both queries give the same lines, each as often."""
    count = db.execute(f"select count(*) from ({one})").fetchone()[0]
    assert count > 100, (what, count)
    for left, right in [(one, other), (other, one)]:
        more = db.execute(f"({left}) except all ({right})").fetchall()
        assert not more, (what, more[:3])
    return count


def main():
    program = str(Path(sys.argv[1]).resolve())
    db = duckdb.connect()
    with tempfile.TemporaryDirectory() as parent:
        parent = Path(parent)
        (parent / "schedules").mkdir()
        (parent / "shards").mkdir()
        make_shards(parent / "schedules")
        audit(program, parent, "single", "schedules")
        for building in BUILDINGS:
            audit(program, parent, f"shards/{building}", f"schedules/{building}.csv")
        table = lambda folder, name: f"read_parquet('{parent}/{folder}/{name}.parquet')"
        lines = [same(db, name, f"from {table('single', name)}", f"from {table('shards/*', name)}")
                 for name in ["outlets", "findings"]]
        tallies = "select rule, defect_type, grade, verdict, sum(count) from {} group by all"
        same(db, "tallies", tallies.format(table("single", "tallies")),
             tallies.format(table("shards/*", "tallies")))
    print(f"shards: {len(BUILDINGS)} of them add up to {lines[0]} outlets and {lines[1]} findings of the single audit")


main()
