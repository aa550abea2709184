"""Several enquiries in one message, and mail with a signature and a quoted reply."""

from __future__ import annotations

import pytest

from advisor.dialogue.conversation import Guide
from advisor.dialogue.state import Say, State
from advisor.language.reading import Reading, read
from advisor.language.vocabulary import Vocabulary


def _told(reading: Reading) -> dict[str, object]:
    return {slot: s.value for slot, s in reading.understood.items()}


THREE = """1) 200 x M10x40 8.8 hex bolts, hot dip galvanised, for a fence in town.
2) 50 x M8x30 A4-80 socket cap screws for the boat deck.
3) M6 brass screws for a clock, indoors"""


def test_the_first_of_several_is_read_and_the_others_wait(vocabulary: Vocabulary) -> None:
    reading = read(THREE, vocabulary)
    told = _told(reading)
    assert (told["size"], told["quantity"], told["strength"]) == ("M10", 200, "8.8")
    assert told["finish_asked"] == ["hot-dip-galvanized"]
    assert [t.split(" ", 2)[0] for t in reading.to_come] == ["50", "M6"]


def test_the_talk_lists_what_is_still_to_come(guide: Guide) -> None:
    _, replies = guide.step(State(), THREE)
    listed = [r.text for r in replies if isinstance(r, Say) and "boat deck" in r.text]
    assert "a clock" in listed[0]
    assert "3" in listed[0]


@pytest.mark.parametrize(
    ("text", "waiting"),
    [
        ("Hello, 1. M12x60 8.8 bolts for a pump outdoors 2. M8 screws A2 for a kitchen. Thanks", 1),
        ("a) M16 bolts hdg for a jetty b) M6x20 A2 screws for a sign", 1),
        ("M8x30 8.8 zinc\nM10x40 8.8 zinc\nM12x50 10.9 zinc flake", 2),
        ("item 10: M20x80 10.9 studs item 20: M24x90 10.9 studs", 1),
        # one enquiry only
        ("M10 bolts for a gate, 2. choice would be A2", 0),
        ("M16x60 8.8 bolts hdg 200 pcs\nM16 nuts to suit\nM16 washers to suit", 0),
        ("200 pcs M8x30\n8.8 zinc plated\nfor a gate", 0),
        ("1) what does 8.8 mean 2) and 10.9", 0),
        ("M10 8.8 bolts, 2 of them, outdoors by the sea", 0),
    ],
)
def test_a_message_is_parted_where_each_part_has_a_size_of_its_own(
    vocabulary: Vocabulary, text: str, waiting: int
) -> None:
    assert len(read(text, vocabulary).to_come) == waiting


def test_what_is_said_of_all_belongs_to_the_first_too(vocabulary: Vocabulary) -> None:
    reading = read("All for a bridge by the sea:\nM16x60 8.8 bolts\nM20x80 8.8 bolts", vocabulary)
    told = _told(reading)
    assert told["size"] == "M16"
    assert "coastal" in str(told["environment"])
    assert len(reading.to_come) == 1


MAIL = """Dear all,
we need 200 bolts M16x60 8.8 hot dip galvanised for a jetty.
Kind regards
Sales desk, house M8, floor 3
Tel 0123 456789
> On Monday we offered M20 zinc flake A4"""


def test_a_signature_and_a_quoted_reply_are_left_aside(vocabulary: Vocabulary) -> None:
    told = _told(read(MAIL, vocabulary))
    assert (told["size"], told["quantity"], told["finish_asked"]) == ("M16", 200, ["hot-dip-galvanized"])
    assert "finish_now" not in told


def test_a_long_story_is_read_to_its_end(vocabulary: Vocabulary) -> None:
    story = "We put up a gate two years ago and my brother painted it. " * 50
    told = _told(read(story + "\nNow I need M12x80 8.8 bolts hot dip galvanised for it, by the sea.", vocabulary))
    assert (told["size"], told["length_mm"], told["strength"]) == ("M12", 80, "8.8")
