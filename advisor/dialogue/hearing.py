"""What an utterance is in the light of the question that stands: a command, a choice from the list, or words read."""

from __future__ import annotations

from advisor.dialogue.choosing import pick, picked_by_words
from advisor.dialogue.inputs import inputs_of
from advisor.dialogue.state import Desk, State
from advisor.graph.nodes import AnswerOption
from advisor.language.reading import Reading, read
from advisor.reasoning.enquiry import UNKNOWN
from advisor.records import NamedTuple

QUESTIONS_BACK = frozenset(("calculation", "decode", "lookup"))
"""Requests that may stand where an answer was expected; the question then stays open."""


class Heard(NamedTuple):
    """One utterance: its text, its reading, and the option of the open question that it picks, if it picks one.

    `slot` is the slot of the question that was open when it was said; `refused` the phrase that says why a place in the
    list was none.
    """

    text: str
    reading: Reading
    slot: str = ""
    option: AnswerOption | None = None
    refused: str = ""


def words_of(text: str) -> list[str]:
    """The words of a line as they are compared with those of a role: small, without marks.

    >>> words_of("And the nuts, are they zinc?")
    ['and', 'the', 'nuts', 'are', 'they', 'zinc']
    """
    return text.lower().replace("?", " ").replace(",", " ").split()


def hear(desk: Desk, state: State, text: str) -> Heard:
    """What was said: a command first, then a choice from the list, then words read against the question that is open.

    It is read a second time only where a question stands.
    """
    d = desk.base.decisions.get(state.asked)
    if d is None or text.lower().strip(" .!?") in desk.base.role_words("commands"):
        return Heard(text, read(text, desk.vocabulary))
    picked = pick(desk, state, d, text)
    if picked is not None:
        return Heard(text, Reading({}), d.slot, picked.option, picked.refused)
    reading = _against(desk, state, text, d.slot)
    if not reading.understood and not reading.circumstances:
        meant = picked_by_words(d, text, desk.base.role_words("denials"))
        if meant is not None:
            return Heard(text, reading, d.slot, meant)
    return Heard(text, reading, d.slot)


def _against(desk: Desk, state: State, text: str, slot: str) -> Reading:
    """The reading against the question asked, unless the words plainly mean something else.

    "What torque for M12 10.9?" after "how many years?" is not 10.9 years: words that fill another slot without the
    question are not taken as its answer. A question back ("what does Fe/Zn 8 mean?") is no answer either.
    """
    reading = read(text, desk.vocabulary, slot)
    answer = reading.understood.get(slot)
    if answer is not None and answer.value == UNKNOWN:
        return reading
    free = read(text, desk.vocabulary)
    if answer is None:
        # things ("the brake caliper", "a garden gate") are no answer by themselves, but tell what is asked
        told = free.understood or free.circumstances or not free.kinds.isdisjoint(QUESTIONS_BACK)
        return free if told else reading
    if slot in free.understood:
        return reading
    elsewhere = [x.words for s, x in free.understood.items() if s != slot]
    calculated = any(i.kind == "calculation" and inputs_of(i.about, i) is not None for i in free.intents)
    said = state.enquiry.said
    denied = any(i.kind == "no" and i.words == answer.words for i in reading.intents)
    if denied and any(s in said and said[s].value != x.value for s, x in free.understood.items()):
        return free  # "no, 12.9" takes back what was said and answers nothing
    return free if calculated or any(answer.words and answer.words in w for w in elsewhere) else reading
