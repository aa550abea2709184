"""From what a line tells to the inputs of the calculation that it asks for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from advisor.calculations.options import Calculation
from advisor.calculations.registry import options, run
from advisor.errors import AdvisorError
from advisor.graph.base import Base
from advisor.language.requests import Request

_FED_BY: Mapping[str, tuple[str, ...]] = {
    "size": ("size",),
    "class": ("thread_class",),
    "length": ("length_mm",),
    "thickness": ("thickness_um",),
    "zinc": ("thickness_um",),
    "finish": ("finish_asked",),
    "strength": ("strength",),
    "hardness": ("hardness_hrc",),
    "site": ("corrosivity", "environment"),
    "temperature": ("mean_temperature_c",),
    "humidity": ("humidity_percent",),
    "so2": ("so2",),
    "chloride": ("chloride",),
    "k": ("torque_coefficient",),
    "target": ("share_percent",),
    "metals": ("mating",),
    "part": ("part",),
    "count": ("quantity",),
    "value": ("value",),
    "unit": ("unit",),
    "to": ("unit_wanted",),
    "callout": ("callout",),
}
"""Which told figure feeds an input of a calculation; of several the first that was told."""
_IN_PLACE_OF = {"thickness": "finish", "zinc": "finish", "k": "finish", "mu-thread": "finish", "strength": "hardness"}
"""An input that was told makes another needless."""
_CLIMATE = frozenset(("temperature", "humidity", "so2", "chloride"))
_BOTH_NEEDED = {"life": (frozenset(("zinc", "finish")), frozenset(("site", "chloride")))}
_UNASKED = {"fit": {"strength"}, "hydrogen": {"size"}, "quantity": {"finish", "site", "years"}, "torque": {"site"}}


def calculation_of(base: Base, request: Request) -> Calculation | None:
    """The calculation that a request asks for; None when what was told is not enough for it."""
    command = "decode" if request.kind == "decode" else request.about
    inputs = inputs_of(command, request)
    if inputs is None:
        return None
    try:
        return run(base, command, inputs)
    except AdvisorError:
        return None


def inputs_of(command: str, request: Request) -> dict[str, str | list[str]] | None:
    """The inputs of a calculation as far as the line tells them; None when one that it needs was not told."""
    if request.kind == "decode":
        return {"callout": [request.about or request.words]}
    told = request.inputs
    out: dict[str, str | list[str]] = {}
    for option in options(command):
        if option.name in _UNASKED.get(command, ()):
            continue
        value = next((told[name] for name in _FED_BY.get(option.name, ()) if name in told), None)
        if value is not None:
            out[option.name] = [str(v) for v in value] if option.many else _one(value)
    window = told.get("friction_window")
    if command == "torque" and window and "k" not in out:
        out.update({"mu-thread": _one(window[0]), "mu-head": _one(window[-1])})
    for one, other in _IN_PLACE_OF.items():
        if one in out:
            out.pop(other, None)
    if "corrosivity" in told or not out.keys() >= _CLIMATE:
        for name in _CLIMATE:
            out.pop(name, None)
    else:
        out.pop("site", None)
    if command == "quantity":
        out.setdefault("part", "hex-bolt")
    return out if _enough(command, out) else None


def _one(value: Any) -> str:
    first = value[0] if isinstance(value, (list, tuple)) else value
    return f"{first:g}" if isinstance(first, (int, float)) else str(first)


def _enough(command: str, told: Mapping[str, Any]) -> bool:
    """Whether what cannot be assumed was told."""
    if command == "couple":
        return len(told.get("metals", ())) >= 2
    if command == "hydrogen":
        return "finish" in told and ("strength" in told or "hardness" in told)
    if any(told.keys().isdisjoint(group) for group in _BOTH_NEEDED.get(command, ())):
        return False
    needed = {o.name for o in options(command) if o.required}
    return needed <= told.keys() and (command != "quantity" or "length" in told)
