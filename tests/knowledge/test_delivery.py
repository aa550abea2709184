"""Inspection, sampling and papers of a delivery: the figures of the facts and tables, worked again from their
sources."""

from __future__ import annotations

import pytest

from advisor.graph.base import Base

AS_READ: dict[str, list[tuple[object, ...]]] = {
    "delivery-f2329-batch": [("151 and more", 2, 2, 2), ("51 to 150", 2, 1, 2)],  # ASTM F2329-15, Table 1
    "delivery-zero-accept": [("501 to 1200", 19), ("1201 to 3200", 23)],  # MIL-DTL-45300C, Table III
    "delivery-level-two": [("501 to 1200", 80, 3, 6), ("281 to 500", 50, 2, 4)],  # MIL-STD-105E, Tables I and II-A
}


@pytest.mark.parametrize("table", AS_READ)
def test_rows_as_the_document_prints_them(base: Base, table: str) -> None:
    rows: set[tuple[object, ...]] = {tuple(r) for r in base.node(table)["rows"]}
    assert set(AS_READ[table]) <= rows


def test_chance_to_accept_a_bad_lot(base: Base) -> None:
    """Binomial: none found among n when a share p is bad, (1 - p) ** n."""
    for pieces, *chances in base.node("delivery-clean-sample")["rows"]:
        for chance, share in zip(chances, (0.01, 0.05, 0.10), strict=True):
            assert chance == pytest.approx(100 * (1 - share) ** pieces, abs=0.6)


def test_torque_limit_of_the_rotational_capacity_test(base: Base) -> None:
    """FHWA: torque at installation tension at most 0.25 P D; diameters in inch, 25.4 mm each."""
    for diameter_in, tension_kn, torque_limit_nm in base.node("delivery-rc-limits")["rows"]:
        whole, _, part = diameter_in.rpartition("-")
        top, _, below = part.partition("/")
        inches = (float(whole) if whole else 0.0) + (float(top) / float(below) if below else float(top))
        assert torque_limit_nm == pytest.approx(0.25 * tension_kn * inches * 25.4, rel=0.01)


def test_cost_per_year_of_two_quotations() -> None:
    """The worked example of the fact: ISO 9223 upper rate of C3, 2.1 µm a year; prices of the example."""
    plate, dip = (0.10 + 1.20) / (8 / 2.1), (0.22 + 1.20) / (40 / 2.1)
    assert (round(plate, 2), round(dip, 3)) == (0.34, 0.075)


def test_clamp_at_the_same_torque_with_what_is_in_stock(base: Base) -> None:
    """Clamp changes as the nut factors: zinc dry 0.22, flake 0.15, hot dip dry 0.32 and waxed 0.14, A2 dry 0.40."""
    given = {(ordered, stock): clamp for ordered, stock, _, clamp, _ in base.node("delivery-from-stock")["rows"]}
    assert float(given["8.8 zinc dry", "8.8 zinc flake lubricated"]) == pytest.approx(0.22 / 0.15, abs=0.01)
    assert float(given["8.8 hot dip", "8.8 zinc"]) == pytest.approx(0.32 / 0.22, abs=0.01)
    assert float(given["10.9 zinc flake", "10.9 zinc plated"]) == pytest.approx(0.15 / 0.22, abs=0.01)
    assert given["8.8 zinc", "8.8 hot dip with Z nut"] == "0.69 dry, 1.57 waxed"
    assert (round(0.22 / 0.32, 2), round(0.22 / 0.14, 2)) == (0.69, 1.57)
