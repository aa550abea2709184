"""All conditions judged together: every clause is a bit, every slot or-s one pair of masks, made false and left open.

What a value does to the clauses is looked up once and kept, so that judging some 400 rules costs as much as joining the
masks of some forty slots; which condition is true is read off a few bits. `judging_table` makes the masks when the base
is compiled; a plain evaluation of every condition in the tests holds this to the same truths.
"""

from __future__ import annotations

import marshal
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import reduce
from operator import and_, or_

from advisor.graph.conditions import Possible, Tri
from advisor.reasoning.enquiry import UNKNOWN, usable
from advisor.reasoning.remembered import Remembered
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

Pair = tuple[int, int]
"""Clauses made false, and clauses left open, of which the first may hold some too."""

NOTHING: Pair = (0, 0)


class Comparisons:
    """The comparisons of one kind with their limits in rising order: those that a number fails are one joined mask."""

    def __init__(self, kind: str, limits: Sequence[tuple[float, int]]) -> None:
        self.at = [float(limit) for limit, _ in limits]
        masks = [mask for _, mask in limits]
        self.rising = kind in ("above", "at_least")
        # "above 5" fails at 5, "at least 5" does not
        self._find: Callable[[list[float], float], int] = bisect_left if kind in ("above", "at_most") else bisect_right
        if self.rising:
            masks.reverse()
        joined = [0]
        for mask in masks:
            joined.append(joined[-1] | mask)
        self.joined = joined[::-1] if self.rising else joined
        self.whole = joined[-1]

    def failed(self, number: float) -> int:
        """The clauses whose comparison is false of a number."""
        return self.joined[self._find(self.at, number)]


class SlotMasks:
    """What a value of one slot does to the clauses."""

    MOST_KEPT = 256

    def __init__(self, written: Mapping[str, Any]) -> None:
        self._open = written["open"]
        self._known = _flags(written, "known")
        self._told = _flags(written, "told")
        self._empty = _flags(written, "empty")
        self._written = written
        # by value, apart for slots not told and told; a list is led by its type, a possible set is not
        self.kept: tuple[Remembered[object, Pair], ...] = (Remembered(self.MOST_KEPT), Remembered(self.MOST_KEPT))
        self._ready = False
        self._layers: list[tuple[str, int, dict[Any, int]]] = []
        self._limits: list[Comparisons] = []

    @property
    def silent(self) -> Pair:
        """What becomes of the clauses when the slot is not filled."""
        return self.pair(None, False)

    def pair(self, value: Any, told: bool) -> Pair:
        """Made false and left open by a value; `told` says whether the customer told the slot."""
        key = (list, *value) if value.__class__ is list else value
        found = self.kept[told].get(key)
        if found is None:
            found = self.kept[told][key] = self._made(value, told)
        return found

    def _made(self, value: Any, told: bool) -> Pair:
        # a clause that wants the slot told fails when it is not, and the other way round
        false = self._told[not told]
        if value is None or value == UNKNOWN:
            return false | self._known[True], self._open
        if not self._ready:
            self._prepare()
        listed = isinstance(value, (list, tuple))
        false |= self._known[False] | self._empty[not (listed and not value)]
        values = value if listed else (value,)
        chosen, unsure = self._possible(values) if isinstance(value, Possible) else (self._chosen(values), 0)
        failed, undecided = self._compared(value)
        return false | chosen | failed, unsure | undecided

    def _prepare(self) -> None:
        """The layers and comparisons; most slots of most enquiries are silent and never need theirs."""
        self._layers = marshal.loads(self._written["layers"])
        self._limits = [Comparisons(kind, limits) for kind, limits in marshal.loads(self._written["limits"])]
        self._ready = True

    def _chosen(self, values: Any) -> int:
        """The clauses whose choice of values a list (or the only value) makes false."""
        false = 0
        for kind, whole, by in self._layers:
            masks = [by.get(v, 0) for v in values]
            if kind == "in":
                false |= whole & ~reduce(or_, masks, 0)
            elif kind == "not-in":
                false |= reduce(or_, masks, 0)
            elif kind == "only":
                false |= whole & ~(reduce(and_, masks) if masks else 0)
            elif masks:
                false |= reduce(and_, masks)
        return false

    def _possible(self, values: Any) -> Pair:
        """As _chosen where the value is one of several: true of all is true, true of some is open."""
        false = unsure = 0
        for kind, whole, by in self._layers:
            masks = [by.get(v, 0) for v in values]
            if not masks:
                unsure |= whole
                continue
            some, every = reduce(or_, masks), reduce(and_, masks)
            unsure |= some & ~every
            false |= every if kind.startswith("not-") else whole & ~some
        return false, unsure

    def _compared(self, value: Any) -> Pair:
        """The clauses whose comparison a number, or a range of two, makes false or leaves open."""
        if not self._limits:
            return NOTHING
        ends = (value[0], value[-1]) if isinstance(value, (list, tuple)) and value else (value, value)
        if not all(isinstance(x, (int, float)) for x in ends):
            return 0, reduce(or_, (c.whole for c in self._limits))
        false = unsure = 0
        for c in self._limits:
            low, high = c.failed(ends[0]), c.failed(ends[1])
            false |= low & high
            unsure |= low ^ high
        return false, unsure


