"""Whole turns of talk, as pure function: what is said, asked, corrected, taken back and explained."""

from __future__ import annotations

import pytest

from advisor.dialogue.conversation import MOST_QUESTIONS, Guide
from advisor.dialogue.state import Advise, Ask, Compare, Compute, Explain, Reply, Save, Say, Show, State, WhatIf
from advisor.views.one_look import warned_of


def talk(guide: Guide, *lines: str) -> tuple[State, tuple[Reply, ...]]:
    """The state and the last replies after these lines."""
    state, replies = guide.start()
    for line in lines:
        state, replies = guide.step(state, line)
    return state, replies


def told(state: State) -> dict[str, object]:
    return {slot: said.value for slot, said in state.enquiry.said.items()}


def sentences(replies: tuple[Reply, ...]) -> str:
    return " ".join(r.text for r in replies if isinstance(r, (Say, Ask)))


def one(replies: tuple[Reply, ...], kind: type) -> object:
    found = [r for r in replies if isinstance(r, kind)]
    assert len(found) == 1, replies
    return found[0]


def test_what_was_understood_is_said_back(guide: Guide) -> None:
    state, replies = talk(guide, "M12 8.8 bolts outside in the country")
    assert told(state) == {"size": "M12", "strength": "8.8", "environment": ["outdoor-rural"]}
    assert "M12" in sentences(replies)
    assert "8.8" in sentences(replies)


def test_safety_is_asked_before_anything_else(guide: Guide) -> None:
    state, replies = talk(guide, "M12 8.8 bolts outside in the country")
    assert state.asked == "ask-duty"
    assert isinstance(one(replies, Ask), Ask)


@pytest.mark.parametrize("line", ["1", "1.", "no, nobody is hurt if it breaks", "none", "no"])
def test_an_option_is_chosen_by_number_or_words(guide: Guide, line: str) -> None:
    state, _ = talk(guide, "M12 8.8 bolts outside in the country", line)
    assert told(state)["duty"] == []


def test_a_number_outside_the_list_is_no_answer(guide: Guide) -> None:
    state, _ = talk(guide, "M12 8.8 bolts outside in the country", "99")
    assert "duty" not in told(state)


def test_a_fact_instead_of_an_answer_is_taken_as_the_fact(guide: Guide) -> None:
    state, _ = talk(guide, "M12 bolts outside in the country", "8.8")
    assert told(state)["strength"] == "8.8"
    assert "duty" not in told(state)


@pytest.mark.parametrize("line", ["no, 12.9", "sorry, I meant 12.9", "actually 12.9", "make that 12.9"])
def test_a_correction_replaces_and_says_so(guide: Guide, line: str) -> None:
    state, replies = talk(guide, "M12 8.8 bolts outside in the country", "none", line)
    assert told(state)["strength"] == "12.9"
    assert "was 8.8" in sentences(replies)


def test_a_correction_of_the_strength_changes_the_advice(guide: Guide) -> None:
    # ISO 898-1: 12.9 is 39 to 44 HRC, above the 39 HRC of ASTM F1941-15: no electroplate however cheap it would be
    line = "M8 screws zinc plated, indoors dry, nobody is hurt, 1 year, cheapest"
    state, _ = talk(guide, line, "8.8")
    before = guide.engine.judge(state.enquiry)
    state, _ = guide.step(state, "no, 12.9")
    after = guide.engine.judge(state.enquiry)
    assert "zinc-electroplate" in {r.family for r in before.ranked}
    assert "zinc-electroplate" not in {r.family for r in after.ranked}


def test_back_undoes_one_turn(guide: Guide) -> None:
    first, _ = talk(guide, "M12 8.8 bolts outside in the country")
    state, replies = talk(guide, "M12 8.8 bolts outside in the country", "none", "back")
    assert told(state) == told(first)
    assert state.asked == first.asked
    assert "open again" in sentences(replies)


