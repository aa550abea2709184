"""Hours in neutral salt spray against grids typed in from the published tables, in tables and in the finishes sold."""

from __future__ import annotations

import pytest

from advisor.graph.base import Base

# ISO 4042:1999, Annex B (informative), Table B.1, as reproduced on a fastener reference page: nominal thickness, film,
# hours to white corrosion (zinc and cadmium), to red rust on cadmium, to red rust on zinc. 25 µm: "data not available".
ISO_4042_ANNEX_B = [
    (3, "A", 2, 24, 12), (3, "B", 6, 24, 12), (3, "C", 24, 36, 24), (3, "D", 24, 36, 24),
    (5, "A", 6, 48, 24), (5, "B", 12, 72, 36), (5, "C", 48, 120, 72),
    (5, "D", 72, 168, 96), (5, "black", 12, None, None),
    (8, "A", 6, 96, 48), (8, "B", 24, 120, 72),
    (8, "C", 72, 168, 120), (8, "D", 96, 192, 144), (8, "black", 24, 120, 72),
    (12, "A", 6, 144, 72), (12, "B", 24, 192, 96), (12, "C", 72, 240, 144), (12, "D", 96, 264, 168),
    (12, "black", 24, 192, 96),
]  # fmt: skip

# One-page sheet "extract from ISO 4042" with the letter codes, zinc only: code, white corrosion, red rust.
LETTER_CODES = {
    "A2A": (6, 24), "A2B": (12, 36), "A2C": (48, 72),
    "A2D": (72, 96), "A3A": (6, 48), "A3B": (24, 72), "A3C": (72, 120),
    "A3D": (96, 144), "A3R": (24, 72), "A4A": (6, 72), "A4B": (24, 96), "A4C": (72, 144), "A4D": (96, 168),
    "A4R": (24, 96),
}  # fmt: skip
THICKNESS_OF_DIGIT = {"2": 5, "3": 8, "4": 12}

# The same grid read off the finishes: zinc with hexavalent film, white corrosion and red rust.
HEXAVALENT_ZINC = {
    "zinc-3-yellow-hexavalent": (24, 24),
    "zinc-5-yellow-hexavalent": (48, 72),
    "zinc-8-yellow-hexavalent": (72, 120),
    "zinc-12-yellow-hexavalent": (72, 144),
    "zinc-5-olive-hexavalent": (72, 96),
    "zinc-8-olive-hexavalent": (96, 144),
    "zinc-12-olive-hexavalent": (96, 168),
    "zinc-8-black-hexavalent": (24, 72),
    "zinc-12-black-hexavalent": (24, 96),
    "cadmium-5-yellow": (48, 120),
    "cadmium-8-yellow": (72, 168),
    "cadmium-12-yellow": (72, 240),
    "cadmium-8-olive": (96, 192),
    "cadmium-12-olive": (96, 264),
    "cadmium-8-black": (24, 120),
}

# German fastener catalogue, guide table of coatings for barrel goods free of hexavalent chromium: hours to white, to
# red.
CATALOGUE_FINISHES = {
    "zinc-3-clear": (2, 12),
    "zinc-5-clear": (12, 36),
    "zinc-8-clear": (24, 72),
    "zinc-5-clear-sealed": (72, 96),
    "zinc-8-clear-sealed": (72, 120),
    "zinc-5-iridescent": (48, 72),
    "zinc-8-iridescent": (72, 120),
    "zinc-5-iridescent-sealed": (96, 168),
    "zinc-8-iridescent-sealed": (96, 240),
    "zinc-5-black-sealed": (24, 72),
    "zinc-8-black-sealed": (24, 96),
    "zinc-iron-8-black": (24, 72),
    "zinc-iron-5-black-sealed": (120, 196),
    "zinc-iron-8-black-sealed": (120, 240),
    "zinc-nickel-5-black": (24, 360),
    "zinc-nickel-8-black": (24, 480),
    "zinc-nickel-5-black-sealed": (120, 600),
    "zinc-nickel-8-black-sealed": (120, 720),
    "zinc-nickel-5-clear": (120, 360),
    "zinc-nickel-8-clear": (120, 600),
    "zinc-nickel-5-sealed": (144, 480),
    "zinc-nickel-8-sealed": (144, 720),
}

