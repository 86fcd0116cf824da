"""Intervals, sample sizes and estimates, computed a second time by scipy and statsmodels.

    python sampling.py PROGRAM [CARGO TEST OPTION...]

Asks the test `grid` of tests/sampling for a random grid that a seed repeats, and compares every answer to
1e-9. Repeats a draw with a ChaCha20 of its own. Measures by simulation how often the interval of a
stratified sample holds, beside the usual one, p_st +- z SE.
"""

import csv
import json
import math
import os
import random
import struct
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import openpyxl
from scipy import stats
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

ROOT = Path(__file__).resolve().parents[2]
CONFIDENCES = [0.8, 0.9, 0.95, 0.99, 0.999]
CLOSE = 1e-9
SEED = 20260331


def ask(questions, options):
    """The program's answers, one list of numbers a question."""
    with tempfile.TemporaryDirectory() as folder:
        asked, answers = Path(folder, "asked.jsonl"), Path(folder, "answers.jsonl")
        asked.write_text("".join(json.dumps(question) + "\n" for question in questions))
        run = ["cargo", "test", *options, "--quiet", "--test", "sampling", "--",
               "--ignored", "--exact", "grid::answers"]
        names = {"YOKECHECK_QUESTIONS": str(asked), "YOKECHECK_ANSWERS": str(answers)}
        done = subprocess.run(run, cwd=ROOT, capture_output=True, text=True, env={**os.environ, **names})
        assert done.returncode == 0, done.stdout + done.stderr
        return [json.loads(line) for line in answers.read_text().splitlines()]


def hypergeometric(population, defective, sample):
    return stats.hypergeom(population, defective, sample)


def limits(population, sample, found, confidence):
    """Every number of defective things whose both tails are above half of what the confidence leaves."""
    defective = np.arange(found, population - (sample - found) + 1)
    level = (1 - confidence) / 2 * (1 + CLOSE)
    at_least = stats.hypergeom.sf(found - 1, population, defective, sample)
    at_most = stats.hypergeom.cdf(found, population, defective, sample)
    kept = defective[(at_least > level) & (at_most > level)]
    return [kept[0], kept[-1]]


def upper_limit(population, sample, found, confidence):
    defective = np.arange(found, population - (sample - found) + 1)
    level = (1 - confidence) * (1 - CLOSE)
    return [defective[stats.hypergeom.cdf(found, population, defective, sample) >= level][-1]]


def detect(population, defective, confidence):
    for sample in range(1, population + 1):
        if stats.hypergeom.pmf(0, population, defective, sample) <= (1 - confidence) * (1 + CLOSE):
            return [sample]
    raise AssertionError


def defective(population, rate):
    return [min(max(1, round(population * rate)), population)]


def estimate_size(population, z, expected, margin):
    unlimited = z * z * expected * (1 - expected) / margin ** 2
    corrected = unlimited / (1 + (unlimited - 1) / population)
    return [corrected, min(max(1, math.ceil(corrected - 1e-9)), population)]


def stratified(strata, confidence):
    """Cochran, 5.10, written with arrays; the limits only where there is one stratum."""
    population, inspected, found = np.array(strata, dtype=float).T
    weight, rate = population / population.sum(), found / inspected
    variance = weight ** 2 * (1 - inspected / population) * rate * (1 - rate) / (inspected - 1)
    return [(weight * rate).sum(), variance.sum()]


