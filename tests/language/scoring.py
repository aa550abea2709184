"""Scores readings against expected ones, slot by slot: F1, wrong values, silent errors, confusion."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from advisor.language.reading import Reading

UTTERANCES = Path(__file__).resolve().parents[1] / "data" / "utterances.jsonl"
FREE = frozenset(
    (
        "finish_asked",
        "callout",
        "hardness_hrc",
        "corrosivity",
        "finish_now",
        "application",
        "standard",
        "chemical",
        "concentration_pct",
        "problem",
    )
)
"""Slots that may be read without being expected."""


class Score(NamedTuple):
    f1: float
    wrong: tuple[str, ...]
    missed: tuple[str, ...]
    over_read: tuple[str, ...]
    forbidden: tuple[str, ...]
    cases: int
    confusion: Mapping[str, int]

    @property
    def silent_errors(self) -> float:
        """Share of utterances with a slot that was taken with a wrong value."""
        return (len(self.wrong) + len(self.forbidden)) / self.cases


def cases() -> list[dict[str, Any]]:
    return [json.loads(line) for line in UTTERANCES.read_text(encoding="utf-8").splitlines()]


def told_in(reading: Reading, case: Mapping[str, Any]) -> dict[str, Any]:
    """What a reading took, without what only follows from a thing named unless the case speaks of it."""
    spoken_of = {slot for group in ("expect", "expect_any", "optional", "never") for slot in case.get(group, {})}
    derived = reading.from_object - spoken_of
    return {slot: s.value for slot, s in reading.understood.items() if slot not in derived}


def _values(value: Any) -> set[str]:
    listed = value if isinstance(value, list) else [value]
    out = set()
    for v in listed:
        try:
            out.add(f"{float(v):g}")
        except (TypeError, ValueError):
            out.add(str(v).lower())
    return out


def score(understand: Callable[[dict[str, Any]], Mapping[str, Any]]) -> Score:
    """Runs `understand` (case -> slot -> value) over the project's utterances."""
    right = false = missing = 0
    wrong, missed, over, forbidden = [], [], [], []
    confusion: Counter[str] = Counter()
    for case in cases():
        got = {k: _values(v) for k, v in understand(case).items() if v != []}
        claimed = set()
        for group, every in (("expect", True), ("expect_any", False)):
            for slot, value in case.get(group, {}).items():
                claimed.add(slot)
                want = _values(value)
                have = got.get(slot, {"unknown"})
                if value == "*":
                    fits = slot in got
                elif every:
                    fits = want <= have
                else:
                    fits = bool(want & have)
                name = f"{case['text']!r}: {slot} should be {value}, read {sorted(have)}"
                if fits:
                    right += 1
                elif have == {"unknown"}:
                    missing += 1
                    missed.append(name)
                else:
                    false += 1
                    missing += 1
                    wrong.append(name)
                    confusion[f"{slot}: {value} -> {sorted(have)}"] += 1
        for slot, value in case.get("never", {}).items():
            if got.get(slot, set()) & _values(value):
                forbidden.append(f"{case['text']!r}: {slot} must not be {value}")
        for slot, have in got.items():
            if (
                slot not in claimed
                and slot not in case.get("optional", {})
                and slot not in FREE
                and have != {"unknown"}
            ):
                false += 1
                over.append(f"{case['text']!r}: {slot} {sorted(have)}")
    precision, recall = right / max(1, right + false), right / max(1, right + missing)
    f1 = 2 * precision * recall / max(1e-9, precision + recall)
    return Score(f1, tuple(wrong), tuple(missed), tuple(over), tuple(forbidden), len(cases()), confusion)
