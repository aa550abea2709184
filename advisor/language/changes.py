"""Changes that a line tells ("from zinc to A4") and finishes that are verbs ("just zinc them")."""

from __future__ import annotations

from advisor.language.statements import Clause, Clauses
from advisor.language.words_of_line import LineWords

LEFT, REACHED, AIMED_AT = "left", "reached", "aimed at"


class Changes:
    """Tells of a mention which side of a change it is on, and whether it is a verb."""

    def __init__(self, words: LineWords, clauses: Clauses) -> None:
        self._words = words
        self._clauses = clauses

    def done_to_them(self, span: range) -> bool:
        """ "Just zinc them": the word is a verb, and what it does is wanted; "they had them galvanised" is not so."""
        words = self._words
        if span.stop >= len(words.tokens) or "object-pronoun" not in words.roles[span.stop]:
            return False
        behind = span.stop + 1
        return behind >= len(words.tokens) or not {"copula", "failed"}.intersection(words.roles[behind])

    def is_a_verb(self, span: range) -> bool:
        """ "The chrome ones flake": what they do, no finish."""
        roles = self._words.roles
        if not span.start or "failed" not in roles[span.start]:
            return False
        return not {"pronoun", "fastener-noun"}.isdisjoint(roles[span.start - 1])

    def side(self, i: int) -> str:
        """ "From zinc to A4": what is left and what is taken up; done already ("went from"), that one is there now."""
        words, clause = self._words, self._clauses.at(i)
        turn = next((k for k in range(i - 1, clause.start - 1, -1) if self._parts_a_change(k)), -1)
        if turn < 0:
            return ""
        reached = any("towards" in words.roles[k] for k in range(turn + 1, i))
        done = "changed" in words.roles[turn]
        if not reached:
            return LEFT if done and self._target_follows(i, clause) else ""
        return (REACHED if done else AIMED_AT) if self._towards(i) else ""

    def _parts_a_change(self, k: int) -> bool:
        roles = self._words.roles[k]
        return "changed" in roles or ("leaving" in roles and "instead" in roles)

    def _target_follows(self, i: int, clause: Clause) -> bool:
        return any("towards" in self._words.roles[k] for k in range(i + 1, clause.stop))

    def _towards(self, i: int) -> bool:
        """Whether "to" leads to a mention: "to that grey flake"."""
        k = i - 1
        while k >= 0 and (self._colours(k) or not {"describing", "joint"}.isdisjoint(self._words.roles[k])):
            k -= 1
        return k >= 0 and "towards" in self._words.roles[k]

    def _colours(self, i: int) -> bool:
        return any(f.slot == "appearance" for f in self._words.content(i))
