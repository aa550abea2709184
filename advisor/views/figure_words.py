"""Figures in words: which are worth a line, and how they are rounded and said."""

from __future__ import annotations

import math
from collections.abc import Mapping

from advisor.graph.base import Base
from advisor.reasoning.figures import ShownFigure
from advisor.trade.zinc_life import CAP_YEARS, LifeTable

TEN, THIRTY = 10, 30
NEARLY = 0.25
"""Years are rounded down, unless so little is missing."""


def telling(figures: Mapping[str, ShownFigure]) -> dict[str, ShownFigure]:
    """The figures worth a line: no zeros, no white rust that is the same as red rust, one limit of heat."""
    out = {q: f for q, f in figures.items() if f.high > 0}
    for q, same in (("salt_spray_white_h", "salt_spray_red_h"), ("temperature_ok_c", "temperature_limit_c")):
        if q in out and same in out and out[q][:2] == out[same][:2]:
            del out[q]
    return out


def figure_line(base: Base, quantity: str, low: float, high: float) -> str:
    """A figure in words: "red rust in salt spray: 480 to 720 h"."""
    if quantity == "torque_nm":
        # one figure to set: the other end of the range is for a coat that slides less well
        return base.phrase("look-torque", set=f"{low:g}")
    shown = years_span(low, high) if quantity == "life_years" else span(low, high)
    return base.phrase(f"figure-{quantity.replace('_', '-')}", value=shown)


def years_span(low: float, high: float) -> str:
    """Years as people say them: whole ones from ten on, "over 100" at the cap."""
    first, last = (LifeTable.shown(x + (x >= CAP_YEARS)) for x in (low, high))
    return first if first == last else f"{first} to {last}"


def span(low: float, high: float) -> str:
    """A range, or the one figure.

    >>> span(1.3, 2), span(5, 5)
    ('1.3 to 2', '5')
    """
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def round_years(years: float) -> str:
    """Years rounded to what such a figure is worth, downwards: halves below two, whole ones below thirty, then fives.

    >>> round_years(0.95), round_years(1.7), round_years(7.9), round_years(24), round_years(71), round_years(100)
    ('0.9', '1.5', '8', '24', '70', '100')
    """
    if years < 1:
        return f"{math.floor(years * 10) / 10:g}"
    if years < THIRTY:
        return f"{math.floor(years * 2) / 2:g}" if years < 2 else f"{math.floor(years + NEARLY)}"
    step = 5
    return f"{math.floor(years / step) * step:g}"


def round_factor(low: float, high: float) -> str:
    """The middle of a price factor, as a person would say it.

    >>> round_factor(1.3, 2), round_factor(3, 8), round_factor(15, 40)
    ('1.6', '5', '25')
    """
    middle = math.sqrt(low * high)
    step = 0.1 if middle < 2 else 0.5 if middle < 4 else 1 if middle < TEN else 5
    return f"{round(round(middle / step) * step, 2):g}"
