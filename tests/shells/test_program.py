"""Whole conversations driven by a program: one line in, one object out, journaled, never stopped by a bad line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from advisor.graph.base import Base
from advisor.shells.chat import kept
from advisor.shells.chat.program import converse

KINDS = {
    "say",
    "ask",
    "advice",
    "answer",
    "diagnosis",
    "card",
    "calculation",
    "explanation",
    "what-if",
    "comparison",
    "decode",
}


@pytest.fixture
def talk(base: Base, own_folders: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    """Runs lines through the conversation and returns its objects."""

    def run(*lines: str, resume: str = "") -> list[dict[str, Any]]:
        assert converse(base, [f"{x}\n".encode() for x in lines], resume) == 0
        return [json.loads(x) for x in capsys.readouterr().out.splitlines()]

    return run


def test_every_turn_is_one_whole_object(talk: Any) -> None:
    turns = talk(
        "M10 8.8 bolts for a gate in town",
        "no",
        "why not zinc plated?",
        "what if it were by the sea?",
        "compare zinc flake and hot dip",
        "torque for M10 8.8 zinc flake?",
        "what does Fe/Zn 8/An/T0 mean?",
        "what is zinc-nickel?",
        "more",
    )
    assert [t["turn"] for t in turns] == list(range(1, 10))
    for t in turns:
        assert t["schema"] == "advisor/turn/1"
        assert set(t) == {"schema", "turn", "conversation", "understood", "replies", "asked", "done"}
        assert all(set(r) == {"kind", "text", "data"} for r in t["replies"])
        assert {r["kind"] for r in t["replies"]} <= KINDS
    kinds = [{r["kind"] for r in t["replies"]} for t in turns]
    assert "explanation" in kinds[2]
    assert "what-if" in kinds[3]
    assert "comparison" in kinds[4]
    assert "calculation" in kinds[5]
    assert "decode" in kinds[6]
    assert "card" in kinds[7]


def test_the_question_comes_with_its_options_and_its_answer_is_understood(talk: Any) -> None:
    first, second = talk("M10 8.8 bolts outdoors in town", "no")
    assert {"decision", "slot", "options"} == set(first["asked"])
    assert all({"text", "value"} == set(o) for o in first["asked"]["options"])
    assert first["understood"]["size"]["value"] == "M10"
    slot = first["asked"]["slot"]
    assert slot in second["understood"]
    assert "size" not in second["understood"]


def test_the_advice_is_that_of_a_one_shot_answer(talk: Any) -> None:
    turns = talk("M16 eye bolts to lift an engine, zinc plated")
    advice = next(r["data"] for r in turns[0]["replies"] if r["kind"] == "advice")
    assert advice["referral"]["required"]
    assert advice["recommended"] == []
    assert advice["answer"]["verdict"] == "none"
    assert "engineer" in advice["closing"]
    assert turns[0]["asked"] is None


def test_a_bad_line_does_not_end_the_talk(talk: Any) -> None:
    turns = talk('{"text": "M10 bolts outside"}', "{broken", '{"words": 1}', '{"text": 5}', "M12")
    assert ["error" in t for t in turns] == [False, True, True, True, False]
    assert turns[-1]["turn"] == 2


def test_it_is_kept_and_goes_on_where_it_stood(talk: Any) -> None:
    first = talk("M10 8.8 bolts outdoors in town")
    name = first[0]["conversation"]
    assert name in kept.names()
    again = talk("no", resume=name)
    assert again[0]["turn"] == 2
    assert again[0]["conversation"] == name
    assert first[0]["asked"]["slot"] in again[0]["understood"]


def test_leaving_ends_it(talk: Any) -> None:
    turns = talk("M10 bolts", "leave", "M12 bolts")
    assert len(turns) == 2
    assert turns[-1]["done"] is True
