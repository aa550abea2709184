"""The ranking: a transparent weighted sum of a few criteria on fixed scales, first finish by finish, then one per family."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from advisor.reasoning.enquiry import UNKNOWN, Case
from advisor.reasoning.rulebase import Rulebase
from advisor.reasoning.screening import Screened

PRIORITIES = ("cost", "balanced", "life")
BASIS_WORTH: Mapping[str, float] = {"published": 1.0, "practice": 0.7, "memory": 0.4}
STOCK_WORTH: Mapping[str, float] = {"shelf": 1.0, "common": 0.6, "order": 0.2}


class Ranked(NamedTuple):
    """One finish with its score, its contributions and whether it lasts well in the place (level 1) or barely (0)."""

    finish: str
    family: str
    score: float
    contributions: Mapping[str, float]
    level: int


class Scales:
    """The criteria of every finish that do not depend on the rules, prepared per priority and corrosivity."""

    def __init__(self, rules: Rulebase) -> None:
        self._rules = rules
        nodes = rules.base.kind("weight")
        self.weights = {p: nodes[f"weights-{p}"]["values"] for p in PRIORITIES}
        self.scale = nodes["scales"]["values"]
        self._memo: dict[tuple[str, ...], list[dict[str, float]]] = {}
        families = rules.base.kind("family")
        self._usual = frozenset(f["usual"] for f in families.values() if "usual" in f)

    def criteria(self, classes: tuple[str, ...]) -> list[dict[str, float]]:
        """Criteria (0 to 1) per finish in the order of the base, for the possible corrosivity classes."""
        if classes not in self._memo:
            self._memo[classes] = [self._of(f, classes) for f in self._rules.finishes]
        return self._memo[classes]

    def _of(self, finish: str, classes: tuple[str, ...]) -> dict[str, float]:
        data = self._rules.base.finish(finish)
        s = self.scale
        cost = self._rules.figure(finish, "relative_cost")
        middle = math.sqrt(cost[1] * cost[2]) if cost and cost[1] else s["dearest"]
        span = math.log(s["dearest"] / s["cheapest"])
        out = {"cost": _unit(1 - math.log(max(middle, s["cheapest"]) / s["cheapest"]) / span)}
        life = self._rules.life.years(finish, classes)
        if life is not None:
            years = math.sqrt(max(life.low, 0.1) * max(life.high, 0.1))
            out["life"] = _unit(math.log1p(years) / math.log1p(s["longest_years"]))
        elif data["process"] == "base-material":
            out["life"] = s["material_good"]
        else:
            out["life"] = s["bare_life"] if data["process"] in ("none", "conversion") else s["plate_life"]
        friction = self._rules.figure(finish, "friction")
        out["clamp"] = (
            _unit(1 - (friction[2] - friction[1]) / s["widest_friction"])
            if friction and friction[1] is not None
            else 0.0
        )
        bases = [f[6] for f in (cost, self._rules.figure(finish, "thickness_um")) if f]
        out["evidence"] = min((BASIS_WORTH[b] for b in bases), default=0.4)
        out["stock"] = STOCK_WORTH.get(str(data.get("stock", "order")), 0.2)
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
    """Sum of the rules' favour per finish index."""
    out: dict[int, float] = {}
    for e in screened.effects:
        if e.verb == "favour" and e.mask is not None and not e.pending:
            mask = e.mask
            while mask:
                low = mask & -mask
                i = low.bit_length() - 1
                out[i] = out.get(i, 0.0) + float(e.value)
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
    criteria = scales.criteria(classes_of(case))
    extra = favours(rules, screened)
    look = case.full.get("appearance")
    colours = rules.base.kind("finish")
    best: dict[str, Ranked] = {}
    mask = screened.inside(rules.everything)
    while mask:
        low = mask & -mask
        i = low.bit_length() - 1
        mask ^= low
        finish = rules.finishes[i]
        level = 0 if screened.weak & low else 1
        contributions = {"viability": weights["level"] * level}
        for name, value in criteria[i].items():
            if name == "life" and level == 0:
                value = min(value, scales.scale["material_weak"])
            contributions[name] = weights.get(name, 0.0) * value
        if isinstance(look, str) and look in colours[finish].get("colour", ()):
            contributions["look"] = weights["look"]
        if i in extra:
            contributions["rules"] = weights["rules"] * extra[i]
        score = sum(contributions.values())
        family = rules.family[i]
        held = best.get(family)
        if held is None or score > held.score + 1e-9:
            best[family] = Ranked(finish, family, score, contributions, level)
    order = sorted(best.values(), key=lambda r: -r.score)
    return _heed_the_customer(rules, case, order)


def _heed_the_customer(rules: Rulebase, case: Case, order: list[Ranked]) -> list[Ranked]:
    """What is ordered stands first; what is wished moves up one place, but not past one that lasts when it does not."""
    wished = [f for f in _listed(case.known.get("finish_asked"))]
    place_told = case.is_told("environment")
    for family in wished:
        at = next((n for n, r in enumerate(order) if r.family == family), None)
        if at is None or at == 0:
            continue
        target = at - 1
        if not place_told:
            target = min(target, 1)
        while target < at and order[target].level > order[at].level and (place_told or target < 1):
            target += 1
        order.insert(target, order.pop(at))
    for family in reversed(_listed(case.known.get("ordered"))):
        at = next((n for n, r in enumerate(order) if r.family == family), None)
        if at:
            order.insert(0, order.pop(at))
    return order


def _listed(value: object) -> list[str]:
    if value is None or value == UNKNOWN:
        return []
    return list(value) if isinstance(value, (list, tuple)) else [str(value)]
