"""How many instructions an audit takes: the measure of speed that no busy machine disturbs.

    python3 tests/bench/instructions.py [--renew]

Builds the release binary, audits a seeded schedule of 20,000 rows on one thread under callgrind, and fails
where the count is more than 15 % above the one recorded in `instructions.txt`. `--renew` records the count
instead: for a change that is worth its price, or one that made the program faster. Needs valgrind.
"""

import re
import subprocess
import sys
from pathlib import Path

from ratios import FOLDER, built

RECORD = Path(__file__).with_name("instructions.txt")
MOST = 1.15


def counted():
    program, floors = built()
    FOLDER.mkdir(parents=True, exist_ok=True)
    schedule = FOLDER / "counted.csv"
    subprocess.run([floors, "schedule", "20000", "20", "1", str(schedule)], check=True)
    command = ["valgrind", "--tool=callgrind", f"--callgrind-out-file={FOLDER / 'callgrind.out'}",
               program, "audit", str(schedule), "--as-of", "2026-03-31", "--threads", "1",
               "--no-workbook", "--findings", str(FOLDER / "counted-findings.csv"), "--quiet"]
    done = subprocess.run(command, capture_output=True, text=True)
    assert done.returncode == 1, done.stderr
    return int(re.search(r"Collected : (\d+)", done.stderr)[1])


def main():
    count = counted()
    if "--renew" in sys.argv:
        RECORD.write_text(f"{count}\n")
    recorded = int(RECORD.read_text())
    print(f"{count:,} instructions, {count / 20_000:,.0f} a row; {count / recorded:.3f} of the {recorded:,} recorded")
    if count > recorded * MOST:
        sys.exit("more than 15 % above the record: make it faster, or renew the record with --renew and say why")


if __name__ == "__main__":
    main()
