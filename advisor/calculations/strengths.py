"""Strength classes as the calculations use them: found by what people type, with the figures of one size."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

Pair = tuple[float | None, float | None]

_PREFIXES = ("gr", "nut-", "a563-", "a194-", "astm-", "sae-")


class Grade(NamedTuple):
    """One strength class at one size: strengths in MPa, hardness as (low, high) in each scale that is stated."""

    id: str
    name: str
    node: Mapping[str, Any]
    tensile_mpa: Pair
    yield_mpa: float | None
    proof_mpa: float | None
    hrc: Pair
    hv: Pair
    hb: Pair
    hrb: Pair


def find_strength(base: Base, text: str) -> str:
    """The id of the strength class a text names; UsageError with the nearest classes when there is none."""
    known = base.kind("strength")
    key = re.sub(r"[\s_]+", "-", text.strip().lower())
    key = re.sub(r"^(class|grade|property-class|astm|sae|iso)-", "", key).removeprefix("grade")
    for candidate in (key, *(p + key for p in _PREFIXES), key.replace("-", "", 1), re.sub(r"^gr-", "gr", key)):
        if candidate in known:
            return candidate
    for strength_id, node in known.items():
        if any(_plain(name) == _plain(text) for name in node.get("also", ())):
            return strength_id
    # imported late: only a mistyped class needs it
    from rapidfuzz import process

    names = [str(n["grade"]) for n in known.values()]
    near = ", ".join(hit[0] for hit in process.extract(text, names, limit=4))
    raise UsageError(f"'{text}' is not a strength class of the base; nearest: {near}")


def _plain(name: str) -> str:
    return re.sub(r"[\s_-]+", "", name.lower())


def grade_at(base: Base, text: str, diameter_mm: float | None = None) -> Grade:
    """The figures of a strength class at a diameter in mm.

    Without a diameter the size range with the highest hardness (or strength) counts, which is the safe side for
    hydrogen. Raises UsageError when the class is not made in that diameter.
    """
    strength_id = find_strength(base, text)
    node = base.node(strength_id)
    row = _row(node, diameter_mm)
    return Grade(
        strength_id,
        str(node["name"]),
        node,
        _pair(row, node, "tensile_mpa", minimum=True),
        _number(row, node, "yield_mpa"),
        _number(row, node, "proof_mpa"),
        _pair(row, node, "hardness_hrc"),
        _pair(row, node, "hardness_hv"),
        _pair(row, node, "hardness_hb"),
        _pair(row, node, "hardness_hrb"),
    )


def _row(node: Mapping[str, Any], diameter_mm: float | None) -> Mapping[str, Any]:
    rows: Sequence[Mapping[str, Any]] = node.get("by_size") or ()
    if not rows:
        return {}
    if diameter_mm is None:
        return max(rows, key=_hardest)
    for row in rows:
        if row.get("over_mm", 0.0) - 1e-6 < diameter_mm <= row.get("to_mm", 1e9) + 1e-6 and not (
            "over_mm" in row and diameter_mm <= row["over_mm"] + 1e-6
        ):
            return row
    ends = [row["to_mm"] for row in rows if "to_mm" in row]
    raise UsageError(f"{node['name']} is made up to {max(ends):g} mm, not in {diameter_mm:g} mm; choose another class")


def _hardest(row: Mapping[str, Any]) -> tuple[float, float]:
    for key in ("hardness_hv", "hardness_hrc", "hardness_hb", "hardness_hrb"):
        if key in row:
            return (_ends(row[key])[1] or 0.0, _ends(row.get("tensile_mpa", 0))[1] or 0.0)
    return (0.0, _ends(row.get("tensile_mpa", 0))[1] or 0.0)


def _ends(value: Any) -> Pair:
    return (float(value[0]), float(value[1])) if isinstance(value, list) else (None, float(value))


def _pair(row: Mapping[str, Any], node: Mapping[str, Any], key: str, minimum: bool = False) -> Pair:
    value = row.get(key, node.get(key))
    if value is None:
        return (None, None)
    low, high = _ends(value)
    # a single strength is a minimum, a single hardness a maximum
    return (high, None) if minimum and low is None else (low, high)


def _number(row: Mapping[str, Any], node: Mapping[str, Any], key: str) -> float | None:
    value = row.get(key, node.get(key))
    return None if value is None else float(value)
