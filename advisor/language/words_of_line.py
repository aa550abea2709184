"""The line as a row of words with what was read on each: steering roles and readings."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence

from advisor.language.found import Found
from advisor.language.line import STOPS, Line, Token

ROLES = frozenset(
    (
        "against",
        "already",
        "at-hand",
        "by-now",
        "by-way-of",
        "changed",
        "clad",
        "clause",
        "comparison",
        "contact",
        "copula",
        "correction",
        "definite",
        "describing",
        "except",
        "failed",
        "fastener-noun",
        "filler",
        "fitted-now",
        "formerly",
        "function-word",
        "instead",
        "joint",
        "lasting",
        "leaving",
        "negation",
        "negation-after",
        "object-noun",
        "object-pronoun",
        "obligation",
        "open-question",
        "owned",
        "plural",
        "pro-form",
        "possess",
        "process-heat",
        "pronoun",
        "question-lead",
        "source",
        "stamped",
        "towards",
        "turn",
        "was",
        "wish",
    )
)
"""Intents that only steer how other words are read."""
DENIED_FAILURE = "denied-failure"
"""The role of a failure that is denied: "won't rust"."""
_REACH_OF_DENIAL = 3


class LineWords:
    """Words by number; of each its roles and the readings that stand on it."""

    def __init__(self, line: Line, readings: Sequence[Found], knows: Callable[[str], bool]) -> None:
        self.line = line
        self.tokens: tuple[Token, ...] = line.tokens
        self._starts = [t.start for t in line.tokens]
        self._ends = [t.end for t in line.tokens]
        self._knows = knows
        self._keys = [t.key for t in line.tokens]
        self.marks = sorted(f for f in readings if f.intent in ROLES)
        self.roles: list[list[str]] = [[] for _ in line.tokens]
        for f in self.marks:
            for i in self.span(f):
                self.roles[i].append(f.intent)
        for f in readings:
            if f.intent == "advice":  # "I want", "we need": the words ask for advice and wish all the same
                for i in self.span(f):
                    self.roles[i].append("wish")
        self._take_back_failures()
        self.readings = sorted((f for f in readings if f.intent not in ROLES), key=lambda f: (f.start, -f.end))
        self._at: dict[int, list[Found]] = {}
        for f in self.readings:
            for i in self.span(f):
                self._at.setdefault(i, []).append(f)

    def _take_back_failures(self) -> None:
        """ "So they don't rust": a failure that is denied is none."""
        for f in self.marks:
            place = self.span(f)
            if f.intent != "failed" or not place:
                continue
            before = range(max(0, place.start - _REACH_OF_DENIAL), place.start)
            if any("negation" in self.roles[k] for k in before if STOPS.isdisjoint(self._keys[k : place.start])):
                for i in place:
                    self.roles[i] = [DENIED_FAILURE if r == "failed" else r for r in self.roles[i]]

    def span(self, f: Found) -> range:
        """The words that a reading covers."""
        first = bisect_right(self._ends, f.start)
        return range(first, max(first, bisect_left(self._starts, f.end)))

    def key(self, i: int) -> str:
        """A word as it is compared."""
        return self.tokens[i].key

    def content(self, i: int) -> Sequence[Found]:
        """The readings on a word."""
        return self._at.get(i, ())

    def unknown(self, i: int) -> bool:
        """Whether a word stands in no phrase of the vocabulary: a name, a thing nobody wrote down."""
        return not self._knows(self.tokens[i].key)