def test_back_over_a_correction_names_the_old_value(guide: Guide) -> None:
    state, replies = talk(guide, "M12 8.8 bolts outside in the country", "no, 12.9", "back")
    assert told(state)["strength"] == "8.8"
    assert "8.8 again" in sentences(replies)


def test_back_at_the_start_says_so(guide: Guide) -> None:
    state, replies = talk(guide, "back")
    assert state == State()
    assert "nothing to go back" in sentences(replies)


def test_start_again_forgets_everything(guide: Guide) -> None:
    state, _ = talk(guide, "M12 8.8 bolts outside in the country", "none", "start again")
    assert state == State()


def test_not_knowing_a_safety_matter_is_the_worst_case(guide: Guide) -> None:
    state, replies = talk(guide, "M12 8.8 bolts outside in the country", "I don't know")
    assert told(state)["duty"] == "unknown"
    assert "worst" in sentences(replies).lower()
    assert state.asked != "ask-duty"


def test_a_question_back_leaves_the_question_open(guide: Guide) -> None:
    state, replies = talk(guide, "M12 8.8 bolts outside in the country", "torque for M12 8.8 zinc flake?")
    assert isinstance(one(replies, Compute), Compute)
    assert state.asked == "ask-duty"
    state, replies = guide.step(state, "what does Fe/Zn 8/An/T0 mean?")
    assert isinstance(one(replies, Compute), Compute)
    assert state.asked == "ask-duty"


def test_why_is_answered_with_what_the_answers_change(guide: Guide) -> None:
    state, replies = talk(guide, "M12 8.8 bolts outside in the country", "why do you ask?")
    assert "first choice would be" in sentences(replies)
    assert isinstance(replies[-1], Ask)
    assert state.asked == "ask-duty"


def test_why_not_names_reasons_and_remedies(guide: Guide) -> None:
    _, replies = talk(guide, "M12 12.9 cap screws outdoors, nobody is hurt", "why not zinc plated?")
    explained = one(replies, Explain)
    assert isinstance(explained, Explain)
    assert explained.why.family == "zinc-electroplate"
    assert explained.why.state == "out"
    assert explained.why.reasons


def test_what_if_leaves_the_enquiry_as_it_was(guide: Guide) -> None:
    before, _ = talk(guide, "M12 8.8 bolts outside in the country", "none")
    after, replies = guide.step(before, "what if it were by the sea?")
    assert isinstance(one(replies, WhatIf), WhatIf)
    assert after.enquiry == before.enquiry


def test_two_finishes_side_by_side(guide: Guide) -> None:
    _, replies = talk(guide, "M12 8.8 bolts outside in the country", "compare zinc flake and hot dip")
    compared = one(replies, Compare)
    assert isinstance(compared, Compare)
    assert len(compared.sides) == 2


@pytest.mark.parametrize("line", ["either 8.8 or 10.9 bolts outside", "bolts for a 19 mm spanner, indoors"])
def test_a_doubt_is_asked_back_and_settled(guide: Guide, line: str) -> None:
    state, replies = talk(guide, line)
    doubt = state.doubts[0]
    assert doubt.words in sentences(replies)
    state, _ = guide.step(state, "yes" if len(doubt.candidates) == 1 else "1")
    assert doubt not in state.doubts
    assert doubt.slot in told(state)


@pytest.mark.parametrize("line", ["who won the match", "tell me a joke", "you are stupid", "asdf qwer zxcv"])
def test_idle_words_change_nothing_and_the_question_stays(guide: Guide, line: str) -> None:
    before, _ = talk(guide, "M12 8.8 bolts outside in the country")
    after, replies = guide.step(before, line)
    assert told(after) == told(before)
    assert after.asked == before.asked
    assert replies


def test_a_look_up_shows_a_card(guide: Guide) -> None:
    _, replies = talk(guide, "what is zinc-nickel?")
    assert isinstance(one(replies, Show), Show)


