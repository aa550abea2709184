"""Surface, mass and coat of parts against printed surface tables, a weight chart, and a parts library's head sizes."""

from __future__ import annotations

import json
import re
from importlib.metadata import distribution
from pathlib import Path
from typing import Any

import pytest

from advisor.calculations import quantity as command
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.trade import quantities as q
from advisor.trade.sizes import read_size


def run(base: Base, part: str, size: str, length: str = "", **more: str) -> dict[str, Any]:
    inputs = {
        "part": part,
        "size": size,
        **({"length": length} if length else {}),
        **{k.replace("_", "-"): v for k, v in more.items()},
    }
    return dict(command.run(base, inputs).results)


# Surface per mm of thread and of full shank in mm2/mm: ISO 10684 Annex D and ISO 4042:1999 Annex G on a standards page.
PER_MM = [
    ("M8", 38.48, 25.15),
    ("M10", 48.31, 31.42),
    ("M12", 58.14, 37.63),
    ("M16", 78.69, 50.27),
    ("M2", 9.31, 6.27),
    ("M2.5", 11.81, 7.85),
]


@pytest.mark.parametrize(("size", "thread_mm2", "shank_mm2"), PER_MM)
def test_surface_per_millimetre_is_the_printed_one(base: Base, size: str, thread_mm2: float, shank_mm2: float) -> None:
    t = read_size(base.table("thread-sizes"), size)
    assert q.threaded(t, 1).surface_mm2 == pytest.approx(thread_mm2, rel=0.005)
    assert q.shank(t.diameter_mm, 1).surface_mm2 == pytest.approx(shank_mm2, rel=0.003)


def test_head_of_m16_has_the_printed_surface() -> None:
    # ISO 10684 Annex D: 1830 mm2 for M16 and 541.3 for M8. M10, M12, M14 are printed for the old 17, 19, 22 across
    # flats.
    assert q.hexagon_head(24, 10).surface_mm2 == pytest.approx(1830, rel=0.005)
    assert q.hexagon_head(13, 5.3).surface_mm2 == pytest.approx(541.3, rel=0.03)
    assert q.hexagon_head(17, 6.4).surface_mm2 == pytest.approx(905.8, rel=0.04)


def test_partly_threaded_m16_adds_up_as_the_printed_table(base: Base) -> None:
    # 38 mm of thread and 42 mm of shank: 78.69 x 38 + 50.27 x 42 + 1830 = 6931.6
    r = run(base, "hex-bolt", "M16", "80", thread_length="38")
    assert r["surface_mm2_each"] == pytest.approx(6931.6, rel=0.002)


# Hexagon screws threaded to the head: surface mm2, mass g, dm2/kg, zinc of 8 um in g (formulas of the two annexes
# with the
# across flats of ISO 4017).
HEX = [
    ("M6", "20", 885, 6.25, 14.2, 0.051),
    ("M10", "40", 2731, 31.2, 8.7, 0.156),
    ("M12", "50", 3937, 52.9, 7.4, 0.225),
    ("M20", "60", 8760, 201, 4.4, 0.5),
]


@pytest.mark.parametrize(("size", "length", "surface", "mass", "per_kg", "zinc"), HEX)
def test_hexagon_screws(
    base: Base, size: str, length: str, surface: float, mass: float, per_kg: float, zinc: float
) -> None:
    r = run(base, "hex-bolt", size, length, thickness="8")
    assert r["surface_mm2_each"] == pytest.approx(surface, rel=0.002)
    assert r["mass_g_each"] == pytest.approx(mass, rel=0.005)
    assert r["surface_dm2_per_kg"] == pytest.approx(per_kg, abs=0.06)
    assert r["coating_g_each"] == pytest.approx(zinc, rel=0.01)


# Distributor weight chart, kg/1000, ISO 4762. Left out: M20x60, 194, which the sum of head and thread misses by 11 %.
CHART = [
    ("M5", "20", 4.0),
    ("M6", "20", 6.5),
    ("M6", "40", 11.0),
    ("M8", "50", 24.9),
    ("M10", "60", 45.7),
    ("M16", "60", 122),
    ("M20", "80", 241),
]


@pytest.mark.parametrize(("size", "length", "mass"), CHART)
def test_socket_screws_weigh_as_the_chart_says(base: Base, size: str, length: str, mass: float) -> None:
    assert run(base, "socket-cap-screw", size, length)["mass_g_each"] == pytest.approx(mass, rel=0.12)


def test_halving_the_diameter_doubles_the_surface_of_a_kilogram(base: Base) -> None:
    # Rule of thumb: about 87/d dm2/kg for screws of 3 to 4 d
    for size, length, d in (("M6", "20", 6), ("M8", "30", 8), ("M12", "40", 12), ("M24", "80", 24)):
        assert run(base, "hex-bolt", size, length)["surface_dm2_per_kg"] == pytest.approx(87 / d, rel=0.04)


