"""Strength classes, hardness limits and conversions in the base against figures typed in from the published tables."""

from __future__ import annotations

import pytest

from advisor.calculations.strengths import find_strength, grade_at
from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.trade.hardness import convert_hardness, interpolate

KSI = 6.894757

# ISO 898-1 (line of 2009 and 2013), quoted on fastener sellers' pages: class, diameter, Rm, yield, proof, HV, HRC.
ISO_898_1 = [
    ("4.6", 10, 400, 240, 225, (120, 220), None),
    ("4.8", 10, 420, 340, 310, (130, 220), None),
    ("5.6", 10, 500, 300, 280, (155, 220), None),
    ("5.8", 10, 520, 420, 380, (160, 220), None),
    ("6.8", 10, 600, 480, 440, (190, 250), None),
    ("8.8", 16, 800, 640, 580, (250, 320), (22, 32)),
    ("8.8", 18, 830, 660, 600, (255, 335), (23, 34)),
    ("9.8", 12, 900, 720, 650, (290, 360), (28, 37)),
    ("10.9", 20, 1040, 940, 830, (320, 380), (32, 39)),
    ("12.9", 20, 1220, 1100, 970, (385, 435), (39, 44)),
]

# SAE J429 and ASTM, distributor one-sheet charts and a machine-design textbook: grade, diameter in in, ksi, HRC.
INCH = [
    ("gr2", 0.5, 74, 57, 55, None),
    ("gr2", 1.0, 60, 36, 33, None),
    ("gr5", 1.0, 120, 92, 85, (25, 34)),
    ("gr5", 1.125, 105, 81, 74, (19, 30)),
    ("gr7", 0.5, 133, 115, 105, (28, 34)),
    ("gr8", 0.5, 150, 130, 120, (33, 39)),
    ("gr8.2", 0.5, 150, 130, 120, (33, 39)),
    ("A449", 0.75, 120, 92, 85, (25, 34)),
    ("A449", 1.25, 105, 81, 74, (19, 30)),
    ("A449", 2.0, 90, 58, 55, None),
    ("A354-BC", 1.0, 125, 109, 105, (26, 36)),
    ("A354-BC", 3.0, 115, 99, 95, (22, 33)),
    ("A354-BD", 1.0, 150, 130, 120, (33, 39)),
    ("A354-BD", 3.0, 140, 115, 105, (31, 39)),
    ("A325", 0.875, 120, 92, 85, (25, 34)),
    ("A490", 0.875, 150, 130, 120, (33, 38)),
    ("A574", 0.5, 180, 162, 140, (39, 45)),
    ("A574", 0.75, 170, 153, 135, (37, 45)),
    ("B7", 2.0, 125, 105, None, None),
    ("B7", 3.0, 115, 95, None, None),
    ("B7", 5.0, 100, 75, None, None),
    ("B7M", 2.0, 100, 80, None, None),
]

# ISO 3506-1: class, tensile, 0.2 % yield.
STAINLESS = [("A2-50", 500, 210), ("A2-70", 700, 450), ("A2-80", 800, 600), ("A4-70", 700, 450), ("A4-80", 800, 600),
             ("A4-100", 1000, 800)]  # fmt: skip

# ISO 898-5:2012: HV, HB.
SET_SCREWS = [("14H", (140, 290), (133, 276)), ("22H", (220, 300), (209, 285)), ("33H", (330, 440), (314, 418)),
              ("45H", (450, 560), (428, 532))]  # fmt: skip

# ISO 898-2 (1992 line), distributor data page: nut class, diameter, proof stress.
NUTS = [("nut-5", 8, 590), ("nut-6", 12, 700), ("nut-8", 10, 870), ("nut-8", 16, 880), ("nut-8", 20, 920),
        ("nut-10", 10, 1040), ("nut-10", 16, 1050), ("nut-10", 24, 1060), ("nut-12", 12, 1170)]  # fmt: skip

# Hydrogen band by the specified maximum: ISO 4042:2018 zones (360, 390 HV), ASTM F1941-15 (39 HRC), ASTM B633 (46 HRC).
BANDS = {
    "H0": ["4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "gr1", "gr2", "gr5", "gr7", "a307", "a325", "f1852", "a449", "b7m",
           "l7m", "14h", "22h", "f1554-36", "f1554-55"],
    "H1": ["a354-bc", "gr5.2", "b7", "l7", "b16", "f1554-105"],
    "H2": ["9.8", "10.9", "gr8", "gr8.1", "gr8.2", "a354-bd", "a490", "f2280", "f3125-144"],
    "H3": ["12.9", "a574", "f835", "33h"],
    "H4": ["45h", "f912"],
    "CASE": ["tapping-case", "drilling-case", "forming-case", "c1513-drilling"],
    "NONE": ["a2-70", "a4-80", "b8", "b8m", "f593c", "f593g", "nut-8", "f436"],
}  # fmt: skip


