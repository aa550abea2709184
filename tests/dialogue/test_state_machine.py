"""Any talk at all keeps its promises: it never fails, never contradicts itself, and its advice follows from what was
said.
"""

from __future__ import annotations

from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from advisor.dialogue.conversation import MOST_QUESTIONS, Guide
from advisor.dialogue.state import Advise, Ask, Reply, State
from advisor.reasoning.advice import advise

OPENINGS = (
    "M12 10.9 bolts for a trailer, gritted roads",
    "socket cap screws outside",
    "stainless for a pool",
    "M16 galvanised A325 set",
    "something cheap for a barn",
    "200 of 3/8-16 grade 8, zinc, EU",
)
REMARKS = (
    "12.9",
    "no, 8.8",
    "actually stainless",
    "by the sea",
    "no idea",
    "why?",
    "why not zinc plated?",
    "what if it were 10.9",
    "compare zinc flake and stainless A4",
    "torque for M12 8.8 at mu 0.12",
    "what does tZn mean",
    "more",
    "sources",
    "change the size",
    "M1O x 3O",
    "thanks",
    "hello",
    "tell me a joke",
    "yes",
    "no",
    "",
    "...",
)
PLATED = frozenset(("zinc-electroplate", "zinc-nickel", "zinc-iron", "cadmium", "nickel", "tin"))


class Talk(RuleBasedStateMachine):
    """Turns in any order."""

    guide: Guide

    def __init__(self) -> None:
        super().__init__()
        self.state = State()
        self.replies: tuple[Reply, ...] = ()
        self.said: list[str] = []

    def _step(self, text: str) -> None:
        before = self.state
        self.state, self.replies = self.guide.step(before, text)
        # a conversation is a function: the same words from the same state lead to the same place
        assert self.guide.step(before, text) == (self.state, self.replies)

    @initialize(text=st.sampled_from(OPENINGS))
    def opening(self, text: str) -> None:
        self._step(text)
        assert self.state.enquiry.said

    @rule(text=st.sampled_from(REMARKS))
    def remark(self, text: str) -> None:
        self._step(text)

    @rule(text=st.text(max_size=40))
    def anything(self, text: str) -> None:
        self._step(text)

    @rule(n=st.integers(1, 12))
    def option(self, n: int) -> None:
        self._step(str(n))

    @rule(n=st.integers(1, 3))
    def answer_and_take_back(self, n: int) -> None:
        """Taking back an answer restores what was known before it."""
        before = self.state
        self._step(str(n))
        if len(self.state.past) == len(before.past) + 1:
            self._step("back")
            assert self.state.enquiry == before.enquiry

    @rule()
    def start_again(self) -> None:
        self._step("start again")
        assert self.state == State()

    @invariant()
    def questions_are_bounded_and_of_the_base(self) -> None:
        assert self.state.questions <= MOST_QUESTIONS
        assert not self.state.asked or self.state.asked in self.guide.base.kind("decision")

    @invariant()
    def what_is_asked_is_what_is_open(self) -> None:
        for r in self.replies:
            if isinstance(r, Ask):
                slot = self.guide.base.kind("decision")[r.decision]["slot"]
                assert slot == "circumstance" or slot not in self.state.enquiry.said

    @invariant()
    def advice_is_the_advice_of_what_was_said(self) -> None:
        """No matter which way the talk went, the advice follows from the enquiry alone, with its cautions."""
        for r in self.replies:
            if isinstance(r, Advise):
                again = advise(self.guide.engine, self.state.enquiry, ask=False)
                assert [x.ranked.finish for x in r.advice.recommended] == [x.ranked.finish for x in again.recommended]
                assert r.advice.cautions or r.advice.refer

    @invariant()
    def hard_steel_is_never_plated(self) -> None:
        # ASTM F1941/F1941M-15, introduction; ISO 898-1: 12.9 is 39 to 44 HRC
        strength = self.state.enquiry.said.get("strength")
        values: tuple[Any, ...] = (strength.value,) if strength else ()
        for r in self.replies:
            if isinstance(r, Advise) and "12.9" in values:
                assert not PLATED & {x.ranked.family for x in r.advice.recommended}


def test_any_talk_keeps_its_promises(guide: Guide) -> None:
    Talk.guide = guide
    run_state_machine_as_test(
        Talk,
        settings=settings(
            max_examples=40,
            stateful_step_count=12,
            deadline=None,
            derandomize=True,
            suppress_health_check=[HealthCheck.too_slow],
        ),
    )
