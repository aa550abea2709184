"""Something went wrong: what to do now first, then the few questions that tell the causes apart, then what to order."""

from __future__ import annotations

from itertools import combinations

from advisor.dialogue.choosing import shown_options
from advisor.dialogue.dangers import dangers_due
from advisor.dialogue.hearing import Heard, words_of
from advisor.dialogue.state import Ask, Desk, Diagnose, Replies, Reply, Say, State, Turn
from advisor.graph.nodes import Decision
from advisor.graph.wording import written_today
from advisor.language.reading import Reading
from advisor.reasoning.advice import advise
from advisor.reasoning.diagnosis import Diagnosis, diagnose, troubled
from advisor.reasoning.enquiry import listed

MOST_ASKED = 2
"""Questions after which the causes stand as they are."""
TELLING = frozenset(("diagnosis", "complaint", "hurt", "verdict"))
"""Requests that tell of trouble."""


def trouble_begins(desk: Desk, state: State, reading: Reading) -> Replies | None:
    """What is said first to a line that tells of trouble (help for the hurt, no verdict on blame); None for others."""
    kinds = reading.kinds & TELLING
    if not kinds:
        return None
    said = [phrase for kind, phrase in (("hurt", "trouble-hurt"), ("verdict", "trouble-no-verdict")) if kind in kinds]
    if not troubled(state.enquiry):
        said.append("trouble-unnamed")
    said += clashes(desk, reading)
    return tuple(desk.say(phrase) for phrase in said)


def clashes(desk: Desk, reading: Reading) -> list[str]:
    """The phrases that name what a line tells in two ways: broken at once and later, unused and after years."""
    known = desk.base.kind("phrase")
    pairs = (f"trouble-clash-{a}-{b}" for a, b in combinations(sorted(reading.troubles), 2))
    return [p for p in pairs if p in known]


def heard_in_trouble(desk: Desk, state: State, heard: Heard) -> Heard:
    """In a talk about trouble a finish that is named is the one on the part, unless the line asks for another.

    Where that is told already, another finish is a wish, unless it is said that it is there ("the nuts are zinc ones").
    """
    understood = dict(heard.reading.understood)
    if not state.troubled or "finish_asked" not in understood or "finish_now" in understood:
        return heard
    now = listed(state.enquiry.said["finish_now"].value) if "finish_now" in state.enquiry.said else []
    named = listed(understood["finish_asked"].value)
    words = set(words_of(heard.text))
    same, mate = not now or bool(set(named) & set(now)), bool(words & set(desk.base.role_words("mates")))
    answers = heard.slot == "finish_now" or stops(desk, state)
    there = same or mate or bool(words & set(desk.base.role_words("as-it-is")))
    seeks = "advice" in heard.reading.kinds or bool(heard.reading.asks)
    if not answers and (seeks or not there):
        return heard
    wished = understood.pop("finish_asked")
    if not now or (set(named) < set(now) and not mate):
        understood["finish_now"] = wished
    return heard._replace(reading=heard.reading._replace(understood=understood, corrections=_narrowed(heard, now)))


def _narrowed(heard: Heard, now: list[str]) -> frozenset[str]:
    """A finish named again narrows the one on the part: "A2" after "stainless"."""
    return heard.reading.corrections | ({"finish_now"} if now else set())


def wishes(reading: Reading) -> bool:
    """Whether a line asks for a finish."""
    return "advice" in reading.kinds or "finish_asked" in reading.understood


def forbidden(desk: Desk, state: State) -> bool:
    """Whether nothing may be said but who decides, because of what the part is; a break is said whatever it is."""
    if diagnose(desk.engine, state.enquiry).stop:
        return False
    return state.something and desk.engine.judge(state.enquiry).screened.refer == "stop"


def stops(desk: Desk, state: State) -> bool:
    """Whether nothing is offered, because something broke that nobody has explained."""
    return state.troubled and diagnose(desk.engine, state.enquiry).offers_nothing


def go_on_diagnosing(desk: Desk, state: State, asks: bool = True) -> Turn:
    """The diagnosis on what was told so far, with the next question; after the first only what has changed."""
    found = diagnose(desk.engine, state.enquiry, state.asked_before)
    q = found.question if state.questions < MOST_ASKED else None
    replies: list[Reply] = [_told(desk, state, found, not asks)] if found.complaints else []
    if replies and not found.stop:
        state, dangers = dangers_due(advise(desk.engine, state.enquiry, ask=False), state)
        replies[:0] = dangers
    if q is None or not asks:
        more = () if found.complaints or q is None else (_asked(desk, q, state),)
        return state._replace(asked="", advised=True), (*replies, *more)
    after = state._replace(asked=q.id, asked_before=state.asked_before | {q.id}, questions=state.questions + 1)
    return after, (*replies, _asked(desk, q, after))


def _told(desk: Desk, state: State, found: Diagnosis, asks: bool) -> Diagnose | Say:
    """The whole of it the first time and where what to do now has changed; later what the causes are by now."""
    before = diagnose(desk.engine, state.past[-1], state.asked_before) if state.past else None
    if before is None or not before.complaints or before.now != found.now:
        return Diagnose(found, asks=asks)
    if [(w.cause.id, w.likelihood) for w in before.leading] == [(w.cause.id, w.likelihood) for w in found.leading]:
        return _next_order(desk, state, found)
    return Diagnose(found, "causes")


def _next_order(desk: Desk, state: State, found: Diagnosis) -> Say:
    """What a fact that tells no causes apart tells all the same: what to order next time."""
    advice = None if found.offers_nothing else advise(desk.engine, state.enquiry, ask=False)
    if advice is None or not advice.recommended or advice.refer:
        return desk.say("trouble-same")
    finish = desk.base.finishes[advice.recommended[0].ranked.finish]
    written = written_today(finish)
    return (
        desk.say("trouble-next-order", finish=finish.name, text=written[0].write)
        if written
        else desk.say("trouble-same")
    )


def _asked(desk: Desk, d: Decision, state: State) -> Ask:
    texts = tuple(o.text for o in shown_options(desk, state, d))
    return Ask(d.id, d.text, texts, d.help, d.changes, first=state.questions <= 1)