def expected(question):
    """The same answer by the libraries."""
    kind, *numbers = question
    if kind == "wilson":
        x, n, confidence = numbers
        return stats.binomtest(x, n).proportion_ci(confidence, "wilson")
    if kind in ("exact", "agresti-coull", "jeffreys"):
        x, n, confidence = numbers
        method = {"exact": "beta", "agresti-coull": "agresti_coull"}.get(kind, kind)
        return proportion_confint(x, n, 1 - confidence, method)
    if kind == "exact upper":
        x, n, confidence = numbers
        return [stats.beta.ppf(confidence, x + 1, n - x) if x < n else 1.0]
    if kind == "newcombe":
        x, n, y, m, confidence = numbers
        return confint_proportions_2indep(x, n, y, m, method="newcomb", alpha=1 - confidence)
    if kind == "tails":
        population, bad, sample, found = numbers
        law = hypergeometric(population, bad, sample)
        return [law.cdf(found), law.sf(found - 1)]
    if kind == "binomial":
        most, trials, share = numbers
        return [stats.binom.cdf(most, trials, share)]
    if kind == "binomial share":
        most, trials, probability = numbers
        return [stats.beta.ppf(1 - probability, most + 1, trials - most)]
    if kind == "normal":
        return [stats.norm.ppf(numbers[0])]
    if kind == "student":
        return [stats.t.ppf(*numbers)]
    own = {"limits": limits, "upper limit": upper_limit, "detect": detect, "defective": defective,
           "estimate size": estimate_size, "stratified": stratified}
    return own[kind](*numbers)


def grid(chance):
    """Random questions of every kind."""
    questions = []
    for _ in range(400):
        n = chance.choice([chance.randint(1, 40), chance.randint(1, 3000)])
        x, confidence = chance.choice([0, n, chance.randint(0, n)]), chance.choice(CONFIDENCES)
        for kind in ("wilson", "exact", "exact upper", "agresti-coull", "jeffreys"):
            questions.append([kind, x, n, confidence])
        m = chance.randint(1, 500)
        questions.append(["newcombe", x, n, chance.randint(0, m), m, confidence])
        questions.append(["binomial", chance.randint(0, n), n, chance.random()])
        most = chance.randint(0, n - 1)
        questions.append(["binomial share", most, n, chance.choice([0.99, 0.95, 0.5, 0.1, 0.01])])
        questions.append(["normal", chance.uniform(0.5, 0.9999)])
        questions.append(["student", chance.uniform(0.6, 0.999), chance.randint(1, 300)])
        population = chance.choice([chance.randint(2, 60), chance.randint(2, 2500)])
        sample = chance.randint(1, population)
        bad = chance.randint(0, population)
        found = chance.randint(max(0, sample + bad - population), min(sample, bad))
        questions.append(["tails", population, bad, sample, found])
        found = chance.choice([0, chance.randint(0, sample)])
        questions.append(["limits", population, sample, found, confidence])
        questions.append(["upper limit", population, sample, found, confidence])
        questions.append(["detect", population, max(1, bad), confidence])
        questions.append(["defective", population, chance.choice([0.005, 0.01, 0.025, 0.05, 0.25, 0.5])])
        size = [chance.choice([1.645, 1.96, 2.576]), chance.uniform(0.01, 0.99), chance.uniform(0.01, 0.2)]
        questions.append(["estimate size", population, *size])
        strata = []
        for _ in range(chance.randint(1, 8)):
            outlets = chance.randint(2, 400)
            seen = chance.randint(2, outlets)
            strata.append([outlets, seen, chance.randint(0, seen)])
        questions.append(["stratified", strata, confidence])
    return questions


def check_grid(options):
    questions = grid(random.Random(SEED))
    worst = 0.0
    for question, answer in zip(questions, ask(questions, options), strict=True):
        wanted = [float(number) for number in expected(question)]
        assert len(answer) >= len(wanted)
        for ours, theirs in zip(answer, wanted):
            off = abs(ours - theirs) / max(1.0, abs(theirs))
            worst = max(worst, off)
            assert off <= CLOSE, f"{question}: {ours} is not {theirs}"
    print(f"{len(questions)} answers agree with scipy and statsmodels, the worst to {worst:.1e}")


