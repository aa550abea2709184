"""Long lists take short ways; each is held to the plain way: a length read apart, cases judged once."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.dialogue.lengths_apart import LengthsApart
from advisor.graph.base import Base
from advisor.language.reading import read
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.advice import advise
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import from_values
from advisor.reasoning.same_cases import ListEngine

UTTERANCES = Path(__file__).resolve().parents[1] / "data" / "utterances.jsonl"


@pytest.fixture(scope="module")
def apart(vocabulary: Vocabulary) -> LengthsApart:
    return LengthsApart(vocabulary)


parts = st.sampled_from(["HEX BOLT", "Sechskantschraube", "soc cap screw", "STUD", "U-bolt", "50 pcs bolt", "DIN 933"])
strengths = st.sampled_from(["8.8", "10.9", "A4-80", "", "grade 8", "12.9 150 h salt spray"])
finishes = st.sampled_from(["ZN CR3", "HDG", "", "no zinc", "coastal 25 years", "for a gate", "qty 150", "at 50 °C"])


@settings(max_examples=200, deadline=None)
@given(parts, st.integers(3, 30), st.integers(5, 400), strengths, finishes)
def test_a_length_read_apart_is_the_reading_of_the_text(
    apart: LengthsApart, vocabulary: Vocabulary, part: str, size: int, length: int, strength: str, finish: str
) -> None:
    text = f"{part} M{size}X{length} {strength} {finish}"
    assert apart.read(text) == read(text, vocabulary)


def test_no_utterance_is_read_otherwise_for_it(apart: LengthsApart, vocabulary: Vocabulary) -> None:
    for line in UTTERANCES.read_text("utf-8").splitlines()[::5]:
        text = json.loads(line)["text"]
        assert apart.read(text) == read(text, vocabulary)


@pytest.fixture(scope="module")
def lists(base: Base) -> ListEngine:
    return ListEngine(base)


enquiries = st.fixed_dictionaries(
    {},
    optional={
        "part": st.sampled_from(["hex-bolt", "nut", "tapping-screw", "stud", "structural-bolt", "u-bolt"]),
        "size": st.sampled_from(["M4", "M8", "M10", "M10x1.25", "M30", "1/2-13", "#10-32"]),
        "length_mm": st.sampled_from([16, 50, 51, 400]),
        "strength": st.sampled_from(["4.6", "8.8", "10.9", "12.9", "A2-70", "gr8"]),
        "environment": st.sampled_from([["coastal"], ["indoor-dry"], ["road-salt", "outdoor"]]),
        "finish_asked": st.sampled_from([["zinc-electroplate"], ["hot-dip-galvanized"]]),
        "salt_spray_hours": st.sampled_from([96, 480, 1000]),
        "quantity": st.sampled_from([10, 10_000]),
        "duty": st.sampled_from([["lifting"], ["structural"]]),
        "appearance": st.sampled_from(["black", "yellow"]),
        "temperature_c": st.sampled_from([40, 250]),
    },
)


@settings(max_examples=250, deadline=None)
@given(enquiries)
def test_a_case_judged_once_stands_as_if_judged_by_itself(
    lists: ListEngine, engine: Engine, told: dict[str, object]
) -> None:
    enquiry = from_values(told)
    remembered, plain = lists.judge(enquiry), engine.judge(enquiry)
    assert remembered.case == plain.case
    assert remembered.ranked == plain.ranked
    assert remembered.screened[:6] == plain.screened[:6]
    outcome, advice = lists.outcome(remembered), advise(engine, enquiry, plain, ask=False)
    assert outcome.first == (plain.ranked[0] if plain.ranked else None)
    assert outcome.refer == advice.refer
    assert outcome.because == tuple(r.text for r in advice.referral)
    assert [c for c in outcome.cautions if c.severity == "stop"] == [c for c in advice.cautions if c.severity == "stop"]
    if advice.recommended:
        assert {c.id for c in outcome.cautions} >= set(advice.recommended[0].cautions)
        wanted = [r.text for r in (*advice.recommended[0].requires, *advice.requires)]
        assert outcome.requires == tuple(dict.fromkeys(wanted))
