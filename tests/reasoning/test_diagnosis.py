"""Trouble diagnosed: worked cases and published failure cases told in plain words, and the safety of what is said."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.dialogue.answering import respond
from advisor.dialogue.conversation import Guide
from advisor.dialogue.hearing import Heard
from advisor.dialogue.one_shot import answer
from advisor.dialogue.state import Advise, Ask, Diagnose, Replies, Say, State
from advisor.graph.base import Base
from advisor.language.reading import read
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.diagnosis import diagnose
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import from_values
from advisor.views.replies import reply_lines
from advisor.views.reply_data import answer_json

DATA = yaml.safe_load((Path(__file__).parents[1] / "data" / "troubles.yaml").read_text("utf-8"))


@pytest.fixture(scope="module")
def guide(base: Base) -> Guide:
    return Guide(Engine(base), Vocabulary.of(base))


@pytest.mark.parametrize("case", DATA["told"], ids=lambda c: c["words"][:50])
def test_trouble_is_read(guide: Guide, case: dict[str, Any]) -> None:
    reading = read(case["words"], guide.vocabulary)
    problem = reading.understood.get("problem")
    assert (problem.value if problem else []) == case["problem"]
    assert ("diagnosis" in reading.kinds) is case.get("diagnosed", bool(case["problem"]))
    if "diagnosis" in reading.kinds:
        assert "finish_asked" not in reading.understood, "what failed is no wish"


@pytest.mark.parametrize("words", DATA["delayed"])
def test_a_delayed_fracture_stops_everything(guide: Guide, words: str) -> None:
    """Whatever the words: people clear, quarantine, laboratory, an engineer, and nothing recommended.

    Structural-safety reports 490, 585 and 600: studs broke after 3 days, 16 of 16 bolts within 4 days.
    """
    found = answer(guide.desk, words)
    out = answer_json(guide.engine, found)
    assert out["kind"] == "diagnosis", words
    assert out["recommended"] == []
    assert out["referral"]["required"]
    text = " ".join(out["diagnosis"]["now"]).lower()
    assert "people" in text
    assert "quarantine" in text
    assert "laboratory" in text
    lines = [x for r in found.replies for x in reply_lines(guide.engine, r, 80)]
    assert len(lines) <= 16
    assert lines[0].startswith("STOP")


@pytest.mark.parametrize("case", DATA["published"], ids=lambda c: c["from"][:50])
def test_published_failures(guide: Guide, case: dict[str, Any]) -> None:
    """The finding of the published investigation is among the two likeliest causes."""
    found = diagnose(guide.engine, answer(guide.desk, case["words"]).enquiry)
    leading = [w.cause.id for w in found.leading]
    assert set(leading) & set(case["found"]), (leading, found.complaints[:1])


@pytest.mark.parametrize("talk", DATA["talks"], ids=lambda t: t["says"][0][:50])
def test_from_hello_to_what_to_do(guide: Guide, talk: dict[str, Any]) -> None:
    """Ten complaints: within four lines the customer knows what to do now, the likeliest cause and what is next."""
    state, shown = State(), []
    for said in talk["says"]:
        state, replies = guide.step(state, said)
        shown += [x for r in replies for x in reply_lines(guide.engine, r, 80)]
    found = diagnose(guide.engine, state.enquiry)
    assert found.now
    assert found.next
    assert found.leading[0].cause.id in talk["first"], [(w.cause.id, w.worth) for w in found.causes]
    assert any("engineer" in x for x in shown)
    assert all(len(x) <= 80 for x in shown)


def test_stop_comes_before_any_question(guide: Guide) -> None:
    _, replies = guide.step(State(), "the heads popped off overnight")
    kinds = [type(r) for r in replies]
    assert kinds.index(Diagnose) < (kinds.index(Ask) if Ask in kinds else len(kinds))


def test_nothing_is_offered_while_it_is_unexplained(guide: Guide) -> None:
    state, _ = guide.step(State(), "12.9 zinc plated screws snapped the night after tightening")
    for said in ("what should I use instead", "zinc plated again?", "more", "give me the order text"):
        state, replies = guide.step(state, said)
        assert not any(isinstance(r, Advise) for r in replies), said


def test_a_wish_after_harmless_trouble_gets_advice(guide: Guide) -> None:
    state, _ = guide.step(State(), "our zinc plated bolts have gone rusty by the sea")
    state, replies = guide.step(state, "what should I use instead")
    assert any(isinstance(r, (Advise, Ask)) for r in replies)
    assert not state.troubled


def test_blame_is_declined_and_help_is_given(guide: Guide, base: Base) -> None:
    found = answer(guide.desk, "your last bolts all rusted and I want my money back!!!")
    assert found.kind == "diagnosis"
    assert base.phrase("trouble-no-verdict") in [r.text for r in found.replies if isinstance(r, Say)]


def test_the_hurt_come_first(guide: Guide, base: Base) -> None:
    found = answer(guide.desk, "it broke and somebody got hurt")
    assert isinstance(found.replies[0], Say)
    assert found.replies[0].text == base.phrase("trouble-hurt")
    assert any(isinstance(r, Diagnose) and r.diagnosis.stop for r in found.replies)


def test_a_complaint_without_a_fact_is_asked(guide: Guide) -> None:
    _, replies = guide.step(State(), "I have a complaint")
    assert [r.decision for r in replies if isinstance(r, Ask)] == ["ask-trouble"]


def test_two_families_behind_one_word_are_no_sign(guide: Guide) -> None:
    """ "Zinc" may be plate or dip: what holds for the dip alone is not known."""
    one = diagnose(guide.engine, from_values({"problem": ["blackening"], "finish_now": ["hot-dip-galvanized"]}))
    two = {"problem": ["blackening"], "finish_now": ["hot-dip-galvanized", "zinc-electroplate"]}
    both = diagnose(guide.engine, from_values(two))
    assert max(w.worth for w in one.causes) > max(w.worth for w in both.causes)


def test_a_set_problem_is_diagnosed(guide: Guide) -> None:
    found = answer(guide.desk, "", {"problem": ["seizing"], "finish_now": ["stainless-a2"]})
    assert found.kind == "diagnosis"


def _lines(replies: Replies) -> int:
    return sum(isinstance(r, Diagnose) for r in replies)


def test_one_diagnosis_a_turn(guide: Guide) -> None:
    text = "white powder on the galvanized bolts, they came by sea"
    _, replies = respond(guide.desk, State(), Heard(text, read(text, guide.vocabulary)))
    assert _lines(replies) == 1
