"""Grammar of threads outside the tables: Whitworth, British Standard Fine, British Association, pipe threads."""

from __future__ import annotations

import re

from advisor.language.found import Found
from advisor.language.grammar.lexicon import Lexicon, Pattern

_OUTSIDE = Pattern(
    lambda _: (
        r"""\b(?:bsw|bsf|bsp[pt]?|whitworth|whit\b|british\ standard\ (?:whitworth|fine|cycle)|npt[fs]?
      | [0-9]{1,2}\ ?ba | ba(?=\ (?:thread|screw|size|bolt|nut)) | bscy | cei\ thread)\b"""
    ),
    gate="bs|whit|npt|ba|cei|british",
)


def outside(lexicon: Lexicon, text: str) -> list[Found]:
    """Threads outside the scope (Whitworth, British Association, pipe threads) in a line without figures."""
    return [
        Found(m.start(), m.end(), "size", None, 0.5, slug="thread-outside") for m in lexicon.finditer(_OUTSIDE, text)
    ]


_NEAR = 12
"""Characters between a size and the name of its thread."""


def with_british(lexicon: Lexicon, text: str, found: list[Found]) -> list[Found]:
    """The sizes of a line, those that name a British or a pipe thread as such."""
    for m in lexicon.finditer(_OUTSIDE, text):
        named = [f for f in found if f.slot == "size" and abs(f.end - m.start()) <= _NEAR]
        found = [f for f in found if f not in named]
        start = min([f.start for f in named] + [m.start()])
        end = max([f.end for f in named] + [m.end()])
        value = _outside_size(m[0], str(named[0].value) if named else "")
        found.append(Found(start, end, "size", value, 0.9 if value else 0.5, slug="thread-outside"))
    return found


def _outside_size(thread: str, nominal: str) -> str | None:
    """A size of the British threads as it is ordered; pipe threads are no bolts.

    >>> _outside_size("whit", "1/2"), _outside_size("bsf", "5/16"), _outside_size("2 ba", "")
    ('1/2 BSW', '5/16 BSF', '2BA')
    >>> _outside_size("bsp", "1/4") is None
    True
    """
    ba = re.fullmatch(r"([0-9]{1,2}) ?ba", thread)
    if ba:
        return ba[1] + "BA"
    fine = thread in ("bsf", "british standard fine")
    if not nominal or not (fine or thread.startswith(("bsw", "whit", "british standard whit"))):
        return None
    return f"{nominal} {'BSF' if fine else 'BSW'}"
