"""Where a conversation stands, and the replies it can give; plain data between the dialogue and the views."""

from __future__ import annotations

from typing import Any, NamedTuple

from advisor.calculations.options import Calculation
from advisor.lookup.cards import Card
from advisor.reasoning.advice import Advice
from advisor.reasoning.enquiry import Enquiry
from advisor.reasoning.explain import Difference, Remedy, Side, WhyNot


class Doubt(NamedTuple):
    """Words that could mean several things, waiting for the customer's word."""

    slot: str
    words: str
    candidates: tuple[Any, ...]


class State(NamedTuple):
    """Where a conversation stands. Everything is derived from what was said, so nothing can contradict."""

    enquiry: Enquiry = Enquiry()
    asked: str = ""
    doubts: tuple[Doubt, ...] = ()
    past: tuple[Enquiry, ...] = ()
    asked_before: frozenset[str] = frozenset()
    questions: int = 0
    advised: bool = False
    words: tuple[str, ...] = ()
    done: bool = False


class Say(NamedTuple):
    """A sentence."""

    text: str


class Ask(NamedTuple):
    """A question with its options and the hint for who does not know."""

    decision: str
    text: str
    options: tuple[str, ...]
    help: str
    why: str


class Advise(NamedTuple):
    """The advice, in layers 1 to 3."""

    advice: Advice
    layer: int = 2


class Show(NamedTuple):
    """Cards looked up."""

    cards: tuple[Card, ...]


class Compute(NamedTuple):
    """A calculation."""

    calculation: Calculation


class Explain(NamedTuple):
    """Why a family is not offered."""

    why: WhyNot
    remedies: tuple[Remedy, ...]


class WhatIf(NamedTuple):
    """What another answer would change."""

    change: str
    difference: Difference


class Compare(NamedTuple):
    """Finishes side by side."""

    sides: tuple[Side, ...]


class Save(NamedTuple):
    """A wish to have the recommendation written down (the shell does it)."""

    advice: Advice


Reply = Say | Ask | Advise | Show | Compute | Explain | WhatIf | Compare | Save
Turn = tuple[State, tuple[Reply, ...]]
