"""Laws of any talk: what is shown fits the window, the order of telling does not matter, nothing is asked twice."""

from __future__ import annotations

import itertools
import unicodedata

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.dialogue.conversation import Guide
from advisor.dialogue.state import Advise, Ask, Reply, Say, State
from advisor.reasoning.advice import advise
from advisor.views.layout import WIDEST, cells, wrap
from advisor.views.replies import reply_lines

WIDTHS = (40, 80, 200)
TALKS = (
    (
        "M12 10.9 bolts for a trailer, gritted roads",
        "none",
        "by hand",
        "why?",
        "why not zinc plated?",
        "more",
        "sources",
    ),
    ("stainless for a pool", "what if it were by the sea?", "compare A2 and A4", "no idea", "no idea", "sources"),
    ("M16 eye bolts to lift an engine, zinc plated", "why not hot dip galvanized?", "sources", "help"),
    ("M6 screws", "what does Fe/Zn 8/An/T0 mean?", "torque for M12 8.8 zinc flake?", "what is zinc-nickel?", "hello"),
    ("A325 7/8 bolts for a bridge", "structural", "who won the match", "change the size", "back", "more"),
    ("12.9 cap screws, 480 hours salt spray, black, RoHS", "no", "2", "2", "2", "2", "sources"),
)


def turns(guide: Guide, lines: tuple[str, ...]) -> list[tuple[State, tuple[Reply, ...]]]:
    out = [guide.start()]
    for line in lines:
        out.append(guide.step(out[-1][0], line))
    return out


def fits(guide: Guide, replies: tuple[Reply, ...]) -> None:
    for width in WIDTHS:
        for r in replies:
            for line in reply_lines(guide.engine, r, width):
                assert cells(line) <= max(width, 40), (width, line)
                assert not [c for c in line if unicodedata.category(c) in ("Cc", "Cf", "Cs", "Co", "Cn")], ascii(line)


@pytest.mark.parametrize("lines", TALKS, ids=lambda t: t[0])
def test_every_reply_fits_a_narrow_and_a_wide_window(guide: Guide, lines: tuple[str, ...]) -> None:
    for _, replies in turns(guide, lines):
        fits(guide, replies)


@pytest.mark.parametrize(
    "strange", ["锌镀层" * 60, "é" * 90, "e\u0301" * 90, "x" * 300, "\x1b[31mred\x07", "\u202egnihton", "🔩" * 50]
)
def test_strange_words_cannot_break_the_window(guide: Guide, strange: str) -> None:
    for line in (strange, f"M12 8.8 bolts {strange} outdoors", f"'{strange}'"):
        _, replies = guide.step(State(), line)
        assert replies
        fits(guide, replies)


@pytest.mark.parametrize("width", [20, 40, 80])
@pytest.mark.parametrize("word", ["锌镀层" * 60, "e\u0301" * 90, "x" * 300, "a" + "锌" * 31, "镀 " + "x" * 72])
def test_a_word_too_long_for_a_line_is_cut_by_columns_and_loses_nothing(word: str, width: int) -> None:
    lines = wrap(word, width, "  ", "- ")
    assert all(cells(x) <= width for x in lines)
    assert all(x.strip() for x in lines)
    assert "".join("".join(lines).removeprefix("- ").split()) == "".join(word.split())


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.text(max_size=80))
def test_any_text_is_answered_within_the_window(guide: Guide, text: str) -> None:
    for line in (text, f"M12 8.8 bolts outdoors {text}"):
        _, replies = guide.step(State(), line)
        fits(guide, replies)


def test_the_widest_line_stays_readable(guide: Guide) -> None:
    for _, replies in turns(guide, TALKS[0]):
        for r in replies:
            assert all(cells(x) <= WIDEST for x in reply_lines(guide.engine, r, 200))


@pytest.mark.parametrize("lines", TALKS, ids=lambda t: t[0])
def test_advice_always_ends_with_whose_decision_it_is(guide: Guide, lines: tuple[str, ...]) -> None:
    for _, replies in turns(guide, lines):
        for r in replies:
            if isinstance(r, Advise):
                closing = " ".join(reply_lines(guide.engine, r, 80)[-7:])
                assert "qualified engineer" in closing
                assert "local" in closing
                assert "codes" in closing
                assert "law in force" in closing


