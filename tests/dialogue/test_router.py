"""One router for every shell: a question beside facts loses none of them, and talk and one-shot answer judge alike."""

from __future__ import annotations

import pytest

from advisor.dialogue.conversation import Guide
from advisor.dialogue.one_shot import OneShot, answer
from advisor.dialogue.state import Advise, Compare, Compute, Explain, Replies, Show, State
from advisor.reasoning.advice import advise
from advisor.reasoning.explain import why_not

# ASTM F1941/F1941M-15: nothing above 39 HRC is electroplated without more; ISO 898-1: 12.9 is 39 to 44 HRC.
# ISO 10684, clause 1: 12.9 is not hot-dip galvanized under it. So each of these is refused, with the reason.
REFUSED = (
    ("why can't I zinc plate 12.9 cap screws M8 outside", "zinc-electroplate"),
    ("why not zinc plated for 12.9 M10 socket screws, indoors dry", "zinc-electroplate"),
    ("what about zinc nickel on 12.9 M12 bolts by the sea", "zinc-nickel"),
    ("compare zinc plated and zinc flake for 12.9 M8 on salted roads", "zinc-electroplate"),
    ("compare hot dip and zinc flake on M10 12.9, outdoors in town", "hot-dip-galvanized"),
    ("what's wrong with hot dip galvanized 12.9 M16 at the coast", "hot-dip-galvanized"),
    ("how about cadmium plated 12.9 M6 cap screws, indoors", "cadmium"),
    ("when can I use zinc plated 12.9 socket screws M8, damp shed", "zinc-electroplate"),
)


def verdict(replies: Replies, family: str) -> str:
    """in, out or conditional, as the replies tell it."""
    for r in replies:
        if isinstance(r, Explain) and r.why.family == family:
            return r.why.state
        if isinstance(r, Compare):
            return next(s.state for s in r.sides if s.family == family)
    raise AssertionError(replies)


@pytest.mark.parametrize(("line", "family"), REFUSED)
def test_a_question_beside_facts_is_judged_alike_in_talk_and_at_once(guide: Guide, line: str, family: str) -> None:
    state, replies = guide.step(State(), line)
    assert verdict(replies, family) == "out"
    assert state.enquiry.said["strength"].value == "12.9"
    assert {"size", "environment"} <= state.enquiry.said.keys()
    at_once = answer(guide.desk, line)
    assert at_once.enquiry.said == state.enquiry.said
    assert verdict(at_once.replies, family) == "out"
    assert at_once.advice is not None
    assert family not in {r.ranked.family for r in at_once.advice.recommended}
    # nor does it come in by the talk that follows
    assert why_not(guide.engine, guide.engine.judge(state.enquiry), family).state == "out"


def test_the_class_in_the_question_counts_and_the_enquiry_stays(guide: Guide) -> None:
    before, _ = guide.step(State(), "M8 8.8 bolts outdoors in town, nobody is hurt if it breaks")
    after, replies = guide.step(before, "why not zinc plated with 12.9?")
    assert verdict(replies, "zinc-electroplate") == "out"
    assert after.enquiry == before.enquiry


@pytest.mark.parametrize(
    "question",
    [
        "what does C4 mean",
        "what is white rust",
        "what torque for M12 10.9 zinc flake?",
        "what does Fe/Zn 8/An/T0 mean?",
        "what if it were 12.9",
        "compare zinc flake and hot dip",
    ],
)
def test_questions_never_change_what_was_told(guide: Guide, question: str) -> None:
    before, _ = guide.step(State(), "M10 8.8 bolts for a gate in town")
    after, replies = guide.step(before, question)
    assert replies
    assert after.enquiry == before.enquiry


def test_a_fact_that_was_not_known_may_stand_beside_a_question(guide: Guide) -> None:
    before, _ = guide.step(State(), "M10 8.8 bolts")
    after, replies = guide.step(before, "why not zinc plated, it is indoors and dry")
    assert any(isinstance(r, Explain) for r in replies)
    assert after.enquiry.said["environment"].value == ["indoor-dry"]
    assert after.enquiry.said["strength"] == before.enquiry.said["strength"]


def test_what_is_not_known_does_not_lose_what_is(guide: Guide) -> None:
    before, _ = guide.step(State(), "bolts for a field gate")
    assert before.asked
    after, _ = guide.step(before, "no idea, it's M10")
    assert after.enquiry.said["size"].value == "M10"


@pytest.mark.parametrize(
    ("line", "kind", "reply"),
    [
        ("M10 8.8 bolts outside", "advice", Advise),
        ("what is zinc-nickel?", "lookup", Show),
        ("torque for M12 8.8 zinc flake?", "calculation", Compute),
        ("Fe/Zn 8/An/T0", "decode", Compute),
        ("compare zinc flake and hot dip for M10 8.8 outside", "answer", Compare),
    ],
)
def test_the_kind_of_an_answer_is_that_of_its_first_reply(guide: Guide, line: str, kind: str, reply: type) -> None:
    found = answer(guide.desk, line)
    assert found.kind == kind
    assert any(isinstance(r, reply) for r in found.replies)


def test_an_answer_at_once_is_the_advice_of_the_talk(guide: Guide) -> None:
    line = "M16 eye bolts to lift an engine, zinc plated"
    found: OneShot = answer(guide.desk, line)
    state, replies = guide.step(State(), line)
    talked = next(r.advice for r in replies if isinstance(r, Advise))
    assert found.advice is not None
    assert found.advice.refer == talked.refer == "stop"
    assert found.enquiry == state.enquiry
    assert found.advice.recommended == advise(guide.engine, state.enquiry).recommended
