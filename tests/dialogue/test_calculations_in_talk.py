"""Calculations asked in plain words: the figures against handbooks, what is missing, follow-ups, other units."""

from __future__ import annotations

import re

import pytest

from advisor.dialogue.conversation import Guide
from advisor.dialogue.one_shot import answer
from advisor.dialogue.state import Answered, Compute, Desk, Reply, Say, State
from advisor.graph.base import Base
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.engine import Engine
from advisor.views.direct import direct_answer


@pytest.fixture(scope="module")
def guide(base: Base) -> Guide:
    return Guide(Engine(base), Vocabulary.of(base))


@pytest.fixture(scope="module")
def desk(guide: Guide) -> Desk:
    return guide.desk


def talk(guide: Guide, *said: str) -> tuple[State, list[tuple[Reply, ...]]]:
    state, out = State(), []
    for line in said:
        state, replies = guide.step(state, line)
        out.append(replies)
    return state, out


def line_of(guide: Guide, replies: tuple[Reply, ...]) -> str:
    return direct_answer(guide.engine, replies).text


def near(text: str, figure: float, within: float) -> bool:
    return any(abs(float(x) - figure) <= within * figure for x in re.findall(r"\d+(?:\.\d+)?", text))


TALK = "M12 8.8 bolts hot dip galvanised, fence by the sea"

FIGURES = [
    # VDI 2230:2015 table A1 method, 90 % of yield: class A4-70 (450 MPa), friction 0.12: M12 about 59 N·m
    ("what torque for M12 stainless A4-70", 59, 0.03),
    # VDI 2230 table A1: M12 10.9 at friction 0.09 about 100 N·m, at 0.14 about 137 N·m
    ("M12 10.9 zinc flake torque?", 100, 0.03),
    ("M12 10.9 zinc flake torque?", 137, 0.03),
    # ISO 4042:1999 table 2 and ISO 965-1: M6 6g has 26 µm of allowance, a quarter of it is 6.5 µm
    ("can M6 6g take 12 µm of zinc", 6.5, 0.001),
    # ISO 9224:2012: zinc in C4 loses 2.1 to 4.2 µm a year: 50 µm last 11.9 to 23.8 years
    ("how long does 50 µm zinc last at C4", 12, 0.01),
    ("how long does 50 µm zinc last at C4", 24, 0.01),
    # exact factor: 1 lbf·ft = 1.3558 N·m
    ("convert 50 Nm to foot pounds", 36.878, 0.0001),
]


@pytest.mark.parametrize(("text", "figure", "within"), FIGURES)
def test_the_figure_is_that_of_the_handbook(desk: Desk, text: str, figure: float, within: float) -> None:
    said = direct_answer(desk.engine, answer(desk, text).replies)
    assert said.verdict == "figure"
    assert near(said.text, figure, within), said.text


def test_what_is_missing_is_asked_one_thing_at_a_time(guide: Guide) -> None:
    _, replies = talk(guide, "what torque for M10", "8.8", "zinc flake")
    assert [type(r[0]) for r in replies] == [Say, Say, Compute]
    assert "class" in line_of(guide, replies[0])
    assert "finish" in line_of(guide, replies[1])


def test_a_follow_up_changes_one_value(guide: Guide) -> None:
    _, replies = talk(guide, "what torque for M12 A4-70", "and M16?", "with A4-80", "what if I tighten to 60")
    lines = [line_of(guide, r) for r in replies]
    assert [x.split(" Stainless")[0] for x in lines] == ["M12 A4-70", "M16 A4-70", "M16 A4-80", "M16 A4-80"]
    # clamp of 60 N·m is 60/(K d): K 0.11 to 0.20 at 16 mm gives 18 to 33 kN
    assert near(lines[3], 18.3, 0.02)
    assert near(lines[3], 33.4, 0.02)


def test_a_figure_is_told_in_another_unit(guide: Guide) -> None:
    _, replies = talk(guide, "what torque for M12 A4-70", "in foot pounds")
    assert near(line_of(guide, replies[1]), 43.92 / 1.355818, 0.001)


def test_a_lot_is_asked_for_its_size_and_counts_its_own_coat(guide: Guide) -> None:
    _, replies = talk(guide, "how much zinc is on 500 of them", "M12", "60 mm", "galvanised", "and 1000?")
    first, last = line_of(guide, replies[2]), line_of(guide, replies[4])
    assert "500 x" in first
    assert "50 µm" in line_of(guide, replies[3])
    assert last.startswith("1000 x")


def test_a_torque_beyond_yield_is_stopped(desk: Desk) -> None:
    said = direct_answer(desk.engine, answer(desk, "what if I tighten M10 10.9 zinc flake to 90").replies)
    assert "STOP" in said.text


def test_a_structural_set_gets_no_figure(desk: Desk) -> None:
    said = direct_answer(desk.engine, answer(desk, "what torque M24 10.9 HV structural galvanised").replies)
    assert said.verdict == "none"
    assert "k-class" in said.text


def test_a_calculation_leaves_the_open_question_and_the_facts(guide: Guide) -> None:
    state, _ = talk(guide, TALK)
    after, _ = talk(
        guide, "M12 8.8 bolts hot dip galvanised, fence by the sea", "what torque for M12 A4-70", "and M16?"
    )
    assert after.enquiry == state.enquiry
    assert after.asked == state.asked


@pytest.mark.parametrize(
    ("question", "verdict"),
    [
        # ISO 4042:2018 and ASTM F1941:2015: no electroplate above 390 HV or 39 HRC
        ("can 12.9 be zinc plated", "no"),
        # ISO 4042:2018: a bake is demanded above 390 HV, and does not make it fit for plating
        ("must 12.9 be baked", "depends"),
        ("must 10.9 be baked after zinc plating", "no"),
        # ISO 10684:2004 ends at 10.9
        ("may 12.9 be hot dip galvanised", "no"),
        # ASTM F3125:2015: A490 plain or zinc flake only
        ("can A490 be hot dip galvanized", "no"),
    ],
)
def test_a_question_has_one_verdict_whatever_the_talk_held(guide: Guide, question: str, verdict: str) -> None:
    before, _ = talk(guide, TALK)
    state, replies = guide.step(before, question)
    asked_alone = direct_answer(guide.engine, answer(guide.desk, question).replies)
    in_talk = direct_answer(guide.engine, replies)
    assert any(isinstance(r, Answered) for r in replies)
    assert (in_talk.verdict, in_talk.text) == (asked_alone.verdict, asked_alone.text)
    assert in_talk.verdict == verdict
    assert state.enquiry.said["strength"].value == "8.8"
