"""The line to say aloud: the recommendation in plain words, one or two sentences, no codes."""

from __future__ import annotations

from advisor.graph.base import Base
from advisor.graph.wording import UNKNOWN, inside, said
from advisor.reasoning.advice import Advice, Held
from advisor.reasoning.engine import Engine
from advisor.reasoning.trials import with_answer
from advisor.views.figure_words import round_factor, round_years

PLACE = "environment"
ABBREVIATIONS = ("e.g.", "i.e.", "approx.", "no.", "cl.")


def first_sentence(text: str) -> str:
    """The first sentence of a text, never cut within.

    >>> first_sentence("It rusts at 2.5 µm a year. Rinse it.")
    'It rusts at 2.5 µm a year.'
    """
    start = 0
    while True:
        end = text.find(". ", start)
        if end < 0:
            return text
        if not text[: end + 1].lower().endswith(ABBREVIATIONS):
            return text[: end + 1]
        start = end + 2


def say_aloud(engine: Engine, advice: Advice) -> tuple[str, ...]:
    """What to say: the answer to a wish that cannot stand, then what to offer, how long it lasts, what it costs."""
    base = engine.base
    refused = [] if advice.refer == "stop" else _refused(base, advice)
    if not advice.recommended:
        return (*refused, base.phrase("aloud-refer" if advice.refer else "aloud-nothing"))
    where = by_place(engine, advice)
    if where:
        return (*refused, where)
    first = advice.recommended[0]
    parts = [base.phrase("aloud-offer", finish=base.families[first.ranked.family].name, what=what_words(base, advice))]
    life, price = first.figures.get("life_years"), first.figures.get("relative_cost")
    if first.ranked.level == 0:
        parts.append(base.phrase("aloud-short-life"))
    elif life:
        parts.append(base.phrase("aloud-life", count=round_years(life.low)))
    if price:
        parts.append(base.phrase("aloud-price", about=round_factor(price.low, price.high)))
    return (*refused, " ".join(parts))


def by_place(engine: Engine, advice: Advice) -> str:
    """Where no place was told: what would be offered indoors, outdoors and by the sea; empty where one was."""
    base, enquiry = engine.base, advice.case.enquiry
    if PLACE in enquiry.said or "by-place" not in base.roles:
        return ""
    firsts: list[tuple[str, str]] = []
    for place in base.role("by-place"):
        ranked = engine.judge(with_answer(enquiry, PLACE, [place])).ranked
        firsts.append((said(base, PLACE, place), ranked[0].family if ranked else ""))
    if len({family for _, family in firsts}) == 1 or not all(family for _, family in firsts):
        return ""
    listed = "; ".join(base.phrase("aloud-there", place=p, finish=inside(base.families[f].name)) for p, f in firsts)
    return base.phrase("aloud-by-place", what=what_words(base, advice), listed=listed)


def _refused(base: Base, advice: Advice) -> list[str]:
    """A finish that was asked for and is out, with the first reason."""
    asked = advice.case.told.get("finish_asked")
    wished = asked if isinstance(asked, list) else []
    out = [h for h in advice.excluded if h.family in wished]
    return [_no(base, h) for h in out[:1]]


def _no(base: Base, h: Held) -> str:
    reason = first_sentence(h.reasons[0].text) if h.reasons else ""
    return base.phrase("aloud-no", finish=inside(base.families[h.family].name), reason=reason)


def what_words(base: Base, advice: Advice) -> str:
    """The fastener and its place in a few words: "M10 8.8, on the coast"."""
    told = advice.case.told
    parts = [str(told[s]) for s in ("size", "strength") if told.get(s) not in (None, UNKNOWN)]
    part = told.get("part")
    if isinstance(part, str) and part in base.exposures and not parts:
        parts.append(said(base, "part", part))
    places = told.get(PLACE)
    named = [said(base, PLACE, p) for p in places] if isinstance(places, list) else []
    what = " ".join(parts) or base.phrase("say-this-fastener")
    return f"{what} {', '.join(named)}" if named else what
