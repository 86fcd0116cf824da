"""How fast and how large: the program against its floors, on the same files within one run.

    python3 tests/bench/ratios.py [--runs 5] [--small] [--portfolio] [--program PATH]

Builds the release binary and the floors (`floors.rs`), makes the seeded schedules below `target/bench`, and
prints a table of ratios: medians of the runs, floor and program in turn, with the bound and the aim of each.
`--small` takes a tenth of the rows and leaves the largest file out. `--portfolio` adds 200 files of 50,000
rows. Seconds are those of the clock; beside them stands the ratio of processor seconds, which a busy machine
disturbs less. Needs Linux, for the peak of memory.
"""

import argparse
import json
import os
import shutil
import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "target" / "bench"


def built():
    """The paths of the program and of the floors."""
    command = ["cargo", "bench", "--no-run", "--bench", "floors", "--message-format", "json"]
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True)
    messages = [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")]
    paths = {message["target"]["name"]: message["executable"]
             for message in messages if message.get("executable")}
    return paths["yokecheck"], paths["floors"]


class Run:
    """One run of a command: seconds, processor seconds, peak of memory in MB, what it printed."""

    def __init__(self, command):
        begin = time.perf_counter()
        child = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        self.printed = child.stdout.read().decode()
        told = child.stderr.read().decode()
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        self.seconds = time.perf_counter() - begin
        self.processor = used.ru_utime + used.ru_stime
        self.megabytes = used.ru_maxrss * 1024 / 1e6
        if child.returncode not in (0, 1):
            sys.exit(f"{' '.join(command)} failed:\n{told}")


def median(runs, what="seconds"):
    return statistics.median(getattr(run, what) for run in runs)


def in_turn(times, *commands):
    """The runs of each command, taken in turn so that a busy moment hits all of them."""
    runs = [[] for _ in commands]
    for _ in range(times):
        for list_of_runs, command in zip(runs, commands):
            list_of_runs.append(Run(command))
    return runs


class Bench:
    def __init__(self, options):
        program, self.floors = built()
        self.program = options.program or program
        self.times = options.runs
        self.scale = 10 if options.small else 1
        FOLDER.mkdir(parents=True, exist_ok=True)
        self.out = FOLDER / "findings.csv"

    def schedule(self, name, rows, violation_in=20):
        """A seeded schedule; made once, under a name that tells its making."""
        stem, ending = name.split(".")
        path = FOLDER / f"{stem}-{rows}-{violation_in}.{ending}"
        if not path.exists():
            part = path.with_name(f"part.{ending}")
            subprocess.run([self.floors, "schedule", str(rows), str(violation_in), "1", str(part)], check=True)
            part.rename(path)
        return path

    def audit(self, path, *more, workbook=False):
        book = ["--out", str(FOLDER / "audit.xlsx")] if workbook else ["--no-workbook"]
        return [self.program, "audit", str(path), "--as-of", "2026-03-31", *book,
                "--findings", str(self.out), "--quiet", *more]

    def tell(self, work, value, bound, aim, unit="x", detail=""):
        state = "aim" if value <= aim else "bound" if value <= bound else "MISSED"
        print(f"{work:<52} {value:>8.2f} {unit:<2}  bound {bound:<5} aim {aim:<5} {state:<7} {detail}", flush=True)

    def csv(self):
        rows = 1_000_000 // self.scale
        path = self.schedule("schedule.csv", rows)
        floor, ours = in_turn(self.times, [self.floors, "read-csv", str(path)], self.audit(path))
        self.against(f"{rows:,} rows of CSV / csv floor", floor, ours, 8, 4)
        self.tell(f"peak memory, {rows:,} rows", median(ours, "megabytes"), 400, 250, "MB")
        heavy = self.schedule("schedule.csv", rows, 2)
        floor, ours = in_turn(self.times, [self.floors, "read-csv", str(heavy)], self.audit(heavy))
        self.against("  the same, every second outlet violating", floor, ours, 8, 4)
        self.tell("  its peak memory", median(ours, "megabytes"), 400, 250, "MB")

    def against(self, work, floor, ours, bound, aim):
        processor = median(ours, "processor") / median(floor, "processor")
        detail = f"{median(ours):.2f} s / {median(floor):.2f} s; processor {processor:.2f} x"
        self.tell(work, median(ours) / median(floor), bound, aim, detail=detail)

    def xlsx(self):
        rows = 100_000 // self.scale
        path = self.schedule("schedule.xlsx", rows)
        floor, ours = in_turn(self.times, [self.floors, "read-xlsx", str(path)], self.audit(path))
        self.against(f"{rows:,} rows of xlsx / calamine floor", floor, ours, 1.4, 1.1)

    def workbook(self):
        """What a workbook costs beyond the same run without one, against writing its cells again."""
        path = self.schedule("schedule.csv", 200_000 // self.scale, 2)
        book, copy = FOLDER / "audit.xlsx", FOLDER / "copy.xlsx"
        without, with_it = in_turn(self.times, self.audit(path), self.audit(path, workbook=True))
        floors = [Run([self.floors, "write-xlsx", str(book), str(copy)]) for _ in range(self.times)]
        floor = statistics.median(float(run.printed) for run in floors)
        ours = median(with_it) - median(without)
        findings = sum(1 for _ in open(self.out, "rb")) - 1
        self.tell(f"writing the workbook, {findings:,} findings", ours / floor, 1.5, 1.2,
                  detail=f"{ours:.2f} s / {floor:.2f} s")

    def linear(self):
        one, ten = (self.schedule("schedule.csv", rows) for rows in (1_000_000, 10_000_000))
        single, tenfold = in_turn(min(self.times, 3), self.audit(one), self.audit(ten))
        self.tell("10,000,000 rows / 1,000,000 rows, time a row", median(tenfold) / median(single) / 10,
                  1.15, 1.0, detail=f"{median(tenfold):.1f} s, {median(tenfold, 'megabytes'):.0f} MB")

    def threads(self):
        path = self.schedule("schedule.csv", 1_000_000 // self.scale)
        one, two = in_turn(self.times, self.audit(path, "--threads", "1"), self.audit(path, "--threads", "2"))
        self.tell("--threads 2 / --threads 1", median(two) / median(one), 0.6, 0.55,
                  detail=f"{median(two):.2f} s / {median(one):.2f} s")

    def start(self):
        small = self.schedule("schedule.csv", 10)
        runs = in_turn(4 * self.times, [self.program, "--help"], self.audit(small))
        for work, list_of_runs in zip(("--help", "a schedule of 10 rows"), runs):
            self.tell(f"start-up: {work}", 1000 * median(list_of_runs), 50, 20, "ms")

    def portfolio(self):
        folder = FOLDER / "portfolio"
        if not folder.exists():
            part = FOLDER / "portfolio-part"
            shutil.rmtree(part, ignore_errors=True)
            part.mkdir()
            for building in range(1, 201):
                path = part / f"building-{building:03}.csv"
                subprocess.run([self.floors, "building", "50000", "20", str(building), str(path)], check=True)
            part.rename(folder)
        run = Run(self.audit(folder))
        self.tell("portfolio of 200 files of 50,000 rows", run.megabytes, 1000, 1000, "MB",
                  detail=f"{run.seconds:.1f} s")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=5, help="runs of each command (5)")
    parser.add_argument("--small", action="store_true", help="a tenth of the rows, without the largest file")
    parser.add_argument("--portfolio", action="store_true", help="200 files of 50,000 rows as well")
    parser.add_argument("--program", help="another build of the program, to compare it")
    parser.add_argument("--only", help="one of csv, xlsx, workbook, linear, threads, start, portfolio")
    options = parser.parse_args()
    names = ["csv", "xlsx", "workbook", "linear", "threads", "start", "portfolio"]
    left_out = {"linear"} if options.small else set()
    left_out |= set() if options.portfolio else {"portfolio"}
    bench = Bench(options)
    for name in [options.only] if options.only else [name for name in names if name not in left_out]:
        getattr(bench, name)()


if __name__ == "__main__":
    main()
