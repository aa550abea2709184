"""Two metals in contact against published index tables, the naval sea-water series and what practice does."""

from __future__ import annotations

import pytest

from advisor.calculations import couple
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.trade import galvanic

# Pair, difference of anodic index in V. Index table of engineering web pages and an encyclopaedia.
INDEX_PAIRS = [
    ("stainless-steel", "aluminium", 0.40, "aluminium"),
    ("stainless-steel", "carbon-steel", 0.35, "carbon-steel"),
    ("stainless-steel", "cast-iron", 0.35, "cast-iron"),
    ("zinc-plated-steel", "stainless-steel", 0.75, "zinc-plated-steel"),
    ("galvanized-steel", "stainless-steel", 0.70, "galvanized-steel"),
    ("zinc-plated-steel", "brass", 0.85, "zinc-plated-steel"),
    ("zinc-plated-steel", "copper", 0.90, "zinc-plated-steel"),
    ("zinc-plated-steel", "aluminium", 0.35, "zinc-plated-steel"),
    ("galvanized-steel", "aluminium", 0.30, "galvanized-steel"),
    ("galvanized-steel", "carbon-steel", 0.35, "galvanized-steel"),
    ("galvanized-steel", "zinc-plated-steel", 0.05, "zinc-plated-steel"),
    ("cadmium", "aluminium", 0.05, "cadmium"),
    ("titanium", "aluminium", 0.60, "aluminium"),
    ("copper", "aluminium", 0.55, "aluminium"),
    ("carbon-steel", "aluminium", 0.05, "aluminium"),
    ("magnesium", "stainless-steel", 1.25, "magnesium"),
    ("magnesium", "zinc-plated-steel", 0.50, "magnesium"),
    ("silver", "stainless-steel", 0.35, "stainless-steel"),
    ("silver", "gold", 0.15, "silver"),
    ("gold", "stainless-steel", 0.50, "stainless-steel"),
    ("nickel", "copper", 0.05, "copper"),
    ("brass", "copper", 0.05, "brass"),
    ("lead", "copper", 0.35, "lead"),
    ("lead", "stainless-steel", 0.20, "lead"),
    ("tin", "copper", 0.25, "tin"),
    ("carbon-steel", "copper", 0.50, "carbon-steel"),
    ("titanium", "stainless-steel", 0.20, "stainless-steel"),
]

# Sea-water potentials, V against calomel: US Naval Research Laboratory.
SEA_WATER = {
    "zinc-plated-steel": -1.03,
    "aluminium": -0.76,
    "cadmium": -0.69,
    "carbon-steel": -0.61,
    "cast-iron": -0.61,
    "magnesium": -1.64,
    "copper": -0.36,
    "silicon-bronze": -0.27,
    "lead": -0.22,
    "nickel": -0.15,
    "silver": -0.13,
    "titanium": -0.10,
    "stainless-steel": -0.08,
    "gold": 0.14,
    "tin": -0.325,
}


def answer(base: Base, first: str, second: str, **more: str) -> dict[str, object]:
    inputs: dict[str, str | list[str]] = {
        "metals": [first, second],
        **{k.replace("_", "-"): v for k, v in more.items()},
    }
    return dict(couple.run(base, inputs).results)


@pytest.mark.parametrize(("first", "second", "volts", "anode"), INDEX_PAIRS)
def test_difference_and_sufferer_by_the_index(base: Base, first: str, second: str, volts: float, anode: str) -> None:
    got = answer(base, first, second)
    assert got["potential_difference_v"] == pytest.approx(volts, abs=0.001)
    assert got["anode"] == anode
    assert answer(base, second, first)["anode"] == anode


# The rule of 0.50 V (controlled), 0.25 V (store), 0.15 V (harsh); places as the trade reads them.
@pytest.mark.parametrize(
    ("site", "volts"),
    [
        ("indoor-dry", 0.50),
        ("indoor-damp", 0.25),
        ("outdoor", 0.15),
        ("outdoor-rural", 0.15),
        ("outdoor-urban", 0.15),
        ("industrial", 0.15),
        ("coastal", 0.15),
        ("offshore-splash", 0.15),
        ("road-salt", 0.15),
        ("immersion-fresh", 0.15),
        ("immersion-sea", 0.15),
        ("C1", 0.50),
        ("C5", 0.15),
    ],
)
def test_allowed_difference_by_place(base: Base, site: str, volts: float) -> None:
    assert answer(base, "brass", "copper", site=site)["allowed_v"] == volts


