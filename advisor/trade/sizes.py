"""Thread sizes as the trade writes them, and the diameters and areas that strength and torque need."""

from __future__ import annotations

import re
from math import pi, sqrt
from typing import NamedTuple

from advisor.errors import UsageError
from advisor.trade.tables import Table

INCH_MM = 25.4
_FRACTION = r"(?:(\d+)[ -])?(\d+)/(\d+)"
_GLYPHS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


class Thread(NamedTuple):
    """A thread: its usual name, system (metric or inch), series, nominal diameter and pitch in mm."""

    size: str
    system: str
    series: str
    diameter_mm: float
    pitch_mm: float

    @property
    def pitch_diameter_mm(self) -> float:
        """Basic pitch diameter d2 in mm: d - 0.649519 P (ISO 724, ASME B1.1).

        >>> round(Thread("M10", "metric", "coarse", 10, 1.5).pitch_diameter_mm, 3)
        9.026
        """
        return self.diameter_mm - 0.75 * (sqrt(3) / 2) * self.pitch_mm

    @property
    def root_diameter_mm(self) -> float:
        """Basic root diameter d3 of the bolt in mm: d - 1.226869 P (ISO 898-1, rounded root).

        >>> round(Thread("M10", "metric", "coarse", 10, 1.5).root_diameter_mm, 3)
        8.16
        """
        return self.diameter_mm - 17 / 12 * (sqrt(3) / 2) * self.pitch_mm

    @property
    def stress_diameter_mm(self) -> float:
        """Diameter of the stress area in mm: (d2 + d3)/2 = d - 0.938194 P; inch D - 0.9743/n (ASME B1.1).

        >>> round(Thread("M10", "metric", "coarse", 10, 1.5).stress_diameter_mm, 4)
        8.5927
        """
        factor = 0.9743 if self.system == "inch" else 0.938194
        return self.diameter_mm - factor * self.pitch_mm

    @property
    def stress_area_mm2(self) -> float:
        """Tensile stress area in mm²: pi/4 (d - 0.938194 P)², inch pi/4 (D - 0.9743/n)² (ISO 898-1, ASME B1.1).

        >>> round(Thread("M12", "metric", "coarse", 12, 1.75).stress_area_mm2, 2)
        84.27
        """
        return pi / 4 * self.stress_diameter_mm**2


def read_size(table: Table, text: str) -> Thread:
    """The thread a size names: `M10` (coarse), `M10x1.25`, `3/8-16`, `1-1/8-8`, `#10-32`, `3/8` (UNC), `1/2 UNF`.

    `table` lists the known sizes (size, system, series, diameter_mm, pitch_mm). A length behind the pitch is ignored
    (`M10x1.5x40`, `M10x50`). Raises UsageError with the nearest sizes when it is not in the table.

    >>> t = Table("t", ("size", "system", "series", "diameter_mm", "pitch_mm"),
    ...           (("M10", "metric", "coarse", 10.0, 1.5), ("3/8-16", "inch", "unc", 9.525, 1.5875)))
    >>> read_size(t, "m10 x 1.5").series, read_size(t, '3/8"-16').pitch_mm, read_size(t, "3/8").size
    ('coarse', 1.5875, '3/8-16')
    """
    plain = _plain(text)
    metric = re.fullmatch(r"m(\d+(?:\.\d+)?)(?:[x-](\d+(?:\.\d+)?))?(?:[x-]\d+(?:\.\d+)?)?", plain)
    if metric:
        return _metric(table, text, float(metric[1]), float(metric[2]) if metric[2] else None)
    inch = re.fullmatch(
        r"(#\d+|\d+-\d+/\d+|\d+/\d+|\d+)(?:-(\d+(?:\.\d+)?|\d+-1/2))?(unc|unf|8un|un|uns|unrc|unrf)?", plain
    )
    if inch:
        return _inch(table, text, inch[1], inch[2], inch[3])
    raise UsageError(f"'{text}' is not a thread size; write it as M10, M10x1.25, 3/8-16, 1-1/8-8 or #10-32")