@pytest.mark.parametrize(("cls", "diameter", "rm", "re", "sp", "hv", "hrc"), ISO_898_1)
def test_metric_classes_have_the_limits_of_iso_898_1(
    base: Base, cls: str, diameter: float, rm: float, re: float, sp: float, hv: tuple[float, float], hrc: object
) -> None:
    g = grade_at(base, cls, diameter)
    assert (g.tensile_mpa[0], g.yield_mpa, g.proof_mpa, g.hv) == (rm, re, sp, hv)
    assert g.hrc == (hrc or (None, None))


@pytest.mark.parametrize(("grade", "inches", "rm", "re", "sp", "hrc"), INCH)
def test_inch_grades_have_the_limits_of_the_charts(
    base: Base, grade: str, inches: float, rm: float, re: float, sp: float | None, hrc: object
) -> None:
    g = grade_at(base, grade, inches * 25.4)
    assert g.tensile_mpa[0] == pytest.approx(rm * KSI, abs=0.8)
    assert g.yield_mpa == pytest.approx(re * KSI, abs=0.8)
    if sp is not None:
        assert g.proof_mpa == pytest.approx(sp * KSI, abs=0.8)
    if hrc is not None:
        assert g.hrc == hrc


@pytest.mark.parametrize(("grade", "rm", "rp"), STAINLESS)
def test_stainless_classes_have_the_strength_of_iso_3506_1(base: Base, grade: str, rm: float, rp: float) -> None:
    g = grade_at(base, grade)
    assert (g.tensile_mpa[0], g.yield_mpa) == (rm, rp)


@pytest.mark.parametrize(("cls", "hv", "hb"), SET_SCREWS)
def test_set_screws_have_the_hardness_of_iso_898_5(base: Base, cls: str, hv: object, hb: object) -> None:
    g = grade_at(base, cls)
    assert (g.hv, g.hb) == (hv, hb)


@pytest.mark.parametrize(("cls", "diameter", "proof"), NUTS)
def test_nuts_have_the_proof_stress_of_iso_898_2(base: Base, cls: str, diameter: float, proof: float) -> None:
    assert grade_at(base, cls, diameter).proof_mpa == proof


@pytest.mark.parametrize(("band", "grade"), [(b, g) for b, gs in BANDS.items() for g in gs])
def test_every_class_lies_in_its_hydrogen_band(base: Base, band: str, grade: str) -> None:
    assert base.node(grade)["band"] == band


def test_a490_has_an_upper_limit_of_strength_that_a325_has_not(base: Base) -> None:
    # ASTM F3125: 150 to 173 ksi
    assert grade_at(base, "A490").tensile_mpa[1] == pytest.approx(173 * KSI, abs=1)
    assert grade_at(base, "A325").tensile_mpa[1] is None


@pytest.mark.parametrize(
    ("typed", "grade"),
    [("10.9", "10.9"), ("GR5", "gr5"), ("grade 5", "gr5"), ("grade 8", "gr8"), ("a325", "a325"), ("A 325", "a325"),
     ("ASTM A490", "a490"), ("A2-70", "a2-70"), ("a2 70", "a2-70"), ("2H", "a194-2h"), ("DH", "a563-dh"),
     ("class 8.8", "8.8"), ("45h", "45h")],
)  # fmt: skip
def test_classes_are_found_as_people_type_them(base: Base, typed: str, grade: str) -> None:
    assert find_strength(base, typed) == grade


def test_an_unknown_class_names_its_neighbours(base: Base) -> None:
    with pytest.raises(UsageError, match=r"8\.8"):
        find_strength(base, "8.9")


def test_class_9_8_is_not_made_above_m16(base: Base) -> None:
    with pytest.raises(UsageError, match="16 mm"):
        grade_at(base, "9.8", 20)


# hardness ------------------------------------------------------------------------------------------------------------

# Steel trader's sheet after ASTM A370-03a (40 to 50) and metals distributor's table (even numbers): HRC, HV, HB, ksi.
HRC_ROWS = [
    (20, 238, 226, 110), (22, 248, 237, 115), (24, 260, 247, 119), (26, 272, 258, 125), (28, 286, 271, 131),
    (30, 302, 286, 138), (32, 318, 301, 146), (34, 336, 319, 152), (36, 354, 336, 161), (38, 372, 353, 171),
    (40, 392, 371, 182), (42, 412, 390, 194), (44, 434, 409, 208), (45, 446, 421, 215), (46, 458, 432, 221),
    (48, 484, 455, 238), (50, 513, 481, 255),
]  # fmt: skip
# The same sheet, MPa: HRC 40 to 50.
HRC_MPA = {40: 1250, 41: 1300, 42: 1340, 43: 1390, 44: 1430, 45: 1480, 46: 1520, 47: 1580, 48: 1640, 49: 1700, 50: 1760}
# ASTM A370-03a, Rockwell B side: HRB, HV, HB, MPa.
HRB_ROWS = [(100, 240, 240, 800), (98, 228, 228, 750), (95, 210, 210, 690), (90, 185, 185, 615), (85, 165, 165, 565),
            (80, 150, 150, 495), (75, 137, 137, 455), (73, 132, 132, 440)]  # fmt: skip
