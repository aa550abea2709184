"""Thickness grades of coatings, and the room a thread leaves for them, against figures typed in from the standards."""

from __future__ import annotations

import pytest

from advisor.graph.base import Base
from advisor.trade.tables import Cell

# ISO 4042:1999, Table 1, fastener tech-info page: nominal, least local, least and greatest batch average, µm.
ISO_4042_TABLE_1 = [
    (3, 3, 3, 5),
    (5, 5, 4, 6),
    (8, 8, 7, 10),
    (10, 10, 9, 12),
    (12, 12, 11, 15),
    (15, 15, 14, 18),
    (20, 20, 18, 23),
    (25, 25, 23, 28),
    (30, 30, 27, 35),
]

# One plated finish of each nominal thickness sold.
NOMINAL_FINISHES = {
    3: "zinc-3-clear",
    5: "zinc-5-clear",
    8: "zinc-8-clear",
    10: "zinc-10-clear",
    12: "zinc-12-clear",
    15: "zinc-15-clear",
    20: "zinc-20-clear",
    25: "zinc-25-clear",
}

# ISO 4042:1999, Table 2, same page: pitch, then for positions g, f, e the greatest local thickness (any length) and
# greatest batch average up to 5 d, up to 10 d, up to 15 d.
ISO_4042_TABLE_2 = {
    0.4: ((3, 3, 3, 3), (8, 8, 5, 5), None),
    0.7: ((5, 5, 3, 3), (8, 8, 5, 5), (12, 12, 10, 8)),
    1: ((5, 5, 3, 3), (10, 10, 8, 5), (15, 15, 12, 10)),
    1.25: ((5, 5, 5, 3), (10, 10, 8, 5), (15, 15, 12, 10)),
    1.5: ((8, 8, 5, 5), (10, 10, 8, 5), (15, 15, 12, 10)),
}

# ISO 4042:1999, annex on coatings too thick for standard threads: thickness and least fundamental deviation, µm, for
# the local thickness and for batch averages at l up to 5 d, 10 d, 15 d.
THICK_COATINGS = [
    (3, 12, 12, 15, 18),
    (5, 20, 20, 25, 30),
    (8, 32, 32, 40, 48),
    (10, 40, 40, 50, 60),
    (12, 48, 48, 60, 72),
    (15, 60, 60, 75, 90),
    (20, 80, 80, 100, 120),
    (25, 100, 100, 125, 150),
    (30, 120, 120, 150, 180),
]

# DIN 267-9 / ISO 4042, letter-digit-letter code, distributors' charts: digit, least thickness of one metal, µm; 0 none.
OLD_DIGITS = {"1": 3, "2": 5, "3": 8, "4": 12, "5": 15, "6": 20, "7": 25, "8": 32, "9": 40}

# ASTM F1941, bolt distributor's specification page: thickness class and least thickness in inches.
F1941 = {3: 0.0001, 5: 0.0002, 8: 0.0003, 12: 0.0005}

# ASTM B633, Table 1, plater's data sheets: service condition, µm, in.
B633 = {"SC 1": (5, 0.0002), "SC 2": (8, 0.0003), "SC 3": (12, 0.0005), "SC 4": (25, 0.001)}

# ASTM A153, bolt maker's and galvanizers' tables: class, average and single piece in mil, average in oz/ft².
A153 = {
    "A": (3.4, 3.1, 2.00),
    "B-1": (3.4, 3.1, 2.00),
    "B-2": (2.6, 2.1, 1.50),
    "B-3": (2.2, 1.9, 1.30),
    "C": (2.1, 1.7, 1.25),
    "D": (1.7, 1.4, 1.00),
}
# The same classes, average mass of zinc in g/m² (A153/A153M-16a, galvanizer's table; it misprints 610 for class C).
A153_MASS = {"A": 610, "B-1": 610, "B-2": 458, "B-3": 397, "C": 381, "D": 305}

# ISO 1461:2009, parts not spun, galvanizer's table: local µm, local g/m², mean µm, mean g/m².
ISO_1461 = {
    "steel over 6 mm": (70, 505, 85, 610),
    "steel over 3 to 6 mm": (55, 395, 70, 505),
    "steel 1.5 to 3 mm": (45, 325, 55, 395),
    "steel under 1.5 mm": (35, 250, 45, 325),
    "castings from 6 mm": (70, 505, 80, 575),
    "castings under 6 mm": (60, 430, 70, 505),
}

