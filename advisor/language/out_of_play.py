"""Readings that the words around take out of play: an echoed question, a baking oven, a wood burner, a past use."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from advisor.language.found import Found
from advisor.language.meanings import Meaning
from advisor.language.statements import SENTENCE, STOPS
from advisor.language.words_of_line import LineWords

_ECHO = 4
"""Words of a question that only repeats what was asked: "sea? no, thirty miles off"."""
_PLACES = frozenset(("environment", "duty"))
_OF_A_PROCESS = frozenset(("temperature_c", "salt_spray_hours", "thread_class"))
_REACH_OF_A_PROCESS = 8
_REACH = 4
_LED = frozenset(("function-word", "clad", "contact", "towards", "source"))


def out_of_play(
    words: LineWords, meanings_of: Callable[[str], Sequence[Meaning]], answering: str | None
) -> frozenset[int]:
    """The readings (by id) that say nothing of the fastener; `meanings_of` tells what a word stands for."""
    judged = _Judged(words, meanings_of, answering)
    return frozenset(id(f) for f in words.readings if judged.says_nothing(f))


class _Judged:
    def __init__(
        self, words: LineWords, meanings_of: Callable[[str], Sequence[Meaning]], answering: str | None
    ) -> None:
        self._words = words
        self._meanings_of = meanings_of
        self._answering = answering
        self._echo, self._denied = self._echoed()
        self._process = [i for i, roles in enumerate(words.roles) if "process-heat" in roles and not self._denied_at(i)]
        self._former = [i for i, roles in enumerate(words.roles) if "formerly" in roles]

    def says_nothing(self, f: Found) -> bool:
        span = self._words.span(f)
        if f.application or f.slot in _PLACES:
            return self._place_of_something_else(f, span)
        if not f.slot:
            return False
        if span.start < self._echo and self._denied:
            return True
        if f.slot == "mating":
            return self._worked_on(span)
        if f.slot in _OF_A_PROCESS:
            return any(abs(k - span.start) <= _REACH_OF_A_PROCESS for k in self._process)
        if f.slot == "part":
            return any("stamped" in r for r in self._words.roles[span.stop : span.stop + 2])
        return self._named_place(f, span) or self._asked_what_it_means(f, span)

    def _place_of_something_else(self, f: Found, span: range) -> bool:
        if span.start < self._echo:
            return True
        former = [k for k in self._former if k < span.start]
        if former and all(self._words.key(k) not in STOPS for k in range(former[-1], span.start)):
            return True
        return self._supplied_from(f, span) or self._by_way_of(f, span)

    def _echoed(self) -> tuple[int, bool]:
        """(the place behind a question that only echoes what was asked, whether it is denied at once)."""
        words = self._words
        end = next((i for i in range(len(words.tokens)) if words.key(i) in SENTENCE), -1)
        if not 0 < end <= _ECHO or words.key(end) != "?" or end + 1 >= len(words.tokens):
            return 0, False
        inside = {name for i in range(end) for name in words.roles[i]}
        if "question-lead" in words.roles[0] or not inside.isdisjoint(("wish", "failed", "open-question")):
            return 0, False
        behind = words.roles[end + 1]
        denied = "negation" in behind
        return (end, denied) if denied or "copula" in behind else (0, False)

    def _denied_at(self, i: int) -> bool:
        """ "Never baked over 80" tells its heat in service."""
        return any("negation" in roles for roles in self._words.roles[max(0, i - 2) : i])

    def _worked_on(self, span: range) -> bool:
        """ "Wood burner", "copper mine": what is worked there, not what the part touches."""
        words = self._words
        if span.stop >= len(words.tokens):
            return False
        return any(m.intent == "works-on" for m in self._meanings_of(words.key(span.stop)))

    def _supplied_from(self, f: Found, span: range) -> bool:
        """ "Bright zinc from the shed place": where it was bought."""
        values = f.value if isinstance(f.value, (list, tuple)) else ()
        if f.slot != "environment" or not all(str(v).startswith("indoor") for v in values):
            return False
        roles, k = self._words.roles, span.start - 1
        while k >= 0 and not {"describing", "definite", "owned", "joint"}.isdisjoint(roles[k]):
            k -= 1
        return k >= 0 and "source" in roles[k]

    def _by_way_of(self, f: Found, span: range) -> bool:
        """ "To Rotterdam by sea 5 weeks": how the goods travelled."""
        words, k = self._words, span.start - 1
        if f.slot != "environment" or k < 0 or "by-way-of" not in words.roles[k]:
            return False
        if span.stop < len(words.tokens) and words.key(span.stop)[0].isdigit():
            return True
        return any("towards" in words.roles[i] for i in range(max(0, k - _REACH), k))

    def _named_place(self, f: Found, span: range) -> bool:
        """ "At Cromer": a name with a capital is no slip of another word."""
        if not f.fuzzy or not span.start or _LED.isdisjoint(self._words.roles[span.start - 1]):
            return False
        typed = self._words.line.words(f.start, f.end)
        return typed.istitle() and typed.isalpha()

    def _asked_what_it_means(self, f: Found, span: range) -> bool:
        """ "No clue, what even is a C4": a question about the word."""
        if f.slot != self._answering:
            return False
        roles = self._words.roles
        be = next((k for k in range(span.start - 1, max(-1, span.start - 3), -1) if "copula" in roles[k]), -1)
        return be >= 0 and any("open-question" in roles[k] for k in range(max(0, be - 2), be + 1))
