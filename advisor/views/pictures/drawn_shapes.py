"""What a picture is drawn of: boxes, lines and words in units of a pixel, each with the part it plays."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.records import NamedTuple
from advisor.views.layout import cells

LETTER = 0.56
"""Mean width of a letter, as a share of its height, on the generous side."""
WORDS_SIZE, SMALL_SIZE = 11.5, 10.0
"""Heights of ordinary and of small words in a picture."""


class Box(NamedTuple):
    """A rectangle; `role` says what it stands for: bar, first, other, room, coat, told, taken, rule, paper, choice."""

    x: float
    y: float
    width: float
    height: float
    role: str
    radius: float = 2.0


class Stroke(NamedTuple):
    """A line through points; `role`: axis, tick, limit, wish, edge, profile, coat-line."""

    points: tuple[tuple[float, float], ...]
    role: str


class Label(NamedTuple):
    """Words at a point; `anchor`: start, middle or end; `role`: words, strong, small, boxed (small, in a box)."""

    x: float
    y: float
    text: str
    role: str = "words"
    anchor: str = "start"


Shape = Box | Stroke | Label


class Drawing(NamedTuple):
    """Shapes on a sheet of so many units."""

    width: float
    height: float
    shapes: tuple[Shape, ...]


class Picture(NamedTuple):
    """A picture with its title, the same in words with all numbers, and the figures as (name, low, high, unit)."""

    id: str
    title: str
    text: str
    drawing: Drawing
    figures: tuple[tuple[str, float, float, str], ...]
    wide: bool = False


class Scale(NamedTuple):
    """A straight axis: values from `low` to `high` on places from `start` to `end`."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """The place of a value, kept within the sheet.

        >>> Scale(0, 50, 100, 200).at(25), Scale(0, 50, 100, 200).at(80)
        (150.0, 200)
        """
        share = (value - self.low) / (self.high - self.low)
        return min(self.end, max(self.start, self.start + share * (self.end - self.start)))


def width_of(text: str, role: str = "words") -> float:
    """About how wide words are drawn."""
    return cells(text) * LETTER * (SMALL_SIZE if role in ("small", "boxed") else WORDS_SIZE)


def fitted(text: str, width: float, role: str = "words") -> str:
    """Words cut to a width, with a mark where something is gone.

    >>> fitted("Hot-dip galvanized and spun", 80)
    'Hot-dip gal…'
    """
    if width_of(text, role) <= width:
        return text
    kept = text
    while kept and width_of(kept + "…", role) > width:
        kept = kept[:-1]
    return kept.rstrip(" ,;.(") + "…"


def in_lines(text: str, width: float, most: int, role: str = "words") -> list[str]:
    """Words broken into at most so many lines of a width."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if width_of(longer, role) <= width or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(word)
    if len(lines) > most:
        lines = [*lines[: most - 1], fitted(" ".join(lines[most - 1 :]), width, role)]
    return [fitted(x, width, role) for x in lines]


def steps(high: float, most: int = 6) -> list[float]:
    """Round values from 0 to at least `high` for an axis.

    >>> steps(71), steps(0.8)
    ([0.0, 20.0, 40.0, 60.0, 80.0], [0.0, 0.2, 0.4, 0.6, 0.8])
    """
    size = 10.0**-6
    while True:
        for factor in (1, 2, 5):
            step = size * factor
            if high / step <= most - 1:
                count = int(-(-high // step)) or 1
                return [round(n * step, 9) for n in range(count + 1)]
        size *= 10


def axis(scale: Scale, y: float, values: Iterable[float], unit: str) -> list[Shape]:
    """A level axis with its values below and the unit at its end."""
    shapes: list[Shape] = [Stroke(((scale.start, y), (scale.end, y)), "axis")]
    for v in values:
        x = scale.at(v)
        shapes += [Stroke(((x, y), (x, y + 4)), "tick"), Label(x, y + 15, f"{v:g}", "small", "middle")]
    shapes.append(Label(scale.end, y + 29, unit, "small", "end"))
    return shapes