# Fastener maker's table after DIN 50150: HV, HRC. Its line 360 HV prints 1115 MPa for about 1155: left out, a misprint.
DIN_ROWS = [(250, 22.2), (320, 32.2), (350, 35.5), (370, 37.7), (380, 38.8), (390, 39.8), (400, 40.8), (440, 44.5),
            (450, 45.3)]  # fmt: skip
# A web converter labelled E140 prints these HV for 20, 21, 41, 42, 43 HRC: wrong, kept out.
CONVERTER_ERRORS = {20: 228, 21: 238, 41: 400, 42: 409, 43: 421}


@pytest.mark.parametrize(("hrc", "hv", "hb", "ksi"), HRC_ROWS)
def test_rockwell_c_converts_as_printed(base: Base, hrc: float, hv: float, hb: float, ksi: float) -> None:
    table = base.table("hardness-conversion")
    assert interpolate(table, "hrc", "hv", hrc, "HRC") == hv
    assert interpolate(table, "hv", "hrc", hv, "HV") == hrc
    assert interpolate(table, "hrc", "hb", hrc, "HRC") == hb
    assert interpolate(table, "hrc", "tensile_ksi", hrc, "HRC") == ksi


@pytest.mark.parametrize(("hrc", "mpa"), HRC_MPA.items())
def test_rockwell_c_gives_the_printed_tensile_strength(base: Base, hrc: float, mpa: float) -> None:
    assert interpolate(base.table("hardness-conversion"), "hrc", "tensile_mpa", hrc, "HRC") == mpa


@pytest.mark.parametrize(("hrb", "hv", "hb", "mpa"), HRB_ROWS)
def test_rockwell_b_converts_as_printed(base: Base, hrb: float, hv: float, hb: float, mpa: float) -> None:
    tables = (base.table("hardness-conversion"), base.table("hardness-conversion-hrb"))
    assert convert_hardness(tables, "hrb", hrb, "hv") == hv
    assert convert_hardness(tables, "hrb", hrb, "hb") == hb
    assert convert_hardness(tables, "hrb", hrb, "tensile_mpa") == mpa


@pytest.mark.parametrize(("hv", "hrc"), DIN_ROWS)
def test_american_and_german_conversion_agree(base: Base, hv: float, hrc: float) -> None:
    assert interpolate(base.table("hardness-conversion"), "hv", "hrc", hv, "HV") == pytest.approx(hrc, abs=0.2)


@pytest.mark.parametrize(("hrc", "wrong"), CONVERTER_ERRORS.items())
def test_figures_of_the_faulty_web_converter_are_not_used(base: Base, hrc: float, wrong: float) -> None:
    assert interpolate(base.table("hardness-conversion"), "hrc", "hv", hrc, "HRC") != wrong


def test_39_hrc_and_390_hv_are_two_different_lines(base: Base) -> None:
    table = base.table("hardness-conversion")
    assert interpolate(table, "hrc", "hv", 39, "HRC") == 382
    assert interpolate(table, "hv", "hrc", 390, "HV") == pytest.approx(39.8)


@pytest.mark.parametrize("hrc", [19.9, 50.1, 60])
def test_nothing_is_extrapolated_beyond_the_table(base: Base, hrc: float) -> None:
    with pytest.raises(UsageError, match="20 to 50"):
        interpolate(base.table("hardness-conversion"), "hrc", "hv", hrc, "Rockwell C hardness")


@pytest.mark.parametrize("kind", ["bolt", "stud", "screw", "set-screw", "spring-washer"])
def test_the_stated_band_is_the_one_the_hardness_gives(base: Base, kind: str) -> None:
    # the limits as ISO 4042:2018 (360, 390 HV) and ASTM F1941-15 (39 HRC) state them; 34, 37 and 46 HRC as cut lines
    for node_id, node in base.kind("strength").items():
        if node["product"] != kind or node["band"] in ("CASE", "NONE") or node["material"] != "carbon-steel":
            continue
        g = grade_at(base, node_id)
        hrc, hv = g.hrc[1], g.hv[1]
        if hrc is None and hv is None:
            continue
        soft = (hrc or 0) <= 34 and (hv or 0) <= 335
        firm = (hrc or 0) < 37 and (hv or 0) < 360
        watch = (hrc or 0) <= 39 and (hv or 0) <= 390
        band = "H0" if soft else "H1" if firm else "H2" if watch else "H4" if (hrc or 0) > 46 else "H3"
        assert node["band"] == band, node_id
