"""Order lines of inch and structural bolts speak of ASTM documents, not of ISO thread marks."""

from __future__ import annotations

from advisor.calculations import specify
from advisor.graph.base import Base


def lines(base: Base, **inputs: str) -> str:
    return "\n".join(specify.run(base, dict(inputs)).lines)


def test_galvanized_a325_is_ordered_as_a_set_of_its_documents(base: Base) -> None:
    # ASTM F3125 and A563: DH nut, overtapped, with a visibly dyed lubricant; F436 washer; rotational-capacity test
    order = lines(base, finish="hot-dip-f2329", size="7/8-9", strength="A325")
    for word in ("A563", "DH", "dyed lubricant", "F436", "rotational-capacity"):
        assert word in order, word
    for word in ("6AZ", "mark Z", "Lubricant: none"):
        assert word not in order, word


def test_a_metric_dip_keeps_its_iso_thread_marks(base: Base) -> None:
    assert "6AZ" in lines(base, finish="hot-dip-iso-10684", size="M16", strength="8.8")


def test_a_coat_thicker_than_the_allowance_is_not_gauged_at_basic_size(base: Base) -> None:
    # four times 20 µm is 80 µm; a 3/4-10 UNC 2A thread has an allowance of 46 µm (ASME B1.1)
    order = lines(base, finish="fluoropolymer", size="3/4-10", strength="B7")
    assert "overtapped" in order
    assert "basic-size GO gauge" not in order


def test_a_coat_without_zinc_has_no_hours_to_white_rust(base: Base) -> None:
    for finish in ("black-oxide", "phosphate-oil"):
        assert "white rust" not in lines(base, finish=finish)
