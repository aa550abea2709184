"""The reference enquiries: what competent engineers choose, against what the program chooses."""

from __future__ import annotations

import pytest

from advisor.audit.references import Outcome, agreement, check_references
from advisor.reasoning.engine import Engine

LEAST_AGREEMENT = 0.95


@pytest.fixture(scope="module")
def outcomes(engine: Engine) -> list[Outcome]:
    return check_references(engine)


def test_there_is_a_reference_for_every_place_class_and_priority(engine: Engine) -> None:
    ids = set(engine.base.kind("reference"))
    places = [e["id"] for e in engine.base.kind("exposure").values() if e["group"] == "environment"]
    assert len(places) == 20
    missing = [
        f"ref-{place}-{strength}-{priority}"
        for place in places
        for strength in "shxl"
        for priority in ("cost", "balanced", "life")
        if f"ref-{place}-{strength}-{priority}" not in ids
    ]
    assert missing == []


def test_every_special_situation_has_a_reference(engine: Engine) -> None:
    ids = list(engine.base.kind("reference"))
    missing = [
        n
        for n in range(1, 80)
        if not any(i == f"ref-situation-{n}" or i.startswith(f"ref-situation-{n}-") for i in ids)
    ]
    assert missing == []


def test_first_place_agrees_with_practice(outcomes: list[Outcome]) -> None:
    wrong = [(o.id, o.expected[:2], o.offered[:2]) for o in outcomes if not o.agrees]
    assert agreement(outcomes) >= LEAST_AGREEMENT, wrong


def test_every_deviation_is_argued(outcomes: list[Outcome]) -> None:
    assert [(o.id, o.offered[:2]) for o in outcomes if not o.agrees and not o.argued] == []


def test_no_deviation_is_argued_that_is_none(outcomes: list[Outcome]) -> None:
    assert [o.id for o in outcomes if o.agrees and o.argued] == []


def test_nothing_that_practice_rules_out_is_offered_at_any_rank(outcomes: list[Outcome]) -> None:
    assert [(o.id, o.forbidden) for o in outcomes if o.forbidden] == []


def test_an_engineer_is_called_where_practice_calls_one(outcomes: list[Outcome]) -> None:
    assert [o.id for o in outcomes if o.referral_missing] == []


def test_a_wrong_first_place_is_noticed(engine: Engine) -> None:
    from advisor.audit.references import check_reference

    node = dict(engine.base.kind("reference")["ref-outdoor-s-balanced"])
    assert check_reference(engine, node).agrees
    assert not check_reference(engine, {**node, "expect": ["brass"]}).agrees
    assert check_reference(engine, {**node, "never": ["hot-dip-galvanized"]}).forbidden == ("hot-dip-galvanized",)
