"""Which question to ask next: the one whose answer can still change the advice, safety first; none that cannot."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Any, NamedTuple

from advisor.graph.conditions import evaluate
from advisor.reasoning.cautions import stern
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import UNKNOWN, Said

Signature = tuple[object, ...]


class Question(NamedTuple):
    """A decision that is open, with what its answers could change: option id -> the first family then ("" = none).

    `swing` is the likelihood that the answer changes the first place or the referral, `value` that it changes any part
    of the advice.
    """

    decision: str
    slot: str
    safety: bool
    order: float
    outcomes: Mapping[str, str]
    changes_first: bool
    swing: float
    value: float


LEAST_SWING = 0.1
"""A question is asked aloud when its answer changes the first place with at least this likelihood; the rest is listed."""


def signature(engine: Engine, judged: Judged) -> Signature:
    """What of the advice a question must be able to change: first place, referral, the cautions that are more than notes."""
    warned = stern(engine.rules, judged.case, judged.screened, shown_mask(engine, judged))
    first = judged.ranked[0].family if judged.ranked else ""
    return (first, judged.screened.refer, warned)


def shown_mask(engine: Engine, judged: Judged, most: int = 6) -> int:
    """The finishes that an answer shows: the first ranked and the conditional ones."""
    mask = 0
    inside = 0
    for r in judged.ranked:
        inside |= engine.rules.family_mask[r.family]
    for r in judged.ranked[:most]:
        mask |= engine.rules.bit[r.finish]
    if judged.screened.refer != "stop":
        mask |= engine.rules.usual_in(judged.screened.conditional & ~inside)
    return mask


def relevant(engine: Engine, judged: Judged) -> Iterable[tuple[str, Mapping[str, Any]]]:
    """The decisions that are open and can matter: slot silent, and the decision's own condition not false."""
    said = judged.case.enquiry.said
    for decision_id, d in engine.base.kind("decision").items():
        slot = d["slot"]
        if slot in said or (slot == "circumstance" and _answered(judged, d)):
            continue
        if "relevant" in d and evaluate(d["relevant"], judged.case.full, judged.case.told) is False:
            continue
        yield decision_id, d


def _answered(judged: Judged, decision: Mapping[str, Any]) -> bool:
    """A decision that fills circumstances is answered when one of its options stands there."""
    present = judged.case.enquiry.circumstances
    return any(
        set(o["value"] if isinstance(o["value"], list) else [o["value"]]) & set(present) for o in decision["options"]
    )


def with_answer(judged: Judged, slot: str, value: Any, words: str = "") -> Any:
    """The enquiry with one answer given."""
    enquiry = judged.case.enquiry
    if slot == "circumstance":
        more = dict.fromkeys(value if isinstance(value, list) else [value], words)
        return enquiry._replace(circumstances={**enquiry.circumstances, **more})
    return enquiry.with_slot(slot, Said(value, words, 1.0, "answer"))


def open_questions(engine: Engine, judged: Judged, limit: int = 8) -> tuple[Question, ...]:
    """The questions whose answers can still change the advice, in the order in which to ask them.

    The options of each open decision are tried; a decision of which every option (and "don't know") gives the same first
    place, referral and cautions is not asked. Safety decisions come first in their curated order, then those that are
    likeliest to change the first place, then the curated order.
    """
    now = signature(engine, judged)
    found = [q for i, d in relevant(engine, judged) if (q := _question(engine, judged, now, i, d)) is not None]
    found.sort(key=_place)
    return tuple(found[:limit])


def next_question(engine: Engine, judged: Judged, skip: Collection[str] = ()) -> Question | None:
    """The question to ask aloud now, or None: the first of open_questions that is worth asking, found without trying the rest."""
    now = signature(engine, judged)
    open_ones = [(i, d) for i, d in relevant(engine, judged) if i not in skip]
    for i, d in sorted(open_ones, key=lambda x: float(x[1]["order"])):
        if d.get("safety"):
            q = _question(engine, judged, now, i, d)
            if q is not None and q.safety:
                return q
    rest = [(i, d) for i, d in open_ones if 1 - _likely(d) >= LEAST_SWING]
    asked = [q for i, d in rest if (q := _question(engine, judged, now, i, d)) is not None and worth_asking(q)]
    return min(asked, key=_place, default=None)


def _place(q: Question) -> tuple[bool, float, float]:
    return (not q.safety, q.order if q.safety else -round(q.swing, 1), q.order)


def _likely(decision: Mapping[str, Any]) -> float:
    """How often the answer is as assumed."""
    options = sum(o["value"] != UNKNOWN for o in decision["options"])
    return float(decision.get("assume", {}).get("likely", 1 / (options + 1)))


def _question(
    engine: Engine, judged: Judged, now: Signature, decision_id: str, d: Mapping[str, Any], whole: bool = False
) -> Question | None:
    """A decision with what its answers change; None when none does.

    Trying stops as soon as the question's place is settled (a safety question that swings; one so unlikely that it is
    only listed), unless the `whole` is wanted.
    """
    options = [o for o in d["options"] if o["value"] != UNKNOWN]
    likely = _likely(d)
    each = (1 - likely) / max(1, len(options))
    listed_only = not d.get("safety") and 1 - likely < LEAST_SWING
    outcomes: dict[str, str] = {}
    swing = value = 0.0
    for option in options:
        other = engine.vary(judged, with_answer(judged, d["slot"], option["value"]))
        then = now if other.screened is judged.screened else signature(engine, other)
        outcomes[option["id"]] = str(then[0])
        if then != now:
            value += each
            if then[0] != now[0] or then[1] != now[1]:
                swing += each
                if (listed_only or d.get("safety")) and not whole:
                    break
    if not (value if now[1] != "stop" else swing):
        return None
    safety = bool(d.get("safety", False)) and swing > 0
    return Question(
        decision_id, d["slot"], safety, float(d["order"]), outcomes, swing > 0, round(swing, 4), round(value, 4)
    )


def outcomes_of(engine: Engine, judged: Judged, decision_id: str) -> Question | None:
    """One decision with the outcome of every option (for "why do you ask?")."""
    d = engine.base.kind("decision")[decision_id]
    return _question(engine, judged, signature(engine, judged), decision_id, d, whole=True)


def worth_asking(q: Question) -> bool:
    """Whether to ask aloud: safety always, else when the first place is likely enough to change."""
    return q.safety or q.swing >= LEAST_SWING
