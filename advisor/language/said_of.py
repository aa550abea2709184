"""What a finish, a metal or a colour is said of: the fastener wanted, the one there now, or another part."""

from __future__ import annotations

from advisor.language.changes import AIMED_AT, LEFT, REACHED, Changes
from advisor.language.found import Found
from advisor.language.noun_phrases import FASTENER, MEASURE, OBJECT, NounPhrases
from advisor.language.statements import SENTENCE, STOPS, Clause, Clauses
from advisor.language.words_of_line import LineWords

WANTED, NOW, OTHER, COMPARED = "wanted", "now", "other", "compared"
_OF_A_CHANGE = {LEFT: COMPARED, REACHED: NOW, AIMED_AT: WANTED}
_REACH = 4


class SaidOf:
    """Tells of each mention what it is said of, from the noun it describes, its subject, and what the clause tells."""

    def __init__(self, words: LineWords) -> None:
        self._words = words
        self.clauses = Clauses(words.tokens, words.roles)
        self._nouns = NounPhrases(words, self.clauses)
        self._changes = Changes(words, self.clauses)
        self._known: dict[range, str] = {}

    def of(self, f: Found) -> str:
        """One of WANTED, NOW, OTHER, COMPARED; the same for all readings of one stretch."""
        span = self._words.span(f)
        held = self._known.get(span)
        if held is None:
            held = self._known[span] = self._of(span)
        return held

    def _of(self, span: range) -> str:
        if self._changes.done_to_them(span):
            return WANTED
        if self._changes.is_a_verb(span):
            return COMPARED
        changed = _OF_A_CHANGE.get(self._changes.side(span.start))
        if changed:
            return changed
        head = self._nouns.head_behind(span.stop)
        touches = self._contact_before(span.start)
        if head == OBJECT:
            return OTHER
        if head == FASTENER:
            if touches and not self._turned_to(span.start):
                return NOW
            return NOW if self._the_ones_there(span) or self._had_by_another(span) else self._when(span)
        subject = self._subject(span.start)
        if subject and self._there_by_now(span):
            return NOW
        if subject:
            return OTHER if subject == OBJECT else self._predicated(span)
        if touches and not self._turned_to(span.start) and not self._clad_in(span):
            return OTHER
        if self._the_metal_itself(span):
            return OTHER
        if self._behind_object(span) or self._came_as(span) == OBJECT:
            return OTHER
        return self._when(span)

    def wished(self, f: Found) -> bool:
        """Whether the words say outright that a finish is wanted ("can I use stainless", "just zinc them")."""
        words, span = self._words, self._words.span(f)
        clause = self.clauses.at(span.start)
        if self._changes.done_to_them(span) or self._changes.side(span.start) == AIMED_AT:
            return True
        if any("failed" in words.roles[k] for k in range(span.stop, clause.stop)):
            return False
        before = range(clause.start, span.start)
        if clause.asks or any({"wish", "turn"}.intersection(words.roles[k]) for k in before):
            return True
        return self._asked_about(span.start, clause)

    def touches(self, f: Found) -> bool:
        """Whether a word of contact ("into", "against") leads to a mention."""
        return self._contact_before(self._words.span(f).start)

    def describes_fastener(self, f: Found) -> bool:
        """Whether the noun behind a mention is a fastener."""
        return self._nouns.head_behind(self._words.span(f).stop) == FASTENER

    def describes_object(self, f: Found) -> bool:
        """Whether a mention describes some other thing."""
        span = self._words.span(f)
        return self._nouns.head_behind(span.stop) == OBJECT or self._subject(span.start) == OBJECT

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
                return FASTENER if "pronoun" in words.roles[k] else self._noun_before(k, clause)
            if not ({"describing", "filler", "negation", "joint"}.intersection(words.roles[k]) or words.content(k)):
                return ""
            k -= 1
        return ""

    def _noun_before(self, k: int, clause: Clause) -> str:
        """The nearest noun or pronoun before a verb in its clause; without one that of the clause before."""
        here = self._nouns.agreeing(k, clause.start) or self._nouns.nearest(k, clause.start)
        if here:
            return here
        earlier = self.clauses.before(clause)
        return self._nouns.nearest(earlier.stop, earlier.start) if earlier else ""

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
                return not self._leads_to_a_verb(k)
            slots = {f.slot for f in words.content(k)}
            passes = {"describing", "joint", "owned"}.intersection(roles) or MEASURE.fullmatch(words.key(k))
            if not passes and not slots.intersection(("mating", "size", "appearance")):
                return False
            k -= 1
        return False

    def _clad_in(self, span: range) -> bool:
        """ "Caps in a nice bright zinc": a coat is worn; a metal ("in aluminium") is what it goes into."""
        words, k = self._words, span.start - 1
        if span.stop < len(words.tokens) and words.key(span.stop) not in STOPS:
            return False
        while k >= 0 and "describing" in words.roles[k] and "clad" not in words.roles[k]:
            k -= 1
        if k < 0 or "clad" not in words.roles[k]:
            return False
        while k and "clad" in words.roles[k - 1]:
            k -= 1
        if not self._follows_fastener(k):
            return False
        return not self._is_a_metal(span.start)

    def _is_a_metal(self, i: int) -> bool:
        """Whether a word names a metal and no coat: the finish and what it touches have one name."""
        named: dict[str, set[str]] = {}
        for f in self._words.content(i):
            named.setdefault(f.slot, set()).update(f.value if isinstance(f.value, (list, tuple)) else ())
        return not named.get("finish_asked", set()).isdisjoint(named.get("mating", set()))

    def _the_metal_itself(self, span: range) -> bool:
        """ "And now the aluminium is going to porridge": the metal that the fastener sits in."""
        words = self._words
        if not span.start or "definite" not in words.roles[span.start - 1] or span.stop >= len(words.tokens):
            return False
        return "copula" in words.roles[span.stop] and self._is_a_metal(span.start)

    def _follows_fastener(self, k: int) -> bool:
        if k <= self.clauses.at(k).start:
            return False
        return self._nouns.noun(k - 1) == FASTENER or bool(self._words.content(k - 1))

    def _leads_to_a_verb(self, k: int) -> bool:
        """ "Wants us to zinc them": the "to" of a verb touches nothing."""
        before = self._words.roles[k - 1] if k else ()
        return "towards" in self._words.roles[k] and not {"wish", "turn", "object-pronoun"}.isdisjoint(before)

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
        if span.start and self._nouns.noun(span.start - 1) == OBJECT:
            return True
        clause = self.clauses.at(span.start)
        alone = all(k in span or {"describing", "filler"}.intersection(words.roles[k]) for k in range(*clause[:2]))
        earlier = self.clauses.before(clause) if alone else None
        if earlier is None or earlier.sentence != clause.sentence:
            return False
        return self._nouns.first(earlier) == OBJECT

    def _came_as(self, span: range) -> str:
        """ "The bracket comes to us already galvanised": the noun of the clause, when "already" leads to a mention."""
        if not span.start or "already" not in self._words.roles[span.start - 1]:
            return ""
        return self._nouns.nearest(span.start, self.clauses.at(span.start).start)

    # wanted or there now ---------------------------------------------------------------------------------

    def _when(self, span: range) -> str:
        words, clause = self._words, self.clauses.at(span.start)
        for k in range(span.start - 1, max(clause.start, span.start - _REACH) - 1, -1):
            if "comparison" in words.roles[k]:
                return COMPARED
        if span.start > clause.start and self._led_to(span, clause):
            return NOW
        for k in range(span.start - 1, clause.start - 1, -1):
            if "wish" in words.roles[k] or "turn" in words.roles[k]:
                return WANTED
            if "fitted-now" in words.roles[k]:
                return WANTED if self._proposed(k, clause) else NOW
            if "owned" in words.roles[k] and self._nouns.describes(k, span.start):
                return NOW
        marks = self._marks_behind(span, clause)
        if marks:
            return WANTED if marks[0] == "wish" or (clause.asks and marks[0] == "failed") else NOW
        return NOW if self._failed_next(clause) else WANTED

    def _there_by_now(self, span: range) -> bool:
        """ "What's on the gate now is galvanised"."""
        clause, roles = self.clauses.at(span.start), self._words.roles
        asked = "open-question" in roles[clause.start]
        return asked and any("by-now" in roles[k] for k in range(clause.start, span.start))

    def _had_by_another(self, span: range) -> bool:
        """ "The post driver has zinc nickel pins": what a thing has is there."""
        k = span.start - 1
        if k < 1 or "possess" not in self._words.roles[k] or self.clauses.has(self.clauses.at(k), "wish", "turn"):
            return False
        return self._nouns.noun(k - 1) == OBJECT

    def _led_to(self, span: range, clause: Clause) -> bool:
        """ "Turned black", "now zinc flake"."""
        roles = self._words.roles[span.start - 1]
        return "failed" in roles or ("by-now" in roles and not self.clauses.has(clause, "wish", "obligation"))

    def _marks_behind(self, span: range, clause: Clause) -> list[str]:
        """What is told behind a mention in its clause; "like last time" tells nothing of it."""
        roles, out = self._words.roles, []
        past = self._nouns.behind_the_name(span.stop, clause)
        if past < clause.stop and "was" in roles[past] and not self.clauses.has(clause, "wish", "obligation"):
            return ["fitted-now"]  # "A2 M14 was too weak"
        if "by-now" in roles[clause.stop - 1] and not self.clauses.has(clause, "wish", "turn", "obligation"):
            return ["fitted-now"]  # "bright zinc on them now"
        compared = False
        for k in range(span.stop, clause.stop):
            compared = "comparison" in roles[k] or (compared and "fitted-now" in roles[k])
            out += [name for name in roles[k] if name in ("failed", "fitted-now", "wish") and not compared]
        return out

    def _proposed(self, k: int, clause: Clause) -> bool:
        """ "Found stainless ones in the drawer, all right?": what lies at hand and is asked about is a proposal."""
        return "at-hand" in self._words.roles[k] and self._asked_about(k, clause)

    def _asked_about(self, i: int, clause: Clause) -> bool:
        """Whether the sentence of a word ends in a question that yes or no would answer, and tells no failure."""
        words = self._words
        end = next((k for k in range(i, len(words.tokens)) if words.key(k) in SENTENCE), -1)
        if end < 0 or words.key(end) != "?":
            return False
        roles = {name for k in range(clause.start, end) for name in words.roles[k]}
        return roles.isdisjoint(("failed", "open-question"))

    def _the_ones_there(self, span: range) -> bool:
        """ "The nickel ones", "the A4 hood bolts": said of what is there, unless something is wished or asked."""
        words, clause = self._words, self.clauses.at(span.start)
        if clause.asks or self.clauses.has(clause, "wish", "turn", "obligation", "instead"):
            return False
        k = span.start - 1
        while k >= clause.start and {"describing"}.intersection(words.roles[k]) and "definite" not in words.roles[k]:
            k -= 1
        return k >= clause.start and "definite" in words.roles[k]

    def _failed_next(self, clause: Clause) -> bool:
        """Whether the statements that follow, about "them" or about nobody, tell a failure."""
        if clause.asks:
            return False
        following = self.clauses.after(clause)
        for _ in range(2):
            if following is None or following.asks:
                return False
            if self.clauses.leads_with(following, "by-now") and not self.clauses.has(following, "wish", "obligation"):
                return True  # "put brass screws in and now the aluminium ..."
            led = self.clauses.leads_with(following, "pronoun")
            bare = following.sentence == clause.sentence and not self.clauses.has(following, "fastener-noun", "wish")
            if self._fails(following):
                return led or bare
            if self.clauses.has(following, "wish", "fastener-noun"):
                return False
            following = self.clauses.after(following)
        return False

    def _fails(self, clause: Clause) -> bool:
        """Whether a clause tells a failure of its own; what stands behind "than" is another's."""
        roles = self._words.roles
        own = next((k for k in range(clause.start, clause.stop) if "comparison" in roles[k]), clause.stop)
        return any("failed" in roles[k] for k in range(clause.start, own))