# ASTM B695-04 table on a bolting supplier's page: class and least thickness, µm.
B695 = {"110": 107, "80": 80, "70": 69, "65": 66, "55": 53, "50": 50, "40": 40, "25": 25, "12": 12, "8": 8, "5": 5}

# QQ-N-290, class 1 grades, in.
NICKEL_GRADES = {"A": 0.0016, "B": 0.0012, "C": 0.0010, "D": 0.0008, "E": 0.0006, "F": 0.0004, "G": 0.0002}

# AIA/NAS 4160 and QQ-P-416F, classes of cadmium plate, in.
CADMIUM_CLASSES = {"1": 0.0005, "2": 0.0003, "3": 0.0002}

# ASTM F1136 from 2004, grade texts on a bolting supplier's page: least base coat in mil and in oz/ft².
F1136 = {
    "1": (0.16, 0.052),
    "2": (0.20, 0.066),
    "3": (0.20, 0.066),
    "4": (0.31, 0.092),
    "5": (0.20, 0.066),
    "6": (0.20, 0.066),
}

# ASTM A563, overtapping of nuts for hot-dip bolts, bolt maker's page: size, diametral allowance in inches.
OVERTAPPING = {
    "1/4-20": 0.016, "5/16-18": 0.017, "3/8-16": 0.017, "7/16-14": 0.018, "1/2-13": 0.018, "9/16-12": 0.020,
    "5/8-11": 0.020, "3/4-10": 0.020, "7/8-9": 0.022,
    "1-8": 0.024, "1-1/8-7": 0.024, "1-1/4-7": 0.024, "1-3/8-6": 0.027,
    "1-1/2-6": 0.027, "1-3/4-5": 0.050, "2-4.5": 0.050,
}  # fmt: skip

# ISO 965-4 (az, metric-distributor sheet) and ISO 965-5 (AZ, AX, thread-table pages): pitch, µm.
HOT_DIP_THREADS = {
    1.5: (330, 330, 310),
    1.75: (335, 335, 365),
    2.5: (350, 350, 530),
    3.5: (370, 370, 750),
    4: (380, 380, 860),
}

# ISO 10684:2004, Annex A: proof loads of oversize nuts, kN.
OVERSIZE_NUTS = {
    (8, "5"): 17.3,
    (8, "6"): 20.0,
    (8, "8"): 25.5,
    (8, "9"): 27.6,
    (8, "10"): 30.6,
    (10, "6"): 33.0,
    (10, "8"): 42.2,
    (10, "9"): 45.6,
    (10, "10"): 50.4,
}

# BS 7371-3:1993 as a UK supplier applies it: zinc supplied when only zinc is ordered.
DEFAULT_ZINC = {"up to M2": 3, "M2.5 to M8": 5, "M10 to M20": 8, "above M24": 12}

MICROMETRES_PER_INCH = 25400
GRAMS_PER_SQUARE_METRE = 305.15  # of one ounce per square foot


def number(cell: Cell) -> float:
    return float(str(cell))


@pytest.mark.parametrize(("nominal", "local", "low", "high"), ISO_4042_TABLE_1)
def test_batch_limits_of_a_nominal_thickness(base: Base, nominal: int, local: int, low: int, high: int) -> None:
    row = {r["nominal_um"]: r for r in base.table("nominal-thicknesses").records()}[nominal]
    assert (row["local_min_um"], row["mean_min_um"], row["mean_max_um"]) == (local, low, high)


@pytest.mark.parametrize(("nominal", "finish"), NOMINAL_FINISHES.items())
def test_plated_finishes_carry_the_limits_of_their_nominal_thickness(base: Base, nominal: int, finish: str) -> None:
    local, mean = base.figures(finish, "thickness_um")[:2]
    printed = next(r for r in ISO_4042_TABLE_1 if r[0] == nominal)
    assert (local.low, mean.low, mean.high) == printed[1:]


