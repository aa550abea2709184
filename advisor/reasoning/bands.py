"""Which hydrogen bands of hardness are possible for the part, told or not; the safe side where nothing is told."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.graph.base import Base
from advisor.trade.hydrogen_risk import CASE, IMMUNE, Hardness, order, softest, zone

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def possible_bands(base: Base, told: Mapping[str, Any]) -> tuple[tuple[str, ...], bool]:
    """The possible bands, and whether they are settled (told, or the part leaves only one).

    A band is a zone of the hardness ladder. A reading beside a strength never lowers it; a reading of an unmarked part
    that is hard by default counts only where it is soft.
    """
    zones = base.table("hydrogen-zones")
    strength = told.get("strength")
    reading = told.get("hardness_hrc")
    part = told.get("part")
    default = _of_part(base, part, told.get("circumstance", []))
    node = base.kind("strength").get(str(strength).lower()) if isinstance(strength, str) else None
    measured = zone(zones, Hardness(hrc=float(reading))) if isinstance(reading, (int, float)) else None
    if node is not None:
        band = str(node["band"])
        if band in (IMMUNE, CASE) or measured is None:
            return (band,), True
        return (max(band, measured, key=order(zones).index),), True
    if measured is not None:
        hard_by_default = not any(b in (softest(zones), IMMUNE) for b in default)
        if hard_by_default and measured != softest(zones):
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
        node = nodes.get(next(iter(base.role("part-untold")), ""))
    return tuple(node["possible_bands"]) if node else order(base.table("hydrogen-zones"))
