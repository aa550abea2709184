"""A question put outright, answered on what was told with the facts of the question; it wishes and changes nothing."""

from __future__ import annotations

from advisor.dialogue.explaining import alternatives_in
from advisor.dialogue.facts import WISHES, merge
from advisor.dialogue.inputs import calculation_of
from advisor.dialogue.state import Answered, Desk
from advisor.dialogue.telling import Told
from advisor.dialogue.troubleshooting import TELLING
from advisor.language.questions_put import SHORT_LINE
from advisor.language.reading import Reading, read
from advisor.reasoning.answers import DIFFERENCE, answer_of
from advisor.reasoning.enquiry import Enquiry

EXPLAINED = frozenset(("why-not", "acceptable-if", "compare", "what-if", "why-question", "back", "change"))
"""Requests that have an answer of their own."""
MEANING = frozenset(("asks-what-is", "asks-mean", "asks-any"))
"""What is asked when only the meaning of words is wanted."""
ANYTHING = "asks-any"
"""Tells only that something is asked; too little for an answer where the line tells of trouble or tells much."""
FITS = frozenset(("size", "thickness_um"))
"""What a line tells that asks whether so many µm fit."""
MAKES_ANOTHER = ("strength", "part", "hardness_hrc")
"""Slots by which a question tells that it is not about the fastener in hand."""
NAMING = (*WISHES, "finish_now", "ordered", "callout")
"""Slots of the talk that name finishes; a question that names its own is not about them."""


def answered(desk: Desk, told: Told) -> Answered | None:
    """The answer; None where nothing is asked, or nothing answers it, or the line answers the open question."""
    reading = told.reading
    if (
        not reading.asks
        or not reading.kinds.isdisjoint(EXPLAINED - {"compare"})
        or told.heard.slot in reading.understood
    ):
        return None
    if _only_meaning(desk, reading) and any(calculation_of(desk.base, r) for r in told.requests if r.kind == "decode"):
        return None  # what a code means is decoded
    # a plain "may it be" that no rule answers is explained with what would make it acceptable
    explained = any(r.kind in EXPLAINED for r in told.requests) and DIFFERENCE not in reading.asks
    # in a long line the finishes of the question are those of its own sentence
    asking = read(reading.question, desk.vocabulary) if reading.question else reading
    choices = alternatives_in(desk, asking) or alternatives_in(desk, reading)[:1]
    weak = bool(reading.kinds & TELLING) or len(told.heard.text.split()) > SHORT_LINE
    asks = tuple(a for a in reading.asks if a != ANYTHING) if weak else reading.asks
    found = answer_of(desk.engine, asked_on(desk, told, asking), asks, choices, screening=not explained)
    if found is not None and not found.stop and _worked_out(told):
        return None  # a figure that the line gives all for is worked out
    return None if found is None else Answered(found)


def _worked_out(told: Told) -> bool:
    """Whether a line asks whether so many µm fit."""
    return any(r.kind == "calculation" and r.inputs.keys() >= FITS for r in told.requests)


def _only_meaning(desk: Desk, reading: Reading) -> bool:
    """Whether a line asks for nothing but what words mean."""
    known = desk.base.kind("ask")
    return {a for a in reading.asks if known[a].get("opens")} <= MEANING


def asked_on(desk: Desk, told: Told, asking: Reading) -> Enquiry:
    """What a question is answered on: all that was told, with the finishes that it names in place of earlier wishes.

    One that names another part or class than the talk is about speaks of another fastener: its own facts alone count.
    `asking` is the reading of the sentence that asks.
    """
    reading, before = told.reading, told.before.enquiry
    if not told.before.something and asking is reading:
        return told.enquiry
    own = reading.understood
    if any(s in own and s in before.said and before.said[s].value != own[s].value for s in MAKES_ANOTHER):
        return merge(desk.base, Enquiry(), reading)[0]
    finishes = {s: x for s, x in asking.understood.items() if s in WISHES}
    if not finishes and not asking.mentioned:
        return told.enquiry
    bare = told.enquiry._replace(mentioned=())
    for slot in NAMING:
        bare = bare.without(slot)
    return merge(desk.base, bare, asking._replace(understood=finishes, circumstances=()))[0]
