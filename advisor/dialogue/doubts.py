"""Words that could mean several things: asked back, and settled by the next utterance."""

from __future__ import annotations

from advisor.dialogue.facts import worded
from advisor.dialogue.going_on import go_on
from advisor.dialogue.state import Desk, Doubt, Replies, Reply, State, Turn
from advisor.language.reading import read
from advisor.reasoning.enquiry import UNKNOWN, Said

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def doubt_question(desk: Desk, doubt: Doubt) -> Reply:
    """Is it this, or which of these is it?"""
    if len(doubt.candidates) == 1:
        value = worded(desk.base, doubt.slot, doubt.candidates[0])
        return desk.say("say-did-you-mean", words=doubt.words, value=value)
    values = " / ".join(f"{n}. {worded(desk.base, doubt.slot, c)}" for n, c in enumerate(doubt.candidates, 1))
    return desk.say("say-which-one", words=doubt.words, values=values)


def settle(desk: Desk, state: State, text: str) -> Turn | None:
    """The customer's word on a doubt; None when the words say something else altogether."""
    doubt, *rest = state.doubts
    value = _meant(desk, doubt, text)
    if value is None:
        return None
    enquiry = state.enquiry
    if value != UNKNOWN:
        enquiry = enquiry.with_slot(doubt.slot, Said(_whole(desk, doubt.slot, value), doubt.words, 1.0, "answer"))
    elif "dont-know" in read(text, desk.vocabulary, doubt.slot).kinds:
        enquiry = enquiry.with_slot(doubt.slot, Said(UNKNOWN, text, 1.0, "answer"))
    after = state._replace(
        enquiry=enquiry, past=(*state.past, state.enquiry), words=(*state.words, text), doubts=tuple(rest)
    )
    echo: Replies = ()
    if value != UNKNOWN:
        parts = worded(desk.base, doubt.slot, enquiry.said[doubt.slot].value)
        echo = (desk.say("say-understood", parts=parts),)
    if rest:
        return after, (*echo, doubt_question(desk, rest[0]))
    gone_on, replies = go_on(desk, after)
    return gone_on, (*echo, *replies)


def _meant(desk: Desk, doubt: Doubt, text: str) -> Any:
    """The value that the customer's words settle on; `unknown` for a no or don't know, None for other words."""
    bare = text.strip().rstrip(".)")
    if bare.isdigit() and 1 <= int(bare) <= len(doubt.candidates) and len(doubt.candidates) > 1:
        return doubt.candidates[int(bare) - 1]
    reading = read(text, desk.vocabulary, doubt.slot)
    if doubt.slot in reading.understood:
        return reading.understood[doubt.slot].value
    if "yes" in reading.kinds and len(doubt.candidates) == 1:
        return doubt.candidates[0]
    return UNKNOWN if reading.kinds & {"no", "dont-know"} else None


def _whole(desk: Desk, slot: str, value: Any) -> Any:
    """A value as its slot holds it: a list for a list slot."""
    if desk.base.kind("slot").get(slot, {}).get("type") != "choices":
        return value
    return list(value) if isinstance(value, (list, tuple)) else [value]
