"""One text with no conversation around it: the router's answer at once, for `ask`, streams and lists."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.dialogue.answering import respond
from advisor.dialogue.facts import merge, set_values
from advisor.dialogue.going_on import give_advice
from advisor.dialogue.hearing import Heard
from advisor.dialogue.state import (
    Advise,
    Answered,
    Ask,
    Compare,
    Compute,
    Desk,
    Diagnose,
    Explain,
    Replies,
    Show,
    State,
)
from advisor.dialogue.troubleshooting import go_on_diagnosing
from advisor.language.reading import Reading, read
from advisor.reasoning.advice import Advice, advise
from advisor.reasoning.diagnosis import troubled
from advisor.reasoning.enquiry import Enquiry
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

APART = frozenset(("calculation", "decode", "lookup"))
"""Requests that are no part of an enquiry whose slots are set outright."""
ANSWERING = (Answered, Compare, Explain)
"""Replies that answer a question; they stand before the advice."""
BESIDE_THE_MATTER = frozenset(("off-topic", "hostile"))


class OneShot(NamedTuple):
    """An answer and its kind: advice, answer, diagnosis, lookup, decode, calculation, clarify, out-of-scope.

    `advice` is the advice on what was told; beside a look-up or a diagnosis it carries only the cautions.
    """

    kind: str
    reading: Reading
    enquiry: Enquiry
    replies: Replies
    advice: Advice | None = None


def answer(desk: Desk, text: str, values: Mapping[str, Any] | None = None, answering: str | None = None) -> OneShot:
    """The best answer that one text allows.

    `values` are slots set outright: the text is then an enquiry, whatever figures or codes it names.
    """
    reading = read(text, desk.vocabulary, answering)
    return answer_to_enquiry(desk, text, reading, values) if values else answer_to(desk, text, reading)


def answer_to_enquiry(desk: Desk, text: str, reading: Reading, values: Mapping[str, Any]) -> OneShot:
    """As answer, for a text that is read already and is an enquiry, whatever figures or codes it names."""
    enquiry = reading._replace(intents=tuple(i for i in reading.intents if i.kind not in APART))
    return answer_to(desk, text, enquiry, values)


def answer_to(desk: Desk, text: str, reading: Reading, values: Mapping[str, Any] | None = None) -> OneShot:
    """As answer, for a text that is read already."""
    enquiry = set_values(desk.base, Enquiry(), values or {})
    start = State(enquiry, troubled=troubled(enquiry))
    state, replies = respond(desk, start, Heard(text, reading), asks=False)
    kinds = {type(r) for r in replies}
    if state.troubled:
        if not kinds & {Diagnose, Ask}:
            state, replies = go_on_diagnosing(desk, state, asks=False)
            kinds = {type(r) for r in replies}
        beside = advise(desk.engine, state.enquiry, ask=False) if state.something else None
        return OneShot("diagnosis" if Diagnose in kinds else "clarify", reading, state.enquiry, replies, beside)
    if Compute in kinds or Show in kinds:
        enquiry, _ = merge(desk.base, start.enquiry, reading)
        told = State(enquiry).something
        beside = advise(desk.engine, enquiry, ask=False) if told and Show in kinds else None
        kind = "lookup" if Show in kinds else _worked_out(replies)
        return OneShot(kind, reading, enquiry, replies, beside)
    if Answered in kinds and not state.something:
        enquiry, _ = merge(desk.base, start.enquiry, reading)
        return OneShot("answer", reading, enquiry, replies, advise(desk.engine, enquiry))
    if Advise not in kinds and state.something:
        state, more = give_advice(desk, state)
        replies = (*(r for r in replies if isinstance(r, ANSWERING)), *more)
    if state.advice is not None:
        kind = "answer" if kinds.intersection(ANSWERING) else "advice"
        return OneShot(kind, reading, state.enquiry, replies, state.advice)
    return OneShot(
        "clarify" if BESIDE_THE_MATTER.isdisjoint(reading.kinds) else "out-of-scope", reading, state.enquiry, replies
    )


def _worked_out(replies: Replies) -> str:
    """Whether a code was decoded or something calculated."""
    command = next(r.calculation.command for r in replies if isinstance(r, Compute))
    return command if command == "decode" else "calculation"