def check_one_stratum(options):
    """With one stratum the limits are the exact ones."""
    chance = random.Random(SEED + 1)
    questions = []
    for _ in range(200):
        population = chance.randint(2, 900)
        sample = chance.randint(2, population)
        found = chance.randint(0, sample)
        questions.append(["stratified", [[population, sample, found]], 0.95])
    for question, answer in zip(questions, ask(questions, options), strict=True):
        (counts,) = question[1]
        assert answer[2:] == limits(*counts, 0.95), question


def check_rooms(options):
    """The ratio of rooms and its variance, written with arrays (Cochran, 6.11)."""
    chance = np.random.default_rng(SEED + 2)
    questions = []
    for _ in range(200):
        rooms = int(chance.integers(3, 120))
        sizes = chance.integers(1, 12, rooms)
        bad = chance.binomial(sizes, chance.beta(0.5, 3, rooms))
        seen = chance.permutation(rooms)[: chance.integers(2, rooms + 1)]
        inspected = np.column_stack([sizes[seen], bad[seen]]).tolist()
        questions.append(["rooms", int(sizes.sum()), rooms, inspected, 0.95])
    for question, answer in zip(questions, ask(questions, options), strict=True):
        _, _, rooms, inspected, _ = question
        outlets, found = np.array(inspected, dtype=float).T
        rate, n = found.sum() / outlets.sum(), len(outlets)
        residuals = found - rate * outlets
        variance = (1 - n / rooms) / (n * outlets.mean() ** 2) * (residuals ** 2).sum() / (n - 1)
        assert abs(answer[0] - rate) <= CLOSE and abs(answer[1] - variance) <= CLOSE, question


SCENES = {
    "three kinds of outlets, Neyman": ([620, 240, 140], [71, 45, 34], [31, 36, 42]),
    "three kinds of outlets, rare": ([620, 240, 140], [93, 36, 21], [3, 1, 1]),
    "ten floors, rare": ([200] * 10, [20] * 10, [2] * 10),
    "ten floors, two of them bad": ([200] * 10, [20] * 10, [100, 100] + [0] * 8),
    "sixty rooms of two looks each": ([30] * 60, [2] * 60, [1] * 60),
    "most of it hardly seen": ([900, 100], [10, 60], [90, 0]),
}


def check_coverage(options):
    """How often the interval of 95 % holds, over 2,000 draws of each scene, beside the usual one."""
    chance = np.random.default_rng(SEED)
    for name, (outlets, seen, bad) in SCENES.items():
        outlets, seen, bad = np.array(outlets), np.array(seen), np.array(bad)
        true = bad.sum()
        draws = chance.hypergeometric(bad, outlets - bad, seen, size=(2000, len(bad)))
        questions = [["stratified", np.column_stack([outlets, seen, found]).tolist(), 0.95] for found in draws]
        answers = np.array(ask(questions, options))
        rate, error = answers[:, 0], 1.959963984540054 * np.sqrt(answers[:, 1])
        held = np.mean((answers[:, 2] <= true) & (true <= answers[:, 3]))
        usual = np.mean(np.abs(rate - true / outlets.sum()) <= error + 1e-12)
        print(f"  {name}: holds {held:.1%}, the usual one {usual:.1%}")
        assert held >= 0.94, name


def check_coverage_of_rooms(options):
    """The same for whole rooms: 15 of 120 are drawn, and rooms differ little or much."""
    chance = np.random.default_rng(SEED + 3)
    for name, spread in (("rooms that differ little", (4, 36)), ("rooms that differ much", (0.1, 0.9)),
                         ("rooms of which few are bad", (0.03, 1.5))):
        sizes = chance.integers(2, 12, 120)
        bad = chance.binomial(sizes, chance.beta(*spread, 120))
        draws = [chance.permutation(120)[:15] for _ in range(2000)]
        inspected = [np.column_stack([sizes[seen], bad[seen]]).tolist() for seen in draws]
        questions = [["rooms", int(sizes.sum()), 120, counts, 0.95] for counts in inspected]
        answers = np.array(ask(questions, options))
        rate, error = answers[:, 0], 1.959963984540054 * np.sqrt(answers[:, 1])
        held = np.mean((answers[:, 2] <= bad.sum()) & (bad.sum() <= answers[:, 3]))
        usual = np.mean(np.abs(rate - bad.sum() / sizes.sum()) <= error + 1e-12)
        print(f"  {name} ({bad.sum() / sizes.sum():.1%} defective): holds {held:.1%}, the usual one {usual:.1%}")
        assert held >= 0.94, name


