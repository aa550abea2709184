"""What a finish, a metal or a colour is said of: the fastener wanted, the one there now, or another part."""

from __future__ import annotations

import re

from advisor.language.found import Found
from advisor.language.statements import SENTENCE, STOPS, Clause, Clauses
from advisor.language.words_of_line import LineWords

WANTED, NOW, OTHER, COMPARED = "wanted", "now", "other", "compared"
_FASTENER, _OBJECT = "fastener", "object"
_LONGEST_PHRASE = 7
"""Words of a noun phrase looked at behind a mention."""
_REACH = 4
_MODIFIERS = frozenset(("finish_asked", "mating", "appearance", "size", "strength", "length_mm", "quantity", "part"))
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
_MEASURE = re.compile(r"[0-9]+(?:\.[0-9]+)?(?:mm)?")


class SaidOf:
    """Tells of each mention what it is said of, from the noun it describes, its subject, and what the clause tells."""

    def __init__(self, words: LineWords) -> None:
        self._words = words
        self.clauses = Clauses(words.tokens, words.roles)

    def of(self, f: Found) -> str:
        """One of WANTED, NOW, OTHER, COMPARED."""
        span = self._words.span(f)
        head = self._head_behind(span.stop)
        touches = self._contact_before(span.start)
        if head == _OBJECT:
            return OTHER
        if head == _FASTENER:
            if touches and not self._turned_to(span.start):
                return NOW
            return NOW if self._the_ones_there(span) else self._when(span)
        subject = self._subject(span.start)
        if subject:
            return OTHER if subject == _OBJECT else self._predicated(span)
        if touches and not self._turned_to(span.start):
            return OTHER
        if self._behind_object(span):
            return OTHER
        return self._when(span)

    def touches(self, f: Found) -> bool:
        """Whether a word of contact ("into", "against") leads to a mention."""
        return self._contact_before(self._words.span(f).start)

    def describes_fastener(self, f: Found) -> bool:
        """Whether the noun behind a mention is a fastener."""
        return self._head_behind(self._words.span(f).stop) == _FASTENER

    def describes_object(self, f: Found) -> bool:
        """Whether a mention describes some other thing."""
        span = self._words.span(f)
        return self._head_behind(span.stop) == _OBJECT or self._subject(span.start) == _OBJECT

    def lasted(self, f: Found) -> bool:
        """Whether years tell how long something held ("zinc ones last two years", "rusted off in two years")."""
        words, start = self._words, self._words.span(f).start
        clause = self.clauses.at(start)
        if clause.asks or self.clauses.has(clause, "wish", "obligation"):
            return False
        if self.clauses.has(clause, "failed", "fitted-now"):
            return True
        before = range(clause.start, start)
        named = any(x.slot == "finish_asked" for k in before for x in words.content(k))
        return named and any("lasting" in words.roles[k] for k in before)

    # nouns -----------------------------------------------------------------------------------------------

    def _head_behind(self, i: int) -> str:
        """The noun that closes the phrase behind a mention."""
        words, head = self._words, ""
        last = min(i + _LONGEST_PHRASE, len(words.tokens))
        while i < last and words.key(i) not in STOPS:
            noun = self._noun(i)
            here = words.content(i)
            if noun:
                head = noun
            elif "pro-form" in words.roles[i]:
                return head or self._meant_before(i)
            elif here:
                if any(f.slot in _OF_A_FASTENER for f in here):
                    return head or _FASTENER  # "V4A M8 for the gutter"
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
        earlier = self.clauses.before(self.clauses.at(i))
        return self._nearest_noun(earlier.stop, earlier.start) if earlier else ""

    def _noun(self, i: int) -> str:
        roles = self._words.roles[i]
        if "fastener-noun" in roles or any(f.slot == "part" for f in self._words.content(i)):
            return _FASTENER
        if "object-noun" in roles or any(f.application for f in self._words.content(i)):
            return _OBJECT
        return ""

    def _ends_phrase(self, i: int, head: str) -> bool:
        roles = self._words.roles[i]
        if "describing" in roles or _MEASURE.fullmatch(self._words.key(i)):
            return bool(head)
        return True if roles else bool(head) or not self._words.unknown(i)

    # subject and predicate -------------------------------------------------------------------------------

    def _subject(self, i: int) -> str:
        """Of what a mention behind "is", "are", "was" is said; empty when it is no predicate."""
        words = self._words
        clause = self.clauses.at(i)
        k = i - 1
        for _ in range(_REACH):
            if k < clause.start:
                return ""
            if "copula" in words.roles[k]:
                return _FASTENER if "pronoun" in words.roles[k] else self._noun_before(k, clause)
            if not ({"describing", "filler", "negation", "joint"}.intersection(words.roles[k]) or words.content(k)):
                return ""
            k -= 1
        return ""

    def _noun_before(self, k: int, clause: Clause) -> str:
        """The nearest noun or pronoun before a verb in its clause; without one that of the clause before."""
        here = self._nearest_noun(k, clause.start)
        if here:
            return here
        earlier = self.clauses.before(clause)
        return self._nearest_noun(earlier.stop, earlier.start) if earlier else ""

    def _nearest_noun(self, stop: int, start: int) -> str:
        for k in range(stop - 1, start - 1, -1):
            if "pronoun" in self._words.roles[k]:
                return _FASTENER
            noun = self._noun(k)
            if noun:
                return noun
        return ""

    def _predicated(self, span: range) -> str:
        """ "They are zinc" tells what is there; "they should be zinc" what is wanted."""
        clause = self.clauses.at(span.start)
        wished = self.clauses.has(clause, "wish", "obligation") or clause.asks
        return WANTED if wished and not self.clauses.has(clause, "fitted-now", "failed") else NOW

    # contact ---------------------------------------------------------------------------------------------

    def _contact_before(self, i: int) -> bool:
        words = self._words
        k = i - 1
        for _ in range(_REACH):
            if k < 0 or words.key(k) in SENTENCE:
                return False
            roles = words.roles[k]
            if "contact" in roles or "against" in roles:
                return True
            slots = {f.slot for f in words.content(k)}
            passes = {"describing", "joint", "owned"}.intersection(roles) or _MEASURE.fullmatch(words.key(k))
            if not passes and not slots.intersection(("mating", "size", "appearance")):
                return False
            k -= 1
        return False

    def _turned_to(self, i: int) -> bool:
        """ "Changing the lot to stainless": what follows is wished for; "goes straight onto aluminium" is not."""
        clause, roles = self.clauses.at(i), self._words.roles
        before = range(clause.start, i)
        return any("turn" in roles[k] for k in before) and not any("against" in roles[k] for k in before)

    def _behind_object(self, span: range) -> bool:
        """ "Gearbox casing aluminium,"; "base plates in a play area, galvanised, 4 x M10": said of the thing before."""
        words = self._words
        ends = span.stop >= len(words.tokens) or words.key(span.stop) in STOPS
        if not ends:
            return False
        if span.start and self._noun(span.start - 1) == _OBJECT:
            return True
        clause = self.clauses.at(span.start)
        alone = all(k in span or {"describing", "filler"}.intersection(words.roles[k]) for k in range(*clause[:2]))
        earlier = self.clauses.before(clause) if alone else None
        if earlier is None or earlier.sentence != clause.sentence:
            return False
        return self._first_noun(earlier) == _OBJECT

    def _first_noun(self, clause: Clause) -> str:
        """The noun that closes the first noun phrase of a clause."""
        head = ""
        for k in range(clause.start, clause.stop):
            noun = self._noun(k)
            if noun == _OBJECT and "object-noun" not in self._words.roles[k]:
                return ""  # "swimming pool, black zinc": a place and a wish
            if noun:
                head = noun
            elif head and _ENDS.intersection(self._words.roles[k]):
                break
        return head

    # wanted or there now ---------------------------------------------------------------------------------

    def _when(self, span: range) -> str:
        words, clause = self._words, self.clauses.at(span.start)
        for k in range(span.start - 1, max(clause.start, span.start - _REACH) - 1, -1):
            if "comparison" in words.roles[k]:
                return COMPARED
        if span.start > clause.start and "failed" in words.roles[span.start - 1]:
            return NOW  # "turned black"
        for k in range(span.start - 1, clause.start - 1, -1):
            if "wish" in words.roles[k] or "turn" in words.roles[k]:
                return WANTED
            if "fitted-now" in words.roles[k] or ("owned" in words.roles[k] and self._describes(k, span.start)):
                return NOW
        behind = range(span.stop, clause.stop)
        marks = [name for k in behind for name in words.roles[k] if name in ("failed", "fitted-now", "wish")]
        if marks:
            return WANTED if marks[0] == "wish" or (clause.asks and marks[0] == "failed") else NOW
        return NOW if self._failed_next(clause) else WANTED

    def _the_ones_there(self, span: range) -> bool:
        """ "The nickel ones", "the A4 hood bolts": said of what is there, unless something is wished or asked."""
        words, clause = self._words, self.clauses.at(span.start)
        if clause.asks or self.clauses.has(clause, "wish", "turn", "obligation", "instead"):
            return False
        k = span.start - 1
        while k >= clause.start and {"describing"}.intersection(words.roles[k]) and "definite" not in words.roles[k]:
            k -= 1
        return k >= clause.start and "definite" in words.roles[k]

    def _describes(self, k: int, mention: int) -> bool:
        """Whether "old", "our" and the like belong to the phrase of a mention: no other noun stands between."""
        return mention - k <= _REACH and not any(self._noun(i) for i in range(k + 1, mention))

    def _failed_next(self, clause: Clause) -> bool:
        """Whether the statements that follow, about "them" or about nobody, tell a failure."""
        if clause.asks:
            return False
        following = self.clauses.after(clause)
        for _ in range(2):
            if following is None or following.asks:
                return False
            led = self.clauses.leads_with(following, "pronoun")
            bare = following.sentence == clause.sentence and not self.clauses.has(following, "fastener-noun", "wish")
            if self.clauses.has(following, "failed"):
                return led or bare
            if self.clauses.has(following, "wish", "fastener-noun"):
                return False
            following = self.clauses.after(following)
        return False
