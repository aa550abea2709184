"""Grammar of corrosivity categories C1 to C5 and CX, and of part numbers of aircraft standards."""

from __future__ import annotations

from advisor.language.found import Found
from advisor.language.grammar.lexicon import Lexicon, Pattern

_CATEGORY = Pattern(
    lambda _: (
        r"""(?<![a-z0-9./]) (?:iso\ 9223\ |category\ |class\ |cat\ )? c\ ?-? (?P<n>[1-5]|x) (?:-?[mihl]{1,2})?
        (?![a-z0-9/]|[.-][0-9]) (?!\ ?(?:-|/)[0-9])"""
    ),
    gate="c",
)
_PART_NUMBER = Pattern(
    lambda _: (
        r"""(?<![a-z0-9.-])
        (?: an-?[0-9]{1,4}(?:-[0-9a-z]+)? | nas\ ?-?[0-9]{2,6}(?:-[0-9a-z]+)* | ms\ ?-?[0-9]{4,6}(?:-[0-9a-z]+)? )
        (?![a-z0-9])"""
    ),
    gate="an|nas|ms",
)


def categories(lexicon: Lexicon, text: str) -> list[Found]:
    """Corrosivity categories of a place."""
    return [Found(m.start(), m.end(), "corrosivity", "C" + m["n"].upper()) for m in lexicon.finditer(_CATEGORY, text)]


def part_numbers(lexicon: Lexicon, text: str) -> list[Found]:
    """Aircraft standard part numbers, a circumstance of their own."""
    return [
        Found(m.start(), m.end(), "duty", ["aerospace"], slug="aerospace-part-number")
        for m in lexicon.finditer(_PART_NUMBER, text)
    ]
