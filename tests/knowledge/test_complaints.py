"""Complaints and their causes, against published failure cases and rules of the trade typed beside each check."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.graph.base import Base
from advisor.graph.conditions import evaluate
from advisor.graph.nodes_of_use import Cause

CASES: list[dict[str, Any]] = yaml.safe_load(
    (Path(__file__).parents[1] / "data" / "complaints.yaml").read_text("utf-8")
)["cases"]
WEIGHT = {"strong": 2.0, "some": 1.0}


def worth(cause: Cause, facts: dict[str, Any]) -> float:
    """What speaks for a cause less what speaks against it; a likely cause counts a little more."""
    pro = sum(WEIGHT[e.weight] for e in cause.speaks_for if evaluate(e.when, facts))
    con = sum(WEIGHT[e.weight] for e in cause.speaks_against if evaluate(e.when, facts))
    return pro - con + (cause.likely or 0.0)


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c['complaint']}: {c['from'][:40]}")
def test_the_likeliest_cause(base: Base, case: dict[str, Any]) -> None:
    complaint = base.complaints[case["complaint"]]
    ranked = sorted(complaint.causes, key=lambda c: -worth(base.causes[c], case["facts"]))
    assert ranked[0] in case["first"], [(c, worth(base.causes[c], case["facts"])) for c in ranked]
    assert complaint.stop is case["stop"]


def test_every_fracture_stops_everything(base: Base) -> None:
    """Whoever reports one is told to stop, to keep people away and to keep the pieces or the lot."""
    for complaint in base.complaints.values():
        if complaint.problem in ("delayed-fracture", "fatigue-fracture"):
            now = " ".join(complaint.now).lower()
            assert complaint.stop, complaint.id
            assert any(w in now for w in ("people", "close the", "stop")), complaint.id
            assert any(w in now for w in ("quarantine", "pieces", "replace")), complaint.id


def test_causes_and_complaints_name_each_other(base: Base) -> None:
    for complaint in base.complaints.values():
        for named in complaint.causes:
            assert complaint.id in base.causes[named].of, (complaint.id, named)
    for cause in base.causes.values():
        for complaint_id in cause.of:
            assert cause.id in base.complaints[complaint_id].causes, (cause.id, complaint_id)


def test_every_cause_can_be_told_apart_and_says_what_is_next(base: Base) -> None:
    for cause in base.causes.values():
        assert cause.speaks_for, cause.id
        assert cause.tell_apart, cause.id
        assert cause.next, cause.id
        assert cause.who_decides, cause.id


def test_every_problem_of_the_slot_is_a_complaint(base: Base) -> None:
    told = {c.problem for c in base.complaints.values()}
    assert told == set(base.slots["problem"].values)


def test_no_wording_names_two_complaints(base: Base) -> None:
    said: dict[str, str] = {}
    for complaint in base.complaints.values():
        for words in complaint.say:
            assert words not in said, f"'{words}' names {said[words]} and {complaint.id}"
            said[words] = complaint.id
