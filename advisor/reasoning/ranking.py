"""The ranking: a transparent weighted sum of a few criteria on fixed scales, first finish by finish, then one per family."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from advisor.reasoning.enquiry import UNKNOWN, Case
from advisor.reasoning.rulebase import Rulebase
from advisor.reasoning.screening import Screened

PRIORITIES = ("cost", "balanced", "life")
BASIS_WORTH: Mapping[str, float] = {"published": 1.0, "derived": 0.9, "practice": 0.7, "memory": 0.4}
STOCK_WORTH: Mapping[str, float] = {"shelf": 1.0, "common": 0.6, "order": 0.2}


class Ranked(NamedTuple):
    """One finish with its score, and whether it lasts well in the place (level 1) or barely (0)."""

    finish: str
    family: str
    score: float
    level: int


class Scales:
    """The criteria of every finish that do not depend on the rules, prepared per priority and corrosivity."""

    def __init__(self, rules: Rulebase) -> None:
        self._rules = rules
        nodes = rules.base.kind("weight")
        self.weights = {p: nodes[f"weights-{p}"]["values"] for p in PRIORITIES}
        self.scale = nodes["scales"]["values"]
        self._memo: dict[tuple[str, ...], list[dict[str, float]]] = {}
        self._sums: dict[object, tuple[list[float], list[float]]] = {}
        families = rules.base.kind("family")
        self._usual = frozenset(f["usual"] for f in families.values() if "usual" in f)

    def criteria(self, classes: tuple[str, ...]) -> list[dict[str, float]]:
        """Criteria (0 to 1) per finish in the order of the base, for the possible corrosivity classes."""
        if classes not in self._memo:
            self._memo[classes] = [self._of(f, classes) for f in self._rules.finishes]
        return self._memo[classes]

    def sums(self, weights: Mapping[str, float], classes: tuple[str, ...]) -> tuple[list[float], list[float]]:
        """Weighted sums per finish where it lasts well, and where it barely lasts."""
        key = (tuple(weights.items()), classes)
        if key not in self._sums:
            worst = self.scale["material_weak"]
            good: list[float] = []
            weak: list[float] = []
            for c in self.criteria(classes):
                total = sum(weights.get(name, 0.0) * value for name, value in c.items())
                good.append(total + weights["level"])
                weak.append(total - weights["life"] * max(0.0, c["life"] - worst))
            self._sums[key] = (good, weak)
        return self._sums[key]

    def _of(self, finish: str, classes: tuple[str, ...]) -> dict[str, float]:
        rules, s = self._rules, self.scale
        i = rules.index[finish]
        cost = rules.figure(finish, "relative_cost")
        middle = math.sqrt(cost[1] * cost[2]) if cost else s["dearest"]
        span = math.log(s["dearest"] / s["cheapest"])
        out = {"cost": _unit(1 - math.log(max(middle, s["cheapest"]) / s["cheapest"]) / span)}
        life = rules.life.years(finish, classes)
        if life is not None:
            years = math.sqrt(max(life.low, 0.1) * max(life.high, 0.1))
            out["life"] = _unit(math.log1p(years) / math.log1p(s["longest_years"]))
        elif rules.process[i] == "base-material":
            out["life"] = s["material_good"]
        elif classes == ("C1",):
            # in dry rooms no coat is used up, whether or not somebody put a figure to it, and oil keeps steel long
            out["life"] = s["dry_bare_life" if rules.process[i] in ("none", "conversion") else "dry_life"]
        else:
            out["life"] = s["bare_life"] if rules.process[i] in ("none", "conversion") else s["plate_life"]
        friction = rules.figure(finish, "friction")
        out["clamp"] = _unit(1 - (friction[2] - friction[1]) / s["widest_friction"]) if friction else 0.0
        bases = [f[3] for f in (cost, rules.figure(finish, "thickness_um")) if f]
        out["evidence"] = min((BASIS_WORTH[b] for b in bases), default=0.4)
        out["stock"] = STOCK_WORTH.get(rules.stock[i], 0.2)
        out["usual"] = 1.0 if finish in self._usual else 0.0
        return out


def _unit(x: float) -> float:
    return min(1.0, max(0.0, x))


def classes_of(case: Case) -> tuple[str, ...]:
    """The possible corrosivity classes of a case."""
    value = case.full.get("corrosivity")
    if value is None or value == UNKNOWN:
        return ()
    return (value,) if isinstance(value, str) else tuple(value)


def favours(rules: Rulebase, screened: Screened) -> dict[int, float]:
    """Sum of the rules' favour per finish index, for the finishes that are in."""
    out: dict[int, float] = {}
    inside = screened.inside(rules.everything)
    steps: dict[int, float] = {}
    for e in screened.effects:
        if e.verb == "favour" and e.mask is not None and not e.pending:
            steps[e.mask & inside] = steps.get(e.mask & inside, 0.0) + float(e.value)
    for mask, value in steps.items():
        while mask:
            low = mask & -mask
            i = low.bit_length() - 1
            out[i] = out.get(i, 0.0) + value
            mask ^= low
    return out


