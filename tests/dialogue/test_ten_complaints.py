"""Ten complaints from hello to what to do: at most two questions, then causes, now, next; what must never be said."""

from __future__ import annotations

import pytest

from advisor.dialogue.conversation import Guide
from advisor.dialogue.state import Advise, Ask, Diagnose, Replies, State
from advisor.graph.base import Base
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.engine import Engine
from advisor.views.replies import reply_lines


@pytest.fixture(scope="module")
def guide(base: Base) -> Guide:
    return Guide(Engine(base), Vocabulary.of(base))


def talk(guide: Guide, *said: str) -> tuple[State, list[Replies]]:
    state, out = State(), []
    for line in said:
        state, replies = guide.step(state, line)
        out.append(replies)
    return state, out


def text_of(guide: Guide, replies: Replies) -> str:
    return " ".join(" ".join(" ".join(reply_lines(guide.engine, r, 80)) for r in replies).split())


TALKS = [
    # what was said, in turn; a cause that must stand among those named; where it is told
    (
        ("our zinc plated bolts went rusty after four months on a balcony", "about 2 km from the sea", "don't know"),
        "too thin for the place",
        "ISO 9223 and ISO 9224: zinc loss by category",
    ),
    (
        ("nut won't go on the galvanized bolt", "by hand", "nuts are ordinary zinc ones"),
        "Ordinary nut on a hot-dipped bolt",
        "ISO 10684: nuts tapped oversize",
    ),
    (("the stainless bolts have gone brown", "near the beach", "A2"), "Tea staining", "EN 1993-1-4 annex A"),
    (
        ("white powder all over the new galvanised bolts when we opened the box", "came by ship", "the whole lot"),
        "Wet storage stain",
        "ISO 1461: appearance",
    ),
    (("stainless nut seized on the bolt halfway", "with an impact gun"), "Galling", "ISO 3506-1 annex on galling"),
    (
        ("half of the bolts stripped at the torque we always used", "new supplier, flake now", "power tool"),
        "Overtightened",
        "VDI 2230: torque and friction",
    ),
    (
        ("the gauge rejects the plated bolts", "M10 zinc 12 µm"),
        "Coat thicker than the thread has room",
        "ISO 4042: coat times four against the allowance",
    ),
    (
        ("bolts keep coming loose on a vibrating screen", "zinc plated with spring washers", "nothing"),
        "Joint slips sideways",
        "Junker 1969: transverse vibration",
    ),
    (
        ("the colour of the new lot is different from the last one", "yellow zinc", "the whole lot"),
        "",
        "ISO 4042: colour is no measure of quality",
    ),
    (("the zinc is peeling off the heads", "don't know", "the whole lot"), "", "ISO 4042: adhesion"),
]


@pytest.mark.parametrize(("said", "cause", "source"), TALKS, ids=lambda x: x[0][:40] if isinstance(x, tuple) else "")
def test_a_complaint_ends_with_what_to_do(guide: Guide, said: tuple[str, ...], cause: str, source: str) -> None:
    _, replies = talk(guide, *said)
    everything = " ".join(text_of(guide, r) for r in replies)
    assert any(isinstance(r, Diagnose) for r in replies[0]), "help comes before questions"
    assert not any(isinstance(r, Advise) for turn in replies for r in turn), "the talk stays with the trouble"
    assert sum(isinstance(r, Ask) for turn in replies for r in turn) <= 2
    for label in ("Now", "Likely", "Next"):
        assert label in everything
    assert cause in everything, source


@pytest.mark.parametrize(
    "said",
    [
        ("three of our M12 12.9 bolts snapped overnight, heads just lying on the floor", "black", "the day after"),
        ("the bolt broke the moment we tightened it, two days later", "zinc plated"),
        ("a high tensile bolt let go the next morning and nearly hit my mate", "10.9"),
    ],
)
def test_a_delayed_break_stops_everything_before_any_question(guide: Guide, said: tuple[str, ...]) -> None:
    """ISO/TR 20491 and ISO 4042: a break under load hours to weeks after tightening is taken for hydrogen."""
    _, replies = talk(guide, *said)
    first = [r for r in replies[0] if isinstance(r, (Diagnose, Ask))]
    assert isinstance(first[0], Diagnose)
    text = text_of(guide, replies[0])
    for word in ("STOP", "People clear", "Quarantine", "laboratory", "engineer"):
        assert word in text
    assert not any(isinstance(r, Advise) for turn in replies for r in turn)


@pytest.mark.parametrize("line", ["something is wrong with the bolts", "this is a disgrace, your bolts are rubbish"])
def test_a_complaint_without_a_fact_gets_the_question_that_matters(guide: Guide, line: str) -> None:
    _, replies = talk(guide, line)
    assert any(isinstance(r, Ask) for r in replies[0])
    assert "seriously" in text_of(guide, replies[0])


@pytest.mark.parametrize(
    ("line", "named"),
    [
        ("the bolt broke the moment we tightened it, two days later", "the worse of the two"),
        ("brand new unused bolts rusted after 5 years outside", "were they ever fitted"),
        ("bolts rusted red but there is no rust at all", "look again"),
    ],
)
def test_contradictory_facts_are_named(guide: Guide, line: str, named: str) -> None:
    _, replies = talk(guide, line)
    assert named in text_of(guide, replies[0])


@pytest.mark.parametrize(
    "line",
    [
        "I want my money back, the bolts rusted",
        "who pays for the rusted bolts",
        "we will sue you, the bolts went rusty",
    ],
)
def test_money_and_blame_are_declined_in_a_sentence_and_the_help_stays(guide: Guide, line: str) -> None:
    _, replies = talk(guide, line)
    text = text_of(guide, replies[0])
    assert "contract and the law" in text
    assert "Likely" in text
    assert any(isinstance(r, Diagnose) for r in replies[0])


def test_money_asked_for_later_leaves_the_talk_where_it_stands(guide: Guide) -> None:
    before, _ = talk(guide, "our zinc plated bolts went rusty after four months")
    after, replies = guide.step(before, "I want my money back")
    assert "contract and the law" in text_of(guide, replies)
    assert (after.enquiry, after.asked, after.troubled) == (before.enquiry, before.asked, True)
