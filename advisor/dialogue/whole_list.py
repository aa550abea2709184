"""What a whole parts list comes to: how many lines have a finish, and the fewest finishes that would serve them all."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.graph.base import Base
from advisor.reasoning.plan import FewestFinishes, cheapest, fewest, members
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

SAMPLE = 20
"""Lines named for each reason why nothing serves them."""


class Planned(NamedTuple):
    """One finish of the plan: how many lines it serves, for how many pieces, what it costs against plain zinc."""

    finish: str
    lines: int
    pieces: float
    relative_cost: float | None


class Plan(NamedTuple):
    """The fewest finishes; `wishes_changed`: lines that asked for another family than they are given; `today`: how many
    finishes the list has line by line."""

    finishes: tuple[Planned, ...]
    served: int
    unserved: tuple[int, ...]
    reasons: Mapping[str, tuple[int, ...]]
    cover: FewestFinishes
    wishes_changed: int
    today: int


class WholeList:
    """Counts the lines of a list as they come; its size hangs on how different they are, not on how many."""

    def __init__(self, base: Base) -> None:
        self._base = base
        self.lines = self.advised = self.referred = self.settle = self.none = 0
        self._demands: dict[int, float] = {}
        self._serving: dict[tuple[int, tuple[str, ...]], int] = {}
        self._firsts: set[str] = set()
        self._unserved: list[int] = []
        self._reasons: dict[str, list[int]] = {}

    def add(self, number: int, serves: int, pieces: float, wished: tuple[str, ...]) -> None:
        """Count a line that some finishes (a mask) would serve."""
        self._demands[serves] = self._demands.get(serves, 0.0) + pieces
        key = (serves, wished)
        self._serving[key] = self._serving.get(key, 0) + 1

    def count(self, finish: str, refer: str, settle: bool) -> None:
        """Count a line."""
        self.lines += 1
        self.advised += bool(finish)
        self.none += not finish
        self.referred += bool(finish and refer)
        self.settle += settle
        if finish:
            self._firsts.add(finish)

    def unserved(self, number: int, reason: str) -> None:
        """Count a line that no finish serves, with the reason."""
        self._unserved.append(number)
        named = self._reasons.setdefault(reason, [])
        if len(named) < SAMPLE:
            named.append(number)

    def plan(self) -> Plan:
        """The fewest finishes that serve the lines counted so far."""
        columns = self._base.section("masks")
        names: list[str] = columns["finishes"]
        priced = [_factor(c) for c in columns["columns"]["relative_cost"]]
        known = [c for c in priced if c is not None]
        dear = max(known, default=1.0)
        costs = [dear if c is None else c for c in priced]
        cover = fewest(self._demands, costs) if self._demands else FewestFinishes((), 0.0, 0, True)
        chosen = sum(1 << i for i in cover.finishes)
        lines: dict[int, int] = {}
        pieces: dict[int, float] = {}
        changed = 0
        for mask, count in self._demands.items():
            i = cheapest(mask & chosen, costs)
            pieces[i] = pieces.get(i, 0.0) + count
        for (mask, wished), n in self._serving.items():
            i = cheapest(mask & chosen, costs)
            lines[i] = lines.get(i, 0) + n
            changed += n if wished and columns["family"][i] not in wished else 0
        planned = [Planned(names[i], lines[i], pieces[i], priced[i]) for i in members(chosen)]
        planned.sort(key=lambda p: -p.lines)
        return Plan(
            tuple(planned),
            sum(lines.values()),
            tuple(self._unserved),
            {r: tuple(n) for r, n in self._reasons.items()},
            cover,
            changed,
            len(self._firsts),
        )


def _factor(figure: list[Any] | None) -> float | None:
    """The middle of a relative cost, as a factor."""
    return None if figure is None else float((figure[1] * figure[2]) ** 0.5)
