"""Figures that an independent review of the knowledge found wrong or misplaced, held to the right value and its
document."""

from __future__ import annotations

import pytest

from advisor.graph.base import Base

# ISO 898-1:2013, Table 3: Brinell limits (12.9 also in the Indian adoption IS 1367-3:2017)
BRINELL_2013 = {"9.8": [286, 355], "10.9": [316, 375]}


@pytest.mark.parametrize(("grade", "limits"), BRINELL_2013.items())
def test_brinell_limits_are_those_of_2013(base: Base, grade: str, limits: list[int]) -> None:
    assert base.facts[f"brinell-{grade.replace('.', '-')}"].value == tuple(limits)
    assert base.facts[f"brinell-{grade.replace('.', '-')}"].basis == "memory"


def test_class_12_9_is_380_to_429_hbw(base: Base) -> None:
    assert tuple(base.strengths["12.9"].hardness_hb) == (380, 429)


def test_a_published_record_holds_no_brinell_limit_of_1999(base: Base) -> None:
    of_1999 = [(238, 304), (242, 318), (276, 342), (304, 361), (366, 414)]
    for grade in ("8.8", "9.8", "10.9", "12.9"):
        node = base.strengths[grade]
        limits = [node.hardness_hb, *(row.hardness_hb for row in node.by_size)]
        assert not any(x and tuple(x) in of_1999 for x in limits), grade


# ISO 898-2:1992, Table 3: nuts of class 9, greatest diameter -> stress under proof load in MPa, least HV
NUT_9 = {4: (900, 170), 7: (915, 188), 10: (940, 188), 16: (950, 188), 39: (920, 188)}


def test_nuts_of_class_9_by_size(base: Base) -> None:
    rows = base.strengths["nut-9"].by_size
    assert {row.to_mm: (row.proof_mpa, row.hardness_hv[0]) for row in rows} == NUT_9
    assert "2022" in base.strengths["nut-9"].text  # the class is gone from the fourth edition


def test_35_um_duplex_nickel_under_microporous_chromium_is_service_condition_5(base: Base) -> None:
    """ASTM B456, nickel-chromium on steel: SC 5 Fe/Ni35d Cr mp; SC 4 Fe/Ni40d Cr r or Fe/Ni30d Cr mp."""
    assert "SC 5" in base.facts["chrome-35d-extended-very-severe"].text
    (note,) = [x.note for x in base.finishes["nickel-chrome-35-duplex"].designations if x.standard == "astm-b456"]
    assert "SC 5" in note


def test_ordinary_failures_stop_counting_as_wrong_steel_at_1200_mpa(base: Base) -> None:
    """Philosophical Transactions of the Royal Society A, 2017, review of hydrogen in bolts, abstract: 1200 MPa."""
    texts = [f.text for f in base.facts.values() if f.source == "phil-trans-2017"]
    assert any("1200 MPa" in t for t in texts)
    assert not any("1100 MPa" in t for t in texts)


def test_oversize_tapping_of_inch_nuts_by_astm_a563(base: Base) -> None:
    """ASTM A563 table of oversize tapping: 0.016 in at 1/4, 0.027 in at 1-1/2, 0.050 in from 1-3/4 up."""
    stated = next(f for f in base.facts.values() if f.source == "astm-a563-2015" and f.value == (0.41, 1.27))
    amounts = [float(row[1]) * 25.4 for row in base.tables["oversize-tapping-inch"].rows]
    assert min(amounts) == pytest.approx(stated.value[0], abs=0.005)
    assert max(amounts) == pytest.approx(stated.value[1], abs=0.005)


def test_iso_10684_speaks_of_metric_threads_alone(base: Base) -> None:
    """ISO 10684:2004, clause 1: M8 to M64. Inch threads are a matter of practice and of ASTM F2329."""
    for f in base.facts.values():
        if f.source == "iso-10684-2004":
            assert "1/4 in" not in f.text, f.id


# FHWA, testing of long A490 bolts: initial tension in kips by size; A325: a tenth of AISC 360-05 Table J3.1, rounded
LOT_TEST = {"1/2": (2, 1), "3/4": (4, 3), "1": (6, 5), "1-1/2": (15, 10)}


@pytest.mark.parametrize(("size", "kips"), LOT_TEST.items())
def test_initial_tension_of_the_lot_test_by_grade(base: Base, size: str, kips: tuple[int, int]) -> None:
    found = [dict(base.tables[t].rows)[size] for t in ("pretension-lot-test", "pretension-lot-test-a325")]
    assert found == list(kips)
    assert base.tables["pretension-lot-test-a325"].basis == "derived"


