"""Requests that need no fastener in hand: calculations, codes, look-ups."""

from __future__ import annotations

from advisor.dialogue.explaining import why_not_offered
from advisor.dialogue.facts import WISHES
from advisor.dialogue.inputs import calculation_of
from advisor.dialogue.state import Compute, Desk, Show, Turn
from advisor.dialogue.telling import Told
from advisor.graph.base import Base
from advisor.language.requests import Request
from advisor.lookup.cards import Card

CARDS_SHOWN = 5


def calculate(desk: Desk, told: Told, request: Request) -> Turn | None:
    """A calculation or a code; None where the words do not give its inputs."""
    found = calculation_of(desk.base, request)
    return (told.state, (Compute(found),)) if found else None


def looked_up(desk: Desk, told: Told, request: Request) -> Turn | None:
    """A look-up; amid an enquiry "is A4 all right?" asks after a candidate, "what is A4?" after the card."""
    wished = not set(told.reading.understood).isdisjoint(WISHES)
    opens = request.words.lower().split()[:1]
    if wished and told.before.something and opens and opens[0] in desk.base.role_words("asks-if"):
        return why_not_offered(desk, told, request)
    cards = look_up(desk.base, request.about or told.heard.text)
    return (told.state, (Show(cards),)) if cards else None


def look_up(base: Base, words: str, limit: int = CARDS_SHOWN) -> tuple[Card, ...]:
    """The cards that fit words best."""
    from advisor.lookup.cards import card
    from advisor.lookup.finding import find

    return tuple(card(base, f.id) for f in find(base, words, limit))
