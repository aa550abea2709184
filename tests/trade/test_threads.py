"""Thread limits against printed limits, and thread sizes against the data of a parts library read as plain text."""

from __future__ import annotations

import re
from importlib.metadata import distribution
from math import sqrt
from pathlib import Path

import pytest

from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.trade.sizes import INCH_MM, read_size
from advisor.trade.thread_limits import ClassLimits, load_tables
from advisor.trade.threads import thread_limits
from tests.trade import published_thread_limits as printed


def limits(base: Base, size: str, name: str | None = None) -> ClassLimits:
    return thread_limits(load_tables(base.table), read_size(base.table("thread-sizes"), size), name)


@pytest.mark.parametrize(
    ("size", "cells"), printed.rows(printed.ISO_6G_6H), ids=lambda x: x if isinstance(x, str) else ""
)
def test_ordinary_metric_bolt_and_nut_have_the_printed_limits(base: Base, size: str, cells: list[str]) -> None:
    bolt, nut = limits(base, size, "6g").limits, limits(base, size, "6H").limits
    want = [float(c) for c in cells]
    coarse_print = 0.0051 if float(want[0]) > 11 else 0.0011
    got = (bolt.major_max_mm, bolt.major_min_mm, bolt.pitch_max_mm, bolt.pitch_min_mm)
    assert got == pytest.approx(tuple(want[:4]), abs=coarse_print)
    assert (bolt.minor_max_mm, bolt.minor_min_mm) == pytest.approx(tuple(want[4:6]), abs=0.0011)
    got_nut = (nut.minor_min_mm, nut.minor_max_mm, nut.pitch_min_mm, nut.pitch_max_mm)
    assert got_nut == pytest.approx(tuple(want[6:]), abs=0.0011)


@pytest.mark.parametrize(("size", "cells"), printed.rows(printed.ISO_6H_LARGE))
def test_large_nuts_have_the_printed_limits(base: Base, size: str, cells: list[str]) -> None:
    nut = limits(base, size, "6H").limits
    got = (nut.minor_min_mm, nut.minor_max_mm, nut.pitch_min_mm, nut.pitch_max_mm)
    assert got == pytest.approx(tuple(float(c) for c in cells), abs=0.0005)


@pytest.mark.parametrize(("size", "cells"), printed.rows(printed.ISO_6H_BOLT))
def test_bolts_without_allowance_have_the_printed_limits(base: Base, size: str, cells: list[str]) -> None:
    bolt = limits(base, size, cells[0]).limits
    got = (bolt.major_max_mm, bolt.major_min_mm, bolt.pitch_max_mm, bolt.pitch_min_mm)
    assert got == pytest.approx(tuple(float(c) for c in cells[1:]), abs=0.0005)


@pytest.mark.parametrize(("size", "cells"), printed.rows(printed.ISO_6G_FINE))
def test_fine_bolts_have_the_limits_of_the_catalogue(base: Base, size: str, cells: list[str]) -> None:
    bolt = limits(base, size).limits
    got = (bolt.major_max_mm, bolt.major_min_mm, bolt.pitch_max_mm, bolt.pitch_min_mm)
    assert got == pytest.approx(tuple(float(c) for c in cells), abs=0.0005)


@pytest.mark.parametrize(("size", "cells"), printed.rows(printed.HOT_DIP))
def test_threads_for_hot_dip_have_the_deviations_of_iso_965_4_and_5(base: Base, size: str, cells: list[str]) -> None:
    want = [float(c) for c in cells]
    basic = limits(base, size, "6h").limits, limits(base, size, "6H").limits
    for name, part in (("6AZ", want[:4]), ("6AX", want[4:8])):
        nut = limits(base, size, name).limits
        assert nut.minor_min_mm is not None
        assert basic[1].minor_min_mm is not None
        got = (
            nut.pitch_min_mm - basic[1].pitch_min_mm,
            nut.pitch_max_mm - basic[1].pitch_min_mm,
            nut.minor_min_mm - basic[1].minor_min_mm,
            nut.minor_max_mm - basic[1].minor_min_mm,
        )
        assert [round(g * 1000) for g in got] == part
    bolt = limits(base, size, "6az").limits
    assert bolt.major_max_mm is not None
    assert bolt.major_min_mm is not None
    assert basic[0].major_max_mm is not None
    got = (
        basic[0].pitch_max_mm - bolt.pitch_max_mm,
        basic[0].pitch_max_mm - bolt.pitch_min_mm,
        basic[0].major_max_mm - bolt.major_max_mm,
        basic[0].major_max_mm - bolt.major_min_mm,
    )
    assert [round(g * 1000) for g in got] == want[8:]


