"""Reads descriptions that differ in a length alone once: "HEX BOLT M10X50 10.9" and "HEX BOLT M10X60 10.9".

The length is put out of the way by a stand-in of as many digits, and put back into what was read. Where the stand-in
turns up anywhere but in the length and its words, the text is read as it is: the reading is always that of the text.
"""

from __future__ import annotations

import re

from advisor.language.reading import Reading, Slotted, read
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.remembered import Remembered

STAND_INS = {2: "50", 3: "150"}
LEAST_MM = 25
"""Shorter lengths could be taken for something else."""
LARGEST_MM = 24
LENGTH = "length_mm"


class LengthsApart:
    """A reader with a bounded memory of texts whose length was put out of the way."""

    MOST_KEPT = 1500

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._vocabulary = vocabulary
        self._sized = re.compile(r"(?<![^\s,;])[Mm]([1-9]\d?)[xX](\d{2,3})(?![^\s,;])")
        self._kept: Remembered[str, Reading | None] = Remembered(self.MOST_KEPT)

    def read(self, text: str) -> Reading:
        """The reading of a text.

        Equal to that of `language.reading.read`, which the tests hold it to.
        """
        found = self._sized.search(text)
        if found is None or int(found[1]) > LARGEST_MM or int(found[2]) < LEAST_MM:
            return read(text, self._vocabulary)
        length, at = found[2], found.start(2)
        stand_in = STAND_INS[len(length)]
        before, after = text[:at], text[found.end(2) :]
        if any(x in y for x in (length, stand_in) for y in (before, after)):
            return read(text, self._vocabulary)
        template = before + stand_in + after
        if template not in self._kept:
            self._kept[template] = self._apart(template, stand_in)
        held = self._kept[template]
        if held is None:
            return read(text, self._vocabulary)
        return held if length == stand_in else _with_length(held, stand_in, length)

    def _apart(self, template: str, stand_in: str) -> Reading | None:
        """The reading with the stand-in, where that stands in the length alone."""
        reading = read(template, self._vocabulary)
        own = reading.understood.get(LENGTH)
        if own is None or own.value != int(stand_in):
            return None
        others = [x.value for s, x in reading.understood.items() if s != LENGTH]
        rest = reading._replace(understood={}, spans=())
        return None if stand_in in repr((others, rest)) else reading


def _with_length(reading: Reading, stand_in: str, length: str) -> Reading:
    """The reading with the length that the text has."""
    understood = {
        s: Slotted(int(length) if s == LENGTH else x.value, x.words.replace(stand_in, length), x.certainty)
        for s, x in reading.understood.items()
    }
    spans = tuple(
        [
            x._replace(words=x.words.replace(stand_in, length), became=x.became.replace(stand_in, length))
            for x in reading.spans
        ]
    )
    return reading._replace(understood=understood, spans=spans)