def weights_of(scales: Scales, case: Case, moved: Mapping[str, float] | None = None) -> Mapping[str, float]:
    """The weights for the priority of the case, optionally some of them moved by a factor."""
    priority = case.full.get("priority")
    weights: Mapping[str, float] = scales.weights[priority if priority in PRIORITIES else "balanced"]
    if moved:
        return {k: v * moved.get(k, 1.0) for k, v in weights.items()}
    return weights


def rank(
    rules: Rulebase, scales: Scales, case: Case, screened: Screened, moved: Mapping[str, float] | None = None
) -> list[Ranked]:
    """The best finish of every family that is in, best family first."""
    weights = weights_of(scales, case, moved)
    classes = classes_of(case)
    good, weak = scales.sums(weights, classes)
    extra = favours(rules, screened)
    step = weights["rules"]
    look = case.full.get("appearance")
    looks = rules.colours.get(look, 0) if isinstance(look, str) else 0
    inside = screened.inside(rules.everything)
    ordered = [rules.index[f] for f in _listed(case.known.get("ordered")) if f in rules.index]
    best: list[tuple[float, int]] = []
    for members in rules.family_members:
        top, chosen = -1e9, -1
        for i in members:
            bit = 1 << i
            if not inside & bit:
                continue
            score = weak[i] if screened.weak & bit else good[i]
            if i in extra:
                score += step * extra[i]
            if looks & bit:
                score += weights["look"]
            if score > top + 1e-9:
                top, chosen = score, i
        for i in ordered:
            # of an ordered family the very finish ordered is shown
            if i in members and inside >> i & 1:
                top, chosen = (weak[i] if screened.weak >> i & 1 else good[i]) + step * extra.get(i, 0.0), i
        if chosen >= 0:
            best.append((-top, chosen))
    best.sort()
    order = [Ranked(rules.finishes[i], rules.family[i], -s, 0 if screened.weak >> i & 1 else 1) for s, i in best]
    return _heed_the_customer(rules, case, order)


def contributions(rules: Rulebase, scales: Scales, case: Case, screened: Screened, r: Ranked) -> dict[str, float]:
    """What each criterion adds to the score of a ranked finish; the sum is the score."""
    weights = weights_of(scales, case)
    i = rules.index[r.finish]
    out = {"viability": weights["level"] * r.level}
    for name, value in scales.criteria(classes_of(case))[i].items():
        if name == "life" and r.level == 0:
            value = min(value, scales.scale["material_weak"])
        out[name] = weights.get(name, 0.0) * value
    look = case.full.get("appearance")
    if isinstance(look, str) and rules.colours.get(look, 0) >> i & 1:
        out["look"] = weights["look"]
    extra = favours(rules, screened).get(i)
    if extra:
        out["rules"] = weights["rules"] * extra
    return out


def _heed_the_customer(rules: Rulebase, case: Case, order: list[Ranked]) -> list[Ranked]:
    """What is ordered stands first; what is wished moves up one place, but not past one that lasts when it does not."""
    in_play = {r.family for r in order}
    # of a group word ("zinc") the member meant first is moved, not the whole group
    wished = [f for f in _listed(case.known.get("finish_asked")) if f in in_play][:1]
    place_told = case.is_told("environment")
    for family in wished:
        at = next((n for n, r in enumerate(order) if r.family == family), None)
        if at is None or at == 0:
            continue
        target = at - 1
        if not place_told:
            # the place may be milder than assumed: a wish stands at least second
            target = min(target, 1)
        elif order[target].level > order[at].level:
            continue
        order.insert(target, order.pop(at))
    ordered = [rules.family[rules.index[f]] if f in rules.index else f for f in _listed(case.known.get("ordered"))]
    for family in reversed(ordered):
        at = next((n for n, r in enumerate(order) if r.family == family), None)
        if at:
            order.insert(0, order.pop(at))
    return order


def _listed(value: object) -> list[str]:
    if value is None or value == UNKNOWN:
        return []
    return list(value) if isinstance(value, (list, tuple)) else [str(value)]