def _flags(written: Mapping[str, Any], test: str) -> tuple[int, int]:
    """The clauses that want a test false, and those that want it true."""
    no, yes = written.get(test, NOTHING)
    return no, yes


class Bits(NamedTuple):
    """The clauses of all conditions that are made false, and those that are left open; all others are true."""

    false: int
    open: int


def join(pairs: Iterable[Pair], rest: Pair = NOTHING) -> Bits:
    """The clauses for the pairs of all slots."""
    false, opened = rest
    for f, o in pairs:
        if f:
            false |= f
        if o:
            opened |= o
    return Bits(false, opened & ~false)


class Judging:
    """The conditions of one compiled table."""

    def __init__(self, section: Mapping[str, Any]) -> None:
        self.starts: list[int] = section["starts"]
        self.every = (1 << self.starts[-1]) - 1
        self._written: Mapping[str, Any] = section["slots"]
        self.slots: tuple[str, ...] = tuple(self._written)
        self.index: dict[str, int] = {slot: n for n, slot in enumerate(self.slots)}
        self.masks: list[SlotMasks] = [SlotMasks(self._written[slot]) for slot in self.slots]
        self._rows = [(slot, m, m.silent) for slot, m in zip(self.slots, self.masks, strict=True)]

    def pairs(self, values: Mapping[str, Any], told: Mapping[str, Any]) -> list[Pair]:
        """The pair of every slot for the values of a case.

        Written out without calls: it is gone through for every slot of every enquiry.
        """
        out: list[Pair] = []
        for slot, masks, silent in self._rows:
            value, said = values.get(slot), told.get(slot)
            if value is None and said is None:
                out.append(silent)
                continue
            is_told = said is not None and said != UNKNOWN
            key = (list, *value) if value.__class__ is list else value
            out.append(masks.kept[is_told].get(key) or masks.pair(value, is_told))
        return out

    def pair(self, slot: str, values: Mapping[str, Any], told: Mapping[str, Any]) -> Pair:
        """The pair of one slot; nothing where no condition reads it."""
        n = self.index.get(slot)
        return NOTHING if n is None else self.masks[n].pair(values.get(slot), usable(told, slot))

    def truth(self, bits: Bits, condition: int) -> Tri:
        """The truth of one condition."""
        start, end = self.starts[condition], self.starts[condition + 1]
        whole = (1 << end) - (1 << start)
        if whole & ~(bits.false | bits.open):
            return True
        return None if whole & bits.open else False

    def span(self, first: int, last: int) -> int:
        """The bits of the conditions from `first` up to, not with, `last`."""
        return (1 << self.starts[last]) - (1 << self.starts[first])