def test_a_batch_may_average_less_than_its_nominal_thickness(base: Base) -> None:
    row = {r["nominal_um"]: r for r in base.table("nominal-thicknesses").records()}[5]
    assert row["mean_min_um"] == 4


@pytest.mark.parametrize(("pitch", "printed"), ISO_4042_TABLE_2.items())
def test_greatest_coating_on_a_standard_thread(base: Base, pitch: float, printed: tuple[object, ...]) -> None:
    row = {r["pitch_mm"]: r for r in base.table("thread-thickness-iso-4042").records()}[pitch]
    for position, limits in zip("gfe", printed, strict=True):
        columns = [f"{position}_{c}" for c in ("local", "mean_5d", "mean_10d", "mean_15d")]
        assert tuple(row[c] for c in columns) == (limits or (None,) * 4), position


def test_m6_at_ten_diameters_keeps_the_printed_3_um(base: Base) -> None:
    """The rule 26 / 5 would give 5; Table 2 prints 3, and print goes before rule."""
    row = {r["pitch_mm"]: r for r in base.table("thread-thickness-iso-4042").records()}[1]
    assert row["g_mean_10d"] == 3


@pytest.mark.parametrize("printed", THICK_COATINGS, ids=lambda p: f"{p[0]} um")
def test_deviation_wanted_for_a_thick_coating(base: Base, printed: tuple[int, ...]) -> None:
    assert printed in base.table("thread-deviation-for-thickness").rows


@pytest.mark.parametrize(("digit", "um"), OLD_DIGITS.items())
def test_old_thickness_digits(base: Base, digit: str, um: int) -> None:
    found = {
        r["thickness_um"]
        for r in base.table("code-old-thickness").records()
        if str(r["code"]) == digit and r["layers"] != 2
    }
    assert um in found


@pytest.mark.parametrize(("cls", "inches"), F1941.items())
def test_thickness_classes_of_astm_f1941(base: Base, cls: int, inches: float) -> None:
    row = {int(number(r["code"])): r for r in base.table("code-f1941-thickness").records()}[cls]
    assert f"{inches:.4f} in" in str(row["means"])
    assert number(row["thickness_um"]) == pytest.approx(inches * MICROMETRES_PER_INCH, abs=0.8)


@pytest.mark.parametrize(("condition", "printed"), B633.items())
def test_service_conditions_of_astm_b633(base: Base, condition: str, printed: tuple[int, float]) -> None:
    row = {r["service_condition"]: r for r in base.table("thickness-b633-service").records()}[condition]
    assert (row["thickness_um"], row["thickness_in"]) == printed


def hot_dip(base: Base, standard: str, key: str) -> dict[str, Cell]:
    for row in base.table("hot-dip-classes").records():
        if row["standard"] == standard and key in (row["class"], row["applies_to"]):
            return dict(row)
    raise AssertionError(f"no row {standard} {key}")


@pytest.mark.parametrize(("cls", "mils"), A153.items())
def test_classes_of_astm_a153_are_the_mils_of_the_table(base: Base, cls: str, mils: tuple[float, float, float]) -> None:
    row = hot_dip(base, "ASTM A153", cls)
    assert number(row["mean_um"]) == pytest.approx(mils[0] * 25.4, abs=0.7)
    assert number(row["least_um"]) == pytest.approx(mils[1] * 25.4, abs=0.7)
    assert number(row["mean_g_m2"]) == pytest.approx(mils[2] * GRAMS_PER_SQUARE_METRE, abs=1)


@pytest.mark.parametrize(("cls", "mass"), A153_MASS.items())
def test_zinc_mass_of_astm_a153(base: Base, cls: str, mass: int) -> None:
    assert hot_dip(base, "ASTM A153", cls)["mean_g_m2"] == mass


@pytest.mark.parametrize(("what", "printed"), ISO_1461.items())
def test_hot_dip_parts_that_are_not_spun(base: Base, what: str, printed: tuple[int, int, int, int]) -> None:
    row = {r["steel"]: r for r in base.table("hot-dip-iso-1461").records()}[what]
    assert tuple(row[c] for c in ("least_um", "least_g_m2", "mean_um", "mean_g_m2")) == printed


