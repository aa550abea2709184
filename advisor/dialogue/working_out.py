"""Requests that need no fastener in hand: calculations, codes, look-ups."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.dialogue.inputs import calculation_of
from advisor.dialogue.reckoning import reckon
from advisor.dialogue.state import Compute, Desk, Replies, Show, Turn
from advisor.dialogue.telling import Told
from advisor.graph.base import Base
from advisor.language.reading import Reading
from advisor.language.requests import Request
from advisor.lookup.cards import Card

CARDS_SHOWN = 5
HEAD = 3
"""So many words behind "what is" are the name that is asked after."""


def calculate(desk: Desk, told: Told, request: Request) -> Turn | None:
    """A calculation or a code; None where the words do not give its inputs."""
    if request.kind != "decode" and request.about != "convert":
        return reckon(desk, told, request)
    found = calculation_of(desk.base, request)
    return (told.state, (Compute(found),)) if found else None


def looked_up(desk: Desk, told: Told, request: Request) -> Turn | None:
    """A look-up: what the words were read as first, then what fits them; unknown names are not guessed."""
    from advisor.lookup.finding import answers_to

    words = request.about or told.heard.text
    # a name is asked after at the head of a question; further on a word that nobody wrote down may be any
    unknown = unknown_names(desk, told, words.split()[:HEAD])
    if unknown is not None:
        return told.state, unknown
    cards = look_up(desk.base, words)
    named = _read_as(desk.base, told)
    if named:
        from advisor.lookup.cards import card

        first = tuple(card(desk.base, n) for n in named)
        cards = (*first, *(c for c in cards if c.id not in named))[:CARDS_SHOWN]
    exact = bool(named) or answers_to(desk.base, words)
    whole = request.words.lower() in desk.base.role_words("card-wanted")
    return (told.state, (Show(cards, exact, whole),)) if cards else None


def unknown_names(desk: Desk, told: Told, among: Sequence[str]) -> Replies | None:
    """What is said of a name that the knowledge does not hold: it is not guessed; None where there is none."""
    unused = [w for w in told.reading.unused if w in among]
    if not unused:
        return None
    from advisor.lookup.finding import strangers

    names = strangers(desk.base, unused)
    return (desk.say("say-not-guessed", name=names[0]),) if names else None


def _read_as(base: Base, told: Told) -> tuple[str, ...]:
    """The node that the one word asked after was read as: the category in "what does C4 mean"."""
    values = [x.value for s, x in told.reading.understood.items() if s in base.role_words("shown-as-card")]
    if len(told.reading.understood) != 1 or not values:
        return ()
    listed = values[0] if isinstance(values[0], (list, tuple)) else [values[0]]
    return tuple(str(v).lower() for v in listed if str(v).lower() in base.exposures)[:1]


def look_up(base: Base, words: str, limit: int = CARDS_SHOWN) -> tuple[Card, ...]:
    """The cards that fit words best."""
    from advisor.lookup.cards import card
    from advisor.lookup.finding import find

    return tuple(card(base, f.id) for f in find(base, words, limit))


def decoded(desk: Desk, text: str) -> Replies:
    """What a code means that a line bids to decode ("decode tZn 8.8"); it tells nothing of the fastener in hand."""
    lead, _, code = text.strip().partition(" ")
    if lead.lower() not in desk.base.role_words("bids-decode") or not code.strip():
        return ()
    found = calculation_of(desk.base, Request("decode", code, code))
    return (Compute(found),) if found is not None else ()


NAMED_BY = "standard"
BESIDE_A_NAME = frozenset((NAMED_BY, "callout", "strength", "finish_asked", "finish_now", "part", "appearance"))
FEW_WORDS = 6


def named_only(desk: Desk, reading: Reading, text: str) -> Replies:
    """What a document is, where a line is nothing but its name and the code that follows it."""
    own = reading.understood.keys()
    if NAMED_BY not in own or not own <= BESIDE_A_NAME or len(text.split()) > FEW_WORDS:
        return ()
    from advisor.calculations.decode_documents import only_documents

    found = calculation_of(desk.base, Request("decode", text, text))
    if found is None or not only_documents(desk.base, text):
        return ()
    return (Compute(found),)
