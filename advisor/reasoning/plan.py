"""The fewest finishes that serve a whole list, and of the fewest the cheapest: a minimum cover, proven where it can be.

Every line is the set of finishes that would do for it, as a mask. A finish that serves no more lines than another and
costs no less can be left out, a line that any finish of another line serves too needs no look; what is left is searched
by branch and bound. Where the search would take too long, the best found stands with a bound: so many are needed at
the least.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from advisor.records import NamedTuple

MOST_LOOKS = 300_000
"""At demands, all steps of the search together; more would keep a buyer waiting (some seconds)."""
MOST_DEMANDS = 3000
"""Different demands up to which those that follow from others are sought."""


class FewestFinishes(NamedTuple):
    """The finishes chosen, as numbers; what they cost over all lines; how many are needed at the least; whether it is
    proven that no fewer serve, and no cheaper ones among as few."""

    finishes: tuple[int, ...]
    cost: float
    at_least: int
    exact: bool


def fewest(demands: Mapping[int, float], costs: Sequence[float], most_looks: int = MOST_LOOKS) -> FewestFinishes:
    """The fewest finishes that serve every demand, and the cheapest of these choices.

    `demands`: mask of the finishes that would do -> how many pieces; none may be 0. `costs`: of each finish for a
    piece, as a factor. Each demand is served by the cheapest of the chosen that would do.

    >>> fewest({0b011: 10, 0b110: 5, 0b100: 1}, [1.0, 2.0, 4.0])
    FewestFinishes(finishes=(0, 2), cost=34.0, at_least=2, exact=True)
    """
    kept = _not_dominated(demands, costs)
    narrow: dict[int, float] = {}
    for mask, pieces in demands.items():
        narrow[mask & kept] = narrow.get(mask & kept, 0.0) + pieces
    search = _Search(narrow, costs, most_looks)
    search.run()
    return FewestFinishes(
        tuple(members(search.best)), cost_of(demands, search.best, costs), search.at_least, search.proven
    )


def members(mask: int) -> Iterator[int]:
    """The numbers in a mask.

    >>> list(members(0b1011))
    [0, 1, 3]
    """
    while mask:
        bit = mask & -mask
        yield bit.bit_length() - 1
        mask ^= bit


def cheapest(mask: int, costs: Sequence[float]) -> int:
    """The cheapest finish of a mask; of equal ones the first."""
    return min(members(mask), key=lambda i: (costs[i], i))


def cost_of(demands: Mapping[int, float], chosen: int, costs: Sequence[float]) -> float:
    """What a choice costs: every demand by the cheapest of the chosen that would do."""
    return sum(pieces * costs[cheapest(mask & chosen, costs)] for mask, pieces in demands.items())


def _not_dominated(demands: Mapping[int, float], costs: Sequence[float]) -> int:
    """The finishes for which no other stands that serves at least as much and costs no more."""
    serves: dict[int, int] = {}
    for n, mask in enumerate(demands):
        for i in members(mask):
            serves[i] = serves.get(i, 0) | 1 << n
    # the one that serves most stands first; of equals the cheapest, then the first
    order = sorted(serves, key=lambda i: (-serves[i].bit_count(), costs[i], i))
    kept: list[int] = []
    for i in order:
        if not any(serves[i] & ~serves[k] == 0 and costs[k] <= costs[i] for k in kept):
            kept.append(i)
    return sum(1 << i for i in kept)


class _Search:
    """Branch and bound over the demands that do not follow from others."""

    def __init__(self, demands: Mapping[int, float], costs: Sequence[float], most_looks: int) -> None:
        self._demands = demands
        self._costs = costs
        self._looks = most_looks
        self._bare = _minimal(demands)
        self.best = self._greedy()
        self._count = self.best.bit_count()
        self._cost = cost_of(demands, self.best, costs)
        self.at_least = _apart(self._bare)
        self.proven = True

    def run(self) -> None:
        """Search; afterwards `best` holds the choice."""
        self._branch(0, self._bare, 0)
        self.proven = self._looks > 0
        if self.proven:
            self.at_least = self._count

    def _greedy(self) -> int:
        """A choice by taking what serves most of what is left, the cheapest of equals."""
        chosen, left = 0, self._bare
        while left:
            found: dict[int, int] = {}
            for mask in left:
                for i in members(mask):
                    found[i] = found.get(i, 0) + 1
            best = min(found, key=lambda i: (-found[i], self._costs[i], i))
            chosen |= 1 << best
            left = [m for m in left if not m & 1 << best]
        return chosen

    def _branch(self, chosen: int, left: list[int], gone: int) -> None:
        """Go on from a choice; `gone` are finishes that other branches have tried."""
        self._looks -= len(left) + 1
        if self._looks <= 0:
            return
        taken = chosen.bit_count()
        if not left:
            self._complete(chosen, taken)
            return
        if taken + _apart([m & ~gone for m in left]) > self._count or self._too_dear(chosen, gone):
            return
        mask = min((m & ~gone for m in left), key=int.bit_count)
        weights = {i: sum(1 for m in left if m >> i & 1) for i in members(mask)}
        for i in sorted(weights, key=lambda i: (-weights[i], self._costs[i])):
            self._branch(chosen | 1 << i, [m for m in left if not m >> i & 1], gone)
            gone |= 1 << i

    def _complete(self, chosen: int, taken: int) -> None:
        cost = cost_of(self._demands, chosen, self._costs)
        if taken < self._count or cost < self._cost - 1e-9:
            self.best, self._count, self._cost = chosen, taken, cost

    def _too_dear(self, chosen: int, gone: int) -> bool:
        """Whether as few finishes as the best found cannot be cheaper from here; where fewer are possible, never."""
        if chosen.bit_count() + 1 < self._count:
            return False
        open_still = {m: n for m, n in self._demands.items() if m & ~gone}
        if len(open_still) < len(self._demands):
            return True
        return cost_of(open_still, ~gone, self._costs) >= self._cost - 1e-9


def _minimal(demands: Mapping[int, float]) -> list[int]:
    """The demands that do not follow from another: whatever serves the narrower serves the wider too."""
    out: list[int] = []
    for mask in sorted(demands, key=int.bit_count):
        if len(out) > MOST_DEMANDS or not any(held & ~mask == 0 for held in out):
            out.append(mask)
    return out


def _apart(masks: Sequence[int]) -> int:
    """How many finishes are needed at the least: demands of which no two have a finish in common."""
    used = count = 0
    for mask in sorted(masks, key=int.bit_count):
        if not mask:
            return len(masks) + 1
        if not mask & used:
            used |= mask
            count += 1
    return count
