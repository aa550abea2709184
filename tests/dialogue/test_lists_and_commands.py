"""Answers to a list, commands before answers, STOP on its turn, a "no" that overrules no danger."""

from __future__ import annotations

import pytest

from advisor.dialogue.conversation import Guide
from advisor.dialogue.state import Advise, Amend, Ask, Replies, Say, State, Stop
from advisor.views.replies import reply_lines


def asked(guide: Guide, slot: str, opening: str = "M10 8.8 bolts outdoors in town") -> State:
    """A talk that stands at the question for a slot."""
    d = next(d for d in guide.base.decisions.values() if d.slot == slot)
    state, _ = guide.step(State(), opening)
    return state._replace(asked=d.id, enquiry=state.enquiry.without(slot))


def sentences(replies: Replies) -> str:
    return " ".join(r.text for r in replies if isinstance(r, (Say, Ask)))


@pytest.mark.parametrize(
    ("slot", "said", "value"),
    [
        # a number in the range of the list is its option, also where the answer itself is a number
        ("size", "4", "M10"),
        ("size", "the fourth", "M10"),
        ("size", "number 4", "M10"),
        ("salt_spray_hours", "3", 240),
        ("life_years", "3", 10),
        ("life_years", "3.", 10),
        ("environment", "1 and 5", ["indoor-dry", "coastal"]),
        ("environment", "the first and the fifth", ["indoor-dry", "coastal"]),
        ("duty", "none of these", []),
        # its own words or a number that no list is so long for say otherwise
        ("size", "M4", "M4"),
        ("life_years", "4 years", 4),
        ("life_years", "15", 15),
        ("salt_spray_hours", "720", 720),
    ],
)
def test_an_answer_to_a_list(guide: Guide, slot: str, said: str, value: object) -> None:
    state, _ = guide.step(asked(guide, slot), said)
    assert state.enquiry.said[slot].value == value


@pytest.mark.parametrize(
    ("slot", "said"), [("duty", "0"), ("duty", "77"), ("size", "10"), ("environment", "12"), ("life_years", "8")]
)
def test_a_number_outside_the_list_is_refused_with_the_range(guide: Guide, slot: str, said: str) -> None:
    before = asked(guide, slot)
    state, replies = guide.step(before, said)
    assert slot not in state.enquiry.said
    assert state.asked == before.asked
    assert "1 to" in sentences(replies)


@pytest.mark.parametrize("command", ["more", "help", "why", "sources", "order", "shorter", "again", "?"])
def test_commands_beat_answers(guide: Guide, command: str) -> None:
    # "more" must not become "more than 1 km from the sea"
    before, _ = guide.step(State(), "M10 8.8 hot dip bolts by the sea")
    assert before.asked
    after, replies = guide.step(before, command)
    assert replies
    assert after.enquiry == before.enquiry


def test_stop_comes_on_the_turn_where_its_facts_are_complete(guide: Guide) -> None:
    # ASTM F1941/F1941M-15: above 39 HRC no electroplate; asked before the place is known, said at once
    state, replies = guide.step(State(), "zinc plated 12.9 socket screws M10")
    assert state.asked
    stops = [r for r in replies if isinstance(r, Stop)]
    assert len(stops) == 1
    assert reply_lines(guide.engine, stops[0], 80)[0].startswith("STOP")
    # and not again on the next turn
    _, replies = guide.step(state, "indoors, dry")
    told = {c.id for c in stops[0].cautions}
    assert not [c for r in replies if isinstance(r, Stop) for c in r.cautions if c.id in told]


@pytest.mark.parametrize(
    "opening",
    ["bolts for trailer tow hitch M12 10.9 zinc plated, salted roads", "playground swing bolts M12, outdoors"],
)
def test_no_does_not_overrule_a_danger_that_was_told(guide: Guide, opening: str) -> None:
    before, _ = guide.step(State(), opening)
    assert guide.base.decisions.get(before.asked) is None or guide.base.decisions[before.asked].slot != "duty"
    standing = before._replace(asked="ask-duty", advised=False)
    after, replies = guide.step(standing, "no")
    duty = after.enquiry.said.get("duty")
    assert duty is None or duty.value != []
    assert "people depend on it" in sentences(replies)


def test_the_place_is_asked_first(guide: Guide) -> None:
    state, replies = guide.step(State(), "M10 8.8 bolts, 200 pieces")
    assert guide.base.decisions[state.asked].slot == "environment"
    ask = next(r for r in replies if isinstance(r, Ask))
    assert len(ask.options) <= 9
    assert len(reply_lines(guide.engine, ask, 80)) <= 12


def test_the_same_list_is_not_printed_twice_in_a_row(guide: Guide) -> None:
    state, _ = guide.step(State(), "M10 8.8 bolts, 200 pieces")
    after, replies = guide.step(state, "asdf qwer")
    assert after.asked == state.asked
    assert not [r for r in replies if isinstance(r, Ask)]
    assert guide.base.decisions[state.asked].text in sentences(replies)


def test_help_says_how_to_find_the_answer_out(guide: Guide) -> None:
    state, _ = guide.step(State(), "M10 8.8 bolts, 200 pieces")
    after, replies = guide.step(state, "help")
    assert after == state
    assert guide.base.decisions[state.asked].help in sentences(replies)


def test_a_small_change_shows_what_changed(guide: Guide) -> None:
    state, replies = guide.step(State(), "M10 8.8 bolts for a gate in town, nobody is hurt")
    for _ in range(4):
        if any(isinstance(r, Advise) for r in replies):
            break
        state, replies = guide.step(state, "dont know")
    assert state.advised
    after, replies = guide.step(state, "M12")
    changed = [r for r in replies if isinstance(r, Amend)]
    assert len(changed) == 1
    lines = reply_lines(guide.engine, changed[0], 80)
    assert len(lines) <= 12
    assert "qualified engineer" in " ".join(lines[-2:])
    assert after.enquiry.said["size"].value == "M12"


def test_a_bare_no_to_how_many_is_nothing_in_particular(guide: Guide) -> None:
    before = asked(guide, "life_years")
    after, replies = guide.step(before, "no")
    assert after.asked != before.asked
    assert "could not take" not in sentences(replies)
