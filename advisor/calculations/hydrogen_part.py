"""The part whose hydrogen risk is judged: its class or reading, its hardness as stated, and as shown in both scales."""

from __future__ import annotations

import re
from collections.abc import Mapping

from advisor.calculations.strengths import Pair, grade_at
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.records import NamedTuple
from advisor.trade.hardness import convert_hardness
from advisor.trade.hydrogen_risk import (
    CASE,
    IMMUNE,
    Hardness,
    Steel,
    between_lines,
    hardest,
    softest,
    state,
    zone,
    zone_of,
)
from advisor.trade.sizes import read_size

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

_SCALES = {"": "hrc", "hrc": "hrc", "hv": "hv", "hb": "hb", "hbw": "hb", "hrb": "hrb", "mpa": "tensile_mpa"}
_CONVERSIONS = ("hardness-conversion", "hardness-conversion-hrb", "hardness-conversion-hard")


class Stand(NamedTuple):
    """How the part stands on the hardness ladder: its zone, its row of the verdict table, and what each risks.

    `state_risk` is empty where the state is no zone (loaded in compression, bent, hard stainless) or a hard case.
    """

    zone: str
    zone_risk: str
    state: str
    state_risk: str
    last: bool
    """Whether the state is the hardest zone."""
    softest: bool
    between_lines: bool


class Part(NamedTuple):
    """The part in hand: its class (if any), its steel, and its hardness range in both scales for showing."""

    name: str
    grade: str
    steel: Steel
    hrc: Pair
    hv: Pair
    tensile_mpa: float | None
    structural: bool
    stand: Stand


RISKY = ("moderate", "high")
"""What a steel risks from where the plating line must be verified."""


def stand_of(base: Base, steel: Steel) -> Stand:
    """Where a steel stands; UsageError when its hardness is not known."""
    zones = base.table("hydrogen-zones")
    risks = {str(r["zone"]): str(r["susceptibility"]) for r in zones.records()}
    where, what = zone_of(zones, steel), state(zones, steel)
    risk = "" if what == CASE else risks.get(what, "")
    between = between_lines(zones, steel.hardness)
    return Stand(where, risks[where], what, risk, what == hardest(zones), where == softest(zones), between)


