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


def said_back(
    base: Base, told: Iterable[tuple[str, Any]], noticed: Mapping[str, str], heard: Iterable[str] = ()
) -> str:
    """Slots with their values, and what was noticed beside them, where the slots do not say it already.

    `noticed`: circumstance -> the words that told it; `heard`: the words that told the slots.
    """
    order = base.role_words("said-back")
    place = {slot: n for n, slot in enumerate(order)}
    parts = [worded(base, s, v) for s, v in sorted(told, key=lambda x: place.get(x[0], len(order)))]
    unsaid = set(base.role_words("not-said-back"))
    said = _stems(" ".join((*parts, *heard)))
    for slug, words in noticed.items():
        if words and slug not in unsaid and said.isdisjoint(_stems(words)):
            parts.append(words)
            said |= _stems(words)
    return "; ".join(dict.fromkeys(parts))


def _stems(text: str) -> set[str]:
    """The beginnings of the words that mean something.

    >>> sorted(_stems("pressure-treated, in oak"))
    ['oak', 'pres', 'trea']
    """
    words = "".join(c if c.isalnum() else " " for c in text.lower()).split()
    return {w[:STEM] for w in words if len(w) > 2}
