"""What the size told says of the thread, and of the mass of a part and of the whole lot."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.graph.base import Base
from advisor.trade.sizes import size_of

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def thread_of(base: Base, size: str) -> dict[str, Any]:
    """diameter_mm, pitch_mm, thread_system, thread_series and length as a size gives them; empty if it is none."""
    found = size_of(base.table("thread-sizes"), size)
    if found is None:
        return {}
    out: dict[str, Any] = {"thread_system": found.system, "diameter_mm": found.diameter_mm}
    if found.pitch_mm is not None:
        out["pitch_mm"] = round(found.pitch_mm, 4)
    if found.series:
        out["thread_series"] = found.series
    if found.length_mm is not None:
        out["length_mm"] = found.length_mm
    return out


def diameter_mm(base: Base, size: str) -> float | None:
    """The diameter in mm that a size names; None when it cannot be read."""
    found = thread_of(base, size).get("diameter_mm")
    return float(found) if found is not None else None


def lot(values: Mapping[str, Any]) -> dict[str, float]:
    """length_ratio, mass_g and lot_kg where size, length and number are told.

    Mass of a hexagon bolt roughly: steel of 7.85 g/cm³, shank d²·π/4 over the length and a head worth 1.8 d; where
    no length is told, 4 d. Only good for telling a handful from a plating lot.

    >>> lot({"diameter_mm": 10.0, "length_mm": 40.0, "quantity": 200})
    {'length_ratio': 4.0, 'mass_g': 35.79, 'lot_kg': 7.157}
    """
    d = values.get("diameter_mm")
    if not isinstance(d, (int, float)):
        return {}
    length, count = values.get("length_mm"), values.get("quantity")
    out: dict[str, float] = {}
    if isinstance(length, (int, float)):
        out["length_ratio"] = round(length / d, 2)
    each = 0.00617 * d * d * ((length if isinstance(length, (int, float)) else 4 * d) + 1.8 * d)
    out["mass_g"] = round(each, 2)
    if isinstance(count, (int, float)):
        out["lot_kg"] = round(each * count / 1000, 3)
    return out
