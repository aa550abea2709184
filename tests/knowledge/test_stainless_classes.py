"""Stainless classes, compositions and marks against figures typed in from the published tables, and head marks of
steel.
"""

from __future__ import annotations

import pytest

from advisor.calculations.strengths import find_strength, grade_at
from advisor.graph.base import Base
from advisor.trade.tables import Cell

MPA_PER_KSI = 6.894757

# ISO 3506-1:2020, mechanical table for A2 on a supplier's page: class, tensile, 0.2 % yield, elongation in diameters.
AUSTENITIC = {"50": (500, 210, 0.6), "70": (700, 450, 0.4), "80": (800, 600, 0.3)}

# DIN 267-11 (ISO 3506:1979) extract on distributors' data pages: A2 and A4, to M20.
DIN_267_11 = {("A2", "70"): (700, 450), ("A2", "80"): (800, 600), ("A4", "70"): (700, 450), ("A4", "80"): (800, 600)}

# National list of steel grades and classes (GOST ISO 3506-2014); the class is a tenth of the tensile strength.
LISTED_CLASSES = [
    "A1-50", "A1-70", "A1-80", "A2-50", "A2-70", "A2-80", "A3-70", "A4-50", "A4-70", "A4-80", "A5-70", "C1-50", "C1-70",
    "C1-110", "C3-80", "C4-50", "C4-70", "F1-45", "F1-60",
]  # fmt: skip

# ISO 3506-1:2020, chemistry table on suppliers' pages: chromium, molybdenum, nickel, mass per cent; single figure =
# at most.
CHEMISTRY: dict[str, tuple[tuple[float, float], tuple[float | None, float | None], tuple[float | None, float]]] = {
    "A1": ((16, 19), (None, 0.7), (5, 10)),
    "A2": ((15, 20), (None, None), (8, 19)),
    "A3": ((17, 19), (None, None), (9, 12)),
    "A4": ((16, 18.5), (2, 3), (10, 15)),
    "A5": ((16, 18.5), (2, 3), (10.5, 14)),
    "A8": ((19, 22), (6, 7), (17.5, 26)),
    "C1": ((11.5, 14), (None, None), (None, 1)),
    "C3": ((16, 18), (None, None), (1.5, 2.5)),
    "C4": ((12, 14), (None, 0.6), (None, 1)),
    "F1": ((15, 18), (None, None), (None, 1)),
    "D2": ((19, 24), (0.1, 1), (1.5, 5.5)),
    "D4": ((21, 25), (0.1, 2), (1, 5.5)),
    "D6": ((21, 23), (2.5, 3.5), (4.5, 6.5)),
    "D8": ((24, 26), (3, 4.5), (6, 8)),
}
# The same table: nitrogen.
NITROGEN = {"D6": (0.08, 0.35), "D8": (0.20, 0.35), "A4": (0, 0), "A8": (0, 0)}

# ASTM F593, groups 1 and 2, bolt makers' pages: mark, tensile ksi, yield ksi, hardness.
F593 = {
    "F593A": (65, 85, 20, "B85 at most"),
    "F593B": (75, 100, 30, "B65-95"),
    "F593C": (100, 150, 65, "B95-C32"),
    "F593D": (85, 140, 45, "B80-C32"),
    "F593E": (65, 85, 20, "B85 at most"),
    "F593F": (75, 100, 30, "B65-95"),
    "F593G": (100, 150, 65, "B95-C32"),
    "F593H": (85, 140, 45, "B80-C32"),
}

# ASTM A193/A320, distributor's grade-marking page: mark, diameter in, ksi.
A193 = [("b8", 0.5, 75, 30), ("b8m", 0.5, 75, 30), ("b8-2", 0.75, 125, 100), ("b8m-2", 0.75, 110, 95)]

# Head marks on bolt-marking pages and distributors' charts (SAE J429, ASTM, ISO 898-1, ISO 3506-1).
HEAD_MARKS = {
    "gr2": "no lines",
    "gr5": "three equally spaced radial lines",
    "gr5.2": "not equally spaced",
    "gr7": "five radial lines",
    "gr8": "six radial lines",
    "gr8.2": "six grouped lines",
    "a307": "307A",
    "a307-b": "307B",
    "a449": "A449",
    "a354-bc": "BC",
    "a354-bd": "BD",
    "a325": "A325",
    "a490": "A490",
    "f1852": "A325TC",
    "f2280": "A490TC",
    "f3125-144": "144",
    "b7": "B7",
    "b7m": "B7M",
    "l7": "L7",
    "l7m": "L7M",
    "b8": "B8",
    "b8m": "B8M",
    "4.6": "4.6",
    "8.8": "8.8",
    "10.9": "10.9",
    "12.9": "12.9",
    "a2-70": "A2-70",
    "a4-80": "A4-80",
    "c1-110": "C1-110",
    "f593c": "F593C",
    "nut-8": "8",
    "nut-05": "05",
    "45h": "45H",
}


def number(cell: Cell) -> float:
    return float(str(cell))


@pytest.mark.parametrize(("cls", "printed"), AUSTENITIC.items())
def test_austenitic_classes_of_iso_3506_1(base: Base, cls: str, printed: tuple[int, int, float]) -> None:
    row = {r["class"]: r for r in base.table("stainless-classes").records()}[cls]
    assert (row["tensile_mpa"], row["yield_mpa"], row["elongation_d"]) == printed


