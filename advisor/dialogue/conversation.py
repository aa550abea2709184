"""A conversation as a pure function: (state, utterance) -> (state, replies). No terminal, no file, no clock."""

from __future__ import annotations

from advisor.dialogue.answering import respond
from advisor.dialogue.doubts import settle
from advisor.dialogue.going_on import MOST_QUESTIONS, ask_again
from advisor.dialogue.hearing import hear
from advisor.dialogue.state import Desk, State, Turn
from advisor.graph.base import Base
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.engine import Engine

__all__ = ("FIRST_LINES", "MOST_QUESTIONS", "Guide")

FIRST_LINES = ("say-first-line", "say-first-help")


class Guide:
    """Conversations over one base and vocabulary; holds nothing of any of them."""

    def __init__(self, engine: Engine, vocabulary: Vocabulary) -> None:
        self.desk = Desk(engine, vocabulary)

    @property
    def engine(self) -> Engine:
        """The engine behind the desk."""
        return self.desk.engine

    @property
    def base(self) -> Base:
        """The knowledge behind the desk."""
        return self.desk.base

    @property
    def vocabulary(self) -> Vocabulary:
        """The words behind the desk."""
        return self.desk.vocabulary

    def start(self) -> Turn:
        """The first lines."""
        return State(), tuple(self.desk.say(p) for p in FIRST_LINES)

    def _begins_anew(self, text: str) -> bool:
        """Whether a line turns to another fastener and tells of it at once: "another one: his gate bolts rusted"."""
        told = text.lower()
        lead = next((w for w in self.desk.base.role_words("begins-anew") if told.startswith(w)), "")
        rest = told[len(lead) :].lstrip(" ,:;.-")
        return bool(lead) and bool(rest) and not told[len(lead)].isalnum()

    def step(self, state: State, utterance: str) -> Turn:
        """One turn: a doubt settled, or the utterance heard and answered."""
        text = utterance.strip()
        if not text:
            return state, ask_again(self.desk, state)
        if state.doubts:
            settled = settle(self.desk, state, text)
            if settled is not None:
                return settled
            state = state._replace(doubts=())
        if self._begins_anew(text) and (state.something or state.asked):
            state = State()
        return respond(self.desk, state, hear(self.desk, state, text))
