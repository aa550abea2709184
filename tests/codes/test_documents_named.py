"""Documents that order no coat are said to be what they are; one unknown letter loses no more than itself."""

from __future__ import annotations

from typing import Any

import pytest

from advisor.calculations import decode
from advisor.dialogue.one_shot import answer
from advisor.dialogue.state import Desk
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.engine import Engine
from advisor.views.direct import direct_answer


@pytest.fixture(scope="module")
def desk(base: Base) -> Desk:
    return Desk(Engine(base), Vocabulary.of(base))


def read(base: Base, callout: str) -> tuple[dict[str, Any], str]:
    found = decode.run(base, {"callout": callout})
    readings = found.results["readings"]
    assert isinstance(readings, list)
    return readings[0], " ".join(found.lines)


@pytest.mark.parametrize(
    ("callout", "holds"),
    [
        # BS 3382:1961 parts 1 and 2: cadmium and zinc on threaded components
        ("BS 3382", ("withdrawn", "part 1 cadmium, part 2 zinc", "ISO 4042")),
        ("BS 3382 part 2", ("zinc",)),
        # BS 7371 part 6: hot dip, part 8: sherardizing
        ("BS 7371-6", ("6 hot dip",)),
        ("DIN 50960", ("written on drawings", "ISO 4042")),
        ("DIN 50962 Cr", ("ZnNi", "ISO 19598")),
        # JIS H 8641: HDZ 35 is 350 g/m²; at 7.14 g/cm³ 49 µm
        ("JIS H 8641 HDZ 35", ("350 g/m²", "49 µm")),
        ("AMS 2401", ("Cadmium",)),
        ("AMS 2404", ("Electroless nickel",)),
        # AMS 2700: passivation of corrosion-resistant steels, no coat
        ("AMS 2700 Type 2", ("Passivation", "no coat is added")),
        ("NF E25-009", ("France",)),
        ("AS 1897", ("Australia",)),
        ("NASM1312", ("no coat",)),
        # EN 14399-8: fit bolts 10.9; EN 15048: non-preloaded
        ("EN 14399-8", ("10.9",)),
        ("EN 15048-1 SB 8.8", ("snug tight",)),
        # EN 14399-1: K1 by the range of every single k-factor, 0.10 to 0.16
        ("K1", ("0.10 and 0.16",)),
        # ISO 965-5: oversize nut threads
        ("6AZ", ("Never on a bolt marked U",)),
        ("Cu/Ni/Cr", ("nickel protects",)),
    ],
)
def test_a_document_without_a_code_is_told(base: Base, callout: str, holds: tuple[str, ...]) -> None:
    _, text = read(base, callout)
    assert not [x for x in holds if x not in text], text


@pytest.mark.parametrize(
    ("callout", "family", "um", "status"),
    [
        # ISO 4042:2018 Zn8/Cn/T2 with a letter of the orderer's own
        ("ISO 4042 Zn8/Cn/T2/C", "zinc-electroplate", 8, "current"),
        ("ISO 4042/Zn8/Cn/T0/Q", "zinc-electroplate", 8, "current"),
        ("DIN 50961 Fe/Zn 12", "zinc-electroplate", 12, "current"),
        # QQ-Z-325: class 1, 2, 3 are 0.001, 0.0005 and 0.0002 in
        ("QQ-Z-325 type II class 2", "zinc-electroplate", 13, "withdrawn"),
        ("QQ-Z-325 Type II Class 3", "zinc-electroplate", 5, "withdrawn"),
        ("QQ-P-416 type II class 2", "cadmium", 8, "superseded"),
        # ASTM F1941:2015 writes AN and CN for films that are not hexavalent: it is in force
        ("Fe/Zn 12 An ASTM F1941", "zinc-electroplate", 12, "current"),
        ("ASTM F1941 Fe/ZnNi 8 CN", "zinc-nickel", 8, "current"),
    ],
)
def test_the_rest_of_a_code_is_kept(base: Base, callout: str, family: str, um: float, status: str) -> None:
    reading, _ = read(base, callout)
    assert (reading["family"], reading["thickness_um"], reading["status"]) == (family, um, status)


@pytest.mark.parametrize(
    ("callout", "mark"),
    [("ISO 10684 tZn U", "6az"), ("ISO 10684 tZn Z", "6AZ"), ("HDG 8.8U", "6az"), ("8.8 8 tZn U", "6az")],
)
def test_the_marks_of_dipped_parts_are_read(base: Base, callout: str, mark: str) -> None:
    reading, text = read(base, callout)
    assert reading["family"] == "hot-dip-galvanized"
    assert mark in text
    assert not [x for x in reading["incomplete"] if "was not read" in x]


@pytest.mark.parametrize("name", ["qwolarium KL100", "house norm 77-X"])
def test_a_name_is_not_guessed(base: Base, name: str) -> None:
    with pytest.raises(UsageError, match="data sheet"):
        decode.run(base, {"callout": name})


@pytest.mark.parametrize("text", ["is qwolarium the same as zinc flake", "do you have qwolarium", "what is qwolarium"])
def test_a_trade_name_in_a_question_asks_for_process_standard_or_data_sheet(desk: Desk, text: str) -> None:
    said = direct_answer(desk.engine, answer(desk, text).replies)
    assert said.verdict == "none"
    for word in ("qwolarium", "process", "standard", "data sheet"):
        assert word in said.text
