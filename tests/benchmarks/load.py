"""The program's own load, written down for any rule engine: which rules hold in which real cases.

`python tests/benchmarks/load.py > load.json` writes it to look at. A rule is a list of parts of which one must be true,
a part a list of tests that must all be true: (slot, test, operand, denied). A case is the values of its slots as lists,
the slots that were told, and the rules that hold, found by plain evaluation of every condition as it stands in the
knowledge. Parts that ask one slot for known and unknown at once are left out: they can never be true.
"""

from __future__ import annotations

import json
import random
import sys
from pathlib import Path
from typing import Any, NamedTuple

from advisor.dialogue.facts import merge
from advisor.graph.conditions import Possible, evaluate
from advisor.language.reading import read
from advisor.reasoning.case import Case
from advisor.reasoning.clauses import Literal, clauses
from advisor.reasoning.enquiry import UNKNOWN, Enquiry
from advisor.shells.opening import Opened, open_all

UTTERANCES = Path(__file__).resolve().parents[1] / "data" / "utterances.jsonl"
SEED = 11


class LoadedRule(NamedTuple):
    """A rule as parts of tests."""

    id: str
    parts: list[list[Literal]]


class LoadedCase(NamedTuple):
    """A case: slot -> its values (of a slot in `possible` one of them, which is not known), slots told, rules that
    hold."""

    values: dict[str, list[Any]]
    possible: list[str]
    told: list[str]
    holds: list[str]


class Load(NamedTuple):
    """All rules and some cases."""

    rules: list[LoadedRule]
    cases: list[LoadedCase]


def _can_be_true(part: list[Literal]) -> bool:
    wants: dict[tuple[str, str], set[bool]] = {}
    for t in part:
        # any test but "known" and "told" is true only of a known value
        if t.test in ("known", "told"):
            wants.setdefault((t.slot, t.test), set()).add(bool(t.operand) is not t.denied)
        else:
            wants.setdefault((t.slot, "known"), set()).add(True)
    return all(len(w) == 1 for w in wants.values())


def cases_of(opened: Opened, count: int) -> list[Case]:
    """So many cases drawn from the project's own utterances, the same at every run."""
    texts = [json.loads(line)["text"] for line in UTTERANCES.read_text("utf-8").splitlines()]
    enquiries = [merge(opened.base, Enquiry(), read(t, opened.vocabulary))[0] for t in texts]
    enquiries = [e for e in enquiries if e.said or e.circumstances]
    return [opened.engine.complete(e) for e in random.Random(SEED).sample(enquiries, min(count, len(enquiries)))]


def load(opened: Opened, count: int) -> Load:
    """The load with so many cases."""
    base = opened.base
    ids = opened.engine.rules.voices.ids
    rules = [LoadedRule(i, [p for p in clauses(base.rules[i].when) if _can_be_true(p)]) for i in ids]
    cases = []
    for case in cases_of(opened, count):
        values = {
            s: list(v) if isinstance(v, (list, tuple)) else [v]
            for s, v in case.full.items()
            if v not in (None, UNKNOWN)
        }
        possible = [s for s, v in case.full.items() if isinstance(v, Possible) and len(v) > 1]
        told = [s for s, v in case.told.items() if v not in (None, UNKNOWN)]
        holds = [i for i in ids if evaluate(base.rules[i].when, case.full, case.told) is True]
        cases.append(LoadedCase(values, possible, told, holds))
    return Load(rules, cases)


if __name__ == "__main__":
    json.dump(load(open_all(), 600), sys.stdout)
