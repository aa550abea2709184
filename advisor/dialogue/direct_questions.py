"""A question put outright, answered on what was told with the facts of the question; it wishes and changes nothing."""

from __future__ import annotations

from advisor.dialogue.explaining import families_in
from advisor.dialogue.state import Answered, Desk
from advisor.dialogue.telling import Told
from advisor.reasoning.answers import answer_of

EXPLAINED = frozenset(("why-not", "acceptable-if", "compare", "what-if", "why-question", "back", "change"))
"""Requests that have an answer of their own."""
MEANING = frozenset(("asks-what-is", "asks-mean"))
"""What is asked when only the meaning of words is wanted."""


def answered(desk: Desk, told: Told) -> Answered | None:
    """The answer; None where nothing is asked, or nothing answers it, or the line answers the open question."""
    reading = told.reading
    if (
        not reading.asks
        or not reading.kinds.isdisjoint(EXPLAINED - {"compare"})
        or told.heard.slot in reading.understood
    ):
        return None
    if "decode" in reading.kinds and set(reading.asks) <= MEANING:
        return None  # what a code means is decoded
    # a plain "may it be" that no rule answers is explained with what would make it acceptable
    explained = any(r.kind in EXPLAINED for r in told.requests)
    families = families_in(desk, reading, "")
    found = answer_of(desk.engine, told.enquiry, reading.asks, families, screening=not explained)
    return None if found is None else Answered(found)
