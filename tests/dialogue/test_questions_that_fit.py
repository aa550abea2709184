"""Questions offer what is possible here, what was told is said back as a person would, and a danger is said at once."""

from __future__ import annotations

import pytest

from advisor.dialogue.choosing import shown_options
from advisor.dialogue.conversation import Guide
from advisor.dialogue.state import Answered, Ask, Replies, Say, State, Stop
from advisor.views.replies import reply_lines


def offered(guide: Guide, opening: str, slot: str) -> list[str]:
    """The options that the question for a slot shows after an opening."""
    state, _ = guide.step(State(), opening)
    d = next(d for d in guide.base.decisions.values() if d.slot == slot)
    return [o.id for o in shown_options(guide.desk, state._replace(asked=d.id), d)]


def texts(replies: Replies) -> str:
    return " ".join(r.text for r in replies if isinstance(r, (Say, Ask)))


@pytest.mark.parametrize(
    ("opening", "slot", "there", "not_there"),
    [
        # ISO 898-1 classes stand on metric heads, SAE J429 lines on inch heads
        ("M10 bolts outdoors", "strength", "8.8", "gr5"),
        ("3/8-16 bolts outdoors", "strength", "gr5", "8.8"),
        # ISO 898-5: 45H is the class of grub screws; ISO 3506-1 the classes of stainless bolts
        ("M6 grub screws", "strength", "45h", "8.8"),
        ("M10 stainless bolts", "strength", "a4-70", "10.9"),
        ("M12 structural bolts", "strength", "a325", "4.6"),
        # no brake or wheel in a dry room, no steel frame held by an M4
        ("M10 bolts indoors, dry", "duty", "pressure", "vehicle-safety"),
        ("M4 machine screws indoors", "duty", "none", "structural"),
        ("M12 bolts, salted roads", "duty", "vehicle-safety", "pressure"),
    ],
)
def test_options_are_those_possible_here(guide: Guide, opening: str, slot: str, there: str, not_there: str) -> None:
    options = offered(guide, opening, slot)
    assert there in options
    assert not_there not in options


@pytest.mark.parametrize("opening", ["M10 bolts", "M8 bolts by the sea", "M6 screws indoors", "1/2 bolts, road salt"])
def test_the_question_of_danger_has_two_to_four_options(guide: Guide, opening: str) -> None:
    options = offered(guide, opening, "duty")
    assert 2 <= len(options) <= 4
    assert options[0] == "none"


def test_a_danger_that_is_not_offered_can_be_said_in_words(guide: Guide) -> None:
    state, _ = guide.step(State(), "M10 8.8 bolts indoors, dry")
    state = state._replace(asked="ask-duty")
    state, _ = guide.step(state, "it holds the brake caliper of a car")
    assert "vehicle-safety" in state.enquiry.said["duty"].value


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ("M12 8.8 bolts on the coast", "M12; class 8.8; on the coast"),
        ("zinc plated M8 indoors, dry", "M8; electroplated zinc wanted; indoors, dry"),
        ("bolts on the tow hitch, M12", "M12; for tow hitch; people depend on it (a vehicle's safety)"),
        ("my M10 bolts have red rust, outdoors", "red rust"),
    ],
)
def test_what_was_told_is_said_back_as_a_person_would(guide: Guide, told: str, said: str) -> None:
    _, replies = guide.step(State(), told)
    echo = texts(replies)
    assert said in echo
    assert "'" not in echo.split("\n")[0].replace("vehicle's", "").replace("person's", "")


@pytest.mark.parametrize(
    ("first", "then", "places"),
    [
        ("M10 8.8 bolts indoors, dry", "outdoors", ["outdoor"]),
        ("M10 8.8 bolts indoors, dry", "outdoors too", ["indoor-dry", "outdoor"]),
        ("M10 8.8 bolts on the coast", "salted roads", ["coastal", "road-salt"]),
    ],
)
def test_a_later_place_replaces_one_that_it_rules_out(guide: Guide, first: str, then: str, places: list[str]) -> None:
    state, _ = guide.step(State(), first)
    state, _ = guide.step(state._replace(asked=""), then)
    assert state.enquiry.said["environment"].value == places


def test_who_decides_is_said_on_the_turn_where_it_is_known_and_once(guide: Guide) -> None:
    # EN 1090-2, RCSC: a structural assembly is approved as a set
    state, replies = guide.step(State(), "structural bolts for a steel frame, M20")
    stop = next(r for r in replies if isinstance(r, Stop))
    assert "engineer" in " ".join(reply_lines(guide.engine, stop, 80))
    _, later = guide.step(state, "outdoors in town")
    assert not [r for r in later if isinstance(r, Stop) and r.because]


def test_one_stop_is_not_said_twice_in_a_turn(guide: Guide) -> None:
    # ASTM F1941/F1941M-15: no electroplate above 39 HRC
    _, replies = guide.step(State(), "can 12.9 be zinc plated")
    assert [r for r in replies if isinstance(r, Answered) and r.answer.stop]
    assert not [r for r in replies if isinstance(r, Stop)]


def test_more_is_shown_once(guide: Guide) -> None:
    state, _ = guide.step(State(), "M10 8.8 bolts for a gate in town")
    state, first = guide.step(state, "more")
    _, again = guide.step(state, "more")
    assert len(reply_lines(guide.engine, first[0], 80)) > 5
    assert texts(again) == guide.base.phrase("look-no-more")