def test_nickel_chromium_molybdenum_alloys_yield_at_280_to_415_mpa(base: Base) -> None:
    """ASTM B574 C-276: 283 MPa (41 ksi) and alloy 22: 310 MPa (45 ksi); ASTM B446 alloy 625 annealed: 414 MPa (60
    ksi)."""
    texts = [f.text for f in base.facts.values() if "nickel-chromium-molybdenum" in f.text and "yield" in f.text]
    assert len(texts) >= 2
    assert all("280 to 415 MPa" in t for t in texts)


# text no stronger than its document -----------------------------------------------------------------------------------


def test_b633_of_2019_advises_and_the_older_editions_forbid(base: Base) -> None:
    """ASTM B633-19, clause 1.4: should not be electroplated; B633-07, clause 1.3: shall not, unless otherwise
    specified."""
    assert "should not" in base.facts["line-b633-2019"].text
    assert base.facts["line-b633-2019"].where == "clause 1.4"
    says = {row[0]: row[8] for row in base.tables["hydrogen-lines"].rows}
    assert "shall not" in says["astm-b633-2007"]
    assert "should not" in says["astm-b633-2019"]


def test_33_hrc_of_f2329_holds_where_the_product_standard_or_the_purchaser_asks(base: Base) -> None:
    """ASTM F2329, clause 7.2.2."""
    stated = [f.text for f in base.facts.values() if f.source.startswith("astm-f2329") and "33 HRC" in f.text]
    stated += [row[8] for row in base.tables["hydrogen-lines"].rows if row[0] == "astm-f2329" and row[4] == 33]
    stated += [row[3] for row in base.tables["hydrogen-structural"].rows if "33 HRC" in row[3]]
    assert len(stated) >= 6
    assert all("product standard or the purchaser" in text for text in stated)


def test_zinc_cracks_stressed_steel_just_below_its_melting_point(base: Base) -> None:
    for text in [f.text for f in base.facts.values()] + [c.text for c in base.cautions.values()]:
        assert "iquid zinc cracks" not in text
        assert "380 °C or more melts" not in text


def test_cadmium_is_the_exception_of_reach(base: Base) -> None:
    assert base.rules["rg-12"].text.startswith("Apart from cadmium")


# editions and sources
# --------------------------------------------------------------------------------------------------

SUCCESSORS = {
    "astm-b633-2019": "astm-b633-2023",
    "astm-f3125-2015": "astm-f3125-2023",
    "astm-f1941-2015": "astm-f1941-2016",
    "iso-898-2-2012": "iso-898-2-2022",
    "iso-965-4-1998": "iso-965-4-2021",
    "ibc-2021": "ibc-2024",
    "eu-94-62": "eu-2025-40",
    "en-1993-1-4-2015": "en-1993-1-4-2025",
    "mil-std-1568c": "mil-std-1568d-2015",
    "mil-std-1250a": "mil-hdbk-1250a",
    "astm-a563-2015": "astm-a563-2021",
    "din-267-11": "iso-3506-1-2020",
    "din-50150": "iso-18265-2013",
}


@pytest.mark.parametrize(("old", "new"), SUCCESSORS.items())
def test_a_superseded_edition_names_its_successor(base: Base, old: str, new: str) -> None:
    assert base.sources[old].status in ("superseded", "withdrawn")
    assert base.sources[old].superseded_by == new
    assert base.sources[new].status == "current"


@pytest.mark.parametrize(
    "doubled", ["nasa-rp-1228", "merchant-torque-multipliers", "zinc-flake-trade-notes", "vdi-2230-1"]
)
def test_a_document_stands_once(base: Base, doubled: str) -> None:
    assert doubled not in base.sources


def test_packaging_law_is_that_of_august_2026(base: Base) -> None:
    """Regulation (EU) 2025/40, applies from 12 August 2026, Article 5(4): 100 mg/kg."""
    texts = [f.text for f in base.facts.values() if f.source == "eu-2025-40"]
    assert any("12 August 2026" in t and "Article 5(4)" in t for t in texts)


def test_grade_144_stands_in_its_own_standard(base: Base) -> None:
    """ASTM F3148-17a: 144 ksi, 1/2 to 1-1/4 in; coats B695 class 55, F1136 grade 3, F2833 grade 1; hot dip is not in
    it."""
    assert base.strengths["f3125-144"].source == "astm-f3148-2017"
    rows = {row[1]: row for row in base.tables["hydrogen-structural"].rows if row[0] == "f3125-144"}
    assert rows["mechanical"][2] == "allowed"
    assert rows["dip-spin"][2] == "allowed"
    assert rows["hot-dipped"][2] == "avoid"
    assert rows["electroplated"][2] == "forbidden"
    assert {row[5] for row in rows.values()} == {"published"}


def test_lives_by_division_are_derived(base: Base) -> None:
    """ISO 9223 prints yearly losses, no lives."""
    lives = [f for f in base.facts.values() if f.source == "iso-9223-2012" and "years" in f.text and "last" in f.text]
    assert len(lives) >= 5
    assert {f.basis for f in lives} == {"derived"}
