"""What surrounds a reading does to it: negation, correction, "X instead of Y", what is fitted now, what it touches."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Sequence

from advisor.language.found import Found
from advisor.language.line import Line
from advisor.records import NamedTuple

NEGATION_REACH = 5
"""A negation reaches the next reading within this many words, and what is joined to that by "or" or "nor"."""
MARKER_REACH = 5
_MEASURE = re.compile(r"[0-9]+(?:\.[0-9]+)?(?:mm)?")
_SENTENCE = frozenset(".;!?\n")
_STOPS = frozenset(",.;!?\n()")
NEGATABLE = frozenset(
    (
        "finish_asked",
        "environment",
        "mating",
        "duty",
        "regime",
        "market",
        "strength",
        "size",
        "part",
        "appearance",
        "priority",
        "hexavalent_chromium",
        "cadmium",
        "pfas",
        "lead",
        "lubrication",
        "conductivity",
        "paint_over",
        "cathodic_protection",
        "wetted",
        "callout",
    )
)
ROLES = frozenset(
    (
        "negation",
        "negation-after",
        "clause",
        "joint",
        "correction",
        "instead",
        "fitted-now",
        "failed",
        "object-noun",
        "fastener-noun",
        "contact",
        "owned",
        "filler",
        "describing",
        "wish",
        "except",
    )
)
"""Intents that only steer how other words are read."""


class Steered(NamedTuple):
    """A reading with what its surroundings say of it."""

    found: Found
    negated: bool = False
    after_instead: bool = False
    before_instead: bool = False
    corrected: bool = False
    fitted: bool = False
    touches: bool = False
    of_fastener: bool = False
    of_object: bool = False


class Scene:
    """The line as a row of words with the readings on them."""

    def __init__(self, line: Line, readings: Sequence[Found]) -> None:
        self.line = line
        self._starts = [t.start for t in line.tokens]
        self._ends = [t.end for t in line.tokens]
        self._tokens = line.tokens
        self._roles: list[list[str]] = [[] for _ in line.tokens]
        self.roles = sorted(f for f in readings if f.intent in ROLES)
        for f in self.roles:
            for i in self._range(f):
                self._roles[i].append(f.intent)
        self.content = sorted((f for f in readings if f.intent not in ROLES), key=lambda f: (f.start, -f.end))
        self._content_at: dict[int, list[Found]] = {}
        for f in self.content:
            for i in self._range(f):
                self._content_at.setdefault(i, []).append(f)
        self._corrections = [f.start for f in self.roles if f.intent == "correction"]
        self._insteads = [f for f in self.roles if f.intent == "instead"]

    def _range(self, f: Found) -> range:
        """The words a reading covers."""
        first = bisect_right(self._ends, f.start)
        return range(first, max(first, bisect_left(self._starts, f.end)))

    def _key(self, i: int) -> str:
        return self._tokens[i].key

    def steer(self) -> list[Steered]:
        """Every reading with its surroundings weighed."""
        negated = self._negated()
        return [self._steer(f, id(f) in negated) for f in self.content]

    def _negated(self) -> set[int]:
        out: set[int] = set()
        n = len(self._tokens)
        for role in self.roles:
            span = self._range(role)
            if role.intent == "negation":
                i, budget, hit = span.stop, NEGATION_REACH, False
                while i < n and budget:
                    key = self._key(i)
                    if (
                        key in _SENTENCE
                        or key in "()"
                        or "correction" in self._roles[i]
                        or "negation" in self._roles[i]
                    ):
                        break
                    if key == ",":
                        # "no zinc, galv or cadmium": a list goes on only when a reading follows and an "or" closes it
                        if not (hit and i + 1 < n and i + 1 in self._content_at and self._or_ahead(i + 1)):
                            break
                        i += 1
                        continue
                    here = [f for f in self._content_at.get(i, ()) if f.start >= role.end and self._negatable(f)]
                    if here:
                        out.update(id(f) for f in here)
                        if any(f.slot and not self._negatable(f) for f in self._content_at[i]):
                            break
                        i = max(self._range(f).stop for f in here)
                        hit, budget = True, 2
                        continue
                    if "clause" in self._roles[i] or any(f.slot for f in self._content_at.get(i, ())):
                        # a figure or a rust colour takes the negation to itself ("no white rust M8 10.9")
                        break
                    if (
                        hit
                        and "joint" not in self._roles[i]
                        and "fastener-noun" not in self._roles[i]
                        and "describing" not in self._roles[i]
                    ):
                        break
                    budget -= 1
                    i += 1
            elif role.intent == "negation-after":
                i, budget = span.start - 1, 3
                while i >= 0 and budget and self._key(i) not in _STOPS:
                    here = [f for f in self._content_at.get(i, ()) if self._negatable(f)]
                    if here:
                        out.update(id(f) for f in here)
                        break
                    budget -= 1
                    i -= 1
        return out

    def _or_ahead(self, i: int) -> bool:
        for k in range(i, min(i + 6, len(self._tokens))):
            if self._key(k) in _SENTENCE:
                return False
            if self._key(k) in ("or", "nor"):
                return True
        return False

    @staticmethod
    def _negatable(f: Found) -> bool:
        return f.slot in NEGATABLE or (bool(f.slug) and not f.slot) or f.intent in ("yes", "change")

    def _steer(self, f: Found, negated: bool) -> Steered:
        after_instead = before_instead = False
        for mark in self._insteads:
            if (
                mark.end <= f.start
                and self._same_clause(mark.end, f.start, commas=True)
                and not self._with(mark.end, f.start)
            ):
                after_instead = True
            elif f.end <= mark.start and self._same_clause(f.end, mark.start, commas=False):
                before_instead = True
        corrected = any(c < f.start for c in self._corrections)
        touches = of_fastener = of_object = False
        if f.slot in ("finish_asked", "mating", "appearance", "environment", "cadmium") or f.slug:
            of_object, of_fastener = self._noun_after(f)
            of_object = of_object or (not of_fastener and self._noun_before(f))
            touches = self._contact_before(f)
        fitted = self._marked(f)
        return Steered(f, negated, after_instead, before_instead, corrected, fitted, touches, of_fastener, of_object)

    def _same_clause(self, a: int, b: int, commas: bool) -> bool:
        stops = _SENTENCE if commas else _STOPS
        return not any(t.key in stops for t in self._tokens if a <= t.start < b)

    def _with(self, a: int, b: int) -> bool:
        """Whether "with" or "by" stands between: "replace zinc with stainless" wishes for the stainless."""
        return any(t.key in ("with", "by") for t in self._tokens if a <= t.start < b)

    def _noun_after(self, f: Found) -> tuple[bool, bool]:
        """(an object such as a post follows, a fastener follows), looking past describing words and other readings."""
        i = self._range(f).stop
        for _ in range(5):
            if i >= len(self._tokens) or self._key(i) in _STOPS:
                break
            roles = self._roles[i]
            if "object-noun" in roles:
                return True, False
            if "fastener-noun" in roles:
                return False, True
            here = self._content_at.get(i)
            if here:
                if any(x.slot == "part" for x in here):
                    return False, True
                if any(
                    x.slot not in ("finish_asked", "mating", "appearance", "size", "strength", "length_mm")
                    and not x.slug
                    for x in here
                ):
                    break
                i = max(self._range(x).stop for x in here)
                continue
            if "describing" not in roles and not _MEASURE.fullmatch(self._key(i)):
                break
            i += 1
        return False, False

    def _noun_before(self, f: Found) -> bool:
        """Whether an object stands right before and the phrase ends here: "gearbox casing aluminium, ..."."""
        span = self._range(f)
        ends = span.stop >= len(self._tokens) or self._key(span.stop) in _STOPS
        return ends and span.start > 0 and "object-noun" in self._roles[span.start - 1]

    def _contact_before(self, f: Found) -> bool:
        """Whether a word of contact ("into", "against") stands before, with only describing words between."""
        i = self._range(f).start - 1
        for _ in range(4):
            if i < 0 or self._key(i) in _SENTENCE:
                return False
            roles = self._roles[i]
            if "contact" in roles:
                return True
            mated = any(x.slot == "mating" for x in self._content_at.get(i, ()))
            if (
                "describing" in roles
                or _MEASURE.fullmatch(self._key(i))
                or mated
                or "joint" in roles
                or ("size" in {x.slot for x in self._content_at.get(i, ())})
                or "owned" in roles
            ):
                i -= 1
                continue
            return False
        return False

    def _marked(self, f: Found) -> bool:
        """Whether "existing", "came with", "keep rusting" or the like speaks of this reading."""
        span = self._range(f)
        i, steps = span.start - 1, 0
        while i >= 0 and steps < MARKER_REACH and self._key(i) not in _SENTENCE:
            if "wish" in self._roles[i] or "clause" in self._roles[i]:
                break
            if "fitted-now" in self._roles[i] or "owned" in self._roles[i]:
                return True
            if self._key(i) == ",":
                break
            i, steps = i - 1, steps + 1
        i, steps = span.stop, 0
        while i < len(self._tokens) and steps < MARKER_REACH and self._key(i) not in _STOPS:
            if "wish" in self._roles[i] or "clause" in self._roles[i]:
                return False
            if "failed" in self._roles[i]:
                return True
            i, steps = i + 1, steps + 1
        return False
