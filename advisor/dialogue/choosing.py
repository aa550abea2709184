"""Which of the options of a question an answer picks: by its number in the list, or by the option's own words."""

from __future__ import annotations

from collections.abc import Container, Mapping
from typing import Any

from advisor.lookup.finding import tokens

SHORTEST_STEM = 4


def option_by_number(
    decision: Mapping[str, Any], slots: Mapping[str, Mapping[str, Any]], text: str
) -> Mapping[str, Any] | None:
    """The option chosen by its number; None where the answer itself is a number (a size, years).

    >>> d = {"slot": "priority", "options": [{"id": "a"}, {"id": "b"}]}
    >>> option_by_number(d, {"priority": {"type": "choice"}}, "2.")
    {'id': 'b'}
    """
    bare = text.rstrip(".)").lstrip("(#")
    if not bare.isdigit() or slots.get(decision["slot"], {}).get("type") in ("number", "size"):
        return None
    options: list[Mapping[str, Any]] = decision["options"]
    n = int(bare)
    return options[n - 1] if 1 <= n <= len(options) else None


def option_by_words(decision: Mapping[str, Any], text: str, denials: Container[str]) -> Mapping[str, Any] | None:
    """The option whose own words stand in the answer, when it is the only one.

    Only for questions about circumstances, whose options have no slot values to be read; a denial is left to the
    reading. `denials` are the words that deny.

    >>> options = [{"id": "a", "text": "overhead"}, {"id": "b", "text": "it gets rinsed"}]
    >>> d = {"slot": "circumstance", "options": options}
    >>> option_by_words(d, "we rinse it", {"no", "not"})["id"]
    'b'
    """
    if decision["slot"] != "circumstance" or any(w in denials for w in text.lower().split()):
        return None
    said = [w for w in tokens(text) if len(w) >= SHORTEST_STEM]
    hit = [o for o in decision["options"] if any(_akin(w, x) for x in tokens(o["text"]) for w in said)]
    return hit[0] if len(hit) == 1 else None


def _akin(a: str, b: str) -> bool:
    """Whether two words share their stem, roughly: "rinse" and "rinsed"."""
    return len(b) >= SHORTEST_STEM and a[:SHORTEST_STEM] == b[:SHORTEST_STEM] and abs(len(a) - len(b)) <= 3
