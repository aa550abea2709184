"""The cases of each file of the grammar of figures: one quantity a file, each line with what must be read."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.language.reading import read
from advisor.language.vocabulary import Vocabulary

DATA = Path(__file__).resolve().parents[1] / "data" / "grammar"
CASES = [
    pytest.param(case, id=f"{path.stem}: {case['say']}")
    for path in sorted(DATA.glob("*.yaml"))
    for case in yaml.safe_load(path.read_text("utf-8"))["cases"]
]


@pytest.mark.parametrize("case", CASES)
def test_a_figure_is_read_as_it_is_meant(vocabulary: Vocabulary, case: dict[str, Any]) -> None:
    reading = read(case["say"], vocabulary)
    for slot, value in case["read"].items():
        if slot == "calculation":
            assert value in [r.about for r in reading.intents if r.kind == "calculation"]
            continue
        told = reading.understood.get(slot)
        got = told.value if told is not None else None
        assert got == (pytest.approx(value) if isinstance(value, float) else value), (slot, got)
