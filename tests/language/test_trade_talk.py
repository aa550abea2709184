"""How the trade talks, and what must not be heard in it."""

from __future__ import annotations

from typing import Any

import pytest

from advisor.audit.words import alike
from advisor.language.reading import Reading, read
from advisor.language.vocabulary import Vocabulary


def _value(reading: Reading, slot: str) -> Any:
    held = reading.understood.get(slot)
    return held.value if held else None


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("M10x1,25", "M10x1.25"), ("3/8-16", "3/8-16"),
        ("three eighths UNF", "3/8-24"), ("number eight dash thirty-two", "#8-32"),
        ("10-32", "#10-32"), ("1-1/8-7", "1-1/8-7"), ("1/2\" UNC", "1/2-13"), ("М12 × 40", "M12"), ("half inch", "1/2"),
    ],
)  # fmt: skip
def test_sizes_are_read_as_the_trade_writes_them(vocabulary: Vocabulary, text: str, size: str) -> None:
    assert _value(read(text, vocabulary), "size") == size


@pytest.mark.parametrize(
    ("text", "size"),
    [("1/2 BSW bolts", "1/2 BSW"), ("three eighths whitworth", "3/8 BSW"), ("2BA screws", "2BA"), ("1/4 BSP plug", "")],
)
def test_british_threads_keep_their_name_and_pipe_threads_are_none(
    vocabulary: Vocabulary, text: str, size: str
) -> None:
    reading = read(text, vocabulary)
    assert ("size" in reading.understood) == bool(size)
    assert not size or _value(reading, "size") == size
    assert "thread-outside" in {c.slug for c in reading.circumstances}


def test_a_spanner_size_is_asked_back(vocabulary: Vocabulary) -> None:
    reading = read("17mm spanner", vocabulary, "size")
    assert "size" not in reading.understood
    assert reading.unclear[0].candidates == ("M10",)


def test_grade_8_is_not_class_8_8(vocabulary: Vocabulary) -> None:
    assert _value(read("grade eight", vocabulary), "strength") == "gr8"
    assert _value(read("grade 8.8", vocabulary), "strength") == "8.8"
    assert _value(read("eight point eight", vocabulary), "strength") == "8.8"


def test_two_classes_in_one_line_are_asked_back(vocabulary: Vocabulary) -> None:
    reading = read("grade 8 ... or eight point eight? whatever is standard", vocabulary, "strength")
    assert _value(reading, "strength") in (None, "unknown")
    assert {"gr8", "8.8"} <= {c for u in reading.unclear for c in u.candidates}


def test_of_two_classes_the_one_replaced_governs_the_joint(vocabulary: Vocabulary) -> None:
    reading = read("A4-80 instead of 8.8, M16", vocabulary)
    assert _value(reading, "strength") == "8.8"


def test_a_correction_wins(vocabulary: Vocabulary) -> None:
    reading = read("no sorry, I meant 12.9", vocabulary, "strength")
    assert _value(reading, "strength") == "12.9"
    assert "strength" in reading.corrections


def test_what_is_ruled_out_is_no_wish(vocabulary: Vocabulary) -> None:
    reading = read("not galvanised please, zinc flake is fine", vocabulary)
    assert "hot-dip-galvanized" in _value(reading, "exclude")
    assert _value(reading, "finish_asked") == ["zinc-flake"]


def test_denied_places_are_not_heard(vocabulary: Vocabulary) -> None:
    reading = read("no salt, nothing chemical, just rain", vocabulary, "environment")
    assert _value(reading, "environment") == ["outdoor"]


def test_what_is_fitted_now_is_named_but_not_wished(vocabulary: Vocabulary) -> None:
    reading = read("existing zinc plated bolts have rusted, M8, by the sea", vocabulary)
    assert "finish_asked" not in reading.understood
    assert reading.mentioned == ("zinc-electroplate",)


def test_a_group_word_keeps_all_its_families(vocabulary: Vocabulary) -> None:
    reading = read("M8 zinc", vocabulary)
    assert {"zinc-electroplate", "zinc-flake", "hot-dip-galvanized"} <= set(_value(reading, "finish_asked"))
    assert reading.understood["finish_asked"].certainty < 1


def test_a_material_before_an_object_is_what_the_bolt_touches(vocabulary: Vocabulary) -> None:
    assert _value(read("fix a bracket to a galvanised post", vocabulary), "mating") == ["galvanized-steel"]
    assert _value(read("stainless sign on a stainless frame", vocabulary), "mating") == ["stainless-steel"]
    assert _value(read("galvanised bolts M10", vocabulary), "mating") is None


def test_a_failed_life_is_no_wish(vocabulary: Vocabulary) -> None:
    assert (
        _value(read("they rusted through after four years, we hope for fifteen years", vocabulary), "life_years") == 15
    )
    assert _value(read("rusted within 2 years", vocabulary), "life_years") is None


def test_a_place_told_by_an_object_is_marked_and_gives_way(vocabulary: Vocabulary) -> None:
    assert "environment" in read("fence brackets M8", vocabulary).from_object
    assert _value(read("fence brackets in wet clay soil", vocabulary), "environment") == ["buried"]


def test_kilograms_are_no_pieces(vocabulary: Vocabulary) -> None:
    assert _value(read("400 kg of M10 nuts", vocabulary), "quantity") is None
    assert _value(read("5M", vocabulary, "quantity"), "quantity") == 5000


def test_a_doubtful_safety_word_is_asked_back_not_taken(vocabulary: Vocabulary) -> None:
    reading = read("zinc flate M8", vocabulary)
    assert "finish_asked" not in reading.understood
    assert {"zinc-flake", "zinc-electroplate"} <= {c for u in reading.unclear for c in u.candidates}


