"""The answer to a question put outright: a rule of the answers where one speaks, else the engine's word on a finish."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.graph.conditions import Condition
from advisor.reasoning.blanks import filled
from advisor.reasoning.case import ASKS
from advisor.reasoning.cautions import cautions
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import Enquiry, Said, listed
from advisor.reasoning.explain import why_not
from advisor.reasoning.reasons import Reason, of_effect
from advisor.reasoning.spoken import Effect
from advisor.records import NamedTuple

MAY, ENOUGH = "asks-may", "asks-enough"
"""The two questions that the screening itself can answer."""
VERDICTS = {"in": "yes", "out": "no", "conditional": "depends"}


class Answer(NamedTuple):
    """What to say: its verdict (yes, no, depends, figure, choice, none), the text, the nodes it rests on.

    `stop`: it warns of something that can hurt, and stands before everything else. `rule`: the rule that spoke.
    """

    verdict: str
    text: str
    cites: tuple[str, ...] = ()
    stop: bool = False
    rule: str = ""


def put(enquiry: Enquiry, asks: Sequence[str]) -> Enquiry:
    """An enquiry with the questions that a line puts; they stay with that line."""
    return enquiry.with_slot(ASKS, Said(list(asks), "", 1.0, "words"))


def answer_of(
    engine: Engine, enquiry: Enquiry, asks: Sequence[str], families: Sequence[str], screening: bool = True
) -> Answer | None:
    """The answer to the questions put on an enquiry; None where nothing answers them.

    `families` are those that the question names. Without `screening` only rules answer.
    """
    judged = engine.judge(put(enquiry, asks))
    found = _by_rule(engine, judged, families)
    return found or (_by_screening(engine, judged, families) if screening else None)


def _by_rule(engine: Engine, judged: Judged, families: Sequence[str]) -> Answer | None:
    """The most specific of the rules that answer: what holds under more conditions knows more of the matter."""
    speaking = [
        e
        for s in judged.screened.said
        for e in s.effects
        if e.verb == "answer" and not e.pending and not (e.assumed and e.severity != "stop")
    ]
    for e in sorted(speaking, key=lambda e: (e.severity != "stop", -tests_of(engine.base.rules[e.rule].when))):
        text = filled(engine, judged, families, e.text)
        if text:
            return _of_effect(engine, e, text)
    return None


def _of_effect(engine: Engine, e: Effect, text: str) -> Answer:
    stop = e.severity == "stop"
    if stop:
        text = engine.base.phrase("answered-stop", text=text)
    return Answer(str(e.value), text, e.because, stop, e.rule)


def tests_of(condition: Condition) -> int:
    """How many tests a condition needs to hold: all of an `all`, the fewest of an `any`; a denial only
    keeps away and tells nothing.

    >>> tests_of(["all", ["test", "a", "is", 1], ["any", ["test", "b", "is", 1], ["test", "c", "is", 1]]])
    2
    """
    match condition[0]:
        case "test":
            return 1
        case "not":
            return 0
        case "any":
            return min(map(tests_of, condition[1:]), default=0)
        case _:
            return sum(map(tests_of, condition[1:]))


def _by_screening(engine: Engine, judged: Judged, families: Sequence[str]) -> Answer | None:
    """May it be, will it do: what screening makes of the finish that is named, on the facts that were told."""
    case = judged.case
    told = case.told.keys() - {ASKS, "circumstance", "named", "finish_asked", "finish_now", "callout", "ordered"}
    if not families or not told or not {MAY, ENOUGH} & set(listed(case.told[ASKS])):
        return None
    w = why_not(engine, judged, families[0])
    reason = w.reasons[0] if w.reasons else _held_back(engine, judged)
    if w.state != "in" and reason is None:
        return None
    state = "conditional" if w.state == "in" and reason is not None else w.state
    words = engine.base.phrase
    text = words(
        f"answered-{state}",
        finish=engine.base.families[w.family].name,
        reason=reason.text if reason is not None else "",
    )
    first = judged.ranked[0].family if judged.ranked else ""
    if first and first not in families and state == "out":
        text += " " + words("answered-offer", finish=engine.base.families[first].name)
    return Answer(VERDICTS[state], text, reason.cites if reason is not None else ())


def _held_back(engine: Engine, judged: Judged) -> Reason | None:
    """What stands before a plain yes: somebody qualified has to decide, or a STOP belongs to what was told."""
    referring = [e for e in judged.screened.effects if e.verb == "refer" and not e.assumed and not e.pending]
    if referring:
        return of_effect(referring[0])
    stops = [c for c in cautions(engine.rules, judged.case, judged.screened, 0) if c.severity == "stop"]
    return Reason(engine.base.cautions[stops[0].id].text, (stops[0].id,)) if stops else None
