"""The Parquet tables and the JSON lines of the sample audit, read back by DuckDB.

    python parquet.py PROGRAM

Checks rows, sums and every cell against the CSV files of the same audit, the same bytes for any number of
threads, and the query over many audits that DEVELOPERS.md shows. DuckDB is independent of the library that
wrote the tables.
"""

import csv
import re
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

import duckdb

ROOT = Path(__file__).resolve().parents[2]
TABLES = ["outlets", "findings", "tallies"]


def audit(program, folder, threads, as_of="2026-03-31"):
    """One audit of the sample schedules with every output that holds findings."""
    folder.mkdir(parents=True)
    outputs = ["--findings", folder / "findings.csv", "--verdicts", folder / "verdicts.csv",
               "--jsonl", folder / "findings.jsonl", "--parquet", folder / "tables",
               "--html", folder / "audit.html", "--no-workbook"]
    run = [program, "audit", "sample-data/schedules", "--project", "Campus", "--as-of", as_of,
           "--threads", str(threads), "--quiet", *map(str, outputs)]
    done = subprocess.run(run, cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 1, done.stderr


def rows(path):
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def as_cell(value):
    """A value of a table as the CSV file writes it, without the guard."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ";".join(value)
    return str(value)


def same_bytes(one, other):
    files = sorted(path.relative_to(one) for path in one.rglob("*") if path.is_file())
    assert len(files) == 8, files
    for file in files:
        assert (one / file).read_bytes() == (other / file).read_bytes(), f"{file} differs by threads"


def findings(db, folder):
    written = rows(folder / "findings.csv")
    table = db.execute(f"select * from '{folder}/tables/findings.parquet'")
    names = [column[0] for column in table.description]
    read = table.fetchall()
    assert len(written) == len(read) > 200
    assert names == list(written[0])
    for line, record in zip(read, written):
        for name, value in zip(names, line):
            assert as_cell(value) == record[name].removeprefix("'"), (name, value, record)
    # The JSON lines hold the same; DuckDB guesses their types by itself.
    for columns in [", ".join(f'"{name}"' for name in names[:22]), "row, cells, others, edition, quantity, observed_by, source, sheet"]:
        lines = db.execute(f"select {columns} from read_json('{folder}/findings.jsonl')").fetchall()
        table = db.execute(f"select {columns} from '{folder}/tables/findings.parquet'").fetchall()
        assert lines == table, columns
    return written


def outlets(db, folder, written):
    table = f"'{folder}/tables/outlets.parquet'"
    judged = {(row["source"], row["sheet"], row["row"]) for row in rows(folder / "verdicts.csv")
              if row["subject_kind"] == "outlet"}
    count, violations = db.execute(f"select count(*), sum(violations) from {table}").fetchone()
    assert count == len(judged) > 2000, (count, len(judged))
    assert violations == sum(row["verdict"] == "violates" for row in written)
    # A length of the table, exact, is the one that the finding prints in millimetres.
    deep = db.execute(
        f"""select f.measured, o.box_set_back_nm
            from '{folder}/tables/findings.parquet' f join {table} o
            on f.source = o.source and f.sheet is not distinct from o.sheet and f.row = o.row
            where f.rule = 'box-set-back' and f.verdict = 'violates'""").fetchall()
    assert deep
    for measured, nanometres in deep:
        assert measured.split(" mm")[0] == f"{nanometres / 1e6:.3f}".rstrip("0").rstrip("."), (measured, nanometres)
    # Types are those of the facts.
    kinds = {name: kind for name, kind, *_ in db.execute(f"describe select * from {table}").fetchall()}
    wanted = {"building": "VARCHAR", "quantity": "BIGINT", "gfci": "BOOLEAN", "height_nm": "BIGINT",
              "volts_mv": "BIGINT", "circuit_amps_ma": "BIGINT", "box_volume_e4": "BIGINT",
              "box_volume_unit": "VARCHAR", "listed_for": "VARCHAR[]", "observed_on": "DATE",
              "blank": "VARCHAR[]", "unreadable": "VARCHAR[]", "violations": "BIGINT", "row": "BIGINT"}
    for name, kind in wanted.items():
        assert kinds[name] == kind, (name, kinds[name])
    volts = db.execute(f"select distinct volts_mv from {table} where volts_mv is not null").fetchall()
    assert (120_000,) in volts and (277_000,) in volts, volts
    # A fact is known, or it is in one of the two lists, or its schedule has no column for it.
    both = db.execute(
        f"""select count(*) from {table}
            where (gfci is not null and (list_contains(blank, 'gfci') or list_contains(unreadable, 'gfci')))
               or (list_has_any(blank, unreadable))""").fetchone()
    assert both == (0,), both
    assert db.execute(f"select sum(len(unreadable)) from {table}").fetchone()[0] > 0


def tallies(db, folder):
    counted = Counter((row["rule"], row["verdict"]) for row in rows(folder / "verdicts.csv"))
    table = db.execute(
        f"select rule, verdict, count, project, audited_on from '{folder}/tables/tallies.parquet'").fetchall()
    assert {(rule, verdict): count for rule, verdict, count, *_ in table if count} == dict(counted)
    assert {(project, str(day)) for *_, project, day in table} == {("Campus", "2026-03-31")}


def many_audits(db, program, parent, written):
    """The query of DEVELOPERS.md adds up what the audits hold."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    queries = re.findall(r"```sql\n(.*?)```", text, re.DOTALL)
    assert len(queries) == 2, "DEVELOPERS.md shows two queries"
    for day in ["2026-03-31", "2026-06-30"]:
        audit(program, parent / "audits" / day, 2, day)
    here = [query.replace("'audits/", f"'{parent}/audits/") for query in queries]
    by_day = db.execute(here[0]).fetchall()
    violates = sum(row["verdict"] == "violates" for row in written)
    sums = Counter()
    for day, *_, violations in by_day:
        sums[str(day)] += violations
    assert sums == {"2026-03-31": violates, "2026-06-30": violates}, sums
    by_trade = db.execute(here[1]).fetchall()
    assert sum(count for *_, count in by_trade) == 2 * violates, by_trade


def main():
    program = str(Path(sys.argv[1]).resolve())
    db = duckdb.connect()
    with tempfile.TemporaryDirectory() as parent:
        parent = Path(parent)
        folder = parent / "one"
        audit(program, folder, 1)
        audit(program, parent / "three", 3)
        same_bytes(folder, parent / "three")
        written = findings(db, folder)
        outlets(db, folder, written)
        tallies(db, folder)
        many_audits(db, program, parent, written)
    print(f"tables: {len(written)} findings read back by DuckDB {duckdb.__version__}, equal to the CSV files")


main()
