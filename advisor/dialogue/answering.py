"""One utterance with no conversation around it: what it asks for, and the answer. Shared by every shell."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from advisor.dialogue.facts import merge, set_values
from advisor.dialogue.inputs import calculation_of
from advisor.language.reading import Reading, read
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.advice import Advice, advise
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import Enquiry

if TYPE_CHECKING:
    from advisor.calculations.options import Calculation
    from advisor.lookup.cards import Card

CARDS_SHOWN = 5


class Answer(NamedTuple):
    """An answer of one kind (advice, lookup, decode, calculation, clarify, out-of-scope); the matching part is filled."""

    kind: str
    reading: Reading
    enquiry: Enquiry
    advice: Advice | None = None
    cards: tuple[Card, ...] = ()
    calculation: Calculation | None = None
    sentence: str = ""


def answer(
    engine: Engine,
    vocabulary: Vocabulary,
    text: str,
    values: Mapping[str, Any] | None = None,
    answering: str | None = None,
) -> Answer:
    """The best answer that the words allow."""
    reading = read(text, vocabulary, answering)
    enquiry, _ = merge(engine.base, Enquiry(), reading)
    enquiry = set_values(engine.base, enquiry, values or {})
    asks = {i.kind: i for i in reading.intents}
    something = bool(enquiry.said or enquiry.circumstances)
    if "decode" in asks and not values and asks_only(reading):
        wanted = asks["decode"]
        decoded = calculation_of(engine.base, wanted)
        if decoded is not None:
            return Answer("decode", reading, enquiry, calculation=decoded)
    if not values:
        wanted_figures = (calculation_of(engine.base, i) for i in reading.intents if i.kind == "calculation")
        calculation = next((c for c in wanted_figures if c is not None), None)
        if calculation is not None:
            return Answer("calculation", reading, enquiry, calculation=calculation)
    wanted_card = asks.get("lookup") or (asks.get("compare") if "environment" not in reading.understood else None)
    if wanted_card is not None and not values:
        cards = look_up(engine, wanted_card.about or text)
        if cards:
            advice = advise(engine, enquiry, ask=False) if something else None
            return Answer("lookup", reading, enquiry, advice=advice, cards=cards)
    if something:
        return Answer("advice", reading, enquiry, advice=advise(engine, enquiry))
    if "off-topic" in asks or "hostile" in asks:
        return Answer("out-of-scope", reading, enquiry, sentence=engine.base.phrase("say-off-topic"))
    if "greeting" in asks:
        return Answer("clarify", reading, enquiry, sentence=engine.base.phrase("say-greeting"))
    return Answer("clarify", reading, enquiry, sentence=engine.base.phrase("say-understood-nothing"))


def asks_only(reading: Reading) -> bool:
    """Whether a line that holds a code only asks what it means, and is no enquiry around it (place, part, size …)."""
    kinds = reading.kinds
    if "decode" not in kinds or "calculation" in kinds:
        return True
    told = set(reading.understood) - {"callout", "strength", "thread_class", "appearance", "salt_spray_hours", "rust"}
    told -= {"finish_asked", "hexavalent_chromium", "regime"}
    return not told


def look_up(engine: Engine, words: str, limit: int = CARDS_SHOWN) -> tuple[Card, ...]:
    """The cards that fit words best."""
    from advisor.lookup.cards import card
    from advisor.lookup.finding import find

    return tuple(card(engine.base, f.id) for f in find(engine.base, words, limit))
