"""The plan of a parts list against brute force: every choice tried, the fewest and then the cheapest kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.reasoning.plan import cost_of, fewest

FINISHES = 7
demand_sets = st.dictionaries(st.integers(1, 2**FINISHES - 1), st.integers(1, 50), min_size=1, max_size=9)
cost_lists = st.lists(st.sampled_from([1.0, 1.3, 1.6, 2.5, 4.0]), min_size=FINISHES, max_size=FINISHES)


def tried_all(demands: Mapping[int, float], costs: Sequence[float]) -> tuple[int, float]:
    """How many finishes are needed and what the cheapest choice of so many costs, by trying every choice."""
    for count in range(1, FINISHES + 1):
        choices = [sum(1 << i for i in c) for c in combinations(range(FINISHES), count)]
        serving = [cost_of(demands, c, costs) for c in choices if all(mask & c for mask in demands)]
        if serving:
            return count, min(serving)
    raise AssertionError("no choice serves")


@settings(max_examples=300, deadline=None)
@given(demand_sets, cost_lists)
def test_the_plan_is_what_trying_every_choice_finds(demands: dict[int, float], costs: list[float]) -> None:
    found = fewest(demands, costs)
    count, cost = tried_all(demands, costs)
    assert found.exact
    assert (len(found.finishes), found.at_least) == (count, count)
    assert found.cost == pytest.approx(cost)


@settings(max_examples=100, deadline=None)
@given(demand_sets, cost_lists, st.integers(1, 20))
def test_where_the_search_is_cut_short_the_bound_still_holds(
    demands: dict[int, float], costs: list[float], looks: int
) -> None:
    found = fewest(demands, costs, looks)
    chosen = sum(1 << i for i in found.finishes)
    assert all(mask & chosen for mask in demands), "every line is served"
    count, _ = tried_all(demands, costs)
    assert found.at_least <= count <= len(found.finishes)


def test_a_dearer_finish_that_serves_the_same_is_not_chosen() -> None:
    assert fewest({0b11: 100}, [2.0, 1.0]).finishes == (1,)


def test_one_finish_for_all_stands_before_two_cheaper_ones() -> None:
    # the fewest first: a third finish that serves both lines, though it costs more for each
    assert fewest({0b101: 1, 0b110: 1}, [1.0, 1.0, 3.0]).finishes == (2,)
