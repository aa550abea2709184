"""Thread sizes as the trade writes them, and the diameters and areas that strength and torque need."""

from __future__ import annotations

import re
from math import pi, sqrt

from advisor.errors import UsageError
from advisor.records import NamedTuple
from advisor.trade.tables import Table

INCH_MM = 25.4
SAME_MM = 1e-3
"""Two diameters or pitches closer than this are the same."""
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


class Size(NamedTuple):
    """A size as somebody wrote it: what is on the order, whether or not a table of threads holds it.

    `name` in the trade's spelling (`M10x1.25`, `3/8-16`, `#10-32`, `ST4.8`); `series` coarse, fine or empty; lengths in
    mm; `pitch_mm` is the coarse one where none was written; `thread` is the row of the table, None when it has none.
    """

    name: str
    system: str
    series: str
    diameter_mm: float
    pitch_mm: float | None
    length_mm: float | None
    thread: Thread | None


def inches(text: str) -> float:
    """Inches from a whole number, a fraction, both, or a numbered size (0.060 in + 0.013 in a number, ASME B1.1).

    Raises ValueError when the text is none of them, ZeroDivisionError for a fraction of nothing.

    >>> inches("1-1/2"), inches("3/8"), inches("2"), round(inches("#10"), 3)
    (1.5, 0.375, 2.0, 0.19)
    """
    if text.startswith("#"):
        return 0.060 + 0.013 * int(text[1:])
    total = 0.0
    for part in re.split(r"[ -]+(?:and[ -])?", text):
        top, _, bottom = part.partition("/")
        total += float(top) / float(bottom) if bottom else float(top)
    return total


def size_of(table: Table, text: str) -> Size | None:
    """What a size as written says, whether or not a table holds it; None when the text is no size.

    `table` lists the known threads (size, system, series, diameter_mm, pitch_mm), the coarse one of a diameter first.
    A bare number is inches up to 2 (and 1.25, 1.5, 1.75), a number and threads an inch that together make a numbered
    size are that size, and any other bare number is the diameter of a screw in millimetres.

    >>> t = Table("t", ("size", "system", "series", "diameter_mm", "pitch_mm"),
    ...           (("M10", "metric", "coarse", 10.0, 1.5), ("M10x1.25", "metric", "fine", 10.0, 1.25),
    ...            ("#10-32", "inch", "unf", 4.826, 0.79375), ("3/8-16", "inch", "unc", 9.525, 1.5875)))
    >>> [(s.name, s.pitch_mm, s.length_mm) for s in (size_of(t, x) for x in ("m10 x 1.5 x 40", "M10x50", "10-32")) if s]
    [('M10', 1.5, 40.0), ('M10', 1.5, 50.0), ('#10-32', 0.79375, None)]
    >>> size_of(t, '3/8" UNC x 2').length_mm, size_of(t, "ST4.8").diameter_mm, size_of(t, "a few")
    (50.8, 4.8, None)
    """
    plain = _plain(text)
    metric = re.fullmatch(
        r"(m|st)?(\d+(?:\.\d+)?)(?:mm)?(?:[x-](\d+(?:\.\d+)?))?(?:[x-](\d+(?:\.\d+)?))?(?:mm)?", plain
    )
    if metric and (metric[1] or _in_millimetres(metric[2], plain, metric[3])):
        a, b = (float(x) if x else None for x in (metric[3], metric[4]))
        return _metric(table, metric[1] or "", float(metric[2]), a, b)
    inch = re.fullmatch(
        r"(#\d+|\d+-\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)(?:in)?(?:-(\d+(?:\.\d+)?|\d+-1/2)(?!/))?-?(?:tpi)?"
        r"((?!x)\d?[a-z]+)?(?:x(\d+-\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)(in|mm)?)?",
        plain,
    )
    if inch is None:
        return None
    try:
        return _inch(table, inch[1], inch[2], inch[3] or "", _length(inch[4], inch[5]))
    except (ValueError, ZeroDivisionError):
        return None


def read_size(table: Table, text: str) -> Thread:
    """The thread a size names: `M10` (coarse), `M10x1.25`, `3/8-16`, `1-1/8-8`, `#10-32`, `3/8` (UNC), `1/2 UNF`.

    A length behind the pitch is left aside. Raises UsageError with the nearest sizes when it is not in the table.

    >>> t = Table("t", ("size", "system", "series", "diameter_mm", "pitch_mm"),
    ...           (("M10", "metric", "coarse", 10.0, 1.5), ("3/8-16", "inch", "unc", 9.525, 1.5875)))
    >>> read_size(t, "m10 x 1.5").series, read_size(t, '3/8"-16').pitch_mm, read_size(t, "3/8").size
    ('coarse', 1.5875, '3/8-16')
    """
    size = size_of(table, text)
    if size is None or (size.system == "metric" and not size.name.startswith("M")):
        raise UsageError(f"'{text}' is not a thread size; write it as M10, M10x1.25, 3/8-16, 1-1/8-8 or #10-32")
    if size.thread is None:
        raise UsageError(_why_unknown(table, text, size))
    return size.thread


def _why_unknown(table: Table, text: str, size: Size) -> str:
    rows = _rows(table, size.system)
    same = ", ".join(t.size for t in rows if abs(t.diameter_mm - size.diameter_mm) < SAME_MM)
    if same and size.system == "metric":
        coarse = f"M{size.diameter_mm:g}"
        names = ", ".join(f"{coarse}x{t.pitch_mm:g}" for t in rows if abs(t.diameter_mm - size.diameter_mm) < SAME_MM)
        return f"'{text}' has a pitch that is not in the tables; {coarse} is made as {names}"
    if same:
        return f"'{text}' has a number of threads an inch that is not in the tables; made as {same}"
    near = sorted(rows, key=lambda t: abs(t.diameter_mm - size.diameter_mm))
    if size.system == "metric":
        names = ", ".join(f"M{d:g}" for d in sorted(list(dict.fromkeys(t.diameter_mm for t in near))[:2]))
        return f"'{text}' is not a metric size of the tables (M1.6 to M64); nearest: {names}"
    names = ", ".join(t.size for t in near[:3])
    return f"'{text}' is not an inch size of the tables (#0 to 4 in); nearest: {names}"


