"""Faults that were shown by running the program once, each held by the words that showed it."""

from __future__ import annotations

import json
from typing import Any

import pytest

from advisor.dialogue.conversation import Guide
from advisor.language.reading import read
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.advice import advise
from advisor.reasoning.engine import Engine
from advisor.reasoning.enquiry import from_values
from advisor.shells.chat.replay import run_demo
from advisor.shells.cli import run


def answer(capsys: pytest.CaptureFixture[str], *argv: str) -> dict[str, Any]:
    code = run([*argv, "--json"])
    shown = capsys.readouterr()
    assert code in (0, 3), shown.err
    return dict(json.loads(shown.out))


def test_facts_beside_a_question_are_kept_and_hard_steel_stays_unplated(guide: Guide) -> None:
    """The first answer said that plate was "not ruled out", the second offered hot-dip galvanizing on 12.9."""
    shown = run_demo(guide, ["why can't I zinc plate 12.9 cap screws M8 outside", "zinc plated please"])
    text = " ".join(" ".join(lines) for lines in shown)
    assert "not ruled out" not in text
    assert "break without warning" in " ".join(" ".join(shown[0]).split())
    assert "write: ISO 10684" not in text


@pytest.mark.parametrize("size", ["10-32", "#10-32"])
def test_10_32_is_a_machine_screw_and_no_bolt_of_ten_inches(
    capsys: pytest.CaptureFixture[str], engine: Engine, size: str
) -> None:
    """It became a bolt of 254 mm, for which hot dip was recommended."""
    found = answer(capsys, "ask", "machine screws outdoors", "--set", f"size={size}")
    assert all(r["family"] != "hot-dip-galvanized" for r in found["recommended"])
    case = engine.judge(from_values({"size": size})).case
    assert case.known["diameter_mm"] == pytest.approx(4.826)  # ASME B1.1: #10 is 0.190 in


def test_memory_stays_flat_however_many_codes_are_read(engine: Engine) -> None:
    """Every code was kept, 8 kB each, for as long as the program ran."""
    for n in range(40):
        advise(engine, from_values({"callout": f"ISO 4042/Zn{n}/An/T0", "size": "M10"}), ask=False)
    before = kept(engine)
    for n in range(40, 400):
        advise(engine, from_values({"callout": f"ISO 4042/Zn{n}/An/T0", "size": "M10"}), ask=False)
    assert kept(engine) - before < 400


def kept(owner: object, depth: int = 4) -> int:
    """How many entries the stores below an object hold."""
    if isinstance(owner, dict):
        return len(owner) + sum(kept(v, depth - 1) for v in owner.values() if depth > 0 and hasattr(v, "__dict__"))
    fields = getattr(owner, "__dict__", {})
    return sum(kept(v, depth - 1) for v in fields.values()) if depth > 0 else 0


def test_a_thickness_that_was_said_is_not_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    (reading,) = answer(capsys, "decode", "ASTM B456 20 um")["results"]["readings"]
    assert reading["thickness_um"] == 20
    assert not any("thickness" in ask for ask in reading["incomplete"])


def test_it_is_told_whether_the_first_place_hangs_on_the_weights(engine: Engine) -> None:
    """Computed nowhere before: for some enquiry a weight moved by a quarter changes the first place, for another
    none."""
    topples = [advise(engine, from_values(node.enquiry), ask=False).topples for node in engine.base.references.values()]
    assert any(topples)
    assert not all(topples)


def test_change_the_size_reopens_the_size(guide: Guide) -> None:
    """The very phrase of the README and the help reopened nothing."""
    shown = run_demo(guide, ["M10 8.8 bolts outside", "change the size", "M16"])
    assert "M16" in " ".join(shown[2])


@pytest.mark.parametrize(
    "code", ["ASTM F1137 grade C", "ASTM A1059 class 40", "ISO 12683", "EN 13858", "ASTM B733", "AS/NZS 1214"]
)
def test_a_document_that_is_decoded_is_seen_in_an_enquiry(vocabulary: Vocabulary, code: str) -> None:
    """29 of 78 documents that decode knew were no code to an enquiry."""
    understood = read(f"M10 8.8 bolts to {code}, outside", vocabulary).understood
    assert {"callout", "standard"} & set(understood)
