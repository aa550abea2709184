"""The full vocabulary, read from the knowledge as it stands."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from advisor.graph.source import read_file, strip_marks
from advisor.language.vocabulary import Vocabulary, build_vocabulary

KNOWLEDGE = Path(__file__).resolve().parents[2] / "knowledge"


def documents(pattern: str) -> list[dict[str, Any]]:
    found = []
    for path in sorted(KNOWLEDGE.glob(pattern)):
        item, faults = read_file(path, path.name)
        assert not faults, [str(f) for f in faults]
        if item is not None:
            found.append(strip_marks(item))
    return found


@pytest.fixture(scope="session")
def compiled_words() -> dict[str, Any]:
    terms = [t for d in documents("words/*.yaml") for t in d.get("terms", [])]
    slots = {s["id"]: s for d in documents("slots.yaml") for s in d["slots"]}
    grades = [s["grade"] for d in documents("strength/*.yaml") for s in d.get("strengths", [])]
    rows = [
        row
        for d in documents("tables/hardness-conversion.yaml")
        for t in d["tables"]
        if t["id"] == "hardness-conversion"
        for row in t["rows"]
    ]
    scales = {unit: [(r[n], r[0]) for r in rows] for n, unit in enumerate(("hv", "hb", "tensile_mpa"), 1)}
    return build_vocabulary(terms, slots, grades, scales)


@pytest.fixture(scope="session")
def vocabulary(compiled_words: dict[str, Any]) -> Vocabulary:
    return Vocabulary.load(compiled_words)