# The same catalogue's chromated rows, which repeat ISO 4042:1999: film, thickness, white, red.
CATALOGUE_CHROMATED = [
    ("yellow chromated", 5, 48, 72), ("yellow chromated", 8, 72, 120), ("olive chromated", 5, 72, 96),
    ("olive chromated", 8, 96, 144), ("black chromated", 5, 12, None), ("black chromated", 8, 24, 72),
]  # fmt: skip

# ISO 10683:2000: least thickness with and without hexavalent chromium; bolting page on the later editions (2014, 2018):
# reference thickness. Hours to red rust.
ZINC_FLAKE = {240: (4, 6, 4), 480: (5, 8, 5), 600: (None, None, 6), 720: (8, 10, 8), 960: (9, 12, 10)}
ZINC_FLAKE_FINISHES = {
    "zinc-flake-base-240": 240,
    "zinc-flake-base-480": 480,
    "zinc-flake-480-lubricated": 480,
    "zinc-flake-600-lubricated": 600,
    "zinc-flake-720-lubricated": 720,
    "zinc-flake-960-lubricated": 960,
    "zinc-flake-480-black": 480,
    "zinc-flake-720-black": 720,
}

# ASTM F2833-11, table of grades on a bolting supplier's page: thickness µm, mass g/m², hours to red rust.
F2833 = {
    "1": (12, 15, 32, 40, 840),
    "2": (12, 18, 32, 51, 1200),
    "3": (12, 18, 37, 41, 840),
    "4": (12, 15, 34, 41, 1000),
    "5": (12, 15, 32, 39, 840),
}

# ASTM F1136-88 (reapproved 1998), Table 1, standards preview page: mass g/m², average thickness µm, hours.
F1136_FIRST_EDITION = {
    "1": (14.0, 17.2, 5.0, 6.0, 144),
    "2": (20.4, 23.6, 6.0, 13.0, 240),
    "3": (20.4, 27.0, 7.0, 13.0, 400),
}

# MIL-DTL-83488D: class, thickness µm, hours of type I (as coated) and of type II (with conversion film).
MIL_DTL_83488 = {"1": (25, 504, 672), "2": (13, 336, 504), "3": (8, 168, 336)}

# ASTM B633, Table 2, plater's data sheet: type, hours to first white corrosion.
B633_TYPES = {"I": None, "II": 96, "III": 12, "IV": None, "V": 72, "VI": 120}

# ASTM F1137, Table 1: grade, hours, least zinc phosphate g/m².
F1137 = {"A": (72, 11), "B": (72, 11), "C": (24, 11), "D": (72, 11)}

# BS 7371-3:1993, hour table on a UK fastener supplier's page: thickness, film, white, red.
BS_7371_3 = [
    (3, "clear", 2, 12), (3, "bleached", 6, 12), (5, "clear", 6, 24), (5, "bleached", 12, 36), (5, "black", 12, 48),
    (8, "clear", 6, 48), (8, "bleached", 24, 72), (12, "clear", 6, 72), (12, "bleached", 24, 96),
]  # fmt: skip

# Metal-finishing guidebook 2013, chapter on trivalent passivates, Table III (state of 2001).
CARMAKERS = {
    "clear, blue or black, sealed": (120, 240),
    "yellow iridescent, sealed": (120, 360),
    "other makers, first": (96, 384),
    "other makers, second": (72, 360),
}


def hours(base: Base, finish: str, quantity: str) -> float | None:
    """The hours shown first, one number."""
    figure = base.figure(finish, quantity)
    assert figure is not None, (finish, quantity)
    assert figure.low == figure.high, (finish, quantity, figure)
    return figure.low


