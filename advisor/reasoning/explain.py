"""Explanations from what reasoning left: why not, what if, what would make it acceptable, one against another."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

from advisor.reasoning.cautions import cautions
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import UNKNOWN, Enquiry, listed
from advisor.reasoning.figures import ShownFigure, figures_of
from advisor.reasoning.reasons import Reason, conditions_on, reasons_against
from advisor.reasoning.trials import shown_mask, with_answer
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class WhyNot(NamedTuple):
    """Why a family is not offered: `state` is out, conditional or in (then `rank` says where)."""

    family: str
    finish: str
    state: str
    rank: int
    reasons: tuple[Reason, ...]


class Difference(NamedTuple):
    """What another answer changes in the advice."""

    before: tuple[str, ...]
    after: tuple[str, ...]
    gained: tuple[str, ...]
    lost: tuple[str, ...]
    cautions_gained: tuple[str, ...]
    cautions_lost: tuple[str, ...]
    refer_before: str
    refer_after: str
    lost_reasons: tuple[tuple[str, str], ...]
    judged: Judged

    @property
    def nothing(self) -> bool:
        """Whether the advice stays as it is."""
        return (
            self.before == self.after
            and not self.gained
            and not self.lost
            and not self.cautions_gained
            and not self.cautions_lost
            and self.refer_before == self.refer_after
        )


class Remedy(NamedTuple):
    """A change of answers that makes a finish acceptable: (slot, value, words of the option)."""

    changes: tuple[tuple[str, Any, str], ...]


class Side(NamedTuple):
    """One finish in a comparison."""

    finish: str
    family: str
    state: str
    rank: int
    figures: dict[str, ShownFigure]
    reasons: tuple[Reason, ...]


def why_not(engine: Engine, judged: Judged, family: str) -> WhyNot:
    """Why a family is not (first) recommended."""
    mask = engine.rules.family_mask.get(family, 0)
    for n, r in enumerate(judged.ranked, 1):
        if r.family == family:
            return WhyNot(family, r.finish, "in", n, ())
    usual = engine.base.resolve_finish(family)
    bit = engine.rules.bit[usual]
    if judged.screened.conditional & mask and judged.screened.refer != "stop":
        finish = (
            usual
            if judged.screened.conditional & bit
            else next(engine.rules.members(judged.screened.conditional & mask))
        )
        return WhyNot(family, finish, "conditional", 0, conditions_on(engine, judged, finish))
    reasons = reasons_against(engine, judged, usual)
    if not reasons and judged.screened.refer == "stop":
        reasons = tuple(
            dict.fromkeys(
                Reason(e.text, e.because, e.rule)
                for e in judged.screened.effects
                if e.verb == "refer" and e.value == "stop"
            )
        )
    return WhyNot(family, usual, "out", 0, reasons)


def difference(engine: Engine, judged: Judged, enquiry: Enquiry, most: int = 6) -> Difference:
    """What changes in the advice when the enquiry changes."""
    other = engine.vary(judged, enquiry)
    before = tuple(r.finish for r in judged.ranked[:most])
    after = tuple(r.finish for r in other.ranked[:most])
    families_before = {r.family for r in judged.ranked}
    families_after = {r.family for r in other.ranked}
    warned_before = _topics(engine, judged)
    warned_after = _topics(engine, other)
    lost = [r.family for r in judged.ranked if r.family not in families_after]
    reasons: list[tuple[str, str]] = []
    for family in lost[:4]:
        w = why_not(engine, other, family)
        if w.reasons:
            reasons.append((family, w.reasons[0].text))
    return Difference(
        before,
        after,
        tuple(r.family for r in other.ranked if r.family not in families_before),
        tuple(lost),
        tuple(t for t in warned_after if t not in warned_before),
        tuple(t for t in warned_before if t not in warned_after),
        judged.screened.refer,
        other.screened.refer,
        tuple(reasons),
        other,
    )


def _topics(engine: Engine, judged: Judged) -> list[str]:
    found = cautions(engine.rules, judged.case, judged.screened, shown_mask(engine, judged))
    return [c.topic for c in found if c.severity != "note"]


def acceptable_if(engine: Engine, judged: Judged, family: str, most: int = 3) -> tuple[Remedy, ...]:
    """The smallest changes of answers with which a family would be recommended: single ones, else pairs.

    A single change that works is always found. Pairs are tried only when no single one works, and only of changes that
    each lift something that stands against the family: all pairs would take seconds.
    """
    mask = engine.rules.family_mask.get(family, 0)
    against = _obstacles(engine, judged, mask)
    out: list[Remedy] = []
    helpful: list[tuple[str, Any, str]] = []
    for change in _single_answers(engine, judged):
        other = engine.vary(judged, _changed(judged.case.enquiry, (change,)))
        if _is_in(other, family):
            out.append(Remedy((change,)))
            if len(out) >= most:
                return tuple(out)
        elif not out and against - _obstacles(engine, other, mask):
            helpful.append(change)
    if out:
        return tuple(out)
    for pair in combinations(helpful, 2):
        if pair[0][0] == pair[1][0]:
            continue
        if _is_in(engine.vary(judged, _changed(judged.case.enquiry, pair)), family):
            return (Remedy(pair),)
    return ()


def _obstacles(engine: Engine, judged: Judged, mask: int) -> set[tuple[object, ...]]:
    """Everything that stands against any of some finishes, each with the finishes it hits."""
    screened = judged.screened
    out: set[tuple[object, ...]] = {
        (e.rule, e.verb, e.mask & mask, e.pending)
        for e in screened.effects
        if e.mask is not None
        and e.mask & mask
        and (e.verb in ("exclude", "conditional") or (e.verb == "viability" and e.value == "none"))
    }
    for c in screened.checks:
        for what, hit in (("out", c.out), ("conditional", c.conditional)):
            out.update((c.rule, what, finish) for finish in engine.rules.members(hit & mask))
    ruled_out = engine.rules.mask_of(listed(judged.case.known.get("exclude"))) & mask
    return out | {("place", screened.by_place & mask), ("refer", screened.refer), ("exclude", ruled_out)}


def _single_answers(engine: Engine, judged: Judged) -> Iterable[tuple[str, Any, str]]:
    """Every other answer to every decision, the slots already told first."""
    said = judged.case.enquiry.said
    decisions = sorted(engine.base.kind("decision").values(), key=lambda d: (d["slot"] not in said, d["order"]))
    for d in decisions:
        for o in d["options"]:
            if (
                o["value"] != UNKNOWN
                and (d["slot"] not in said or said[d["slot"]].value != o["value"])
                and d["slot"] != "circumstance"
            ):
                yield d["slot"], o["value"], o["text"]
    for slot in ("exclude", "life_years", "salt_spray_hours", "temperature_c"):
        if slot in said:
            yield slot, None, ""


def _changed(enquiry: Enquiry, changes: Iterable[tuple[str, Any, str]]) -> Enquiry:
    for slot, value, words in changes:
        enquiry = enquiry.without(slot) if value is None else with_answer(enquiry, slot, value, words)
    return enquiry


def _is_in(judged: Judged, family: str) -> bool:
    return any(r.family == family for r in judged.ranked)


def compare(engine: Engine, judged: Judged, families: Iterable[str]) -> tuple[Side, ...]:
    """Two or three families side by side in the light of the enquiry."""
    out: list[Side] = []
    for family in families:
        w = why_not(engine, judged, family)
        finish = w.finish
        out.append(Side(finish, family, w.state, w.rank, figures_of(engine, judged.case, finish), w.reasons))
    return tuple(out)
