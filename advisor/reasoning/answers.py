"""The answer to a question put outright: a rule of the answers where one speaks, else the engine's word on a finish."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.graph.conditions import Condition
from advisor.reasoning.blanks import filled
from advisor.reasoning.case import ASKS
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import Enquiry, Said, listed
from advisor.reasoning.named_finishes import FinishVerdict, differ, figure_asked, verdict_on, which_of
from advisor.reasoning.spoken import Effect
from advisor.reasoning.supply import supply_answer
from advisor.records import NamedTuple

WILL_DO = frozenset(("asks-may", "asks-enough"))
SUPPLY_ASKS = "supply-asks"
LASTS, MEASURES = "asks-lasts", ("life_years", "salt_spray_hours")
"""How far something reaches is answered where the years or hours are told."""
WHICH = frozenset(("asks-which-of", "asks-or"))
DIFFERENCE = "asks-difference"
MEANING = frozenset(("asks-what-is", "asks-mean"))
FIGURES = {
    "asks-how-hot": ("temperature_limit_c", "temperature_ok_c"),
    "asks-how-thick": ("thickness_um",),
    "asks-how-many-hours": ("salt_spray_red_h", "salt_spray_white_h"),
}
"""The questions that screening and figures answer by themselves: will it do, which of several, how much."""


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
    engine: Engine, enquiry: Enquiry, asks: Sequence[str], choices: Sequence[Sequence[str]], screening: bool = True
) -> Answer | None:
    """The answer to the questions put on an enquiry; None where nothing answers them.

    `choices` are the finishes that the question names, those of one word together. Without `screening` only rules
    answer.
    """
    families = tuple(dict.fromkeys(f for choice in choices for f in choice))
    judged = engine.judge(put(enquiry, asks))
    found = _by_supply(engine, judged, families, asks) or _by_rule(engine, judged, families)
    if found is None and MEANING.intersection(asks):
        found = _by_meaning(engine, asks)
    return found or (_by_screening(engine, judged, choices) if screening else None)


def _by_supply(engine: Engine, judged: Judged, families: Sequence[str], asks: Sequence[str]) -> Answer | None:
    """What the branch's own list says of price, stock and time; a stop of the rules stands before it."""
    if not engine.base.supplies or not set(engine.base.role_words(SUPPLY_ASKS)).intersection(asks):
        return None
    by_rule = _by_rule(engine, judged, families)
    if judged.screened.refer == "stop" or (by_rule is not None and by_rule.stop):
        return None
    found = supply_answer(engine, judged, families)
    return None if found is None else Answer("figure", *found)


def _by_rule(engine: Engine, judged: Judged, families: Sequence[str]) -> Answer | None:
    """The most specific of the rules that answer: what holds under more conditions knows more of the matter.

    Where a deed is asked about (to weld, to use again), a rule that speaks of it comes before every other.
    """
    speaking = [
        e
        for s in judged.screened.said
        for e in s.effects
        if e.verb == "answer" and not e.pending and not (e.assumed and e.severity != "stop")
    ]
    deeds = frozenset(engine.base.role("deeds-asked")).intersection(listed(judged.case.told[ASKS]))

    def order(e: Effect) -> tuple[int, bool, int]:
        when = engine.base.rules[e.rule].when
        return -len(deeds & asked_in(when)), e.severity != "stop", -tests_of(when)

    for e in sorted(speaking, key=order):
        text = filled(engine, judged, families, e.text)
        if text:
            return _of_effect(engine, e, text)
    return None


def _by_meaning(engine: Engine, asks: Sequence[str]) -> Answer | None:
    """What a word of the trade means, in two sentences; of several the longest word was meant."""
    known = engine.base.kind("ask")
    for ask in asks:
        node = known.get(ask, {})
        if node.get("means"):
            return Answer("none", str(node["means"]), tuple(node.get("because", ())))
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


def asked_in(condition: Condition) -> frozenset[str]:
    """The questions and subjects that a condition wants put; what it denies does not count.

    >>> denied = ["not", ["test", "asks", "in", ["asks-paint"]]]
    >>> sorted(asked_in(["all", ["test", "asks", "in", ["asks-may", "asks-weld"]], denied]))
    ['asks-may', 'asks-weld']
    """
    if condition[0] == "test":
        return frozenset(listed(condition[3])) if condition[1] == ASKS else frozenset()
    if condition[0] == "not":
        return frozenset()
    return frozenset().union(*map(asked_in, condition[1:]))


def _by_screening(engine: Engine, judged: Judged, choices: Sequence[Sequence[str]]) -> Answer | None:
    """May it be, will it do, which of them, how hot: what screening and figures say of the finishes that are named."""
    asked = frozenset(listed(judged.case.told[ASKS]))
    found = _of_named(engine, judged, choices, asked) if choices else None
    if found is not None:
        return Answer(found.verdict, f"{found.text} {found.offer}".strip(), found.cites)
    return None


def _of_named(
    engine: Engine, judged: Judged, choices: Sequence[Sequence[str]], asked: frozenset[str]
) -> FinishVerdict | None:
    families = tuple(dict.fromkeys(f for choice in choices for f in choice))
    several = len(choices) > 1
    if several and DIFFERENCE in asked:
        return differ(engine, judged, tuple(choice[0] for choice in choices))
    figures = next((q for ask, q in FIGURES.items() if ask in asked), ())
    if figures:
        return figure_asked(engine, judged, families, figures)
    if several and WHICH & asked and judged.screened.refer != "stop":
        return which_of(engine, judged, choices)
    forbidden = several and bool(WHICH & asked)
    reaches = LASTS in asked and any(judged.case.is_told(slot) for slot in MEASURES)
    return verdict_on(engine, judged, choices[0]) if forbidden or reaches or WILL_DO & asked else None