def outcome(guide: Guide, state: State) -> object:
    a = advise(guide.engine, state.enquiry)
    return (
        [r.ranked.finish for r in a.recommended],
        sorted((c.topic, c.severity) for c in a.cautions),
        a.refer,
        sorted(h.family for h in a.conditional),
    )


@pytest.mark.parametrize(
    "facts",
    [
        ("M12", "10.9", "by the sea", "nobody is hurt if it breaks"),
        ("socket cap screws", "12.9", "indoors dry", "RoHS"),
        ("8.8", "pool hall", "structural steel", "25 years"),
    ],
)
def test_the_order_of_telling_does_not_matter(guide: Guide, facts: tuple[str, ...]) -> None:
    """One fact a turn in any order, or all in one breath: the same finishes, cautions and referral."""
    together = outcome(guide, turns(guide, (", ".join(facts),))[-1][0])
    for order in itertools.permutations(facts):
        assert outcome(guide, turns(guide, order)[-1][0]) == together, order


@pytest.mark.parametrize(
    ("wrong", "correction", "right"),
    [
        ("M12 8.8 bolts by the sea", "no sorry, 12.9", "M12 12.9 bolts by the sea"),
        ("M12 10.9 bolts for a fence", "M10, not M12", "M10 10.9 bolts for a fence"),
        ("12.9 cap screws indoors dry", "actually 8.8", "8.8 cap screws indoors dry"),
        ("M8 8.8 bolts, 10 years by the sea", "make that 25 years", "M8 8.8 bolts, 25 years by the sea"),
    ],
)
def test_a_fact_put_right_is_as_good_as_told_right_at_once(
    guide: Guide, wrong: str, correction: str, right: str
) -> None:
    put_right = turns(guide, (wrong, correction))[-1][0]
    at_once = turns(guide, (right,))[-1][0]
    assert {k: v.value for k, v in put_right.enquiry.said.items()} == {
        k: v.value for k, v in at_once.enquiry.said.items()
    }
    assert outcome(guide, put_right) == outcome(guide, at_once)
    assert put_right.enquiry != turns(guide, (wrong,))[-1][0].enquiry


@pytest.mark.parametrize("answer", ["no idea", "1", "2", "3"])
@pytest.mark.parametrize("opening", ["some bolts", "M12 10.9 bolts outside", "screws for a pool", "zinc plated A325"])
def test_no_question_is_asked_twice(guide: Guide, opening: str, answer: str) -> None:
    state, replies = guide.step(State(), opening)
    asked: list[str] = []
    for _ in range(8):
        asked += [r.decision for r in replies if isinstance(r, Ask)]
        if any(isinstance(r, Advise) for r in replies):
            break
        before = state.asked
        state, replies = guide.step(state, answer)
        if state.asked == before and state.asked:
            # the answer was none (a number beyond the list, a bare number of years): the question stands
            break
    assert len(asked) == len(set(asked)), asked


def test_words_that_were_not_used_are_shown_back(guide: Guide) -> None:
    _, replies = guide.step(State(), "M12 8.8 bolts for the flurbling zomblator outdoors")
    unused = [r.text for r in replies if isinstance(r, Say) and "flurbling" in r.text]
    assert unused
    assert "zomblator" in unused[0]
    assert "outdoors" not in unused[0].split("\n")[-1]


@pytest.mark.parametrize(
    "line", ["why not zinc plated?", "what if it were 12.9?", "compare A2 and A4", "help", "thanks"]
)
def test_asking_changes_nothing_that_was_told(guide: Guide, line: str) -> None:
    before, _ = guide.step(State(), "M12 8.8 bolts for a field gate")
    after, replies = guide.step(before, line)
    assert replies
    assert after.enquiry == before.enquiry
    assert after.asked == before.asked


@pytest.mark.parametrize("lines", TALKS, ids=lambda t: t[0])
def test_a_talk_told_again_ends_in_the_same_place(guide: Guide, lines: tuple[str, ...]) -> None:
    """A resumed talk is the old lines told again to another guide: it must stand where the first one stood."""
    fresh = Guide(guide.engine, guide.vocabulary)
    assert turns(fresh, lines) == turns(guide, lines)
