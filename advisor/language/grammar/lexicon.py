"""Expressions of the grammar: built from word lists of the knowledge, compiled when first needed, tried behind a gate.

Speed lives here: a line of plain words never compiles the expression for torque, because no torque unit stands in it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping

from advisor.expressions import VERBOSE, Kept, freeze, thaw


class Pattern:
    """One expression. `source` writes it (verbose) from word lists; a match holds one of the `gate` strings (`a|b`)."""

    __slots__ = ("_given", "gate", "source")

    def __init__(self, source: Callable[[Lexicon], str], gate: str = "", name: str = "") -> None:
        self.source = source
        self._given = name
        self.gate = tuple(gate.split("|")) if gate else ()

    @property
    def name(self) -> str:
        """What it is kept under in the compiled base: the place where it is written; "" when that says too little."""
        if self._given or self.source.__closure__ or self.source.__defaults__:
            return self._given
        return f"{self.source.__module__}:{self.source.__code__.co_firstlineno}"


class Lexicon:
    """The word lists of the grammar (units, rust colours, words before a life that is over …) and its expressions.

    >>> lexicon = Lexicon({"hour": ["h", "hours", "per hour"]})
    >>> lexicon("hour")
    'per[ \\\\-]?hour|hours|h'
    >>> number = Pattern(lambda w: rf"(?P<n>[0-9]+) \\ ? (?:{w('hour')}) \\b", gate="h")
    >>> [m["n"] for m in lexicon.finditer(number, "96 hours, 8 bolts, 480h")]
    ['96', '480']
    """

    def __init__(self, words: Mapping[str, Iterable[str]], kept: Mapping[str, Kept] | None = None) -> None:
        self._words = words
        self._kept = kept or {}
        self._alternatives: dict[str, str] = {}
        self._compiled: dict[Pattern, re.Pattern[str]] = {}

    def __call__(self, *names: str) -> str:
        """The words of lists as alternatives, longest first; a blank may also be a hyphen or nothing."""
        key = "|".join(names)
        held = self._alternatives.get(key)
        if held is None:
            words = {word for name in names for word in self._words.get(name, ())}
            ordered = sorted(words, key=lambda word: (-len(word), word))
            held = "|".join(re.escape(word).replace(r"\ ", r"[ \-]?") for word in ordered) or r"(?!)"
            self._alternatives[key] = held
        return held

    def compiled(self, pattern: Pattern) -> re.Pattern[str]:
        """The expression, compiled once."""
        held = self._compiled.get(pattern)
        if held is None:
            kept = self._kept.get(pattern.name)
            held = thaw(kept, "" if kept else pattern.source(self), VERBOSE)
            self._compiled[pattern] = held
        return held

    def frozen(self, pattern: Pattern) -> Kept:
        """The expression as it is kept in a base."""
        return freeze(pattern.source(self), VERBOSE)

    def finditer(self, pattern: Pattern, text: str) -> Iterator[re.Match[str]]:
        """Every match in a text that passes the gate."""
        if _closed(pattern.gate, text):
            return iter(())
        return self.compiled(pattern).finditer(text)

    def search(self, pattern: Pattern, text: str, start: int = 0, end: int | None = None) -> re.Match[str] | None:
        """The first match between two places."""
        if _closed(pattern.gate, text):
            return None
        return self.compiled(pattern).search(text, start, len(text) if end is None else end)

    def match(self, pattern: Pattern, text: str, start: int = 0) -> re.Match[str] | None:
        """A match that begins at a place."""
        if _closed(pattern.gate, text):
            return None
        return self.compiled(pattern).match(text, start)

    def fullmatch(self, pattern: Pattern, text: str, start: int = 0, end: int | None = None) -> re.Match[str] | None:
        """A match of the whole stretch."""
        return self.compiled(pattern).fullmatch(text, start, len(text) if end is None else end)

    def ends(self, pattern: Pattern, text: str, end: int) -> re.Match[str] | None:
        """A match that ends at a place: what stands before a figure. The expression closes with \\Z."""
        if _closed(pattern.gate, text):
            return None
        return self.compiled(pattern).search(text, 0, end)


def _closed(gate: tuple[str, ...], text: str) -> bool:
    return bool(gate) and not any(word in text for word in gate)
