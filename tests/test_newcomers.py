"""A newcomer's tasks, done with YAML alone in a layer of one's own: a slot, a synonym, a standard's designation."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from advisor.shells.cli import run
from tests.examples import yaml_blocks

KNOWLEDGE = Path(__file__).parent.parent / "knowledge" / "README.md"

SLOT = """\
slots:
  - {id: anti_seize, name: "anti-seize paste", type: choice, values: [needed, not-needed], says: "anti-seize paste
  {value}",
     denial: {needed: not-needed, not-needed: needed}}
terms:
  - {id: w-own-anti-seize, say: ["anti-seize", "antiseize", "copper paste"], slot: anti_seize, value: needed}
decisions:
  - id: ask-anti-seize
    slot: anti_seize
    order: 231
    text: "Will anti-seize paste go on the thread?"
    help: "A copper or nickel paste against seizing?"
    options:
      - {id: needed, text: "yes", value: needed}
      - {id: not-needed, text: "no", value: not-needed}
    assume: {value: not-needed, because: "no paste was named"}
rules:
  - id: lu-90
    group: group-lu
    strength: should
    text: "Under paste a plain zinc plate does as well as a lubricated coat."
    when: {anti_seize: needed}
    then:
      - {favour: 1, of: zinc-electroplate}
    because:
      - {text: "The paste gives the friction, not the coat.", source: trade-practice, basis: practice}
    cases:
      speaks: [{anti_seize: needed}]
      silent: [{anti_seize: not-needed}]
"""


@pytest.fixture
def layer(tmp_path: Path) -> Path:
    folder = tmp_path / "own"
    folder.mkdir()
    return folder


def answer(capsys: pytest.CaptureFixture[str], *argv: str) -> dict[str, Any]:
    code = run([*argv, "--json"])
    shown = capsys.readouterr()
    assert code in (0, 3), shown.err
    return dict(json.loads(shown.out))


def understood(capsys: pytest.CaptureFixture[str], layer: Path, text: str) -> dict[str, Any]:
    found = answer(capsys, "read", text, "--overlay", str(layer))["understood"]
    return {slot: item["value"] for slot, item in found.items()}


def test_a_slot_of_ones_own_is_told_asked_and_denied(capsys: pytest.CaptureFixture[str], layer: Path) -> None:
    (layer / "slot.yaml").write_text(SLOT, "utf-8")
    assert understood(capsys, layer, "M10 8.8 outside, anti-seize on the thread")["anti_seize"] == "needed"
    for denied in ("no anti-seize please", "M10 8.8 outside, without copper paste", "we don't use antiseize"):
        assert understood(capsys, layer, denied)["anti_seize"] == "not-needed", denied


@pytest.mark.parametrize("word", ["bichromated", "dichromated"])
def test_a_synonym_of_a_finish_asks_for_it(capsys: pytest.CaptureFixture[str], layer: Path, word: str) -> None:
    term = f"terms:\n  - {{id: w-own-word, say: [{word}], names: zinc-electroplate}}\n"
    (layer / "words.yaml").write_text(term, "utf-8")
    assert understood(capsys, layer, f"{word} M10 bolts indoors")["finish_asked"] == ["zinc-electroplate"]


def example_of_a_designation() -> str:
    """The example of knowledge/README.md: a works standard with its table and its written form."""
    return next(block for block in yaml_blocks(KNOWLEDGE) if "\ncodes:" in block)


def test_a_standards_designation_is_decoded(capsys: pytest.CaptureFixture[str], layer: Path) -> None:
    (layer / "codes.yaml").write_text(example_of_a_designation(), "utf-8")
    found = answer(capsys, "decode", "ZZ 4711 class 2", "--overlay", str(layer))
    (reading,) = found["results"]["readings"]
    assert reading["family"] == "zinc-electroplate"
    assert reading["thickness_um"] == 10
    assert reading["status"] == "current"


@pytest.mark.parametrize("text", ["M10 8.8 bolts to ZZ 4711 class 2, indoors", "zz4711 class 2 on M8 8.8 hex screws"])
def test_a_standards_designation_is_seen_in_an_enquiry(
    capsys: pytest.CaptureFixture[str], layer: Path, text: str
) -> None:
    (layer / "codes.yaml").write_text(example_of_a_designation(), "utf-8")
    assert "4711" in understood(capsys, layer, text)["callout"]
    advice = answer(capsys, "ask", text, "--overlay", str(layer))
    assert advice["recommended"][0]["family"] == "zinc-electroplate"