def chacha20(key, blocks):
    """The key stream of RFC 8439 with a nonce of zeros, as 64-bit numbers."""
    def rotate(word, by):
        return (word << by | word >> (32 - by)) & 0xFFFFFFFF

    def quarter(state, a, b, c, d):
        for first, second, third, by in ((a, b, d, 16), (c, d, b, 12), (a, b, d, 8), (c, d, b, 7)):
            state[first] = (state[first] + state[second]) & 0xFFFFFFFF
            state[third] = rotate(state[third] ^ state[first], by)

    numbers = []
    for block in range(blocks):
        start = [*struct.unpack("<4I", b"expand 32-byte k"), *struct.unpack("<8I", key), block, 0, 0, 0]
        state = list(start)
        for _ in range(10):
            for column in ((0, 4, 8, 12), (1, 5, 9, 13), (2, 6, 10, 14), (3, 7, 11, 15),
                           (0, 5, 10, 15), (1, 6, 11, 12), (2, 7, 8, 13), (3, 4, 9, 14)):
                quarter(state, *column)
        words = [(one + other) & 0xFFFFFFFF for one, other in zip(state, start)]
        numbers += struct.unpack("<8Q", struct.pack("<16I", *words))
    return numbers


def check_draw(program):
    """A population of ours, drawn by the program and here."""
    with tempfile.TemporaryDirectory() as folder:
        schedule, survey = Path(folder, "devices.csv"), Path(folder, "survey.xlsx")
        rows = [(f"R-{row}", "North", str(row // 100 + 1), 3 if row % 10 == 9 else 1) for row in range(300)]
        with open(schedule, "w", newline="", encoding="utf-8") as file:
            csv.writer(file).writerows([("outlet_id", "building", "floor", "quantity"), *rows])
        run = [program, "sample", schedule, "--out", survey, "--estimate", "--margin", "0.1",
               "--by", "floor", "--seed", "987654321", "--quiet"]
        done = subprocess.run([str(part) for part in run], cwd=folder, capture_output=True, text=True)
        assert done.returncode == 0, done.stderr
        sheet = openpyxl.load_workbook(survey)["Sample design"]
        lines = [(line[0], json.loads(line[1])) for line in sheet.iter_rows(min_row=2, values_only=True)]
    strata = [value for part, value in lines if part == "stratum"]
    drawn = [value["outlet"] for part, value in lines if part == "drawn"]
    units = [(floor, name if of == 1 else f"{name} ({number} of {of})")
             for name, _, floor, of in rows for number in range(1, of + 1)]
    numbers = chacha20(struct.pack("<Q", 987654321) + bytes(24), len(units) // 8 + 1)
    ours = set()
    for stratum in strata:
        of = sorted((number, name) for number, (floor, name) in zip(numbers, units) if floor == stratum["name"])
        assert len(of) == stratum["population"]
        ours.update(name for _, name in of[:stratum["n"]])
    assert set(drawn) == ours and len(drawn) == len(ours)
    print(f"{len(drawn)} of {len(units)} outlets: the same are drawn here")


def main():
    program, options = Path(sys.argv[1]).resolve(), sys.argv[2:]
    check_grid(options)
    check_one_stratum(options)
    check_rooms(options)
    check_draw(program)
    check_coverage(options)
    check_coverage_of_rooms(options)


main()
