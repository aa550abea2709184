"""What a designation leaves open is asked; what was said is never asked."""

from __future__ import annotations

from typing import Any

import pytest

from advisor.calculations import decode
from advisor.codes.callout import ask, still_open
from advisor.codes.forms import Open
from advisor.graph.base import Base


def first(base: Base, callout: str) -> dict[str, Any]:
    readings = decode.run(base, {"callout": callout}).results["readings"]
    assert isinstance(readings, list)
    found: dict[str, Any] = readings[0]
    return found


@pytest.mark.parametrize(
    ("callout", "said", "word"),
    [
        ("ASTM B456 20 um", "thickness_um", "thickness"),
        ("ASTM B633 8 um", "thickness_um", "thickness"),
        ("ISO 10683 480h", "salt_spray_red_h", "hours"),
        ("Fe/Zn 8 yellow Cr(VI) free", "passivation", "film"),
        ("zinc plated 8 um clear, chromium 6 free", "thickness_um", "thickness"),
    ],
)
def test_what_was_said_is_not_asked(base: Base, callout: str, said: str, word: str) -> None:
    # "the nickel thickness and type" was asked beside 20 µm: the questions were told apart by how they begin
    reading = first(base, callout)
    assert reading[said] is not None
    assert not any(word in line for line in reading["incomplete"]), reading["incomplete"]


def test_the_rest_of_a_half_answered_question_stays(base: Base) -> None:
    question = Open("the thickness and the film", ("thickness", "film"))
    left = still_open(base, [question], frozenset(("thickness", "chromium")))
    assert left == [ask(base, "film")]
    assert still_open(base, [question], frozenset()) == [question]
    assert still_open(base, [Open("which edition")], frozenset(("film",))) == [Open("which edition")]


def test_rewording_a_question_changes_no_reading(base: Base) -> None:
    # every question that a value can answer says so by slug, not by its sentence
    for code in base.codes.values():
        for group, text in code.needs.items():
            if text.startswith("the thickness") or group == "um":
                assert "thickness" in code.asks.get(group, ()), (code.id, text)
            if "hours" in text:
                assert "hours" in code.asks.get(group, ()), (code.id, text)


def test_a_column_on_the_evidence_of_a_row_is_no_part_of_the_coat(base: Base) -> None:
    # ISO 4042:2018, film C: one row is recalled, the other printed
    assert not any("basis" in line for line in first(base, "ISO 4042/Zn8/C/T0")["incomplete"])
