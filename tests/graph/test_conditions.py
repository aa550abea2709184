"""Conditions obey strong three-valued logic (Kleene, Introduction to Metamathematics, 1952, § 64), in every form they
run in.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.graph.conditions import Condition, Possible, Tri, evaluate, later, ready, slots_of

TRUTHS: tuple[Tri, ...] = (True, None, False)
KLEENE_AND = {
    (True, True): True,
    (True, None): None,
    (None, True): None,
    (None, None): None,
    (True, False): False,
    (False, True): False,
    (False, False): False,
    (None, False): False,
    (False, None): False,
}

words = st.sampled_from(["a", "b", "c"])
tests: st.SearchStrategy[Condition] = st.one_of(
    st.builds(
        lambda s, t, v: ["test", s, t, v],
        st.sampled_from(["strength", "environment", "band"]),
        st.sampled_from(["in", "only"]),
        st.lists(words, min_size=1, max_size=2),
    ),
    st.builds(
        lambda t, v: ["test", "temperature", t, v],
        st.sampled_from(["above", "at_least", "below", "at_most"]),
        st.integers(-5, 5),
    ),
    st.builds(
        lambda s, t, v: ["test", s, t, v],
        st.sampled_from(["strength", "environment", "temperature"]),
        st.sampled_from(["known", "told", "empty"]),
        st.booleans(),
    ),
)
conditions: st.SearchStrategy[Condition] = st.recursive(
    tests,
    lambda inner: st.one_of(
        st.builds(lambda op, cs: [op, *cs], st.sampled_from(["all", "any"]), st.lists(inner, max_size=3)),
        st.builds(lambda c: ["not", c], inner),
    ),
    max_leaves=8,
)
facts: st.SearchStrategy[dict[str, Any]] = st.fixed_dictionaries(
    {},
    optional={
        "strength": st.one_of(words, st.just("unknown")),
        "environment": st.lists(words, max_size=3).map(tuple),
        "band": st.lists(words, min_size=1, max_size=2, unique=True).map(lambda x: Possible(tuple(x))),
        "temperature": st.one_of(
            st.integers(-6, 6), st.tuples(st.integers(-6, 6), st.integers(-6, 6)).map(lambda x: tuple(sorted(x)))
        ),
    },
)


def constant(truth: Tri) -> Condition:
    """A condition of one truth over the facts {"yes": "a"}."""
    return {
        True: ["test", "yes", "in", ["a"]],
        False: ["test", "yes", "in", ["b"]],
        None: ["test", "silent", "in", ["a"]],
    }[truth]


@pytest.mark.parametrize("a", TRUTHS)
@pytest.mark.parametrize("b", TRUTHS)
def test_junctions_follow_the_strong_tables(a: Tri, b: Tri) -> None:
    told = {"yes": "a"}
    negation = {True: False, None: None, False: True}
    assert evaluate(["all", constant(a), constant(b)], told) is KLEENE_AND[a, b]
    assert evaluate(["any", constant(a), constant(b)], told) is negation[KLEENE_AND[negation[a], negation[b]]]
    assert evaluate(["not", constant(a)], told) is negation[a]


@given(conditions, facts, facts)
def test_the_three_forms_agree(condition: Condition, full: dict[str, Any], told: dict[str, Any]) -> None:
    plain = evaluate(condition, full, told)
    assert ready(condition)(full, told) is plain
    assert later(condition)(full, told) is plain


@given(conditions, facts)
def test_twice_not_is_nothing(condition: Condition, full: dict[str, Any]) -> None:
    assert evaluate(["not", ["not", condition]], full) is evaluate(condition, full)


@given(st.lists(conditions, max_size=3), facts)
def test_de_morgan(parts: list[Condition], full: dict[str, Any]) -> None:
    assert evaluate(["not", ["all", *parts]], full) is evaluate(["any", *(["not", p] for p in parts)], full)


@given(conditions, facts)
def test_learning_more_never_turns_a_truth_round(condition: Condition, full: dict[str, Any]) -> None:
    """What is true or false while a slot is silent stays so whatever the slot turns out to be."""
    if any(c in repr(condition) for c in ("'known'", "'told'")):
        return
    for slot in slots_of(condition):
        less = {k: v for k, v in full.items() if k != slot}
        before = evaluate(condition, less)
        assert before is None or evaluate(condition, full) is before


@given(conditions, facts)
def test_a_possible_set_covers_each_of_its_members(condition: Condition, full: dict[str, Any]) -> None:
    """A hardness band of several values decides only what each of them alone would decide."""
    if "band" not in full or "'known'" in repr(condition):
        return
    together = evaluate(condition, full)
    if together is not None:
        for one in full["band"]:
            assert evaluate(condition, {**full, "band": one}) is together