@pytest.mark.parametrize(("um", "film", "white", "red_cadmium", "red_zinc"), ISO_4042_ANNEX_B)
def test_chromated_zinc_and_cadmium_have_the_hours_of_iso_4042_annex_b(
    base: Base, um: int, film: str, white: int, red_cadmium: int | None, red_zinc: int | None
) -> None:
    rows = {(r["thickness_um"], r["film"]): r for r in base.table("salt-spray-iso-4042-1999").records()}
    row = rows[um, film]
    assert (row["white_h"], row["red_cadmium_h"], row["red_zinc_h"]) == (white, red_cadmium, red_zinc)


def test_annex_b_has_no_hours_for_25_um(base: Base) -> None:
    assert set(base.table("salt-spray-iso-4042-1999").column("thickness_um")) == {3, 5, 8, 12}


@pytest.mark.parametrize(("code", "expected"), LETTER_CODES.items())
def test_letter_codes_carry_the_same_hours(base: Base, code: str, expected: tuple[int, int]) -> None:
    film = "black" if code[2] == "R" else code[2]
    rows = {(r["thickness_um"], r["film"]): r for r in base.table("salt-spray-iso-4042-1999").records()}
    row = rows[THICKNESS_OF_DIGIT[code[1]], film]
    assert (row["white_h"], row["red_zinc_h"]) == expected


@pytest.mark.parametrize(("finish", "expected"), HEXAVALENT_ZINC.items())
def test_finishes_with_chromate_show_the_hours_of_annex_b(base: Base, finish: str, expected: tuple[int, int]) -> None:
    assert (hours(base, finish, "salt_spray_white_h"), hours(base, finish, "salt_spray_red_h")) == expected


@pytest.mark.parametrize("um", [3, 5, 8, 12])
def test_cadmium_stands_longer_than_zinc_under_the_same_film(base: Base, um: int) -> None:
    for row in base.table("salt-spray-iso-4042-1999").records():
        if row["thickness_um"] == um and row["red_zinc_h"] is not None:
            assert float(str(row["red_cadmium_h"])) > float(str(row["red_zinc_h"]))


@pytest.mark.parametrize(("finish", "expected"), CATALOGUE_FINISHES.items())
def test_chromium_free_finishes_show_the_catalogue_hours(base: Base, finish: str, expected: tuple[int, int]) -> None:
    white, red = base.figures(finish, "salt_spray_white_h")[0], base.figures(finish, "salt_spray_red_h")[0]
    assert [white.low, red.low] == list(expected)
    assert {base.node(f.cite)["source"] for f in (white, red)} == {"fastener-catalogue-german"}


@pytest.mark.parametrize(("film", "um", "white", "red"), CATALOGUE_CHROMATED)
def test_catalogue_rows_with_chromate(base: Base, film: str, um: int, white: int, red: int | None) -> None:
    rows = {(r["film"], r["thickness_um"]): r for r in base.table("salt-spray-catalogue-german").records()}
    row = rows[film, um]
    assert (row["white_h"], row["red_h"], row["hexavalent_chromium"]) == (white, red, "yes")


def test_catalogue_and_annex_b_agree_where_both_speak(base: Base) -> None:
    annex = {(r["thickness_um"], r["film"]): r for r in base.table("salt-spray-iso-4042-1999").records()}
    letters = {"yellow chromated": "C", "olive chromated": "D", "black chromated": "black"}
    for row in base.table("salt-spray-catalogue-german").records():
        if row["film"] in letters:
            other = annex[row["thickness_um"], letters[str(row["film"])]]
            assert (row["white_h"], row["red_h"]) == (other["white_h"], other["red_zinc_h"])


@pytest.mark.parametrize(("h", "least"), ZINC_FLAKE.items())
def test_zinc_flake_thickness_for_the_hours_by_edition(base: Base, h: int, least: tuple[object, ...]) -> None:
    rows = {r["hours"]: r for r in base.table("zinc-flake-hours").records()}
    row = rows[h]
    assert (row["with_cr6_2000_um"], row["without_cr6_2000_um"], row["reference_2014_2018_um"]) == least


