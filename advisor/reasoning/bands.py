"""Which hydrogen bands of hardness are possible for the part, told or not; the safe side where nothing is told."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from advisor.graph.base import Base

ORDER = ("NONE", "H0", "H1", "H2", "H3", "H4")
"""From harmless to hardest; CASE stands beside and counts as hard."""


def band_of_reading(hardness_hrc: float) -> str:
    """The band of a measured hardness in HRC.

    >>> [band_of_reading(x) for x in (34, 36.9, 37, 39, 39.1, 46, 46.1)]
    ['H0', 'H1', 'H2', 'H2', 'H3', 'H3', 'H4']
    """
    if hardness_hrc <= 34:
        return "H0"
    if hardness_hrc < 37:
        return "H1"
    if hardness_hrc <= 39:
        return "H2"
    return "H3" if hardness_hrc <= 46 else "H4"


def possible_bands(base: Base, told: Mapping[str, Any]) -> tuple[tuple[str, ...], bool]:
    """The possible bands, and whether they are settled (told, or the part leaves only one).

    A reading beside a strength never lowers it; a soft reading of an unmarked hard part counts only up to 34 HRC.
    """
    strength = told.get("strength")
    reading = told.get("hardness_hrc")
    part = told.get("part")
    default = _of_part(base, part, told.get("circumstance", []))
    node = base.kind("strength").get(str(strength).lower()) if isinstance(strength, str) else None
    measured = band_of_reading(float(reading)) if isinstance(reading, (int, float)) else None
    if node is not None:
        band = str(node["band"])
        if band in ("NONE", "CASE") or measured is None:
            return (band,), True
        return (max(band, measured, key=ORDER.index),), True
    if measured is not None and isinstance(reading, (int, float)):
        hard_by_default = not any(b in ("H0", "NONE") for b in default)
        if hard_by_default and reading > 34:
            return tuple(dict.fromkeys((*(b for b in default), measured))) if len(default) > 1 else default, True
        return (measured,), True
    return default, len(default) == 1


def _of_part(base: Base, part: object, circumstances: object) -> tuple[str, ...]:
    nodes = base.kind("exposure")
    for c in circumstances if isinstance(circumstances, list) else []:
        node = nodes.get(f"circumstance-{c}")
        if node and node.get("possible_bands"):
            return tuple(node["possible_bands"])
    node = nodes.get(str(part)) if isinstance(part, str) else None
    if node is None or not node.get("possible_bands"):
        node = nodes.get("part-unknown")
    return tuple(node["possible_bands"]) if node else ("H0", "H1", "H2")
