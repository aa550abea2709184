"""What must never change a reading: case, blanks, marks, order of independent facts; and what any text must survive."""

from __future__ import annotations

import random
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.language.line import MAX_CHARACTERS
from advisor.language.reading import read
from advisor.language.vocabulary import Vocabulary
from tests.language.scoring import cases

QUIET = settings(
    max_examples=150, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
FACTS = (
    "M10",
    "3/8-16",
    "#10-32",
    "8.8",
    "A2-70",
    "grade 5",
    "hex bolts",
    "coach screws",
    "outside",
    "swimming pool",
    "250 pcs",
    "needs to last 20 years",
    "cadmium free",
    "black zinc",
    "hot dip galvanised",
    "80 C",
    "rohs",
    "we paint them afterwards",
)
WORDS = (
    "galvanised",
    "stainless",
    "swimming",
    "coastal",
    "outdoors",
    "cadmium",
    "socket cap screws",
    "carriage bolts",
    "lifting",
    "pressure vessel",
    "aluminium",
    "structural",
    "sherardised",
    "phosphate",
    "cowshed",
    "underground",
    "drinking water",
)


def _values(text: str, vocabulary: Vocabulary, answering: str | None = None) -> dict[str, Any]:
    return {k: s.value for k, s in read(text, vocabulary, answering).understood.items()}


def _sorted(values: dict[str, Any]) -> dict[str, Any]:
    return {k: sorted(map(str, v)) if isinstance(v, list) else v for k, v in values.items()}


def test_capital_letters_change_nothing_but_thread_classes(vocabulary: Vocabulary) -> None:
    for case in cases():
        text = case["text"]
        typed = _values(text, vocabulary, case.get("answering"))
        shouted = _values("".join(c.upper() if c.isascii() else c for c in text), vocabulary, case.get("answering"))
        for values in (typed, shouted):
            values.pop("thread_class", None)
            values.pop("callout", None)
        assert _sorted(shouted) == _sorted(typed), text


def test_more_blanks_change_nothing(vocabulary: Vocabulary) -> None:
    for case in cases():
        text = case["text"]
        spaced = "  " + text.replace(" ", "   ") + " \t"
        assert _values(spaced, vocabulary, case.get("answering")) == _values(text, vocabulary, case.get("answering")), (
            text
        )


def test_a_closing_mark_changes_nothing(vocabulary: Vocabulary) -> None:
    for case in cases():
        text = case["text"].rstrip(".?! ")
        plain = _values(text, vocabulary, case.get("answering"))
        for mark in (".", "!", "?!"):
            marked = _values(text + mark, vocabulary, case.get("answering"))
            plain.pop("callout", None)
            marked.pop("callout", None)
            assert marked == plain, text


@QUIET
@given(st.lists(st.sampled_from(FACTS), min_size=2, max_size=5, unique=True), st.randoms(use_true_random=False))
def test_the_order_of_independent_facts_changes_nothing(
    vocabulary: Vocabulary, facts: list[str], shuffler: random.Random
) -> None:
    sizes = [f for f in facts if f in ("M10", "3/8-16", "#10-32")]
    grades = [f for f in facts if f in ("8.8", "A2-70", "grade 5")]
    parts = [f for f in facts if f in ("hex bolts", "coach screws")]
    for group in (sizes, grades, parts):
        for extra in group[1:]:
            facts.remove(extra)
    other = list(facts)
    shuffler.shuffle(other)
    assert _sorted(_values(", ".join(facts), vocabulary)) == _sorted(_values(", ".join(other), vocabulary))


@QUIET
@given(st.sampled_from(WORDS), st.data())
def test_one_wrong_letter_gives_the_same_or_a_question_but_never_another_meaning(
    vocabulary: Vocabulary, phrase: str, data: st.DataObject
) -> None:
    at = data.draw(st.integers(1, len(phrase) - 1))
    kind = data.draw(st.sampled_from(("drop", "double", "swap", "replace")))
    letter = data.draw(st.sampled_from("abcdefghijklmnopqrstuvwxyz"))
    wrong = {
        "drop": phrase[:at] + phrase[at + 1 :],
        "double": phrase[:at] + phrase[at - 1] + phrase[at:],
        "swap": phrase[: at - 1] + phrase[at] + phrase[at - 1] + phrase[at + 1 :],
        "replace": phrase[:at] + letter + phrase[at + 1 :],
    }[kind]
    right = _sorted(_values(phrase, vocabulary))
    got = _sorted(_values(wrong, vocabulary))
    for slot, value in got.items():
        if slot in right:
            assert isinstance(value, str) or set(value) <= set(right[slot]) or set(right[slot]) <= set(value), (
                wrong,
                got,
            )
        else:
            raise AssertionError(f"{wrong!r} was read as {got}, {phrase!r} is {right}")


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(max_size=300), st.sampled_from((None, "environment", "strength", "quantity", "size", "mating", "duty")))
def test_any_text_is_survived(vocabulary: Vocabulary, text: str, answering: str | None) -> None:
    reading = read(text, vocabulary, answering)
    for words in (*reading.unused, *(s.words for s in reading.understood.values())):
        assert all(c.isprintable() or c == "\n" for c in words)


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        st.sampled_from(("m", "10", "x", "-", "/", "3/8", "#", "8", ".", ",", "no", "c", "h", "zinc", "not", '"', " ")),
        max_size=40,
    )
)
def test_any_heap_of_figures_and_marks_is_survived(vocabulary: Vocabulary, pieces: list[str]) -> None:
    read("".join(pieces), vocabulary)
    read(" ".join(pieces), vocabulary, "strength")


def test_a_line_beyond_the_bound_is_refused_with_a_note(vocabulary: Vocabulary) -> None:
    reading = read("A" * (MAX_CHARACTERS + 1) + " m10 zinc indoors", vocabulary)
    assert not reading.understood
    assert reading.intents[0].kind == "too-long"
