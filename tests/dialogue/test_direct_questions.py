"""Questions put outright get the answer first, with the verdict that the standard or the practice beside it gives."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.dialogue.one_shot import answer
from advisor.dialogue.state import Answered, Desk
from advisor.graph.base import Base
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.answers import DIFFERENCE, FIGURES, LASTS, WHICH, WILL_DO
from advisor.reasoning.engine import Engine
from advisor.views.direct import Direct, direct_answer

QUESTIONS: list[dict[str, Any]] = yaml.safe_load(
    (Path(__file__).parents[1] / "data" / "questions.yaml").read_text("utf-8")
)["questions"]


@pytest.fixture(scope="module")
def desk(base: Base) -> Desk:
    return Desk(Engine(base), Vocabulary.of(base))


def said(desk: Desk, text: str) -> Direct:
    return direct_answer(desk.engine, answer(desk, text).replies)


@pytest.mark.parametrize("q", QUESTIONS, ids=lambda q: q["ask"])
def test_a_question_is_answered_first_and_with_its_reason(desk: Desk, q: dict[str, Any]) -> None:
    got = said(desk, q["ask"])
    assert got.verdict == q["verdict"], got.text
    missing = [x for x in q["holds"] if x.lower() not in got.text.lower()]
    assert not missing, (missing, got.text)
    assert got.cites, "an answer rests on something"


@pytest.mark.parametrize(
    "text",
    ["bolts M10 8.8 for a fence by the sea", "M8 nuts hot dip galvanised outdoors", "M12 8.8 hex bolts, damp shed"],
)
def test_what_only_tells_facts_is_advised_on_and_not_answered(desk: Desk, text: str) -> None:
    assert not any(isinstance(r, Answered) for r in answer(desk, text).replies)


def test_every_ask_is_used_by_a_rule_and_every_rule_asks_what_there_is(base: Base) -> None:
    def named(condition: Any) -> set[str]:
        if condition[0] == "test":
            return set(condition[3]) if condition[1] == "asks" else set()
        return set().union(*map(named, condition[1:]))

    used = set().union(*(named(r.when) for r in base.rules.values()))
    asks = set(base.kind("ask"))
    assert used <= asks
    # what screening and figures answer by themselves needs no rule
    meant = {i for i, node in base.kind("ask").items() if node.get("means")}
    assert asks - used - meant - WILL_DO - WHICH - FIGURES.keys() - {DIFFERENCE, LASTS} == set()
