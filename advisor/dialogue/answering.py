"""The one router: facts first, then every request on the merged enquiry, then the talk goes on. Every shell uses it."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.dialogue.choosing import shown_options
from advisor.dialogue.dangers import denied_danger
from advisor.dialogue.direct_questions import answered
from advisor.dialogue.doubts import doubt_question
from advisor.dialogue.facts import worded
from advisor.dialogue.going_on import give_advice, go_on, looks_the_same, remind
from advisor.dialogue.hearing import Heard
from advisor.dialogue.helping import helped
from advisor.dialogue.moves import MOVES
from advisor.dialogue.reckoning import follow_up
from advisor.dialogue.state import Amend, Answered, Compute, Desk, Replies, State, Turn
from advisor.dialogue.telling import Told, tell
from advisor.dialogue.troubleshooting import (
    forbidden,
    go_on_diagnosing,
    heard_in_trouble,
    stops,
    trouble_begins,
    wishes,
)
from advisor.dialogue.working_out import decoded, named_only, unknown_names
from advisor.graph.nodes import AnswerOption
from advisor.language.line import MAX_CHARACTERS
from advisor.language.troubles import LIABILITY
from advisor.reasoning.diagnosis import diagnose
from advisor.reasoning.enquiry import UNKNOWN, Said
from advisor.reasoning.trials import with_answer

FEW_WORDS = 8
"""In a line of so few words one that nobody wrote down is what is asked after."""


def respond(desk: Desk, state: State, heard: Heard, asks: bool = True) -> Turn:
    """One turn. Without `asks` the advice comes at once, with what is still open (one-shot answers, lists)."""
    help_wanted = helped(desk, state, heard.text)
    if help_wanted:
        return state, help_wanted
    code = decoded(desk, heard.text)
    if code:
        return state, (*code, *remind(desk, state))
    followed = follow_up(desk, state, heard) if heard.option is None else None
    after, replies = _respond(desk, state, heard, asks) if followed is None else followed
    waiting = heard.reading.to_come
    if waiting:
        replies = (desk.say("say-still-to-come", count=len(waiting) + 1, rest="; ".join(waiting)), *replies)
    worked = next((r.calculation for r in replies if isinstance(r, Compute)), None)
    if followed is None and after.reckoned is state.reckoned and state.reckoned is not None and worked is None:
        after = after._replace(reckoned=None)  # the talk has gone on to something else
    return (after if after.worked is worked else after._replace(worked=worked)), replies


def _respond(desk: Desk, state: State, heard: Heard, asks: bool) -> Turn:
    if heard.refused:
        d = desk.base.decisions[state.asked]
        last = len(shown_options(desk, state, d))
        return state, (desk.say(heard.refused, last=last, question=d.text, free=d.free),)
    danger = denied_danger(desk, state, heard)
    if danger:
        after, more = _go_on(desk, _settled(state, heard.text), asks)
        return after, (desk.say("say-danger-stands", words=danger), *more)
    if heard.option is not None:
        return _chosen(desk, state, heard, heard.option, asks)
    if "too-long" in heard.reading.kinds:
        return state, (desk.say("say-too-long", limit=MAX_CHARACTERS),)
    heard = heard_in_trouble(desk, state, heard)
    told = tell(desk, state, heard)._replace(asks=asks)
    troubled = None if _asks_what_rules_answer(desk, told, asks) else _of_trouble(desk, told, asks)
    if troubled is not None:
        return troubled
    done, replies = _answers(desk, told)
    if done is None and not replies and not state.something:
        replies = named_only(desk, heard.reading, heard.text)
        done = state if replies else None
    if done is not None:
        return done, replies
    if replies:
        if told.state is state:
            return state, (*replies, *remind(desk, state))
        after, more = _go_on(desk, _warned_by(desk, told.state, replies), asks)
        more = tuple(r for r in more if not (isinstance(r, Amend) and looks_the_same(r)))
        return after, (*told.echo, *replies, *more)
    if told.requests or heard.reading.asks:
        told = tell(desk, state, heard, plain=True)  # none of them could be answered: then its facts are told
    return _told_only(desk, state, told, asks)


def _told_only(desk: Desk, state: State, told: Told, asks: bool) -> Turn:
    """A line that asks nothing that can be answered: its facts, or that nothing was read in it."""
    heard = told.heard
    reading = heard.reading
    if _unknown(desk, heard):
        after, more = _left_open(desk, told, asks)
        return after, (*told.echo, *more)
    if not (reading.understood or reading.circumstances or reading.unclear or reading.mentioned):
        if state.troubled and not state.asked:
            return state, (desk.say("trouble-noted"),)
        words = heard.text.split()
        wants = (len(words) <= FEW_WORDS and (reading.asks or reading.intents)) or len(words) == 1
        return state, (unknown_names(desk, told, reading.unused) if wants else None) or _nothing(desk, state, heard)
    after, more = _go_on(desk, told.state._replace(asked=""), asks)
    return after, (*told.echo, *more)


def _asks_what_rules_answer(desk: Desk, told: Told, asks: bool) -> bool:
    """Whether a rule answers the question of a line first: a STOP always, others where no talk sorts the causes.

    A break that nobody has explained stops everything all the same.
    """
    found = answered(desk, told)
    if found is None or not found.answer.rule or "verdict" in told.reading.kinds:
        return False
    if asks and not found.answer.stop:
        return False
    return not diagnose(desk.engine, told.enquiry).stop


def _of_trouble(desk: Desk, told: Told, asks: bool) -> Turn | None:
    """The answer to what tells of trouble, and to a wish for another finish while the talk is about trouble."""
    state, reading = told.state, told.reading
    said = trouble_begins(desk, state, reading)
    if said is not None:
        # brake bolts and the like are an engineer's matter, whatever made them rust: nothing of causes or what to order
        sorts_causes = not forbidden(desk, state)
        after, more = _go_on(desk, state._replace(troubled=sorts_causes, advised=False, asked=""), asks)
        return after, (*(told.echo if asks else ()), *said, *more)
    if state.troubled and LIABILITY in reading.troubles:
        return state, (desk.say("trouble-no-verdict"), *remind(desk, state))
    if not state.troubled or not wishes(reading):
        return None
    if stops(desk, state):
        return state, (desk.say("trouble-stays"),)
    after, more = _go_on(desk, state._replace(troubled=False, advised=False, asked="", questions=0), asks)
    return after, (*told.echo, *more)


def _answers(desk: Desk, told: Told) -> tuple[State | None, Replies]:
    """The answers to all requests of a line, and the state where one of them ends the turn."""
    found = answered(desk, told)
    if found is not None:
        return None, (found,)
    for move in MOVES:
        if move.bare and told.reading.understood:
            continue
        for request in told.requests:
            turn = move.answer(desk, told, request) if request.kind == move.kind else None
            if turn is not None:
                ends = move.bare or turn[0].reckoned is not told.state.reckoned
                return (turn[0] if ends else None), turn[1]
    return None, ()


def _warned_by(desk: Desk, state: State, replies: Replies) -> State:
    """The state after answers that warned: a STOP that rests on the same documents is not said once more."""
    cites = [c for r in replies if isinstance(r, Answered) and r.answer.stop for c in r.answer.cites]
    if not cites:
        return state
    documents = _documents(desk, cites)
    stern = [c for c in desk.base.cautions.values() if c.severity == "stop"]
    return state._replace(warned=state.warned | {c.id for c in stern if documents & _documents(desk, c.because)})


def _documents(desk: Desk, cites: Iterable[str]) -> set[str]:
    facts = desk.base.kind("fact")
    return {str(facts[c]["source"]) for c in cites if c in facts and "source" in facts[c]}


def _go_on(desk: Desk, state: State, asks: bool) -> Turn:
    if state.doubts and (asks or not state.something):
        return state, (doubt_question(desk, state.doubts[0]),)
    if state.troubled:
        return go_on_diagnosing(desk, state, asks)
    return go_on(desk, state) if asks else give_advice(desk, state)


def _settled(state: State, words: str) -> State:
    """The state after the open question has been answered with these words."""
    return state._replace(
        past=(*state.past, state.enquiry),
        words=(*state.words, words),
        asked="",
        asked_before=state.asked_before | {state.asked},
    )


def _chosen(desk: Desk, state: State, heard: Heard, option: AnswerOption, asks: bool) -> Turn:
    """An option of the open question picked by number or words."""
    if option.value == UNKNOWN:
        return _left_open(desk, Told(heard._replace(text=option.text), state, state, state.enquiry), asks)
    slot = heard.slot
    shown = worded(desk.base, slot, option.value) if slot != "circumstance" else option.text
    after = _settled(state, f"{heard.text} ({option.text})")
    after = after._replace(enquiry=with_answer(state.enquiry, slot, option.value, option.text))
    after, replies = _go_on(desk, after, asks)
    return after, (desk.say("say-understood", parts=shown), *replies)


def _unknown(desk: Desk, heard: Heard) -> bool:
    """Whether the customer does not know the answer to the open question, or has none in particular."""
    understood, slot = heard.reading.understood, heard.slot
    if slot in understood:
        return bool(understood[slot].value == UNKNOWN)
    if not slot or slot not in desk.base.slots:
        return bool(slot) and "dont-know" in heard.reading.kinds
    # "no" to "how many years?": nothing in particular
    nothing = not understood and "no" in heard.reading.kinds and desk.base.slots[slot].nothing_means == UNKNOWN
    return nothing or "dont-know" in heard.reading.kinds


def _left_open(desk: Desk, told: Told, asks: bool) -> Turn:
    """ "Don't know" is an answer: the slot stays unknown and is not asked again; what was told beside it stays."""
    before, slot = told.before, told.heard.slot
    enquiry = told.state.enquiry
    if slot != "circumstance":
        enquiry = enquiry.with_slot(slot, Said(UNKNOWN, told.heard.text, 1.0, "answer"))
    after, replies = _go_on(desk, _settled(before, told.heard.text)._replace(enquiry=enquiry), asks)
    safety = slot in desk.base.slots and desk.base.slots[slot].safety
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
        # a short reminder: the same list is never printed twice in a row
        return (desk.say("say-not-an-answer", question=desk.base.decisions[state.asked].text),)
    else:
        first = desk.say("say-understood-nothing")
    return (first, *remind(desk, state))
