"""Slips of the pen: known words that an unknown one may have been meant as."""

from __future__ import annotations

from collections.abc import Mapping

_KEPT = 4096
_SHORTEST, _LONGEST = 4, 24
_TWO_FROM = 9
"""From this length on two letters may differ."""


class Slips:
    """Finds near words; `lengths` holds the known words by their number of letters."""

    def __init__(self, lengths: Mapping[str, str]) -> None:
        self._lengths = lengths
        self._found: dict[str, list[tuple[int, str]]] = {}

    def of(self, word: str) -> list[tuple[int, str]]:
        """(edits, word), nearest first; never over digits.

        Below five letters only a swap of neighbours, up to eight letters one edit, from nine two.

        >>> Slips({"7": "coastal outside"}).of("costal"), Slips({"4": "zinc"}).of("tinc")
        ([(1, 'coastal')], [])
        """
        held = self._found.get(word)
        if held is None:
            if len(self._found) >= _KEPT:
                self._found.clear()
            held = self._found[word] = self._near(word)
        return held

    def _near(self, word: str) -> list[tuple[int, str]]:
        size = len(word)
        if not _SHORTEST <= size <= _LONGEST or not word.isalpha():
            return []
        from rapidfuzz.distance import OSA  # only paid for when a word is unknown

        allowed = 1 if size < _TWO_FROM else 2
        out = []
        for length in range(max(_SHORTEST, size - allowed), size + allowed + 1):
            if size == _SHORTEST and length != _SHORTEST:
                continue
            for known in self._of_length(length):
                edits = OSA.distance(word, known, score_cutoff=allowed)
                if edits > allowed or (size == _SHORTEST and sorted(word) != sorted(known)):
                    continue
                if edits < 2 or min(size, length) >= _TWO_FROM - 1:
                    out.append((edits, known))
        out.sort()
        return out

    def _of_length(self, length: int) -> list[str]:
        return str(self._lengths.get(str(length), "")).split()