@pytest.mark.parametrize(
    ("first", "second", "site", "verdict"),
    [
        ("stainless-steel", "aluminium", "indoor-dry", "compatible"),
        ("stainless-steel", "aluminium", "indoor-damp", "caution"),
        ("stainless-steel", "aluminium", "coastal", "caution"),
        ("silver", "gold", "outdoor", "compatible"),
        ("zinc-plated-steel", "stainless-steel", "outdoor", "incompatible"),
        ("zinc-plated-steel", "stainless-steel", "indoor-dry", "caution"),
        ("zinc-plated-steel", "copper", "coastal", "incompatible"),
        ("galvanized-steel", "zinc-plated-steel", "coastal", "compatible"),
        ("cadmium", "aluminium", "coastal", "compatible"),
        ("magnesium", "carbon-steel", "outdoor", "incompatible"),
        ("brass", "copper", "immersion-sea", "compatible"),
        ("nickel", "titanium", "immersion-sea", "compatible"),
        ("carbon-steel", "copper", "indoor-dry", "compatible"),
    ],
)
def test_verdict_of_the_voltage_rule(base: Base, first: str, second: str, site: str, verdict: str) -> None:
    assert answer(base, first, second, site=site)["verdict"] == verdict


@pytest.mark.parametrize(
    ("metal", "verdict"),
    [
        ("aluminium", "incompatible"),
        ("carbon-steel", "incompatible"),
        ("zinc-plated-steel", "incompatible"),
        ("cadmium", "incompatible"),
        ("magnesium", "incompatible"),
        ("titanium", "caution"),
        ("stainless-steel", "caution"),
    ],
)
def test_carbon_fibre_is_judged_by_the_sea_water_series(base: Base, metal: str, verdict: str) -> None:
    got = answer(base, metal, "carbon-fibre", site="outdoor")
    assert got["verdict"] == verdict
    assert got["anode"] == metal
    assert got["potential_difference_v"] == pytest.approx(0.25 - SEA_WATER[metal], abs=0.005)


@pytest.mark.parametrize(("metal", "volts"), SEA_WATER.items())
def test_sea_water_potential_stands_beside_the_index(base: Base, metal: str, volts: float) -> None:
    shown = answer(base, metal, "brass", site="coastal")["sea_water_v"]
    assert isinstance(shown, list)
    assert shown[0] == volts


# MIL-STD-1250A, 5.6 and 5.7 and advice pages on stainless steel in aluminium.
def test_stainless_screws_in_aluminium_show_the_rule_and_the_practice(base: Base) -> None:
    got = answer(base, "stainless-steel", "aluminium", site="outdoor-urban")
    assert got["verdict"] == "caution"
    assert got["practice"]["verdict"] == "compatible"  # type: ignore[index]
    assert got["rules_disagree"] is True
    lines = couple.run(base, {"metals": ["stainless-steel", "aluminium"], "site": "outdoor-urban"}).lines
    assert any("voltage rule" in line for line in lines)
    assert any(line.startswith("But practice says compatible") for line in lines)


def test_aluminium_rivets_in_stainless_sheet_are_refused_by_practice(base: Base) -> None:
    got = answer(base, "aluminium", "stainless-steel", site="outdoor")
    assert got["practice"]["verdict"] == "incompatible"  # type: ignore[index]


@pytest.mark.parametrize(
    ("fastener", "part", "site", "verdict"),
    [
        ("zinc-plated-steel", "stainless-steel", "outdoor", "incompatible"),
        ("zinc-plated-steel", "stainless-steel", "indoor-dry", "compatible"),
        ("galvanized-steel", "weathering-steel", "outdoor", "compatible"),
        ("zinc-plated-steel", "weathering-steel", "outdoor", "incompatible"),
        ("carbon-steel", "copper", "outdoor", "incompatible"),
        ("stainless-steel", "galvanized-steel", "outdoor", "compatible"),
        ("stainless-steel", "galvanized-steel", "coastal", "caution"),
        ("stainless-steel", "aluminium", "immersion-sea", "incompatible"),
        ("titanium", "carbon-fibre", "coastal", "compatible"),
        ("cadmium", "titanium", "indoor-dry", "incompatible"),
        ("zinc-electroplate", "stainless-a2", "outdoor", "incompatible"),
        ("hot-dip-galvanized", "aluminium", "outdoor", "compatible"),
        ("zinc-nickel", "aluminium", "outdoor", "compatible"),
    ],
)
def test_practice_of_small_fasteners(base: Base, fastener: str, part: str, site: str, verdict: str) -> None:
    assert answer(base, fastener, part, site=site)["practice"]["verdict"] == verdict  # type: ignore[index]


