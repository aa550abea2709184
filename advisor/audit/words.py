"""Words of different meaning that are one slip of the pen apart: for the audit, so that a curator sees them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from advisor.language.vocabulary import Meaning, Vocabulary


class Pair(NamedTuple):
    """Two phrases of one word, the edits between them, and what each means."""

    one: str
    other: str
    edits: int
    meanings: tuple[str, str]


def pairs(vocabulary: Vocabulary) -> list[Pair]:
    """All single words that fill a slot and could be typed for one another, nearest first.

    >>> from advisor.language.vocabulary import build_vocabulary
    >>> terms = [{"id": "w-a", "say": ["coastal"], "slot": "environment", "value": ["coastal"]},
    ...          {"id": "w-b", "say": ["costal"], "slot": "appearance", "value": "black"}]
    >>> [(p.one, p.other) for p in pairs(Vocabulary.load(build_vocabulary(terms, {}, ["8.8"])))]
    [('coastal', 'costal')]
    """
    out = []
    for word in sorted(vocabulary.phrases):
        mine = _sense(vocabulary.meanings_of(word)) if " " not in word else ""
        if not mine:
            continue
        for edits, other in vocabulary.slips(word):
            theirs = _sense(vocabulary.meanings_of(other))
            if word < other and theirs and theirs != mine:
                out.append(Pair(word, other, edits, (mine, theirs)))
    return sorted(out, key=lambda p: (p.edits, p.one, p.other))


def _sense(meanings: Sequence[Meaning]) -> str:
    """The slot and value a word stands for outside a particular question; empty when it fills none."""
    senses = [f"{m.slot}={m.value}" for m in meanings if m.slot and not m.answering]
    return "; ".join(sorted(senses))
