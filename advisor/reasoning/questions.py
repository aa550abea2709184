"""Which question to ask next: the one whose answer can still change the advice, safety first; none that cannot."""

from __future__ import annotations

from collections.abc import Collection

from advisor.graph.nodes import Decision
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import UNKNOWN
from advisor.reasoning.trials import Trials
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Question(NamedTuple):
    """A decision that is open, with what its answers could change: option id -> the first family then ("" = none).

    `swing` is the likelihood that the answer changes the first place or the referral, `value` that it changes any part
    of the advice.
    """

    decision: str
    slot: str
    safety: bool
    order: float
    outcomes: dict[str, str]
    swing: float
    value: float

    @property
    def place(self) -> Place:
        """Its place in the order of asking: safety as curated, then by swing in tenths, then as curated."""
        return (not self.safety, self.order if self.safety else -round(self.swing, 1), self.order)


Place = tuple[bool, float, float]
LEAST_SWING = 0.1
"""A question is asked aloud when its answer changes the first place at least so likely; the rest is listed."""
MOST_LISTED = 8


class OpenDecision(NamedTuple):
    """A decision that may be asked: how often each of its answers is given, and the best place it can come to."""

    decision: Decision
    each: float
    values: tuple[tuple[str, Any], ...]
    aloud: bool
    bound: Place


def matters(engine: Engine, judged: Judged, d: Decision) -> bool:
    """Whether a decision is open and can matter: slot silent, and its own condition not false."""
    enquiry = judged.case.enquiry
    if d.slot in enquiry.said or (d.slot == "circumstance" and _answered(d, enquiry.circumstances)):
        return False
    return engine.rules.voices.makes_sense(judged.state, d.id)


def _answered(d: Decision, present: Collection[str]) -> bool:
    """A decision that fills circumstances is answered when one of its options stands there."""
    return any(v in present for o in d.options for v in (o.value if isinstance(o.value, list) else (o.value,)))


def _opened(engine: Engine, judged: Judged, skip: Collection[str] = ()) -> list[OpenDecision]:
    """The open decisions, those first that can come to the best place."""
    if not engine.asked:
        engine.asked = tuple(sorted(map(_open, engine.base.decisions.values()), key=lambda o: o.bound))
    return [o for o in engine.asked if o.decision.id not in skip and matters(engine, judged, o.decision)]


def _open(d: Decision) -> OpenDecision:
    values = tuple((o.id, o.value) for o in d.options if o.value != UNKNOWN)
    each = (1 - _likely(d)) / max(1, len(values))
    # added up as the trials add up, so that the bound is met to the last digit
    most = _added(0.0, each, len(values))
    bound = (False, d.order, d.order) if d.safety else (True, -round(most, 1), d.order)
    return OpenDecision(d, each, values, d.safety or 1 - _likely(d) >= LEAST_SWING, bound)


def _added(swing: float, each: float, times: int) -> float:
    """The swing after so many more answers that move the first place, added up one by one as the trials do."""
    for _ in range(times):
        swing += each
    return round(swing, 4)


def _likely(d: Decision) -> float:
    """How often the answer is as assumed."""
    if d.assume is not None and d.assume.likely is not None:
        return d.assume.likely
    return 1 / (1 + len([o for o in d.options if o.value != UNKNOWN]))


def open_questions(
    engine: Engine, judged: Judged, limit: int = MOST_LISTED, trials: Trials | None = None
) -> tuple[Question, ...]:
    """The questions whose answers can still change the advice, in the order in which to ask them.

    The options of each open decision are tried; a decision of which every option (and "don't know") gives the same
    first place, referral and cautions is not asked. Safety decisions come first in their curated order, then those
    likeliest to change the first place, then the curated order. No answer swings the advice more often than it is
    given: when no decision left can come before the last of the list, the list is complete. `trials` are those already
    made on the case.
    """
    trials = trials or Trials(engine, judged)
    found: list[Question] = []
    for o in _opened(engine, judged):
        if len(found) >= limit and found[limit - 1].place <= o.bound:
            break
        q = _tried(trials, o, found[limit - 1].place if len(found) >= limit else None)
        if q is not None:
            found.append(q)
            found.sort(key=lambda q: q.place)
    return tuple(found[:limit])


def next_question(
    engine: Engine, judged: Judged, skip: Collection[str] = (), trials: Trials | None = None
) -> Question | None:
    """The question to ask aloud now, or None: the first of open_questions worth asking, the rest not all tried."""
    trials = trials or Trials(engine, judged)
    best: Question | None = None
    for o in _opened(engine, judged, skip):
        if best is not None and best.place <= o.bound:
            break
        if not o.aloud:
            continue
        q = _tried(trials, o, best.place if best is not None else None)
        if q is not None and worth_asking(q) and (best is None or q.place < best.place):
            best = q
    return best


def _tried(trials: Trials, o: OpenDecision, to_beat: Place | None = None, whole: bool = False) -> Question | None:
    """A decision with what its answers change; None when none does, or when it cannot come before a place `to_beat`.

    Trying stops as soon as the question's place is settled (a safety question that swings; one so unlikely that it is
    only listed), unless the `whole` is wanted.
    """
    d, now = o.decision, trials.now
    settled = not whole and (d.safety or not o.aloud)
    outcomes: dict[str, str] = {}
    swing = value = 0.0
    left = len(o.values)
    for option, answer in o.values:
        if to_beat is not None and not d.safety:
            most = _added(swing, o.each, left)
            if (True, -round(most, 1), d.order) >= to_beat:
                return None
        left -= 1
        then = trials.answered(d.slot, answer)
        outcomes[option] = then[0]
        if then != now:
            value += o.each
            if then[0] != now[0] or then[1] != now[1]:
                swing += o.each
                if settled:
                    break
    if not (value if now[1] != "stop" else swing):
        return None
    return Question(d.id, d.slot, d.safety and swing > 0, d.order, outcomes, round(swing, 4), round(value, 4))


def outcomes_of(engine: Engine, judged: Judged, decision_id: str) -> Question | None:
    """One decision with the outcome of every option (for "why do you ask?")."""
    return _tried(Trials(engine, judged), _open(engine.base.decisions[decision_id]), whole=True)


def steady(engine: Engine, judged: Judged, trials: Trials | None = None) -> bool:
    """Whether the first place stays whatever single answer is given to whatever question is open."""
    trials = trials or Trials(engine, judged)
    return all(
        trials.answered(o.decision.slot, value)[0] == trials.now[0]
        for o in _opened(engine, judged)
        for _, value in o.values
    )


def worth_asking(q: Question) -> bool:
    """Whether to ask aloud: safety always, else when the first place is likely enough to change."""
    return q.safety or q.swing >= LEAST_SWING