@pytest.mark.parametrize(("finish", "h"), ZINC_FLAKE_FINISHES.items())
def test_zinc_flake_finishes_keep_what_their_designation_promises(base: Base, finish: str, h: int) -> None:
    assert hours(base, finish, "salt_spray_red_h") == h
    figures = base.figures(finish, "thickness_um")
    of_2018 = [f.low for f in figures if base.node(f.cite)["source"] == "iso-10683-2018"]
    of_2000 = [f.low for f in figures if base.node(f.cite)["source"] == "iso-10683-2000"]
    assert of_2018 == [ZINC_FLAKE[h][2]]
    assert of_2000 == ([] if ZINC_FLAKE[h][1] is None else [ZINC_FLAKE[h][1]])


# ISO 10683:2000: 1 µm weighs 4.5 g/m² with hexavalent chromium, 3.8 g/m² without.
@pytest.mark.parametrize(("chemistry", "mass"), [("with Cr(VI)", 4.5), ("without Cr(VI)", 3.8)])
def test_mass_of_a_micrometre_of_zinc_flake(base: Base, chemistry: str, mass: float) -> None:
    row = {r["chemistry"]: r for r in base.table("zinc-flake-mass-2000").records()}[chemistry]
    assert row["mass_g_m2_per_um"] == mass


@pytest.mark.parametrize(("grade", "printed"), F2833.items())
def test_grades_of_astm_f2833(base: Base, grade: str, printed: tuple[int, ...]) -> None:
    row = {r["grade"]: r for r in base.table("zinc-flake-f2833-grades").records()}[grade]
    columns = ("thickness_min_um", "thickness_max_um", "mass_min_g_m2", "mass_max_g_m2", "red_rust_h")
    assert tuple(row[c] for c in columns) == printed
    finish = f"zinc-flake-f2833-{grade}"
    thickness = base.figure(finish, "thickness_um")
    assert thickness is not None
    assert (thickness.low, thickness.high) == printed[:2]
    assert hours(base, finish, "salt_spray_red_h") == printed[4]


@pytest.mark.parametrize(("grade", "printed"), F1136_FIRST_EDITION.items())
def test_first_edition_of_astm_f1136(base: Base, grade: str, printed: tuple[float, ...]) -> None:
    row = {r["grade"]: r for r in base.table("zinc-flake-f1136-1988-grades").records()}[grade]
    columns = ("mass_min_g_m2", "mass_max_g_m2", "thickness_min_um", "thickness_max_um", "red_rust_h")
    assert tuple(row[c] for c in columns) == printed
    assert hours(base, f"zinc-flake-f1136-1988-{grade}", "salt_spray_red_h") == printed[4]


@pytest.mark.parametrize("grade", "123456")
def test_hours_of_later_f1136_grades_are_never_called_published(base: Base, grade: str) -> None:
    """The pages that quote the editions from 2004 on print no hours."""
    assert {f.basis for f in base.figures(f"zinc-flake-f1136-{grade}", "salt_spray_red_h")} == {"memory"}


@pytest.mark.parametrize(("cls", "printed"), MIL_DTL_83488.items())
def test_vapour_deposited_aluminium_by_mil_dtl_83488(base: Base, cls: str, printed: tuple[int, int, int]) -> None:
    row = {r["class"]: r for r in base.table("vapour-aluminium-classes").records()}[cls]
    assert [row["thickness_um"], row["type_1_h"], row["type_2_h"]] == list(printed)
    assert hours(base, f"vapour-aluminium-{cls}-bare", "salt_spray_red_h") == printed[1]
    assert hours(base, f"vapour-aluminium-{cls}-chromate", "salt_spray_red_h") == printed[2]


@pytest.mark.parametrize(("kind", "white"), B633_TYPES.items())
def test_types_of_astm_b633(base: Base, kind: str, white: int | None) -> None:
    assert {r["type"]: r["white_h"] for r in base.table("salt-spray-b633-types").records()}[kind] == white


