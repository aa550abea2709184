"""All that can be asked of the adviser beside telling facts: one table of moves, in the order of trying."""

from __future__ import annotations

from collections.abc import Callable

from advisor.dialogue.explaining import against_each_other, what_if, why, why_asked, why_not_offered
from advisor.dialogue.going_on import ask_again, current_advice, give_advice, go_on, question, remind
from advisor.dialogue.state import Compute, Desk, Save, Say, State, Turn
from advisor.dialogue.telling import Told, shown
from advisor.dialogue.working_out import calculate, looked_up
from advisor.language.requests import Request
from advisor.records import NamedTuple

MORE_SHOWN = ("more", "all")
"""Forms of an advice after which the look has nothing more to add."""
Answer = Callable[[Desk, Told, Request], Turn | None]


class Move(NamedTuple):
    """One kind of request and its answer.

    A `bare` one counts only where the line tells no facts, and ends the turn. The others are answered beside facts, and
    the talk goes on after them. An answer is None where the words do not bear it.
    """

    kind: str
    answer: Answer
    bare: bool = True


def _says(phrase: str) -> Answer:
    def answer(desk: Desk, told: Told, _: Request) -> Turn:
        return told.state, (desk.say(phrase), *remind(desk, told.state))

    return answer


def _again(desk: Desk, told: Told, _: Request) -> Turn:
    """What was shown last, once more."""
    if told.state.asked:
        return told.state, ask_again(desk, told.state)
    return give_advice(desk, told.state)


def _leave(desk: Desk, told: Told, _: Request) -> Turn:
    return told.state._replace(done=True), ()


def _restart(desk: Desk, told: Told, _: Request) -> Turn:
    return State(), (desk.say("say-start-again"),)


def _advice(form: str) -> Answer:
    def answer(desk: Desk, told: Told, _: Request) -> Turn:
        return give_advice(desk, told.state, form)

    return answer


def _whole(form: str) -> Answer:
    """All of a calculation that was just shown, else the advice in that form."""

    def answer(desk: Desk, told: Told, _: Request) -> Turn:
        state = told.state
        if state.worked is not None:
            return state, (Compute(state.worked, "all"), *remind(desk, state))
        return give_advice(desk, state, form)

    return answer


def _more(desk: Desk, told: Told, _: Request) -> Turn:
    """What the look left out, once."""
    state = told.state
    if state.worked is not None:
        return state, (Compute(state.worked, "all"), *remind(desk, state))
    if state.form in MORE_SHOWN and state.advised:
        return state, (desk.say("look-no-more"),)
    return give_advice(desk, state, "more")


def _save(desk: Desk, told: Told, _: Request) -> Turn:
    if not told.state.something:
        return told.state, (desk.say("say-no-advice-yet"),)
    return told.state, (Save(current_advice(desk, told.state)),)


def _back(desk: Desk, told: Told, _: Request) -> Turn:
    """The last answer taken back."""
    state = told.state
    if not state.past:
        return state, (desk.say("say-nothing-to-go-back"),)
    before = state.past[-1]
    differs = [s for s in state.enquiry.said if before.said.get(s) != state.enquiry.said[s]]
    names = {s: desk.base.slots[s].name if s in desk.base.slots else s for s in differs}
    what = ", ".join(names[s] for s in differs if s not in before.said)
    again = "; ".join(f"{names[s]} {shown(desk, s, before.said[s].value)}" for s in differs if s in before.said)
    after = state._replace(
        enquiry=before,
        past=state.past[:-1],
        asked="",
        doubts=(),
        asked_before=frozenset(),
        questions=max(0, state.questions - 1),
        advised=False,
        advice=None,
    )
    parts = []
    if what or not again:
        parts.append(desk.base.phrase("say-back", what=what or desk.base.phrase("say-last-answer")))
    if again:
        parts.append(desk.base.phrase("say-back-to", what=again))
    said = Say(" ".join(parts))
    if not after.something:
        return after, (said,)
    gone_on, replies = go_on(desk, after)
    return gone_on, (said, *replies)


def _change(desk: Desk, told: Told, request: Request) -> Turn:
    """ "Change the size": the slot is open again and asked."""
    state = told.state
    words = set(request.about.lower().split()) | set(told.heard.text.lower().split())
    for d in desk.base.decisions.values():
        name = desk.base.slots[d.slot].name if d.slot in desk.base.slots else d.slot
        if d.slot in state.enquiry.said and (words & set(name.lower().split()) or d.slot in words):
            left = state.enquiry.without(d.slot)
            opened = state._replace(past=(*state.past, state.enquiry), enquiry=left, asked=d.id)
            return opened, (question(desk, opened),)
    return state, (desk.say("say-change-how"),)


MOVES = (
    Move("help", _says("say-help")),
    Move("thanks", _says("say-thanks")),
    Move("leave", _leave),
    Move("restart", _restart),
    Move("back", _back),
    Move("why-question", why_asked),
    Move("why-not", why_not_offered, bare=False),
    Move("acceptable-if", why_not_offered, bare=False),
    Move("what-if", what_if, bare=False),
    Move("compare", against_each_other, bare=False),
    Move("why", why),
    Move("more", _more),
    Move("everything", _whole("all")),
    Move("shorter", _advice("aloud")),
    Move("order-text", _advice("order")),
    Move("again", _again),
    Move("cite", _whole("sources")),
    Move("save", _save),
    Move("change", _change),
    Move("calculation", calculate, bare=False),
    Move("decode", calculate, bare=False),
    Move("lookup", looked_up, bare=False),
)
