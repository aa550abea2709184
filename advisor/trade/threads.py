"""Limits of size of any thread in any class: ISO metric from its tables, Unified inch by ASME B1.1."""

from __future__ import annotations

import re
from collections.abc import Mapping

from advisor.errors import UsageError
from advisor.trade.sizes import INCH_MM, Thread
from advisor.trade.tables import Table
from advisor.trade.thread_limits import ClassLimits, Limits, half_up, metric_limits

UNIFIED = ("1A", "2A", "3A", "1B", "2B", "3B")


def thread_limits(tables: Mapping[str, Table], thread: Thread, name: str | None = None) -> ClassLimits:
    """Limits of a thread in a class; without a class 6g (metric) or 2A (inch), the usual bolt thread.

    `tables` as of `thread_limits.load_tables`. Raises UsageError when the class does not exist for the thread.

    >>> t = Thread("3/8-16", "inch", "unc", 9.525, 1.5875)
    >>> rows = (("2A", "bolt", 1.0, 0.3, 0.06), ("2B", "nut", 1.3, 0.0, None))
    >>> tables = {"asme-b1-1-classes": Table("c", ("class", "part", "pitch_factor", "allowance_factor",
    ...     "major_factor"), rows), "asme-b1-1-exceptions": Table("e", ("size", "class", "quantity", "printed_in"), ())}
    >>> bolt = thread_limits(tables, t).limits
    >>> [round(x / 25.4, 4) for x in (bolt.major_max_mm, bolt.major_min_mm, bolt.pitch_max_mm, bolt.pitch_min_mm)]
    [0.3737, 0.3643, 0.3331, 0.3287]
    """
    if name is None:
        name = "2A" if thread.system == "inch" else "6g"
    name = name.strip()
    unified = name.upper() in UNIFIED
    if thread.system == "inch":
        if not unified:
            raise UsageError(
                f"'{name}' is not a class of inch threads; {thread.size} is made in 1A, 2A, 3A (bolts) and 1B, 2B, 3B "
                "(nuts)"
            )
        return unified_limits(tables, thread, name.upper())
    if unified:
        raise UsageError(
            f"'{name}' is a class of inch threads; {thread.size} is metric: 6g, 6e, 6f, 6h, 4h, 8g, 4g6g for bolts, "
            "6H, 7H, 6G, 6AZ, 6AX for nuts"
        )
    return metric_limits(tables, thread, re.sub(r"\s+", "", name))


def unified_limits(tables: Mapping[str, Table], thread: Thread, name: str) -> ClassLimits:
    """Limits of a Unified thread in class 1A, 2A, 3A, 1B, 2B or 3B, in mm (the inch figures times 25.4).

    ASME B1.1: T = 0.0015 D^(1/3) + 0.0015 LE^(1/2) + 0.015 P^(2/3) (in), LE = D; times the factor of the class;
    allowance 0.3 T (1A, 2A); major diameter tolerance 0.06 P^(2/3), 1A 0.09 P^(2/3). T is kept to 6 decimals, allowance
    and tolerances to 4. Printed exceptions win. The bore of nuts: basic minor diameter to 4 decimals, plus its
    tolerance; from 0.138 in up rounded to 3 decimals (3B: the lower limit only).
    `minor_max_mm` of a bolt is the UNR reference, greatest pitch diameter less 0.541266 P.
    """
    row = next(r for r in tables["asme-b1-1-classes"].records() if r["class"] == name)
    d, p = thread.diameter_mm / INCH_MM, 1 / _turns(thread)
    t = half_up(0.0015 * d ** (1 / 3) + 0.0015 * d**0.5 + 0.015 * p ** (2 / 3), 6)
    tolerance = _printed(tables, thread, name, "pitch-tolerance", half_up(_f(row["pitch_factor"]) * t, 4))
    h = 3**0.5 / 2 * p
    d2 = half_up(d - 0.75 * h, 4)
    d = half_up(d, 4)
    cites = ("asme-b1-1-classes", "asme-b1-1-exceptions")
    if row["part"] == "bolt":
        allowance = _printed(tables, thread, name, "allowance", half_up(_f(row["allowance_factor"]) * t, 4))
        major = half_up(_f(row["major_factor"]) * p ** (2 / 3), 4)
        inches = (
            d - allowance,
            d - allowance - major,
            d2 - allowance,
            d2 - allowance - tolerance,
            half_up(d2 - allowance - 0.625 * h, 4),
        )
        major_max, major_min, pitch_max, pitch_min, minor_max = (_mm(x) for x in inches)
        limits = Limits(major_max, major_min, pitch_max, pitch_min, minor_max, None)
        return ClassLimits(thread, name, True, _um(allowance), _um(tolerance), limits, cites)
    low = half_up(thread.diameter_mm / INCH_MM - 1.25 * h, 4)
    high = half_up(low + half_up(minor_tolerance_in(d, p, name), 4), 4)
    if d >= 0.138 - 1e-9:
        low = half_up(low, 3)
        high = high if name == "3B" else half_up(high, 3)
    limits = Limits(None, _mm(d), _mm(d2 + tolerance), _mm(d2), _mm(high), _mm(low))
    return ClassLimits(thread, name, False, 0.0, _um(tolerance), limits, cites)


def minor_tolerance_in(d: float, p: float, name: str) -> float:
    """Tolerance of the bore of an inch nut in inches, from diameter and pitch in inches (ASME B1.1, 5.8.2).

    1B, 2B: from 1/4 in up 0.25 P - 0.40 P² (0.15 P for fewer than 4 threads an inch); below 1/4 in as 3B but at least
    0.25 P - 0.40 P². 3B: 0.05 P^(2/3) + 0.03 P/D - 0.002, at most 0.394 P, at least 0.23 P - 1.5 P² (13 threads an
    inch and more) or 0.12 P.

    >>> round(minor_tolerance_in(0.375, 1 / 16, "2B"), 4), round(minor_tolerance_in(0.375, 1 / 16, "3B"), 4)
    (0.0141, 0.0109)
    """
    wide = 0.25 * p - 0.40 * p * p
    if name != "3B" and d >= 0.25 - 1e-9:
        return wide if p <= 0.25 + 1e-9 else 0.15 * p
    least = wide
    if name == "3B":
        least = 0.23 * p - 1.5 * p * p if p <= 1 / 13 + 1e-9 else 0.12 * p
    return float(min(max(0.05 * p ** (2 / 3) + 0.03 * p / d - 0.002, least), 0.394 * p))


def _turns(thread: Thread) -> float:
    # the size table holds the pitch in mm to six decimals; the number of threads an inch is whole or ends in a half
    return round(INCH_MM / thread.pitch_mm * 2) / 2


def _printed(tables: Mapping[str, Table], thread: Thread, name: str, quantity: str, formula: float) -> float:
    for r in tables["asme-b1-1-exceptions"].records():
        if (r["size"], r["class"], r["quantity"]) == (thread.size, name, quantity):
            return _f(r["printed_in"])
    return formula


def _f(cell: object) -> float:
    assert isinstance(cell, (int, float))
    return float(cell)


def _mm(inches: float) -> float:
    return round(round(inches, 4) * INCH_MM, 5)


def _um(inches: float) -> float:
    return round(inches * INCH_MM * 1000, 2)
