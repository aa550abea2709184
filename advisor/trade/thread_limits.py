"""Limits of size of ISO metric threads from the printed tolerance tables, and the types of all thread limits."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from math import floor

from advisor.errors import UsageError
from advisor.records import NamedTuple
from advisor.trade.sizes import Thread
from advisor.trade.tables import Table

TABLES = (
    "iso-965-deviations",
    "iso-965-hot-dip-deviations",
    "iso-965-crest-tolerances-external",
    "iso-965-crest-tolerances-internal",
    "iso-965-pitch-tolerances-external",
    "iso-965-pitch-tolerances-internal",
    "asme-b1-1-classes",
    "asme-b1-1-exceptions",
)
"""The tables that thread limits are read from, by their ids in the knowledge."""


class Limits(NamedTuple):
    """Limits of size of one thread in mm; None where the standard sets none.

    Bolt: major and pitch diameter, `minor_max_mm` = flat form (inch: UNR reference), `minor_min_mm` = rounded root.
    Nut: `major_min_mm`, pitch and minor diameter (the bore of the tapped hole).
    """

    major_max_mm: float | None
    major_min_mm: float | None
    pitch_max_mm: float
    pitch_min_mm: float
    minor_max_mm: float
    minor_min_mm: float | None


class ClassLimits(NamedTuple):
    """A thread in a tolerance class: bolt or nut, allowance (size of the deviation) in µm, limits, tables used."""

    thread: Thread
    name: str
    external: bool
    allowance_um: float
    pitch_tolerance_um: float
    limits: Limits
    cites: tuple[str, ...]


def load_tables(table: Callable[[str], Table]) -> Mapping[str, Table]:
    """The tables by id, from a function that gives a table by its id.

    >>> sorted(load_tables(lambda i: Table(i, ("a",), ())))[0]
    'asme-b1-1-classes'
    """
    return {i: table(i) for i in TABLES}


def half_up(value: float, decimals: int) -> float:
    """Rounded to so many decimals, half away from zero for positive values, as the standards do.

    >>> half_up(10.8634, 3), half_up(0.00165, 4)
    (10.863, 0.0017)
    """
    scale = 10.0**decimals
    # the small addition undoes binary dust below an exact half
    return floor(value * scale + 0.5 + 1e-7) / scale


class _IsoClass(NamedTuple):
    pitch_grade: int
    crest_grade: int
    position: str
    external: bool


def metric_limits(tables: Mapping[str, Table], thread: Thread, name: str) -> ClassLimits:
    """Limits of a metric thread in an ISO class such as 6g, 4g6g, 6H, 6AZ, 6az.

    Bolt: d = basic - es, d2 = basic - es, tolerances downwards, d1 = basic - es (flat), d3 min = d2 min - 0.616025 P.
    Nut: D, D2, D1 = basic + EI, tolerances upwards. Tolerances and deviations: printed tables of ISO 965-1:1998,
    hot-dip positions of ISO 965-4 and -5. Basic diameters to 0.001 mm.
    Raises UsageError for a class that does not exist or has no figure in the tables at this pitch.

    >>> T = Table
    >>> t = {"iso-965-deviations": T("iso-965-deviations", ("pitch_mm", "g_um"), ((1.5, 32.0),)),
    ...      "iso-965-crest-tolerances-external": T("c", ("pitch_mm", "grade_6"), ((1.5, 236.0),)),
    ...      "iso-965-pitch-tolerances-external":
    ...          T("p", ("over_mm", "to_mm", "pitch_mm", "grade_6"), ((5.6, 11.2, 1.5, 132.0),))}
    >>> m10 = metric_limits(t, Thread("M10", "metric", "coarse", 10, 1.5), "6g")
    >>> m10.allowance_um, m10.limits.pitch_max_mm, m10.limits.pitch_min_mm, m10.limits.minor_max_mm
    (32.0, 8.994, 8.862, 8.344)
    """
    c = _read_class(name)
    deviation, cite = _deviation(tables, thread, c, name)
    kind = "external" if c.external else "internal"
    crest = _crest(tables[f"iso-965-crest-tolerances-{kind}"], thread, c, name)
    pitch = _pitch(tables[f"iso-965-pitch-tolerances-{kind}"], thread, c.pitch_grade, name)
    h = 3**0.5 / 2 * thread.pitch_mm
    d = round(thread.diameter_mm * 1000)
    d2 = round(half_up(thread.diameter_mm - 0.75 * h, 3) * 1000)
    d1 = round(half_up(thread.diameter_mm - 1.25 * h, 3) * 1000)
    if c.external:
        um = (d - deviation, d - deviation - crest, d2 - deviation, d2 - deviation - pitch, d1 - deviation)
        root = half_up(um[3] / 1000 - h + thread.pitch_mm / 4, 3)
        major_max, major_min, pitch_max, pitch_min, minor_max = (x / 1000 for x in um)
        limits = Limits(major_max, major_min, pitch_max, pitch_min, minor_max, root)
    else:
        low = d1 + deviation
        limits = Limits(
            None,
            (d + deviation) / 1000,
            (d2 + deviation + pitch) / 1000,
            (d2 + deviation) / 1000,
            (low + crest) / 1000,
            low / 1000,
        )
    cites = (cite, f"iso-965-crest-tolerances-{kind}", f"iso-965-pitch-tolerances-{kind}")
    return ClassLimits(thread, name, c.external, deviation, pitch, limits, tuple(i for i in cites if i))


def _read_class(name: str) -> _IsoClass:
    m = re.fullmatch(r"([3-9])(az|AZ|AX|[a-zA-Z])(?:([3-9])(az|AZ|AX|[a-zA-Z]))?", name)
    if m is None:
        raise UsageError(
            f"'{name}' is not a thread class of ISO 965; bolts: 6g, 6e, 6f, 6h, 4h, 8g, 4g6g, 5h6h, 6az; "
            "nuts: 6H, 7H, 6G, 6AZ, 6AX"
        )
    position, second = m[2], m[4] or m[2]
    if position != second:
        raise UsageError(f"'{name}' mixes two positions; both halves need the same letter, e.g. 4g6g")
    if position not in ("e", "f", "g", "h", "az", "G", "H", "AZ", "AX"):
        raise UsageError(
            f"the tables hold no position '{position}' ('{name}'); bolts have e, f, g, h and az, nuts G, H, AZ and AX"
        )
    return _IsoClass(int(m[1]), int(m[3] or m[1]), position, position[0].islower())


def _row(table: Table, thread: Thread) -> Mapping[str, object] | None:
    return next((r for r in table.records() if _close(r["pitch_mm"], thread.pitch_mm)), None)


def _close(cell: object, value: float) -> bool:
    return isinstance(cell, (int, float)) and abs(cell - value) < 1e-6


def _deviation(tables: Mapping[str, Table], thread: Thread, c: _IsoClass, name: str) -> tuple[float, str]:
    if c.position in ("h", "H"):
        return 0.0, ""
    if c.position in ("az", "AZ", "AX"):
        table = tables["iso-965-hot-dip-deviations"]
        row = _row(table, thread) if thread.series == "coarse" and thread.diameter_mm >= 8 else None
        if row is None or c.pitch_grade != 6 or c.crest_grade != 6:
            raise UsageError(
                f"{thread.size} has no class '{name}': ISO 965-4 and -5 give 6az, 6AZ and 6AX for coarse threads "
                "from M8 "
                "to M64; smaller and fine threads are not for hot-dip zinc"
            )
        return float(str(row[f"{c.position}_um"])), table.id
    table = tables["iso-965-deviations"]
    row = _row(table, thread)
    cell = None if row is None else row.get(f"{c.position.lower()}_um")
    if not isinstance(cell, (int, float)):
        first = next((r["pitch_mm"] for r in table.records() if r.get(f"{c.position.lower()}_um") is not None), None)
        raise UsageError(
            f"{thread.size} has no class '{name}': position {c.position} is tabulated from a pitch of {first} mm up; "
            "take 6g or 6h"
        )
    return float(cell), table.id


def _crest(table: Table, thread: Thread, c: _IsoClass, name: str) -> float:
    row = _row(table, thread)
    cell = None if row is None else row.get(f"grade_{c.crest_grade}")
    if isinstance(cell, (int, float)):
        return float(cell)
    grades = [] if row is None else [k[6:] for k, v in row.items() if k.startswith("grade_") and v is not None]
    what = "major diameter of bolts" if c.external else "minor diameter of nuts"
    example = f"{c.pitch_grade}{c.position}6{c.position}"
    raise UsageError(
        f"{thread.size} has no class '{name}': for the {what} the tables hold grades {', '.join(grades)} at this pitch"
        + (f"; write for example {example}" if c.external else "; take 6H")
    )


def _pitch(table: Table, thread: Thread, grade: int, name: str) -> float:
    for r in table.records():
        over, to = float(str(r["over_mm"])), float(str(r["to_mm"]))
        if over < thread.diameter_mm <= to and _close(r["pitch_mm"], thread.pitch_mm):
            cell = r.get(f"grade_{grade}")
            if isinstance(cell, (int, float)):
                return float(cell)
            grades = [k[6:] for k, v in r.items() if k.startswith("grade_") and v is not None]
            raise UsageError(
                f"{thread.size} has no class '{name}': for the pitch diameter the tables hold grades "
                f"{', '.join(grades)}"
            )
    raise UsageError(
        f"{thread.size} has no tolerance class in ISO 965-1 (pitch {thread.pitch_mm:g} mm at this diameter is not "
        "tabulated); take the coarse thread or a fine pitch of ISO 262"
    )
