"""Something went wrong: what to do now first, then the few questions that tell the causes apart, then what to order."""

from __future__ import annotations

from advisor.dialogue.choosing import shown_options
from advisor.dialogue.dangers import dangers_due
from advisor.dialogue.hearing import Heard
from advisor.dialogue.state import Ask, Desk, Diagnose, Replies, Reply, Say, State, Turn
from advisor.graph.nodes import Decision
from advisor.language.reading import Reading
from advisor.reasoning.advice import advise
from advisor.reasoning.diagnosis import Diagnosis, diagnose, troubled

MOST_ASKED = 3
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
    return tuple(desk.say(phrase) for phrase in said)


def heard_in_trouble(desk: Desk, state: State, heard: Heard) -> Heard:
    """A finish named as the answer to which one is on it, or where everything stops, is no wish."""
    understood = dict(heard.reading.understood)
    if state.troubled and "finish_asked" in understood and "finish_now" not in understood:
        if heard.slot == "finish_now" or stops(desk, state):
            understood["finish_now"] = understood.pop("finish_asked")
            return heard._replace(reading=heard.reading._replace(understood=understood))
    return heard


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
    return state.troubled and diagnose(desk.engine, state.enquiry).stop


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
    before = diagnose(desk.engine, state.past[-1], state.asked_before) if state.past and state.questions else None
    if before is None or not before.complaints or before.now != found.now:
        return Diagnose(found, asks=asks)
    if [(w.cause.id, w.likelihood) for w in before.leading] == [(w.cause.id, w.likelihood) for w in found.leading]:
        return desk.say("trouble-same")
    return Diagnose(found, "causes")


def _asked(desk: Desk, d: Decision, state: State) -> Ask:
    texts = tuple(o.text for o in shown_options(desk, state, d))
    return Ask(d.id, d.text, texts, d.help, d.changes, first=state.questions <= 1)
