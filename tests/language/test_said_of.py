"""What a finish or a metal is said of: only what is said of the fastener wanted becomes a wish."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.language.reading import read
from advisor.language.vocabulary import Vocabulary

CASES = yaml.safe_load((Path(__file__).resolve().parents[1] / "data" / "said_of.yaml").read_text("utf-8"))["cases"]
SLOTS = {"wanted": "finish_asked", "now": "finish_now", "mating": "mating", "excluded": "exclude"}


@pytest.mark.parametrize("case", CASES, ids=lambda c: c["say"])
def test_a_mention_goes_to_the_thing_it_is_said_of(vocabulary: Vocabulary, case: dict[str, Any]) -> None:
    understood = read(case["say"], vocabulary).understood
    told = {slot: set(s.value) for slot, s in understood.items() if isinstance(s.value, list)}
    for name, slot in SLOTS.items():
        assert set(case.get(name, ())) <= told.get(slot, set()), (slot, told)
    assert not set(case.get("not_wanted", ())) & told.get("finish_asked", set()), told
    assert not (case.get("not_appearance") and "appearance" in understood)