def test_b633_gives_no_hours_to_red_rust(base: Base) -> None:
    assert "red_h" not in base.table("salt-spray-b633-types").columns


@pytest.mark.parametrize(("grade", "printed"), F1137.items())
def test_grades_of_astm_f1137(base: Base, grade: str, printed: tuple[int, int]) -> None:
    row = {r["grade"]: r for r in base.table("salt-spray-f1137").records()}[grade]
    assert (row["hours"], row["least_phosphate_g_m2"]) == printed


def test_dry_phosphate_owes_its_72_hours_to_the_oil_of_the_test(base: Base) -> None:
    # ASTM F1137, Table 1, note: oil is put on grade A before the test
    row = next(r for r in base.table("salt-spray-f1137").records() if r["grade"] == "A")
    assert "oil" in str(row["supplement"])
    first = base.figure("phosphate-zinc-dry", "salt_spray_red_h")
    assert first is not None
    assert first.low == 2


@pytest.mark.parametrize(("um", "film", "white", "red"), BS_7371_3)
def test_hours_of_bs_7371_3(base: Base, um: int, film: str, white: int, red: int) -> None:
    rows = {(r["thickness_um"], r["film"]): r for r in base.table("salt-spray-bs-7371-3-1993").records()}
    assert (rows[um, film]["white_h"], rows[um, film]["red_h"]) == (white, red)


@pytest.mark.parametrize(("film", "expected"), CARMAKERS.items())
def test_carmaker_requirements_of_2001(base: Base, film: str, expected: tuple[int, int]) -> None:
    rows = {r["film"]: r for r in base.table("salt-spray-carmaker-2001").records()}
    assert (rows[film]["white_h"], rows[film]["red_h"]) == expected


# The same guidebook: iridescent passivate, barrel and rack; black zinc-nickel by after-treatment.
@pytest.mark.parametrize(("sealed", "barrel", "rack"), [(True, 160, 200), (False, 100, 120)])
def test_rack_goods_outlast_barrel_goods(base: Base, sealed: bool, barrel: int, rack: int) -> None:
    row = {r["sealed"]: r for r in base.table("salt-spray-barrel-rack").records()}[sealed]
    assert (row["barrel_h"], row["rack_h"]) == (barrel, rack)


@pytest.mark.parametrize(
    ("after", "low", "high"),
    [
        ("passivate only", 24, 48),
        ("passivate and post-dip", 312, 312),
        ("passivate and organic-silicate sealer", 432, 432),
    ],
)
def test_black_zinc_nickel_lives_by_its_sealer(base: Base, after: str, low: int, high: int) -> None:
    row = {r["after_treatment"]: r for r in base.table("salt-spray-black-zinc-nickel-sealers").records()}[after]
    assert (row["white_low_h"], row["white_high_h"]) == (low, high)


# The catalogue's worked effect of a sealer: clear zinc 5 µm, 36 to 96 h to red rust.
def test_a_sealer_more_than_doubles_the_hours_of_thin_clear_zinc(base: Base) -> None:
    plain = hours(base, "zinc-5-clear", "salt_spray_red_h")
    sealed = hours(base, "zinc-5-clear-sealed", "salt_spray_red_h")
    assert plain
    assert sealed
    assert sealed / plain == pytest.approx(2.67, abs=0.01)


@pytest.mark.parametrize(
    "table", ["salt-spray-f1941-alloys-recalled", "salt-spray-iso-19598-recalled", "salt-spray-iso-2081-2008-recalled"]
)
def test_recalled_grids_of_hours_say_so(base: Base, table: str) -> None:
    assert base.node(table)["basis"] == "memory"


def test_a_withdrawn_flake_order_does_not_borrow_the_hours_of_another_standard(base: Base) -> None:
    # MIL-C-87115A, classes and types: the pages seen print no hours, and ISO 10683 does not cover it
    for f in base.figures("zinc-flake-immersion-chromate", "salt_spray_red_h"):
        assert base.node(f.cite)["source"] != "iso-10683-2018"
