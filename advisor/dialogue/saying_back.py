"""What was told, said back in one breath as a person would: the bolt, its finish, what it holds, where it lives."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.graph.base import Base
from advisor.graph.wording import worded

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

STEM = 4
"""Letters by which two words are taken for the same."""


def said_back(base: Base, told: Iterable[tuple[str, Any, str]], noticed: Mapping[str, str]) -> str:
    """Slots with their values and the words that told them, and what was noticed beside them (circumstance -> words),
    where the slots do not say it already.
    """
    told = list(told)
    order = base.role_words("said-back")
    place = {slot: n for n, slot in enumerate(order)}
    told.sort(key=lambda x: place.get(x[0], len(order)))
    parts = [worded(base, s, _own(base, s, v, words)) for s, v, words in told]
    unsaid = set(base.role_words("not-said-back"))
    said = _stems(" ".join((*parts, *(words for _, _, words in told))))
    for slug, words in noticed.items():
        if words and slug not in unsaid and said.isdisjoint(_stems(words)):
            parts.append(words)
            said |= _stems(words)
    return "; ".join(dict.fromkeys(parts))


def _own(base: Base, slot: str, value: Any, words: str) -> Any:
    """The value; where one word named several finishes ("zinc"), that word."""
    vague = isinstance(value, list) and words and words.count(",") + 1 < len(value)
    return [words] if vague and slot in base.role_words("said-in-own-words") else value


def _stems(text: str) -> set[str]:
    """The beginnings of the words that mean something.

    >>> sorted(_stems("pressure-treated, in oak"))
    ['oak', 'pres', 'trea']
    """
    words = "".join(c if c.isalnum() else " " for c in text.lower()).split()
    return {w[:STEM] for w in words if len(w) > 2}