def read_part(base: Base, given: Mapping[str, str]) -> Part:
    """The part that `strength`, `hardness` and `size` describe; UsageError when neither says how hard it is."""
    measured = read_hardness(given["hardness"]) if "hardness" in given else None
    if "strength" not in given and measured is None:
        raise UsageError("give --strength with a class such as 10.9, or --hardness with a reading such as 38 or 385HV")
    tables = tuple(base.table(t) for t in _CONVERSIONS)
    zones = base.table("hydrogen-zones")
    if "strength" not in given:
        assert measured is not None
        scale, value = measured
        hrc = (value, value) if scale == "hrc" else _both(tables, scale, value, "hrc")
        hv = (value, value) if scale == "hv" else _both(tables, scale, value, "hv")
        if scale == "hrc":
            stated = Hardness(hrc=value)
        elif scale == "hv":
            stated = Hardness(hv=value)
        else:
            stated = Hardness(hrc[1], hv[1], value if scale == "tensile_mpa" else None)
        if stated == Hardness():
            raise UsageError(f"'{given['hardness']}' lies outside the hardness tables (132 to 513 HV, 440 to 1760 MPa)")
        # A Vickers reading in the last zone is put there by conversion: to the safe side, no line in HV is published.
        if stated.hrc is None and hrc[1] is not None and zone(zones, Hardness(hrc=hrc[1])) == hardest(zones):
            stated = stated._replace(hrc=hrc[1])
        tensile = value if scale == "tensile_mpa" else _convert(tables, scale, value, "tensile_mpa")
        steel = Steel(stated)
        name = base.phrase("say-hydrogen-measured")
        return Part(name, "", steel, hrc, hv, tensile, False, stand_of(base, steel))
    diameter = None
    if "size" in given:
        diameter = read_size(base.table("thread-sizes"), given["size"]).diameter_mm
    g = grade_at(base, given["strength"], diameter)
    hrc, hv = g.hrc, g.hv
    stated = Hardness(hrc[1], hv[1], g.tensile_mpa[1])
    for scale, pair in (("hrc", hrc), ("hv", hv), ("hb", g.hb), ("hrb", g.hrb), ("tensile_mpa", g.tensile_mpa)):
        hrc = _fill(tables, hrc, scale, pair, "hrc")
        hv = _fill(tables, hv, scale, pair, "hv")
    if hrc[0] is None and hrc[1] is not None:
        hrc = (_convert(tables, "tensile_mpa", g.tensile_mpa[0], "hrc"), hrc[1])
    if hv[0] is None and hv[1] is not None:
        hv = (_convert(tables, "tensile_mpa", g.tensile_mpa[0], "hv"), hv[1])
    node = g.node
    if stated.hrc is None and stated.hv is None:
        stated = stated._replace(hv=hv[1])
    if measured is not None:
        # One reading never lowers a class: the higher of the two counts.
        field = {"hrc": "hrc", "hv": "hv"}.get(measured[0])
        if field is None:
            raise UsageError("beside a strength class give the reading in HRC or HV, e.g. 38 or 385HV")
        now = getattr(stated, field)
        stated = stated._replace(**{field: max(measured[1], now or 0.0)})
    if stated == Hardness():
        stated = Hardness(tensile_mpa=g.tensile_mpa[0] or 0.0)
    band = str(node["band"])
    least = "" if band in (CASE, IMMUNE) else band
    steel = Steel(stated, str(node["product"]), band == CASE, _stainless(node), least)
    top = max((h for h in (stated.hrc and _convert(tables, "hrc", stated.hrc, "tensile_mpa"),) if h), default=None)
    tensile = g.tensile_mpa[1] or top or (stated.hv and _convert(tables, "hv", stated.hv, "tensile_mpa")) or None
    return Part(g.name, g.id, steel, hrc, hv, tensile, bool(node.get("structural")), stand_of(base, steel))


def _stainless(node: Mapping[str, Any]) -> str:
    if node["material"] != "stainless-steel":
        return "no"
    return "austenitic" if node["band"] == IMMUNE else "hardenable"


def read_hardness(text: str) -> tuple[str, float]:
    """Scale and value of a hardness as typed: a bare number is HRC; HV, HB, HRB and MPa are named.

    >>> read_hardness("38"), read_hardness("385 HV"), read_hardness("HRC39.5")
    (('hrc', 38.0), ('hv', 385.0), ('hrc', 39.5))
    """
    m = re.fullmatch(r"\s*([a-zA-Z]*)\s*(\d+(?:[.,]\d+)?)\s*([a-zA-Z]*)\s*", text)
    scale = _SCALES.get((m[1] or m[3]).lower()) if m and not (m[1] and m[3]) else None
    if m is None or scale is None:
        raise UsageError(f"'{text}' is not a hardness; write 38 (HRC), 385HV, 350HB, 95HRB or 1250MPa")
    value = float(m[2].replace(",", "."))
    if scale == "hrc" and value > 70:
        raise UsageError(
            f"{value:g} HRC does not exist (the scale is used to about 68); write {value:g}HV if it is Vickers"
        )
    return scale, value


def _convert(tables: tuple[Any, ...], scale: str, value: float | None, to: str) -> float | None:
    if value is None or scale == to:
        return value
    try:
        return round(convert_hardness(tables, scale, value, to), 1)
    except UsageError:
        return None


def _both(tables: tuple[Any, ...], scale: str, value: float, to: str) -> Pair:
    got = _convert(tables, scale, value, to)
    return (got, got)


def _fill(tables: tuple[Any, ...], have: Pair, scale: str, pair: Pair, to: str) -> Pair:
    """The range in a scale, its open ends filled from another scale by conversion, for showing only."""
    low = have[0] if have[0] is not None or scale == "tensile_mpa" else _convert(tables, scale, pair[0], to)
    high = have[1] if have[1] is not None else _convert(tables, scale, pair[1], to)
    return (low, high)
