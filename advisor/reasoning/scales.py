"""The criteria of every finish on fixed scales from 0 to 1, and their weighted sums: what ranking adds up."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from advisor.graph.base import Base
from advisor.graph.sections import Entries, Unwritten
from advisor.reasoning.case import Case
from advisor.reasoning.places import Places
from advisor.reasoning.remembered import Remembered
from advisor.reasoning.rulebase import Rulebase

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

SECTIONS = ("scale-criteria", "scale-sums")
"""Where the base keeps what is made of them when it is compiled."""
PRIORITIES = ("cost", "balanced", "life")


class Sums:
    """Weighted sums per finish where it lasts well, and where it barely lasts, with the weights they were made with.

    `kept`: the best of a family in states that came up with these sums.
    """

    MOST_KEPT = 2000

    __slots__ = ("good", "kept", "weak", "weights")

    def __init__(self, weights: Mapping[str, float], good: list[float], weak: list[float]) -> None:
        self.weights = weights
        self.good = good
        self.weak = weak
        self.kept: Remembered[object, tuple[float, int] | None] = Remembered(self.MOST_KEPT)


class Scales:
    """The criteria of every finish that do not depend on the rules, prepared per priority and corrosivity."""

    MOST_KEPT = 64

    def __init__(self, rules: Rulebase) -> None:
        self._rules = rules
        nodes = rules.base.kind("weight")
        self.weights: dict[str, Mapping[str, float]] = {p: nodes[f"weights-{p}"]["values"] for p in PRIORITIES}
        self.scale: Mapping[str, float] = nodes["scales"]["values"]
        self._basis: Mapping[str, float] = nodes["worth-of-basis"]["values"]
        self._stock: Mapping[str, float] = nodes["worth-of-stock"]["values"]
        self._columns: Remembered[tuple[str, ...], Mapping[str, list[float]]] = Remembered(self.MOST_KEPT)
        self._sums: Remembered[object, Sums] = Remembered(self.MOST_KEPT)
        self._usual = frozenset(f["usual"] for f in rules.base.kind("family").values() if "usual" in f)
        written = rules.base.names_of_sections()
        self._written: tuple[Mapping[str, Any], ...] = tuple(
            rules.base.section(name) if name in written else {} for name in SECTIONS
        )

    def columns(self, classes: tuple[str, ...]) -> Mapping[str, list[float]]:
        """Each criterion (0 to 1) of all finishes in the order of the base, for the possible corrosivity classes."""
        found = self._columns.get(classes)
        if found is None:
            found = self._written[0].get(_key(classes))
            if found is None:
                each = [self.worked_out(f, classes) for f in self._rules.finishes]
                found = {name: [c[name] for c in each] for name in each[0]} if each else {}
            self._columns[classes] = found
        return found

    def criteria(self, classes: tuple[str, ...], i: int) -> dict[str, float]:
        """The criteria of the finish of a number."""
        return {name: column[i] for name, column in self.columns(classes).items()}

    def priority_of(self, case: Case) -> str:
        """What leads the ranking of a case."""
        priority = case.full.get("priority")
        return priority if priority in PRIORITIES else "balanced"

    def sums(self, priority: str, classes: tuple[str, ...], moved: tuple[str, float] | None = None) -> Sums:
        """Weighted sums for a priority, with one weight moved by a factor where that is asked."""
        key = (priority, classes, moved)
        found = self._sums.get(key)
        if found is None:
            found = self._sums[key] = (
                self._summed(priority, classes) if moved is None else self._moved(priority, classes, moved)
            )
        return found

    def _moved(self, priority: str, classes: tuple[str, ...], moved: tuple[str, float]) -> Sums:
        """The sums with one weight moved: only what that weight adds differs."""
        before = self.sums(priority, classes)
        name, factor = moved
        more = before.weights[name] * (factor - 1)
        column = self.columns(classes)[name]
        worst = self.scale["material_weak"] if name == "life" else math.inf
        return Sums(
            {**before.weights, name: before.weights[name] + more},
            [g + more * value for g, value in zip(before.good, column, strict=True)],
            [w + more * min(value, worst) for w, value in zip(before.weak, column, strict=True)],
        )

    def _summed(self, priority: str, classes: tuple[str, ...]) -> Sums:
        weights = self.weights[priority]
        made = self._written[1].get(_key((priority, *classes)))
        if made is not None:
            return Sums(weights, *made)
        worst = self.scale["material_weak"]
        good: list[float] = []
        weak: list[float] = []
        columns = self.columns(classes)
        for i, life in enumerate(columns.get("life", ())):
            total = sum([weights.get(name, 0.0) * column[i] for name, column in columns.items()])
            good.append(total + weights["level"])
            weak.append(total - weights["life"] * max(0.0, life - worst))
        return Sums(weights, good, weak)

    def worked_out(self, finish: str, classes: tuple[str, ...]) -> dict[str, float]:
        """The criteria of one finish, not looked up."""
        rules, s = self._rules, self.scale
        cost = rules.figure(finish, "relative_cost")
        middle = math.sqrt(cost[1] * cost[2]) if cost else s["dearest"]
        span = math.log(s["dearest"] / s["cheapest"])
        friction = rules.figure(finish, "friction")
        bases = [f[3] for f in (cost, rules.figure(finish, "thickness_um")) if f]
        least = min(self._basis.values())
        return {
            "cost": _unit(1 - math.log(max(middle, s["cheapest"]) / s["cheapest"]) / span),
            "life": self._life(finish, classes),
            "clamp": _unit(1 - (friction[2] - friction[1]) / s["widest_friction"]) if friction else 0.0,
            "evidence": min((self._basis[b] for b in bases), default=least),
            "stock": self._stock.get(rules.stock[rules.index[finish]], min(self._stock.values())),
            "usual": 1.0 if finish in self._usual else 0.0,
        }

    def _life(self, finish: str, classes: tuple[str, ...]) -> float:
        rules, s = self._rules, self.scale
        life = rules.life.years(finish, classes)
        process = rules.process[rules.index[finish]]
        bare = process in ("none", "conversion")
        if life is not None:
            years = math.sqrt(max(life.low, 0.1) * max(life.high, 0.1))
            return _unit(math.log1p(years) / math.log1p(s["longest_years"]))
        if process == "base-material":
            return s["material_good"]
        if classes == ("C1",):
            # in dry rooms no coat is used up, whether or not somebody put a figure to it, and oil keeps steel long
            return s["dry_bare_life" if bare else "dry_life"]
        return s["bare_life" if bare else "plate_life"]


def _key(words: Iterable[str]) -> str:
    return " ".join(words)


def scale_sections(sections: Mapping[str, Any]) -> dict[str, Any]:
    """Made when the base is compiled: criteria and sums for every set of corrosivity classes that places come to.

    `sections` are those of the base with those of judging among them.
    """
    base = Base("", Unwritten(sections))
    scales = Scales(Rulebase(base))
    sets = [*Places(base).sets_of_classes(), ()]
    sums = {(p, *classes): scales.sums(p, classes) for classes in sets for p in PRIORITIES}
    made = (
        Entries((_key(classes), dict(scales.columns(classes))) for classes in sets),
        Entries((_key(words), [s.good, s.weak]) for words, s in sums.items()),
    )
    return dict(zip(SECTIONS, made, strict=True))


def _unit(x: float) -> float:
    return min(1.0, max(0.0, x))
