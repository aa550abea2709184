"""Words that name a place, a metal or a figure and yet say nothing of the fastener."""

from __future__ import annotations

import pytest

from advisor.language.reading import Reading, read
from advisor.language.vocabulary import Vocabulary


def _told(reading: Reading, slot: str) -> object:
    return reading.understood[slot].value if slot in reading.understood else None


@pytest.mark.parametrize(
    ("text", "answering", "slot", "never"),
    [
        ("sea? no, the far side of the county", "environment", "environment", "coastal"),
        ("drinking water? no no, it feeds the sprinklers", "duty", "duty", "drinking-water"),
        ("Swimming pool? It's a fish farm, plastic clamps M8", None, "environment", "pool"),
        ("it used to be a cow shed, now a heated office, shelf screws", None, "environment", "livestock"),
        ("bright zinc from the shed place, for a pergola", None, "environment", "indoor-damp"),
        ("carton went to Rotterdam by sea, M6 flange bolts", None, "environment", "coastal"),
        ("bracket above a wood burner, M6", None, "mating", "timber"),
        ("arm of a wood chipper, M12 8.8", None, "mating", "timber"),
        ("crusher in a copper mine, M20", None, "mating", "copper"),
        ("forget what I said about the coast, it is for Leeds", "environment", "environment", "coastal"),
        ("two brass screws at Cromer, M5", None, "finish_asked", "nickel-chrome"),
    ],
)
def test_what_the_words_around_take_out_of_play(
    vocabulary: Vocabulary, text: str, answering: str | None, slot: str, never: str
) -> None:
    told = _told(read(text, vocabulary, answering), slot)
    assert never not in (told if isinstance(told, list) else [told])


@pytest.mark.parametrize(
    ("text", "slot", "value"),
    [
        ("solar farm in the desert, dry as a bone, M12 u-bolts", "environment", ["outdoor"]),
        ("M8 in a dry lockup", "environment", ["indoor-dry"]),
        ("M10 into wood, outside", "mating", ["timber"]),
        ("stone house by the sea, M10", "environment", ["coastal"]),
        ("wall mine is concrete, M10 anchor", "mating", ["concrete"]),
    ],
)
def test_what_stays_in_play(vocabulary: Vocabulary, text: str, slot: str, value: object) -> None:
    told = _told(read(text, vocabulary), slot)
    assert told == value or (isinstance(told, list) and isinstance(value, list) and set(value) <= set(told))


@pytest.mark.parametrize(
    "text", ["zinc plate 12.9 if I bake it 24 h at 200 C", "M20 12.9, supplier bakes 4h at 190 degrees"]
)
def test_the_heat_and_hours_of_a_bake_are_no_service(vocabulary: Vocabulary, text: str) -> None:
    reading = read(text, vocabulary)
    assert {"temperature_c", "salt_spray_hours", "thread_class"}.isdisjoint(reading.understood)


@pytest.mark.parametrize(
    ("text", "answering", "figure"),
    [
        ("I'm seventy one, it only has to see me out", "life_years", 71),
        ("used to be 96", "salt_spray_hours", 96),
        ("whatever clears two 20 mm plates", "length_mm", 20),
    ],
)
def test_a_number_of_something_else_is_asked_back(
    vocabulary: Vocabulary, text: str, answering: str, figure: int
) -> None:
    reading = read(text, vocabulary, answering)
    assert _told(reading, answering) in (None, "unknown")
    assert any(u.slot == answering and figure in u.candidates for u in reading.unclear)


@pytest.mark.parametrize(
    ("text", "answering", "slot", "value"),
    [
        ("boiling water, so a hundred, maybe hundred and ten", "temperature_c", "temperature_c", 110),
        ("steel of some sort, painted green", "mating", "mating", ["carbon-steel"]),
        ("bright zinc on em now", "finish_now", "finish_now", ["zinc-electroplate"]),
        ("theres an eight then a dot then another eight", "strength", "strength", "8.8"),
    ],
)
def test_an_answer_fills_the_slot_asked_for(
    vocabulary: Vocabulary, text: str, answering: str, slot: str, value: object
) -> None:
    reading = read(text, vocabulary, answering)
    assert _told(reading, slot) == value
    assert {"appearance", "finish_asked"}.isdisjoint(reading.understood)
