"""What a code in an enquiry orders: the finish it means, so that it can stand first, or the families it may mean."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.reasoning.remembered import Remembered
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


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


class Orders:
    """The orders in codes, the last ones remembered."""

    MOST_KEPT = 500

    def __init__(self, base: Base) -> None:
        self._base = base
        self._kept: Remembered[str, Order] = Remembered(self.MOST_KEPT)

    def of(self, callout: str) -> Order:
        """The order in a code; NOTHING where the code cannot be read."""
        found = self._kept.get(callout)
        if found is None:
            found = self._kept[callout] = _order(self._base, callout)
        return found


def _order(base: Base, callout: str) -> Order:
    from advisor.calculations.registry import built, run

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
        nearest = str(finish) if usable else _nearest(base, families[0], first)
        ordered = (nearest,) if nearest else families
    return Order(ordered, families, hexavalent, found.lines[0] if found.lines else "")


def _nearest(base: Base, family: str, reading: Mapping[str, Any]) -> str:
    """The living finish free of Cr(VI) of a reading's family and thickness, of its film if there is one; "" if none."""
    wanted = reading.get("thickness_um")
    thickness = wanted[0] if isinstance(wanted, list) and wanted else wanted
    if not isinstance(thickness, (int, float)):
        return ""
    columns = base.section("masks")
    bare: str = ""
    for i, finish in enumerate(columns["finishes"]):
        figure = columns["columns"]["thickness_um"][i]
        if columns["family"][i] != family or figure is None or figure[1] != thickness:
            continue
        data = base.finish(finish)
        if (
            data.get("legacy")
            or data.get("hexavalent_chromium", "no") != "no"
            or bool(data.get("sealed")) != bool(reading.get("sealed"))
        ):
            continue
        film = str(reading.get("passivation") or "")
        if film and film.split()[0] in str(data.get("passivation", "")):
            return str(finish)
        bare = bare or str(finish)
    return bare