@pytest.mark.parametrize(("size", "cells"), printed.rows(printed.UNIFIED))
def test_inch_threads_have_the_printed_pitch_diameters(base: Base, size: str, cells: list[str]) -> None:
    allowance, max_2a, min_2a, min_3a, basic, max_2b = (float(c) for c in cells)
    a2, a3, b2 = (limits(base, size, n) for n in ("2A", "3A", "2B"))
    assert a2.allowance_um / 25400 == pytest.approx(allowance, abs=5e-6)
    got = (a2.limits.pitch_max_mm, a2.limits.pitch_min_mm, a3.limits.pitch_min_mm, a3.limits.pitch_max_mm)
    assert [x / INCH_MM for x in got] == pytest.approx([max_2a, min_2a, min_3a, basic], abs=5e-6)
    assert b2.limits.pitch_min_mm / INCH_MM == pytest.approx(basic, abs=5e-6)
    if max_2b:
        assert b2.limits.pitch_max_mm / INCH_MM == pytest.approx(max_2b, abs=5e-6)


@pytest.mark.parametrize(("size", "cells"), printed.rows(printed.OVERTAP))
def test_overtapped_nut_is_2b_raised_by_the_amount_of_a563(base: Base, size: str, cells: list[str]) -> None:
    amount, low, high = (float(c) for c in cells)
    row = next(r for r in base.table("oversize-tapping-inch").records() if r["size"] == size)
    assert row["amount_in"] == amount
    nut = limits(base, size, "2B").limits
    assert nut.pitch_min_mm / INCH_MM + amount == pytest.approx(low, abs=5e-6)
    assert nut.pitch_max_mm / INCH_MM + amount == pytest.approx(high, abs=5e-6)


def test_quarter_inch_nut_needs_the_tolerance_kept_to_six_decimals(base: Base) -> None:
    # 2B UNC chart; the overtap table is 0.0001 in lower here than 2B plus the amount
    assert limits(base, "1/4-20", "2B").limits.pitch_max_mm / INCH_MM == pytest.approx(0.2224, abs=5e-6)


# size, class, quantity, value in inches. Handbook page of the standard series; 2B chart (bores of nuts).
INCH_CELLS = [
    ("#0-80", "2A", "major_max_mm", 0.0595),
    ("#0-80", "2A", "major_min_mm", 0.0563),
    ("#0-80", "2B", "minor_min_mm", 0.0465),
    ("#0-80", "2B", "minor_max_mm", 0.0514),
    ("#0-80", "3B", "pitch_max_mm", 0.0536),
    ("3/8-16", "2B", "minor_min_mm", 0.307),
    ("3/8-16", "2B", "minor_max_mm", 0.321),
    ("5/8-11", "1A", "major_max_mm", 0.6234),
    ("5/8-11", "1A", "major_min_mm", 0.6052),
    ("5/8-11", "1A", "pitch_min_mm", 0.5561),
    ("5/8-11", "2A", "major_max_mm", 0.6234),
    ("5/8-11", "2A", "major_min_mm", 0.6113),
    ("1-3/4-5", "2A", "major_max_mm", 1.7473),
    ("1-3/4-5", "2A", "major_min_mm", 1.7268),
    ("2-1/2-4", "2B", "pitch_max_mm", 2.3511),
    ("3-4", "2B", "pitch_max_mm", 2.8515),
    ("4-4", "2B", "pitch_max_mm", 3.8523),
]


@pytest.mark.parametrize(("size", "name", "quantity", "inches"), INCH_CELLS)
def test_inch_crest_diameters_as_printed(base: Base, size: str, name: str, quantity: str, inches: float) -> None:
    assert getattr(limits(base, size, name).limits, quantity) / INCH_MM == pytest.approx(inches, abs=5e-6)


def test_printed_deviation_wins_over_the_formula(base: Base) -> None:
    # ISO 965-1, Table 1: the formula 15 + 11 P would give 23, 29, 37, 59, 70
    sizes = {"M6x0.75": 22, "M8": 28, "M16": 38, "M36": 60, "M48": 71}
    assert {s: limits(base, s, "6g").allowance_um for s in sizes} == sizes


