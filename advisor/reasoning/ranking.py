"""The ranking: a transparent weighted sum of a few criteria on fixed scales, by finish, then the best of each family.

Families are ranked one by one, and a family whose finishes stand as they stood is not ranked again: an answer that is
tried touches few of them.
"""

from __future__ import annotations

from advisor.reasoning.case import Case, classes_of
from advisor.reasoning.enquiry import listed
from advisor.reasoning.rulebase import Members, Rulebase
from advisor.reasoning.scales import Scales, Sums
from advisor.reasoning.screening import Screened
from advisor.reasoning.spoken import Spoken
from advisor.records import NamedTuple

SAME_SCORE = 1e-9
"""Finishes of a family closer than this are equal; the first of the base stands."""

Best = tuple[float, int] | None
"""The best finish of a family: its score with the sign turned, for sorting, and its number; None when all are out."""


class Ranked(NamedTuple):
    """One finish with its score, and whether it lasts well in the place (level 1) or barely (0)."""

    finish: str
    family: str
    score: float
    level: int


class Standing(NamedTuple):
    """What ranking reads of a case, the best finish of every family, and all of them in order (score, number)."""

    sums: Sums
    inside: int
    weak: int
    favouring: frozenset[Spoken]
    looks: int
    heeded: tuple[tuple[str, ...], tuple[str, ...], bool]
    bests: tuple[Best, ...]
    order: tuple[tuple[float, int], ...]


def stand(
    rules: Rulebase,
    scales: Scales,
    case: Case,
    screened: Screened,
    before: Standing | None = None,
    moved: tuple[str, float] | None = None,
) -> Standing:
    """The standing of every family in a case; of families that stand as `before` the best finish is taken over."""
    sums = scales.sums(scales.priority_of(case), classes_of(case), moved)
    look = case.full.get("appearance")
    looks = rules.colours.get(look, 0) if isinstance(look, str) else 0
    known = case.known
    ordered, wished = tuple(listed(known.get("ordered"))), tuple(listed(known.get("finish_asked")))
    heeded = (ordered, wished, case.is_told("environment"))
    inside, weak = screened.inside(rules.everything), screened.weak
    favouring = screened.chorus.favouring
    changed = rules.everything
    bests: list[Best] = []
    if before is not None and before.sums is sums and before.looks == looks and before.heeded[0] == ordered:
        changed = (before.inside ^ inside) | (before.weak ^ weak)
        if favouring is not before.favouring:
            for s in before.favouring ^ favouring:
                changed |= s.favoured
        changed &= before.inside | inside  # what was out and is out has no rank
        if not changed and before.heeded == heeded:
            return before
        bests = list(before.bests)
    else:
        bests = [None] * len(rules.families)
    weighing = screened.chorus.weighing
    first = tuple([rules.index[f] for f in ordered if f in rules.index])
    for n in rules.families_at(changed):
        family = rules.families[n]
        bests[n] = _best(family, inside, weak, weighing, looks, sums, first) if family.mask & inside else None
    order = sorted([b for b in bests if b is not None])
    return Standing(
        sums, inside, weak, favouring, looks, heeded, tuple(bests), _heed_the_customer(rules, heeded, weak, order)
    )


def _best(
    family: Members,
    inside: int,
    weak: int,
    weighing: list[tuple[int, Spoken]],
    looks: int,
    sums: Sums,
    ordered: tuple[int, ...],
) -> Best:
    """The best of the finishes of one family that are in; of an ordered family the very finish ordered is shown.

    Remembered by what hits the family: few states of few rules, whatever else is told.
    """
    whole = family.mask
    part = inside & whole
    near = tuple([s for _, s in weighing if s.favoured & whole])
    key = (part, weak & part, looks & part, near, ordered)
    found = sums.kept.get(key)
    if found is None:
        found = sums.kept[key] = _of_family(family, part, weak, near, looks, sums, ordered)
    return found


