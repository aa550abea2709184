"""Parts lists of growing length through the command itself: `python tests/benchmarks/lists.py [--lines 1000,10000]`.

Three lists, made from a fixed seed: as customers send them (a good half of the descriptions differ; a customer buys
some kinds of parts, a further kind every hundred lines, in many sizes and lengths), the same with no two lines alike,
and one in which every line is another kind. Time is that of the whole process, start included, in CPU seconds of the
process and its children (wall time beside it); memory its peak. Every line must come out, else the run fails before any
figure.
"""

from __future__ import annotations

import argparse
import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
SEED = 17
PARTS = ("HEX BOLT", "HEX HD SCREW", "Sechskantschraube", "SOC CAP SCREW", "FLANGE BOLT", "CARRIAGE BOLT", "STUD",
         "THREADED ROD", "Pan head machine screw", "U-bolt")  # fmt: skip
STRENGTHS = ("8.8", "8.8", "8.8", "10.9", "10.9", "12.9", "4.6", "A2-70", "A4-80", "")
FINISHES = ("ZN CR3", "zinc plated", "HDG", "hot dip galv", "ZP YELLOW", "PLAIN", "BLACK", "zinc flake", "", "")
WHERE = ("", "", "", "", "for a gate", "indoors", "coastal", "for a pump house")
HEAD = "Pos;Description;Qty"


class Measured(NamedTuple):
    """One run: lines a second by CPU time and by the clock, peak memory."""

    cpu_lines_a_second: float
    lines_a_second: float
    peak_mib: float


class Sort(NamedTuple):
    """A sort of list: its name, whether no two lines are alike, lines a kind of part, the budget in lines a second."""

    name: str
    all_differ: bool
    lines_a_kind: int
    budget: int


SORTS = (
    Sort("as customers send them", False, 100, 2000),
    Sort("no two lines alike", True, 100, 1200),
    Sort("every line another kind", True, 1, 0),
)


def kinds(count: int) -> list[tuple[str, str, str, str]]:
    """So many kinds of parts: part, strength, finish, where it goes."""
    draw = random.Random(SEED)
    return [tuple(draw.choice(x) for x in (PARTS, STRENGTHS, FINISHES, WHERE)) for _ in range(count)]  # type: ignore[misc]


def descriptions(bought: list[tuple[str, str, str, str]]) -> Iterator[str]:
    """Descriptions without end of the parts that are bought, in many sizes and lengths."""
    draw = random.Random(SEED)
    while True:
        part, strength, finish, where = draw.choice(bought)
        size, length = draw.choice((5, 6, 8, 10, 12, 16, 20, 24)), draw.randrange(10, 300)
        yield " ".join(x for x in (part, f"M{size}X{length}", strength, finish, where) if x)


def listed(count: int, sort: Sort) -> list[str]:
    """So many descriptions of a sort."""
    endless = descriptions(kinds(20 + count // sort.lines_a_kind))
    seen: dict[str, None] = {}
    wanted = count if sort.all_differ else int(count * 0.6)
    for text in endless:
        seen[text] = None
        if len(seen) == wanted:
            break
    pool = list(seen)
    return [*pool, *random.Random(SEED + 1).choices(pool, k=count - len(pool))]


def write_list(path: Path, count: int, sort: Sort) -> int:
    """Write a list; returns how many of its descriptions differ."""
    texts = listed(count, sort)
    random.Random(SEED + 2).shuffle(texts)
    rows = [f"{n};{t};{n % 7 * 50 + 10}" for n, t in enumerate(texts, 1)]
    path.write_text("\n".join([HEAD, *rows]) + "\n", "utf-8")
    return len(set(texts))


def measure(path: Path, count: int, *more: str) -> Measured:
    """One run of the command; it must account for every line."""
    out = path.with_suffix(".out.csv")
    out.unlink(missing_ok=True)
    argv = [sys.executable, "-m", "advisor", "parts", str(path), "--site", "outdoor", "--out", str(out), *more]
    start = time.perf_counter()
    process = subprocess.Popen(argv, cwd=ROOT, stdout=subprocess.DEVNULL)
    _, status, used = os.wait4(process.pid, 0)
    took = time.perf_counter() - start
    process.returncode = os.waitstatus_to_exitcode(status)
    lines = out.read_bytes().count(b"\n") - 1
    if process.returncode or lines != count:
        sys.exit(f"{lines} lines came out of {count}, exit code {process.returncode}")
    cpu = used.ru_utime + used.ru_stime
    return Measured(count / cpu, count / took, used.ru_maxrss / 1024)


def main() -> int:
    """Measure lists of every length and kind; 1 where one is below its budget."""
    p = argparse.ArgumentParser(description=__doc__)
    p.add_argument("--lines", default="1000,10000,50000")
    p.add_argument("--jobs", default="")
    n = p.parse_args()
    late = 0
    with tempfile.TemporaryDirectory() as folder:
        for count in map(int, n.lines.split(",")):
            for sort in SORTS:
                path = Path(folder) / "list.csv"
                different = write_list(path, count, sort)
                found = measure(path, count, *(("--jobs", n.jobs) if n.jobs else ()))
                late += count >= 10_000 and found.cpu_lines_a_second < sort.budget
                print(
                    f"{count:>7} lines, {sort.name:<24} {different:>6} differ: "
                    f"{found.cpu_lines_a_second:7.0f} lines/s of CPU, "
                    f"{found.lines_a_second:7.0f} by the clock, peak {found.peak_mib:5.0f} MiB (budget {sort.budget})",
                    flush=True,
                )
    return int(late > 0)


if __name__ == "__main__":
    sys.exit(main())
