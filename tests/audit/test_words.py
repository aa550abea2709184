"""What the audit says of words: terms that no reading needs, words alike."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.audit.words import check_terms_are_heard
from advisor.graph.base import Base
from advisor.shells.cli import run
from advisor.shells.opening import open_knowledge


def test_a_term_that_another_says_already_is_found(own_folders: Path, knowledge: Path) -> None:
    layer = own_folders / "layer"
    layer.mkdir()
    term = "terms:\n  - {id: w-own-green, say: [green], slot: appearance, value: green, answering: appearance}\n"
    (layer / "words.yaml").write_text(term, "utf-8")
    found = [f for f in check_terms_are_heard(open_knowledge(knowledge, [layer])) if f.fault]
    assert [(f.node, f.code) for f in found] == [("w-own-green", "KB214")]


def test_every_term_of_the_shipped_knowledge_is_heard(base: Base) -> None:
    assert [f.node for f in check_terms_are_heard(base)] == []


def test_the_audit_names_the_term_with_its_line(own_folders: Path, capsys: pytest.CaptureFixture[str]) -> None:
    layer = own_folders / "layer"
    layer.mkdir()
    term = "terms:\n  - {id: w-own-green, say: [green], slot: appearance, value: green, answering: appearance}\n"
    (layer / "words.yaml").write_text(term, "utf-8")
    assert run(["audit", "--quick", "--overlay", str(layer)]) == 1
    assert "words.yaml:2:1: KB214" in capsys.readouterr().out
