"""Values as people say them."""

from __future__ import annotations

import pytest

from advisor.graph.base import Base
from advisor.graph.wording import named, worded


@pytest.mark.parametrize(
    ("slot", "value", "said"),
    [
        ("size", "M10", "M10"),
        ("life_years", 15.0, "15 years wanted"),
        ("environment", ["road-salt"], "with road salt"),
        ("finish_asked", ["zinc-flake", "zinc-electroplate"], "zinc flake or electroplated zinc wanted"),
        ("strength", "unknown", "strength class: not known"),
        ("duty", [], "nobody is hurt if it breaks"),
        ("slot-of-nobody", "x", "x"),
    ],
)
def test_a_slot_is_told_by_its_own_template(base: Base, slot: str, value: object, said: str) -> None:
    assert worded(base, slot, value) == said


def test_a_node_has_its_name_and_other_words_stay(base: Base) -> None:
    assert named(base, "hot-dip-galvanized") == "Hot-dip galvanized"
    assert named(base, "6g") == "6g"
    assert named(base, 0.5) == "0.5"
