"""Sizes as people write them: one parser for words, options, calculations and drawing notes."""

from __future__ import annotations

import pytest

from advisor.errors import UsageError
from advisor.graph.base import Base
from advisor.reasoning.measures import diameter_mm
from advisor.trade.sizes import Size, read_size, size_of


def size(base: Base, text: str) -> Size:
    found = size_of(base.table("thread-sizes"), text)
    assert found is not None, text
    return found


# Diameters and threads an inch: ASME B1.1-2003 table 1 (numbered sizes 0.060 in + 0.013 in a number); metric pitches:
# ISO 261:1998 table 2.
WRITTEN = (
    ("M10", "M10", 10, 1.5, "coarse", None),
    ("m10 x 1.25", "M10x1.25", 10, 1.25, "fine", None),
    ("M10x1.5x40", "M10", 10, 1.5, "coarse", 40),
    ("M10x50", "M10", 10, 1.5, "coarse", 50),
    ("M8 × 1,25 × 30 mm", "M8", 8, 1.25, "coarse", 30),
    ("M10x1.5-6g", "M10", 10, 1.5, "coarse", None),
    ("M17", "M17", 17, None, "", None),
    ("10-32", "#10-32", 4.826, 25.4 / 32, "fine", None),
    ("#10-32", "#10-32", 4.826, 25.4 / 32, "fine", None),
    ("no. 10-24", "#10-24", 4.826, 25.4 / 24, "coarse", None),
    ("6-32", "#6-32", 3.505, 25.4 / 32, "coarse", None),
    ("4-40", "#4-40", 2.845, 25.4 / 40, "coarse", None),
    ("1/2 UNF", "1/2-20", 12.7, 25.4 / 20, "fine", None),
    ("1/2", "1/2-13", 12.7, 25.4 / 13, "coarse", None),
    ("3/8-16 UNC-2A", "3/8-16", 9.525, 25.4 / 16, "coarse", None),
    ('3/8"-16 x 1-1/2"', "3/8-16", 9.525, 25.4 / 16, "coarse", 38.1),
    ("1½", "1-1/2-6", 38.1, 25.4 / 6, "coarse", None),
    ("1-8", "1-8", 25.4, 25.4 / 8, "coarse", None),
    ("2-4.5", "2-4.5", 50.8, 25.4 / 4.5, "coarse", None),
    ("2-4-1/2", "2-4.5", 50.8, 25.4 / 4.5, "coarse", None),
    ("ST4.8", "ST4.8", 4.8, None, "", None),
    ("4.2", "4.2", 4.2, None, "", None),
    ("5x50", "5", 5, None, "", 50),
    ("12 mm", "12", 12, None, "", None),
)


@pytest.mark.parametrize(("text", "name", "diameter", "pitch", "series", "length"), WRITTEN, ids=lambda x: str(x))
def test_a_size_says_diameter_pitch_and_length_however_it_is_written(
    base: Base, text: str, name: str, diameter: float, pitch: float | None, series: str, length: float | None
) -> None:
    found = size(base, text)
    assert (found.name, found.series, found.length_mm) == (name, series, length)
    assert found.diameter_mm == pytest.approx(diameter, abs=1e-3)
    assert found.pitch_mm == (None if pitch is None else pytest.approx(pitch, abs=1e-4))


@pytest.mark.parametrize("text", ["", "banana", "M", "x", "8BA", "M0", "1/0", "0/0", "#", "10 bolts"])
def test_what_is_no_size_is_none(base: Base, text: str) -> None:
    assert size_of(base.table("thread-sizes"), text) is None
    with pytest.raises(UsageError, match="not a thread size"):
        read_size(base.table("thread-sizes"), text)


def test_every_size_of_the_table_reads_as_itself(base: Base) -> None:
    table = base.table("thread-sizes")
    for row in table.records():
        assert read_size(table, str(row["size"])).size == row["size"]


@pytest.mark.parametrize("text", ["M10x1.1", "M17", "1/2-12", "3/8 BSW", "5/8-7"])
def test_a_thread_that_no_table_holds_is_refused_with_what_is_made(base: Base, text: str) -> None:
    with pytest.raises(UsageError, match=r"nearest|made as"):
        read_size(base.table("thread-sizes"), text)


def test_ten_thirty_two_is_a_machine_screw_for_an_enquiry_too(base: Base) -> None:
    # 254 mm once: the enquiry had a parser of its own
    assert diameter_mm(base, "10-32") == pytest.approx(4.826)
