"""How a talk goes on once the facts are in and the requests answered: the next question, or the advice."""

from __future__ import annotations

from advisor.dialogue.choosing import shown_options
from advisor.dialogue.dangers import DANGER_SLOT, dangers_due, surely_harmless, told_danger
from advisor.dialogue.state import Advise, Amend, Ask, Desk, Replies, State, Turn
from advisor.dialogue.troubleshooting import go_on_diagnosing, stops
from advisor.reasoning.advice import Advice, advise
from advisor.reasoning.engine import Judged
from advisor.reasoning.questions import Question, next_question

MOST_QUESTIONS = 5
"""After so many questions the advice comes, with what is still open."""


def go_on(desk: Desk, state: State) -> Turn:
    """The next question, with any STOP that is due by now; or the advice, after an earlier one only what changed."""
    if state.troubled:
        return go_on_diagnosing(desk, state)
    judged = desk.engine.judge(state.enquiry)
    q = _next(desk, state, judged)
    if q is not None:
        state, dangers = dangers_due(current_advice(desk, state, judged), state)
        asked = state._replace(
            asked=q.decision,
            asked_before=state.asked_before | {q.decision},
            questions=state.questions + 1,
        )
        return asked, (*dangers, question(desk, asked))
    shown = state.advice
    after, replies = give_advice(desk, state, judged=judged)
    if shown is None or after.advice is None:
        return after, replies
    if _same(shown, after.advice):
        return after, (desk.say("say-advice-same"),)
    if _first(shown) == _first(after.advice) and shown.refer == after.advice.refer:
        return after, (Amend(after.advice, shown),)
    return after, replies


def _next(desk: Desk, state: State, judged: Judged) -> Question | None:
    """The question to ask now; none after a stop, after many, after the advice, or about dangers there cannot be."""
    if judged.screened.refer == "stop" or state.questions >= MOST_QUESTIONS or state.advised:
        return None
    return next_question(desk.engine, judged, done_with(desk, state))


def done_with(desk: Desk, state: State) -> frozenset[str]:
    """The decisions not to ask: those asked before, and that of dangers where they are told or there can be none."""
    if surely_harmless(desk, state.enquiry) or told_danger(desk, state.enquiry):
        return state.asked_before | {d.id for d in desk.base.decisions.values() if d.slot == DANGER_SLOT}
    return state.asked_before


def _first(advice: Advice) -> str:
    return advice.recommended[0].ranked.finish if advice.recommended else ""


def give_advice(desk: Desk, state: State, form: str = "look", judged: Judged | None = None) -> Turn:
    """The advice on what was told so far."""
    if not state.something:
        return state, (desk.say("say-no-advice-yet"),)
    if stops(desk, state):
        return state, (desk.say("trouble-stays"),)
    advice = current_advice(desk, state, judged)
    return state._replace(advised=True, asked="", advice=advice, form=form), (Advise(advice, form),)


def current_advice(desk: Desk, state: State, judged: Judged | None = None) -> Advice:
    """The advice on the enquiry as it stands; the one shown last where nothing was told since."""
    if state.advice is not None and state.advice.case.enquiry == state.enquiry:
        return state.advice
    return advise(desk.engine, state.enquiry, judged, skip=done_with(desk, state))


def _same(old: Advice, new: Advice) -> bool:
    """Whether an advice says what was said before."""
    return (
        [(r.ranked.finish, r.figures) for r in old.recommended]
        == [(r.ranked.finish, r.figures) for r in new.recommended]
        and [(c.id, c.severity) for c in old.cautions] == [(c.id, c.severity) for c in new.cautions]
        and (old.refer, old.requires, old.notes) == (new.refer, new.requires, new.notes)
    )


def looks_the_same(changed: Amend) -> bool:
    """Whether nothing that is shown at first sight is another: after an answer it is then not said again."""
    old, new = changed.before, changed.advice
    return [(r.ranked.finish, r.figures) for r in old.recommended[:3]] == [
        (r.ranked.finish, r.figures) for r in new.recommended[:3]
    ] and {(c.id, c.severity) for c in new.cautions if c.severity != "note"} <= {
        (c.id, c.severity) for c in old.cautions
    }


def question(desk: Desk, state: State) -> Ask:
    """The open question as it is asked."""
    d = desk.base.decisions[state.asked]
    texts = tuple(o.text for o in shown_options(desk, state, d))
    return Ask(d.id, d.text, texts, d.help, d.changes, first=state.questions <= 1)


def ask_again(desk: Desk, state: State) -> Replies:
    """The open question in full."""
    return (question(desk, state),) if state.asked else ()


def remind(desk: Desk, state: State) -> Replies:
    """The question that is still open, in one line."""
    d = desk.base.decisions.get(state.asked)
    return (desk.say("say-still-asked", question=d.text),) if d else ()
