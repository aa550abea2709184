"""Where a conversation stands, what it stands on, and the replies it can give: plain data below the views."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.calculations.options import Calculation
from advisor.graph.base import Base
from advisor.language.vocabulary import Vocabulary
from advisor.lookup.cards import Card
from advisor.reasoning.advice import Advice
from advisor.reasoning.answers import Answer
from advisor.reasoning.cautions import RaisedCaution
from advisor.reasoning.diagnosis import Diagnosis
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import Enquiry
from advisor.reasoning.explain import Difference, Remedy, Side, WhyNot
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Desk(NamedTuple):
    """What every conversation stands on: the engine and the words. Holds nothing of any conversation.

    `echoes`: what was understood is said back; in a long list nobody would hear it.
    """

    engine: Engine
    vocabulary: Vocabulary
    echoes: bool = True

    @property
    def base(self) -> Base:
        """The knowledge under the engine."""
        return self.engine.base

    def say(self, phrase: str, **values: object) -> Say:
        """A sentence of the knowledge as a reply."""
        return Say(self.base.phrase(phrase, **values))


class Doubt(NamedTuple):
    """Words that could mean several things, waiting for the customer's word."""

    slot: str
    words: str
    candidates: tuple[Any, ...]


class Reckoned(NamedTuple):
    """The calculation that the talk is at: its inputs so far, and the one that was asked for ("" where it stands)."""

    command: str
    inputs: Mapping[str, str | list[str]]
    wants: str = ""


class State(NamedTuple):
    """Where a conversation stands. Everything is derived from what was said, so nothing can contradict.

    `advice` is the last one shown, kept so that nothing is worked out twice; it may be older than the enquiry.
    `troubled`: the talk is about something that went wrong. `reckoned`: the calculation that was just worked out.
    `form`: how much of that advice was shown last; `worked`: the calculation of which the last turn showed the result.
    """

    enquiry: Enquiry = Enquiry()
    asked: str = ""
    doubts: tuple[Doubt, ...] = ()
    past: tuple[Enquiry, ...] = ()
    asked_before: frozenset[str] = frozenset()
    questions: int = 0
    advised: bool = False
    warned: frozenset[str] = frozenset()
    advice: Advice | None = None
    words: tuple[str, ...] = ()
    done: bool = False
    troubled: bool = False
    reckoned: Reckoned | None = None
    form: str = ""
    worked: Calculation | None = None

    @property
    def something(self) -> bool:
        """Whether anything was told yet."""
        return bool(self.enquiry.said or self.enquiry.circumstances or self.enquiry.mentioned)


class Say(NamedTuple):
    """A sentence."""

    text: str


class Ask(NamedTuple):
    """A question with its options and the hint for who does not know; the `first` one says how to answer."""

    decision: str
    text: str
    options: tuple[str, ...]
    help: str
    why: str
    first: bool = False


class Advise(NamedTuple):
    """The advice as `look` (one look), `more` (what the look left out), `sources`, or `all` of it."""

    advice: Advice
    form: str = "look"


class Amend(NamedTuple):
    """What a further fact changed in an advice whose first choice stays."""

    advice: Advice
    before: Advice


class Stop(NamedTuple):
    """What must be known at once, before the next question: STOPs, and why an engineer must decide (empty: no need)."""

    cautions: tuple[RaisedCaution, ...]
    because: str = ""


class Show(NamedTuple):
    """Cards looked up; not `exact`: only the nearest that there is. `whole`: the card itself was asked for."""

    cards: tuple[Card, ...]
    exact: bool = True
    whole: bool = False


class Compute(NamedTuple):
    """A calculation as `look` (on one screen) or `all` of it with its sources."""

    calculation: Calculation
    form: str = "look"


class Answered(NamedTuple):
    """The answer to a question put outright."""

    answer: Answer


class Explain(NamedTuple):
    """Why a family is not offered, and `alike` others for the same reasons."""

    why: WhyNot
    remedies: tuple[Remedy, ...]
    alike: tuple[str, ...] = ()


class WhatIf(NamedTuple):
    """What another answer would change."""

    change: str
    difference: Difference


class Compare(NamedTuple):
    """Finishes side by side."""

    sides: tuple[Side, ...]


class Diagnose(NamedTuple):
    """What may stand behind something that went wrong: `look` (what to do now first) or only the `causes`.

    `asks`: the question it ends with, which a talk asks by itself.
    """

    diagnosis: Diagnosis
    form: str = "look"
    asks: bool = False


class Save(NamedTuple):
    """A wish to have the recommendation written down (the shell does it)."""

    advice: Advice


Reply = Say | Ask | Advise | Amend | Stop | Show | Compute | Answered | Explain | WhatIf | Compare | Diagnose | Save
Replies = tuple[Reply, ...]
Turn = tuple[State, Replies]