def _of_family(
    family: Members,
    part: int,
    weak: int,
    speaking: tuple[Spoken, ...],
    looks: int,
    sums: Sums,
    ordered: tuple[int, ...],
) -> Best:
    """As _best, worked out: masks are cut down to the family's own few bits first, for short numbers are quick."""
    at, own = family.first, family.own
    part, weak, looks = part >> at & own, weak >> at & own, looks >> at & own
    near = [(mask >> at & part, value) for s in speaking for mask, value in s.favours if mask & family.mask]
    # most favours are of the whole family: they are added up once
    common = sum([value for mask, value in near if mask == part])
    near = [(mask, value) for mask, value in near if mask and mask != part]
    return _winner((at, part, weak, looks), common, near, sums, ordered)


def _winner(
    masks: tuple[int, int, int, int], common: float, near: list[tuple[int, float]], sums: Sums, ordered: tuple[int, ...]
) -> Best:
    """The best of the finishes of a family that are in, gone through one by one."""
    at, part, weak, looks = masks
    step, look = sums.weights["rules"], sums.weights["look"]
    top, chosen = -1e9, -1
    while part:
        bit = part & -part
        part ^= bit
        i = at + bit.bit_length() - 1
        score = sums.weak[i] if weak & bit else sums.good[i]
        extra = common
        for mask, value in near:
            if mask & bit:
                extra += value
        score += step * extra
        if i in ordered:
            # what was ordered needs no look to win
            return -score, i
        if looks & bit:
            score += look
        if score > top + SAME_SCORE:
            top, chosen = score, i
    return (-top, chosen) if chosen >= 0 else None


def ranked_of(rules: Rulebase, standing: Standing) -> tuple[Ranked, ...]:
    """The best finish of every family that is in, best family first."""
    return tuple(
        Ranked(rules.finishes[i], rules.family[i], -score, 0 if standing.weak >> i & 1 else 1)
        for score, i in standing.order
    )


def favour_of(screened: Screened, bit: int) -> float:
    """Sum of the rules' favour for one finish."""
    return sum(value for mask, value in screened.chorus.favours if mask & bit)


def contributions(rules: Rulebase, scales: Scales, case: Case, screened: Screened, r: Ranked) -> dict[str, float]:
    """What each criterion adds to the score of a ranked finish; the sum is the score."""
    weights = scales.weights[scales.priority_of(case)]
    i = rules.index[r.finish]
    out = {"viability": weights["level"] * r.level}
    for name, value in scales.criteria(classes_of(case), i).items():
        if name == "life" and r.level == 0:
            value = min(value, scales.scale["material_weak"])
        out[name] = weights.get(name, 0.0) * value
    look = case.full.get("appearance")
    if isinstance(look, str) and rules.colours.get(look, 0) >> i & 1:
        out["look"] = weights["look"]
    extra = favour_of(screened, 1 << i)
    if extra:
        out["rules"] = weights["rules"] * extra
    return out


def _heed_the_customer(
    rules: Rulebase, heeded: tuple[tuple[str, ...], tuple[str, ...], bool], weak: int, order: list[tuple[float, int]]
) -> tuple[tuple[float, int], ...]:
    """What is ordered stands first; what is wished moves up one place, but not past one that lasts when it does not."""
    ordered, wished, place_told = heeded
    if not wished and not ordered:
        return tuple(order)
    family = rules.family
    at = {family[i]: n for n, (_, i) in enumerate(order)}
    # of a group word ("zinc") the member meant first is moved, not the whole group
    for name in [f for f in wished if f in at][:1]:
        place = at[name]
        if not place:
            continue
        target = place - 1
        if not place_told:
            # the place may be milder than assumed: a wish stands at least second
            target = min(target, 1)
        elif weak >> order[place][1] & 1 and not weak >> order[target][1] & 1:
            continue
        order.insert(target, order.pop(place))
    for name in reversed([family[rules.index[f]] if f in rules.index else f for f in ordered]):
        place = next((n for n, (_, i) in enumerate(order) if family[i] == name), 0)
        if place:
            order.insert(0, order.pop(place))
    return tuple(order)