def test_digits_are_never_guessed(vocabulary: Vocabulary) -> None:
    for text in ("10.8", "11.9", "A3-75", "grade 9", "A326"):
        assert "strength" not in read(text, vocabulary).understood, text


def test_a_near_miss_beats_a_shorter_exact_word(vocabulary: Vocabulary) -> None:
    assert _value(read("zinc nikel", vocabulary), "finish_asked") == ["zinc-nickel"]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("M10 8.8 ISO 4042/Zn8/An/T0", "ISO 4042/Zn8/An/T0"),
        ("to Fe/Zn 8 c1A please", "Fe/Zn 8 c1A"),
        ("M6 F1941 Fe/Zn 5AN", "F1941 Fe/Zn 5AN"),
        ("B633 SC2 Type III", "B633 SC2 Type III"),
        ("coating A2L", "A2L"),
        ("flZn-480h-L", "flZn-480h-L"),
        ("QQ-P-416", "QQ-P-416"),
    ],
)
def test_designations_are_kept_as_typed(vocabulary: Vocabulary, text: str, code: str) -> None:
    assert _value(read(text, vocabulary), "callout") == code


def test_vickers_becomes_rockwell_by_the_published_conversion(vocabulary: Vocabulary) -> None:
    """382 HV is 39 HRC in the conversion table of ASTM E140."""
    assert _value(read("382 HV", vocabulary), "hardness_hrc") == pytest.approx(39, abs=0.1)


def test_unused_words_are_shown_back(vocabulary: Vocabulary) -> None:
    assert "flibbertigibbet" in read("M8 flibbertigibbet outside", vocabulary).unused


def test_confusable_words_are_few_and_known(vocabulary: Vocabulary) -> None:
    listed = {(p.one, p.other) for p in alike(vocabulary)}
    assert ("hoist", "joist") in listed
    assert len(listed) < 150


@pytest.mark.parametrize(
    ("line", "size", "strength"),
    [
        ("M10, no M12", "M12", None),
        ("10.9 no 8.8", None, "8.8"),
        ("8.8, not 10.9", None, "8.8"),
        ("8.8 bolts, no 10.9", None, "10.9"),
        ("no 8.8", None, "8.8"),
        ("no M12", "M12", None),
        ("not 10.9", None, None),
        ("no 10-32 screws", "#10-32", None),
    ],
)
def test_no_takes_back_and_not_leaves(
    vocabulary: Vocabulary, line: str, size: str | None, strength: str | None
) -> None:
    understood = read(line, vocabulary).understood
    assert (understood["size"].value if "size" in understood else None) == size
    assert (understood["strength"].value if "strength" in understood else None) == strength


def test_copper_alloys_are_refused_together_and_touched_as_copper(vocabulary: Vocabulary) -> None:
    """Beside a magnet scanner's patient no copper alloy: brass and the bronzes go, nothing is touched."""
    understood = read("non magnetic, and no brass or any copper alloy", vocabulary).understood
    assert set(understood["exclude"].value) == {"brass", "silicon-bronze", "aluminium-bronze", "copper"}
    assert "mating" not in understood
    assert read("screws into a copper alloy casting", vocabulary).understood["mating"].value == ["copper"]


def test_bolts_that_shear_when_tightened_broke_and_bolts_in_shear_did_not(vocabulary: Vocabulary) -> None:
    broke = read("the aluminium bolts shear when you nip them up", vocabulary).understood
    assert broke["problem"].value == ["fracture-at-tightening"]
    assert "problem" not in read("M16 8.8 bolts loaded in shear", vocabulary).understood
    assert "problem" not in read("shear bolts for a tiller", vocabulary).understood


@pytest.mark.parametrize(
    ("line", "place"),
    [
        ("bolts that wont rust by the sea", ["coastal"]),
        ("something that does not rust on the coast", ["coastal"]),
        ("screws that will not corrode in salt water", ["immersion-sea"]),
        ("must not rust outdoors", ["outdoor"]),
        ("never rusts at the seaside", ["coastal"]),
        ("not by the sea", None),
        ("it won't be on the coast", None),
    ],
)
def test_what_must_not_rust_somewhere_is_there(vocabulary: Vocabulary, line: str, place: list[str] | None) -> None:
    """The denial is of the rust, not of the place."""
    understood = read(line, vocabulary).understood
    assert (understood["environment"].value if "environment" in understood else None) == place


@pytest.mark.parametrize(
    "line",
    [
        "the nut won't spin on the galvanised stud",
        "nuts won't thread on the galv studs",
        "nut will not go on the hot dip bolt",
    ],
)
def test_a_nut_that_will_not_go_on_is_a_complaint_and_refuses_no_coat(vocabulary: Vocabulary, line: str) -> None:
    understood = read(line, vocabulary).understood
    assert understood["problem"].value == ["does-not-assemble"]
    assert "exclude" not in understood


@pytest.mark.parametrize(
    "line", ["will a nut fit a galvanised stud", "so that the nut does fit", "screws that won't break"]
)
def test_a_question_or_a_wish_is_no_complaint(vocabulary: Vocabulary, line: str) -> None:
    assert "problem" not in read(line, vocabulary).understood


def test_a_complaint_keeps_the_size_of_what_will_not_go_together(vocabulary: Vocabulary) -> None:
    assert read("the nut won't spin on our galvanised M16 stud", vocabulary).understood["size"].value == "M16"


def test_people_on_it_are_told(vocabulary: Vocabulary) -> None:
    assert "person" in read("it is for a walkway, people walk on it", vocabulary).understood["duty"].value
