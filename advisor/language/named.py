"""Standards that a line names: exact phrases of the knowledge, wherever they stand, codes included."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.language.line import STOPS, Line
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

Index = Mapping[str, Mapping[str, str]]
"""First word -> rest of the phrase -> id of what is named."""
NOT_FILLED = ("finish_asked", "standard")
"""Of what a document says: its coat is read from the code, its name is filled apart."""


class NamedHere(NamedTuple):
    """Something named, between two places of the line."""

    id: str
    start: int
    end: int


def named_in(line: Line, index: Index) -> list[NamedHere]:
    """The longest phrases of an index that stand in a line, in order."""
    tokens = line.tokens
    out: list[NamedHere] = []
    i = 0
    while i < len(tokens):
        rests = index.get(tokens[i].key)
        hit = _longest(tokens, i, rests) if rests else None
        if hit is None:
            i += 1
            continue
        stop, name = hit
        out.append(NamedHere(name, tokens[i].start, tokens[stop - 1].end))
        i = stop
    return out


def _longest(tokens: Sequence[Any], i: int, rests: Mapping[str, str]) -> tuple[int, str] | None:
    """(place behind, id) of the longest phrase that begins at a word."""
    held: tuple[int, str] | None = (i + 1, rests[""]) if "" in rests else None
    most = max(len(rest.split()) for rest in rests)
    words: list[str] = []
    for k in range(i + 1, len(tokens)):
        if tokens[k].key in STOPS or len(words) >= most:
            break
        words.append(tokens[k].key)
        rest = " ".join(words)
        if rest in rests:
            held = (k + 1, rests[rest])
    return held