@pytest.mark.parametrize(("steel", "cls"), DIN_267_11)
def test_a2_and_a4_carry_the_strength_of_din_267_11(base: Base, steel: str, cls: str) -> None:
    grade = grade_at(base, f"{steel}-{cls}", 20)
    assert (grade.tensile_mpa[0], grade.yield_mpa) == DIN_267_11[steel, cls]
    assert grade.node["basis"] == "published"


# Retailer's stainless strength chart: class 100.
def test_class_100(base: Base) -> None:
    row = next(iter(base.table("stainless-class-100-figures").records()))
    assert (row["tensile_mpa"], row["yield_mpa"]) == (1000, 800)
    assert grade_at(base, "A4-100", 12).yield_mpa == 800


@pytest.mark.parametrize("listed", LISTED_CLASSES)
def test_every_listed_class_is_known_by_its_strength(base: Base, listed: str) -> None:
    assert grade_at(base, listed).tensile_mpa[0] == 10 * int(listed.split("-")[1])


# Notes of the stainless trade: DIN 267-11 and ISO 3506:1979 to M20, later M24, now the whole scope to M39.
@pytest.mark.parametrize(("edition", "mm"), [("DIN 267-11 and ISO 3506:1979", 20), ("ISO 3506-1:2020", 39)])
def test_size_to_which_classes_70_and_80_are_guaranteed(base: Base, edition: str, mm: int) -> None:
    assert {r["edition"]: r["greatest_mm"] for r in base.table("stainless-size-limit").records()}[edition] == mm


@pytest.mark.parametrize(("grade", "printed"), CHEMISTRY.items())
def test_composition_of_the_stainless_grades(
    base: Base, grade: str, printed: tuple[tuple[float | None, float | None], ...]
) -> None:
    row = {r["grade"]: r for r in base.table("stainless-chemistry").records()}[grade]
    for element, limits in zip(("cr", "mo", "ni"), printed, strict=True):
        assert (row[f"{element}_min"], row[f"{element}_max"]) == limits, element


@pytest.mark.parametrize(("grade", "nitrogen"), NITROGEN.items())
def test_pitting_resistance_follows_from_the_limits_of_composition(
    base: Base, grade: str, nitrogen: tuple[float, float]
) -> None:
    """Cr + 3.3 Mo + 16 N (stainless association's note)."""
    cr, mo, _ = CHEMISTRY[grade]
    row = next(r for r in base.table("stainless-pren").records() if str(r["material"]).split(",")[0] == grade)
    for i, column in enumerate(("low", "high")):
        assert number(row[column]) == pytest.approx(cr[i] + 3.3 * number(mo[i]) + 16 * nitrogen[i], abs=0.06)


def test_lean_duplex_grades_part_at_24(base: Base) -> None:
    # ISO 3506-1:2020, chemistry table: D2 at most 24.0, D4 above
    others = {r["grade"]: str(r["other"]) for r in base.table("stainless-chemistry").records()}
    assert "at most 24.0" in others["D2"]
    assert "above 24.0" in others["D4"]


@pytest.mark.parametrize(("mark", "printed"), F593.items())
def test_marks_of_astm_f593(base: Base, mark: str, printed: tuple[int, int, int, str]) -> None:
    grade = grade_at(base, mark)
    low, high = grade.tensile_mpa
    assert low == pytest.approx(printed[0] * MPA_PER_KSI, abs=0.8)
    assert high == pytest.approx(printed[1] * MPA_PER_KSI, abs=0.8)
    assert grade.yield_mpa == pytest.approx(printed[2] * MPA_PER_KSI, abs=0.8)
    row = next(r for r in base.table("stainless-f593").records() if mark in (r["mark_group_1"], r["mark_group_2"]))
    columns = ("tensile_min_ksi", "tensile_max_ksi", "yield_ksi", "hardness")
    assert tuple(row[c] for c in columns) == printed


@pytest.mark.parametrize(("cls", "inches", "rm", "re"), A193)
def test_stainless_studs_of_astm_a193(base: Base, cls: str, inches: float, rm: int, re: int) -> None:
    grade = grade_at(base, cls, inches * 25.4)
    assert grade.tensile_mpa[0] == pytest.approx(rm * MPA_PER_KSI, abs=0.8)
    assert grade.yield_mpa == pytest.approx(re * MPA_PER_KSI, abs=0.8)


@pytest.mark.parametrize(("strength", "mark"), HEAD_MARKS.items())
def test_mark_on_the_head(base: Base, strength: str, mark: str) -> None:
    assert mark in base.node(find_strength(base, strength))["head_mark"]


def test_a_grouped_pattern_is_never_read_as_evenly_spaced(base: Base) -> None:
    """5.2 and 8.2 are low-carbon boron steels: three or six lines alone do not make a 5 or an 8."""
    assert "equally spaced radial" not in base.node("gr5.2")["head_mark"]
    assert "not radial" in base.node("gr8.2")["head_mark"]


@pytest.mark.parametrize("table", ["stainless-classes-recalled", "stainless-f593-recalled", "stainless-hot-strength"])
def test_recalled_stainless_tables_say_so(base: Base, table: str) -> None:
    assert base.node(table)["basis"] == "memory"