def test_lifting_stops_at_once(guide: Guide) -> None:
    state, replies = talk(guide, "M16 eye bolts to lift an engine, zinc plated")
    advised = one(replies, Advise)
    assert isinstance(advised, Advise)
    assert advised.advice.refer == "stop"
    assert not advised.advice.recommended
    assert not state.asked


def test_saving_needs_something_to_save(guide: Guide) -> None:
    _, replies = talk(guide, "save")
    assert not any(isinstance(r, Save) for r in replies)
    _, replies = talk(guide, "M12 8.8 bolts outside in the country", "save")
    assert isinstance(one(replies, Save), Save)


@pytest.mark.parametrize("line", ["exit", "quit", "bye", "goodbye"])
def test_leaving(guide: Guide, line: str) -> None:
    state, _ = talk(guide, "M12 8.8 bolts outside in the country", line)
    assert state.done


def test_the_questions_end_even_if_nothing_is_known(guide: Guide) -> None:
    state, replies = talk(guide, "some bolts outside")
    for _ in range(MOST_QUESTIONS + 1):
        if any(isinstance(r, Advise) for r in replies):
            break
        state, replies = guide.step(state, "no idea")
    advised = one(replies, Advise)
    assert isinstance(advised, Advise)
    assert advised.advice.cautions


def test_a_line_beyond_all_measure_is_refused(guide: Guide) -> None:
    before, _ = talk(guide, "M12 8.8 bolts outside in the country")
    after, replies = guide.step(before, "bolt " * 20_000)
    assert after.enquiry == before.enquiry
    assert "too long" in sentences(replies) or "2000" in sentences(replies)


JETTY = "200 M12 by 80 bolts 8.8 for a boat jetty, galvanised steel frame, on the sea front"


def test_another_one_with_facts_begins_anew(guide: Guide) -> None:
    state, _ = talk(guide, JETTY, "another one: M10 screws indoors")
    assert {"size", "environment"} <= told(state).keys()
    assert told(state)["size"] == "M10"
    assert told(state)["environment"] == ["indoor-dry"]
    assert "strength" not in told(state)


def test_more_of_the_same_fastener_does_not_begin_anew(guide: Guide) -> None:
    state, _ = talk(guide, JETTY, "next to aluminium, M16")
    assert told(state)["strength"] == "8.8"
    assert told(state)["size"] == "M16"


def test_a_question_that_changes_nothing_ends_with_its_answer(guide: Guide) -> None:
    _, replies = talk(guide, JETTY, "can I use stainless instead?")
    assert [type(r).__name__ for r in replies] == ["Answered"]


def test_a_place_told_in_trouble_tells_what_to_order_next(guide: Guide) -> None:
    _, replies = talk(guide, "his zinc plated bolts on the gate rusted after one winter", "outside near the sea")
    assert "ISO 10684" in sentences(replies)


def test_the_loss_of_strength_stands_before_stains(guide: Guide) -> None:
    """A2-70 yields at 450 MPa (ISO 3506-1:2020), class 8.8 at 640 (ISO 898-1:2013): said before how it looks."""
    _, replies = talk(guide, JETTY)
    advice = next(r.advice for r in replies if isinstance(r, Advise))
    topics = [c.topic for c in warned_of(guide.engine, advice)]
    assert "tea-staining" in topics
    assert topics.index("strength-loss-stainless") < topics.index("tea-staining")


@pytest.mark.parametrize("code", ["tZn 8.8", "ISO 4042/Zn8/Cn/T2", "A2L"])
def test_decode_tells_what_a_code_means_and_nothing_of_the_fastener(guide: Guide, code: str) -> None:
    before, _ = talk(guide, "M12 8.8 bolts outside in the country")
    state, replies = talk(guide, "M12 8.8 bolts outside in the country", f"decode {code}")
    assert told(state) == told(before)
    assert state.asked == before.asked
    assert isinstance(replies[0], Compute)
    assert replies[0].calculation.command == "decode"
