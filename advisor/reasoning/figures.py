"""The figures of a finish for a case: hours, thickness, cost, life at the site, each with the facts behind."""

from __future__ import annotations

from advisor.errors import UsageError
from advisor.reasoning.case import Case, classes_of
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import UNKNOWN
from advisor.records import NamedTuple
from advisor.trade.zinc_life import CAP_YEARS


class ShownFigure(NamedTuple):
    """One figure as [low, high] with unit, basis and the nodes that are cited for it."""

    low: float
    high: float
    unit: str
    basis: str
    cites: tuple[str, ...]


QUANTITIES = (
    "salt_spray_white_h",
    "salt_spray_red_h",
    "thickness_um",
    "relative_cost",
    "friction",
    "temperature_ok_c",
    "temperature_limit_c",
)


UNTIGHTENED = "untightened"
BY_LABEL = "tightened-by-label"
"""The role of parts and circumstances of sets that are tightened as their label says."""


def torque_of(engine: Engine, case: Case, finish: str) -> ShownFigure | None:
    """The window of tightening torque of the bolt that is offered, where size and class are told and it is tightened.

    A metal of its own has its own class. None for structural sets, which are tightened as their label says, and where
    the class, the size or the finish has no figure for it.
    """
    size, strength, part = (case.told.get(s) for s in ("size", "strength", "part"))
    if not isinstance(size, str) or not isinstance(strength, str) or UNKNOWN in (size, strength):
        return None
    if part in engine.base.role(UNTIGHTENED) or part in engine.base.role(BY_LABEL):
        return None
    if set(case.enquiry.circumstances) & set(engine.base.role_words(BY_LABEL)):
        return None
    node = engine.base.finish(finish)
    if engine.base.kind("strength").get(strength.lower(), {}).get("structural"):
        return None
    if engine.rules.process[engine.rules.index[finish]] == "base-material":
        strength = str(node.get("grade") or "")
    from advisor.calculations.registry import run

    try:
        found = run(engine.base, "torque", {"size": size, "strength": strength, "finish": finish})
    except UsageError:
        return None
    window = found.results.get("torque_nm")
    if not isinstance(window, list) or any(not isinstance(x, (int, float)) for x in window):
        return None
    return ShownFigure(_short(window[0]), _short(window[-1]), "N·m", "computed", found.cites)


def _room(engine: Engine, case: Case, finish: str) -> ShownFigure | None:
    """The thickest plate that an ordinary metric thread of the size takes, for the coats that must fit it."""
    rules = engine.rules
    if case.known.get("thread_system") != "metric" or not rules.needs_room & rules.bit[finish]:
        return None
    room = rules.room_um(case.known.get("diameter_mm"))
    return None if room is None else ShownFigure(room, room, "µm", "published", (rules.role("room-by-diameter"),))


def _short(value: float) -> float:
    """Two or three significant figures: a torque window is no exact thing.

    >>> [_short(x) for x in (3.456, 34.56, 345.6)]
    [3.5, 35.0, 346.0]
    """
    return round(value, 1) if value < 10 else float(round(value))


def figures_of(engine: Engine, case: Case, finish: str) -> dict[str, ShownFigure]:
    """The figures of one finish; a quantity without a number is left out.

    Life at the site is computed (thickness over the zinc rate of the class, or the band of practice for the coat).
    """
    out: dict[str, ShownFigure] = {}
    for q in QUANTITIES:
        f = engine.rules.figure(finish, q)
        if f is not None:
            out[q] = ShownFigure(float(f[1]), float(f[2]), str(f[4]), str(f[3]), (str(f[0]),))
    room = _room(engine, case, finish)
    if room is not None:
        out["thread_room_um"] = room
    life = engine.rules.life.years(finish, classes_of(case))
    if life is not None:
        out["life_years"] = ShownFigure(
            round(min(life.low, CAP_YEARS), 1), round(min(life.high, CAP_YEARS), 1), "years", "computed", life.cites
        )
    return out
