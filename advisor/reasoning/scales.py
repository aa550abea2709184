"""The criteria of every finish on fixed scales from 0 to 1, and their weighted sums: what ranking adds up."""

from __future__ import annotations

import math
from collections.abc import Mapping

from advisor.reasoning.case import Case
from advisor.reasoning.remembered import Remembered
from advisor.reasoning.rulebase import Rulebase

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
        self._criteria: Remembered[tuple[str, ...], list[dict[str, float]]] = Remembered(self.MOST_KEPT)
        self._sums: Remembered[object, Sums] = Remembered(self.MOST_KEPT)
        families = rules.base.kind("family")
        self._usual = frozenset(f["usual"] for f in families.values() if "usual" in f)

    def criteria(self, classes: tuple[str, ...]) -> list[dict[str, float]]:
        """Criteria (0 to 1) per finish in the order of the base, for the possible corrosivity classes."""
        found = self._criteria.get(classes)
        if found is None:
            found = self._criteria[classes] = [self._of(f, classes) for f in self._rules.finishes]
        return found

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
        column = [c[name] for c in self.criteria(classes)]
        worst = self.scale["material_weak"] if name == "life" else math.inf
        return Sums(
            {**before.weights, name: before.weights[name] + more},
            [g + more * value for g, value in zip(before.good, column, strict=True)],
            [w + more * min(value, worst) for w, value in zip(before.weak, column, strict=True)],
        )

    def _summed(self, priority: str, classes: tuple[str, ...]) -> Sums:
        weights = self.weights[priority]
        worst = self.scale["material_weak"]
        good: list[float] = []
        weak: list[float] = []
        for c in self.criteria(classes):
            total = sum(weights.get(name, 0.0) * value for name, value in c.items())
            good.append(total + weights["level"])
            weak.append(total - weights["life"] * max(0.0, c["life"] - worst))
        return Sums(weights, good, weak)

    def _of(self, finish: str, classes: tuple[str, ...]) -> dict[str, float]:
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


def _unit(x: float) -> float:
    return min(1.0, max(0.0, x))