def _plain(text: str) -> str:
    t = text.strip().lower().replace(",", ".")
    for glyph, fraction in _GLYPHS.items():
        t = re.sub(rf"(\d)\s*{glyph}", rf"\1-{fraction}", t).replace(glyph, fraction)
    t = re.sub(r"\s*(?:\"|”|″|''|inch|in\.?)(?=\s|-|$)", "", t)
    t = t.replace("×", "x").replace("*", "x").replace("no.", "#").replace("no ", "#")
    t = re.sub(r"\s*([x-])\s*", r"\1", re.sub(r"^m\s+", "m", t))
    t = re.sub(r"(\d)\s+(\d+/\d)", r"\1-\2", t)
    t = re.sub(r"\s+(?=\d)", "-", t)
    return re.sub(r"\s+", "", t)


def _rows(table: Table, system: str) -> list[Thread]:
    return [
        Thread(str(r["size"]), system, str(r["series"]), _mm(r["diameter_mm"]), _mm(r["pitch_mm"]))
        for r in table.records()
        if r["system"] == system
    ]


def _mm(cell: object) -> float:
    assert isinstance(cell, (int, float))
    return float(cell)


def _metric(table: Table, text: str, diameter: float, pitch: float | None) -> Thread:
    rows = _rows(table, "metric")
    same = [t for t in rows if abs(t.diameter_mm - diameter) < 1e-6]
    if not same:
        near = sorted({t.diameter_mm for t in rows}, key=lambda d: abs(d - diameter))[:2]
        names = ", ".join(f"M{d:g}" for d in sorted(near))
        raise UsageError(f"'{text}' is not a metric size of the tables (M1.6 to M64); nearest: {names}")
    if pitch is None:
        return same[0]
    for t in same:
        if abs(t.pitch_mm - pitch) < 1e-6:
            return t
    if pitch > same[0].pitch_mm:
        # no thread is coarser than coarse, so the second number is a length
        return same[0]
    names = ", ".join(f"M{diameter:g}x{t.pitch_mm:g}" for t in same)
    raise UsageError(f"'{text}' has a pitch that is not in the tables; M{diameter:g} is made as {names}")


def _inch(table: Table, text: str, name: str, turns: str | None, series: str | None) -> Thread:
    rows = _rows(table, "inch")
    diameter = _inches(name) * INCH_MM
    same = [t for t in rows if abs(t.diameter_mm - diameter) < 1e-3]
    if turns is not None and not name.startswith("#") and _no_such(same, turns) and f"#{name}-{turns}" in _names(rows):
        # 10-32 at the counter is number 10, not ten inches
        return _inch(table, text, f"#{name}", turns, series)
    if not same:
        near = sorted(rows, key=lambda t: abs(t.diameter_mm - diameter))[:3]
        names = ", ".join(t.size for t in near)
        raise UsageError(f"'{text}' is not an inch size of the tables (#0 to 4 in); nearest: {names}")
    if turns is not None:
        same = [t for t in same if abs(t.pitch_mm - _pitch(turns)) < 1e-3] or _unknown_turns(text, same)
    elif series is not None:
        wanted = {"unrc": "unc", "unrf": "unf", "un": "8un"}.get(series, series)
        same = [t for t in same if t.series == wanted] or _unknown_turns(text, same)
    return same[0]


def _pitch(turns: str) -> float:
    return INCH_MM / (4.5 if turns == "4-1/2" else float(turns))


def _no_such(same: list[Thread], turns: str) -> bool:
    return all(abs(t.pitch_mm - _pitch(turns)) >= 1e-3 for t in same)


def _names(rows: list[Thread]) -> set[str]:
    return {t.size for t in rows}


def _unknown_turns(text: str, same: list[Thread]) -> list[Thread]:
    names = ", ".join(t.size for t in same)
    raise UsageError(f"'{text}' has a number of threads an inch that is not in the tables; made as {names}")


def _inches(name: str) -> float:
    if name.startswith("#"):
        # numbered sizes: 0.060 in and 0.013 in more a number (ASME B1.1)
        return 0.060 + 0.013 * int(name[1:])
    m = re.fullmatch(_FRACTION, name)
    if m:
        return int(m[1] or 0) + int(m[2]) / int(m[3])
    return float(name)
