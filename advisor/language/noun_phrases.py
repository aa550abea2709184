"""The nouns of a line: which thing closes a phrase, leads a clause or stands nearest, the fastener or another."""

from __future__ import annotations

from advisor.expressions import expression
from advisor.language.statements import STOPS, Clause, Clauses
from advisor.language.words_of_line import LineWords

FASTENER, OBJECT = "fastener", "object"
_LONGEST_PHRASE = 7
"""Words of a noun phrase looked at behind a mention."""
_REACH = 4
_MODIFIERS = frozenset(
    ("finish_asked", "mating", "appearance", "size", "strength", "length_mm", "quantity", "part", "duty")
)
_OF_A_FASTENER = frozenset(("size", "strength"))
_ENDS = frozenset(
    (
        "against",
        "function-word",
        "copula",
        "clause",
        "contact",
        "fitted-now",
        "failed",
        "wish",
        "negation",
        "negation-after",
        "instead",
    )
)
MEASURE = expression(r"[0-9]+(?:\.[0-9]+)?(?:mm)?")


class NounPhrases:
    """Tells of each place of a line which noun belongs to it: FASTENER, OBJECT or "" for none."""

    def __init__(self, words: LineWords, clauses: Clauses) -> None:
        self._words = words
        self._clauses = clauses

    def head_behind(self, i: int) -> str:
        """The noun that closes the phrase behind a mention."""
        words, head = self._words, ""
        last = min(i + _LONGEST_PHRASE, len(words.tokens))
        while i < last and (words.key(i) not in STOPS or words.key(i) in "()"):
            if words.key(i) in "()":
                i += 1
                continue
            noun = self.noun(i)
            here = words.content(i)
            if noun:
                head = noun
            elif "pro-form" in words.roles[i]:
                return head or self._meant_before(i)
            elif here:
                if any(f.slot in _OF_A_FASTENER for f in here):
                    return head or FASTENER  # "V4A M8 for the gutter"
                if any(f.slot not in _MODIFIERS and not f.slug for f in here):
                    break
                i = max(words.span(f).stop for f in here)
                continue
            elif self._ends_phrase(i, head):
                break
            i += 1
        return head

    def _meant_before(self, i: int) -> str:
        """ "Greenhouse, aluminium one": the noun that "one" stands for."""
        earlier = self._clauses.before(self._clauses.at(i))
        return self.nearest(earlier.stop, earlier.start) if earlier else ""

    def noun(self, i: int) -> str:
        roles = self._words.roles[i]
        if "fastener-noun" in roles or any(f.slot == "part" for f in self._words.content(i)):
            return FASTENER
        if "object-noun" in roles or any(f.application for f in self._words.content(i)):
            return OBJECT
        return ""

    def _ends_phrase(self, i: int, head: str) -> bool:
        roles = self._words.roles[i]
        if "describing" in roles or MEASURE.fullmatch(self._words.key(i)):
            return bool(head)
        return True if roles else bool(head) or not self._words.unknown(i)

    def agreeing(self, verb: int, start: int) -> str:
        """ "Our bolts on the galvanised ladder are ...": not the ladder, the bolts are."""
        nouns = [k for k in range(start, verb) if self.noun(k)]
        if len(nouns) < 2 or "plural" not in self._words.roles[verb] or self._is_plural(nouns[-1]):
            return ""
        return next((self.noun(k) for k in reversed(nouns) if self._is_plural(k)), "")

    def _is_plural(self, i: int) -> bool:
        return self._words.key(i).endswith("s")

    def nearest(self, stop: int, start: int) -> str:
        """The noun or pronoun nearest before a place."""
        for k in range(stop - 1, start - 1, -1):
            if "pronoun" in self._words.roles[k]:
                return FASTENER
            noun = self.noun(k)
            if noun:
                return noun
        return ""

    def first(self, clause: Clause) -> str:
        """The noun that closes the first noun phrase of a clause."""
        head = ""
        for k in range(clause.start, clause.stop):
            noun = self.noun(k)
            if noun == OBJECT and "object-noun" not in self._words.roles[k]:
                return ""  # "swimming pool, black zinc": a place and a wish
            if noun:
                head = noun
            elif head and _ENDS.intersection(self._words.roles[k]):
                break
        return head

    def describes(self, k: int, mention: int) -> bool:
        """Whether "old", "our" and the like belong to the phrase of a mention: no other noun stands between."""
        if mention - k <= _REACH and not any(self.noun(i) for i in range(k + 1, mention)):
            return True
        return self._possessed(k, mention)

    def _possessed(self, k: int, mention: int) -> bool:
        """ "Our walkway bolts M16 galvanised": one phrase from "our" to the mention, and bolts are what it names."""
        words = self._words
        if k and words.roles[k - 1]:
            return False
        inside = range(k + 1, mention)
        named = [i for i in inside if self.noun(i)]
        if not named or self.noun(named[-1]) != FASTENER or len(inside) > _LONGEST_PHRASE:
            return False
        return all(words.content(i) or self.noun(i) or words.unknown(i) or not words.roles[i] for i in inside)

    def behind_the_name(self, i: int, clause: Clause) -> int:
        """The place behind a mention and the sizes, classes and fasteners that follow it."""
        words = self._words
        while i < clause.stop and (words.content(i) or not {"fastener-noun", "pronoun"}.isdisjoint(words.roles[i])):
            i += 1
        return i
