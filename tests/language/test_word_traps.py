"""Words that mean several things: each line is read by what stands beside the word, or it is on the list of the
misread."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.language.reading import Reading, read
from advisor.language.vocabulary import Vocabulary

DATA: dict[str, Any] = yaml.safe_load((Path(__file__).parents[1] / "data" / "word_traps.yaml").read_text("utf-8"))
MISREAD = frozenset(DATA["misread"] or ())
SEVERAL = frozenset(("environment", "mating", "duty", "finish_asked", "exclude"))
"""Slots of which every value that must be read has to be there; of any other slot one of them."""


def told(reading: Reading, slot: str) -> set[str]:
    """What was read for a slot, as text; outdoors in town or country is outdoors too."""
    held = reading.understood.get(slot)
    value = () if held is None else held.value
    values = {str(v) for v in (value if isinstance(value, (list, tuple, set, frozenset)) else [value])}
    return values | {"outdoor"} if any(v.startswith("outdoor") for v in values) else values


def wanted(value: Any) -> set[str]:
    """The values of a line of the data."""
    return {str(v) for v in value} if isinstance(value, list) else {str(value)}


def faults(trap: dict[str, Any], reading: Reading) -> list[str]:
    """What is missing, and what must not have been read."""
    out = []
    for slot, value in trap.get("must", {}).items():
        got, want = told(reading, slot), wanted(value)
        if not (want <= got if slot in SEVERAL else want & got):
            out.append(f"{slot} is {sorted(got)}, not {sorted(want)}")
    for slot, value in trap.get("must_not", {}).items():
        got, bad = told(reading, slot), wanted(value)
        if got & bad or ("*" in bad and got):
            out.append(f"{slot} must not be {sorted(got)}")
    return out


@pytest.mark.parametrize("trap", [t for t in DATA["traps"] if t["text"] not in MISREAD], ids=lambda t: t["text"])
def test_a_word_is_read_by_its_neighbours(vocabulary: Vocabulary, trap: dict[str, Any]) -> None:
    assert faults(trap, read(trap["text"], vocabulary)) == [], trap["why"]


def test_only_traps_stand_on_the_list_of_the_misread() -> None:
    assert {t["text"] for t in DATA["traps"]} >= MISREAD
    assert len({t["text"] for t in DATA["traps"]}) == len(DATA["traps"])