def test_a_finish_counts_as_its_coat(base: Base) -> None:
    assert answer(base, "zinc-electroplate", "stainless-a4")["potential_difference_v"] == pytest.approx(0.75)
    assert answer(base, "hot-dip-galvanized", "mild steel")["potential_difference_v"] == pytest.approx(0.35)
    assert answer(base, "black-oxide", "aluminum")["potential_difference_v"] == pytest.approx(0.05)


def test_a_large_noble_part_turns_caution_into_refusal(base: Base) -> None:
    assert answer(base, "stainless-steel", "carbon-steel", area_ratio="0.1")["verdict"] == "caution"
    assert answer(base, "stainless-steel", "carbon-steel", area_ratio="10")["verdict"] == "incompatible"


# Catchment principle of the textbooks: 1 + cathode area / anode area.
@pytest.mark.parametrize(("ratio", "factor"), [(10, 11), (0.1, 1.1), (1, 2), (100, 101)])
def test_area_factor(base: Base, ratio: float, factor: float) -> None:
    assert galvanic.area_factor(ratio) == pytest.approx(factor)
    assert answer(base, "brass", "aluminium", area_ratio=str(ratio))["area_factor"] == pytest.approx(factor)


# 1 µA/cm² in µm/a, form of ASTM G102; equivalent weights and densities of the pure metals.
@pytest.mark.parametrize(
    ("metal", "equivalent_g", "density", "um_a"),
    [
        ("iron", 27.92, 7.87, 11.6),
        ("zinc", 32.69, 7.14, 15.0),
        ("aluminium", 8.99, 2.70, 10.9),
        ("cadmium", 56.21, 8.65, 21.3),
        ("magnesium", 12.15, 1.74, 22.8),
    ],
)
def test_corrosion_current_as_loss(base: Base, metal: str, equivalent_g: float, density: float, um_a: float) -> None:
    assert galvanic.penetration_um_a(1, equivalent_g, density) == pytest.approx(um_a, rel=5e-3)
    row = next(r for r in base.table("corrosion-current").records() if r["metal"] == metal)
    assert row["um_a"] == um_a


def test_limit_cases_of_the_rule() -> None:
    assert galvanic.judge_by_index((0.0, 0.15), 0.15, True).verdict == "compatible"
    assert galvanic.judge_by_index((0.0, 0.45), 0.15, True).verdict == "caution"  # exactly three times
    assert galvanic.judge_by_index((0.0, 0.46), 0.15, True).verdict == "incompatible"
    assert galvanic.judge_by_index((0.4, 0.4), 0.15, True).anode is None


@pytest.mark.parametrize(
    ("inputs", "says"),
    [
        ({"metals": ["brass"]}, "two metals"),
        ({"metals": ["brass", "copper", "lead"]}, "two metals"),
        ({"metals": ["brass", "timber"]}, "no metal"),
        ({"metals": ["plastic", "brass"]}, "no metal"),
        ({"metals": ["stainles-steel", "brass"]}, "stainless-steel"),
        ({"metals": ["brass", "copper"], "site": "moon"}, "indoor-dry"),
        ({"metals": ["brass", "copper"], "area-ratio": "0"}, "above 0"),
        ({"metals": ["brass", "copper"], "area-ratio": "-3"}, "above 0"),
        ({"metals": ["brass", "copper"], "area-ratio": "big"}, "not a number"),
        ({"metals": ["chromium", "carbon-fibre"]}, "no potential"),
    ],
)
def test_couple_refuses_what_it_does_not_know(base: Base, inputs: dict[str, str | list[str]], says: str) -> None:
    with pytest.raises(UsageError, match=says):
        couple.run(base, inputs)
