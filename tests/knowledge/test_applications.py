"""Things that fasteners hold, against expectations typed from the documents that name them."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.graph.base import Base

CASES: list[dict[str, Any]] = yaml.safe_load(
    (Path(__file__).parents[1] / "data" / "applications.yaml").read_text("utf-8")
)["cases"]


def told(base: Base, application: str, field: str) -> set[str]:
    """The values of a field, one or several."""
    value = getattr(base.applications[application], field)
    return {value} if isinstance(value, str) else set(value)


@pytest.mark.parametrize("case", CASES, ids=lambda c: c["application"])
def test_what_a_thing_says(base: Base, case: dict[str, Any]) -> None:
    for field, values in case.get("holds", {}).items():
        assert set(values) <= told(base, case["application"], field), case["from"]
    for field, values in case.get("lacks", {}).items():
        assert not set(values) & told(base, case["application"], field), case["from"]


def families(base: Base, name: str) -> set[str]:
    """The families of a family or set."""
    return {f for part in base.sets[name].of for f in families(base, part)} if name in base.sets else {name}


def test_what_is_usual_is_never_refused(base: Base) -> None:
    for a in base.applications.values():
        barred = {f for name in a.never for f in families(base, name)}
        assert not set(a.usual) & barred, a.id


def test_a_word_of_several_things_is_told_apart_by_its_neighbours(base: Base) -> None:
    said = defaultdict(list)
    for a in base.applications.values():
        for word in a.say:
            said[word].append(a)
    for word, things in said.items():
        assert len(things) == 1 or all(a.beside or a.not_beside for a in things), word


def test_broader_things_form_no_ring(base: Base) -> None:
    for a in base.applications.values():
        above, seen = list(a.is_a), {a.id}
        while above:
            parent = above.pop()
            assert parent != a.id, a.id
            if parent not in seen:
                seen.add(parent)
                above.extend(base.applications[parent].is_a)


def test_every_thing_is_known_by_words_or_stands_above_others(base: Base) -> None:
    above = {p for a in base.applications.values() for p in a.is_a}
    assert [a.id for a in base.applications.values() if not a.say and a.id not in above] == []
