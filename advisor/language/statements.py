"""Cuts a line into clauses: where one statement ends and the next begins, and what leads each."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from advisor.language.line import Token
from advisor.records import NamedTuple

SENTENCE = frozenset(".;!?\n")
STOPS = frozenset(",.;!?\n()")
_REACH_OF_AND = 3
"""Words behind an "and" within which a verb makes it the beginning of a clause of its own."""
_LONGEST_ASIDE = 4
"""Words of a bracket that does not part what stands before it from what stands behind."""

Roles = Sequence[Sequence[str]]
"""The steering roles of each word of a line."""


class Clause(NamedTuple):
    """Words `start` to `stop` of a line that make one statement; `asks`: it begins as a question."""

    start: int
    stop: int
    sentence: int
    asks: bool

    def __contains__(self, word: object) -> bool:
        return isinstance(word, int) and self.start <= word < self.stop


class Clauses:
    """The clauses of a line in order."""

    def __init__(self, tokens: Sequence[Token], roles: Roles) -> None:
        self._tokens = tokens
        self._roles = roles
        self._all = self._cut()
        self._starts = [c.start for c in self._all]

    def at(self, word: int) -> Clause:
        """The clause that a word stands in."""
        return self._all[max(0, bisect_right(self._starts, word) - 1)]

    def after(self, clause: Clause) -> Clause | None:
        """The clause that follows, within the same sentence or leading the next one."""
        place = bisect_right(self._starts, clause.start)
        return self._all[place] if place < len(self._all) else None

    def before(self, clause: Clause) -> Clause | None:
        """The clause before."""
        place = bisect_right(self._starts, clause.start) - 2
        return self._all[place] if place >= 0 else None

    def leads_with(self, clause: Clause, role: str) -> bool:
        """Whether a clause begins with a word of a role ("they rusted", "it went brown"), looking past joints."""
        for i in range(clause.start, min(clause.stop, clause.start + 3)):
            if role in self._roles[i]:
                return True
            if not {"joint", "clause", "filler"}.intersection(self._roles[i]):
                return False
        return False

    def has(self, clause: Clause, *names: str) -> bool:
        """Whether some word of a clause has one of the roles."""
        return any(name in self._roles[i] for i in range(clause.start, clause.stop) for name in names)

    def _cut(self) -> list[Clause]:
        out: list[Clause] = []
        start = sentence = 0
        n = len(self._tokens)
        for i in range(n + 1):
            key = self._tokens[i].key if i < n else "\n"
            if key in "()" and self._aside(i):
                continue
            if key not in STOPS and not self._begins_clause(i):
                continue
            if i > start:
                out.append(Clause(start, i, sentence, "question-lead" in self._roles[start]))
            start = i + 1 if key in STOPS else i
            sentence += key in SENTENCE
        return out or [Clause(0, 0, 0, False)]

    def _aside(self, i: int) -> bool:
        """Whether a bracket opens or closes a word or two: "stainless (A2) bolts" is one phrase."""
        if self._tokens[i].key == "(":
            return any(t.key == ")" for t in self._tokens[i + 1 : i + _LONGEST_ASIDE])
        return any(t.key == "(" for t in self._tokens[max(0, i - _LONGEST_ASIDE + 1) : i])

    def _begins_clause(self, i: int) -> bool:
        """Whether a conjunction begins a new statement here; "and" only before a subject with a verb."""
        if "clause" not in self._roles[i]:
            return False
        if self._tokens[i].key != "and":
            return True
        if i + 1 < len(self._tokens) and "by-now" in self._roles[i + 1]:
            return True
        ahead = range(i + 1, min(i + 1 + _REACH_OF_AND, len(self._tokens)))
        return any({"pronoun", "copula"}.intersection(self._roles[k]) for k in ahead)
