"""The substances that a line says reach the fastener, and how strong; what only cleans or strips it is none."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from advisor.language.found import number
from advisor.language.grammar.lexicon import Lexicon, Pattern
from advisor.language.line import Line
from advisor.language.named import Index, NamedHere, named_in
from advisor.language.things import agrees
from advisor.records import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

NEAR = 40
"""A strength belongs to a substance that stands within so many letters of it."""
_DENIED = Pattern(lambda w: rf"""\b(?:{w("substance-denied")}) \ (?:[a-z]+\ )? \Z""")
_TREATED = Pattern(lambda w: rf"""\b(?:{w("treatment-of-parts")})\b""")
_STRENGTH = Pattern(
    lambda w: (
        rf"""(?<![0-9.]) (?P<n>[0-9]{{1,3}}(?:\.[0-9]+)?) (?:\ ?(?:-|to)\ ?(?P<n2>[0-9]{{1,3}}(?:\.[0-9]+)?))?
        \ ? (?:{w("per-cent")}) (?![a-z0-9]) (?!\ (?:{w("strength-of-something-else")})\b)"""
    )
)


class Substances(NamedTuple):
    """What a line names: chemicals, the words that named the first, and its strength in per cent."""

    ids: tuple[str, ...]
    words: str
    concentration_pct: int | float | None
    strength_words: str


def substances_in(
    line: Line, index: Index, lexicon: Lexicon, beside_of: Callable[[str], Mapping[str, Any]]
) -> Substances | None:
    """The substances of a line; None when none is named, or the line treats the parts with it."""
    named = [n for n in named_in(line, index) if _counts(line, n, lexicon, beside_of(n.id))]
    if not named or next(lexicon.finditer(_TREATED, line.text), None):
        return None
    strength, words = _strength(line, named, lexicon)
    return Substances(
        tuple(dict.fromkeys(n.id for n in named)), line.words(named[0].start, named[0].end), strength, words
    )


def _counts(line: Line, named: NamedHere, lexicon: Lexicon, neighbours: Mapping[str, Any]) -> bool:
    if lexicon.ends(_DENIED, line.text, named.start):
        return False
    return agrees(line, named.start, named.end, neighbours.get("beside", ()), neighbours.get("not_beside", ()))


def _strength(line: Line, named: list[NamedHere], lexicon: Lexicon) -> tuple[int | float | None, str]:
    """The strength next to a substance; of a range the upper end."""
    for m in lexicon.finditer(_STRENGTH, line.text):
        value = float(m["n2"] or m["n"])
        near = any(m.start() - n.end <= NEAR and n.start - m.end() <= NEAR for n in named)
        if near and 0 < value <= 100:
            return number(f"{value:g}"), line.words(m.start(), m.end())
    return None, ""
