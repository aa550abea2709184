"""Conversions against exact factors and printed conversion tables."""

from __future__ import annotations

import re

import pytest

from advisor.calculations import convert as command
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.trade.units import read_number


def convert(base: Base, value: str, unit: str, to: str = "", **more: str) -> float:
    inputs = {"value": value, "unit": unit, **({"to": to} if to else {}), **more}
    return float(str(command.run(base, inputs).results["value"]))


# Exact: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, g = 9.80665 m/s2 (international yard and pound agreement).
FACTORS = [
    ("1", "mil", "um", 25.4),
    ("8", "um", "mil", 0.314961),
    ("0.5", "mil", "um", 12.7),
    ("1/2", "inch", "mm", 12.7),
    ("1-1/2", "in", "mm", 38.1),
    ("25.4", "mm", "inch", 1.0),
    ("0.0003", "in", "um", 7.62),
    ("1", "lbf.ft", "N.m", 1.355818),
    ("100", "N.m", "lbf.ft", 73.75621),
    ("1", "lbf.in", "N.m", 0.1129848),
    ("12", "lbf.in", "lbf.ft", 1.0),
    ("10", "N.m", "lbf.in", 88.50746),
    ("150", "ksi", "MPa", 1034.214),
    ("830", "MPa", "ksi", 120.3813),
    ("1000", "lbf", "kN", 4.448222),
    ("20", "kN", "lbf", 4496.179),
    ("100", "C", "F", 212.0),
    ("-40", "F", "C", -40.0),
    ("450", "F", "C", 232.2222),
    ("0", "°C", "°F", 32.0),
    ("1", "oz/ft2", "g/m2", 305.15),
    ("610.3", "g/m2", "oz/ft2", 2.0),
    # zinc, 7.14 g/cm3
    ("1", "um", "g/m2", 7.14),
    ("357", "g/m2", "um", 50.0),
    ("2", "oz/ft2", "um", 85.4762),
    ("85.4762", "um", "oz/ft2", 2.0),
    ("1", "oz/ft2", "mil", 1.682603),
]


@pytest.mark.parametrize(("value", "unit", "to", "want"), FACTORS)
def test_units_convert_by_their_exact_factors(base: Base, value: str, unit: str, to: str, want: float) -> None:
    assert convert(base, value, unit, to) == pytest.approx(want, rel=2e-5)


# Steel, rows of ASTM A370 / E140 conversion tables as quoted in data sheets: HRC, HV, HB, MPa.
HARDNESS = [
    (22, 248, 237, 790),
    (26, 272, 258, 860),
    (30, 302, 286, 950),
    (32, 318, 301, 1010),
    (34, 336, 319, 1050),
    (36, 354, 336, 1110),
    (38, 372, 353, 1180),
    (40, 392, 371, 1250),
    (42, 412, 390, 1340),
    (44, 434, 409, 1430),
]


@pytest.mark.parametrize(("hrc", "hv", "hb", "mpa"), HARDNESS)
def test_hardness_converts_by_the_printed_table(base: Base, hrc: int, hv: int, hb: int, mpa: int) -> None:
    assert [convert(base, str(hrc), "HRC", to) for to in ("HV", "HB", "MPa")] == [hv, hb, mpa]
    assert convert(base, str(hv), "HV", "HRC") == hrc
    assert convert(base, str(mpa), "MPa", "HRC") == hrc


def test_between_two_rows_it_is_linear(base: Base) -> None:
    assert convert(base, "38.5", "HRC", "HV") == 377


def test_nothing_is_extrapolated_beyond_the_hardness_table(base: Base) -> None:
    for value, unit, to in (
        ("15", "HRC", "HV"),
        ("66", "HRC", "HV"),
        ("900", "HV", "HRC"),
        ("60", "HRC", "MPa"),
        ("180", "HB", "HRC"),
        ("2000", "MPa", "HRC"),
    ):
        with pytest.raises(UsageError, match="outside the published table"):
            convert(base, value, unit, to)


def test_without_a_wanted_unit_the_counterpart_comes_first_and_the_others_beside(base: Base) -> None:
    r = command.run(base, {"value": "8", "unit": "um"}).results
    assert (r["unit"], r["value"]) == ("mil", pytest.approx(0.314961, rel=1e-5))
    assert r["also"] == {
        "inch": pytest.approx(0.000314961, rel=1e-5),
        "mm": 0.008,
        "g/m2": 57.12,
        "mg/dm2": 571.2,
        "oz/ft2": pytest.approx(0.187187, rel=1e-5),
    }
    soft = command.run(base, {"value": "180", "unit": "HB"}).results
    assert (soft["unit"], soft["value"]) == ("HV", 180)


SPELLINGS = [
    ("µm", "mil"),
    ("micron", "mil"),
    ("thou", "um"),
    ("ft-lb", "N.m"),
    ("Nm", "lbf.ft"),
    ("in-lbs", "N.m"),
    ("N/mm2", "ksi"),
    ("g/m²", "um"),
    ("mg/dm²", "um"),
    ("kip", "kN"),
    ("kgf·m", "N.m"),
]


# Exact by definition: 1 kip = 1000 lbf, 1 lbf = 4.4482216152605 N, 1 kgf = 9.80665 N; 60 HRC is 697 HV in ASTM E140.
@pytest.mark.parametrize(
    ("value", "unit", "to", "expected"),
    [("1", "kip", "kN", 4.448222), ("1", "kgf.m", "N.m", 9.80665), ("100", "mg/dm2", "g/m2", 10), ("60", "HRC", "HV",
    697),
     ("697", "HV", "HRC", 60), ("1", "kgf/mm2", "MPa", 9.80665)],
)  # fmt: skip
def test_units_of_older_drawings_and_of_hard_steel(base: Base, value: str, unit: str, to: str, expected: float) -> None:
    assert convert(base, value, unit, to) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(("typed", "counterpart"), SPELLINGS)
def test_units_are_read_as_the_trade_writes_them(base: Base, typed: str, counterpart: str) -> None:
    assert command.run(base, {"value": "10", "unit": typed}).results["unit"] == counterpart


def test_another_metal_has_its_own_density(base: Base) -> None:
    assert convert(base, "10", "um", "g/m2", metal="nickel") == 89
    assert convert(base, "10", "um", "g/m2", metal="cadmium") == 86.5


def test_numbers_with_comma_and_fractions() -> None:
    assert [read_number(x) for x in ("0,5", "1/2", "1-1/8", "1 1/8", ".25")] == [0.5, 0.5, 1.125, 1.125, 0.25]


BAD = [
    ("8", "furlong", "", "units: um, mil"),
    ("eight", "um", "", "not a number"),
    ("1/0", "inch", "", "not a number"),
    ("8", "kN", "HRC", "kN goes into"),
    ("-8", "um", "", "below zero"),
    ("-300", "C", "", "absolute zero"),
]


@pytest.mark.parametrize(("value", "unit", "to", "says"), BAD)
def test_bad_input_gets_a_sentence(base: Base, value: str, unit: str, to: str, says: str) -> None:
    with pytest.raises(UsageError, match=re.escape(says)):
        convert(base, value, unit, to)


def test_an_unknown_metal_is_refused_with_the_known_ones(base: Base) -> None:
    with pytest.raises(UsageError, match="metals: zinc"):
        convert(base, "8", "um", "g/m2", metal="unobtainium")
