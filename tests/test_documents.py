"""What the documents show is what the program does: examples of YAML, commands, the conversation, paths and
functions."""

from __future__ import annotations

import importlib
import shlex
from pathlib import Path

import pytest

from advisor.dialogue.conversation import Guide
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.engine import Engine
from advisor.shells.chat.replay import run_demo
from advisor.shells.cli import run
from advisor.shells.opening import Opened
from tests.examples import ROOT, commands, functions_named, paths_named, yaml_blocks
from tests.sentence_on_its_way import walk, written

README, DEVELOPERS, CURATORS = ROOT / "README.md", ROOT / "DEVELOPERS.md", ROOT / "knowledge" / "README.md"
ELSEWHERE = (
    "advisor audit",
    "advisor audit --notes",
    "advisor audit --quick",
    "advisor audit --compare",
    "advisor replay",
    "advisor chat",
)
"""Commands that other tests run, or that run for a minute."""


def shown_commands() -> list[str]:
    found = [c for document in (README, DEVELOPERS, CURATORS) for c in commands(document)]
    return [c for c in dict.fromkeys(found) if c != ELSEWHERE[0] and not c.startswith(ELSEWHERE[1:])]


def test_the_examples_of_the_curators_guide_pass_the_audit(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    blocks = yaml_blocks(CURATORS)
    assert len(blocks) >= 7
    for number, block in enumerate(blocks):
        (tmp_path / f"example-{number}.yaml").write_text(block, "utf-8")
    code = run(["audit", "--quick", "--overlay", str(tmp_path)])
    assert code == 0, capsys.readouterr().out


@pytest.mark.parametrize("command", shown_commands())
def test_a_command_of_the_documents_runs(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "knowledge" / "rules").mkdir(parents=True)
    (tmp_path / "list.csv").write_text("Description,Qty\nHex bolt M10 x 50 8.8,200\n", "utf-8")
    monkeypatch.chdir(tmp_path)
    assert run(shlex.split(command)[1:]) in (0, 3), capsys.readouterr().err


@pytest.mark.parametrize("document", [README, DEVELOPERS, CURATORS], ids=lambda p: str(p.relative_to(ROOT)))
def test_every_path_that_a_document_names_is_there(document: Path) -> None:
    assert [p for p in paths_named(document) if not (ROOT / p).exists()] == []


@pytest.mark.parametrize("name", functions_named(DEVELOPERS))
def test_every_function_that_the_developers_guide_names_is_there(name: str) -> None:
    path = name.split(".")
    for depth in range(len(path), 1, -1):
        try:
            found = importlib.import_module("advisor." + ".".join(path[:depth]))
        except ModuleNotFoundError:
            continue
        for attribute in path[depth:]:
            found = getattr(found, attribute)
        return
    pytest.fail(f"no module {name}")


def test_the_conversation_of_the_readme_is_a_real_one(guide: Guide) -> None:
    shown = README.read_text("utf-8").split("```text\n")[1].split("```")[0]
    typed = [line[2:] for line in shown.splitlines() if line.startswith("> ")]
    printed = " ".join(word for lines in run_demo(guide, typed) for line in lines for word in line.split())
    _, *rest = shown.split("\n\n> ")
    for turn in rest:
        for paragraph in turn.split("\n\n")[1:]:
            assert " ".join(paragraph.split()) in printed


def test_the_sentence_of_the_developers_guide_goes_that_way_today(engine: Engine, vocabulary: Vocabulary) -> None:
    """After a change: python -m tests.sentence_on_its_way"""
    assert written() == walk(Opened(engine.base, engine, vocabulary))