def test_formulas_agree_with_the_printed_tables_within_seven_percent(base: Base) -> None:
    # ISO 965-1, clause 13: Td2 = 90 P^0.4 dm^0.1, dm the geometric mean of the step
    grades = {3: 0.5, 4: 0.63, 5: 0.8, 6: 1.0, 7: 1.25, 8: 1.6, 9: 2.0}
    checked = 0
    for r in base.table("iso-965-pitch-tolerances-external").records():
        over, to, pitch = (float(str(r[k])) for k in ("over_mm", "to_mm", "pitch_mm"))
        for grade, factor in grades.items():
            cell = r[f"grade_{grade}"]
            if cell is not None:
                assert float(str(cell)) == pytest.approx(factor * 90 * pitch**0.4 * sqrt(over * to) ** 0.1, rel=0.07)
                checked += 1
    for r in base.table("iso-965-crest-tolerances-external").records():
        pitch, cell = float(str(r["pitch_mm"])), float(str(r["grade_6"]))
        assert cell == pytest.approx(180 * pitch ** (2 / 3) - 3.15 / sqrt(pitch), rel=0.07)
        checked += 1
    assert checked > 200


def test_every_size_of_the_table_has_limits_in_the_usual_classes(base: Base) -> None:
    for r in base.table("thread-sizes").records():
        names = ("6g", "6h", "6H", "6G") if r["system"] == "metric" else ("1A", "2A", "3A", "1B", "2B", "3B")
        for name in names:
            if name == "6g" and str(r["size"]).startswith("M") and float(str(r["pitch_mm"])) < 0.2:
                continue
            x = limits(base, str(r["size"]), name).limits
            assert x.pitch_max_mm > x.pitch_min_mm > x.minor_max_mm - 1


BAD = [
    ("M10", "2A", "class of inch threads"),
    ("3/8-16", "6g", "1A, 2A, 3A"),
    ("M10", "6k", "position 'k'"),
    ("M10", "5g", "5g6g"),
    ("M1.6", "6e", "from a pitch of 0.5 mm"),
    ("M6", "6AZ", "from M8"),
    ("M12x1.25", "6AZ", "coarse threads from M8"),
    ("M10", "4g6h", "mixes two positions"),
    ("M2", "8g", "grades 4, 6"),
    ("M10", "class six", "not a thread class"),
]


@pytest.mark.parametrize(("size", "name", "says"), BAD)
def test_a_class_that_does_not_exist_is_refused_with_the_nearest(base: Base, size: str, name: str, says: str) -> None:
    with pytest.raises(UsageError, match=re.escape(says)):
        limits(base, size, name)


# the parts library, read as text -----------------------------------------------------------------------------------


def library_text() -> str:
    """The screw file of a general-purpose part library; its published formulas use 9 P for every inch series."""
    path = distribution("solidpython2").locate_file("solid2/extensions/bosl2/BOSL2/screws.scad")
    return Path(str(path)).read_text("utf-8")


def library_table(name: str) -> list[tuple[str, list[float]]]:
    """A list of the library: key and the numbers behind it (undef left out)."""
    text = library_text()
    block = text[text.index(f"{name} = [") :]
    block = block[: re.search(r"\n\s*\],", block).start()]  # type: ignore[union-attr]
    found = re.findall(r"\[\s*(\"#\d+\"|[\d./+]+)\s*,\s*\[([^\]]+)\]", block)
    out = []
    for key, numbers in found:
        cells = [c.strip() for c in numbers.split(",") if c.strip() not in ("", "undef")]
        out.append((key.strip('"'), [float(c) for c in cells]))
    return out


def test_metric_pitches_are_those_of_the_parts_library(base: Base) -> None:
    # the library's 2.3 mm is no size of ISO 262
    ours: dict[float, list[float]] = {}
    for r in base.table("thread-sizes").records():
        if r["system"] == "metric":
            ours.setdefault(float(str(r["diameter_mm"])), []).append(float(str(r["pitch_mm"])))
    theirs = {float(k): v for k, v in library_table("ISO_thread") if re.fullmatch(r"[\d.]+", k)}
    common = [d for d in ours if d in theirs]
    assert len(common) >= 30
    for d in common:
        assert theirs[d][0] == ours[d][0], f"coarse pitch of M{d:g}"


WHOLE = {"1.125": "1-1/8", "1.25": "1-1/4", "1.375": "1-3/8", "1.5": "1-1/2", "1.75": "1-3/4"}
"""How the library writes sizes above 1 in."""


def test_inch_threads_are_those_of_the_parts_library(base: Base) -> None:
    names = {str(r["size"]) for r in base.table("thread-sizes").records() if r["series"] in ("unc", "unf")}
    checked = 0
    for key, turns in library_table("UTS_thread"):
        for t in turns[: 2 if len(turns) > 1 else 1]:
            checked += 1
            assert f"{WHOLE.get(key, key)}-{t:g}" in names
    assert checked >= 40
