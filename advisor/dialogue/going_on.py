"""How a talk goes on once the facts are in and the requests answered: the next question, or the advice."""

from __future__ import annotations

from advisor.dialogue.state import Advise, Ask, Desk, Replies, State, Turn
from advisor.reasoning.advice import Advice, advise
from advisor.reasoning.engine import Judged
from advisor.reasoning.questions import next_question

MOST_QUESTIONS = 5
"""After so many questions the advice comes, with what is still open."""


def go_on(desk: Desk, state: State) -> Turn:
    """The next question, or the advice; an advice that says what the last one said is not printed again."""
    judged = desk.engine.judge(state.enquiry)
    asks = judged.screened.refer != "stop" and state.questions < MOST_QUESTIONS and not state.advised
    q = next_question(desk.engine, judged, state.asked_before) if asks else None
    if q is not None:
        asked = state._replace(
            asked=q.decision, asked_before=state.asked_before | {q.decision}, questions=state.questions + 1
        )
        return asked, (question(desk, q.decision),)
    shown = state.advice
    after, replies = give_advice(desk, state, judged=judged)
    if shown is not None and after.advice is not None and _same(shown, after.advice):
        return after, (desk.say("say-advice-same"),)
    return after, replies


def give_advice(desk: Desk, state: State, form: str = "look", judged: Judged | None = None) -> Turn:
    """The advice on what was told so far."""
    if not state.something:
        return state, (desk.say("say-no-advice-yet"),)
    advice = current_advice(desk, state, judged)
    return state._replace(advised=True, asked="", advice=advice), (Advise(advice, form),)


def current_advice(desk: Desk, state: State, judged: Judged | None = None) -> Advice:
    """The advice on the enquiry as it stands; the one shown last where nothing was told since."""
    if state.advice is not None and state.advice.case.enquiry == state.enquiry:
        return state.advice
    return advise(desk.engine, state.enquiry, judged)


def _same(old: Advice, new: Advice) -> bool:
    """Whether an advice says what was said before."""
    return (
        [(r.ranked.finish, r.figures) for r in old.recommended]
        == [(r.ranked.finish, r.figures) for r in new.recommended]
        and [(c.id, c.severity) for c in old.cautions] == [(c.id, c.severity) for c in new.cautions]
        and (old.refer, old.requires, old.notes) == (new.refer, new.requires, new.notes)
    )


def question(desk: Desk, decision: str) -> Ask:
    """A question as it is asked."""
    d = desk.base.kind("decision")[decision]
    return Ask(decision, d["text"], tuple(o["text"] for o in d["options"]), d["help"], d.get("changes", ""))


def ask_again(desk: Desk, state: State) -> Replies:
    """The open question in full."""
    return (question(desk, state.asked),) if state.asked else ()


def remind(desk: Desk, state: State) -> Replies:
    """The question that is still open, in one line."""
    d = desk.base.kind("decision").get(state.asked)
    return (desk.say("say-still-asked", question=d["text"]),) if d else ()
