"""The one router: facts first, then every request on the merged enquiry, then the talk goes on. Every shell uses it."""

from __future__ import annotations

from advisor.dialogue.doubts import doubt_question
from advisor.dialogue.facts import worded
from advisor.dialogue.going_on import ask_again, give_advice, go_on, remind
from advisor.dialogue.hearing import Heard
from advisor.dialogue.moves import MOVES
from advisor.dialogue.state import Desk, Replies, State, Turn
from advisor.dialogue.telling import Told, tell
from advisor.language.line import MAX_CHARACTERS
from advisor.reasoning.enquiry import UNKNOWN, Said
from advisor.reasoning.trials import with_answer


def respond(desk: Desk, state: State, heard: Heard, asks: bool = True) -> Turn:
    """One turn. Without `asks` the advice comes at once, with what is still open (one-shot answers, lists)."""
    if heard.option is not None:
        return _chosen(desk, state, heard, asks)
    if "too-long" in heard.reading.kinds:
        return state, (desk.say("say-too-long", limit=MAX_CHARACTERS),)
    told = tell(desk, state, heard)
    done, replies = _answers(desk, told)
    if done is not None:
        return done, replies
    if replies:
        if told.state is state:
            return state, (*replies, *remind(desk, state))
        after, more = _go_on(desk, told.state, asks)
        return after, (*told.echo, *replies, *more)
    if told.requests:
        told = tell(desk, state, heard, plain=True)  # none of them could be answered: then its facts are told
    if _unknown(heard):
        after, more = _left_open(desk, told, asks)
        return after, (*told.echo, *more)
    reading = heard.reading
    if not (reading.understood or reading.circumstances or reading.unclear or reading.mentioned):
        return state, _nothing(desk, state, heard)
    after, more = _go_on(desk, told.state._replace(asked=""), asks)
    return after, (*told.echo, *more)


def _answers(desk: Desk, told: Told) -> tuple[State | None, Replies]:
    """The answers to all requests of a line, and the state where one of them ends the turn."""
    for move in MOVES:
        if move.bare and told.reading.understood:
            continue
        for request in told.requests:
            turn = move.answer(desk, told, request) if request.kind == move.kind else None
            if turn is not None:
                return (turn[0] if move.bare else None), turn[1]
    return None, ()


def _go_on(desk: Desk, state: State, asks: bool) -> Turn:
    if state.doubts and (asks or not state.something):
        return state, (doubt_question(desk, state.doubts[0]),)
    return go_on(desk, state) if asks else give_advice(desk, state)


def _chosen(desk: Desk, state: State, heard: Heard, asks: bool) -> Turn:
    """An option of the open question picked by number or words."""
    option = heard.option or {}
    if option["value"] == UNKNOWN:
        said = heard._replace(text=str(option["text"]))
        return _left_open(desk, Told(said, state, state, state.enquiry), asks)
    slot = heard.slot
    shown = worded(desk.base, slot, option["value"]) if slot != "circumstance" else str(option["text"])
    after, replies = _go_on(
        desk,
        state._replace(
            enquiry=with_answer(state.enquiry, slot, option["value"], option["text"]),
            past=(*state.past, state.enquiry),
            words=(*state.words, f"{heard.text} ({option['text']})"),
            asked="",
            asked_before=state.asked_before | {state.asked},
        ),
        asks,
    )
    return after, (desk.say("say-understood", parts=shown), *replies)


def _unknown(heard: Heard) -> bool:
    """Whether the customer does not know the answer to the open question."""
    understood, slot = heard.reading.understood, heard.slot
    if slot in understood:
        return bool(understood[slot].value == UNKNOWN)
    return bool(slot) and "dont-know" in heard.reading.kinds


def _left_open(desk: Desk, told: Told, asks: bool) -> Turn:
    """ "Don't know" is an answer: the slot stays unknown and is not asked again; what was told beside it stays."""
    before, state, slot = told.before, told.state, told.heard.slot
    enquiry = state.enquiry
    if slot != "circumstance":
        enquiry = enquiry.with_slot(slot, Said(UNKNOWN, told.heard.text, 1.0, "answer"))
    after, replies = _go_on(
        desk,
        state._replace(
            enquiry=enquiry,
            past=(*before.past, before.enquiry),
            words=(*before.words, told.heard.text),
            asked="",
            asked_before=before.asked_before | {before.asked},
        ),
        asks,
    )
    safety = bool(desk.base.kind("slot").get(slot, {}).get("safety"))
    return after, (desk.say("say-dont-know-safety" if safety else "say-dont-know"), *replies)


def _nothing(desk: Desk, state: State, heard: Heard) -> Replies:
    """A line in which nothing was read."""
    kinds = heard.reading.kinds
    if "off-topic" in kinds or "hostile" in kinds:
        first = desk.say("say-off-topic")
    elif "greeting" in kinds:
        first = desk.say("say-greeting")
    elif "dont-know" in kinds and not state.asked:
        first = desk.say("say-nothing-asked")
    elif state.asked:
        question = str(desk.base.kind("decision")[state.asked]["text"])
        first = desk.say("say-not-an-answer", question=question)
    else:
        first = desk.say("say-understood-nothing")
    return (first, *ask_again(desk, state))
