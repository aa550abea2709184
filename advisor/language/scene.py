"""What surrounds a reading does to it: negation, correction, "X instead of Y", and what it is said of."""

from __future__ import annotations

from collections.abc import Callable

from advisor.language.found import Found
from advisor.language.said_of import NOW, WANTED, SaidOf
from advisor.language.statements import SENTENCE, STOPS
from advisor.language.words_of_line import DENIED_FAILURE, LineWords
from advisor.records import NamedTuple

NEGATION_REACH = 5
"""A negation reaches the next reading within this many words, and what is joined to that by "or" or "nor"."""
_REACH_BACK = 3
_TAKE_NEGATION = frozenset(("clause", DENIED_FAILURE))
_OF_THE_PART = frozenset(("size", "strength", "part"))
_OF_SOMETHING = frozenset(("finish_asked", "mating", "appearance", "environment", "cadmium"))
"""Slots whose readings are said of something that the words around them tell."""


class Steered(NamedTuple):
    """A reading with what its surroundings say of it; `said_of` is one of those of said_of.py."""

    found: Found
    negated: bool = False
    after_instead: bool = False
    before_instead: bool = False
    corrected: bool = False
    said_of: str = WANTED
    touches: bool = False
    of_fastener: bool = False
    wished: bool = False


def steer(words: LineWords, deniable: Callable[[str], bool], complaint: bool = False) -> list[Steered]:
    """Every reading with its surroundings weighed; `deniable` tells the slots of which a denial says something.

    Only in a complaint it matters which finish the words wish for outright.
    """
    scene = _Scene(words, deniable, complaint)
    return [scene.steered(f) for f in words.readings]


class _Scene:
    def __init__(self, words: LineWords, deniable: Callable[[str], bool], complaint: bool) -> None:
        self._words = words
        self._complaint = complaint
        self._deniable = deniable
        self._said_of = SaidOf(words)
        self._corrections = [f.start for f in words.marks if f.intent == "correction"]
        self._insteads = [f for f in words.marks if f.intent == "instead"]
        self._negated: set[int] = set()
        for mark in words.marks:
            if mark.intent == "negation" and not self._wants_reason(mark):
                self._deny_ahead(mark)
            elif mark.intent == "negation-after":
                self._deny_behind(mark)

    def _wants_reason(self, mark: Found) -> bool:
        """ "Why can't 12.9 be plated" asks after 12.9 and denies nothing."""
        i = self._words.span(mark).start - 1
        return i >= 0 and any(f.intent == "why" for f in self._words.content(i))

    def steered(self, f: Found) -> Steered:
        after, before = self._instead(f)
        corrected = any(c < f.start for c in self._corrections)
        of, touches, of_fastener = WANTED, False, False
        if f.slot == "life_years" and self._said_of.lasted(f):
            of = NOW
        if f.slot in ("size", "strength"):
            of_fastener = self._said_of.describes_fastener(f)
        if f.slot in _OF_SOMETHING:
            of = self._said_of.of(f)
            touches = self._said_of.touches(f)
            of_fastener = self._said_of.describes_fastener(f)
        wished = self._complaint and f.slot == "finish_asked" and of == WANTED and self._said_of.wished(f)
        return Steered(f, id(f) in self._negated, after, before, corrected, of, touches, of_fastener, wished)

    # negation --------------------------------------------------------------------------------------------

    def _negatable(self, f: Found) -> bool:
        return bool(f.slot and self._deniable(f.slot)) or (bool(f.slug) and not f.slot) or f.intent in ("yes", "change")

    def _deny_ahead(self, mark: Found) -> None:
        """A negation reaches the next reading, and through a list what is joined to it."""
        words = self._words
        i, budget, hit = words.span(mark).stop, NEGATION_REACH, False
        while i < len(words.tokens) and budget and not self._stops_negation(i):
            if words.key(i) == ",":
                # "no zinc, galv or cadmium": a list goes on only when a reading follows and an "or" closes it
                if not (hit and words.content(i + 1) and self._or_ahead(i + 1)):
                    return
                i += 1
                continue
            here = [f for f in words.content(i) if f.start >= mark.end and self._negatable(f)]
            if self._complaint and i > words.span(mark).stop:
                # "the nut won't go on the M16 stud" denies the going on; "no M10" the size
                here = [f for f in here if f.slot not in _OF_THE_PART]
            if here and here[0].slot == "size" and "fastener-noun" in words.roles[i - 1]:
                return  # "non magnetic bolts M6"
            if here:
                self._negated.update(id(f) for f in here)
                if any(f.slot and not self._negatable(f) for f in words.content(i)):
                    return
                i = max(words.span(f).stop for f in here)
                hit, budget = True, 3
                continue
            if self._takes_negation(i) or (hit and not self._goes_on(i)):
                return
            budget -= 1
            i += 1

    def _stops_negation(self, i: int) -> bool:
        roles = self._words.roles[i]
        return (
            self._words.key(i) in SENTENCE or self._words.key(i) in "()" or "correction" in roles or "negation" in roles
        )

    def _takes_negation(self, i: int) -> bool:
        """A clause ends it; a verb ("won't rust by the sea"), a figure or a rust colour takes it to itself ("no white
        rust M8 10.9").
        """
        return not _TAKE_NEGATION.isdisjoint(self._words.roles[i]) or any(f.slot for f in self._words.content(i))

    def _goes_on(self, i: int) -> bool:
        return not {"joint", "fastener-noun", "describing"}.isdisjoint(self._words.roles[i])

    def _deny_behind(self, mark: Found) -> None:
        """ "Zinc is not allowed": the reading before."""
        words = self._words
        i = words.span(mark).start - 1
        for _ in range(_REACH_BACK):
            if i < 0 or words.key(i) in STOPS:
                return
            here = [f for f in words.content(i) if self._negatable(f) and f.slot != "size"]
            if here:
                self._negated.update(id(f) for f in here)
                return
            i -= 1

    def _or_ahead(self, i: int) -> bool:
        for k in range(i, min(i + 6, len(self._words.tokens))):
            if self._words.key(k) in SENTENCE:
                return False
            if self._words.key(k) in ("or", "nor"):
                return True
        return False

    # instead of ------------------------------------------------------------------------------------------

    def _instead(self, f: Found) -> tuple[bool, bool]:
        """(named as what is replaced, named as what replaces it)."""
        after = before = False
        for mark in self._insteads:
            if mark.end <= f.start and not self._between(mark.end, f.start, SENTENCE):
                after = after or not self._taken_up(mark.end, f.start)
            elif f.end <= mark.start and not self._between(f.end, mark.start, STOPS):
                before = True
        return after, before

    def _between(self, a: int, b: int, stops: frozenset[str]) -> bool:
        return any(t.key in stops for t in self._words.tokens if a <= t.start < b)

    def _taken_up(self, a: int, b: int) -> bool:
        """Whether "with", "by" or "to" stands between: "replace zinc with stainless" wishes for the stainless."""
        return any(
            t.key in ("with", "by") or "towards" in self._words.roles[i]
            for i, t in enumerate(self._words.tokens)
            if a <= t.start < b
        )
