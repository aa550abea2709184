"""What a code in an enquiry orders: the finish it means, so that it can stand first, or the families it may mean."""

from __future__ import annotations

from typing import NamedTuple

from advisor.errors import UsageError
from advisor.graph.compiled import Base


class Order(NamedTuple):
    """What a code orders.

    `ordered` is the finish (or its family, where no single finish fits or it holds what the law bars), empty when the
    readings disagree; `families` are all families the code may mean; `meaning` its first reading in words.
    """

    ordered: tuple[str, ...]
    families: tuple[str, ...]
    hexavalent: bool
    meaning: str


NOTHING = Order((), (), False, "")


def order_of(base: Base, callout: str) -> Order:
    """The order in a code; NOTHING where the code cannot be read. Remembered per base."""
    kept: dict[str, Order] = base.memo.setdefault("orders", {})
    if callout not in kept:
        kept[callout] = _order(base, callout)
    return kept[callout]


def _order(base: Base, callout: str) -> Order:
    from advisor.reasoning.calculations.registry import built, run

    if not built("decode"):
        return NOTHING
    try:
        found = run(base, "decode", {"callout": [callout]})
    except UsageError:
        return NOTHING
    readings = found.results.get("readings")
    if not isinstance(readings, list) or not readings:
        return NOTHING
    families = tuple(dict.fromkeys(str(r["family"]) for r in readings if r.get("family")))
    first = readings[0]
    hexavalent = first.get("hexavalent_chromium") == "yes"
    ordered: tuple[str, ...] = ()
    if len(families) == 1:
        finish = first.get("finish")
        usable = finish is not None and not base.finish(str(finish)).get("legacy", False)
        ordered = (str(finish),) if usable else families
    return Order(ordered, families, hexavalent, found.lines[0] if found.lines else "")
