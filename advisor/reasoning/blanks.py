"""Fills the blanks of an answer from the calculations: torques, room on the thread, the first choice.

A sentence whose blank cannot be filled is left out, so no answer shows a figure that nobody worked out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from advisor.errors import UsageError
from advisor.reasoning.case import Case
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.figures import figures_of, torque_of

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

Filler = Callable[[Engine, Judged, Sequence[str]], str]


def filled(engine: Engine, judged: Judged, families: Sequence[str], text: str) -> str:
    """A text with its blanks filled; what could not be filled is gone with its sentence."""
    if "{" not in text:
        return text
    out = []
    for sentence in sentences(text):
        values = {name: fill(engine, judged, families) for name, fill in BLANKS.items() if f"{{{name}}}" in sentence}
        try:
            whole = sentence.format(**values, torque=_Torque(engine, judged))
        except UsageError:
            continue
        if all(values.values()):
            out.append(whole)
    return " ".join(out)


class _Torque:
    """The blank {torque:CLASS:FINISH}: the window of a bolt of that class and finish in the size that was told."""

    def __init__(self, engine: Engine, judged: Judged) -> None:
        self._engine, self._judged = engine, judged

    def __format__(self, of: str) -> str:
        strength, _, finish = of.partition(":")
        size = self._judged.case.told.get("size")
        if not self._judged.case.is_told("size"):
            raise UsageError(of)
        told: dict[str, str | list[str]] = {
            "size": str(size),
            "strength": strength,
            "finish": self._engine.base.resolve_finish(finish),
        }
        from advisor.calculations.registry import run

        window = run(self._engine.base, "torque", told).results.get("torque_nm")
        if not isinstance(window, list):
            raise UsageError(of)
        low, typical, high = window[0], window[len(window) // 2], window[-1]
        return self._engine.base.phrase(
            "answered-about", low=f"{low:.0f}", typical=f"{typical:.0f}", high=f"{high:.0f}"
        )


def sentences(text: str) -> list[str]:
    """The sentences of a text, parted where a full stop is followed by a capital letter or a blank.

    >>> sentences("No. Offer {first}. M10 2.5 mm.")
    ['No.', 'Offer {first}.', 'M10 2.5 mm.']
    """
    out: list[str] = []
    for piece in text.split(". "):
        if out and not (piece[:1].isupper() or piece[:1] == "{"):
            out[-1] += ". " + piece
        else:
            out.append(piece)
    return [p if n == len(out) - 1 else p + "." for n, p in enumerate(out)]


def _first(engine: Engine, judged: Judged, families: Sequence[str]) -> str:
    """The first choice by name, where it is none of the finishes asked about."""
    if not judged.ranked or judged.ranked[0].family in families:
        return ""
    return engine.base.families[judged.ranked[0].family].name


def _told(slot: str) -> Filler:
    def told(_: Engine, judged: Judged, __: Sequence[str]) -> str:
        value = judged.case.told.get(slot)
        return str(value) if judged.case.is_told(slot) else ""

    return told


def _torques(engine: Engine, judged: Judged, families: Sequence[str]) -> str:
    """The torque windows of the finishes asked about, side by side."""
    shown = [t for f in families if (t := _torque(engine, judged.case, f))]
    return "; ".join(shown) if len(shown) == len(families) <= MOST_BESIDE else ""


def _torque(engine: Engine, case: Case, family: str) -> str:
    found = torque_of(engine, case, engine.base.resolve_finish(family))
    if found is None:
        return ""
    name = engine.base.families[family].name
    return engine.base.phrase("answered-torque", finish=name, low=f"{found.low:g}", high=f"{found.high:g}")


def _room(engine: Engine, judged: Judged, _: Sequence[str]) -> str:
    """The thickest plate on an ordinary thread of the size, in µm."""
    known = judged.case.known
    if known.get("thread_system") != "metric":
        return ""
    room = engine.rules.room_um(known.get("diameter_mm"))
    return "" if room is None else f"{room:g}"


def _prices(engine: Engine, judged: Judged, families: Sequence[str]) -> str:
    """What the finishes asked about cost against plain zinc plate; where none is named, the first few choices."""
    asked = families or [r.family for r in judged.ranked[:MOST_PRICED]]
    out = []
    for family in asked:
        cost = figures_of(engine, judged.case, engine.base.resolve_finish(family)).get("relative_cost")
        if cost is not None:
            name = engine.base.families[family].name
            out.append(engine.base.phrase("answered-price", finish=name, low=f"{cost.low:g}", high=f"{cost.high:g}"))
    return "; ".join(out)


def _hardness(engine: Engine, judged: Judged, _: Sequence[str]) -> str:
    """The hardness of the class by its standard, in HRC and HV as far as it states them."""
    node = engine.base.kind("strength").get(str(judged.case.told.get("strength")).lower(), {})
    rows: list[Mapping[str, Any]] = [node, *node.get("by_size", ())]
    row = next((r for r in rows if r.get("hardness_hv") or r.get("hardness_hrc")), node)
    spans = ((row.get("hardness_hrc"), "HRC"), (row.get("hardness_hv"), "HV"))
    return ", ".join(f"{low:g} to {high:g} {unit}" for x, unit in spans if x for low, high in [x])


MOST_PRICED, MOST_BESIDE = 4, 3
BLANKS: Mapping[str, Filler] = {
    "first": _first,
    "size": _told("size"),
    "strength": _told("strength"),
    "torques": _torques,
    "room_um": _room,
    "prices": _prices,
    "hardness": _hardness,
}