# ASTM F2329, bolt maker's page: over and up to 3/8 in, lot average and single piece, in.
@pytest.mark.parametrize(("what", "mean", "least"), [("over 9.5 mm", 0.0020, 0.0017), ("up to 9.5 mm", 0.0017, 0.0015)])
def test_fasteners_by_astm_f2329(base: Base, what: str, mean: float, least: float) -> None:
    row = hot_dip(base, "ASTM F2329", what)
    assert number(row["mean_um"]) == pytest.approx(mean * MICROMETRES_PER_INCH, abs=0.9)
    assert number(row["least_um"]) == pytest.approx(least * MICROMETRES_PER_INCH, abs=0.9)


# ISO 10684:2004 and AS/NZS 1214:2016: batch mean 50 µm, local 40 µm, M8 to M64, bath 455 to 480 and 530 to 560 °C.
def test_spun_fasteners_by_iso_10684(base: Base) -> None:
    row = hot_dip(base, "ISO 10684:2004", "-")
    assert (row["mean_um"], row["least_um"]) == (50, 40)
    sizes = [base.figure("hot-dip-iso-10684", q) for q in ("smallest_size_mm", "largest_size_mm")]
    assert [f.low for f in sizes if f] == [8, 64]
    assert base.node("hot-dip-bath")["value"] == [455, 560]


# ASTM F2329: high-temperature bath 990 to 1040 °F.
def test_high_temperature_bath_is_the_fahrenheit_of_the_standard(base: Base) -> None:
    low, high = base.node("hot-dip-bath-f2329")["value"]
    assert (low, high) == (pytest.approx((990 - 32) / 1.8, abs=0.6), pytest.approx((1040 - 32) / 1.8, abs=0.6))


@pytest.mark.parametrize(("cls", "um"), B695.items())
def test_classes_of_astm_b695(base: Base, cls: str, um: int) -> None:
    assert {r["class"]: r["least_um"] for r in base.table("mechanical-zinc-classes").records()}[cls] == um
    figure = base.figure(f"mechanical-zinc-{cls}", "thickness_um")
    assert figure is not None
    assert figure.low == um


def test_the_seven_thickest_classes_are_called_galvanized(base: Base) -> None:
    # ASTM B695, clause 1.1
    rows = list(base.table("mechanical-zinc-classes").records())
    assert [r["class"] for r in rows if "galvanized" in str(r["usual_name"])] == list(B695)[:7]


# EN 13811:2003; UK defence types S1, S2, S3.
@pytest.mark.parametrize(("cls", "um"), [("15", 15), ("30", 30), ("45", 45)])
def test_classes_of_en_13811(base: Base, cls: str, um: int) -> None:
    assert {str(r["code"]): r["thickness_um"] for r in base.table("code-sherard-class").records()}[cls] == um
    figure = base.figure(f"thermal-diffusion-zinc-{cls}", "thickness_um")
    assert figure is not None
    assert figure.low == um


@pytest.mark.parametrize(("kind", "um", "sealed"), [("S1", 30, False), ("S2", 15, False), ("S3", 30, True)])
def test_defence_types_of_sherardizing(base: Base, kind: str, um: int, sealed: bool) -> None:
    row = {r["code"]: r for r in base.table("code-def-stan-sherard").records()}[kind]
    assert (row["thickness_um"], row["sealed"]) == (um, sealed)


# ISO 14713-3:2017: 300 to 500 °C, about 350 HV; clearance 180 µm for 15 µm and 360 µm for 30 µm, twelve times.
def test_sherardizing_by_iso_14713_3(base: Base) -> None:
    assert base.node("thermal-diffusion-layer")["value"] == [300, 500]
    assert base.node("thermal-diffusion-hardness")["value"] == 350
    assert base.node("tf-19-fact-1")["value"] == [12 * 15, 12 * 30]


@pytest.mark.parametrize(("grade", "inches"), NICKEL_GRADES.items())
def test_grades_of_nickel(base: Base, grade: str, inches: float) -> None:
    row = {r["code"]: r for r in base.table("code-n290-grade").records()}[grade]
    assert number(row["thickness_um"]) == pytest.approx(inches * MICROMETRES_PER_INCH, abs=0.7)