def _plain(text: str) -> str:
    t = text.strip().lower().replace(",", ".")
    for glyph, fraction in _GLYPHS.items():
        if glyph in t:
            t = re.sub(rf"(\d)\s*{glyph}", rf"\1-{fraction}", t).replace(glyph, fraction)
    t = re.sub(r"\s*(?:\"|”|″|''|inch|in\.?)(?=\s|-|x|×|$)", "in", t)
    t = t.replace("×", "x").replace("*", "x").replace("no.", "#").replace("no ", "#")
    t = re.sub(r"\s*([x-])\s*", r"\1", re.sub(r"^(m|st|#)\s+", r"\1", t))
    t = re.sub(r"(\d)\s+(\d+/\d)", r"\1-\2", t)
    t = re.sub(r"\s+(?=\d)", "-", t)
    t = re.sub(r"\s+", "", t)
    # the tolerance class at the end is no part of the size
    return re.sub(r"-(?:[1-3][ab]|(?:\d{1,2}[egh]){1,2})$", "", t)


_INCH_DECIMALS = ("1.25", "1.5", "1.75")


def _in_millimetres(number: str, plain: str, second: str | None) -> bool:
    """Whether a number without a mark in front is a diameter in millimetres."""
    if "mm" in plain:
        return "in" not in plain
    if re.match(r"[\d.]+-", plain) or plain.endswith("in"):
        return False
    return number not in _INCH_DECIMALS and (float(number) > 2 or second is not None)


def _rows(table: Table, system: str, diameter_mm: float | None = None) -> list[Thread]:
    """The threads of a system, or those of one diameter."""
    at = [table.columns.index(c) for c in ("size", "system", "series", "diameter_mm", "pitch_mm")]
    d = at[3]
    return [
        Thread(str(r[at[0]]), system, str(r[at[2]]), _mm(r[d]), _mm(r[at[4]]))
        for r in table.rows
        if r[at[1]] == system and (diameter_mm is None or abs(_mm(r[d]) - diameter_mm) < SAME_MM)
    ]


def _mm(cell: object) -> float:
    assert isinstance(cell, (int, float))
    return float(cell)


def _metric(table: Table, mark: str, diameter: float, a: float | None, b: float | None) -> Size | None:
    """`a` and `b` are the numbers behind the diameter: a pitch and a length, or a length alone."""
    if not diameter:
        return None
    same = _rows(table, "metric", diameter) if mark == "m" else []
    coarse = same[0].pitch_mm if same else None
    if mark == "m" and a is not None and b is None and a > (coarse or diameter / 4):
        # no thread is coarser than coarse, so the second number is a length
        a, b = None, a
    elif mark != "m":
        a, b = None, b or a
    name = f"{mark.upper()}{diameter:g}"
    pitch = a or coarse
    thread = next((t for t in same if pitch is not None and abs(t.pitch_mm - pitch) < SAME_MM), None)
    if thread is None and a is not None:
        name = f"{name}x{a:g}"
    return _sized(name, "metric", diameter, pitch, coarse, b, thread)


def _sized(
    name: str,
    system: str,
    diameter: float,
    pitch: float | None,
    coarse: float | None,
    length: float | None,
    thread: Thread | None,
) -> Size:
    series = "" if pitch is None or coarse is None else "coarse" if pitch >= coarse - SAME_MM else "fine"
    return Size(thread.size if thread else name, system, series, diameter, pitch, length, thread)


_SERIES = {"unrc": "unc", "unrf": "unf", "un": "8un", "coarse": "unc", "nc": "unc", "fine": "unf", "nf": "unf"}


def _inch(table: Table, name: str, turns: str | None, series: str, length: float | None) -> Size | None:
    if series and "/" not in name and series not in (*_SERIES, *_SERIES.values()):
        return None
    diameter = inches(name) * INCH_MM
    same = _rows(table, "inch", diameter)
    pitch = INCH_MM / float(turns.replace("4-1/2", "4.5")) if turns else None
    fits = [t for t in same if pitch is not None and abs(t.pitch_mm - pitch) < SAME_MM]
    if turns and not fits and name.isdigit():
        # 10-32 at the counter is number 10, not ten inches
        numbered = _inch(table, f"#{name}", turns, series, length)
        if numbered is not None and numbered.thread is not None:
            return numbered
    if turns is None and series:
        wanted = _SERIES.get(series, series)
        fits = [t for t in same if t.series == wanted]
    elif turns is None:
        fits = same
    coarse = same[0].pitch_mm if same else None
    thread = fits[0] if fits else None
    full = f"{name}-{turns}" if turns else f"{name} {series.upper()}".strip()
    if pitch is None:
        pitch = thread.pitch_mm if thread else None if series else coarse
    return _sized(full, "inch", round(diameter, 3), pitch, coarse, length, thread)


def _length(text: str | None, unit: str | None) -> float | None:
    """A length behind an inch size in mm: inches unless it is marked or no bolt is that long."""
    if text is None:
        return None
    millimetres = unit == "mm" or (unit is None and "/" not in text and float(text) > LONGEST_IN)
    return float(text) if millimetres else round(inches(text) * INCH_MM, 3)


LONGEST_IN = 14.0
"""A bare number behind an inch size above this is a length in millimetres."""
