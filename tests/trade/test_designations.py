"""Designations read as their documents say, typed in from the documents named in the data file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from advisor.calculations import decode
from advisor.errors import UsageError
from advisor.graph.base import Base

DATA = Path(__file__).parent.parent / "data" / "designations.txt"
OLD = ("legacy", "superseded", "withdrawn")


def _rows() -> list[tuple[str, ...]]:
    out = []
    for line in DATA.read_text(encoding="utf-8").splitlines():
        if line.strip() and not line.startswith("#"):
            cells = tuple(c.strip() for c in line.split(" | "))
            assert len(cells) == 10, line
            out.append(cells)
    return out


ROWS = _rows()


def read(base: Base, text: str) -> list[dict[str, Any]]:
    """The readings of a note."""
    results: Any = decode.run(base, {"callout": [text]}).results
    return list(results["readings"])


def test_there_are_enough_of_them() -> None:
    assert len({r[0] for r in ROWS}) >= 200


@pytest.mark.parametrize("row", ROWS, ids=[r[0] for r in ROWS])
def test_designation_says_what_its_document_says(base: Base, row: tuple[str, ...]) -> None:
    text, family, um, chromium, film, status, white, red, sealed, lubricated = row
    r = read(base, text)[0]
    assert r["family"] == family
    if um != ".":
        expected: Any = None if um == "none" else [float(x) for x in um.split("-")] if "-" in um else float(um)
        found = sorted(r["thickness_um"]) if isinstance(r["thickness_um"], list) else r["thickness_um"]
        assert found == expected
    if chromium != ".":
        assert r["hexavalent_chromium"] == chromium
    if film != ".":
        assert r["passivation"] == (None if film == "none!" else film)
    if status != ".":
        assert r["status"] in (OLD if status == "old" else (status,))
    for key, hours in (("salt_spray_white_h", white), ("salt_spray_red_h", red)):
        if hours != ".":
            assert r[key] == (None if hours == "none" else float(hours))
    for key, said in (("sealed", sealed), ("lubricated", lubricated)):
        if said != ".":
            assert r[key] is (said == "yes")


# letters that clash, and what cannot be decided ----------------------------------------------------------------------


def test_f_is_an_organic_top_coat_in_f1941_and_black_in_iso(base: Base) -> None:
    first, second = read(base, "Fe/Zn 8F")
    assert (first["standard"], first["passivation"]) == ("ASTM F1941", None)
    assert (second["standard"], second["passivation"]) == ("ISO 2081", "black")


def test_a_named_standard_settles_the_letter_f(base: Base) -> None:
    assert [r["standard"] for r in read(base, "ASTM F1941 Fe/Zn 8F")] == ["ASTM F1941"]
    assert [r["passivation"] for r in read(base, "ISO 2081 Fe/Zn8/F")] == ["black"]


def test_a2l_is_a_plating_code_first_and_low_carbon_stainless_second(base: Base) -> None:
    families = [r["family"] for r in read(base, "A2L")]
    assert families == ["zinc-electroplate", "stainless-a2"]


def test_b7m_is_a_stud_steel_before_it_is_cadmium(base: Base) -> None:
    readings = read(base, "B7M")
    assert readings[0]["family"] is None
    assert readings[1]["family"] == "cadmium"


def test_letter_p_leaves_the_film_to_the_plater(base: Base) -> None:
    r = read(base, "A2P")[0]
    assert r["finish"] is None
    assert any("hexavalent" in line for line in r["incomplete"])


def test_galvanised_and_black_give_every_sense_and_no_finish(base: Base) -> None:
    for word, senses in (("galvanised", {"hot-dip-galvanized", "zinc-electroplate"}), ("black", {"black-oxide"})):
        readings = read(base, word)
        assert senses <= {r["family"] for r in readings}
        assert len(readings) > 1
        assert all(r["finish"] is None and r["incomplete"] for r in readings)


def test_customers_choice_lists_what_is_open_and_guesses_nothing(base: Base) -> None:
    (r,) = read(base, "coating: customer's choice")
    assert r["family"] is None
    assert r["finish"] is None
    assert r["incomplete"]


def test_service_condition_and_thickness_that_disagree_are_not_decided(base: Base) -> None:
    r = read(base, "ASTM B633 Fe/Zn 5 SC3 type V")[0]
    assert r["thickness_um"] is None
    assert any("5" in line and "12" in line for line in r["incomplete"])


def test_code_of_one_standard_beside_the_name_of_another_is_not_settled(base: Base) -> None:
    for r in read(base, "A2L ISO 10683"):
        assert r["incomplete"]


def test_yellow_chromate_and_rohs_contradict_each_other(base: Base) -> None:
    r = read(base, "Fe/Zn 8c2C, RoHS")[0]
    assert r["hexavalent_chromium"] == "yes"
    assert any("chromium" in line for line in r["incomplete"])


def test_bare_din_267_asks_for_its_part(base: Base) -> None:
    (r,) = read(base, "DIN 267")
    assert r["family"] is None
    assert r["incomplete"]


# what an old code has become -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "now"),
    [
        ("A2L", "ISO 4042/Zn5/Cn/T0"),
        ("A2B", "ISO 4042/Zn5/An/T0"),
        ("A3C", "ISO 4042/Zn8/Cn/T0"),
        ("A4D", "ISO 4042/Zn12/Cn/T2"),
        ("P3R", "ISO 4042/ZnNi8/Fn/T2"),
        ("Fe//Zn8//Cn//T0", "ISO 4042/Zn8/Cn/T0"),
        ("flZnnc-480h", "ISO 10683 - flZn/nc/x/x/480h/x"),
        ("F1136 Gr 4", "ASTM F3393 with corrosion, appearance and friction codes"),
        ("QQ-Z-325", "ASTM B633 for general articles"),
        ("EN 13811 class 30", "ISO 17668 class 30"),
        ("DIN 267-10", "ISO 10684 - tZn"),
        ("QQ-P-35 Type II", "ASTM A967"),
    ],
)
def test_nearest_designation_of_today(base: Base, text: str, now: str) -> None:
    assert now in read(base, text)[0]["current_equivalents"]


@pytest.mark.parametrize(
    ("text", "successor"),
    [
        ("DIN 50979 Fe//Zn8//Cn//T0", "19598"),
        ("F3019", "F3393"),
        ("flZnyc-480h", "10683:2018"),
        ("DOD-P-16232 Type M Class 1", "MIL-DTL-16232"),
        ("MIL-C-81562", "AMS-C-81562"),
        ("A2L", "ISO 4042:2022"),
    ],
)
def test_withdrawn_documents_name_their_successor(base: Base, text: str, successor: str) -> None:
    assert successor in read(base, text)[0]["superseded_by"]


# warnings ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "caution"),
    [
        ("A2L", "hexavalent-chromium"),
        ("Fe/Zn 8/C2C from an old drawing", "hexavalent-chromium"),
        ("B695 Class 25 Type II", "hexavalent-chromium"),
        ("ISO 10684 with chromate after-treatment", "hexavalent-chromium"),
        ("B3C", "cadmium-caution"),
        ("NSS 1000h no white rust Zn8", "unrealistic-requirement"),
        ("zinc plate yellow", "colour-is-not-proof"),
        ("8.8 HDG", "thread-fit"),
        ("F2329", "matched-set"),
        ("A490 HDG", "hydrogen-embrittlement"),
        ("12.9 BZP", "hydrogen-embrittlement"),
    ],
)
def test_reading_warns(base: Base, text: str, caution: str) -> None:
    assert caution in decode.run(base, {"callout": text}).cautions


def test_current_clear_zinc_warns_of_nothing(base: Base) -> None:
    assert decode.run(base, {"callout": "ISO 4042/Zn8/An/T0"}).cautions == ()


def test_hours_that_the_coat_can_do_are_not_called_unrealistic(base: Base) -> None:
    assert "unrealistic-requirement" not in decode.run(base, {"callout": "ZnNi8/Cn/T2 720h red rust"}).cautions


@pytest.mark.parametrize(
    ("text", "strength"),
    [
        ("8.8 HDG", "8.8"),
        ("M10 10.9 A3C", "10.9"),
        ("8Z tZn", "nut-8"),
        ("grade 8 zinc yellow", "gr8"),
        ("A325 HDG", "A325"),
        ("A4-80", "A4-80"),
        ("F593C", "F593C"),
        ("45H black oxide", "45H"),
    ],
)
def test_strength_mark_beside_the_coating(base: Base, text: str, strength: str) -> None:
    assert read(base, text)[0]["strength"] == strength


# what is not known is said to be unknown -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "part", "understood"),
    [
        ("ISO 4042/Zn8/Gn/T0", "gn", "zinc"),
        ("ISO 4042/Zn8/An/T9", "t9", "zinc"),
        ("ISO 4042/Xx8/An/T0", "xx8", "ISO 4042"),
        ("ISO 4042/Zn7/An/T0", "7", "zinc"),
        ("A2Z", "z", "zinc"),
        ("Z2L", "z", "letter-digit-letter"),
        ("Fe/Zn 8c3C", "c3c", "zinc"),
        ("Fe/Zn 7C", "7", "zinc"),
        ("F1941 Fe/Zn 5Q", "fe/zn 5q", "F1941"),
        ("B633 SC9", "9", "B633"),
        ("B695 class 13", "13", "B695"),
        ("F2833 grade 9", "9", "F2833"),
        ("QQ-P-416 type II class 7", "7", "QQ-P-416"),
        ("ISO 4042/Zn8/An/T0/T9", "t9", "ISO 4042"),
        ("A2-75", "75", "austenitic"),
    ],
)
def test_unknown_part_is_named_with_what_was_understood(base: Base, text: str, part: str, understood: str) -> None:
    with pytest.raises(UsageError) as refused:
        read(base, text)
    assert f"'{part}" in str(refused.value)
    assert understood in str(refused.value)


@pytest.mark.parametrize(
    "text", ["", "   ", "hello", "M10", "12 x 40", "/", "????", "finish to suit", "Qz17/Pq", "xyz"]
)
def test_text_without_metal_or_specification_gives_no_reading(base: Base, text: str) -> None:
    with pytest.raises(UsageError):
        read(base, text)


# notes as people write them ------------------------------------------------------------------------------------------


def test_zinc_beside_a_film_or_a_thin_coat_is_not_taken_for_hot_dip(base: Base) -> None:
    for text in (
        "Zn, 8 micron, clear trivalent passivate, sealed",
        "black passivated zinc 8um sealed",
        "zinc chromate",
    ):
        assert {r["family"] for r in read(base, text)} == {"zinc-electroplate"}


def test_zinc_of_50_um_is_not_taken_for_electroplate(base: Base) -> None:
    assert "zinc-electroplate" not in {r["family"] for r in read(base, "zinc 50 µm")}


def test_note_of_a_drawing_is_read_whole(base: Base) -> None:
    r = read(base, "Zn, 8 micron, clear trivalent passivate, sealed")[0]
    assert (r["finish"], r["sealed"], r["hexavalent_chromium"]) == ("zinc-8-clear-sealed", True, "no")


def test_manganese_phosphate_is_not_offered_as_zinc_phosphate(base: Base) -> None:
    assert read(base, "MIL-DTL-16232 type M class 2")[0]["finish"] == "phosphate-manganese-oil"


def test_old_yellow_chromate_in_words_gets_a_chromium_free_equivalent(base: Base) -> None:
    r = read(base, "zinc plated, yellow chromate, 5 microns")[0]
    assert r["hexavalent_chromium"] == "yes"
    assert "ISO 4042/Zn5/Cn/T0" in r["current_equivalents"]


def test_hours_as_a_pair_are_white_then_red(base: Base) -> None:
    r = read(base, "electroplated zinc 96/240h")[0]
    assert (r["salt_spray_white_h"], r["salt_spray_red_h"]) == (96, 240)


def test_hours_without_a_rust_are_asked_about_on_plate_and_taken_as_red_on_flake(base: Base) -> None:
    assert any("white or red" in line for line in read(base, "zinc plated 72 h")[0]["incomplete"])
    assert read(base, "zinc flake 720 h")[0]["salt_spray_red_h"] == 720


def test_letters_are_explained_one_by_one(base: Base) -> None:
    letters = read(base, "A2L")[0]["letters"]
    assert [x["code"] for x in letters] == ["A", "2", "L"]
    assert letters[0]["means"] == "zinc"


def test_words_that_were_not_read_are_listed(base: Base) -> None:
    r = read(base, "Fe/Zn 8c2C wibble")[0]
    assert any("wibble" in line for line in r["incomplete"])


def test_full_width_and_odd_signs_are_folded(base: Base) -> None:
    assert read(base, "８．８　ＨＤＧ")[0]["family"] == "hot-dip-galvanized"
    assert read(base, "Fe ⁄ Zn 8 – c2C")[0]["thickness_um"] == 8


def test_code_without_its_third_letter_asks_for_it(base: Base) -> None:
    r = read(base, "DIN 267-9 A3")[0]
    assert (r["family"], r["thickness_um"], r["passivation"]) == ("zinc-electroplate", 8, None)
    assert any("third letter" in line for line in r["incomplete"])


def test_two_codes_in_one_note_are_not_settled(base: Base) -> None:
    for text in ("A2L or A2B", "A3C, flZnnc-480h", "QQ-P-416 Type II Class 3 or B633 SC2 type II"):
        readings = read(base, text)
        assert len(readings) > 1
        assert all("more than one code" in r["incomplete"][0] for r in readings)


def test_friction_window_in_a_note_is_no_unread_rest(base: Base) -> None:
    r = read(base, "M10 x 40 10.9 Zn-Ni 8 µm transparent passivated sealed Cr(VI) free, µ 0.09-0.14")[0]
    assert (r["finish"], r["strength"]) == ("zinc-nickel-8-sealed", "10.9")
    assert not any("not read" in line for line in r["incomplete"])