@pytest.mark.parametrize(("cls", "inches"), CADMIUM_CLASSES.items())
def test_classes_of_cadmium(base: Base, cls: str, inches: float) -> None:
    row = {str(r["code"]): r for r in base.table("code-cadmium-class").records()}[cls]
    assert number(row["thickness_um"]) == pytest.approx(inches * MICROMETRES_PER_INCH, abs=0.8)


# ASTM B456, service condition 4: Fe/Ni35d Cr mp, chromium about 0.3 µm.
def test_nickel_chromium_for_very_severe_service(base: Base) -> None:
    figure = base.figure("nickel-chrome-35-duplex", "thickness_um")
    assert figure is not None
    assert figure.low == 35
    assert base.node("chrome-35d-extended-very-severe")["value"] == 35
    assert base.node("chrome-thickness-in-code")["value"] == 0.3


# General machinery handbook, 31st edition, plating standards: heavy phosphate 0.0002-0.0004 in and 0.0002-0.0006 in.
@pytest.mark.parametrize(("kind", "low", "high"), [("M", 0.0002, 0.0004), ("Z", 0.0002, 0.0006)])
def test_heavy_phosphate(base: Base, kind: str, low: float, high: float) -> None:
    row = {r["code"]: r for r in base.table("code-16232-type").records()}[kind]
    limits = [pytest.approx(inches * MICROMETRES_PER_INCH, abs=0.3) for inches in (low, high)]
    assert list(row["thickness_um"]) == limits  # type: ignore[arg-type]


@pytest.mark.parametrize(("grade", "printed"), F1136.items())
def test_grades_of_astm_f1136(base: Base, grade: str, printed: tuple[float, float]) -> None:
    row = {r["grade"]: r for r in base.table("zinc-flake-f1136-grades").records()}[grade]
    assert number(row["base_min_um"]) == pytest.approx(printed[0] * 25.4, abs=0.05)
    assert number(row["base_min_g_m2"]) == pytest.approx(printed[1] * GRAMS_PER_SQUARE_METRE, abs=0.05)


@pytest.mark.parametrize(("size", "inches"), OVERTAPPING.items())
def test_overtapping_of_inch_nuts(base: Base, size: str, inches: float) -> None:
    assert {r["size"]: r["amount_in"] for r in base.table("oversize-tapping-inch").records()}[size] == inches


@pytest.mark.parametrize(("pitch", "printed"), HOT_DIP_THREADS.items())
def test_threads_for_hot_dip_zinc(base: Base, pitch: float, printed: tuple[int, int, int]) -> None:
    row = {r["pitch_mm"]: r for r in base.table("iso-965-hot-dip-deviations").records()}[pitch]
    assert (row["az_um"], row["AZ_um"], row["AX_um"]) == printed


def test_hot_dip_threads_follow_the_formulas_of_iso_965_5(base: Base) -> None:
    # ISO 965-5:1998, abstract: AZ 300 + 20 P, AX 220 P - 20
    for row in base.table("iso-965-hot-dip-deviations").records():
        pitch = number(row["pitch_mm"])
        assert [number(row["AZ_um"]), number(row["AX_um"])] == pytest.approx([300 + 20 * pitch, 220 * pitch - 20])


@pytest.mark.parametrize(("nut", "kn"), OVERSIZE_NUTS.items())
def test_proof_loads_of_oversize_nuts(base: Base, nut: tuple[int, str], kn: float) -> None:
    rows = {(r["diameter_mm"], r["class"]): r["proof_kn"] for r in base.table("oversize-nut-proof-loads").records()}
    assert rows[nut] == kn


@pytest.mark.parametrize(("thread", "um"), DEFAULT_ZINC.items())
def test_zinc_when_only_zinc_is_ordered(base: Base, thread: str, um: int) -> None:
    assert {r["thread"]: r["thickness_um"] for r in base.table("thickness-default-uk-supplier").records()}[thread] == um


@pytest.mark.parametrize("finish", ["nickel-8-electroless", "nickel-25-electroless"])
def test_a_coat_without_current_does_not_cite_the_standard_for_electroplate(base: Base, finish: str) -> None:
    # ISO 4042, title and scope: electroplated coatings
    sources = {base.node(f.cite)["source"] for f in base.figures(finish, "thickness_um")}
    assert sources
    assert not any(s.startswith("iso-4042") for s in sources)
