"""A whole turn stands on one screen of 80 by 24, few questions are asked, and no line is wider than the window."""

from __future__ import annotations

import json
import statistics
from pathlib import Path

import pytest

from advisor.dialogue.conversation import Guide
from advisor.dialogue.state import Ask, Replies, State
from advisor.views.layout import cells
from advisor.views.turns import MOST_ON_A_SCREEN, turn_lines

UTTERANCES = Path(__file__).parent.parent / "data" / "utterances.jsonl"
EVERY = 18
ROWS = 24
READ_ALOUD_WORDS = 67
"""Twenty seconds at the usual two hundred words a minute."""
NEVER_ASKED = {"hardness_hrc", "salt_spray_hours", "regime"}
"""Not asked of anybody who spoke of none of them."""

Talk = list[tuple[str, Replies]]


def openings() -> list[str]:
    lines = [json.loads(x) for x in UTTERANCES.read_text("utf-8").splitlines() if x.strip()]
    return [str(x["text"]) for x in lines[::EVERY]]


@pytest.fixture(scope="module", params=["don't know", "1"])
def talks(guide: Guide, request: pytest.FixtureRequest) -> list[Talk]:
    """Talks from every eighteenth own opening, each question answered alike until none is open."""
    out: list[Talk] = []
    for said in openings():
        state, talk = State(), []
        while True:
            state, replies = guide.step(state, said)
            talk.append((said, replies))
            said = request.param
            if not state.asked or len(talk) > 12:
                break
        out.append(talk)
    return out


def test_few_questions_are_asked(talks: list[Talk]) -> None:
    asked = [sum(isinstance(r, Ask) for _, replies in t for r in replies) for t in talks]
    assert len(asked) > 40
    assert statistics.median(asked) <= 2
    assert max(asked) <= 5


def test_nobody_is_asked_for_what_only_a_laboratory_knows(guide: Guide, talks: list[Talk]) -> None:
    asked = {
        guide.base.decisions[r.decision].slot for t in talks for _, replies in t for r in replies if isinstance(r, Ask)
    }
    assert "environment" in asked
    assert asked.isdisjoint(NEVER_ASKED)


def test_a_turn_stands_on_one_screen_and_is_soon_read(guide: Guide, talks: list[Talk]) -> None:
    shown = [turn_lines(guide.engine, replies, 80) for t in talks for _, replies in t]
    assert max(len(lines) for lines in shown) <= ROWS - 1
    assert statistics.median(len(lines) for lines in shown) <= MOST_ON_A_SCREEN // 2 + 2
    assert statistics.median(len(" ".join(lines).split()) for lines in shown) <= READ_ALOUD_WORDS


@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_of_a_turn_is_wider_than_the_window(guide: Guide, talks: list[Talk], width: int) -> None:
    for talk in talks[::3]:
        for said, replies in talk:
            wide = [x for x in turn_lines(guide.engine, replies, width) if cells(x) > width]
            assert not wide, (said, wide)


@pytest.mark.parametrize(
    "said",
    [
        "what torque for M12 10.9 zinc flake",
        "will 12 µm fit M6",
        "how long does 50 µm of zinc last in C3",
        "decode Fe/Zn 8 c1A",
        "convert 39 HRC to HV",
        "my 12.9 bolts snapped overnight after tightening",
        "help",
        "help finishes",
    ],
)
def test_other_answers_stand_on_one_screen_too(guide: Guide, said: str) -> None:
    _, replies = guide.step(State(), said)
    assert 1 <= len(turn_lines(guide.engine, replies, 80)) <= ROWS - 1


def test_a_calculation_says_its_result_first_and_all_of_it_on_request(guide: Guide) -> None:
    # VDI 2230: the torque to set follows from the lowest friction
    state, replies = guide.step(State(), "what torque for M12 10.9 zinc flake")
    look = turn_lines(guide.engine, replies, 80)
    assert "N·m" in look[0]
    assert guide.base.phrase("say-citations-intro") not in look
    for word in ("more", "sources"):
        _, whole = guide.step(state, word)
        assert guide.base.phrase("say-citations-intro") in turn_lines(guide.engine, whole, 80)


@pytest.mark.parametrize(
    ("line", "needs"), [("help torque", "zinc flake"), ("help finishes", "zinc flake"), ("help fit", "µm")]
)
def test_a_page_of_help_on_a_subject_leaves_the_talk_as_it_is(guide: Guide, line: str, needs: str) -> None:
    state, _ = guide.step(State(), "M10 8.8 bolts outdoors")
    after, replies = guide.step(state, line)
    assert after == state
    assert needs in " ".join(turn_lines(guide.engine, replies, 80))


def test_help_while_a_question_stands_says_how_to_find_out(guide: Guide) -> None:
    state, _ = guide.step(State(), "M10 bolts outdoors in town for a machine")
    assert state.asked
    after, replies = guide.step(state, "how do i tell")
    assert after == state
    assert guide.base.decisions[state.asked].help.split(". ")[0] in " ".join(turn_lines(guide.engine, replies, 200))