def test_a_small_lot_pays_the_least_charge(base: Base) -> None:
    # 200 pieces of M10x40, 6.25 kg, 1.5 a kilogram, least charge 95: 95, 0.475 each; with 30 for baking 125, 0.625 each
    r = run(base, "hex-bolt", "M10", "40", count="200", rate="1.5", lot_minimum="95")
    assert (r["lot_price"], r["price_each"]) == (95, pytest.approx(0.475))
    assert r["lot_kg"] == pytest.approx(6.25, rel=0.01)
    r = run(base, "hex-bolt", "M10", "40", count="200", rate="1.5", lot_minimum="95", fees="30")
    assert (r["lot_price"], r["price_each"]) == (125, pytest.approx(0.625))
    assert r["relative_lot_cost"] > 4
    assert run(base, "hex-bolt", "M10", "40", count="100000")["relative_lot_cost"] == 1


def test_small_lot_is_warned_of(base: Base) -> None:
    inputs = {"part": "nut", "size": "M10", "count": "100"}
    assert command.run(base, inputs).cautions == ("minimum-lot",)
    assert command.run(base, {**inputs, "count": "100000"}).cautions == ()


def test_cost_of_a_year_of_protection(base: Base) -> None:
    # zinc 1 with a refit of 10 every 2 years: 5.50 a year; A4 5 with 10 every 20 years: 0.75
    assert run(base, "hex-bolt", "M10", "40", price="1", renewal="10", years="2")["cost_per_year"] == [5.5, 5.5]
    assert run(base, "hex-bolt", "M10", "40", price="5", renewal="10", years="20")["cost_per_year"] == [0.75, 0.75]
    # ISO 9223 Table 2: C3 takes 0.7 to 2.1 um of zinc a year
    r = run(base, "hex-bolt", "M10", "40", thickness="8", site="C3", price="1", renewal="10")
    assert r["life_years"] == pytest.approx([8 / 2.1, 8 / 0.7], rel=1e-4)
    assert r["cost_per_year"] == pytest.approx([11 * 0.7 / 8, 11 * 2.1 / 8], rel=1e-4)


def test_a_heavier_coat_weighs_in_proportion(base: Base) -> None:
    thin, thick = (run(base, "hex-bolt", "M10", "40", thickness=t)["coating_g_each"] for t in ("8", "50"))
    assert thick == pytest.approx(thin * 50 / 8, rel=1e-4)
    # 50 um on M10x40: 0.975 g of zinc
    assert thick == pytest.approx(0.975, rel=0.01)


def test_every_part_of_m10_has_surface_and_mass(base: Base) -> None:
    for part, shape in q.PARTS.items():
        r = run(base, part, "M10", "60" if shape.has_length else "")
        assert 0 < r["coating_g_each"] < r["mass_g_each"]
        assert 2 < r["surface_dm2_per_kg"] < 40


def test_lengths_in_inches_are_read(base: Base) -> None:
    assert (
        run(base, "hex-bolt", "3/8-16", "2in")["mass_g_each"] == run(base, "hex-bolt", "3/8-16", "50.8")["mass_g_each"]
    )


@pytest.mark.parametrize(
    ("inputs", "says"),
    [
        ({"part": "hex-bolt", "size": "M10"}, "needs a length"),
        ({"part": "anchor", "size": "M10", "length": "40"}, "parts: hex-bolt"),
        ({"part": "hex-bolt", "size": "M7", "length": "40"}, "nearest: M6, M8"),
        ({"part": "flange-bolt", "size": "3/8-16", "length": "40"}, "no inch dimensions"),
        ({"part": "hex-bolt", "size": "M10", "length": "0"}, "--length 0"),
        ({"part": "hex-bolt", "size": "M10", "length": "x"}, "not a number"),
        ({"part": "hex-bolt", "size": "M10", "length": "40", "count": "2.5"}, "whole number"),
        ({"part": "hex-bolt", "size": "M10", "length": "40", "thickness": "-2"}, "--thickness -2"),
        ({"part": "hex-bolt", "size": "M10", "length": "40", "site": "C9"}, "not a category of the air"),
    ],
)
def test_bad_input_gets_a_sentence(base: Base, inputs: dict[str, str], says: str) -> None:
    with pytest.raises(UsageError, match=re.escape(says)):
        command.run(base, inputs)


# the parts library, read as plain files -----------------------------------------------------------------------------


def library(name: str) -> dict[str, Any]:
    """A table of head sizes of a small parts library."""
    path = distribution("cq-queryabolt").locate_file(name)
    return dict(json.loads(Path(str(path)).read_text("utf-8")))


def test_nuts_have_the_sizes_of_the_parts_library(base: Base) -> None:
    theirs, checked = library("nuts.json"), 0
    for r in base.table("part-nut").records():
        nut = theirs.get(str(r["size"]), {}).get("hexagon")
        if nut:
            assert (r["across_mm"], r["height_mm"]) == (nut["width"], nut["thickness"])
            checked += 2
    assert checked >= 50


def test_socket_heads_have_the_sizes_of_the_parts_library(base: Base) -> None:
    theirs, checked = library("bolts.json"), 0
    for r in base.table("part-socket-cap-screw").records():
        head = theirs.get(str(r["size"]), {}).get("socket_head")
        if head:
            assert (r["across_mm"], r["height_mm"]) == (head["head_diameter"], head["head_length"])
            checked += 2
    assert checked >= 36
